"""The numbers of a pattern version by version: a table for the eye, rows for a file."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Final

from django.utils import timezone

from patterns.geometry.refusals import GeometryRefused
from patterns.models import PatternVersion
from patterns.shown import Row, Value, numbers

SIDES: Final = ("left", "right")
BOTH: Final = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Cell:
    """One number at one version; `changed` from the version it was made from. None: not drawn."""

    value: Value | None
    changed: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class Line:
    """One number of one side ("left", "right", or "" for both alike) through the versions."""

    what: str
    side: str
    cells: tuple[Cell, ...]

    @property
    def moved(self) -> bool:
        return any(cell.changed for cell in self.cells)


def lines(versions: Sequence[PatternVersion]) -> list[Line]:
    """Every number through these versions, in their order; one line where both sides are alike."""
    rows = {version.pk: _rows(version) for version in versions}
    for version in versions:
        if version.parent is not None and version.parent.pk not in rows:
            rows[version.parent.pk] = _rows(version.parent)
    names = next(([row.what for row in found] for found in rows.values() if found), [])
    found = []
    for place, what in enumerate(names):
        left, right = (
            tuple(_cell(rows, version, place, side) for version in versions) for side in SIDES
        )
        if left == right:
            found.append(Line(what=what, side=BOTH, cells=left))
        else:
            found += [Line(what=what, side="left", cells=left)]
            found += [Line(what=what, side="right", cells=right)]
    return found


def _rows(version: PatternVersion) -> list[Row]:
    try:
        return numbers(version)
    except GeometryRefused:
        return []


def _cell(rows: dict[int, list[Row]], version: PatternVersion, place: int, side: str) -> Cell:
    own = rows[version.pk]
    if not own:
        return Cell(value=None, changed=False)
    value: Value = getattr(own[place], side)
    before = rows[version.parent_id] if version.parent_id else []
    return Cell(value=value, changed=bool(before) and getattr(before[place], side) != value)


def file_rows(
    versions: Sequence[PatternVersion], unit: str, mm_per: float
) -> Iterator[tuple[str, ...]]:
    """A heading and a row for each number of each side of each version, lengths in `unit`."""
    yield "pattern", "version", "made", "number", "side", "amount", "unit", "way", "changed"
    found = lines(versions)
    for column, version in enumerate(versions):
        made = timezone.localtime(version.made_at).date().isoformat()
        for line in found:
            cell = line.cells[column]
            if cell.value is None:
                continue
            for side in (line.side,) if line.side else SIDES:
                yield (
                    str(version.pattern.number),
                    str(version.number),
                    made,
                    line.what,
                    f"wearer's {side}",
                    *_amount(cell.value, unit, mm_per),
                    cell.value.way,
                    "changed" if cell.changed else "",
                )


def _amount(value: Value, unit: str, mm_per: float) -> tuple[str, str]:
    if value.unit != "mm":
        return f"{value.size:g}", "degrees"
    return f"{round(value.size / mm_per, 3):g}", unit
