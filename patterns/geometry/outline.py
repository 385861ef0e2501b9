"""The outline of an armhole drawn from measures alone.

Four quarters about a centre, half width A and half height B. Three are plain elliptic quarters;
the lower front is a superellipse |x/A|^4 + |z/B|^4 = 1, because the front of the armhole is
hollowed and stands nearly upright above the pitch.
"""

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np

from patterns.geometry.arclength import FloatArray
from patterns.geometry.refusals import PitchesDoNotFit
from patterns.geometry.roots import rising_root

_PLAIN, _HOLLOWED = 2.0, 4.0
_NODES, _WEIGHTS = np.polynomial.legendre.leggauss(40)
_TRIES = 400
_HALVINGS = 60
_CLOSE = 1e-13
_POINTS_A_QUARTER = 64


@dataclass(frozen=True, slots=True, kw_only=True)
class Pitches:
    """Where the two pitches lie: heights above the lowest point, and how far apart, in mm."""

    front_up_mm: float
    back_up_mm: float
    apart_mm: float

    def half_width_mm(self, half_height_mm: FloatArray) -> FloatArray:
        """Half width that puts the pitches so far apart on an outline of this half height."""
        front = 1.0 - self.front_up_mm / half_height_mm  # 1 at the lowest point, 0 at mid-height
        back = 1.0 - self.back_up_mm / half_height_mm
        exponent = np.where(front > 0.0, _HOLLOWED, _PLAIN)
        reach = (1.0 - np.abs(front) ** exponent) ** (1.0 / exponent) + np.sqrt(1.0 - back**2)
        return np.asarray(self.apart_mm / reach)


def half_axes(girth_mm: float, pitches: Pitches) -> tuple[float, float]:
    """Half width and half height (mm) of the outline with this girth and these pitches.

    Of the two outlines that may fit, the taller. Refuses PitchesDoNotFit.
    """

    def girth_at(half_height_mm: FloatArray) -> FloatArray:
        return _girth(pitches.half_width_mm(half_height_mm), half_height_mm)

    # The pitches need the low end; four half heights alone are the whole girth at the high end.
    low, high = max(pitches.back_up_mm, pitches.front_up_mm) * (0.5 + 1e-9), girth_mm / 4.0
    if low >= high:
        raise PitchesDoNotFit(
            f"A girth of {girth_mm:.0f} mm is too small for a pitch {2.0 * low:.0f} mm above the "
            "lowest point; measure the girth and the heights of the pitches again."
        )
    heights = np.linspace(low, high, _TRIES)
    girths = girth_at(heights)
    fits = np.flatnonzero(girths <= girth_mm)
    at = int(fits[-1]) if len(fits) else int(np.argmin(girths))
    before, high = float(heights[max(at - 1, 0)]), float(heights[min(at + 1, _TRIES - 1)])
    low = float(heights[at]) if len(fits) else _where_least(girth_at, before, high)
    least = float(girth_at(np.asarray(low)))
    if least > girth_mm:
        raise PitchesDoNotFit(
            f"A girth of {girth_mm:.0f} mm is too small to hold pitches {pitches.apart_mm:.0f} mm "
            f"apart, {pitches.front_up_mm:.0f} and {pitches.back_up_mm:.0f} mm above the lowest "
            f"point; the least is {np.ceil(least):.0f} mm. Measure girth and pitches again."
        )
    half_height = rising_root(
        lambda height: float(girth_at(np.asarray(height))) - girth_mm,
        low,
        high,
        close=_CLOSE * high,
    )
    return float(pitches.half_width_mm(np.asarray(half_height))), half_height


def _where_least(girth_at: Callable[[FloatArray], FloatArray], low: float, high: float) -> float:
    """Half height of the least girth between two, by thirds."""
    for _ in range(_HALVINGS):
        third = (high - low) / 3.0
        if girth_at(np.asarray(low + third)) < girth_at(np.asarray(high - third)):
            high -= third
        else:
            low += third
    return (low + high) / 2.0


def outline_points(half_width_mm: float, half_height_mm: float) -> FloatArray:
    """Points (256, 2) from the lowest up the front, over the top and down the back; centre 0."""
    turn = np.arange(4 * _POINTS_A_QUARTER) * (np.pi / 2.0 / _POINTS_A_QUARTER) - np.pi / 2.0
    way = np.stack([np.cos(turn), np.sin(turn)], axis=1)
    exponent = np.where(np.arange(len(turn)) < _POINTS_A_QUARTER, _HOLLOWED, _PLAIN)[:, None]
    size = np.sum(np.abs(way) ** exponent, axis=1, keepdims=True) ** (1.0 / exponent)
    return np.asarray(way / size * np.array([half_width_mm, half_height_mm]))


def _girth(half_width: FloatArray, half_height: FloatArray) -> FloatArray:
    plain = _quarter(half_width, half_height, _PLAIN)
    return np.asarray(3.0 * plain + _quarter(half_width, half_height, _HOLLOWED))


def _quarter(half_width: FloatArray, half_height: FloatArray, exponent: float) -> FloatArray:
    """Length of a quarter superellipse, in two halves: along x, then along z, both smooth."""
    end = 2.0 ** (-1.0 / exponent)
    along = end * (1.0 + _NODES) / 2.0
    slope = along ** (exponent - 1.0) * (1.0 - along**exponent) ** (1.0 / exponent - 1.0)
    wide, high = np.asarray(half_width)[..., None], np.asarray(half_height)[..., None]
    rate = np.hypot(wide, high * slope) + np.hypot(high, wide * slope)
    return np.asarray(rate @ _WEIGHTS * end / 2.0)
