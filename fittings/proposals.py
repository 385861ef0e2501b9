"""From the entries of a fitting to what is proposed on each side, and what was decided of it."""

from __future__ import annotations

from dataclasses import dataclass, field
from functools import cached_property
from typing import Any

from fittings.models import Decision, Entry, EntryKind, Fitting, OrderInlay, ShopFactor, Side
from fittings.outcomes.in_force import factors_for, shares
from patterns.rules.case import Body, Case, InlayPlace, Stage, Tolerances
from patterns.rules.case import Side as RuleSide
from patterns.rules.correction import Correction, Proposal
from patterns.rules.document import read_reading
from patterns.rules.pattern import SidePattern
from patterns.rules.propose import is_worth_cutting, propose
from patterns.rules.report import correction_report

# Two amounts nearer than this are the same proposal.
SAME_MM = 0.05


@dataclass(frozen=True, kw_only=True)
class Proposed:
    """One proposal and what was decided of it; stale: the readings have changed since."""

    case: Case
    correction: Correction
    decision: Decision | None = None

    @cached_property
    def document(self) -> dict[str, Any]:
        return correction_report(self.correction)

    @property
    def is_stale(self) -> bool:
        if self.decision is None:
            return False
        decided = self.decision.proposal
        return bool(
            decided["operation"] != self.correction.operation.value
            or abs(decided["shift_mm"] - self.correction.shift_mm) > SAME_MM
        )

    @property
    def can_accept(self) -> bool:
        """Whether enough of it can be reached in this cloth to be worth cutting."""
        return is_worth_cutting(self.case, self.correction)

    @property
    def is_decided(self) -> bool:
        return self.decision is not None and not self.is_stale


@dataclass(frozen=True, kw_only=True)
class SideProposals:
    """Everything about one sleeve at a fitting."""

    side: Side
    entries: tuple[Entry, ...] = ()
    case: Case | None = None
    proposal: Proposal | None = None
    proposed: tuple[Proposed, ...] = ()
    # Decisions whose proposal the readings no longer make.
    fallen: tuple[Decision, ...] = field(default=())

    @property
    def undecided(self) -> tuple[Proposed, ...]:
        return tuple(p for p in self.proposed if not p.is_decided)

    def find(self, key: str) -> Proposed | None:
        return next((p for p in self.proposed if p.correction.key == key), None)


def both_sides(fitting: Fitting) -> tuple[SideProposals, SideProposals]:
    """The wearer's left, then the wearer's right. Four queries, however much was entered."""
    entries = list(fitting.entries.standing().select_related("made_by"))
    decisions = list(fitting.decisions.standing().select_related("decided_by"))
    inlays = list(fitting.order.inlays.all())
    factors = factors_for(fitting)
    left, right = (
        _side(fitting, side, entries, decisions, inlays, factors)
        for side in (Side.LEFT, Side.RIGHT)
    )
    return left, right


def one_side(fitting: Fitting, side: str) -> SideProposals:
    left, right = both_sides(fitting)
    return left if side == Side.LEFT else right


def settled(entries: list[Entry], check: str) -> bool | None:
    """What the newest entry says of a check; None when nobody said."""
    said = [e for e in entries if e.kind == EntryKind.CHECK and e.data.get("check") == check]
    return said[-1].data.get("state") == "settled" if said else None


def _side(
    fitting: Fitting,
    side: Side,
    entries: list[Entry],
    decisions: list[Decision],
    inlays: list[OrderInlay],
    factors: list[ShopFactor],
) -> SideProposals:
    mine = tuple(e for e in entries if e.side == side)
    decided = {d.key: d for d in decisions if d.side == side}
    version = fitting.read_against
    if version is None:
        return SideProposals(side=side, entries=mine)
    pattern = SidePattern.read(version.sides[side])
    readings = [e for e in mine if e.kind == EntryKind.READING]
    case = Case(
        side=RuleSide(side),
        stage=Stage(fitting.stage),
        armhole=pattern.armhole,
        sleeve=pattern.sleeve,
        readings=tuple(read_reading({**e.data, "id": str(e.id)}) for e in readings),
        inlays_mm={InlayPlace(i.place): float(i.left_mm) for i in inlays if i.side == side},
        body=Body(
            balance_settled=settled(entries, "balance"),
            shoulders_settled=settled(entries, "shoulders"),
        ),
        tolerances=Tolerances(),
        shop_shares=shares(factors, decided.values()),
    )
    proposal = propose(case)
    proposed = tuple(
        Proposed(case=case, correction=c, decision=decided.pop(c.key, None))
        for c in proposal.corrections
    )
    return SideProposals(
        side=side,
        entries=mine,
        case=case,
        proposal=proposal,
        proposed=proposed,
        fallen=tuple(decided.values()),
    )
