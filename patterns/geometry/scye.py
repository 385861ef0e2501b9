"""The armhole re-cut: its underarm raised or lowered, its front filled or cleared.

Both leave the pitches where they are and run out to nothing there.
"""

from __future__ import annotations

import numpy as np

from patterns.geometry.arclength import FloatArray
from patterns.geometry.armhole import Armhole

POINTS = 128


def raise_underarm(armhole: Armhole, up_mm: float) -> Armhole:
    """The lowest part `up_mm` higher (negative: lower), nothing at and above each pitch.

    Refuses SelfCrossing, PitchesDoNotFit or BadPoints for more than the armhole can take.
    """
    points = armhole.curve.polyline(POINTS)
    lowest = armhole.curve.bounds_mm[1]
    front_z, back_z = _pitch_points(armhole)[:, 1]
    middle = points[int(np.argmin(points[:, 1])), 0]
    pitch_z = np.where(points[:, 0] >= middle, front_z, back_z)
    depth = np.clip((pitch_z - points[:, 1]) / (pitch_z - lowest), 0.0, 1.0)
    moved = points.copy()
    moved[:, 1] += up_mm * _eased(depth)
    return _again(armhole, moved)


def fill_front(armhole: Armhole, fill_mm: float) -> Armhole:
    """The front between underarm and front pitch filled (negative: cleared), nothing at its ends.

    Moves square to the curve, most at half way. Refuses as `raise_underarm`.
    """
    s = np.arange(POINTS) * armhole.girth_mm / POINTS
    points, tangents = armhole.curve.point_at(s), armhole.curve.tangent_at(s)
    along = np.clip(s / armhole.front_pitch_s_mm, 0.0, 1.0)
    # s runs up the front, so the body of the armhole lies on the left of the tangent.
    inward = np.stack([-tangents[:, 1], tangents[:, 0]], axis=-1)
    amount = fill_mm * np.sin(np.pi * along) ** 2
    return _again(armhole, points + amount[:, None] * inward)


def _pitch_points(armhole: Armhole) -> FloatArray:
    return np.asarray(armhole.curve.point_at([armhole.front_pitch_s_mm, armhole.back_pitch_s_mm]))


def _again(armhole: Armhole, points_mm: FloatArray) -> Armhole:
    """An armhole of the moved points with its pitches at the heights where they were."""
    front_z, back_z = _pitch_points(armhole)[:, 1]
    first = Armhole.from_points(points_mm)
    lowest = first.curve.bounds_mm[1]
    return Armhole.from_points(
        points_mm,
        front_pitch_up_mm=float(front_z - lowest),
        back_pitch_up_mm=float(back_z - lowest),
    )


def _eased(share: FloatArray) -> FloatArray:
    """0 to 1 with no corner at either end."""
    return np.asarray(share * share * (3.0 - 2.0 * share))
