"""The last step taken at a fitting, and taking it back: what one tap did goes in one tap."""

from __future__ import annotations

import datetime as dt
import uuid
from dataclasses import dataclass
from typing import TYPE_CHECKING

from django.db import transaction

from fittings.fitting_room.entries import remove_entry
from fittings.fitting_room.places import is_signed_now
from fittings.fitting_room.said import entry_said
from fittings.models import Decision, Entry, EntryKind, Fitting
from fittings.refusals import Frozen
from fittings.units import in_units

if TYPE_CHECKING:
    from django.db.models import QuerySet

    from tailorshop.models import User


@dataclass(frozen=True, slots=True, kw_only=True)
class LastStep:
    """What undo would take back: entries made, or decisions made, by one tap; neither where all of
    it is taken back already."""

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

    @property
    def where(self) -> str:
        """The id of what the page shows it in; of several at once the last."""
        kind, name = _place((self.entries or self.decisions)[-1])
        return {"garment": f"seen-{name}", "check": f"check-{name}-form"}.get(kind, f"side-{name}")

    def said(self, unit: str) -> str:
        """In words; of several at once the last, and how many."""
        if not self.entries and not self.decisions:
            return "taken back already"
        if self.entries:
            words, count = entry_said(self.entries[-1], unit), len(self.entries)
        else:
            last, count = self.decisions[-1], len(self.decisions)
            title = in_units((last.outcome or last.proposal)["title"], unit)
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
    """The one that stands last and can be taken back, or None. At most four queries.

    Of a signed fitting only what was added since: a decision stays as it was signed.
    """
    entries = fitting.entries.standing()
    if fitting.is_signed:
        entries = entries.filter(after_signing=True)
    entry = entries.last()
    decisions = fitting.decisions.standing()
    decision = None if fitting.is_signed else decisions.last()
    if decision and (entry is None or _comes_after(decision, entry)):
        return _decided_with(decision, decisions)
    return None if entry is None else _made_with(entry, entries)


def _comes_after(decision: Decision, entry: Entry) -> bool:
    return (decision.place, decision.decided_at) > (entry.place, entry.made_at)


def step_of(fitting: Fitting, seen: uuid.UUID) -> LastStep | None:
    """What is left standing of one tap; None where nothing came of it.

    `seen` is the id of the step as a page showed it, or the identity of the tap itself.
    """
    for entry in fitting.entries.all():
        if entry.pk in _ids(seen, entry.side, entry.data.get("check", "")):
            return _made_with(entry, fitting.entries.standing())
    for decision in fitting.decisions.all():
        if decision.pk in _ids(seen, f"{decision.side}|{decision.key}"):
            return _decided_with(decision, fitting.decisions.standing())
    return None


def _made_with(entry: Entry, among: QuerySet[Entry]) -> LastStep:
    same = among.filter(made_at=entry.made_at, made_by=entry.made_by_id)
    return LastStep(entries=tuple(same))


def _decided_with(decision: Decision, among: QuerySet[Decision]) -> LastStep:
    same = among.filter(decided_at=decision.decided_at, decided_by=decision.decided_by_id)
    return LastStep(decisions=tuple(same))


def _ids(tap: uuid.UUID, *parts: str) -> set[uuid.UUID]:
    """The identities of what one tap makes: its own, or one for each side, check or proposal."""
    return {tap, *(uuid.uuid5(tap, part) for part in parts)}


def undo(fitting: Fitting, seen: uuid.UUID, *, by: User, at: dt.datetime) -> LastStep | None:
    """Take back the step that was shown, and answer what of it was still there to take back.

    What was entered since stays: the tap may have waited on a device without network. None where
    nothing is known of it. Refuses (Frozen) what was signed.
    """
    with transaction.atomic():
        step = step_of(fitting, seen)
        if step is None:
            return None
        for entry in step.entries:
            remove_entry(fitting, entry, by=by, at=at)
        if step.decisions and is_signed_now(fitting):
            raise Frozen("The fitting is signed: what was decided stays as it was signed.")
        for decision in step.decisions:
            decision.withdrawn_at = at
            decision.save(update_fields=["withdrawn_at"])
    return step
