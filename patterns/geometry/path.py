"""A drawn line: cubic Bezier spans joined end to end, measured by arc length."""

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property
from typing import Self

import numpy as np
from numpy.typing import ArrayLike

from patterns.geometry.arclength import FloatArray

_SHORTEST = 1e-10  # of a span: shorter pieces are rounding, not line
_CLOSE = 1e-13  # of the whole length; what the way back from length to place is brought to
_STEPS = 60
_SAMPLES = 8  # a span, to begin looking from
_HALVINGS = 54  # down to the rounding of a place
_NODES, _WEIGHTS = np.polynomial.legendre.leggauss(24)


@dataclass(frozen=True, kw_only=True, eq=False)
class Path:
    """A line of n cubic Bezier spans; `spans_mm` is (n, 4, 2), each span beginning where one ends.

    A place on it is a parameter from 0 to n (whole numbers are the joints) or a distance in mm
    from its start.
    """

    name: str
    spans_mm: FloatArray

    @property
    def start_mm(self) -> FloatArray:
        return np.asarray(self.spans_mm[0, 0])

    @property
    def end_mm(self) -> FloatArray:
        return np.asarray(self.spans_mm[-1, 3])

    @property
    def length_mm(self) -> float:
        return float(self.joints_mm[-1])

    @cached_property
    def joints_mm(self) -> FloatArray:
        """Distances (n + 1,) from the start to where the spans begin and end."""
        return np.concatenate(([0.0], np.cumsum(_length(self.spans_mm, 1.0))))

    def point(self, place: ArrayLike) -> FloatArray:
        """Points (..., 2) in mm at parameter places of any shape."""
        p, t = self._spans(place)
        q = 1.0 - t
        cubic = q**3 * p[..., 0, :] + 3 * q * q * t * p[..., 1, :]
        return np.asarray(cubic + 3 * q * t * t * p[..., 2, :] + t**3 * p[..., 3, :])

    def tangent(self, place: ArrayLike) -> FloatArray:
        """Unit tangents (..., 2) at parameter places, in the sense the line runs."""
        way = self._derivative(place)
        return np.asarray(way / np.hypot(way[..., 0], way[..., 1])[..., None])

    def distance_mm(self, place: float) -> float:
        """Arc length from the start to a parameter place (held to the line's two ends)."""
        index = min(max(int(place), 0), len(self.spans_mm) - 1)
        into = _length(self.spans_mm[index], min(max(place - index, 0.0), 1.0))
        return float(self.joints_mm[index] + into)

    def place_at(self, distance_mm: float) -> float:
        """Parameter place at a distance from the start (held to the line's two ends)."""
        joints = self.joints_mm
        whole = float(joints[-1])
        wanted = min(max(distance_mm, 0.0), whole)
        index = min(int(np.searchsorted(joints, wanted, side="right")), len(joints) - 1) - 1
        span, low, high = self.spans_mm[index], 0.0, 1.0
        part = wanted - float(joints[index])
        at = part / float(joints[index + 1] - joints[index])
        for _ in range(_STEPS):
            over = float(_length(span, at)) - part
            if abs(over) <= _CLOSE * whole:
                break
            low, high = (low, at) if over > 0.0 else (at, high)
            way = self._derivative(index + at)
            step = at - over / max(float(np.hypot(way[0], way[1])), _SHORTEST)
            at = step if low < step < high else (low + high) / 2
        return index + at

    def place_where_x(self, x_mm: float) -> float:
        """Parameter place where a line running steadily to greater x reaches `x_mm`."""
        index = int(np.searchsorted(self.spans_mm[:, 0, 0], x_mm, side="right")) - 1
        index = min(max(index, 0), len(self.spans_mm) - 1)
        first, second, third, last = self.spans_mm[index, :, 0].tolist()
        low, high = 0.0, 1.0
        for _ in range(_HALVINGS):
            t = (low + high) / 2
            q = 1.0 - t
            x = q * q * (q * first + 3 * t * second) + t * t * (3 * q * third + t * last)
            low, high = (t, high) if x < x_mm else (low, t)
        return index + high

    def nearest(self, point_mm: ArrayLike) -> float:
        """Parameter place of the line's point nearest to a point (2,)."""
        aim, last = np.asarray(point_mm, dtype=float), float(len(self.spans_mm))
        gaps = self.polyline(_SAMPLES) - aim
        place = float(np.argmin(np.hypot(gaps[:, 0], gaps[:, 1]))) / _SAMPLES
        for _ in range(_STEPS):
            way = self._derivative(place)
            step = float((aim - self.point(place)) @ way / max(float(way @ way), _SHORTEST))
            before, place = place, min(max(place + step, 0.0), last)
            if abs(place - before) <= _SHORTEST:
                break
        return place

    def part(self, first: float, last: float, name: str | None = None) -> Self:
        """The stretch between two parameter places, first < last, as a line of its own."""
        spans = []
        for index, p in enumerate(self.spans_mm):
            low, high = max(first - index, 0.0), min(last - index, 1.0)
            if high - low > _SHORTEST:
                spans.append([_blossom(p, *(high,) * k, *(low,) * (3 - k)) for k in range(4)])
        return type(self)(name=name or self.name, spans_mm=np.array(spans))

    def then(self, other: Self) -> Self:
        """This line followed by another that begins where this one ends; keeps this name."""
        return type(self)(name=self.name, spans_mm=np.concatenate([self.spans_mm, other.spans_mm]))

    def backwards(self) -> Self:
        """The same line drawn from its end to its start."""
        return type(self)(name=self.name, spans_mm=self.spans_mm[::-1, ::-1].copy())

    def mapped(self, matrix: ArrayLike, shift_mm: ArrayLike) -> Self:
        """The line under an affine map: every control point p becomes matrix @ p + shift."""
        moved = self.spans_mm @ np.asarray(matrix, dtype=float).T + np.asarray(shift_mm)
        return type(self)(name=self.name, spans_mm=moved)

    def polyline(self, per_span: int = 16) -> FloatArray:
        """Points (n * per_span + 1, 2) on the line, both ends included."""
        t = np.arange(per_span)[:, None] / per_span
        q = 1.0 - t
        share = np.concatenate([q**3, 3 * q * q * t, 3 * q * t * t, t**3], axis=1)
        return np.concatenate([(share @ self.spans_mm).reshape(-1, 2), self.spans_mm[-1, 3:]])

    def _spans(self, place: ArrayLike) -> tuple[FloatArray, FloatArray]:
        at = np.asarray(place, dtype=float)
        index = np.clip(at.astype(int), 0, len(self.spans_mm) - 1)
        return self.spans_mm[index], (at - index)[..., None]

    def _derivative(self, place: ArrayLike) -> FloatArray:
        p, t = self._spans(place)
        d, q = np.diff(p, axis=-2), 1.0 - t
        return np.asarray(
            3 * (q * q * d[..., 0, :] + 2 * q * t * d[..., 1, :] + t * t * d[..., 2, :])
        )


def line(name: str, *points_mm: ArrayLike) -> Path:
    """Straight lines through two or more points (2,), as cubic spans."""
    points = np.array([np.asarray(point, dtype=float) for point in points_mm])
    first, last = points[:-1], points[1:]
    thirds = [first + (last - first) * share for share in (0.0, 1 / 3, 2 / 3, 1.0)]
    return Path(name=name, spans_mm=np.stack(thirds, axis=1))


def spline(
    name: str,
    points_mm: ArrayLike,
    *,
    knots: Sequence[float] | FloatArray | None = None,
    start: ArrayLike | None = None,
    end: ArrayLike | None = None,
) -> Path:
    """The cubic spline, twice continuously differentiable, through points (n, 2), n >= 2.

    `knots`: increasing parameter at the points; chord lengths when left out. `start`, `end`:
    derivative (2,) per unit of the parameter at the two ends; free (no curvature) when left out.
    """
    points = np.asarray(points_mm, dtype=float)
    chords = np.diff(points, axis=0)
    steps = np.hypot(chords[:, 0], chords[:, 1]) if knots is None else np.diff(knots)
    slopes = _slopes(chords / steps[:, None], steps, start, end)
    reach = steps[:, None] / 3
    controls = [points[:-1], points[:-1] + reach * slopes[:-1]]
    controls += [points[1:] - reach * slopes[1:], points[1:]]
    return Path(name=name, spans_mm=np.stack(controls, axis=1))


def _slopes(
    chords: FloatArray, steps: FloatArray, start: ArrayLike | None, end: ArrayLike | None
) -> FloatArray:
    """Derivatives (n, 2) at the knots that make the second derivative continuous."""
    count = len(steps) + 1
    matrix, right = np.zeros((count, count)), np.zeros((count, 2))
    for i in range(1, count - 1):
        before, after = 1 / steps[i - 1], 1 / steps[i]
        matrix[i, i - 1 : i + 2] = before, 2 * (before + after), after
        right[i] = 3 * (chords[i - 1] * before + chords[i] * after)
    for row, beside, given in ((0, 1, start), (-1, -2, end)):
        if given is None:
            matrix[row, row], matrix[row, beside], right[row] = 2.0, 1.0, 3 * chords[row]
        else:
            matrix[row, row], right[row] = 1.0, given
    return np.asarray(np.linalg.solve(matrix, right))


def _length(spans_mm: FloatArray, until: float) -> FloatArray:
    """Arc length (...) of spans (..., 4, 2) from their start to a parameter from 0 to 1."""
    t = until * (1.0 + _NODES[:, None]) / 2
    q = 1.0 - t
    steps = spans_mm[..., 1:, :] - spans_mm[..., :-1, :]
    way = 3.0 * np.concatenate([q * q, 2 * q * t, t * t], axis=1) @ steps
    return np.asarray(np.hypot(way[..., 0], way[..., 1]) @ _WEIGHTS * (until / 2))


def _blossom(p: FloatArray, *parameters: float) -> FloatArray:
    for t in parameters:
        p = p[:-1] + (p[1:] - p[:-1]) * t
    return np.asarray(p[0])
