"""What one check shows of the garment: what can be logged, what was, what is proposed and asked."""

from __future__ import annotations

import uuid
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any, Final

from fittings.fitting_room.proposals import SideProposals
from fittings.fitting_room.proposed import AnyProposed
from fittings.models import Decision, Entry, EntryKind, Side
from patterns.rules.correction import Question
from patterns.rules.garment_correction import OPERATION
from patterns.rules.garment_finding import GarmentFinding

# What is offered where only a measured amount will do: one tap (another amount: amend it).
AMOUNTS_MM: Final[Mapping[str, tuple[float, ...]]] = {
    "cm": (5, 10, 15, 20, 30, 40),
    "mm": (5, 10, 15, 20, 30, 40),
    "in": (6.35, 9.525, 12.7, 19.05, 25.4, 38.1),
}


@dataclass(frozen=True, slots=True, kw_only=True)
class Offered:
    """One row that can be logged; the identity is that of the next tap on it."""

    row: GarmentFinding
    identity: str = field(default_factory=lambda: str(uuid.uuid4()))


@dataclass(frozen=True, slots=True, kw_only=True)
class Asked:
    """A question to one finding, answered by a tap: a remedy of the row, or an amount."""

    side: Side
    row: GarmentFinding
    question: Question
    amounts_mm: tuple[float, ...]
    identity: str = field(default_factory=lambda: str(uuid.uuid4()))

    @property
    def asks_which(self) -> bool:
        return bool(self.question.answers)

    @property
    def asks_amount(self) -> bool:
        return not self.question.answers and self.row.usual_mm is None


@dataclass(frozen=True, slots=True, kw_only=True)
class OnGarment:
    """All of it for one check."""

    unit: str
    offered: list[Offered]
    lines: list[Any]
    taken_back: list[Any]
    cards: list[Any]
    asked: list[Asked]
    left_alone: list[str]
    fallen: list[Decision]

    @property
    def identities(self) -> list[str]:
        """Those of the next taps."""
        return [one.identity for one in self.offered]

    @property
    def acceptable(self) -> list[Any]:
        """What one tap accepts: shown, undecided, and reachable in this cloth."""
        cards = [card for card in self.cards if not card.proposed.is_decided]
        return [card for card in cards if card.proposed.can_accept]


Line = Callable[[Entry], Any]
MakeCard = Callable[[SideProposals, AnyProposed], Any]


def on_garment(
    check: str,
    *,
    rows: Iterable[GarmentFinding],
    sides: Sequence[SideProposals],
    taken_back: Iterable[Entry],
    unit: str,
    line: Line,
    card: MakeCard,
) -> OnGarment:
    """One check; `sides` are the garment as a whole, the wearer's left, the wearer's right."""
    return OnGarment(
        unit=unit,
        offered=[Offered(row=row) for row in rows],
        lines=[line(e) for side in sides for e in side.entries if _is_seen_at(e, check)],
        taken_back=[line(e) for e in taken_back if _is_seen_at(e, check)],
        cards=[
            card(side, proposed)
            for side in sides
            for proposed in side.on_garment
            if proposed.correction.row.check == check
        ],
        asked=[
            Asked(side=side.side, row=row, question=question, amounts_mm=AMOUNTS_MM[unit])
            for side in sides
            for row, question in side.garment.questions
            if row.check == check
        ],
        left_alone=[
            left.text
            for side in sides
            for left in side.garment.left_alone
            if _check_of(side, left.rule) == check
        ],
        fallen=[
            decision
            for side in sides
            for decision in side.fallen
            if is_on_garment(decision) and decision.proposal["check"] == check
        ],
    )


def is_on_garment(decision: Decision) -> bool:
    return decision.key.startswith(f"{OPERATION}:")


def _is_seen_at(entry: Entry, check: str) -> bool:
    return entry.kind == EntryKind.FINDING and bool(entry.data["row"]["check"] == check)


def _check_of(side: SideProposals, finding: str) -> str:
    rows = (e.data["row"] for e in side.entries if e.kind == EntryKind.FINDING)
    return next((str(row["check"]) for row in rows if row["id"] == finding), "")
