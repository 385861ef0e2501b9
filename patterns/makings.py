"""The seams, inlays and vent that go with a version: kept with the draft that chose them."""

from __future__ import annotations

from typing import Any, Final

from patterns.geometry.making import Making
from patterns.models import PatternVersion

SIDES: Final = ("left", "right")
DRAFT: Final = "draft"
_Rows = dict[int, tuple[int | None, list[dict[str, Any]]]]


def makings(version: PatternVersion) -> dict[str, Making | None]:
    """For "left" and "right" what was chosen last, at this version or one it came from.

    None where nothing was chosen. One query for a pattern, one more for each pattern it was
    branched from while nothing is found.
    """
    found: dict[str, Making | None] = dict.fromkeys(SIDES)
    at: int | None = version.pk
    rows: _Rows = {}
    while at is not None and None in found.values():
        if at not in rows:
            rows = _rows(at)
        at, changes = rows[at]
        for change in changes:
            side = str(change.get("side"))
            if change.get("operation") == DRAFT and found.get(side) is None:
                found[side] = Making.read(change["making"])
    return found


def draft_change(side: str, making: Making, words: list[str]) -> dict[str, Any]:
    """What a version keeps of a draft of one side: the making, and what it changed in words."""
    return {"side": side, "operation": DRAFT, "making": making.written(), "words": words}


def _rows(pk: int) -> _Rows:
    """Every version of the pattern this one is of, with its parent and changes."""
    rows = PatternVersion.objects.filter(pattern__versions=pk)
    return {
        row: (parent, changes)
        for row, parent, changes in rows.values_list("pk", "parent", "changes")
    }
