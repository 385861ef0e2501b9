"""The order of checks down the side of the fitting page: how each stands, and what it waits for."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass
from typing import Any

from fittings.fitting_room.contested import unseen_check
from fittings.fitting_room.entries import checks_of
from fittings.fitting_room.proposals import settled
from fittings.models import Entry, EntryKind, Fitting
from fittings.views.fitting_garment import OnGarment
from patterns.rules.checks import SLEEVES, Check, not_to_be_trusted


@dataclass(frozen=True, slots=True, kw_only=True)
class Step:
    """One check: `settled` None when nobody said and nothing was seen there.

    `untrusted` says which earlier checks are still open; `line` is what was said last of it.
    """

    check: Check
    number: int
    settled: bool | None
    line: Any
    # What another said of it otherwise, unseen by whoever said it last.
    otherwise: Any
    untrusted: str
    unsaid_before: bool
    garment: OnGarment

    @property
    def id(self) -> str:
        return self.check.id

    @property
    def state(self) -> str:
        """A word for the shape: settled, open, unseen."""
        return {True: "settled", False: "open", None: "unseen"}[self.settled]

    @property
    def state_words(self) -> str:
        return {True: "settled", False: "open", None: "not looked at"}[self.settled]

    @property
    def offered_from(self) -> tuple[Any, ...]:
        """All that the list of what can be seen here is drawn from, but for the identities."""
        return (self.check, self.garment.unit, *(one.row for one in self.garment.offered))

    @property
    def is_sleeves(self) -> bool:
        return self.check.id == SLEEVES


def steps(
    fitting: Fitting,
    entries: Iterable[Entry],
    line: Callable[[Entry], Any],
    on_garment: Callable[[str], OnGarment],
) -> list[Step]:
    """Every check of the garment, from its standing entries of all sides; `line` says one."""
    standing = list(entries)
    order = checks_of(fitting)
    states = {check.id: state_of(standing, check.id) for check in order}
    done = {id_ for id_, state in states.items() if state}
    garment = fitting.order.garment
    return [
        Step(
            check=check,
            number=number,
            settled=states[check.id],
            line=_last_said(standing, check.id, line),
            otherwise=line(other) if (other := unseen_check(standing, check.id)) else None,
            untrusted=not_to_be_trusted(garment, check.id, done),
            unsaid_before=any(states[c.id] is None for c in order[: number - 1]),
            garment=on_garment(check.id),
        )
        for number, check in enumerate(order, start=1)
    ]


def state_of(entries: list[Entry], check: str) -> bool | None:
    """Settled or open as said last; something seen there since, or before anybody said: open."""
    of_check = [e for e in entries if is_of(e, check)]
    if not of_check or of_check[-1].kind == EntryKind.CHECK:
        return settled(entries, check)
    return False


def is_of(entry: Entry, check: str) -> bool:
    """Whether an entry was made at this check; readings are all of the sleeves."""
    if entry.kind == EntryKind.READING:
        return check == SLEEVES
    if entry.kind == EntryKind.FINDING:
        return bool(entry.data["row"]["check"] == check)
    return bool(entry.kind == EntryKind.CHECK and entry.data.get("check") == check)


def _last_said(entries: list[Entry], check: str, line: Callable[[Entry], Any]) -> Any:
    said = [e for e in entries if e.kind == EntryKind.CHECK and e.data.get("check") == check]
    return line(said[-1]) if said else None
