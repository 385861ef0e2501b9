"""The last step taken at a fitting, and taking it back: what one tap did goes in one tap."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass
from typing import TYPE_CHECKING

from django.db import transaction

from fittings.entries import remove_entry
from fittings.models import Decision, Entry, EntryKind, Fitting
from fittings.refusals import Frozen
from fittings.said import entry_said

if TYPE_CHECKING:
    from tailorshop.models import User

MOVED_ON = "Something was entered since: look at what the last step is now."


@dataclass(frozen=True, slots=True, kw_only=True)
class LastStep:
    """What undo would take back: entries made, or decisions made, by one tap."""

    entries: tuple[Entry, ...] = ()
    decisions: tuple[Decision, ...] = ()

    @property
    def id(self) -> str:
        return str((self.entries or self.decisions)[-1].pk)

    @property
    def shown_at(self) -> dict[str, str]:
        """Where the page shows it: under a check, of a side, or a check itself; {}: in more than
        one place."""
        places = {_place(one) for one in self.entries} | {_place(one) for one in self.decisions}
        return dict([places.pop()]) if len(places) == 1 else {}

    def said(self, unit: str) -> str:
        """In words; of several at once the last, and how many."""
        if self.entries:
            words, count = entry_said(self.entries[-1], unit), len(self.entries)
        else:
            last, count = self.decisions[-1], len(self.decisions)
            title = (last.outcome or last.proposal)["title"]
            words = f"{last.get_verdict_display()}: {title}"
        return words if count == 1 else f"{words} (and {count - 1} more)"


def _place(one: Entry | Decision) -> tuple[str, str]:
    if isinstance(one, Decision):
        return ("garment", one.proposal["check"]) if "check" in one.proposal else ("side", one.side)
    if one.kind == EntryKind.FINDING:
        return "garment", one.data["row"]["check"]
    if one.kind == EntryKind.CHECK:
        return "check", one.data["check"]
    return "side", one.side


def last_step(fitting: Fitting) -> LastStep | None:
    """The newest by the device's clock that can be taken back, or None. At most four queries.

    Of a signed fitting only what was added since: a decision stays as it was signed.
    """
    entries = fitting.entries.standing().order_by("-made_at", "-received_at")
    if fitting.is_signed:
        entries = entries.filter(after_signing=True)
    entry = entries.first()
    decisions = fitting.decisions.standing().order_by("-decided_at")
    decision = None if fitting.is_signed else decisions.first()
    if decision and (entry is None or decision.decided_at > entry.made_at):
        same = decisions.filter(decided_at=decision.decided_at, decided_by=decision.decided_by)
        return LastStep(decisions=tuple(same))
    if entry is None:
        return None
    made = entries.filter(made_at=entry.made_at, made_by=entry.made_by, kind=entry.kind)
    return LastStep(entries=tuple(reversed(made)))


def undo(fitting: Fitting, seen: str, *, by: User, at: dt.datetime) -> LastStep:
    """Take the last step back, and answer it.

    `seen` is the id of the step that was shown. Refuses (Frozen) where it is no longer the last.
    """
    with transaction.atomic():
        step = last_step(fitting)
        if step is None or step.id != seen:
            raise Frozen(MOVED_ON)
        for entry in step.entries:
            remove_entry(fitting, entry, by=by, at=at)
        for decision in step.decisions:
            decision.withdrawn_at = at
            decision.save(update_fields=["withdrawn_at"])
    return step
