"""What the readings of one side ask of the sleeve's state, each with its noise.

The rules of each family decide what a reading is worth; here their answers become wanted
differences of the five numbers of a sleeve's state, or of what shows of the hindarm. A reading
that a rule asks about stays a question.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from enum import StrEnum
from typing import Final

from patterns.geometry.pitch import angle_from_shift
from patterns.geometry.section import bend_from_lengths
from patterns.geometry.visibility import hindarm_for_show
from patterns.rules import words
from patterns.rules.case import Case, HindarmShows
from patterns.rules.correction import Answer, Correction, LeftAlone, Question
from patterns.rules.experience import said, share_of
from patterns.rules.hang import elbow_section
from patterns.rules.pitch import pitch, threshold
from patterns.rules.remedies import length, remedies
from patterns.rules.seams import HINDARM_RULE, elbow_direction, seams_seen, shift_noise

# A habit's tolerance is itself worth a cut, a geometric one is not.
_JUST_BELOW: Final = 1.0 - 1e-9


class Quantity(StrEnum):
    """What is wanted different: four of the five numbers of a state, and what shows."""

    PITCH = "pitch"
    ELBOW_TURN = "elbow_turn"
    HINDARM_SHOWS = "hindarm_shows"
    BEND = "bend"
    LENGTH = "length"

    @property
    def unit(self) -> str:
        return "mm" if self in {Quantity.HINDARM_SHOWS, Quantity.LENGTH} else "deg"


@dataclass(frozen=True, slots=True, kw_only=True)
class Target:
    """A wanted difference, in the quantity's unit; what is left of it within `limit` is nothing.

    `shift_mm`, `sigma_mm`: the same and its noise as millimetres on the pattern. Of the hindarm:
    what is to show, and how far out the seam lies that shows what was read, mm.
    """

    quantity: Quantity
    wanted: float
    sigma: float
    limit: float
    shift_mm: float
    sigma_mm: float
    rule: str
    sources: tuple[str, ...]
    because: str
    to_show_mm: float = 0.0
    lies_mm: float = 0.0


def targets_of(case: Case) -> tuple[tuple[Target, ...], tuple[Question, ...]]:
    """All targets of one side, and the questions of the readings that make none."""
    answers = [*pitch(case), *elbow_direction(case), *length(case)]
    answers += [a for a in remedies(case) if _rule(a) == "bend"]
    targets = [target for answer in answers for target in _target(case, answer)]
    shows = [a for a in seams_seen(case) if _rule(a) == HINDARM_RULE]
    answers += shows
    if shows and not isinstance(shows[0], Question):
        targets.append(_show(case, case.read(HindarmShows)[-1], shows[0]))
    return tuple(targets), tuple(a for a in answers if isinstance(a, Question))


def _rule(answer: Answer) -> str:
    return answer.grounds.rule if isinstance(answer, Correction) else answer.rule


def _target(case: Case, answer: Answer) -> Iterator[Target]:
    """The target behind a correction, or behind what was left alone with an amount."""
    if isinstance(answer, Correction):
        grounds = answer.grounds
        yield _worth(case, answer, grounds.sigma_mm, grounds.sources, grounds.because)
    elif isinstance(answer, LeftAlone) and answer.sigma_mm > 0.0:
        yield _worth(case, answer, answer.sigma_mm, answer.sources, answer.text)


def _worth(
    case: Case,
    answer: Correction | LeftAlone,
    sigma_mm: float,
    sources: tuple[str, ...],
    because: str,
) -> Target:
    rule = _rule(answer)
    quantity, per_mm, limit_mm = _scale(case, rule, sigma_mm)
    wanted = per_mm * answer.shift_mm
    if isinstance(answer, Correction) and quantity is Quantity.ELBOW_TURN:
        wanted = answer.angle_deg or 0.0  # the seams' mm follow from it, not the other way
    share = share_of(case, rule)
    if share != 1.0:  # as millimetres and degrees on the pattern, of which a share comes
        because = f"{because} {said(rule, share, answer.shift_mm)}"
    return Target(
        quantity=quantity,
        wanted=wanted / share,
        sigma=per_mm * sigma_mm / share,
        limit=per_mm * limit_mm / share,
        shift_mm=answer.shift_mm / share,
        sigma_mm=sigma_mm / share,
        rule=rule,
        sources=sources,
        because=because,
    )


def _scale(case: Case, rule: str, sigma_mm: float) -> tuple[Quantity, float, float]:
    """What a rule's millimetres stand for: the quantity, its unit per mm, the limit in mm."""
    geometric = threshold(case, sigma_mm)
    habit = max(sigma_mm, case.tolerances.habit_mm) * _JUST_BELOW
    sleeve = case.sleeve
    per_mm = {
        "pitch": (Quantity.PITCH, angle_from_shift(1.0, case.armhole.girth_mm), geometric),
        "elbow-direction": (Quantity.ELBOW_TURN, 360.0 / sleeve.girth_mm.elbow, geometric),
        "bend": (Quantity.BEND, bend_from_lengths(elbow_section(sleeve), 1.0), habit),
        "length": (Quantity.LENGTH, 1.0, habit),
    }
    return per_mm[rule]


def _show(case: Case, shows: HindarmShows, answer: Answer) -> Target:
    """What shows, with the place round the sleeve where the seam must lie to show it."""
    section = elbow_section(case.sleeve)
    lies_mm = hindarm_for_show(section, shows.by_mm)
    because = (
        f"From the side {words.mm(shows.want_mm)} of the hindarm "
        f"{'should show' if shows.want_mm >= 0 else 'should be hidden'}, and "
        f"{words.mm(shows.by_mm)} {'shows' if shows.by_mm >= 0 else 'is hidden'}. This reading "
        "carries little weight: it holds for the section on the pattern."
    )
    return Target(
        quantity=Quantity.HINDARM_SHOWS,
        wanted=shows.want_mm - shows.by_mm,
        sigma=shows.sigma_mm,
        limit=max(shows.sigma_mm, case.tolerances.geometric_mm),
        shift_mm=hindarm_for_show(section, shows.want_mm) - lies_mm,
        sigma_mm=shift_noise(section, shows),
        rule=_rule(answer),
        sources=(shows.id,),
        because=because,
        to_show_mm=shows.want_mm,
        lies_mm=lies_mm,
    )
