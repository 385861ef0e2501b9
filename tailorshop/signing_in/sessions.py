"""Sessions in the database; where it is gone while one is saved, that is said, not a sign-out."""

from __future__ import annotations

from typing import Any

from django.contrib.sessions.backends.base import UpdateError
from django.contrib.sessions.backends.db import SessionStore as DatabaseSessionStore

from tailorshop.faults import fault_of


class SessionStore(DatabaseSessionStore):
    def save(self, must_create: bool = False) -> None:
        """Django takes every fault of the database for a session that ended (400)."""
        try:
            super().save(must_create)
        except UpdateError as ended:
            cause: Any = ended.__context__
            if fault_of(cause) is None:
                raise
            raise cause from None
