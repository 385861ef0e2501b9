"""From the readings of one sleeve to what the tool proposes. The tuple RULES is all of it."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from typing import Final

from patterns.geometry.armhole import SeamPlaces
from patterns.geometry.pitch import angle_from_back_balance, shift_from_angle
from patterns.rules import words
from patterns.rules.case import Case
from patterns.rules.cloth import spend, stage_limits, within_inlay
from patterns.rules.correction import (
    Answer,
    Correction,
    LeftAlone,
    Operation,
    Proposal,
    Question,
)
from patterns.rules.experience import asked_for, built
from patterns.rules.pitch import pitch
from patterns.rules.remedies import length, remedies, undecided
from patterns.rules.seams import elbow_direction, seams_seen

BALANCE_MM: Final = 10.0

Rule = Callable[[Case], tuple[Answer, ...]]

# In the order of a fitting: pitch first, then seams and width, length last.
RULES: Final[tuple[Rule, ...]] = (
    pitch,
    elbow_direction,
    seams_seen,
    remedies,
    length,
    undecided,
)


def propose(case: Case) -> Proposal:
    """All corrections, questions and what is left alone for one sleeve."""
    answers = [answer for rule in RULES for answer in rule(case)]
    needed = [answer for answer in answers if isinstance(answer, Correction)]
    corrections = _within_cloth(case, [asked_for(case, one) for one in needed])
    said = dict.fromkeys(w for c in corrections for w in c.warnings)
    return Proposal(
        side=case.side,
        corrections=corrections,
        questions=tuple(a for a in answers if isinstance(a, Question)),
        left_alone=tuple(a for a in answers if isinstance(a, LeftAlone)),
        warnings=(*_body_warnings(case), *said),
    )


def _within_cloth(case: Case, wanted: list[Correction]) -> tuple[Correction, ...]:
    """Each correction in turn takes its inlay; what comes later finds what is left of it.

    The seams stand on the armhole where all of it together puts them: what leaves its quarter only
    together with the rest is said.
    """
    reached: list[Correction] = []
    seat = case.seat()
    for correction in wanted:
        one = finished(case, correction)
        case = _moved_on(spend(case, one), one)
        told = _out_together(seat, case.seat()) if one.share > 0 else ""
        if told and one.operation in (Operation.PITCH, Operation.SEAM_SHIFT) and reached:
            one = replace(one, limits=(*one.limits, told))
        seat = case.seat()
        reached.append(one)
    return tuple(reached)


def _moved_on(case: Case, done: Correction) -> Case:
    """The case with the seams where this correction leaves them on the armhole."""
    sleeve, share = case.sleeve, done.share
    if done.operation is Operation.PITCH:
        sleeve = replace(sleeve, notch_shift_mm=sleeve.notch_shift_mm + done.reachable_mm)
    elif done.hindarm_mm is not None and done.forearm_mm is not None:
        sleeve = replace(
            sleeve,
            hindarm_shift_mm=sleeve.hindarm_shift_mm + done.hindarm_mm.scaled(share),
            forearm_shift_mm=sleeve.forearm_shift_mm + done.forearm_mm.scaled(share),
        )
    return replace(case, sleeve=sleeve)


def _out_together(before: SeamPlaces, after: SeamPlaces) -> str:
    """The sentence when the corrections together take a seam out of its quarter; else ''."""
    for seam, was, now in (
        ("hindarm", before.back_quarter, after.back_quarter),
        ("forearm", before.front_quarter, after.front_quarter),
    ):
        if was is not now:
            return (
                f"Together with the corrections before it this takes the {seam} seam into the "
                f"{now.value} quarter of the armhole: do less of one of them, or recut the sleeve."
            )
    return ""


def finished(case: Case, correction: Correction) -> Correction:
    """The correction with what inlay, stage and an unsettled body say against it."""
    limited = within_inlay(case, correction)
    limited = replace(limited, limits=limited.limits + stage_limits(case, limited))
    return limited.made_provisional() if case.body.still_open else limited


def amended(case: Case, correction: Correction, amount_mm: float) -> Correction:
    """The same correction with another amount (mm, signed as it was), all else worked out anew.

    Refuses (GeometryRefused) an amount that the sleeve cannot take.
    """
    why = f"Amended by the fitter from {words.mm(correction.shift_mm)} to {words.mm(amount_mm)}."
    return finished(case, _built_again(case, correction, amount_mm, why))


def _built_again(case: Case, correction: Correction, amount_mm: float, why: str) -> Correction:
    grounds = correction.grounds
    grounds = replace(grounds, because=f"{grounds.because} {why}")
    return built(case, correction, amount_mm, grounds)


def as_far_as_it_goes(case: Case, correction: Correction) -> Correction:
    """The correction by the amount that inlays and quarters allow."""
    if correction.share >= 1.0:
        return correction
    reached = correction.reachable_mm
    why = (
        f"Wanted {words.mm(correction.shift_mm)}; the cloth and the armhole allow "
        f"{words.mm(reached)}, the rest stays for the next pattern."
    )
    return finished(case, _built_again(case, correction, reached, why))


def is_worth_cutting(case: Case, correction: Correction) -> bool:
    """Whether what can be reached of it is more than the making tolerance."""
    return abs(correction.reachable_mm) > case.tolerances.geometric_mm


def _body_warnings(case: Case) -> tuple[str, ...]:
    still_open = case.body.still_open
    if not still_open:
        return ()
    return (
        f"{words.listed(list(still_open)).capitalize()} not settled yet: every sleeve correction "
        f"is provisional. Settle what comes before the sleeve first{_imitated(case)}.",
    )


def _imitated(case: Case) -> str:
    """How much pitch a short back balance imitates on this armhole, in words."""
    width, girth = case.armhole.pitch_width_mm, case.armhole.girth_mm
    if width <= 2 * BALANCE_MM:
        return ""
    pitch_mm = shift_from_angle(angle_from_back_balance(BALANCE_MM, width), girth)
    return f"; a back balance {words.mm(BALANCE_MM)} short looks like {words.mm(pitch_mm)} of pitch"
