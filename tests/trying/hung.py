"""The sleeve that these tests hang, and a tube turned by scipy to hold it against."""

from dataclasses import replace
from typing import Any

import numpy as np
from scipy.spatial.transform import Rotation

from patterns.geometry.armhole import Armhole
from patterns.geometry.hanging import FULLER_DEG, Hanging
from patterns.geometry.sleeve import Girths, Sleeve
from patterns.geometry.visibility import Pose
from patterns.rules.hang import Hang, hang_of

ARMHOLE = Armhole.from_measures(girth_mm=480, pitch_width_mm=140, pitch_height_mm=65)
SLEEVE = Sleeve(
    girth_mm=Girths(biceps=380, elbow=330, cuff=270), crown_height_mm=160, length_mm=640
)
TOWARDS = {
    "side": np.array([0.0, 1.0, 0.0]),
    "front": np.array([1.0, 0.0, 0.0]),
    "back": np.array([-1.0, 0.0, 0.0]),
}


def angles(**changes: Any) -> Hang:
    return hang_of(replace(SLEEVE, **changes), ARMHOLE)


def hang(**changes: Any) -> Hanging:
    return Hanging.of(replace(SLEEVE, **changes), ARMHOLE, angles(**changes))


def pose(hung: Hanging) -> Pose:
    return Pose(pitch_deg=hung.angles.pitch_deg, abduction_deg=hung.angles.lift_deg - FULLER_DEG)


def turned(hung: Hanging) -> Rotation:
    """Leave the body, then swing in the armhole, by scipy."""
    at = pose(hung)
    return Rotation.from_euler("xy", [at.abduction_deg, -at.pitch_deg], degrees=True)
