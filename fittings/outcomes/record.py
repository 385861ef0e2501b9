"""What is written down when a fitting is signed: what was read, and what came of work before it."""

from __future__ import annotations

import math
import uuid
from collections.abc import Iterable, Iterator
from dataclasses import replace
from typing import Any, Final

from django.db.models import Prefetch, Q

from fittings.fitting_room.proposals import SideProposals, both_sides
from fittings.models import Cause, Decision, Fitting, GarmentOnly, Need, Outcome, Ticket, TicketLine
from fittings.outcomes.pairs import Pair, Seen, Worked, pairs
from patterns.models import PatternVersion
from patterns.rules.case import Case, Crease, FindingSeen, SwingTest
from patterns.rules.correction import Correction, LeftAlone

# A pattern of more versions than this is followed back no further.
MOST_VERSIONS: Final = 500
OTHERWISE: Final = GarmentOnly.objects.filter(cause=Cause.OTHER_AMOUNT)


def keep(fitting: Fitting) -> None:
    """Write what was read at a fitting just signed, and the outcomes of what was worked before.

    Once: a fitting that has its needs is left as it is. Call it in the transaction that signs.
    """
    if fitting.needs.exists():
        return
    needs = Need.objects.bulk_create(_needs(fitting))
    by_place = {(need.side, need.rule): need for need in needs}
    if not needs:
        return
    sides = {str(s.side): s for s in both_sides(fitting)}
    seen = [_seen(need, sides[need.side]) for need in needs]
    before = list(_worked_before(fitting))
    Outcome.objects.bulk_create(
        _outcome(pair, by_place[pair.seen.side, pair.seen.rule]) for pair in pairs(before, seen)
    )


def _needs(fitting: Fitting) -> list[Need]:
    rows = Need.objects.filter(fitting__order=fitting.order_id).exclude(fitting=fitting)
    known = set(rows.values_list("side", "rule"))
    found: dict[tuple[str, str], Need] = {}
    for side in both_sides(fitting):
        if side.proposal is None or side.case is None:
            continue
        answers: list[Correction | LeftAlone] = [*side.proposal.corrections]
        for answer in [*answers, *side.proposal.left_alone]:
            rule, need_mm, sigma_mm, sources = _read(answer)
            if sigma_mm > 0:
                found.setdefault(
                    (side.side, rule),
                    Need(
                        fitting=fitting,
                        side=side.side,
                        rule=rule,
                        need_mm=need_mm,
                        sigma_mm=sigma_mm,
                        measured=is_measured(side.case, sources),
                        first=(side.side, rule) not in known,
                    ),
                )
    return list(found.values())


def _read(answer: Correction | LeftAlone) -> tuple[str, float, float, tuple[str, ...]]:
    if isinstance(answer, LeftAlone):
        return answer.rule, answer.shift_mm, answer.sigma_mm, answer.sources
    needed = answer.shift_mm * answer.shop_share
    return answer.grounds.rule, needed, answer.grounds.sigma_mm, answer.grounds.sources


def is_measured(case: Case, sources: tuple[str, ...]) -> bool:
    """Whether an amount was read, so that the usual one was not put in its place."""
    read = [r for r in case.readings if r.id in sources]
    return any(
        r.amount_mm is not None
        if isinstance(r, FindingSeen)
        else not isinstance(r, SwingTest | Crease)
        for r in read
    )


def _seen(need: Need, side: SideProposals) -> Seen:
    return Seen(
        side=need.side,
        rule=need.rule,
        need_mm=need.need_mm,
        sigma_mm=need.sigma_mm,
        measured=need.measured,
        settled=side.case is not None and not side.case.body.still_open,
    )


def _worked_before(fitting: Fitting) -> Iterator[Worked]:
    """What went onto tickets before this fitting, oldest first; of each thing the last counts.

    At the first fitting of a garment also what made the pattern it was cut from.
    """
    mine = Q(order=fitting.order_id) & (
        Q(fitting__held_on__lt=fitting.held_on)
        | Q(fitting__held_on=fitting.held_on, fitting__lt=fitting.pk)
    )
    if not Fitting.objects.filter(order=fitting.order_id, needs__isnull=False).exclude(
        pk=fitting.pk
    ):
        mine |= Q(pattern_after__in=_cut_from(fitting)) & ~Q(order=fitting.order_id)
    tickets = list(
        Ticket.objects.filter(mine, superseded_by=None)
        .prefetch_related(Prefetch("lines__garment_only", OTHERWISE.all(), to_attr="otherwise"))
        .defer("content")
        .order_by("issued_at", "pk")
    )
    fittings = [ticket.fitting_id for ticket in tickets]
    decisions = Decision.objects.standing().filter(fitting__in=fittings, came_of_it=None)
    by_place = {(d.fitting_id, d.side, d.key): d for d in decisions if d.outcome}
    measured = {
        (need.fitting_id, need.side, need.rule): need.measured
        for need in Need.objects.filter(fitting__in=fittings)
    }
    for turn, ticket in enumerate(tickets):
        for line in ticket.lines.all():
            decision = by_place.get((ticket.fitting_id, line.side, line.content.get("key", "")))
            rule = line.content.get("key", "").partition(":")[2]
            known = measured.get((ticket.fitting_id, line.side, rule), False)
            yield replace(
                _worked(line, rule, decision),
                turn=turn,
                measured=known and decision is not None,
                next_garment=ticket.order_id != fitting.order_id,
            )


def _worked(line: TicketLine, rule: str, decision: Decision | None) -> Worked:
    """`decision` None: what came of it is written already; it stands only before what follows."""
    proposal: dict[str, Any] = decision.proposal if decision else line.content
    share = float(proposal.get("shop_share", 1.0))
    return Worked(
        decision=decision.pk if decision else uuid.UUID(int=0),
        side=line.side,
        rule=rule,
        before_mm=proposal["shift_mm"] * share if decision else 0.0,
        before_sigma_mm=proposal["sigma_mm"] if decision else 0.0,
        worked_mm=_worked_mm(line),
        shop_share=share,
        provisional=bool(line.content.get("provisional")),
        done=line.done_at is not None,
    )


def _worked_mm(line: TicketLine) -> float:
    """What was really worked: as ticketed, or the other amount that was noted of the line."""
    ticketed = float(line.content.get("reachable_mm", line.content.get("shift_mm", 0.0)))
    noted: list[GarmentOnly] = getattr(line, "otherwise", [])
    if not noted or noted[0].amount_mm is None:
        return ticketed
    return math.copysign(float(noted[0].amount_mm), ticketed)


def _cut_from(fitting: Fitting) -> set[int]:
    """The pattern version on the customer and all it was made from, branches followed back."""
    version = fitting.read_against
    found: set[int] = set()
    while version is not None and len(found) < MOST_VERSIONS:
        parents = dict(
            PatternVersion.objects.filter(pattern=version.pattern_id).values_list("pk", "parent")
        )
        step: int | None = version.pk
        while step is not None and step not in found:
            found.add(step)
            step = parents.get(step)
        branched = version.pattern.branched_from
        version = branched if branched is not None and branched.pk not in found else None
    return found


def _outcome(pair: Pair, need: Need) -> Outcome:
    worked = pair.worked
    return Outcome(
        decision_id=worked.decision,
        need=need,
        before_mm=worked.before_mm,
        before_sigma_mm=worked.before_sigma_mm,
        worked_mm=worked.worked_mm,
        shop_share=worked.shop_share,
        after_mm=need.need_mm,
        after_sigma_mm=need.sigma_mm,
        next_garment=worked.next_garment,
        why_not_counted=pair.why_not_counted,
    )


def decisions_answered(fitting: int, lines: Iterable[TicketLine]) -> dict[int, Decision]:
    """By the line's position: the decision behind a ticket's line, where something came of it."""
    rows = Decision.objects.standing().filter(fitting=fitting, came_of_it__isnull=False)
    by_place = {(d.side, d.key): d for d in rows.select_related("came_of_it")}
    found = {line.position: (line.side, line.content.get("key", "")) for line in lines}
    return {position: by_place[at] for position, at in found.items() if at in by_place}
