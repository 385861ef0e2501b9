"""The time line as a drawing: a lane for each pattern, a mark for each version, joints between.

Time runs to the right, one step a version, not to scale: each step bears its date.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

import numpy as np
from django.utils import timezone

from patterns.drawing.sheet import BARE_MARGIN_MM, FAINT, NEW, OLD, Sheet
from patterns.geometry.arclength import FloatArray
from patterns.models import Pattern, PatternVersion

_STEP_MM: Final = 22.0
_LANE_MM: Final = 20.0
_MARK_MM: Final = 4.2
_WORDS_MM: Final = 3.8
_LINE_MM: Final = 4.9
_LEAD_MM: Final = 8.0
_CAP_MM: Final = np.array([0.0, 3.0])
_DIP_MM: Final = np.array([0.0, 6.6])
_LONGEST: Final = 44


@dataclass(frozen=True, slots=True, kw_only=True)
class _Place:
    version: PatternVersion
    x_mm: float
    y_mm: float

    @property
    def at(self) -> FloatArray:
        return np.array([self.x_mm, self.y_mm])

    def beside(self, x_mm: float) -> FloatArray:
        return np.array([self.x_mm + x_mm, self.y_mm])


def lanes(versions: Sequence[PatternVersion], patterns: Sequence[Pattern]) -> str:
    """SVG of these versions (in any order), each in its pattern's lane; "" where there are none.

    Solid line: versions follow each other. Broken line: a branch, from the version it came from.
    A bar across the end: retired. A lane that goes on before or after these versions has an open
    end.
    """
    drawn = sorted(versions, key=lambda one: (one.made_at, one.pattern_id, one.number))
    if not drawn:
        return ""
    rows = [pattern for pattern in patterns if any(v.pattern_id == pattern.pk for v in drawn)]
    row_of = {pattern.pk: row for row, pattern in enumerate(rows)}
    places = {
        version.pk: _Place(
            version=version, x_mm=column * _STEP_MM, y_mm=row_of[version.pattern_id] * _LANE_MM
        )
        for column, version in enumerate(drawn)
    }
    sheet = Sheet("Patterns through the years", _told(drawn, rows))
    _dates(sheet, list(places.values()), len(rows))
    for pattern in rows:
        own = [place for place in places.values() if place.version.pattern_id == pattern.pk]
        _lane(sheet, pattern, own, places)
    for place in places.values():
        _mark(sheet, place)
    return sheet.svg(BARE_MARGIN_MM)


def _lane(sheet: Sheet, pattern: Pattern, own: list[_Place], places: dict[int, _Place]) -> None:
    for before, place in zip([None, *own], own, strict=False):
        source = place.version.parent_id
        if source not in places:
            if source is not None:
                sheet.strokes([[place.beside(-_LEAD_MM), place.at]], OLD, "goes on before")
        elif places[source] is before:
            sheet.strokes([[before.at, place.at]], NEW, "lane")
        elif places[source].version.pattern_id == pattern.pk:
            _dip(sheet, places[source], place)
        else:
            _joint(sheet, places[source], place)
    last = own[-1]
    if pattern.retired_on:
        end = last.beside(_LEAD_MM)
        sheet.strokes([[last.at, end]], NEW, "lane")
        sheet.strokes([[end - _CAP_MM, end + _CAP_MM]], NEW, "retired")
        sheet.words("retired", float(end[0]) + 1.5, float(end[1]), size_mm=_WORDS_MM)
    over = own[0].y_mm - _MARK_MM - _LINE_MM * 0.8
    name = f"{pattern.number} {pattern.name}"[:_LONGEST]
    sheet.words(name, own[0].x_mm - _MARK_MM, over, size_mm=_WORDS_MM, bold=True)


def _dip(sheet: Sheet, source: _Place, place: _Place) -> None:
    """Under the marks between, where a version was not made from the one before it."""
    low = [source.at + _DIP_MM, place.at + _DIP_MM]
    sheet.strokes([[source.at, low[0]], [low[0], low[1]], [low[1], place.at]], NEW, "lane")


def _joint(sheet: Sheet, source: _Place, first: _Place) -> None:
    """From the version down (or up) to the branch's lane, then along it to where it begins."""
    corner = np.array([source.x_mm, first.y_mm])
    sheet.strokes([[source.at, corner], [corner, first.at]], OLD, "branch")


def _mark(sheet: Sheet, place: _Place) -> None:
    sheet.disc(place.at, _MARK_MM, solid=False)
    sheet.words(
        str(place.version.number),
        place.x_mm,
        place.y_mm,
        anchor="middle",
        size_mm=_WORDS_MM,
        bold=True,
    )


def _dates(sheet: Sheet, places: list[_Place], rows: int) -> None:
    """The day under each step, the year where it is a new one."""
    low = (rows - 1) * _LANE_MM + _MARK_MM + 2 * _LINE_MM
    year = 0
    for place in places:
        made = timezone.localtime(place.version.made_at)
        down = np.array([place.x_mm, low - _LINE_MM * 0.6])
        sheet.strokes([[place.at, down]], FAINT, "date")
        sheet.words(f"{made.day} {made:%b}", place.x_mm, low, anchor="middle", size_mm=_WORDS_MM)
        if made.year != year:
            sheet.words(
                str(made.year),
                place.x_mm,
                low + _LINE_MM,
                anchor="middle",
                size_mm=_WORDS_MM,
                bold=True,
            )
        year = made.year


def _told(versions: Sequence[PatternVersion], patterns: Sequence[Pattern]) -> str:
    """The lanes in a sentence; the list under the drawing says all of it."""
    parts = []
    for pattern in patterns:
        numbers = [str(v.number) for v in versions if v.pattern_id == pattern.pk]
        branch = f", branched from {pattern.branched_from}" if pattern.branched_from else ""
        retired = ", retired" if pattern.retired_on else ""
        parts.append(f"{pattern}{branch}: versions {', '.join(numbers)}{retired}")
    return "; ".join(parts) + ". The list below says the same with what caused each."
