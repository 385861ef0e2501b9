"""From the entries of a fitting to what is proposed on each side, and what was decided of it."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from typing import Final

from fittings.fitting_room.contested import decisions_shown
from fittings.fitting_room.proposed import AnyProposed, Proposed, ProposedOnGarment
from fittings.models import (
    SLEEVE_PLACES,
    Decision,
    Entry,
    EntryKind,
    Fitting,
    OrderInlay,
    ShopFactor,
    Side,
)
from fittings.outcomes.in_force import factors_for, shares
from patterns.rules.case import Body, Case, InlayPlace, Stage, Tolerances
from patterns.rules.case import Side as RuleSide
from patterns.rules.checks import has_sleeves
from patterns.rules.correction import Proposal
from patterns.rules.document import read_reading
from patterns.rules.garment import (
    GarmentAnswers,
    Seen,
    propose_on_garment,
)
from patterns.rules.garment_finding import GarmentFinding
from patterns.rules.pattern import SidePattern
from patterns.rules.propose import propose

NOTHING_TAKEN: Final[Mapping[str, float]] = {}


@dataclass(frozen=True, kw_only=True)
class SideProposals:
    """Everything about one sleeve at a fitting, and what was seen of the garment on its side.

    Of the garment as a whole (side "") there is no sleeve.
    """

    side: Side
    entries: tuple[Entry, ...] = ()
    case: Case | None = None
    proposal: Proposal | None = None
    proposed: tuple[Proposed, ...] = ()
    # Decisions whose proposal the readings no longer make.
    fallen: tuple[Decision, ...] = field(default=())
    garment: GarmentAnswers = field(default_factory=GarmentAnswers)
    on_garment: tuple[ProposedOnGarment, ...] = ()

    @property
    def all_proposed(self) -> tuple[AnyProposed, ...]:
        """In the order of a fitting: the garment first, then the sleeve."""
        return (*self.on_garment, *self.proposed)

    @property
    def undecided(self) -> tuple[AnyProposed, ...]:
        return tuple(p for p in self.all_proposed if not p.is_decided)

    def find(self, key: str) -> AnyProposed | None:
        return next((p for p in self.all_proposed if p.correction.key == key), None)


def both_sides(fitting: Fitting) -> tuple[SideProposals, SideProposals]:
    """The wearer's left, then the wearer's right; see `every_side`."""
    _, left, right = every_side(fitting)
    return left, right


def every_side(
    fitting: Fitting, draft: Entry | None = None
) -> tuple[SideProposals, SideProposals, SideProposals]:
    """The garment as a whole, the wearer's left, the wearer's right.

    Four queries, however much was entered. `draft` is one more entry, not kept: what would be
    proposed with it.
    """
    entries = list(fitting.entries.standing().select_related("made_by"))
    entries += [draft] if draft else []
    decisions = decisions_shown(fitting)
    inlays = list(fitting.order.inlays.all())
    factors = factors_for(fitting)
    whole = _side(fitting, Side.BODY, entries, decisions, inlays, factors)
    taken: defaultdict[str, float] = defaultdict(float)
    for one in whole.on_garment:
        taken[one.correction.remedy.account] += one.correction.reachable_mm
    left, right = (
        _side(fitting, side, entries, decisions, inlays, factors, taken)
        for side in (Side.LEFT, Side.RIGHT)
    )
    return whole, left, right


def one_side(fitting: Fitting, side: str, draft: Entry | None = None) -> SideProposals:
    return next(one for one in every_side(fitting, draft) if one.side == side)


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
    taken_mm: Mapping[str, float] = NOTHING_TAKEN,
) -> SideProposals:
    """`taken_mm`: inlay that the garment as a whole takes on this side before it."""
    mine = tuple(e for e in entries if e.side == side)
    decided = {d.key: d for d in decisions if d.side == side}
    garment = propose_on_garment(
        _seen(mine),
        side=side,
        stage=Stage(fitting.stage),
        left_mm=_left_on_garment(inlays, side, taken_mm),
    )
    on_garment = tuple(
        ProposedOnGarment(correction=c, decision=decided.pop(c.key, None))
        for c in garment.corrections
    )
    case = _case(fitting, side, entries, inlays, shares(factors, decided.values()))
    proposal: Proposal | None = None
    proposed: tuple[Proposed, ...] = ()
    if case is not None:
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
        garment=garment,
        on_garment=on_garment,
    )


def _left_on_garment(
    inlays: Iterable[OrderInlay], side: Side, taken_mm: Mapping[str, float]
) -> dict[str, float]:
    """What is left at each place, mm: of the garment as a whole the lesser of both sides."""
    found: dict[str, float] = {}
    for inlay in inlays:
        if side in (Side.BODY, inlay.side):
            left = max(0.0, float(inlay.left_mm) - taken_mm.get(inlay.place, 0.0))
            found[inlay.place] = min(left, found.get(inlay.place, left))
    return found


def _seen(entries: Iterable[Entry]) -> list[Seen]:
    return [
        Seen(
            id=str(entry.id),
            row=GarmentFinding.read(entry.data["row"]),
            answer=entry.data.get("answer", ""),
            amount_mm=entry.data.get("amount_mm"),
        )
        for entry in entries
        if entry.kind == EntryKind.FINDING
    ]


def _case(
    fitting: Fitting,
    side: Side,
    entries: list[Entry],
    inlays: list[OrderInlay],
    shop_shares: dict[str, float],
) -> Case | None:
    """What the rules of the sleeve are given; None where there is no sleeve or no pattern."""
    version = fitting.read_against
    if version is None or side == Side.BODY or not has_sleeves(fitting.order.garment):
        return None
    pattern = SidePattern.read(version.sides[side])
    readings = [e for e in entries if e.side == side and e.kind == EntryKind.READING]
    return Case(
        side=RuleSide(side),
        stage=Stage(fitting.stage),
        armhole=pattern.armhole,
        sleeve=pattern.sleeve,
        readings=tuple(read_reading({**e.data, "id": str(e.id)}) for e in readings),
        inlays_mm={
            InlayPlace(i.place): float(i.left_mm)
            for i in inlays
            if i.side == side and i.place in SLEEVE_PLACES
        },
        body=Body(
            balance_settled=settled(entries, "balance"),
            shoulders_settled=settled(entries, "shoulders"),
        ),
        tolerances=Tolerances(),
        shop_shares=shop_shares,
    )
