"""A smooth closed curve described by arc length."""

import dataclasses
from dataclasses import dataclass, field
from typing import Self

import numpy as np
from numpy.typing import ArrayLike

from patterns.geometry.arclength import ArcLength, FloatArray
from patterns.geometry.refusals import BadPoints, NoGirth, SelfCrossing
from patterns.geometry.spline import closed_cubics, crosses_itself

_FARTHEST_MM = 1e6  # a kilometre: beyond it the unit is wrong, not the coat
_SMALLEST_MM = 1e-6
_SAME = 1e-9  # of the outline's size: closer points are one point
_MERGE = 1e-7  # of the length: closer crossings are one crossing


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class ClosedCurve:
    """The periodic C2 cubic spline through points (n, 2), by arc length s in mm.

    The two coordinates are x and z (height). s runs in the order of the points from `start_mm`
    beyond the first of them, and wraps at the length. Build it with `through`. `bounds_mm` is
    (xmin, zmin, xmax, zmax) of the curve itself, not of its points.
    """

    points_mm: FloatArray
    start_mm: float = 0.0
    _knots: FloatArray
    _cubics: FloatArray
    _arc: ArcLength
    bounds_mm: tuple[float, float, float, float] = field(init=False)

    def __post_init__(self) -> None:
        ends = [self._furthest(way)[1] for way in ((-1, 0), (0, -1), (1, 0), (0, 1))]
        bounds = (-ends[0], -ends[1], ends[2], ends[3])
        object.__setattr__(self, "bounds_mm", bounds)  # asked for at every turn

    @classmethod
    def through(cls, points_mm: ArrayLike) -> Self:
        """Draw the curve through at least 4 distinct points (n, 2), closed without repeating one.

        Refuses BadPoints, NoGirth (no length or no area) and SelfCrossing.
        """
        points = _checked_points(points_mm)
        knots, cubics = closed_cubics(points)
        curve = cls._of(points, knots, cubics)
        if crosses_itself(curve._sampled()):
            raise SelfCrossing(
                "The outline runs over itself; put its points in order, once round the armhole."
            )
        if curve.area_mm2 <= _SAME * curve.length_mm**2:
            raise NoGirth("The outline encloses nothing; draw it as a closed round.")
        return curve

    @classmethod
    def _of(
        cls, points: FloatArray, knots: FloatArray, cubics: FloatArray, start_mm: float = 0.0
    ) -> Self:
        points.setflags(write=False)
        arc = ArcLength(knots, lambda t: _length(_evaluate(knots, cubics, t, order=1)))
        return cls(points_mm=points, start_mm=start_mm, _knots=knots, _cubics=cubics, _arc=arc)

    def scaled(self, factor: float) -> Self:
        """The same curve so many times as large (factor > 0), about x = z = 0."""
        powers = factor ** np.array([[1.0], [0.0], [-1.0], [-2.0]])
        return self._of(
            self.points_mm * factor,
            self._knots * factor,
            self._cubics * powers,
            self.start_mm * factor,
        )

    def starting_at(self, s_mm: float) -> Self:
        """The same curve with s = 0 at what was s_mm."""
        start = (self.start_mm + s_mm) % self.length_mm
        return dataclasses.replace(self, start_mm=float(start))

    @property
    def length_mm(self) -> float:
        """Length once round."""
        return self._arc.total

    @property
    def signed_area_mm2(self) -> float:
        """Enclosed area, above zero when s runs from x towards z (anticlockwise on paper)."""
        bezier = self.beziers()
        start, end = bezier[:, 0], bezier[:, 3]
        first, second, chord = (bezier[:, k] - start for k in (1, 2, 3))
        # Exact for cubics: the polygon of the chords, and what each span encloses over its chord.
        over = _cross(first, second) + _cross(first, chord) + 2.0 * _cross(second, chord)
        return float(_cross(start, end).sum() / 2.0 + 0.15 * over.sum())

    @property
    def area_mm2(self) -> float:
        """Enclosed area, never below zero."""
        return abs(self.signed_area_mm2)

    def point_at(self, s_mm: ArrayLike) -> FloatArray:
        """Points (..., 2) in mm at arc lengths of any shape; s wraps."""
        return _evaluate(self._knots, self._cubics, self._parameter(s_mm), order=0)

    def tangent_at(self, s_mm: ArrayLike) -> FloatArray:
        """Unit tangents (..., 2), pointing the way s increases."""
        along = _evaluate(self._knots, self._cubics, self._parameter(s_mm), order=1)
        return np.asarray(along / _length(along)[..., None])

    def polyline(self, n: int) -> FloatArray:
        """n points (n, 2) at equal arc lengths from s = 0; the first is not repeated."""
        return self.point_at(np.arange(n) * (self.length_mm / n))

    def beziers(self) -> FloatArray:
        """Exact control points (n, 4, 2) of the spans, from the first given point on."""
        step = np.diff(self._knots)[:, None]
        c0, c1, c2, c3 = (self._cubics[:, k] for k in range(4))
        end = c0 + step * (c1 + step * (c2 + step * c3))
        return np.stack(
            [c0, c0 + step * c1 / 3.0, c0 + step * (2.0 * c1 + step * c2) / 3.0, end], axis=1
        )

    def nearest(self, point_mm: ArrayLike) -> float:
        """Arc length of the curve's point nearest to a point (2,). Refuses BadPoints."""
        aim = np.asarray(point_mm, dtype=np.float64)
        if aim.shape != (2,) or not np.all(np.isfinite(aim)):
            raise BadPoints("The point to look for has no place; mark it again.")
        bezier = self.beziers()
        outside = np.maximum(bezier.min(axis=1) - aim, aim - bezier.max(axis=1))
        # No span lies nearer than the box round its control points.
        least = _length(np.maximum(outside, 0.0))
        best = float(_length(self.points_mm - aim).min())
        found: list[float] = []
        for span in np.flatnonzero(least <= best * (1.0 + _SAME)):
            ahead = self._cubics[span, ::-1] - np.array([[0.0], [0.0], [0.0], [1.0]]) * aim
            square = np.polyadd(*(np.polymul(ahead[:, k], ahead[:, k]) for k in (0, 1)))
            step = self._knots[span + 1] - self._knots[span]
            roots = np.clip(np.roots(np.polyder(square)).real, 0.0, step)
            found.extend(self._knots[span] + np.concatenate(([0.0, step], roots)))
        at = np.array(found)
        gap = _length(_evaluate(self._knots, self._cubics, at, order=0) - aim)
        return self._s_of(at[int(np.argmin(gap))])

    def at_height(self, z_mm: float) -> tuple[float, ...]:
        """Arc lengths, increasing, where the curve meets a height; empty if it never does."""
        return self._meets(1, z_mm)

    def at_width(self, x_mm: float) -> tuple[float, ...]:
        """Arc lengths, increasing, where the curve meets the upright at x; empty if never."""
        return self._meets(0, x_mm)

    def furthest_s(self, direction: tuple[float, float]) -> float:
        """Arc length of the point that lies furthest in a direction (x, z)."""
        return self._s_of(self._furthest(direction)[0])

    def _furthest(self, direction: tuple[float, float]) -> tuple[float, float]:
        """Parameter of the point that lies furthest in a direction, and how far that is."""
        along = self._cubics @ np.asarray(direction, dtype=np.float64)
        step = np.diff(self._knots)
        turns = _quadratic_roots(3.0 * along[:, 3], 2.0 * along[:, 2], along[:, 1])
        u = np.where(np.isfinite(turns) & (turns > 0.0) & (turns < step), turns, 0.0)
        reach = along[:, 0] + u * (along[:, 1] + u * (along[:, 2] + u * along[:, 3]))
        best = int(np.argmax(reach))
        span = best % len(step)
        return float(self._knots[span] + u.flat[best]), float(reach.flat[best])

    def _meets(self, axis: int, value_mm: float) -> tuple[float, ...]:
        control = self.beziers()[:, :, axis]
        slack = _SAME * self.length_mm
        near = (control.min(axis=1) <= value_mm + slack) & (control.max(axis=1) >= value_mm - slack)
        found: list[float] = []
        for span in np.flatnonzero(near):
            cubic = self._cubics[span, ::-1, axis] - np.array([0.0, 0.0, 0.0, value_mm])
            step = self._knots[span + 1] - self._knots[span]
            roots = np.roots(cubic).real
            roots = np.clip(roots[(roots >= -slack) & (roots <= step + slack)], 0.0, step)
            hits = roots[np.abs(np.polyval(cubic, roots)) <= slack]
            found.extend(self._s_of(self._knots[span] + hit) for hit in hits)
        return _merged(sorted(found), self.length_mm)

    def _parameter(self, s_mm: ArrayLike) -> FloatArray:
        along = np.asarray(s_mm, dtype=np.float64)
        if not np.all(np.isfinite(along)):
            raise BadPoints("A place on the curve is not a number; mark it again.")
        return self._arc.parameter_at((along + self.start_mm) % self.length_mm)

    def _s_of(self, parameter: float) -> float:
        return float((self._arc.length_at(parameter) - self.start_mm) % self.length_mm)

    def _sampled(self) -> FloatArray:
        """Points in order, close enough together to see every crossing of a sane outline."""
        pieces = max(3, -(-400 // len(self.points_mm)))
        steps = np.arange(pieces) / pieces
        at = self._knots[:-1, None] + np.diff(self._knots)[:, None] * steps
        return _evaluate(self._knots, self._cubics, at.ravel(), order=0)


def _checked_points(points_mm: ArrayLike) -> FloatArray:
    """Distinct, finite points (n, 2), or BadPoints; NoGirth when they lie on one line."""
    points = np.array(points_mm, dtype=np.float64)
    if points.ndim != 2 or points.shape[1] != 2 or not np.all(np.isfinite(points)):
        raise BadPoints("Every point needs an x and a height in mm; mark the missing ones again.")
    if np.any(np.abs(points) > _FARTHEST_MM):
        raise BadPoints("A point lies a kilometre away; check the unit of the points.")
    size = float(np.ptp(points, axis=0).max()) if len(points) else 0.0
    after = np.roll(points, -1, axis=0)
    points = points[_length(points - after) > _SAME * size]
    if len(np.unique(points, axis=0)) < 4:
        raise BadPoints("An outline needs at least 4 different points; mark more of them.")
    spread = np.linalg.svd(points - points.mean(axis=0), compute_uv=False)
    if size < _SMALLEST_MM or spread[1] <= _SAME * spread[0]:
        raise NoGirth("The points lie on one line and go round nothing; mark them all round.")
    return points


def _evaluate(knots: FloatArray, cubics: FloatArray, t: FloatArray, *, order: int) -> FloatArray:
    """Point (order 0) or first derivative (order 1), shape (..., 2)."""
    span = np.clip(np.searchsorted(knots, t, side="right") - 1, 0, len(cubics) - 1)
    c = cubics[span]
    u = (t - knots[span])[..., None]
    if order == 0:
        return np.asarray(c[..., 0, :] + u * (c[..., 1, :] + u * (c[..., 2, :] + u * c[..., 3, :])))
    return np.asarray(c[..., 1, :] + u * (2.0 * c[..., 2, :] + u * 3.0 * c[..., 3, :]))


def _length(vectors: FloatArray) -> FloatArray:
    return np.asarray(np.hypot(vectors[..., 0], vectors[..., 1]))


def _cross(a: FloatArray, b: FloatArray) -> FloatArray:
    return np.asarray(a[..., 0] * b[..., 1] - a[..., 1] * b[..., 0])


def _quadratic_roots(a: FloatArray, b: FloatArray, c: FloatArray) -> FloatArray:
    """Both roots of a t^2 + b t + c, shape (2, n), by the form that does not cancel."""
    with np.errstate(divide="ignore", invalid="ignore"):
        q = -(b + np.copysign(np.sqrt(b * b - 4.0 * a * c), b)) / 2.0
        return np.stack([q / a, c / q])


def _merged(places: list[float], length_mm: float) -> tuple[float, ...]:
    """Drop places that repeat their neighbour, also across s = 0."""
    close = _MERGE * length_mm
    kept: list[float] = []
    for s in places:
        if not kept or s - kept[-1] > close:
            kept.append(s)
    if len(kept) > 1 and kept[0] + length_mm - kept[-1] <= close:
        kept.pop()
    return tuple(kept)
