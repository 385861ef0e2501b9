"""One picture laid over another: the turn, size and shift that bring the same points together."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike

from patterns.geometry.arclength import FloatArray
from patterns.geometry.refusals import BadPoints


@dataclass(frozen=True, slots=True, kw_only=True)
class Similarity:
    """Takes (x, y) to (a x - b y + shift_x, b x + a y + shift_y); no mirror, no shear."""

    a: float
    b: float
    shift: tuple[float, float]
    left_over: float

    @property
    def scale(self) -> float:
        return math.hypot(self.a, self.b)

    @property
    def turned_deg(self) -> float:
        """From x toward y: in a picture, whose y runs down, the right-hand side goes down."""
        return math.degrees(math.atan2(self.b, self.a))

    def __call__(self, points: ArrayLike) -> FloatArray:
        """Points (n, 2) of the one picture, as they lie on the other (n, 2)."""
        x, y = np.asarray(points, dtype=float).reshape(-1, 2).T
        moved = [self.a * x - self.b * y + self.shift[0], self.b * x + self.a * y + self.shift[1]]
        return np.column_stack(moved)


def best_similarity(points: ArrayLike, onto: ArrayLike) -> Similarity:
    """Least squares over both point sets (n, 2), n >= 2, in the same order.

    The plane case of S. Umeyama, Least-squares estimation of transformation parameters between two
    point patterns (1991), from memory; in the plane a turn and size are one complex factor, which
    cannot mirror. `left_over` is the root mean square distance that remains. Refuses BadPoints.
    """
    one, other = _complex(points), _complex(onto)
    if len(one) != len(other) or len(one) < 2:
        raise BadPoints("Two pictures are laid over each other by at least two common points.")
    from_middle = one - one.mean()
    spread = float(np.sum(np.abs(from_middle) ** 2))
    if not spread > 1e-12 * max(1.0, float(np.max(np.abs(one))) ** 2):
        raise BadPoints("The common points lie on top of each other: touch them further apart.")
    factor = complex(np.sum(np.conj(from_middle) * (other - other.mean())) / spread)
    shift = complex(other.mean() - factor * one.mean())
    rest = np.abs(factor * one + shift - other)
    left_over = float(np.sqrt(np.mean(rest**2)))
    return Similarity(
        a=factor.real, b=factor.imag, shift=(shift.real, shift.imag), left_over=left_over
    )


def _complex(points: ArrayLike) -> np.ndarray[tuple[int], np.dtype[np.complex128]]:
    plain = np.asarray(points, dtype=float).reshape(-1, 2)
    if not np.isfinite(plain).all():
        raise BadPoints("A common point is no place in the picture: touch it again.")
    return plain[:, 0] + 1j * plain[:, 1]
