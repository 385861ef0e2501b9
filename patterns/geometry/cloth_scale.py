"""Millimetres in a photograph: a length of known size beside the sleeve, and the cuff's offset.

Good only at the distance at which the known length was held. Sleeve geometry, section 2.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from patterns.geometry.noise import Estimate
from patterns.geometry.refusals import BadPoints, checked_positive
from patterns.geometry.touches import Limb, Plumb, Point, Unknowns

# The known length is rarely held just as far from the camera as the cuff: 30 mm in 1000, 3 %
# (trade practice, no source).
DEPTH_SHARE = 0.03
_APART = 8.0


@dataclass(frozen=True, slots=True, kw_only=True)
class CuffStands:
    """The arm stands `offset` mm forward of the cuff (positive), `drop_mm` below the head."""

    offset: Estimate
    drop_mm: float


def mm_per_px(one: Point, other: Point, length_mm: float, unknowns: Unknowns) -> Estimate:
    """Size of a pixel, from two touches `length_mm` apart. Refuses BadPoints, BadMeasure."""
    length_mm = checked_positive(length_mm, "known length")
    drawn = math.hypot(other[0] - one[0], other[1] - one[1])
    if not drawn >= _APART * unknowns.touch_px:
        raise BadPoints(
            "The two ends of the known length lie too close together: touch a longer length."
        )
    share = math.hypot(math.sqrt(2.0) * unknowns.touch_px / drawn, DEPTH_SHARE)
    return Estimate(length_mm / drawn, share * length_mm / drawn)


def cuff_stands(
    arm: Limb, sleeve: Limb, plumb: Plumb, way: int, scale: Estimate, unknowns: Unknowns
) -> CuffStands:
    """How far the arm stands forward of the cuff at the cuff's own level, in mm.

    The arm at that level is looked for on the line from its elbow to its wrist. Refuses BadPoints
    where the cuff is not below the sleeve head, or the forearm lies across.
    """
    off = math.radians(plumb.off_deg)
    down = np.array([math.sin(off), math.cos(off)])
    ahead = way * np.array([math.cos(off), -math.sin(off)])
    elbow, wrist = np.asarray(arm.elbow, dtype=float), np.asarray(arm.end, dtype=float)
    cuff = np.asarray(sleeve.end, dtype=float)
    drop_px = float((cuff - np.asarray(sleeve.top, dtype=float)) @ down)
    forearm_px = float((wrist - elbow) @ down)
    if not min(drop_px, forearm_px) >= _APART * unknowns.touch_px:
        raise BadPoints(
            "The forearm or the sleeve does not hang down in this picture: let the arm hang and "
            "take it again."
        )
    share = float((cuff - elbow) @ down) / forearm_px
    offset_px = float((elbow + share * (wrist - elbow) - cuff) @ ahead)
    on_arm = arm.touch_px(unknowns) * math.hypot(share, 1.0 - share)
    touch = math.hypot(on_arm, sleeve.touch_px(unknowns))
    # Where the wrist lies further out or in than the cuff's middle, a camera askew shows it moved.
    askew = math.radians(unknowns.yaw_deg) * math.tan(math.radians(unknowns.apart_deg)) * drop_px
    sigma = math.hypot(scale.value * math.hypot(touch, askew), scale.sigma * offset_px)
    return CuffStands(
        offset=Estimate(scale.value * offset_px, sigma), drop_mm=scale.value * drop_px
    )
