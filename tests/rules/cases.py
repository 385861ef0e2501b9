"""Sleeves to try the rules on: plain numbers of an ordinary coat, none of a real person."""

from __future__ import annotations

from typing import Any

from patterns.geometry.armhole import Armhole
from patterns.geometry.sleeve import Girths, Levels, Sleeve
from patterns.rules.case import Body, Case, Reading, Side, Stage
from patterns.rules.correction import Correction, LeftAlone, Question
from patterns.rules.propose import propose

SETTLED = Body(balance_settled=True, shoulders_settled=True)
ARMHOLE = Armhole.from_measures(girth_mm=480, pitch_width_mm=140, pitch_height_mm=65)


def sleeve(**changes: Any) -> Sleeve:
    plain: dict[str, Any] = {
        "girth_mm": Girths(biceps=380, elbow=330, cuff=270),
        "crown_height_mm": 160,
        "length_mm": 640,
    }
    return Sleeve(**(plain | changes))


def case(*readings: Reading, **changes: Any) -> Case:
    plain: dict[str, Any] = {
        "side": Side.LEFT,
        "stage": Stage.BASTE,
        "armhole": ARMHOLE,
        "sleeve": sleeve(),
        "readings": readings,
        "body": SETTLED,
    }
    return Case(**(plain | changes))


def only_correction(given: Case) -> Correction:
    proposal = propose(given)
    assert not proposal.questions
    (correction,) = proposal.corrections
    return correction


def only_question(given: Case) -> Question:
    proposal = propose(given)
    assert not proposal.corrections
    (question,) = proposal.questions
    return question


def only_left_alone(given: Case) -> LeftAlone:
    proposal = propose(given)
    assert not proposal.corrections
    assert not proposal.questions
    (left,) = proposal.left_alone
    return left


def shifted(hindarm: float, forearm: float, **changes: Any) -> Sleeve:
    """A sleeve whose seams already lie so far from 50-50 at every level."""
    return sleeve(
        hindarm_shift_mm=Levels.alike(hindarm), forearm_shift_mm=Levels.alike(forearm), **changes
    )
