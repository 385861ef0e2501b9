"""A line brought in from outside that follows what a drafted line does.

The drafted line goes from one state (base) to another (now); the line brought in is displaced at
every place by what the drafted line was displaced at the same place. Places correspond between
marks (elbow on elbow, crown on crown), and by equal shares of the arc length in between.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final, Self

import numpy as np

from patterns.geometry.arclength import ArcLength, FloatArray
from patterns.geometry.path import Path

_PARTS: Final = 24  # stretches at least, so that a cubic tells each of them
_SAME: Final = 1e-6  # shares nearer than this are one place
_NARROWINGS: Final = 12
_ASIDE: Final = 1e-8  # of a share: where a line's way just beside a joint is read


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Marked:
    """A line with places (shares of its arc length, increasing, ends left out) that have names
    elsewhere: lines that correspond have equally many of them."""

    path: Path
    marks: tuple[float, ...]
    _arc: ArcLength

    @classmethod
    def at(cls, path: Path, marks: Sequence[float] = ()) -> Self:
        steps = 3.0 * np.diff(path.spans_mm, axis=1)
        count = len(steps)

        def speed(places: FloatArray) -> FloatArray:
            index = np.clip(places.astype(int), 0, count - 1)
            d, t = steps[index], (places - index)[..., None]
            q = 1.0 - t
            way = q * q * d[..., 0, :] + 2 * q * t * d[..., 1, :] + t * t * d[..., 2, :]
            return np.asarray(np.hypot(way[..., 0], way[..., 1]))

        return cls(path=path, marks=tuple(marks), _arc=ArcLength(np.arange(count + 1.0), speed))

    @property
    def length_mm(self) -> float:
        return self._arc.total

    @property
    def joints(self) -> FloatArray:
        """Shares (n + 1,) of the arc length at which the spans begin and end."""
        count = len(self.path.spans_mm)
        return np.asarray(self._arc.length_at(np.arange(count + 1.0)) / self.length_mm)

    def places(self, shares: FloatArray) -> FloatArray:
        """Parameter places of shares of the arc length; shape kept."""
        return np.asarray(self._arc.parameter_at(shares * self.length_mm))

    def points(self, shares: FloatArray) -> FloatArray:
        """Points (..., 2) at shares of the arc length."""
        return self.path.point(self.places(shares))

    def nearest(self, point_mm: FloatArray) -> float:
        """Share of the arc length at which the line comes nearest to a point (2,)."""
        places = np.linspace(0.0, len(self.path.spans_mm), 16 * len(self.path.spans_mm) + 1)
        for _ in range(_NARROWINGS):
            apart = self.path.point(places) - point_mm
            best = int(np.argmin(np.hypot(apart[:, 0], apart[:, 1])))
            low, high = places[max(best - 1, 0)], places[min(best + 1, len(places) - 1)]
            places = np.linspace(low, high, 17)
        return float(self._arc.length_at(places[8]) / self.length_mm)

    def ways(self, shares: FloatArray) -> FloatArray:
        """Derivative (..., 2) of the point by the share."""
        return self.length_mm * self.path.tangent(self.places(shares))


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Following:
    """`line` displaced at every place by what `base` is displaced to become `now`."""

    line: Marked
    base: Marked
    now: Marked

    @property
    def still(self) -> bool:
        """Whether nothing moved, so that the line is exactly what it was."""
        base, now = self.base.path.spans_mm, self.now.path.spans_mm
        return base.shape == now.shape and bool(np.array_equal(base, now))

    def points(self, shares: FloatArray) -> FloatArray:
        """Displaced points (..., 2) at shares of the line's own arc length before."""
        return np.asarray(self.line.points(shares) + self._moved(shares))

    def path(self) -> Path:
        """The displaced line: the line's own spans, cut finer, each with the displacement added
        as a cubic that has its value and slope at both ends."""
        if self.still:
            return self.line.path
        shares = self._joints()
        places = self.line.places(shares)
        spans = _cut(self.line.path.spans_mm, places[:-1], places[1:])
        moved = self._moved(shares)
        first = self._moving(shares[:-1] + _ASIDE) * self._rate(spans[:, 0], spans[:, 1])
        last = self._moving(shares[1:] - _ASIDE) * self._rate(spans[:, 2], spans[:, 3])
        added = [moved[:-1], moved[:-1] + first / 3, moved[1:] - last / 3, moved[1:]]
        return Path(name=self.line.path.name, spans_mm=spans + np.stack(added, axis=1))

    def _rate(self, before: FloatArray, after: FloatArray) -> FloatArray:
        """Share (n, 1) that passes for one unit of a span's parameter at one of its ends."""
        step = after - before
        return np.asarray(3.0 * np.hypot(step[:, 0], step[:, 1])[:, None] / self.line.length_mm)

    def _joints(self) -> FloatArray:
        """Shares of the line at which it, the base and the drafted line now have joints."""
        of_others = [_through(one.joints, one, self.line)[0] for one in (self.base, self.now)]
        even = np.linspace(0.0, 1.0, _PARTS + 1)
        shares = np.sort(np.concatenate([self.line.joints, even, self.line.marks, *of_others]))
        shares = np.clip(shares, 0.0, 1.0)
        kept = np.concatenate(([True], np.diff(shares) > _SAME))
        shares = shares[kept]
        shares[-1] = 1.0
        return np.asarray(shares)

    def _moved(self, shares: FloatArray) -> FloatArray:
        now, base = (one.points(_through(shares, self.line, one)[0]) for one in self._both)
        return np.asarray(now - base)

    def _moving(self, shares: FloatArray) -> FloatArray:
        """Derivative (n, 2) of the displacement by the share of the line."""
        ways = []
        for one in self._both:
            at, slope = _through(shares, self.line, one)
            ways.append(one.ways(at) * slope[:, None])
        return np.asarray(ways[0] - ways[1])

    @property
    def _both(self) -> tuple[Marked, Marked]:
        return self.now, self.base


def _through(shares: FloatArray, one: Marked, other: Marked) -> tuple[FloatArray, FloatArray]:
    """Shares (n,) of one line on another, marks on marks, and the slope (n,) of that.

    A monotone cubic between the marks (Fritsch and Butland's slopes): no corner comes of it.
    """
    x = np.array([0.0, *one.marks, 1.0])
    y = np.array([0.0, *other.marks, 1.0])
    wide = np.diff(x)
    rise = np.diff(y) / wide
    inner = 2 * rise[1:] * rise[:-1] / (rise[1:] + rise[:-1])
    slopes = np.concatenate((rise[:1], inner, rise[-1:]))
    index = np.clip(np.searchsorted(x, shares, side="right") - 1, 0, len(rise) - 1)
    h, t = wide[index], (shares - x[index]) / wide[index]
    low, high, d0, d1 = y[index], y[index + 1], slopes[index], slopes[index + 1]
    over = high - low
    at = low + over * t * t * (3 - 2 * t) + h * t * (1 - t) * (d0 * (1 - t) - d1 * t)
    slope = over / h * 6 * t * (1 - t) + d0 * (1 - t) * (1 - 3 * t) + d1 * t * (3 * t - 2)
    return np.asarray(np.clip(at, 0.0, 1.0)), np.asarray(slope)


def _cut(spans_mm: FloatArray, first: FloatArray, last: FloatArray) -> FloatArray:
    """The spans (m, 4, 2) of a line between places first (m,) and last (m,), none over a joint."""
    index = np.clip(((first + last) / 2).astype(int), 0, len(spans_mm) - 1)
    p, a, b = spans_mm[index], (first - index)[:, None], (last - index)[:, None]
    return np.stack([_blossom(p, (b,) * k + (a,) * (3 - k)) for k in range(4)], axis=1)


def _blossom(p: FloatArray, parameters: tuple[FloatArray, ...]) -> FloatArray:
    for t in parameters:
        p = p[:, :-1] + (p[:, 1:] - p[:, :-1]) * t[..., None]
    return np.asarray(p[:, 0])
