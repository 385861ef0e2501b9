"""The two-piece coat sleeve, drafted flat from its measures and the armhole it goes into.

Paper frame of both pieces: x forward (the front of the sleeve), y down the arm from the crown, mm;
the under sleeve lies on the top sleeve as in the folded sleeve. One draft serves both arms, one
being the mirror of the other. Sleeve geometry, sections 1 to 3; the construction after Vincent,
The Cutter's Practical Guide, Part 13, and Rosenfeld, The Practical Designer, lesson 60.
"""

from dataclasses import dataclass, fields
from math import atan2, cos, degrees, radians, sin

import numpy as np

from patterns.geometry.arclength import FloatArray
from patterns.geometry.armhole import Armhole
from patterns.geometry.head import Head, HeadMeasures
from patterns.geometry.path import Path
from patterns.geometry.piece import TOP, UNDER, Notch, Piece
from patterns.geometry.pitch import hindarm_over_forearm
from patterns.geometry.refusals import (
    BadMeasure,
    SeamOutOfQuarter,
    SleeveWiderThanHead,
    checked_girth,
    checked_number,
    checked_positive,
)
from patterns.geometry.sleeve import FORWARD_BEND_MM, LEVELS, Levels, Sleeve
from patterns.geometry.strip import Folds, Strip

# Trade practice, no source: the mid line stands a fifth of the armhole behind the forearm line,
# which is the middle of a sleeve of the usual width.
_MID_LINE = 0.2
_MOST_BEND_DEG = 60.0
_FOLD_REACH = 0.4  # a seam must lie nearer its fold than this share of the width
_LEAST_UPPER_MM = 40.0  # from biceps line to elbow, or it is no sleeve
_ON_SEAM_MM = 1e-6


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class TwoPiece:
    """The two pieces, and what the workroom must know to put them together.

    `hindarm_ease_mm`: shrink or ease the under sleeve's hindarm by so much into the top's;
    `forearm_ease_mm`: stretch the top sleeve's forearm by so much to the under's. Both are 0 where
    a seam carries its own turning, and 2 x tau for a strip of width x whose turning tau was left
    on the old fold. `forearm_stretch_mm`: both forearm edges stretched by so much besides.
    `fold_difference_mm`: how much longer the hindarm fold is than the forearm fold from biceps
    line to cuff, which is what bends the sleeve.
    """

    top: Piece
    under: Piece
    hindarm_ease_mm: float
    forearm_ease_mm: float
    forearm_stretch_mm: float
    fold_difference_mm: float
    armhole_girth_mm: float

    @property
    def head_length_mm(self) -> float:
        """Length of the whole head, top and under."""
        return self.top.head.length_mm + self.under.head.length_mm

    @property
    def head_ease_mm(self) -> float:
        """How much longer the whole head is than the armhole."""
        return self.head_length_mm - self.armhole_girth_mm


def draft(sleeve: Sleeve, armhole: Armhole) -> TwoPiece:
    """Draft both pieces, net of seams.

    What the amounts of a sleeve do here. `hindarm_shift_mm`, `forearm_shift_mm`: move the seams at
    each level; top and under together stay the girth. `ironed_share`: leaves that share of a
    seam's turning on the old fold and declares the ease; the rest is drafted anew with equal sewn
    edges. `hindarm_length_mm`: a wedge opened on the elbow line, nothing at the forearm, so much
    at the hindarm. `forearm_hollow_mm`: depth of the forearm at the elbow behind the straight line
    from biceps to cuff, for a sleeve of the usual 2 in forward bend; deepens and fills with the
    bend. `front_of_head_mm`: more round between crown and front pitch. `head_ease_mm`: more length
    in the top's head. `under_head_hollow_mm`: the under sleeve's head scooped deeper.
    `notch_shift_mm` > 0: every notch of the head so much in front of its old place.
    `drafted_hang_deg`: the hindarm stands over the forearm by H(t). `forearm_stretch_mm` is iron
    work and moves no line. Refuses (GeometryRefused) a sleeve that cannot be cut.
    """
    _check(sleeve, armhole)
    head, folds = _head(sleeve, armhole), _folds(sleeve, armhole)
    top, under, hindarm_ease_mm, forearm_ease_mm = _strips(sleeve, folds)
    notches = _head_notches(head, sleeve)
    return TwoPiece(
        top=Piece.joined(TOP, _top_head(head, sleeve), top, notches[TOP]),
        under=Piece.joined(UNDER, _under_head(head, sleeve), under, notches[UNDER]),
        hindarm_ease_mm=hindarm_ease_mm,
        forearm_ease_mm=forearm_ease_mm,
        forearm_stretch_mm=sleeve.forearm_stretch_mm,
        fold_difference_mm=folds.difference_mm,
        armhole_girth_mm=armhole.girth_mm,
    )


def _head(sleeve: Sleeve, armhole: Armhole) -> Head:
    pitches = armhole.curve.point_at([armhole.front_pitch_s_mm, armhole.back_pitch_s_mm])
    width_mm, down_mm = (pitches[0] - pitches[1]).tolist()
    front_up_mm = float(pitches[0, 1]) - armhole.curve.bounds_mm[1]
    back_up_mm = front_up_mm + hindarm_over_forearm(sleeve.drafted_hang_deg, -down_mm, width_mm)
    measures = HeadMeasures(
        half_girth_mm=sleeve.girth_mm.biceps / 2,
        base_mm=sleeve.crown_height_mm,
        front_pitch_mm=sleeve.crown_height_mm - front_up_mm,
        back_pitch_mm=sleeve.crown_height_mm - back_up_mm,
        front_round_mm=sleeve.front_of_head_mm,
        hollow_mm=sleeve.under_head_hollow_mm,
    )
    head = Head.drawn(measures, sleeve.head_ease_mm)
    head.check_notch(sleeve.notch_shift_mm)
    return head


def _top_head(head: Head, sleeve: Sleeve) -> Path:
    line = head.top(sleeve.hindarm_shift_mm.head, sleeve.forearm_shift_mm.head)
    return line.mapped(np.eye(2), (-head.half_girth_mm / 2, 0.0))


def _under_head(head: Head, sleeve: Sleeve) -> Path:
    line = head.under(sleeve.hindarm_shift_mm.head, sleeve.forearm_shift_mm.head)
    return line.mapped(np.diag([-1.0, 1.0]), (1.5 * head.half_girth_mm, 0.0)).backwards()


def _head_notches(head: Head, sleeve: Sleeve) -> dict[str, tuple[Notch, ...]]:
    """The head's three notches, each on the piece that holds its place once the seams are cut."""
    width = head.half_girth_mm
    first = sleeve.hindarm_shift_mm.head - _ON_SEAM_MM
    last = width + sleeve.forearm_shift_mm.head + _ON_SEAM_MM
    places = {
        "crown": head.crown_mm,
        "front pitch": head.front_pitch_mm,
        "back pitch": head.back_pitch_mm,
    }
    found: dict[str, tuple[Notch, ...]] = {TOP: (), UNDER: ()}
    for name, distance in places.items():
        at, inward = head.notch(distance + sleeve.notch_shift_mm)
        piece = TOP if first <= at[0] <= last else UNDER
        if piece == TOP:
            at = at - (width / 2, 0.0)
        else:
            at, inward = _folded_under(at, width), inward * (-1.0, 1.0)
        found[piece] += (Notch(name=name, edge="head", point_mm=at, inward=inward),)
    return found


def _folded_under(at: FloatArray, width_mm: float) -> FloatArray:
    """A point (2,) of the unrolled head laid back on the paper as part of the under sleeve."""
    x = at[0] if at[0] > width_mm / 2 else at[0] + 2 * width_mm
    return np.array([1.5 * width_mm - x, at[1]])


def _folds(sleeve: Sleeve, armhole: Armhole) -> Folds:
    """The 50-50 sleeve's folds, squared from the plumb forearm line.

    Nothing of the forearm depends on the girths above the cuff, so that a sleeve let out is let
    out at the hindarm. The cuff lies half to either side of the mid line, turned forward.
    """
    girth, upper_mm = sleeve.girth_mm, sleeve.elbow_down_mm - sleeve.crown_height_mm
    lower_mm, bend_deg = sleeve.length_mm - sleeve.elbow_down_mm, _bend_deg(sleeve)
    turn = radians(bend_deg)
    forearm_x = girth.biceps / 4
    forearm_head = np.array([forearm_x, sleeve.crown_height_mm])
    cuff = np.array([forearm_x - _MID_LINE * armhole.girth_mm, sleeve.elbow_down_mm])
    cuff = cuff + lower_mm * np.array([sin(turn), cos(turn)])
    half_cuff = girth.cuff / 4 * np.array([cos(turn), -sin(turn)])
    chord = cuff + half_cuff - forearm_head
    straight_x = forearm_x + chord[0] * upper_mm / chord[1]
    hollow_mm = sleeve.forearm_hollow_mm * bend_deg / degrees(atan2(FORWARD_BEND_MM, lower_mm))
    forearm_elbow = np.array([straight_x - hollow_mm, sleeve.elbow_down_mm])
    hindarm_head = forearm_head - np.array([girth.biceps / 2, 0.0])
    hindarm_elbow = forearm_elbow - np.array([girth.elbow / 2, 0.0])
    return Folds.through(
        np.array([forearm_head, forearm_elbow, cuff + half_cuff]),
        np.array([hindarm_head, hindarm_elbow, cuff - half_cuff]),
        np.array([0.0, upper_mm, upper_mm + lower_mm]),
    )


def _bend_deg(sleeve: Sleeve) -> float:
    """The forward bend with the wedge of a longer hindarm opened on the elbow line."""
    wedge = degrees(sleeve.hindarm_length_mm / (sleeve.girth_mm.elbow / 2))
    return sleeve.turning_deg + wedge


def _strips(sleeve: Sleeve, folds: Folds) -> tuple[Strip, Strip, float, float]:
    """Top and under below the biceps line, and the ease of hindarm and forearm.

    Drawn beside the curved folds the top's edges are shorter than the under's; only the ironed
    share of a seam keeps that difference, the rest is as long as the fold on both pieces. Sleeve
    geometry, section 3.
    """
    out, into = folds.amounts(sleeve.hindarm_shift_mm), folds.amounts(sleeve.forearm_shift_mm)
    none = np.zeros_like(out)
    forearm_left, hindarm_left = sleeve.ironed_share.forearm, sleeve.ironed_share.hindarm
    strips, forearm_mm, hindarm_mm = [], [], []
    for way in (1, -1):
        anew, beside = folds.steps_mm(none, none), folds.steps_mm(way * into, way * out)
        forearm_mm.append((1 - forearm_left) * anew[0] + forearm_left * beside[0])
        hindarm_mm.append((1 - hindarm_left) * anew[1] + hindarm_left * beside[1])
        strip = Strip.cut(
            folds,
            sideways_mm=way * (out + into) / 2,
            widths_mm=folds.widths_mm + way * (into - out),
            forearm_steps_mm=forearm_mm[-1],
            hindarm_steps_mm=hindarm_mm[-1],
        )
        strips.append(strip)
    eases = [float(lengths[1].sum() - lengths[0].sum()) for lengths in (hindarm_mm, forearm_mm)]
    return strips[0], strips[1], eases[0], eases[1]


def _check(sleeve: Sleeve, armhole: Armhole) -> None:
    """Refuse measures that are no sleeve, or no match for the armhole."""
    _check_numbers(sleeve)
    if sleeve.girth_mm.biceps >= armhole.girth_mm:
        raise SleeveWiderThanHead(
            f"A sleeve {sleeve.girth_mm.biceps:.0f} mm round cannot be set into an armhole of "
            f"{armhole.girth_mm:.0f} mm; narrow the sleeve or deepen the armhole."
        )
    if sleeve.elbow_down_mm - sleeve.crown_height_mm < _LEAST_UPPER_MM:
        raise BadMeasure(
            f"A crown {sleeve.crown_height_mm:.0f} mm high leaves no room above the elbow of a "
            f"sleeve {sleeve.length_mm:.0f} mm long; measure crown and length again."
        )
    if abs(_bend_deg(sleeve)) > _MOST_BEND_DEG:
        raise BadMeasure(
            f"A sleeve bent {_bend_deg(sleeve):.0f} degrees at the elbow cannot be cut in two "
            f"pieces; keep it within {_MOST_BEND_DEG:.0f}."
        )


def _check_numbers(sleeve: Sleeve) -> None:
    for item in fields(sleeve):
        value = getattr(sleeve, item.name)
        if isinstance(value, (int, float)):
            checked_number(value, item.name.rsplit("_", 1)[0].replace("_", " "))
    for share in (sleeve.ironed_share.hindarm, sleeve.ironed_share.forearm):
        checked_number(share, "ironed share")
    for level in LEVELS:
        checked_girth(sleeve.girth_mm.at(level), f"sleeve's girth at the {level}")
        for shift in (sleeve.hindarm_shift_mm, sleeve.forearm_shift_mm):
            _check_seam(shift, level, sleeve.girth_mm.at(level) / 2)
    checked_positive(sleeve.crown_height_mm, "crown height")
    checked_positive(sleeve.length_mm, "length")


def _check_seam(shift: Levels, level: str, width_mm: float) -> None:
    amount, room = checked_number(getattr(shift, level), "move of a seam"), _FOLD_REACH * width_mm
    if abs(amount) >= room:
        raise SeamOutOfQuarter(
            f"A seam moved {abs(amount):.0f} mm at the {level} would lie near the middle of the "
            f"piece instead of by its fold; move it less than {room:.0f} mm."
        )
