"""Least squares of least size within linear bounds, for the few unknowns of one sleeve."""

from __future__ import annotations

from typing import Final

import numpy as np
from numpy.typing import ArrayLike, NDArray

from patterns.geometry.arclength import FloatArray

# What the answer's own size counts against the residuals: it only decides what they leave open.
_SIZE: Final = 1e-8
_NOTHING: Final = 1e-10


def least_squares(
    rows: ArrayLike, wanted: ArrayLike, bound_rows: ArrayLike, most: ArrayLike
) -> FloatArray:
    """The x (n,) that makes |rows x - wanted| least while bound_rows x <= most.

    rows (m, n), wanted (m,), bound_rows (k, n), most (k,) not below 0, so that x = 0 is allowed.
    Where the rows leave x open, the smallest. Lawson and Hanson, Solving Least Squares Problems,
    chapter 23: turned into a least distance and that into least squares with x >= 0.
    """
    a, c = np.asarray(rows, dtype=np.float64), np.asarray(bound_rows, dtype=np.float64)
    count = a.shape[1]
    tall = np.vstack([a, np.sqrt(_SIZE) * np.eye(count)])
    q, r = np.linalg.qr(tall)
    free = q.T @ np.concatenate([np.asarray(wanted, dtype=np.float64), np.zeros(count)])
    x = np.linalg.solve(r, free)
    room = np.asarray(most, dtype=np.float64) - c @ x
    if not c.size or room.min() >= 0.0:
        return np.asarray(x)
    away = -np.linalg.solve(r.T, c.T)
    system = np.vstack([away, -room])
    target = np.append(np.zeros(count), 1.0)
    left = system @ _not_below_zero(system, target) - target
    return np.asarray(x - np.linalg.solve(r, left[:-1]) / left[-1])


def _not_below_zero(a: FloatArray, b: FloatArray) -> FloatArray:
    """The u >= 0 with |a u - b| least (Lawson and Hanson, chapter 23, NNLS)."""
    u, used = np.zeros(a.shape[1]), np.zeros(a.shape[1], dtype=bool)
    scale = np.linalg.norm(a, axis=0) + 1.0
    for _ in range(30 * a.shape[1]):
        slope = a.T @ (b - a @ u) / scale
        slope[used] = -np.inf
        best = int(slope.argmax())
        if slope[best] <= _NOTHING:
            break
        used[best] = True
        u = _feasible(a, b, u, used)
    return u


def _feasible(a: FloatArray, b: FloatArray, u: FloatArray, used: NDArray[np.bool_]) -> FloatArray:
    """From u towards the best answer in the used columns, dropping those that reach 0."""
    while True:
        best = np.zeros_like(u)
        best[used] = np.linalg.lstsq(a[:, used], b, rcond=None)[0]
        low = used & (best <= 0.0)
        if not low.any():
            return best
        step = (u[low] / (u[low] - best[low])).min()
        u = u + step * (best - u)
        used &= u > _NOTHING * max(1.0, float(u.max()))
        u[~used] = 0.0
