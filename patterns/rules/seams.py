"""Where the seams lie: the elbow's direction, and what is seen of the seams.

Moving the seam is not turning the elbow. An elbow turn re-drafts both pieces with equal sewn edges
and the turning on the new seams; a seam-only move takes a strip from one piece, gives it to the
other, and the iron restores the old cloth, so the elbow stays. Sleeve geometry, section 3.
"""

from __future__ import annotations

from typing import Final

from patterns.geometry.noise import Estimate, combine, disagreement
from patterns.geometry.refusals import SeamOutOfQuarter
from patterns.geometry.section import Section
from patterns.geometry.visibility import hindarm_for_show, shows_from_side
from patterns.rules import words
from patterns.rules.case import Case, ElbowDirection, FindingSeen, HindarmShows
from patterns.rules.cloth import within_inlay
from patterns.rules.correction import Answer, Correction, Grounds, LeftAlone, Question
from patterns.rules.moving import move_forearm_only, move_hindarm_only, turn_elbow

ELBOW_RULE: Final = "elbow-direction"
HINDARM_RULE: Final = "hindarm-shows"
FOREARM_RULE: Final = "forearm-shows"
FARTHEST_TURN_DEG: Final = 45.0
CONTRADICTION_SIGMAS: Final = 3.0


def elbow_section(case: Case) -> Section:
    return Section(girth_mm=case.sleeve.girth_mm.elbow, ratio=case.sleeve.section_ratio)


def elbow_direction(case: Case) -> tuple[Answer, ...]:
    """Turn the elbow further out (positive) or in, by moving both seams."""
    logged = case.seen("elbow_points_in", "elbow_points_out_too_far")
    unmeasured = [seen for seen in logged if seen.amount_mm is None]
    turns = [
        (reading.id, Estimate(value=reading.turn_deg, sigma=reading.sigma_deg))
        for reading in case.read(ElbowDirection)
    ] + [(seen.id, _turn_of(case, seen)) for seen in logged if seen.amount_mm is not None]
    estimates = [turn for _, turn in turns]
    judged = [*estimates, combine(estimates)] if estimates else []
    signs = {1 if turn.value > 0 else -1 for turn in judged if abs(turn.value) > turn.sigma}
    signs |= {_outward(seen) for seen in unmeasured}
    sources = tuple(id_ for id_, _ in turns) + tuple(seen.id for seen in unmeasured)
    apart = len(estimates) > 1 and disagreement(estimates) > CONTRADICTION_SIGMAS
    if len(signs) > 1 or apart:
        return (_which_way(sources),)
    if turns:
        return (_answer_turn(case, combine(estimates), sources),)
    if unmeasured:
        return (_how_far(unmeasured[0], sources),)
    return ()


def _outward(seen: FindingSeen) -> int:
    return 1 if seen.finding == "elbow_points_in" else -1


def _turn_of(case: Case, seen: FindingSeen) -> Estimate:
    """A finding with mm says how far each seam is to move at the elbow: as on a round sleeve."""
    mm = _outward(seen) * (seen.amount_mm or 0.0)
    return Estimate(value=360.0 * mm / case.sleeve.girth_mm.elbow, sigma=3.0)


def _answer_turn(case: Case, turn: Estimate, sources: tuple[str, ...]) -> Answer:
    way = "out" if turn.value > 0 else "in"
    because = (
        f"The arm's elbow points {words.deg(turn.value)} further {way} than the sleeve's, "
        f"give or take {words.deg(turn.sigma)}."
    )
    girth = case.sleeve.girth_mm.elbow
    shift, sigma = girth * turn.value / 360.0, girth * turn.sigma / 360.0
    limit = max(sigma, case.tolerances.geometric_mm)
    if abs(shift) <= limit:
        text = (
            f"Elbow direction left alone: {words.mm(shift)} on each seam is not more than the "
            f"noise or the making tolerance, {words.mm(limit)}. {because}"
        )
        return LeftAlone(
            rule=ELBOW_RULE, text=text, sources=sources, shift_mm=shift, sigma_mm=sigma
        )
    if abs(turn.value) > FARTHEST_TURN_DEG:
        return _too_far(turn.value, sources)
    grounds = Grounds(rule=ELBOW_RULE, sigma_mm=sigma, sources=sources, because=because)
    try:
        return turn_elbow(case, turn.value, grounds)
    except SeamOutOfQuarter as refused:
        return Question(rule=ELBOW_RULE, text=str(refused), sources=sources)


def _which_way(sources: tuple[str, ...]) -> Question:
    return Question(
        rule=ELBOW_RULE,
        text="The readings of the elbow contradict each other by more than their noise. Which is "
        "right?",
        sources=sources,
        answers=("Let the arm hang and look at the elbow's point from behind.",),
    )


def _how_far(seen: FindingSeen, sources: tuple[str, ...]) -> Question:
    return Question(
        rule=ELBOW_RULE,
        text=f"{seen.row.name.capitalize()}: by how many degrees? The trade has no "
        "usual amount; read the arm's elbow against the sleeve's. Is it the sleeve, or is the arm "
        "itself turned?",
        sources=sources,
        answers=("Give the angle between the arm's elbow and the sleeve's in degrees.",),
    )


def _too_far(turn_deg: float, sources: tuple[str, ...]) -> Question:
    return Question(
        rule=ELBOW_RULE,
        text=f"An elbow {words.deg(turn_deg)} off is more than seams can answer "
        f"({words.deg(FARTHEST_TURN_DEG)}). Was the arm at rest? Read it again.",
        sources=sources,
    )


def seams_seen(case: Case) -> tuple[Answer, ...]:
    """Move a seam without turning the elbow, for what was last seen of it."""
    shown = case.read(HindarmShows)
    answers = [_answer_shows(case, shown[-1])] if shown else []
    forearm = case.seen("forearm_seam_shows_in_front")
    answers += [_answer_forearm(case, forearm[-1])] if forearm else []
    return tuple(answers)


def _moved_with_elbow(case: Case) -> float:
    """How far an elbow turn proposed on the same readings moves the hindarm already, mm."""
    turned = (a for a in elbow_direction(case) if isinstance(a, Correction))
    return sum(within_inlay(case, correction).reachable_mm for correction in turned)


def _answer_shows(case: Case, shows: HindarmShows) -> Answer:
    """The newest reading counts: it is the same seam, looked at again."""
    section = elbow_section(case)
    widest = section.p_mm
    if max(abs(shows.by_mm), abs(shows.want_mm)) > widest:
        return _beyond(shows, widest)
    now = hindarm_for_show(section, shows.by_mm) + _moved_with_elbow(case)
    shift = hindarm_for_show(section, shows.want_mm) - now
    missing = shows.want_mm - shows_from_side(section, now)
    limit = max(shows.sigma_mm, case.tolerances.geometric_mm)
    sigma = shift_noise(section, shows)
    because = (
        f"From the side the hindarm seam {_shown(shows.by_mm)}; wanted: it {_shown(shows.want_mm)}."
        " This reading carries little weight: it holds for the section on the pattern, and the "
        "same shift shows more on a deeper or flattened sleeve."
    )
    if abs(missing) <= limit or abs(shift) <= sigma:
        return LeftAlone(
            rule=HINDARM_RULE,
            text=f"Hindarm seam left alone: {words.mm(missing)} is within the noise of the "
            f"reading ({words.mm(limit)} seen, {words.mm(sigma)} of seam). {because}",
            sources=(shows.id,),
            shift_mm=shift,
            sigma_mm=sigma,
        )
    grounds = Grounds(rule=HINDARM_RULE, sigma_mm=sigma, sources=(shows.id,), because=because)
    return move_hindarm_only(case, shift, grounds)


def shift_noise(section: Section, shows: HindarmShows) -> float:
    """1 sigma of the shift when the eye is 1 sigma off, from both ends of its range."""
    widest = section.p_mm
    low = max(-widest, shows.by_mm - shows.sigma_mm)
    high = min(widest, shows.by_mm + shows.sigma_mm)
    return (hindarm_for_show(section, high) - hindarm_for_show(section, low)) / 2.0


def _shown(by_mm: float) -> str:
    if by_mm == 0:
        return "lies on the edge"
    return f"{'shows by' if by_mm > 0 else 'is hidden by'} {words.mm(by_mm)}"


def _beyond(shows: HindarmShows, most_mm: float) -> Question:
    return Question(
        rule=HINDARM_RULE,
        text=f"From the side the hindarm seam {_shown(shows.by_mm)}; wanted: it "
        f"{_shown(shows.want_mm)}. This sleeve shows {words.mm(most_mm)} at most: measure it "
        "again, straight from the side.",
        sources=(shows.id,),
    )


def _answer_forearm(case: Case, seen: FindingSeen) -> Answer:
    row = seen.row
    usual = (row.usual_mm or (0.0, 6.0, 0.0))[1]
    amount = usual if seen.amount_mm is None else seen.amount_mm
    said = "as read" if seen.amount_mm is not None else "the usual amount"
    because = f"{row.seen} {row.cause} {words.mm(amount)}, {said}."
    if amount < case.tolerances.habit_mm:
        return LeftAlone(
            rule=FOREARM_RULE,
            text=f"Forearm seam left alone: {words.mm(amount)} is less than the making "
            f"tolerance, {words.mm(case.tolerances.habit_mm)}.",
            sources=(seen.id,),
            shift_mm=amount,
            sigma_mm=case.tolerances.habit_mm,
        )
    grounds = Grounds(
        rule=FOREARM_RULE,
        sigma_mm=case.tolerances.habit_mm,
        sources=(seen.id,),
        because=because,
    )
    return move_forearm_only(case, amount, grounds)
