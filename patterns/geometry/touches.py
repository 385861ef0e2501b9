"""Angles from points touched on a photograph: a plumb line, an arm, a sleeve, each with its noise.

Picture coordinates throughout: pixels, x to the picture's right, y down. A limb is three touches:
shoulder point, elbow, wrist of an arm; head, elbow, cuff of a sleeve. Its hang is the angle of the
line from the first to the last against plumb: positive forward where the picture was taken from the
side, positive out from the body where it was taken from the front or the back. The same sign means
the same on the wearer's left and right (Sleeve geometry, section 1).

The noise is one sigma, of the touches and of what is not known of the camera (`Unknowns`).
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from enum import StrEnum

import numpy as np

from patterns.geometry.arclength import FloatArray
from patterns.geometry.noise import Estimate
from patterns.geometry.refusals import BadPoints, checked_positive

Point = tuple[float, float]
_APART = 8.0  # two touches nearer than so many sigmas give no direction
_MOST_PLUMB_DEG = 30.0  # a line further than this off the picture's upright does not hang plumb
_SECOND_ORDER = math.sqrt(3.0) / 2.0  # spread of (1 - cos t) over sigma^2, t normal


class SeenFrom(StrEnum):
    """Where the camera stood, from the wearer."""

    LEFT = "left"
    RIGHT = "right"
    FRONT = "front"
    BACK = "back"

    @property
    def is_side(self) -> bool:
        return self in (SeenFrom.LEFT, SeenFrom.RIGHT)


@dataclass(frozen=True, slots=True, kw_only=True)
class Unknowns:
    """One sigma of each thing nobody measures when a photograph is taken and touched.

    touch_px: each coordinate of a touch. landmark_share: each coordinate of the place on the body
    or cloth, of the limb's drawn length: nobody finds a shoulder point under a coat to the
    millimetre. focal_px: the camera's focal length (not a sigma).
    yaw, tilt: how far the line of sight is off square to the wearer, sideways and up or down.
    roll: how far the picture's upright is off plumb. lean: how far the limb leans toward or away
    from the camera; apart: how far arm and sleeve lean apart from each other. The angles are trade
    practice, no source: a photograph taken by hand by somebody who tried to stand square.
    """

    touch_px: float
    focal_px: float
    landmark_share: float = 0.01
    yaw_deg: float = 10.0
    tilt_deg: float = 8.0
    roll_deg: float = 2.0
    lean_deg: float = 8.0
    apart_deg: float = 3.0

    @classmethod
    def of_picture(cls, width_px: float, height_px: float) -> Unknowns:
        """By a finger under a loupe on a telephone's picture: touches within 0.15 % of the longer
        side, focal length three quarters of it (a lens of 26 mm on a frame of 43 mm diagonal)."""
        longer = checked_positive(max(width_px, height_px), "picture's size")
        return cls(touch_px=0.0015 * longer, focal_px=0.75 * longer)


@dataclass(frozen=True, slots=True, kw_only=True)
class Plumb:
    """Which way is down in the picture at `x_px`: degrees that the lower end stands to the
    picture's right of the picture's own upright, and the noise of it."""

    off_deg: float
    sigma_deg: float
    x_px: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Limb:
    """Shoulder point, elbow and wrist of an arm, or head, elbow and cuff of a sleeve, in pixels."""

    top: Point
    elbow: Point
    end: Point

    @property
    def x_px(self) -> float:
        return (self.top[0] + self.end[0]) / 2.0

    def touch_px(self, unknowns: Unknowns) -> float:
        """One sigma of each coordinate of a touch on this limb: of the finger and of the place."""
        drawn = math.hypot(self.end[0] - self.top[0], self.end[1] - self.top[1])
        return math.hypot(unknowns.touch_px, unknowns.landmark_share * drawn)


def way(seen_from: SeenFrom, side: str) -> int:
    """+1 where what is counted as positive lies to the picture's right, -1 to its left.

    From the wearer's left the front is at the picture's left, from the wearer's right at its right,
    whichever arm is looked at. From the back, out from the body is the picture's left for the
    wearer's left arm; from the front it is the picture's right. side: "left" or "right".
    """
    if seen_from.is_side:
        return -1 if seen_from is SeenFrom.LEFT else 1
    outward = -1 if side == "left" else 1
    return outward if seen_from is SeenFrom.BACK else -outward


def plumb_touched(one: Point, other: Point, unknowns: Unknowns) -> Plumb:
    """Down, from two touches along something that hangs plumb; their order does not matter.

    Refuses BadPoints where they lie too close together, or nowhere near upright.
    """
    upper, lower = sorted((one, other), key=lambda point: point[1])
    drop = _between(upper, lower, unknowns, "the plumb line")
    off_deg = math.degrees(math.atan2(drop[0], drop[1]))
    if abs(off_deg) > _MOST_PLUMB_DEG:
        raise BadPoints(
            "These two touches do not lie under each other: touch the plumb line near its top and "
            "near its lower end, with the picture turned upright."
        )
    sigma = _touch_deg(drop, unknowns.touch_px)
    return Plumb(off_deg=off_deg, sigma_deg=sigma, x_px=(upper[0] + lower[0]) / 2.0)


def plumb_of_picture(width_px: float, unknowns: Unknowns) -> Plumb:
    """Down as the picture's own upright has it: only as good as the camera was held level."""
    return Plumb(off_deg=0.0, sigma_deg=unknowns.roll_deg, x_px=width_px / 2.0)


def hang(limb: Limb, plumb: Plumb, way: int, unknowns: Unknowns) -> Estimate:
    """Degrees of the whole limb against plumb, positive to the side that `way` counts.

    Refuses BadPoints where the touches lie too close together or the end above the top.
    """
    line = _between(limb.top, limb.end, unknowns, "the two ends")
    angle = _off(line, plumb, way)
    sigma = math.hypot(
        _touch_deg(line, limb.touch_px(unknowns)),
        plumb.sigma_deg,
        _keystone_deg(limb.x_px - plumb.x_px, unknowns),
        _camera_deg(angle, angle, unknowns.lean_deg, line, unknowns),
    )
    return Estimate(angle, sigma)


def bend(limb: Limb, way: int, unknowns: Unknowns) -> Estimate:
    """Degrees by which the lower half is bent against the upper, positive toward `way`.

    Only the part of the bend in the picture's plane is seen: an elbow turned outward by e shows
    cos e of it. The plumb line plays no part. Refuses BadPoints.
    """
    upper = _between(limb.top, limb.elbow, unknowns, "top and elbow")
    lower = _between(limb.elbow, limb.end, unknowns, "elbow and end")
    level = Plumb(off_deg=0.0, sigma_deg=0.0, x_px=0.0)
    first, second = _off(upper, level, way), _off(lower, level, way)
    # The elbow is touched once and belongs to both lines: turning apart, its noise adds up.
    turns = (_turn_per_px(upper), _turn_per_px(lower))
    shared = math.hypot(*turns[0], *turns[1], *(turns[0] + turns[1]))
    sigma = math.hypot(
        math.degrees(shared * limb.touch_px(unknowns)),
        _camera_deg(
            max(abs(first), abs(second)), second - first, unknowns.lean_deg, lower, unknowns
        ),
    )
    return Estimate(second - first, sigma)


def arm_minus_sleeve(arm: Limb, sleeve: Limb, way: int, unknowns: Unknowns) -> Estimate:
    """Degrees by which the arm hangs forward of its sleeve: the error of pitch, seen from the side.

    The plumb line and the roll of the camera fall out of the difference, and so does most of what
    is not known of where it stood, since the arm is in the sleeve. Sleeve geometry, section 2.
    Refuses BadPoints.
    """
    arm_line = _between(arm.top, arm.end, unknowns, "the two ends of the arm")
    sleeve_line = _between(sleeve.top, sleeve.end, unknowns, "the two ends of the sleeve")
    level = Plumb(off_deg=0.0, sigma_deg=0.0, x_px=0.0)
    arm_deg, sleeve_deg = _off(arm_line, level, way), _off(sleeve_line, level, way)
    steeper = max(abs(arm_deg), abs(sleeve_deg))
    sigma = math.hypot(
        _touch_deg(arm_line, arm.touch_px(unknowns)),
        _touch_deg(sleeve_line, sleeve.touch_px(unknowns)),
        _keystone_deg(arm.x_px - sleeve.x_px, unknowns),
        _camera_deg(steeper, arm_deg - sleeve_deg, unknowns.apart_deg, arm_line, unknowns),
    )
    return Estimate(arm_deg - sleeve_deg, sigma)


def _between(start: Point, end: Point, unknowns: Unknowns, what: str) -> FloatArray:
    line: FloatArray = np.asarray(end, dtype=float) - np.asarray(start, dtype=float)
    if not np.isfinite(line).all():
        raise BadPoints(f"A touch of {what} is no place in the picture: touch it again.")
    checked_positive(unknowns.touch_px, "noise of a touch")
    if np.hypot(*line) < _APART * unknowns.touch_px:
        raise BadPoints(
            f"The touches of {what} lie too close together to give a direction: touch them again, "
            "or take the picture from nearer."
        )
    return line


def _off(line: FloatArray, plumb: Plumb, way: int) -> float:
    """Degrees of a line that runs down, against plumb."""
    off = math.degrees(math.atan2(line[0], line[1])) - plumb.off_deg
    if abs(off) >= 90.0:
        raise BadPoints(
            "The lower end was touched above the upper one: touch from the shoulder down, with the "
            "picture turned upright."
        )
    return way * off


def _turn_per_px(line: FloatArray) -> FloatArray:
    """How the direction (rad) of a line changes with its end (2,), one pixel along each axis."""
    length = float(np.hypot(*line))
    turn: FloatArray = np.array([line[1], -line[0]]) / length**2
    return turn


def _touch_deg(line: FloatArray, touch_px: float) -> float:
    return math.degrees(math.sqrt(2.0) * touch_px / float(np.hypot(*line)))


def _keystone_deg(gap_px: float, unknowns: Unknowns) -> float:
    """Uprights converge in a tilted camera: what is plumb here is not plumb so far beside it."""
    focal_px = checked_positive(unknowns.focal_px, "focal length")
    return unknowns.tilt_deg * abs(gap_px) / focal_px


def _camera_deg(
    angle_deg: float, turned_deg: float, lean_deg: float, line: FloatArray, unknowns: Unknowns
) -> float:
    """What the unknown stand of the camera does to an angle of `turned_deg`.

    Seen from yaw y and tilt t, a limb that hangs at a and leans at l toward the camera shows
    tan = (tan a cos y + tan l sin y) / (cos t + tan l sin t). So a lean turns in by l y; the hang
    itself is foreshortened only in the second order; and lean with tilt, or with the lens being
    near (drawn length over focal length), stretches one end against the other.
    """
    lean, yaw, tilt = (math.radians(d) for d in (lean_deg, unknowns.yaw_deg, unknowns.tilt_deg))
    steep, turned = abs(math.tan(math.radians(angle_deg))), math.radians(abs(turned_deg))
    near = float(np.hypot(*line)) / unknowns.focal_px
    return math.degrees(
        math.hypot(
            math.tan(lean) * yaw,
            _SECOND_ORDER * math.hypot(yaw**2, tilt**2) * turned,
            math.tan(lean) * steep * math.hypot(tilt, near),
        )
    )
