"""The handful of choices a sleeve is drafted from, and the sleeve they make in an armhole."""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from math import atan2, degrees
from typing import Final

import numpy as np

from patterns.geometry.armhole import Armhole
from patterns.geometry.draft import TwoPiece, draft
from patterns.geometry.head_ease import HeadEase, with_head
from patterns.geometry.making import ChoiceRefused
from patterns.geometry.refusals import (
    SelfCrossing,
    checked_girth,
    checked_number,
    checked_positive,
)
from patterns.geometry.sleeve import FORWARD_BEND_MM, LEVELS, Girths, Levels, Sleeve
from patterns.geometry.spline import crosses_itself

INCH_MM: Final = 25.4
# 6-9 % of the armhole for ordinary wool (trade practice, no source); three unrelated handbook
# rules land at 7 % (calculated).
CROWN_EASE: Final = 0.07
LEAST_EASE_MM, MOST_EASE = 10.0, 0.12
# 50-80 mm over the relaxed arm (trade practice, no source); at least 2 in (Threads magazine,
# set-in sleeves).
BICEPS_EASE_MM: Final = 60.0
LEAST_BICEPS_EASE_MM, MOST_BICEPS_EASE_MM = 2 * INCH_MM, 80.0
# False forearm 1/2 in at the head, 1 in at elbow and cuff; under sleeve at the hindarm narrower by
# 1, 2 1/2 and 1 1/2 in, half from either piece's line (Rosenfeld, The Practical Designer, 1918,
# lesson 60).
FALSE_FOREARM_MM: Final = Levels(head=INCH_MM / 2, elbow=INCH_MM, cuff=INCH_MM)
FALSE_HINDARM_MM: Final = Levels(
    head=-INCH_MM / 2, elbow=-2.5 * INCH_MM / 2, cuff=-1.5 * INCH_MM / 2
)
# Trade practice, no source: beyond these the sleeve is meant for no arm.
MOST_BEND_DEG: Final = 35.0
_ELBOW_FROM, _ELBOW_TO = 0.45, 0.7
_CLOSE_MM = 1e-7
_SAME_MM = 1e-3


@dataclass(frozen=True, slots=True, kw_only=True)
class SleeveChoices:
    """What the cutter chooses, mm.

    `arm_mm`: upper arm as measured. `crown_ease_mm`, or else `crown_ease_share` of the armhole:
    how much longer the whole head is, or with `over_crown_only` its part from pitch to pitch over
    the crown than that part of the armhole; with neither the crown stays as it was.
    `front_ease_share`: the part of the ease over the crown that lies in front of the crown notch,
    None to leave the round at the front of the head alone. `elbow_mm`: crown to elbow, None for
    the usual share of the length (ANSUR II). `forward_bend_mm`: cuff in front of plumb, 2 in
    (Rosenfeld, lesson 60), None to leave the bend alone. `hindarm_shift_mm`,
    `forearm_shift_mm`: as in `Sleeve`.
    """

    arm_mm: float
    elbow_girth_mm: float
    cuff_girth_mm: float
    length_mm: float
    biceps_ease_mm: float = BICEPS_EASE_MM
    crown_ease_mm: float | None = None
    crown_ease_share: float | None = CROWN_EASE
    over_crown_only: bool = False
    front_ease_share: float | None = None
    elbow_mm: float | None = None
    forward_bend_mm: float | None = FORWARD_BEND_MM
    hindarm_shift_mm: Levels = field(default=FALSE_HINDARM_MM)
    forearm_shift_mm: Levels = field(default=FALSE_FOREARM_MM)

    @property
    def girth_mm(self) -> Girths:
        return Girths(
            biceps=self.arm_mm + self.biceps_ease_mm,
            elbow=self.elbow_girth_mm,
            cuff=self.cuff_girth_mm,
        )

    def ease_mm(self, armhole: Armhole) -> float | None:
        """How much longer than the armhole the head is to be; None: the crown stays."""
        if self.crown_ease_mm is not None:
            return self.crown_ease_mm
        share = self.crown_ease_share
        return None if share is None else share * armhole.girth_mm


def sleeve_of(choices: SleeveChoices, armhole: Armhole, base: Sleeve | None = None) -> Sleeve:
    """The sleeve these choices make in this armhole, its crown solved for the ease.

    What no choice speaks of (notches, recut, iron work, wedges) is kept from `base`. Refuses
    (GeometryRefused, mostly ChoiceRefused) what cannot be cut.
    """
    _check(choices, armhole)
    begun = base or Sleeve(
        girth_mm=choices.girth_mm,
        crown_height_mm=armhole.girth_mm / 3,  # H. Aldrich, from memory; solved below
        length_mm=choices.length_mm,
    )
    sleeve = replace(
        begun,
        girth_mm=choices.girth_mm,
        length_mm=choices.length_mm,
        elbow_mm=choices.elbow_mm,
        hindarm_shift_mm=choices.hindarm_shift_mm,
        forearm_shift_mm=choices.forearm_shift_mm,
    )
    sleeve = _bent(choices, sleeve)
    sleeve = with_head(
        sleeve,
        armhole,
        ease_mm=choices.ease_mm(armhole),
        over_crown_only=choices.over_crown_only,
        front_share=choices.front_ease_share,
    )
    if abs(sleeve.crown_height_mm - begun.crown_height_mm) < _SAME_MM:
        sleeve = replace(sleeve, crown_height_mm=begun.crown_height_mm)
    check_cut(sleeve, armhole)
    return sleeve


def check_cut(sleeve: Sleeve, armhole: Armhole) -> TwoPiece:
    """Both pieces, or a refusal: a seam out of its quarter, an outline over itself."""
    flat = draft(sleeve, armhole)
    for piece in (flat.top, flat.under):
        outline = piece.outline().polyline(12)[:-1]
        step = np.diff(outline, axis=0, prepend=outline[-1:])
        if crosses_itself(outline[np.hypot(step[:, 0], step[:, 1]) > _CLOSE_MM]):
            raise SelfCrossing(
                f"The outline of the {piece.name} would run over itself; move the seams less, or "
                "bend the sleeve less."
            )
    armhole.seat(0.0, sleeve.hindarm_shift_mm.head, sleeve.forearm_shift_mm.head).check_quarters()
    return flat


def doubts(choices: SleeveChoices, flat: TwoPiece, armhole: Armhole) -> tuple[str, ...]:
    """What can be cut but is not usual, a sentence each."""
    found, ease, girth = [], flat.head_ease_mm, flat.armhole_girth_mm
    parts = HeadEase.of(flat, armhole)
    for part, mm in (("front", parts.front_mm), ("back", parts.back_mm)):
        if mm < 0.0:
            found.append(
                f"The {part} of the head is {-mm:.0f} mm shorter than its part of the armhole; "
                f"the under sleeve holds {parts.under_mm:.0f} mm of the ease."
            )
    if not LEAST_EASE_MM <= ease <= MOST_EASE * girth:
        found.append(
            f"A head {ease:.0f} mm longer than its armhole is not usual: {LEAST_EASE_MM:.0f} mm "
            f"is little, {MOST_EASE * girth:.0f} mm ({MOST_EASE:.0%}) is much."
        )
    if not LEAST_BICEPS_EASE_MM <= choices.biceps_ease_mm <= MOST_BICEPS_EASE_MM:
        found.append(
            f"{choices.biceps_ease_mm:.0f} mm over the upper arm is not usual: "
            f"{LEAST_BICEPS_EASE_MM:.0f} to {MOST_BICEPS_EASE_MM:.0f} mm is."
        )
    return tuple(found)


def _bent(choices: SleeveChoices, sleeve: Sleeve) -> Sleeve:
    bend_mm, lower_mm = choices.forward_bend_mm, sleeve.length_mm - sleeve.elbow_down_mm
    if bend_mm is None:
        return sleeve
    bend_deg = degrees(atan2(bend_mm, lower_mm))
    if abs(bend_deg) > MOST_BEND_DEG:
        raise ChoiceRefused(
            "forward_bend",
            f"A cuff {bend_mm:.0f} mm forward bends a forearm of {lower_mm:.0f} mm by "
            f"{bend_deg:.0f} degrees; no more than {MOST_BEND_DEG:.0f} can be cut well.",
        )
    usual = abs(bend_mm - FORWARD_BEND_MM) < _SAME_MM
    return replace(sleeve, bend_deg=None if usual else bend_deg)


def _check(choices: SleeveChoices, armhole: Armhole) -> None:
    girth, ease_mm = choices.girth_mm, choices.ease_mm(armhole)
    checked_positive(choices.arm_mm, "upper arm")
    checked_positive(choices.length_mm, "sleeve length")
    for level in LEVELS:
        checked_girth(girth.at(level), f"sleeve's girth at the {level}")
    if checked_number(choices.biceps_ease_mm, "ease over the arm") < 0.0:
        raise ChoiceRefused(
            "biceps_ease", "A sleeve narrower than the arm cannot be put on; give it ease."
        )
    if ease_mm is not None and checked_number(ease_mm, "ease of the head") < 0.0:
        raise ChoiceRefused(
            "crown_ease", "A head shorter than its armhole cannot be set in; give it ease."
        )
    if girth.biceps >= armhole.girth_mm + min(ease_mm or 0.0, 0.0):
        raise ChoiceRefused(
            "biceps_ease",
            f"A sleeve {girth.biceps:.0f} mm round cannot be set into an armhole of "
            f"{armhole.girth_mm:.0f} mm; give less ease over the arm, or deepen the armhole.",
        )
    _check_taper(girth)
    _check_elbow(choices)
    share = choices.front_ease_share
    if share is not None and not 0.0 <= share <= 1.0:
        raise ChoiceRefused("front_ease_share", "The share of the ease lies between 0 and 100 %.")


def _check_taper(girth: Girths) -> None:
    if girth.elbow > girth.biceps:
        raise ChoiceRefused(
            "elbow_girth",
            f"An elbow {girth.elbow:.0f} mm round is wider than the biceps, {girth.biceps:.0f} mm; "
            "narrow the elbow, or give the arm more ease.",
        )
    if girth.cuff > girth.elbow:
        raise ChoiceRefused(
            "cuff_girth",
            f"A cuff {girth.cuff:.0f} mm round is wider than the elbow, {girth.elbow:.0f} mm; "
            "narrow the cuff, or widen the elbow.",
        )


def _check_elbow(choices: SleeveChoices) -> None:
    if choices.elbow_mm is None:
        return
    share = checked_positive(choices.elbow_mm, "elbow level") / choices.length_mm
    if not _ELBOW_FROM <= share <= _ELBOW_TO:
        raise ChoiceRefused(
            "elbow",
            f"An elbow {choices.elbow_mm:.0f} mm below the crown of a sleeve "
            f"{choices.length_mm:.0f} mm long is no elbow; set it between "
            f"{_ELBOW_FROM * choices.length_mm:.0f} and {_ELBOW_TO * choices.length_mm:.0f} mm.",
        )
