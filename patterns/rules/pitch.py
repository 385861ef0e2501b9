"""Pitch: turning the sleeve in the armhole, from everything that was read of it.

What speaks of it is in `pitch_read`; here it is weighed: together it is a correction, noise that is
left alone, or a contradiction that asks. Sleeve geometry, section 2.
"""

from __future__ import annotations

from typing import Final

from patterns.geometry import pitch as law
from patterns.geometry.noise import combine, disagreement
from patterns.rules import pitch_read as read
from patterns.rules import words
from patterns.rules.case import Case, ClearsWhen, Crease, Reading, Slack, SwingTest
from patterns.rules.correction import Answer, Correction, Grounds, LeftAlone, Question
from patterns.rules.turning import turn

RULE: Final = "pitch"
CONTRADICTION_SIGMAS: Final = 3.0
ANSWERS: Final = (
    "Pinch the crease: does it pin out (slack), or is it taut (strain)?",
    "Let the arm go back, then forward: when do the folds clear?",
    "Measure how far the cuff stands from the arm, and how far below the armhole.",
)


def pitch(case: Case) -> tuple[Answer, ...]:
    """Everything read of the pitch, answered once: a correction, a question, or left alone."""
    if question := _slack_too_deep(case):
        return (question,)
    amounts, directions = read.amounts(case), read.directions(case)
    neither = read.swings(case, ClearsWhen.NEITHER)
    if question := _contradiction(case, amounts, directions, neither):
        return (question,)
    if amounts:
        return (_answer(case, amounts, directions), *(_not_pitch(n) for n in (neither,) if n))
    if directions:
        return (_answer(case, (read.usual(case, directions),), directions),)
    if neither:
        return (_not_pitch(neither),)
    if undecided := read.undecided_creases(case):
        return (_ask_slack_or_strain(undecided),)
    return ()


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


def _contradiction(
    case: Case,
    amounts: tuple[read.Amount, ...],
    directions: tuple[read.Direction, ...],
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


def _together(case: Case, amounts: tuple[read.Amount, ...]) -> list[tuple[int, Reading, str]]:
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
    case: Case, amounts: tuple[read.Amount, ...], directions: tuple[read.Direction, ...]
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
