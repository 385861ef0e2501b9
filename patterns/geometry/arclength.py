"""Arc length along a parametrised curve, and the way back from arc length to parameter."""

from collections.abc import Callable

import numpy as np
from numpy.typing import ArrayLike, NDArray

FloatArray = NDArray[np.float64]

_NODES, _WEIGHTS = np.polynomial.legendre.leggauss(24)
_CLOSE = 1e-13  # of the whole length; what the inverse is brought to
_STEPS = 60


class ArcLength:
    """Arc length of a curve given by its speed, exact to rounding where the speed is smooth.

    breaks: increasing parameters, shape (n + 1,); the speed need only be smooth between them.
    speed: |dx/dt| at parameters of any shape.
    """

    __slots__ = ("_breaks", "_lengths", "_speed")

    def __init__(self, breaks: FloatArray, speed: Callable[[FloatArray], FloatArray]) -> None:
        half = np.diff(breaks)[:, None] / 2.0
        parts = (half * speed(breaks[:-1, None] + half * (1.0 + _NODES))) @ _WEIGHTS
        self._breaks = breaks
        self._speed = speed
        self._lengths: FloatArray = np.concatenate(([0.0], np.cumsum(parts)))

    @property
    def total(self) -> float:
        """Length of the whole curve."""
        return float(self._lengths[-1])

    def length_at(self, parameter: ArrayLike) -> FloatArray:
        """Arc length from the first break to each parameter; same shape."""
        at = np.clip(np.asarray(parameter, dtype=np.float64), self._breaks[0], self._breaks[-1])
        span = self._span(self._breaks, at)
        half = (at - self._breaks[span]) / 2.0
        nodes = self._breaks[span][..., None] + half[..., None] * (1.0 + _NODES)
        return np.asarray(self._lengths[span] + half * (self._speed(nodes) @ _WEIGHTS))

    def parameter_at(self, length: ArrayLike) -> FloatArray:
        """Parameter at each arc length (0 to total); Newton's steps kept inside a bracket."""
        wanted = np.clip(np.asarray(length, dtype=np.float64), 0.0, self.total)
        span = self._span(self._lengths, wanted)
        low, high = self._breaks[span], self._breaks[span + 1]
        part = self._lengths[span + 1] - self._lengths[span]
        at = low + (high - low) * (wanted - self._lengths[span]) / part
        for _ in range(_STEPS):
            over = self.length_at(at) - wanted
            apart = np.abs(over) > _CLOSE * self.total
            if not np.any(apart):
                break
            low, high = np.where(over > 0.0, low, at), np.where(over > 0.0, at, high)
            step = at - over / np.maximum(self._speed(at), np.finfo(np.float64).tiny)
            step = np.where((step > low) & (step < high), step, (low + high) / 2.0)
            at = np.where(apart, step, at)  # what is close must not be thrown off by rounding
        return np.asarray(at)

    @staticmethod
    def _span(edges: FloatArray, at: FloatArray) -> NDArray[np.intp]:
        return np.clip(np.searchsorted(edges, at, side="right") - 1, 0, len(edges) - 2)
