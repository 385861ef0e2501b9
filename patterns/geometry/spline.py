"""The closed cubic spline: its solution from points, and whether an outline crosses itself."""

import numpy as np

from patterns.geometry.arclength import FloatArray


def closed_cubics(points: FloatArray) -> tuple[FloatArray, FloatArray]:
    """Solve the periodic C2 cubic spline through points (n, 2), parametrised by chord length.

    Returns knots (n + 1,) from 0 and cubics (n, 4, 2): on span i the point is
    c0 + c1 t + c2 t^2 + c3 t^3 with t counted from knot i.
    """
    chords = np.roll(points, -1, axis=0) - points
    step = np.hypot(chords[:, 0], chords[:, 1])
    slope = chords / step[:, None]
    n = len(points)
    here, after = np.arange(n), np.roll(np.arange(n), -1)
    system = np.zeros((n, n))
    system[here, here] = 2.0 * (np.roll(step, 1) + step)
    system[here, after] += step
    system[after, here] += step
    second = np.linalg.solve(system, 6.0 * (slope - np.roll(slope, 1, axis=0)))
    second_after = np.roll(second, -1, axis=0)
    wide = step[:, None]
    cubics = np.stack(
        [
            points,
            slope - wide * (2.0 * second + second_after) / 6.0,
            second / 2.0,
            (second_after - second) / (6.0 * wide),
        ],
        axis=1,
    )
    return np.concatenate(([0.0], np.cumsum(step))), cubics


def crosses_itself(outline: FloatArray) -> bool:
    """Whether the closed polyline (n, 2) crosses or touches itself away from its own corners."""
    start, end = outline, np.roll(outline, -1, axis=0)
    order = np.argsort(np.minimum(start[:, 0], end[:, 0]))
    left = np.minimum(start[:, 0], end[:, 0])[order]
    right = np.maximum(start[:, 0], end[:, 0])[order]
    n = len(outline)
    # Sweep: segment i can only meet those that begin, in x, before it ends.
    count = np.searchsorted(left, right, side="right") - np.arange(n) - 1
    first = np.repeat(np.arange(n), count)
    offset = np.arange(len(first)) - np.repeat(np.cumsum(count) - count, count)
    i, j = order[first], order[first + 1 + offset]
    apart = (i - j) % n
    keep = (apart != 1) & (apart != n - 1)
    i, j = i[keep], j[keep]
    splits_j = _side(start[i], end[i], start[j]) * _side(start[i], end[i], end[j])
    splits_i = _side(start[j], end[j], start[i]) * _side(start[j], end[j], end[i])
    low = np.maximum(np.minimum(start[i], end[i]), np.minimum(start[j], end[j]))
    high = np.minimum(np.maximum(start[i], end[i]), np.maximum(start[j], end[j]))
    return bool(np.any((splits_j <= 0.0) & (splits_i <= 0.0) & np.all(low <= high, axis=1)))


def _side(a: FloatArray, b: FloatArray, p: FloatArray) -> FloatArray:
    """Sign of the side of line a-b on which p lies; the sign alone cannot underflow."""
    along, across = b - a, p - a
    return np.asarray(np.sign(along[:, 0] * across[:, 1] - along[:, 1] * across[:, 0]))
