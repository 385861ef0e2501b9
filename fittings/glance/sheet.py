"""One thing to know at a glance: a table, what is drawn of it, and the sentence above it."""

from __future__ import annotations

import hashlib
import json
from collections.abc import Sequence
from dataclasses import asdict, dataclass, replace
from typing import Final, TypeVar

Cell = str | int | float
T = TypeVar("T")

# Fewer people than this behind a row could point to one of them.
FEWEST_PEOPLE: Final = 5


@dataclass(frozen=True, slots=True, kw_only=True)
class Bars:
    """Horizontal bars, one for each label; the series stand behind each other in a bar.

    `whiskers`: (low, high) of each bar of a single series.
    """

    labels: tuple[str, ...]
    series: tuple[tuple[str, tuple[float, ...]], ...]
    axis: str
    whiskers: tuple[tuple[float, float], ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Sheet:
    """`people`: for each row how many customers stand behind it, () where none can be told."""

    slug: str
    title: str
    said: tuple[str, ...]
    columns: tuple[str, ...]
    rows: tuple[tuple[Cell, ...], ...]
    bars: Bars
    people: tuple[int, ...] = ()
    note: str = ""

    @property
    def fingerprint(self) -> str:
        """The same for the same bars: what a drawn plot is kept under."""
        text = json.dumps(asdict(self.bars), sort_keys=True)
        return hashlib.sha256(text.encode()).hexdigest()[:20]

    @property
    def alternative(self) -> str:
        """What the plot says, for those who do not see it; the table beside it says it all."""
        return f"{self.title}, drawn as bars; the table beside it has the same numbers."


def for_eyes(sheet: Sheet, *, sees_people: bool) -> Sheet:
    """The sheet without rows that could point to one person, for those who may not see people."""
    if sees_people or not sheet.people:
        return sheet
    kept = [n for n, people in enumerate(sheet.people) if people >= FEWEST_PEOPLE]
    left_out = len(sheet.rows) - len(kept)
    if not left_out:
        return sheet
    bars = sheet.bars
    rows = "1 row is" if left_out == 1 else f"{left_out} rows are"
    return replace(
        sheet,
        rows=_kept(sheet.rows, kept),
        people=_kept(sheet.people, kept),
        said=_kept(sheet.said, kept) if len(sheet.said) == len(sheet.rows) else (),
        bars=replace(
            bars,
            labels=_kept(bars.labels, kept),
            series=tuple((name, _kept(values, kept)) for name, values in bars.series),
            whiskers=_kept(bars.whiskers, kept) if bars.whiskers else (),
        ),
        note=f"{sheet.note} {rows} left out: fewer than {FEWEST_PEOPLE} customers.".strip(),
    )


def _kept(things: Sequence[T], places: list[int]) -> tuple[T, ...]:
    return tuple(things[place] for place in places)


def as_rows(sheet: Sheet) -> list[tuple[Cell, ...]]:
    """The table with its headings, for a file."""
    return [sheet.columns, *sheet.rows]
