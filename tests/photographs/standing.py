"""A wearer of known angles photographed by a pinhole camera of known place, and the touches on it.

Projected by OpenCV, which stands outside of what is tested.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import cos, radians, sin, tan

import cv2
import numpy as np

from patterns.geometry.arclength import FloatArray
from patterns.geometry.touches import Limb, SeenFrom

SIZE = (1536, 2048)
FOCAL_PX = 1536.0
# Where the camera looks from, seen from above: x forward, y to the wearer's left, z up.
STANDS = {
    SeenFrom.LEFT: (0.0, 1.0, 0.0),
    SeenFrom.RIGHT: (0.0, -1.0, 0.0),
    SeenFrom.FRONT: (1.0, 0.0, 0.0),
    SeenFrom.BACK: (-1.0, 0.0, 0.0),
}


@dataclass(frozen=True, kw_only=True)
class Hanging:
    """A limb in space: degrees forward of plumb and out from the body of its upper and lower half,
    each as seen squarely from the side and from the front. Lengths upright, mm."""

    forward: tuple[float, float] = (10.0, 10.0)
    outward: tuple[float, float] = (0.0, 0.0)
    upper_mm: float = 310.0
    lower_mm: float = 250.0
    side: str = "left"
    top_mm: tuple[float, float] = (0.0, 1400.0)

    def points_mm(self) -> FloatArray:
        """Top, elbow and end (3, 3)."""
        out = 1.0 if self.side == "left" else -1.0
        spots = [np.array([self.top_mm[0], out * 200.0, self.top_mm[1]])]
        for ahead, aside, drop in zip(
            self.forward, self.outward, (self.upper_mm, self.lower_mm), strict=True
        ):
            run = [tan(radians(ahead)), out * tan(radians(aside)), -1.0]
            spots.append(spots[-1] + drop * np.array(run))
        return np.array(spots)

    @property
    def hang_deg(self) -> float:
        top, _, end = self.points_mm()
        return float(np.degrees(np.arctan2(end[0] - top[0], top[2] - end[2])))


@dataclass(frozen=True, kw_only=True)
class Camera:
    """A pinhole `away_mm` from the limb's middle. yaw: walked round toward the picture's right;
    tilt: looking down; roll: turned in the hand; beside: the limb stands so far from the middle of
    the picture, as seen from the camera."""

    seen_from: SeenFrom = SeenFrom.LEFT
    away_mm: float = 2500.0
    yaw_deg: float = 0.0
    tilt_deg: float = 0.0
    roll_deg: float = 0.0
    beside_deg: float = 0.0

    def pixels(self, points_mm: FloatArray, about_mm: FloatArray) -> FloatArray:
        """Pixels (n, 2) of points in space (n, 3); `about_mm` is the middle of the limb."""
        back = _turned_flat(np.array(STANDS[self.seen_from]), self.yaw_deg)
        t = radians(self.tilt_deg)
        eye = about_mm + self.away_mm * (cos(t) * back + np.array([0.0, 0.0, sin(t)]))
        looks = _turned_flat(-cos(t) * back, self.beside_deg) - np.array([0.0, 0.0, sin(t)])
        right = np.cross(looks, [0.0, 0.0, 1.0])
        right /= np.linalg.norm(right)
        turn = _rolled(self.roll_deg) @ np.array([right, np.cross(looks, right), looks])
        lens = np.array([[FOCAL_PX, 0, SIZE[0] / 2], [0, FOCAL_PX, SIZE[1] / 2], [0, 0, 1]])
        world = np.asarray(points_mm, dtype=float)
        found, _ = cv2.projectPoints(world, cv2.Rodrigues(turn)[0], -turn @ eye, lens, np.zeros(5))
        return np.asarray(found.reshape(-1, 2), dtype=float)


def _turned_flat(way: FloatArray, degrees: float) -> FloatArray:
    c, s = cos(radians(degrees)), sin(radians(degrees))
    return np.array([c * way[0] - s * way[1], s * way[0] + c * way[1], way[2]])


def _rolled(degrees: float) -> FloatArray:
    c, s = cos(radians(degrees)), sin(radians(degrees))
    return np.array([[c, -s, 0], [s, c, 0], [0, 0, 1]])


def limb(points: FloatArray) -> Limb:
    top, elbow, end = ((float(x), float(y)) for x, y in points)
    return Limb(top=top, elbow=elbow, end=end)


def plumb_mm(hanging: Hanging, ahead_mm: float = 250.0) -> FloatArray:
    """A plumb line (2, 3) hung beside the wearer, so far in front of the shoulder."""
    top = hanging.points_mm()[0] + np.array([ahead_mm, 0.0, 100.0])
    return np.array([top, top - np.array([0.0, 0.0, 900.0])])


def photographed(
    camera: Camera, arm: Hanging, sleeve: Hanging, ahead_mm: float = 250.0
) -> tuple[Limb, Limb, FloatArray]:
    """The arm, the sleeve and the plumb line (2, 2) in the picture, touched without a fault."""
    about = arm.points_mm()[[0, 2]].mean(axis=0)
    drawn = [camera.pixels(p, about) for p in (arm.points_mm(), sleeve.points_mm())]
    return limb(drawn[0]), limb(drawn[1]), camera.pixels(plumb_mm(arm, ahead_mm), about)
