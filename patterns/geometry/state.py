"""How a sleeve hangs by its pattern: pitch, lift, elbow direction and bend, as angles.

The forward model from the pattern's numbers to the hang. Sleeve geometry, sections 2, 3 and 5.
"""

import math
from dataclasses import dataclass
from typing import Self

from patterns.geometry.armhole import Armhole
from patterns.geometry.crown import lift_from_crown
from patterns.geometry.pitch import angle_from_shift
from patterns.geometry.section import Section
from patterns.geometry.sleeve import Sleeve


@dataclass(frozen=True, slots=True, kw_only=True)
class State:
    """The hang of one sleeve, in degrees; the same sign means the same on both sides.

    `pitch_deg` > 0: the cuff hangs forward of plumb. `lift_deg`: between the sleeve's axis and the
    armhole by the plane-cut law. `elbow_out_deg` > 0: the elbow points outward of straight back.
    `bend_deg` > 0: the forearm turned away from where the elbow points.
    """

    pitch_deg: float
    lift_deg: float
    elbow_out_deg: float
    bend_deg: float

    @classmethod
    def of(cls, sleeve: Sleeve, armhole: Armhole, fold_difference_mm: float) -> Self:
        """From a sleeve's numbers and how much longer its hindarm fold is than its forearm fold.

        Refuses GeometryRefused as the laws it stands on do.
        """
        turned = angle_from_shift(sleeve.notch_shift_mm, armhole.girth_mm)
        out_deg, bend_of_one_mm = _elbow(sleeve)
        return cls(
            pitch_deg=sleeve.drafted_hang_deg + turned,
            lift_deg=lift_from_crown(sleeve.girth_mm.biceps, sleeve.crown_height_mm),
            elbow_out_deg=out_deg,
            bend_deg=fold_difference_mm * bend_of_one_mm,
        )


def _elbow(sleeve: Sleeve) -> tuple[float, float]:
    """Where the elbow points, and the bend (degrees) that each mm of longer hindarm gives.

    Each edge of a piece turns by the difference over the width between the places where its
    turning lies; what the iron holds lies on the old folds.
    """
    section = Section(girth_mm=sleeve.girth_mm.elbow, ratio=sleeve.section_ratio)
    half_mm, left = section.girth_mm / 2.0, sleeve.ironed_share
    out_mm, in_mm = sleeve.hindarm_shift_mm.elbow, sleeve.forearm_shift_mm.elbow
    sewn_mm = in_mm * (1.0 - left.forearm) - out_mm * (1.0 - left.hindarm)
    turning = 1.0 / (half_mm + sewn_mm) + 1.0 / (half_mm - sewn_mm)
    bend_x, bend_y = section.bend_vector(
        [
            (-in_mm, -turning * (1.0 - left.forearm)),
            (0.0, -turning * left.forearm),
            (half_mm - out_mm, turning * (1.0 - left.hindarm)),
            (half_mm, turning * left.hindarm),
        ]
    )
    out_deg = math.degrees(math.atan2(bend_y, -bend_x)) + 0.0  # never minus nothing
    return out_deg, math.degrees(math.hypot(bend_x, bend_y))
