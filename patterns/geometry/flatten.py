"""A photograph of something flat, brought back to millimetres.

Four marks on the plane whose distances are known fix the perspective. The camera is taken as one
without distortion: a lens that bends straight lines leaves its own error, which only a check
distance shows. Pixels run to the right and down, and so do the millimetres.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final, Self

import numpy as np
from numpy.typing import ArrayLike

from patterns.geometry.arclength import FloatArray
from patterns.geometry.refusals import BadMeasure, BadPoints, checked_positive

SIGMA_PX: Final = 1.0  # how well a point is set; trade practice, no source
_PAIRS: Final = ((0, 1), (1, 2), (2, 3), (3, 0), (0, 2), (1, 3))
_FREE: Final = [2, 4, 5, 6, 7]  # the first mark stays, and the second at its height
_STEPS: Final = 40
_MISFIT: Final = 0.05  # of the longest distance: more is a slip of the tape, not an error of it
_LEAST_SHARE: Final = 0.01  # of the square of the longest side: a triangle of three marks


@dataclass(frozen=True, slots=True, kw_only=True)
class Distances:
    """Between four marks, going round as 1, 2, 3, 4, mm. Left out: the opposite side, which makes
    it a rectangle where the diagonals are left out too."""

    first_second: float
    second_third: float
    third_fourth: float | None = None
    fourth_first: float | None = None
    first_third: float | None = None
    second_fourth: float | None = None

    @property
    def sides_mm(self) -> tuple[float, float, float, float]:
        third = self.first_second if self.third_fourth is None else self.third_fourth
        fourth = self.second_third if self.fourth_first is None else self.fourth_first
        sides = (self.first_second, self.second_third, third, fourth)
        names = ("1 to 2", "2 to 3", "3 to 4", "4 to 1")
        for side, name in zip(sides, names, strict=True):
            checked_positive(side, f"distance {name}")
        return sides

    @property
    def diagonals_mm(self) -> tuple[float | None, float | None]:
        for one, name in ((self.first_third, "1 to 3"), (self.second_fourth, "2 to 4")):
            if one is not None:
                checked_positive(one, f"distance {name}")
        return self.first_third, self.second_fourth


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Placed:
    """Four marks (4, 2) in mm, and by how much each given distance (n,) is missed; n above 5 only
    where the distances say more than is needed, else the misfits are all 0 and tell nothing."""

    marks_mm: FloatArray
    misfits_mm: FloatArray

    @property
    def checked(self) -> bool:
        """Whether the distances check each other."""
        return len(self.misfits_mm) > 5

    @property
    def misfit_mm(self) -> float:
        return float(np.abs(self.misfits_mm).max())

    @classmethod
    def by(cls, given: Distances) -> Self:
        """Lay the marks out by their distances, in the least-squares sense where there are six.

        Refuses BadMeasure distances that no four marks have.
        """
        sides, diagonals = given.sides_mm, given.diagonals_mm
        known = [one for one in diagonals if one is not None]
        if not known:
            return cls._rectangle(*sides)
        wanted = np.array([*sides, *(np.nan if one is None else one for one in diagonals)])
        used = np.isfinite(wanted)
        marks = _start(sides, diagonals)
        for _ in range(_STEPS):
            off, slopes = _misfits(marks, wanted)
            marks = marks.copy()
            marks.flat[_FREE] += np.linalg.lstsq(slopes[used], -off[used], rcond=None)[0]
        off = _misfits(marks, wanted)[0][used]
        if not np.all(np.isfinite(marks)) or np.abs(off).max() > _MISFIT * max(sides):
            raise BadMeasure(
                "The distances do not belong to four marks in one plane; measure them again, and "
                "look that 1, 2, 3, 4 go round."
            )
        return cls(marks_mm=marks, misfits_mm=off)

    @classmethod
    def _rectangle(cls, top: float, right: float, bottom: float, left: float) -> Self:
        if top != bottom or right != left:
            raise BadMeasure(
                "Four marks that are no rectangle need a diagonal too; measure from 1 to 3 and "
                "from 2 to 4."
            )
        corners = np.array([(0.0, 0.0), (top, 0.0), (top, right), (0.0, right)])
        return cls(marks_mm=corners, misfits_mm=np.zeros(4))


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Flattening:
    """From pixels to mm on the plane, by the homography (3, 3) that brings the marks into place."""

    matrix: FloatArray
    marks_px: FloatArray
    placed: Placed

    @classmethod
    def by(cls, marks_px: ArrayLike, given: Distances) -> Self:
        """Refuses BadPoints marks that do not go round, and BadMeasure as `Placed.by`."""
        marks = _checked(marks_px)
        placed = Placed.by(given)
        matrix = homography(marks, placed.marks_mm)
        return cls(matrix=matrix, marks_px=marks, placed=placed)

    def points_mm(self, points_px: ArrayLike) -> FloatArray:
        """Points (..., 2) on the plane. Refuses BadPoints beyond the plane's horizon."""
        points = np.asarray(points_px, dtype=float)
        depth = points @ self.matrix[2, :2] + self.matrix[2, 2]
        ahead = np.sign(self.marks_px.mean(axis=0) @ self.matrix[2, :2] + self.matrix[2, 2])
        if not np.all(depth * ahead > 1e-12):
            raise BadPoints("A point lies beyond the paper's horizon; set it again.")
        flat = points @ self.matrix[:2, :2].T + self.matrix[:2, 2]
        return np.asarray(flat / depth[..., None])

    def distance_mm(self, first_px: ArrayLike, last_px: ArrayLike) -> float:
        return float(np.hypot(*(self.points_mm(last_px) - self.points_mm(first_px))))

    def sigma_mm(self, point_px: ArrayLike, sigma_px: float = SIGMA_PX) -> float:
        """How far (one sigma, the worse way) a point may be off when it and the four marks are
        set within `sigma_px`; first order, by differences."""
        point = np.asarray(point_px, dtype=float)
        was = self.points_mm(point)
        moves = [self.points_mm(point + move) - was for move in np.eye(2)]
        for index in np.ndindex(4, 2):
            marks = self.marks_px.copy()
            marks[index] += 1.0
            matrix = homography(marks, self.placed.marks_mm)
            other = Flattening(matrix=matrix, marks_px=marks, placed=self.placed)
            moves.append(other.points_mm(point) - was)
        spread = np.linalg.svd(np.array(moves), compute_uv=False)
        return float(spread[0]) * sigma_px


def homography(points_px: FloatArray, points_mm: FloatArray) -> FloatArray:
    """The matrix (3, 3) that maps points (n, 2) to points (n, 2), n >= 4, by the direct linear
    transformation on normalised points (Hartley and Zisserman, Multiple View Geometry, algorithm
    4.2; from memory)."""
    first, second = _normal(points_px), _normal(points_mm)
    x, y = _moved(first, points_px), _moved(second, points_mm)
    rows = []
    for (u, v), (a, b) in zip(x, y, strict=True):
        rows.append([u, v, 1, 0, 0, 0, -a * u, -a * v, -a])
        rows.append([0, 0, 0, u, v, 1, -b * u, -b * v, -b])
    solved = np.linalg.svd(np.array(rows))[2][-1].reshape(3, 3)
    matrix = np.linalg.inv(second) @ solved @ first
    return np.asarray(matrix / np.linalg.norm(matrix))


def _normal(points: FloatArray) -> FloatArray:
    """The similarity (3, 3) that brings points (n, 2) round 0 at a mean distance of root 2."""
    middle = points.mean(axis=0)
    size = np.sqrt(2.0) / np.hypot(*(points - middle).T).mean()
    return np.array([[size, 0, -size * middle[0]], [0, size, -size * middle[1]], [0, 0, 1]])


def _moved(matrix: FloatArray, points: FloatArray) -> FloatArray:
    return np.asarray(points @ matrix[:2, :2].T + matrix[:2, 2])


def _checked(marks_px: ArrayLike) -> FloatArray:
    """Four marks (4, 2) that go round once, or BadPoints."""
    marks = np.asarray(marks_px, dtype=float)
    if marks.shape != (4, 2) or not np.all(np.isfinite(marks)):
        raise BadPoints("Set all four marks; 1, 2, 3, 4 going round.")
    turns = []
    for index in range(4):
        first, middle, last = marks[[index, (index + 1) % 4, (index + 2) % 4]]
        one, two = middle - first, last - middle
        turns.append(float(one[0] * two[1] - one[1] * two[0]))
    longest = max(float(np.sum((marks[i] - marks[j]) ** 2)) for i, j in _PAIRS)
    if min(turns) <= _LEAST_SHARE * longest:
        raise BadPoints(
            "The four marks must go round the way the hand of a clock goes (1 upper left, 2 upper "
            "right, 3 lower right, 4 lower left), and no three of them may lie on one line; set "
            "them again."
        )
    return marks


def _start(sides: Sequence[float], diagonals: tuple[float | None, float | None]) -> FloatArray:
    """Marks (4, 2) that have the sides and the first diagonal known, by triangles over it."""
    top, right, bottom, left = sides
    across, other = diagonals
    if across is None:  # count round from 2 instead, and back
        turned = _start((right, bottom, left, top), (other, None))
        return _upright(np.roll(turned, 1, axis=0))
    third = _apex(top, right, across)
    fourth = _apex(left, bottom, across)
    marks = np.array([(0.0, 0.0), third, (across, 0.0), (fourth[0], -fourth[1])])
    return _upright(marks)


def _apex(from_start: float, from_end: float, base: float) -> FloatArray:
    """The point so far from both ends of a base along x, on the side where y is negative."""
    x = (base**2 + from_start**2 - from_end**2) / (2 * base)
    high = from_start**2 - x**2
    if high <= 0.0:
        raise BadMeasure(
            "A diagonal is longer than the two sides beside it, or too short; measure again."
        )
    return np.array([x, -np.sqrt(high)])


def _upright(marks: FloatArray) -> FloatArray:
    """The first mark at 0, 0, the second to its right, the others below (y counts down)."""
    marks = marks - marks[0]
    x, y = marks[1] / np.hypot(*marks[1])
    marks = marks @ np.array([[x, -y], [y, x]])
    return np.asarray(marks * [1.0, np.sign(marks[2, 1])])


def _misfits(marks: FloatArray, wanted: FloatArray) -> tuple[FloatArray, FloatArray]:
    """Distances minus those wanted (6,), and their slopes (6, 5) by the free coordinates."""
    off, slopes = np.zeros(6), np.zeros((6, 4, 2))
    for row, (i, j) in enumerate(_PAIRS):
        way = marks[j] - marks[i]
        long = float(np.hypot(*way))
        off[row] = long - wanted[row]
        slopes[row, i], slopes[row, j] = -way / long, way / long
    return off, np.asarray(slopes.reshape(6, 8)[:, _FREE])
