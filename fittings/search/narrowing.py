"""A list narrowed to what was typed into its box."""

from __future__ import annotations

from typing import Any, Final

from django.db.models import OuterRef, Subquery
from django.db.models.lookups import IsNull

from fittings.models import FindableKind
from fittings.search.looking import Asked, asked

# So many are gathered and put in order; of more the list itself is read, in its order. More of the
# customers: a name may be found at the end of their list alone.
GATHERED: Final[dict[FindableKind, int]] = {
    FindableKind.CUSTOMER: 20_000,
    FindableKind.ORDER: 10_000,
    FindableKind.TICKET: 2_000,
}
# A letter taken as wrong costs several times as much to look for: so many at most.
GATHERED_WRONG: Final = 4_000


def found_among(
    typed: str, *kinds: FindableKind, most: int
) -> dict[FindableKind, tuple[Asked, list[int] | None]]:
    """What is found among these kinds: exactly so, or with a wrong letter where nothing is exactly
    so; of each kind the keys, or None where they are more than `most`."""
    found: dict[FindableKind, tuple[Asked, list[int] | None]] = {}
    for wrong_letter in (False, True):
        each = [asked(kind, typed, wrong_letter=wrong_letter) for kind in kinds]
        limit = min(most, GATHERED_WRONG) if wrong_letter else most
        keys = {one.kind: one.keys(limit + 1) for one in each}
        found = {
            one.kind: (one, keys[one.kind] if len(keys[one.kind]) <= limit else None)
            for one in each
        }
        if any(keys.values()):
            break
    return found


def holding(rows: Any, typed: str, kind: FindableKind) -> tuple[Any, bool]:
    """Of these rows of one kind, as a queryset, what is found; and whether that is so much that
    each row is asked, and counting ahead would cost."""
    looked_for, keys = found_among(typed, kind, most=GATHERED[kind])[kind]
    if keys is not None:
        return rows.filter(pk__held=set(keys)), False
    return rows.filter(IsNull(row_of(looked_for, "pk"), False)), True


def row_of(looked_for: Asked, key: str) -> Subquery:
    """The row found for the thing of this key, or nothing. Not as EXISTS: PostgreSQL would gather
    all that is found before it reads the first row of the list."""
    row = looked_for.rows().filter(pk=OuterRef(key) + looked_for.kind.base)
    return Subquery(row.values("pk"))
