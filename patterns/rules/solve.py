"""All readings of one side answered together, by the smallest set of changes.

A pitch turn moves both seams along the armhole, an elbow turn changes what shows of the hindarm,
a seam moved alone leaves the elbow: so the readings are solved together, within quarters, inlays
and stage. What stays open is said, and so is every simpler way that was refused.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace
from functools import partial
from typing import Final

from patterns.geometry.pitch import angle_from_shift
from patterns.geometry.section import bend_from_lengths
from patterns.rules import tube, words
from patterns.rules.case import Case, Stage
from patterns.rules.cloth import spend
from patterns.rules.correction import Correction, Grounds
from patterns.rules.hang import Hang, elbow_points_deg, elbow_section, hang_of
from patterns.rules.limits import Amounts, Limit, limits_of
from patterns.rules.moving import move_hindarm_only, turn_elbow
from patterns.rules.plans import (
    ELBOW,
    LENGTH,
    SEAM_ONLY,
    TURN,
    Fit,
    Plan,
    best_fit,
    fit,
    judged,
)
from patterns.rules.propose import finished
from patterns.rules.solution import Residual, Solution, compare_sides, in_words, solve_report
from patterns.rules.targets import Quantity, Target, targets_of
from patterns.rules.turning import leaves_quarter, recut, turned

__all__ = ["Residual", "Solution", "compare_sides", "solve", "solve_report"]

_NOTHING_MM: Final = 1e-6
_NEAR_MM: Final = 1e-2
# Late, only what leaves the sleeve in: length; at the finish a turn of the notches too.
_LATE: Final = {Stage.FINISH: {TURN, LENGTH}, Stage.DELIVERED: {LENGTH}}
_LATE_SAID: Final = {
    Stage.FINISH: "at the finish fitting only length and a turn of the notches are usual",
    Stage.DELIVERED: "the garment is delivered, and anything but length takes the sleeve out",
}


def solve(case: Case) -> Solution:
    """The fewest changes that close every reading of pitch, elbow, hindarm, bend and length.

    Crown, width and the rest stay with their own rules. Refuses GeometryRefused a sleeve whose
    seams lie where no law reaches.
    """
    now = hang_of(case.sleeve, case.armhole)
    targets, questions = targets_of(case)
    limits = limits_of(case)
    best = best_fit(case, targets, limits, partial(_stage_allows, case.stage))
    free = best_fit(case, targets, _hard(limits))
    corrections = _built(case, targets, best)
    reached = judged(case, targets, best.plan, _reached(case, best.amounts, corrections))
    return Solution(
        side=case.side,
        tolerances=case.tolerances,
        corrections=corrections,
        amounts=reached.amounts,
        residuals=tuple(
            Residual(target=target, left=left, is_open=is_open)
            for target, left, is_open in zip(targets, reached.left, reached.open_, strict=True)
        ),
        refused=(
            *_out_of_bounds(case, best, free),
            *_seams_alike(case, targets, best),
            *_held(case, best),
        ),
        questions=questions,
        now=now,
        after=_after(case, now, reached.amounts),
    )


def _hard(limits: tuple[Limit, ...]) -> tuple[Limit, ...]:
    return tuple(limit for limit in limits if limit.hard)


def _stage_allows(stage: Stage, plan: Plan) -> bool:
    return stage not in _LATE or set(plan) <= _LATE[stage]


def _built(case: Case, targets: Sequence[Target], best: Fit) -> tuple[Correction, ...]:
    """The corrections in the order of the work; each takes its inlay before the next."""
    found: list[Correction] = []
    for correction in _corrections(case, {t.quantity: t for t in targets}, best.amounts):
        found.append(finished(case, correction))
        case = spend(case, found[-1])
    return tuple(found)


def _corrections(
    case: Case, asked: dict[Quantity, Target], amounts: Amounts
) -> Iterator[Correction]:
    a = amounts
    if _moves(a.turn):
        yield _turned(case, a.turn, _grounds(asked[Quantity.PITCH]))
    if _moves(a.recut):
        why = leaves_quarter(case, a.recut) or "turning does not reach it"
        yield recut(case, a.recut, _grounds(asked[Quantity.PITCH]), why)
    both = a.hindarm + a.forearm
    if _moves(both):
        turn_deg = elbow_points_deg(case.sleeve, a.hindarm, a.forearm)
        turn_deg -= elbow_points_deg(case.sleeve)
        part = min(1.0, max(0.0, a.hindarm / both))
        grounds = _grounds(asked[Quantity.ELBOW_TURN])
        yield turn_elbow(case, turn_deg, grounds, hindarm_part=part)
    if _moves(a.seam_only):
        out = case.sleeve.hindarm_shift_mm
        after = replace(out, elbow=out.elbow + a.hindarm)
        turned_case = replace(case, sleeve=replace(case.sleeve, hindarm_shift_mm=after))
        grounds = _grounds(asked[Quantity.HINDARM_SHOWS])
        yield move_hindarm_only(turned_case, a.seam_only, grounds)
    if _moves(a.bend):
        yield tube.bend(case, a.bend, _grounds(asked[Quantity.BEND]))
    if _moves(a.length):
        yield tube.length(case, a.length, _grounds(asked[Quantity.LENGTH]))


def _moves(amount_mm: float) -> bool:
    return abs(amount_mm) > _NOTHING_MM


def _grounds(target: Target) -> Grounds:
    return Grounds(
        rule=target.rule,
        sigma_mm=target.sigma_mm,
        sources=target.sources,
        because=f"{target.because} Solved together with all readings of this side.",
    )


def _turned(case: Case, shift_mm: float, grounds: Grounds) -> Correction:
    correction, alone = turned(case, shift_mm, grounds), leaves_quarter(case, shift_mm)
    if not alone:
        return correction
    said = f"Only together with the moves of the seams on this side: by itself {alone}."
    return replace(correction, warnings=(*correction.warnings, said))


def _reached(case: Case, amounts: Amounts, corrections: Sequence[Correction]) -> Amounts:
    """The amounts as far as the finished corrections go."""
    shares = {correction.key: correction.share for correction in corrections}
    pitch, elbow = shares.get("pitch:pitch", 1.0), shares.get("seam_shift:elbow-direction", 1.0)
    return Amounts(
        turn=amounts.turn * pitch,
        recut=amounts.recut * pitch,
        hindarm=amounts.hindarm * elbow,
        forearm=amounts.forearm * elbow,
        seam_only=amounts.seam_only * shares.get("seam_shift:hindarm-shows", 1.0),
        bend=amounts.bend * shares.get("bend:bend", 1.0),
        length=amounts.length * shares.get("length:length", 1.0),
    )


def _after(case: Case, now: Hang, amounts: Amounts) -> Hang:
    """The state afterwards by the laws: a seam moved alone turns nothing, the lift stays."""
    turned_mm = amounts.turn + amounts.recut
    return replace(
        now,
        pitch_deg=now.pitch_deg + angle_from_shift(turned_mm, case.armhole.girth_mm),
        elbow_turn_deg=elbow_points_deg(case.sleeve, amounts.hindarm, amounts.forearm),
        bend_deg=now.bend_deg + bend_from_lengths(elbow_section(case.sleeve), amounts.bend),
        length_mm=now.length_mm + amounts.length,
    )


def _out_of_bounds(case: Case, best: Fit, free: Fit) -> tuple[str, ...]:
    """The plan that would be best without quarters, cloth and stage, and what forbids it."""
    against = [limit.beyond for limit in limits_of(case) if limit.over_mm(free.amounts) > 1e-3]
    if not _stage_allows(case.stage, free.plan):
        against.append(_LATE_SAID[case.stage])
    if not against or free.rank >= best.rank:
        return ()
    closes = "close every reading" if not any(free.open_) else "come nearer to the readings"
    said = words.listed(list(dict.fromkeys(against)))
    return (f"To {in_words(case, free.amounts)} would {closes}, but {said}.",)


def _seams_alike(case: Case, targets: Sequence[Target], best: Fit) -> tuple[str, ...]:
    """What moving both seams alike, and no more, would do to what shows of the hindarm."""
    both_seams = any(change.uneven or change is ELBOW for change in best.plan)
    if not both_seams or not (SEAM_ONLY in best.plan or any(c.uneven for c in best.plan)):
        return ()
    elbow = [target for target in targets if target.quantity is Quantity.ELBOW_TURN]
    amounts = fit(case, elbow, (ELBOW,), _hard(limits_of(case))).amounts
    alike = judged(case, targets, (ELBOW,), amounts)
    shown = [
        f"the hindarm would then show {words.mm(left)} {'less' if left > 0 else 'more'} than wanted"
        for target, left, is_open in zip(targets, alike.left, alike.open_, strict=True)
        if is_open and target.quantity is Quantity.HINDARM_SHOWS
    ]
    way = in_words(case, alike.amounts)
    return tuple(f"To {way}, both seams alike, would do for the elbow, but {s}." for s in shown)


def _held(case: Case, best: Fit) -> tuple[str, ...]:
    """What the changes come up against while a reading is still open."""
    at = [limit.beyond for limit in limits_of(case) if _is_met(limit, best.amounts)]
    if not any(best.open_) or not at:
        return ()
    in_way = words.listed(list(dict.fromkeys(at)))
    return (
        f"As far as it goes: {in_words(case, best.amounts)}. Further it does not go: {in_way}.",
    )


def _is_met(limit: Limit, amounts: Amounts) -> bool:
    moved = any(part and mm for part, mm in zip(limit.parts, amounts, strict=True))
    return moved and limit.over_mm(amounts) > -_NEAR_MM
