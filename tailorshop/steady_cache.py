"""The shared cache, which counts wrong tries, on a computer whose clock may be set back."""

from __future__ import annotations

import time
from dataclasses import dataclass
from typing import Any, Final

from django.core.cache.backends.base import DEFAULT_TIMEOUT
from django.core.cache.backends.db import DatabaseCache

# Seconds by which the clocks of several hosts may differ, as long as a name stays closed; by more,
# and each host counts alone.
AHEAD_S: Final = 300


@dataclass(frozen=True, slots=True, kw_only=True)
class _Kept:
    """`at`: when it was kept, seconds since 1970 by the clock of that moment."""

    at: float
    value: Any

    @property
    def is_past(self) -> bool:
        return self.at <= time.time() + AHEAD_S


class SteadyDatabaseCache(DatabaseCache):
    """Django's, but what was kept in a time that is still to come is gone: it would otherwise
    stand, and keep somebody locked out, until the clock comes to that time again."""

    def get_many(self, keys: Any, version: int | None = None) -> dict[Any, Any]:
        found = super().get_many(keys, version)
        return {key: kept.value for key, kept in found.items() if _stands(kept)}

    def set(
        self, key: Any, value: Any, timeout: Any = DEFAULT_TIMEOUT, version: int | None = None
    ) -> None:
        super().set(key, _Kept(at=time.time(), value=value), timeout, version)

    def add(
        self, key: Any, value: Any, timeout: Any = DEFAULT_TIMEOUT, version: int | None = None
    ) -> bool:
        if not all(_stands(kept) for kept in super().get_many([key], version).values()):
            self.delete(key, version)
        return super().add(key, _Kept(at=time.time(), value=value), timeout, version)


def _stands(kept: Any) -> bool:
    """What an older program kept bare is gone with it."""
    return isinstance(kept, _Kept) and kept.is_past
