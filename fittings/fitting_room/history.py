"""What happened at a fitting, in order: entered, taken back, put back, decided, withdrawn."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator
from dataclasses import dataclass
from heapq import merge
from typing import Any

from fittings.fitting_room.said import entry_said
from fittings.models import Decision, Entry, Fitting, Side
from fittings.units import in_units
from patterns.history import PEOPLE


@dataclass(frozen=True, slots=True, kw_only=True)
class Happened:
    """One thing that somebody did; `side` in words, "" where it is of the whole garment."""

    at: dt.datetime
    by: str
    what: str
    side: str
    words: str


def happened(fitting: Fitting, unit: str) -> list[Happened]:
    """Newest first. Two queries, however much happened.

    Entries stand in the order in which they were kept, and so do decisions, even where the shop's
    clock was set back; one among the other by that clock.
    """
    entries = _entries(_records(Entry, fitting, "made_by"), unit)
    decisions = _decisions(_records(Decision, fitting, "decided_by"), unit)
    return list(merge(entries, decisions, key=lambda row: row.at))[::-1]


def _records(kind: Any, fitting: Fitting, by: str) -> Any:
    """What is kept of every change of the rows of this fitting, oldest first."""
    rows = kind.history.filter(fitting_id=fitting.pk).select_related(*PEOPLE, by)
    return rows.order_by("history_id")


def _entries(records: Any, unit: str) -> Iterator[Happened]:
    was_removed: dict[Any, bool] = {}
    for record in records:
        removed = record.removed_at is not None
        before = was_removed.get(record.id)
        what = "Entered" if before is None else "Taken back" if removed else "Put back"
        if before is None and record.after_signing:
            what = "Added after signing"
        if before != removed:
            yield _row(record, record.made_by, what, entry_said(record.instance, unit))
        was_removed[record.id] = removed


def _decisions(records: Any, unit: str) -> Iterator[Happened]:
    known: set[Any] = set()
    for record in records:
        title = in_units((record.outcome or record.proposal)["title"], unit)
        what = "Decision withdrawn" if record.id in known else record.get_verdict_display()
        yield _row(record, record.decided_by, what, title)
        known.add(record.id)


def _row(record: Any, made_by: Any, what: str, words: str) -> Happened:
    return Happened(
        at=record.history_date,
        by=record.history_who or str(made_by),
        what=what,
        side=str(Side(record.side).label) if record.side else "",
        words=words,
    )
