"""The armhole re-cut: its underarm raised or lowered, its front filled or cleared.

Both leave the pitches where they are and run out to nothing there.
"""

from __future__ import annotations

import numpy as np

from patterns.geometry.arclength import FloatArray
from patterns.geometry.armhole import Armhole
from patterns.geometry.refusals import BadMeasure

POINTS = 256


def raise_underarm(armhole: Armhole, up_mm: float) -> Armhole:
    """The lowest part `up_mm` higher (negative: lower), nothing at and above each pitch.

    A depth d below the pitch becomes d / (1 + c d): smooth at the pitch, and undone exactly by the
    opposite amount, because 1 / d grows by the same c everywhere. Refuses BadMeasure for more than
    there is below the front pitch, SelfCrossing or PitchesDoNotFit for what no armhole can take.
    """
    points = armhole.curve.polyline(POINTS)
    lowest = armhole.curve.bounds_mm[1]
    pitches_z = _pitch_points(armhole)[:, 1]
    room_mm = float(pitches_z.min() - lowest)
    if up_mm >= room_mm:
        raise BadMeasure(
            f"The underarm cannot be raised {up_mm:.0f} mm: it lies {room_mm:.0f} mm below the "
            "lower pitch; raise it less, or move the pitch."
        )
    middle = points[int(np.argmin(points[:, 1])), 0]
    front_z, back_z = pitches_z
    pitch_z = np.where(points[:, 0] >= middle, front_z, back_z)
    depth = np.clip(pitch_z - points[:, 1], 0.0, None)
    least = pitch_z - lowest
    c = 1.0 / (least - up_mm) - 1.0 / least
    moved = points.copy()
    moved[:, 1] += depth - depth / (1.0 + c * depth)
    return _again(armhole, moved)


def fill_front(armhole: Armhole, fill_mm: float) -> Armhole:
    """The front between underarm and front pitch filled (negative: cleared), nothing at its ends.

    Moves the line straight back (filled) or forward (cleared), most at half height, so that what
    was cleared comes back by filling it. Refuses as `raise_underarm`.
    """
    points = armhole.curve.polyline(POINTS)
    lowest = armhole.curve.bounds_mm[1]
    middle = points[int(np.argmin(points[:, 1])), 0]
    front_z = _pitch_points(armhole)[0, 1]
    up = np.clip((points[:, 1] - lowest) / (front_z - lowest), 0.0, 1.0)
    moved = points.copy()
    moved[:, 0] -= np.where(points[:, 0] >= middle, fill_mm * np.sin(np.pi * up) ** 2, 0.0)
    return _again(armhole, moved)


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
