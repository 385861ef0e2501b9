"""The forward model: how a sleeve hangs, as five numbers, from the numbers of its pattern.

Sleeve geometry, sections 2, 3 and 5. All signs are those of its section 1.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache
from math import radians

from patterns.geometry.armhole import Armhole
from patterns.geometry.crown import lift_from_crown
from patterns.geometry.pitch import angle_from_shift
from patterns.geometry.section import Section, bend_from_lengths, elbow_turn
from patterns.geometry.sleeve import IronedShare, Sleeve


@dataclass(frozen=True, slots=True, kw_only=True)
class Hang:
    """The state of a sleeve, degrees and mm.

    `pitch_deg` > 0: the cuff further forward. `lift_deg`: between sleeve and armhole plane, 0
    hanging in it. `elbow_turn_deg` > 0: the elbow points out of straight back. `bend_deg`: lower
    against upper sleeve at the elbow, > 0 forward. `length_mm`: crown to cuff.
    """

    pitch_deg: float
    lift_deg: float
    elbow_turn_deg: float
    bend_deg: float
    length_mm: float


def hang_of(sleeve: Sleeve, armhole: Armhole) -> Hang:
    """How a sleeve of this pattern hangs in this armhole, by the laws alone.

    A sleeve without bend has no elbow: its turn is where the seams would point one. Refuses
    GeometryRefused a seam past a quarter of the girth, and girths and crowns that are none.
    """
    return Hang(
        pitch_deg=angle_from_shift(sleeve.notch_shift_mm, armhole.girth_mm)
        + sleeve.drafted_hang_deg,
        lift_deg=lift_from_crown(sleeve.girth_mm.biceps, sleeve.crown_height_mm),
        elbow_turn_deg=elbow_points_deg(sleeve),
        bend_deg=bend_from_lengths(elbow_section(sleeve), fold_difference_mm(sleeve)),
        length_mm=sleeve.length_mm,
    )


def elbow_section(sleeve: Sleeve) -> Section:
    return _section(sleeve.girth_mm.elbow, sleeve.section_ratio)


@lru_cache(maxsize=64)
def _section(girth_mm: float, ratio: float) -> Section:
    """Solving one side asks for the same section some hundred times."""
    return Section(girth_mm=girth_mm, ratio=ratio)


def elbow_points_deg(sleeve: Sleeve, hindarm_mm: float = 0.0, forearm_mm: float = 0.0) -> float:
    """Elbow turn with both seams re-drafted so much further (mm at the elbow) than they lie."""
    return _points_deg(
        elbow_section(sleeve),
        sleeve.hindarm_shift_mm.elbow + hindarm_mm,
        sleeve.forearm_shift_mm.elbow + forearm_mm,
        sleeve.ironed_share,
    )


@lru_cache(maxsize=1024)
def _points_deg(
    section: Section, hindarm_mm: float, forearm_mm: float, ironed: IronedShare
) -> float:
    return elbow_turn(
        section,
        hindarm_mm,
        forearm_mm,
        ironed_hindarm=ironed.hindarm,
        ironed_forearm=ironed.forearm,
    )


def fold_difference_mm(sleeve: Sleeve) -> float:
    """How much longer the hindarm is than the forearm: half the girth, turned while flat, and
    what was opened over the elbow besides. On a round sleeve it bends by 4/pi of the turning.
    """
    flat_width_mm = sleeve.girth_mm.elbow / 2.0
    return flat_width_mm * radians(sleeve.turning_deg) + sleeve.hindarm_length_mm
