"""On PostgreSQL: the user the shop runs as adds to the trail and the histories, and changes nothing
in them.

The tables belong to another user (the one who runs `migrate`); a user always may change its own.
Erasing a person, which empties histories too, goes through a function of that other user
(`forgetting`), which leaves a line behind that the shop's user cannot take away.
"""

from __future__ import annotations

import re
from typing import Final

from django.db import connection

from fittings.belonging import AnyModel
from fittings.models import Destroyed, Erasure
from tailorshop.models import Seen
from tailorshop.trail import forgetting
from tailorshop.trail.changed import histories

_NAME: Final = re.compile(r"[a-z_][a-z0-9_]{0,62}")


def added_to_only() -> list[str]:
    """The tables in which nothing may be changed or deleted."""
    kept: tuple[AnyModel, ...] = (Seen, Erasure, Destroyed, *histories())
    return sorted(model._meta.db_table for model in kept)


def statements(user: str) -> list[str]:
    """The SQL that gives this database user what the shop needs and no more.

    Raises ValueError for a name that would have to be quoted.
    """
    if not _NAME.fullmatch(user):
        raise ValueError(f"{user!r} is no plain name of a database user: a to z, 0 to 9 and _.")
    tables = ", ".join(connection.ops.quote_name(name) for name in added_to_only())
    return [
        f"GRANT USAGE ON SCHEMA public TO {user}",
        f"GRANT SELECT, INSERT, UPDATE, DELETE ON ALL TABLES IN SCHEMA public TO {user}",
        f"GRANT USAGE, SELECT ON ALL SEQUENCES IN SCHEMA public TO {user}",
        f"REVOKE UPDATE, DELETE, TRUNCATE ON {tables} FROM {user}, PUBLIC",
        *forgetting.statements(user),
    ]
