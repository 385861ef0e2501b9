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
    second = _ring_solved(step, 6.0 * (slope - np.roll(slope, 1, axis=0)))
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


def _ring_solved(step: FloatArray, right: FloatArray) -> FloatArray:
    """Solve 2 (h[i-1] + h[i]) x[i] + h[i-1] x[i-1] + h[i] x[i+1] = right[i], round the ring.

    By elimination, carrying beside each right side (n, 2) the last unknown's share; the system is
    diagonally dominant, so no pivot is needed.
    """
    h, n = step.tolist(), len(step)
    rows = np.concatenate([right, np.zeros((n, 1))], axis=1)
    rows[0, 2], rows[-2, 2] = -h[-1], -h[-2]
    x, z, last = (rows[:-1, k].tolist() for k in range(3))
    ahead = [0.0] * (n - 1)
    for i in range(n - 1):
        behind = h[i - 1] if i else 0.0
        pivot = 2.0 * (h[i - 1] + h[i]) - behind * ahead[i - 1]
        ahead[i] = h[i] / pivot
        for side in (x, z, last):
            side[i] = (side[i] - behind * side[i - 1]) / pivot
    for i in range(n - 3, -1, -1):
        for side in (x, z, last):
            side[i] -= ahead[i] * side[i + 1]
    inner, share = np.array([x, z]).T, np.array(last)
    end = right[-1] - h[-2] * inner[-1] - h[-1] * inner[0]
    end = end / (2.0 * (h[-2] + h[-1]) + h[-2] * share[-1] + h[-1] * share[0])
    return np.concatenate([inner + share[:, None] * end, end[None]])


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
