"""The findings whose remedy is an amount: which operation answers which finding, and which way."""

from __future__ import annotations

from collections.abc import Callable
from math import sqrt
from typing import Final

from patterns.geometry.noise import Estimate, combine, disagreement
from patterns.geometry.refusals import GeometryRefused
from patterns.rules import head, scye, tube, words
from patterns.rules.case import Case, FindingSeen, Length
from patterns.rules.correction import Answer, Correction, Grounds, LeftAlone, Question

Build = Callable[[Case, float, Grounds], Correction]

# finding: (rule id, what is built, which way is positive for it)
REMEDIES: Final[dict[str, tuple[str, Build, int]]] = {
    "crown_too_high": ("crown", head.crown, -1),
    "crown_too_low": ("crown", head.crown, +1),
    "front_of_head_shallow": ("front-of-head", head.front_of_head, +1),
    "too_much_ease": ("ease", head.ease, -1),
    "too_little_ease": ("ease", head.ease, +1),
    "under_sleeve_head_full": ("under-head", head.under_head, +1),
    "sleeve_narrow": ("width", tube.width, +1),
    "sleeve_wide": ("width", tube.width, -1),
    "hindarm_long": ("bend", tube.bend, -1),
    "hindarm_short": ("bend", tube.bend, +1),
    "forearm_tight": ("forearm", tube.forearm, +1),
    "armhole_too_low": ("armhole-depth", scye.underarm, +1),
    "armhole_too_high": ("armhole-depth", scye.underarm, -1),
    "armhole_too_far_back": ("armhole-front", scye.front, -1),
    "armhole_too_far_forward": ("armhole-front", scye.front, +1),
}
LENGTH_RULE: Final = "length"
CONTRADICTION_SIGMAS: Final = 3.0
LENGTH_SIGN: Final = {"sleeve_short": +1, "sleeve_long": -1}


def remedies(case: Case) -> tuple[Answer, ...]:
    """One answer for each thing that findings ask to change."""
    asked: dict[str, list[FindingSeen]] = {}
    for seen in case.seen(*REMEDIES):
        asked.setdefault(REMEDIES[seen.finding][0], []).append(seen)
    return tuple(_remedy(case, rule, seen) for rule, seen in asked.items())


def _remedy(case: Case, rule: str, asked: list[FindingSeen]) -> Answer:
    """The newest amount counts; findings that pull opposite ways are asked about."""
    if len({REMEDIES[seen.finding][2] for seen in asked}) > 1:
        return _opposite(rule, asked)
    seen = next((s for s in reversed(asked) if s.amount_mm is not None), asked[-1])
    _, build, sign = REMEDIES[seen.finding]
    row = seen.row
    least, usual, most = row.usual_mm or (0.0, 0.0, 0.0)
    amount = usual if seen.amount_mm is None else seen.amount_mm
    habit = case.tolerances.habit_mm
    said = (
        "as read at the fitting"
        if seen.amount_mm is not None
        else f"usual, {least:g} to {most:g} mm"
    )
    because = f"{row.seen} {row.cause} Amount {said}."
    if row.look_alike:
        because += f" Looks alike: {row.look_alike}"
    sources = tuple(dict.fromkeys(s.id for s in asked))
    if seen.amount_mm is not None and amount < habit:
        return LeftAlone(
            rule=rule,
            text=f"{row.name.capitalize()} left alone: {words.mm(amount)} is less than the making "
            f"tolerance, {words.mm(habit)}.",
            sources=sources,
            shift_mm=sign * amount,
            sigma_mm=habit,
        )
    sigma = habit if seen.amount_mm is not None else max(habit, (most - least) / sqrt(12.0))
    grounds = Grounds(rule=rule, sigma_mm=sigma, sources=sources, because=because)
    try:
        return build(case, float(sign * amount), grounds)
    except GeometryRefused as refused:
        return Question(rule=rule, text=str(refused), sources=sources)


def _opposite(rule: str, asked: list[FindingSeen]) -> Question:
    names = "; ".join(dict.fromkeys(seen.row.name for seen in asked))
    looks = " ".join(dict.fromkeys(seen.row.seen for seen in asked))
    return Question(
        rule=rule,
        text=f"Both cannot be: {names}. Which is it? {looks}",
        sources=tuple(seen.id for seen in asked),
    )


def length(case: Case) -> tuple[Answer, ...]:
    """Longer or shorter by what was measured; unmeasured, it asks."""
    logged = case.seen(*LENGTH_SIGN)
    amounts = [(r.id, Estimate(value=r.amount_mm, sigma=r.sigma_mm)) for r in case.read(Length)] + [
        (s.id, Estimate(value=LENGTH_SIGN[s.finding] * s.amount_mm, sigma=2.0))
        for s in logged
        if s.amount_mm is not None
    ]
    unmeasured = [s for s in logged if s.amount_mm is None]
    ways = {1 if e.value > 0 else -1 for _, e in amounts if e.value}
    ways |= {LENGTH_SIGN[s.finding] for s in unmeasured}
    sources = tuple(id_ for id_, _ in amounts) + tuple(s.id for s in unmeasured)
    estimates = [e for _, e in amounts]
    if len(ways) > 1:
        return (_ask_length("One reading says longer, another shorter: which is it?", sources),)
    if len(estimates) > 1 and disagreement(estimates) > CONTRADICTION_SIGMAS:
        return (_ask_length("The lengths read differ by more than their noise: which?", sources),)
    if unmeasured and not amounts:
        name = unmeasured[0].row.name.capitalize()
        return (_ask_length(f"{name}: by how much? Measure this arm by itself.", sources),)
    return (_answer_length(case, combine(estimates), sources),) if amounts else ()


def _ask_length(text: str, sources: tuple[str, ...]) -> Question:
    return Question(
        rule=LENGTH_RULE,
        text=text,
        sources=sources,
        answers=("Measure from the cuff to where it is wanted, arms relaxed.",),
    )


def _answer_length(case: Case, amount: Estimate, sources: tuple[str, ...]) -> Answer:
    limit = max(amount.sigma, case.tolerances.habit_mm)
    if abs(amount.value) < limit:
        return LeftAlone(
            rule=LENGTH_RULE,
            text=f"Length left alone: {words.mm(amount.value)} is less than the noise of the "
            f"reading or the making tolerance, {words.mm(limit)}.",
            sources=sources,
            shift_mm=amount.value,
            sigma_mm=amount.sigma,
        )
    way = "longer" if amount.value > 0 else "shorter"
    because = f"The sleeve is wanted {words.mm(amount.value)} {way}, as measured."
    grounds = Grounds(rule=LENGTH_RULE, sigma_mm=amount.sigma, sources=sources, because=because)
    try:
        return tube.length(case, amount.value, grounds)
    except GeometryRefused as refused:
        return _ask_length(str(refused), sources)


def undecided(case: Case) -> tuple[Answer, ...]:
    """Findings that do not say what to do: each asks one more question."""
    asked: list[Answer] = [
        Question(
            rule="cuff-swings-in",
            text="The cuff swings in: is it the bend of the forearm or the height of the crown? "
            "And is the coat wide at the hip?",
            sources=(seen.id,),
            answers=(
                "Hold the upper sleeve still: if the cuff still swings in, it is the bend "
                "(log hindarm long).",
                "If the whole sleeve comes in from the head, it is the crown (log crown too high).",
            ),
        )
        for seen in case.seen("cuff_swings_in")
    ]
    asked += [
        Question(
            rule="one-good-one-not",
            text="One sleeve hangs well and the other does not: which, and what does it do? Each "
            "has its own pitch; look for a dropped shoulder and unlike arms.",
            sources=(seen.id,),
            answers=("Read the pitch of this sleeve by itself, then of the other.",),
        )
        for seen in case.seen("one_good_one_not")
    ]
    return tuple(asked)
