"""A sleeve as it hangs: a bent elliptic tube in space, set into its armhole by arc length.

World: x forward, y outward from the body, z up, mm, for either side, as in `visibility`; the
armhole stands in its own plane about x = z = 0. For looking at, not for cutting: the tube is
smooth and carries no cloth. Sleeve geometry, section 4.
"""

from dataclasses import dataclass
from typing import Final, Literal, Protocol, Self

import numpy as np

from patterns.geometry.arclength import FloatArray
from patterns.geometry.armhole import Armhole
from patterns.geometry.section import Section
from patterns.geometry.sleeve import LEVELS, Levels, Sleeve
from patterns.geometry.visibility import Pose

Seam = Literal["hindarm", "forearm"]
SEAMS: Final[tuple[Seam, Seam]] = ("hindarm", "forearm")

# Real crowns are drawn fuller than the plane cut and let the sleeve hang so much closer than its
# law says; trade practice, no source. A change of lift is drawn as the law gives it.
FULLER_DEG: Final = 29.0
_LEVELS, _AROUND, _ROWS = 33, 48, 9
_NECK_MM = 40.0  # the head begins to turn into the armhole so far below the biceps line
_BESIDE = 1e-3  # of the girth
_BEND_OVER_MM = 70.0  # the elbow bends over so much above and below its level
_TILT = 0.2  # the top of the armhole stands out from its lowest point by this share of the height
_RISE, _ROLL = 1.1, 0.7  # of the way from biceps line to armhole: up the sleeve, over the head


class Angles(Protocol):
    """The hang of a sleeve in degrees, signed as everywhere; `lift_deg` by the plane-cut law."""

    @property
    def pitch_deg(self) -> float: ...
    @property
    def lift_deg(self) -> float: ...
    @property
    def elbow_turn_deg(self) -> float: ...
    @property
    def bend_deg(self) -> float: ...


@dataclass(frozen=True, slots=True, kw_only=True)
class Line:
    """Points (n, 3) on the sleeve from the armhole down, with outward unit normals (n, 3)."""

    points_mm: FloatArray
    normals: FloatArray

    def faces(self, towards: FloatArray) -> FloatArray:
        """(n,) above zero where the sleeve's surface faces a viewer in that direction."""
        return np.asarray(self.normals @ towards)


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Hanging:
    """A sleeve hung: rings from biceps line to cuff, the head above them, the armhole.

    `centre_mm`, `front`, `outside`: (n, 3) per ring, middle of the section and its two axes;
    `down_mm`, `girth_mm`: (n,) below the biceps line, and round. `elbow_at`: the ring at the
    elbow; `neck_at`: the ring above which the head begins.
    """

    sleeve: Sleeve
    armhole: Armhole
    section: Section
    angles: Angles
    centre_mm: FloatArray
    front: FloatArray
    outside: FloatArray
    down_mm: FloatArray
    girth_mm: FloatArray
    elbow_at: int
    neck_at: int

    @classmethod
    def of(cls, sleeve: Sleeve, armhole: Armhole, angles: Angles) -> Self:
        """Hang a sleeve by the angles that its pattern gives it."""
        section = Section(girth_mm=1.0, ratio=sleeve.section_ratio)
        upper_mm = sleeve.elbow_down_mm - sleeve.crown_height_mm
        lower_mm = sleeve.length_mm - sleeve.elbow_down_mm
        elbow_at = round((_LEVELS - 1) * upper_mm / (upper_mm + lower_mm))
        down = np.concatenate(
            [
                np.linspace(0.0, upper_mm, elbow_at + 1),
                np.linspace(upper_mm, upper_mm + lower_mm, _LEVELS - elbow_at)[1:],
            ]
        )
        pose = _pose(angles)
        centre, front, outside = _bent(pose.axes(), down, upper_mm, angles)
        girth = np.interp(
            down,
            [0.0, upper_mm, upper_mm + lower_mm],
            [sleeve.girth_mm.at(level) for level in LEVELS],
        )
        return cls(
            sleeve=sleeve,
            armhole=armhole,
            section=section,
            angles=angles,
            centre_mm=centre + _hung_at(armhole, section.q_mm * girth[0], pose),
            front=front,
            outside=outside,
            down_mm=down,
            girth_mm=girth,
            elbow_at=elbow_at,
            neck_at=min(int((down < _NECK_MM).sum()), elbow_at // 2),
        )

    def seam(self, seam: Seam) -> Line:
        """A seam from the armhole over head and tube to the cuff."""
        share, neck = self._share(seam), self.neck_at
        normal, point = self.section.normal_at(share), self.section.point_at(share)
        normals = normal[:, :1] * self.front + normal[:, 1:] * self.outside
        tube = self.centre_mm + self.girth_mm[:, None] * (
            point[:, :1] * self.front + point[:, 1:] * self.outside
        )
        # A neighbour to either side gives the head's surface its direction.
        head = self._head(share[neck] + np.array([-_BESIDE, 0.0, _BESIDE]))
        facing = np.cross(head[:, 2] - head[:, 0], np.gradient(head[:, 1], axis=0))
        facing /= np.linalg.norm(facing, axis=1)[:, None]
        return Line(
            points_mm=np.concatenate([head[:0:-1, 1], tube[neck:]]),
            normals=np.concatenate([facing[:0:-1], normals[neck:]]),
        )

    def head(self) -> FloatArray:
        """Points (n, 3) of the head's surface, from the tube up to the armhole."""
        return self._head(np.linspace(0.0, 1.0, _AROUND, endpoint=False)).reshape(-1, 3)

    def edges(self, towards: FloatArray) -> tuple[FloatArray, FloatArray]:
        """The tube's two edges (n, 3) as seen from a direction, head to cuff."""
        p_mm, q_mm = (axis * self.girth_mm for axis in (self.section.p_mm, self.section.q_mm))
        turn = np.arctan2(-q_mm * (self.front @ towards), p_mm * (self.outside @ towards))
        one = (p_mm * np.cos(turn))[:, None] * self.front
        one = (one + (q_mm * np.sin(turn))[:, None] * self.outside)[self.neck_at :]
        middle = self.centre_mm[self.neck_at :]
        return middle + one, middle - one

    def cuff(self, towards: FloatArray) -> tuple[FloatArray, FloatArray, bool]:
        """The cuff's nearer and further half (n, 3), and whether one sees into the sleeve."""
        turn = np.linspace(0.0, np.pi, _AROUND // 2)
        p_mm, q_mm = self.section.p_mm * self.girth_mm[-1], self.section.q_mm * self.girth_mm[-1]
        front, outside = self.front[-1], self.outside[-1]
        turn = turn + np.arctan2(-q_mm * (front @ towards), p_mm * (outside @ towards))
        half = p_mm * np.cos(turn)[:, None] * front + q_mm * np.sin(turn)[:, None] * outside
        opening = np.cross(outside, front)
        return self.centre_mm[-1] + half, self.centre_mm[-1] - half, bool(opening @ towards > 0.0)

    def elbow(self) -> tuple[FloatArray, FloatArray]:
        """The elbow's point (3,) on the sleeve, and the unit direction (3,) in which it points."""
        out, at = np.radians(self.angles.elbow_turn_deg), self.elbow_at
        normal = np.array([-np.cos(out), np.sin(out)])
        axes = np.array([self.section.p_mm, self.section.q_mm])
        place = axes**2 * normal / np.hypot(*(axes * normal)) * self.girth_mm[at]
        frame = np.array([self.front[at], self.outside[at]])
        return self.centre_mm[at] + place @ frame, np.asarray(normal @ frame)

    def armhole_mm(self, s_mm: FloatArray) -> FloatArray:
        """Points (n, 3) of the armhole at arc lengths."""
        at = self.armhole.curve.point_at(s_mm)
        _, lowest, _, _ = self.armhole.curve.bounds_mm
        inside = -self.section.q_mm * self.girth_mm[0] + _TILT * (at[:, 1] - lowest)
        return np.stack([at[:, 0], inside, at[:, 1]], axis=1)

    def _share(self, seam: Seam) -> FloatArray:
        """Where a seam lies round each ring, as a share of its girth from the front outward."""
        name: Levels = getattr(self.sleeve, f"{seam}_shift_mm")
        at = self.down_mm[[0, self.elbow_at, -1]]
        shift = np.interp(self.down_mm, at, [name.head, name.elbow, name.cuff])
        return np.asarray((0.5 if seam == "hindarm" else 0.0) - shift / self.girth_mm)

    def _head(self, share: FloatArray) -> FloatArray:
        """The head's surface (rows, m, 3) over places round the neck's ring: smooth from there,
        where it goes on as the tube, into the armhole, where it rolls inward."""
        at = self.neck_at
        point = self.section.point_at(share) * self.girth_mm[at]
        low = self.centre_mm[at] + point[:, :1] * self.front[at] + point[:, 1:] * self.outside[at]
        axis = np.cross(self.front[at], self.outside[at])
        high = self.armhole_mm(self._sewn_to(share))
        reach = np.linalg.norm(high - low, axis=1)[:, None]
        fuller = self.sleeve.crown_height_mm / self.armhole.height_mm
        rise, roll = _RISE * fuller * reach * axis, _ROLL * reach * np.array([0.0, -1.0, 0.0])
        v = np.linspace(0.0, 1.0, _ROWS)[:, None, None]
        stay, go = (1 + 2 * v) * (1 - v) ** 2, v * v * (3 - 2 * v)
        return np.asarray(stay * low + go * high + v * (1 - v) ** 2 * rise - v * v * (1 - v) * roll)

    def _sewn_to(self, share: FloatArray) -> FloatArray:
        """Arc lengths on the armhole to which places round the neck's ring are sewn."""
        sleeve, at = self.sleeve, self.neck_at
        seat = self.armhole.seat(
            sleeve.notch_shift_mm, sleeve.hindarm_shift_mm.head, sleeve.forearm_shift_mm.head
        )
        front, back = (float(self._share(seam)[at]) for seam in SEAMS[::-1])
        sewn = [seat.front_s_mm, seat.crown_s_mm, seat.back_s_mm]
        return np.interp(
            front + (share - front) % 1.0,
            [front, 0.25, back, front + 1.0],
            [*sewn, seat.front_s_mm + self.armhole.girth_mm],
        )


def _pose(angles: Angles) -> Pose:
    return Pose(pitch_deg=angles.pitch_deg, abduction_deg=angles.lift_deg - FULLER_DEG)


def _hung_at(armhole: Armhole, half_mm: float, pose: Pose) -> FloatArray:
    """The middle of the biceps line: the sleeve leaves the body about its under arm and swings
    about the middle of the armhole."""
    rearmost, _, foremost, highest = armhole.curve.bounds_mm
    middle_mm = highest - armhole.height_mm / 2.0
    swing = np.radians(pose.pitch_deg)
    under = armhole.height_mm / 2.0 * np.array([np.sin(swing), 0.0, -np.cos(swing)])
    return np.asarray(
        [(rearmost + foremost) / 2.0, -half_mm, middle_mm] + under + half_mm * pose.axes()[1]
    )


def _bent(
    axes: FloatArray, down_mm: FloatArray, elbow_mm: float, angles: Angles
) -> tuple[FloatArray, FloatArray, FloatArray]:
    """Middle line (n, 3) from the biceps line, and front and outside (n, 3) of every ring."""
    front, outside, up = axes
    out = np.radians(angles.elbow_turn_deg)
    elbow = -np.cos(out) * front + np.sin(out) * outside
    hinge = np.cross(up, elbow)
    gone = np.clip((down_mm - elbow_mm) / (2.0 * _BEND_OVER_MM) + 0.5, 0.0, 1.0)
    bend = (np.radians(angles.bend_deg) * gone * gone * (3.0 - 2.0 * gone))[:, None]
    ways = -np.cos(bend) * up - np.sin(bend) * elbow
    steps = np.diff(down_mm)[:, None] * (ways[:-1] + ways[1:]) / 2.0
    centre = np.concatenate([np.zeros((1, 3)), np.cumsum(steps, axis=0)])
    turned = np.cos(bend) * elbow - np.sin(bend) * up
    return (
        centre,
        (front @ elbow) * turned + (front @ hinge) * hinge,
        (outside @ elbow) * turned + (outside @ hinge) * hinge,
    )
