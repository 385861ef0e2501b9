"""Pitch: turning the sleeve in the armhole, from everything that was read of it.

Slack at the front means the arm stands forward of the sleeve, and so does strain at the back; a
crease that is neither decides nothing and asks. Sleeve geometry, section 2.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

from patterns.geometry import pitch as law
from patterns.geometry.noise import Estimate, combine, disagreement
from patterns.rules import words
from patterns.rules.case import (
    Case,
    ClearsWhen,
    Crease,
    CreaseKind,
    CuffOffset,
    FindingSeen,
    PitchAngle,
    Reading,
    Slack,
    SwingTest,
    Where,
)
from patterns.rules.catalogue import FINDINGS
from patterns.rules.correction import (
    Answer,
    Correction,
    Grounds,
    LeftAlone,
    Question,
)
from patterns.rules.turning import turn

RULE: Final = "pitch"
CONTRADICTION_SIGMAS: Final = 3.0
TAPE_SIGMA_MM: Final = 10.0
# A finding without an amount is as uncertain as an angle read by eye (trade practice, no source).
EYE_SIGMA_DEG: Final = 3.0

ANSWERS: Final = (
    "Pinch the crease: does it pin out (slack), or is it taut (strain)?",
    "Let the arm go back, then forward: when do the folds clear?",
    "Measure how far the cuff stands from the arm, and how far below the armhole.",
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Amount:
    """A reading with an amount: the pitch shift it asks for, in mm, and how it is said."""

    reading: Reading
    shift: Estimate
    said: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Direction:
    """A reading that says only which way: +1 cuff forward, -1 cuff back."""

    reading: Reading
    sign: int
    said: str


def pitch(case: Case) -> tuple[Answer, ...]:
    """Everything read of the pitch, answered once: a correction, a question, or left alone."""
    if question := _slack_too_deep(case):
        return (question,)
    amounts, directions = _amounts(case), _directions(case)
    neither = _swings(case, ClearsWhen.NEITHER)
    if question := _contradiction(case, amounts, directions, neither):
        return (question,)
    if amounts:
        return (_answer(case, amounts, directions), *(_not_pitch(n) for n in (neither,) if n))
    if directions:
        return (_answer(case, (_usual(case, directions),), directions),)
    if neither:
        return (_not_pitch(neither),)
    if undecided := _undecided_creases(case):
        return (_ask_slack_or_strain(undecided),)
    return ()


def _amounts(case: Case) -> tuple[Amount, ...]:
    girth = case.armhole.girth_mm
    found: list[Amount] = []
    for angle in case.read(PitchAngle):
        shift = law.shift_from_angle(angle.angle_deg, girth)
        sigma = law.sigma_from_angle(girth, angle.sigma_deg)
        said = f"the arm hangs {_standing(angle.angle_deg, words.deg(angle.angle_deg))}"
        found.append(Amount(reading=angle, shift=Estimate(value=shift, sigma=sigma), said=said))
    for cuff in case.read(CuffOffset):
        turn = law.angle_from_cuff_offset(cuff.offset_mm, cuff.drop_mm)
        sigma = law.sigma_from_cuff_offset(
            girth, cuff.offset_mm, cuff.drop_mm, cuff.sigma_mm, TAPE_SIGMA_MM
        )
        said = (
            f"{words.mm(cuff.drop_mm)} below the armhole the arm stands "
            f"{_standing(cuff.offset_mm, words.mm(cuff.offset_mm))}"
        )
        estimate = Estimate(value=law.shift_from_angle(turn, girth), sigma=sigma)
        found.append(Amount(reading=cuff, shift=estimate, said=said))
    found.extend(_slack(case, slack) for slack in case.read(Slack))
    found.extend(
        _logged(case, seen) for seen in _pitch_findings(case) if seen.amount_mm is not None
    )
    return tuple(found)


def _slack_too_deep(case: Case) -> Question | None:
    """Slack deeper than half the way between the pitches was not read on this sleeve."""
    half_mm = case.armhole.pitch_width_mm / 2.0
    for slack in case.read(Slack):
        if slack.depth_mm >= half_mm:
            return Question(
                rule=RULE,
                text=f"{words.mm(slack.depth_mm)} of slack is more than half the distance between "
                f"the pitches ({words.mm(half_mm)}): was it pinned on this sleeve? Pin it again.",
                sources=(slack.id,),
            )
    return None


def _slack(case: Case, slack: Slack) -> Amount:
    girth, width = case.armhole.girth_mm, case.armhole.pitch_width_mm
    depth = slack.depth_mm if slack.where is Where.FRONT else -slack.depth_mm
    shift = law.shift_from_angle(law.angle_from_slack(depth, width), girth)
    sigma = law.sigma_from_slack(girth, depth, width, slack.sigma_mm)
    said = f"{words.mm(depth)} of slack pins out at the {slack.where.value}"
    return Amount(reading=slack, shift=Estimate(value=shift, sigma=sigma), said=said)


def _logged(case: Case, seen: FindingSeen) -> Amount:
    shift = _sign_of(seen) * (seen.amount_mm or 0.0)
    sigma = law.sigma_from_angle(case.armhole.girth_mm, EYE_SIGMA_DEG)
    said = f"{seen.row.name}, {words.mm(shift)} by the fitter's eye"
    return Amount(reading=seen, shift=Estimate(value=shift, sigma=sigma), said=said)


def _directions(case: Case) -> tuple[Direction, ...]:
    """Slack at the front and strain at the back both say the cuff must go forward."""
    found: list[Direction] = []
    for crease in case.read(Crease):
        if crease.kind is not CreaseKind.UNKNOWN:
            forward = (crease.where is Where.FRONT) == (crease.kind is CreaseKind.SLACK)
            said = f"the crease at the {crease.where.value} is {crease.kind.value}"
            found.append(Direction(reading=crease, sign=1 if forward else -1, said=said))
    for swing in case.read(SwingTest):
        if swing.clears_when_arm_goes is not ClearsWhen.NEITHER:
            sign = 1 if swing.clears_when_arm_goes is ClearsWhen.BACK else -1
            said = f"the folds clear when the arm goes {swing.clears_when_arm_goes.value}"
            found.append(Direction(reading=swing, sign=sign, said=said))
    for seen in _pitch_findings(case):
        if seen.amount_mm is None:
            said = seen.row.name
            found.append(Direction(reading=seen, sign=_sign_of(seen), said=said))
    return tuple(found)


def _pitch_findings(case: Case) -> tuple[FindingSeen, ...]:
    return case.seen("pitch_too_far_back", "pitch_too_far_forward")


def _sign_of(seen: FindingSeen) -> int:
    return 1 if seen.finding == "pitch_too_far_back" else -1


def _swings(case: Case, clears: ClearsWhen) -> tuple[SwingTest, ...]:
    return tuple(s for s in case.read(SwingTest) if s.clears_when_arm_goes is clears)


def _undecided_creases(case: Case) -> tuple[Crease, ...]:
    return tuple(crease for crease in case.read(Crease) if crease.kind is CreaseKind.UNKNOWN)


def _standing(amount: float, said: str) -> str:
    if amount == 0:
        return "in line with the sleeve"
    return f"{said} {'forward of' if amount > 0 else 'behind'} the sleeve"


def _usual(case: Case, directions: tuple[Direction, ...]) -> Amount:
    """The usual amount for a direction that nobody measured: a logged row's, else the trade's."""
    logged = [d.reading for d in directions if isinstance(d.reading, FindingSeen)]
    row = logged[-1].row if logged else FINDINGS["pitch_too_far_back"]
    usual = (row.usual_mm or (0.0, 0.0, 0.0))[1]
    sigma = law.sigma_from_angle(case.armhole.girth_mm, EYE_SIGMA_DEG)
    return Amount(
        reading=directions[0].reading,
        shift=Estimate(value=directions[0].sign * usual, sigma=sigma),
        said=f"no amount was read, so the usual {words.mm(usual)} is proposed: "
        "pin it and measure the cuff before cutting",
    )


def _contradiction(
    case: Case,
    amounts: tuple[Amount, ...],
    directions: tuple[Direction, ...],
    neither: tuple[SwingTest, ...],
) -> Question | None:
    """A question where the readings cannot all be true; None where they can."""
    signs: list[tuple[int, Reading, str]] = [(d.sign, d.reading, d.said) for d in directions]
    signs += [
        (1 if amount.shift.value > 0 else -1, amount.reading, amount.said)
        for amount in amounts
        if abs(amount.shift.value) > threshold(case, amount.shift.sigma)
    ]
    shifts = [amount.shift for amount in amounts]
    signs += _together(case, amounts)
    if len({sign for sign, _, _ in signs}) > 1:
        return _ask_again("Some say cuff forward and some cuff back", signs)
    if neither and signs:
        swings: list[tuple[int, Reading, str]] = [
            (0, swing, "the folds clear neither way") for swing in neither
        ]
        return _ask_again("The arm-swing test says it is not the pitch", [*signs, *swings])
    if len(shifts) > 1 and disagreement(shifts) > CONTRADICTION_SIGMAS:
        far = [(0, amount.reading, amount.said) for amount in amounts]
        return _ask_again("The amounts differ by more than their noise", far)
    return None


def _together(case: Case, amounts: tuple[Amount, ...]) -> list[tuple[int, Reading, str]]:
    """The direction that amounts have together, where each by itself is lost in its noise."""
    if not amounts:
        return []
    best = combine([amount.shift for amount in amounts])
    if abs(best.value) <= threshold(case, best.sigma):
        return []
    return [(1 if best.value > 0 else -1, amount.reading, amount.said) for amount in amounts]


def _ask_again(why: str, signs: list[tuple[int, Reading, str]]) -> Question:
    said = "; ".join(dict.fromkeys(said for _, _, said in signs))
    return Question(
        rule=RULE,
        text=f"The readings of the pitch contradict each other. {why}: {said}. "
        "Which one is right? Read the cuff again with the arm at rest.",
        sources=tuple(dict.fromkeys(reading.id for _, reading, _ in signs)),
        answers=ANSWERS,
    )


def _ask_slack_or_strain(creases: tuple[Crease, ...]) -> Question:
    places = words.listed([crease.where.value for crease in creases])
    return Question(
        rule=RULE,
        text=f"Is the crease at the {places} slack or strain? Slack at the back and strain at "
        "the back are opposite faults, so the crease alone decides nothing.",
        sources=tuple(crease.id for crease in creases),
        answers=ANSWERS,
    )


def _not_pitch(neither: tuple[SwingTest, ...]) -> LeftAlone:
    return LeftAlone(
        rule=RULE,
        text="The folds clear neither when the arm goes back nor when it goes forward: it is not "
        "the pitch. Look at the crown, the width, the armhole and the seams.",
        sources=tuple(swing.id for swing in neither),
    )


def threshold(case: Case, sigma_mm: float) -> float:
    """Nothing at or below this many mm is changed: the noise or the making tolerance."""
    return max(sigma_mm, case.tolerances.geometric_mm)


def _answer(
    case: Case, amounts: tuple[Amount, ...], directions: tuple[Direction, ...]
) -> Correction | LeftAlone:
    best = combine([amount.shift for amount in amounts])
    said = [amount.said for amount in amounts] + [d.said for d in directions]
    readings = [amount.reading for amount in amounts] + [d.reading for d in directions]
    sources = tuple(dict.fromkeys(reading.id for reading in readings))
    because = _sentence(said)
    limit = threshold(case, best.sigma)
    if abs(best.value) <= limit:
        what = "noise of the reading" if limit == best.sigma else "making tolerance"
        return LeftAlone(
            rule=RULE,
            text=f"Pitch left alone: {words.mm(best.value)} is not more than the {what}, "
            f"{words.mm(limit)}. {because}",
            sources=sources,
            shift_mm=best.value,
            sigma_mm=best.sigma,
        )
    turned = words.deg(law.angle_from_shift(best.value, case.armhole.girth_mm))
    because += (
        f" Together {turned}, {words.mm(best.value)} along the armhole, give or take "
        f"{words.mm(best.sigma)}."
    )
    grounds = Grounds(rule=RULE, sigma_mm=best.sigma, sources=sources, because=because)
    return turn(case, best.value, grounds)


def _sentence(said: list[str]) -> str:
    text = "; ".join(dict.fromkeys(said))
    return f"{text[0].upper()}{text[1:]}."
