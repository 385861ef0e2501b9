"""The sleeve below its head: the two folds of a 50-50 sleeve, and the strips cut beside them.

A level is a straight line across the sleeve; every fold and seam is known at the same levels, so
that widths can be counted along them. x forward, y down from the crown, mm.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Self

import numpy as np

from patterns.geometry.arclength import FloatArray
from patterns.geometry.path import Path, spline
from patterns.geometry.sleeve import Levels

_UPPER, _LOWER = 4, 6  # stretches between levels above and below the elbow
_CLOSE = 1e-13
_STEPS = 100


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Folds:
    """Forearm and hindarm fold (n, 2) at n levels from the biceps line down to the cuff.

    `down_mm` (n,) is the level's depth below the biceps line along the sleeve's middle line.
    """

    forearm_mm: FloatArray
    hindarm_mm: FloatArray
    down_mm: FloatArray

    @classmethod
    def through(cls, forearm_mm: FloatArray, hindarm_mm: FloatArray, down_mm: FloatArray) -> Self:
        """Folds through their points (3, 2) at biceps line, elbow and cuff, leaving it plumb."""
        places = np.concatenate([np.linspace(0, 1, _UPPER + 1), np.linspace(1, 2, _LOWER + 1)[1:]])
        lines = [
            spline("fold", points, knots=down_mm, start=(0.0, 1.0)).point(places)
            for points in (forearm_mm, hindarm_mm)
        ]
        return cls(
            forearm_mm=lines[0],
            hindarm_mm=lines[1],
            down_mm=np.interp(places, [0, 1, 2], down_mm),
        )

    @property
    def widths_mm(self) -> FloatArray:
        """Width (n,) between the folds: half the girth at each level."""
        across = self.forearm_mm - self.hindarm_mm
        return np.asarray(np.hypot(across[:, 0], across[:, 1]))

    @property
    def difference_mm(self) -> float:
        """How much longer the hindarm fold is than the forearm fold, biceps line to cuff."""
        return float(_steps(self.hindarm_mm).sum() - _steps(self.forearm_mm).sum())

    def amounts(self, levels: Levels) -> FloatArray:
        """Amounts (n,) at the levels from those at head, elbow and cuff, never beyond them.

        A monotone cubic (Fritsch and Butland's slopes) that leaves the head without slope.
        """
        knots = self.down_mm[[0, _UPPER, -1]]
        values = np.array([levels.head, levels.elbow, levels.cuff])
        upper, lower = np.diff(values) / np.diff(knots)
        same = upper * lower > 0
        at_elbow = 2 * upper * lower / (upper + lower) if same else 0.0
        at_cuff = 1.5 * lower - 0.5 * at_elbow
        slopes = np.array([0.0, at_elbow, at_cuff])
        return _hermite(knots, values, slopes, self.down_mm)

    def steps_mm(
        self, forearm_aside_mm: FloatArray, hindarm_aside_mm: FloatArray
    ) -> tuple[FloatArray, FloatArray]:
        """Lengths (n - 1,) between levels along lines beside the folds, so far (n,) in front."""
        across = np.array([_across(heading) for heading in self.headings])
        forearm = self.forearm_mm + forearm_aside_mm[:, None] * across
        hindarm = self.hindarm_mm + hindarm_aside_mm[:, None] * across
        return _steps(forearm), _steps(hindarm)

    @property
    def middle_mm(self) -> FloatArray:
        """Points (n, 2) midway between the folds."""
        return np.asarray((self.forearm_mm + self.hindarm_mm) / 2)

    @property
    def headings(self) -> FloatArray:
        """How far (n,) each level is turned from square to the plumb line, cuff forward > 0."""
        across = self.forearm_mm - self.hindarm_mm
        return np.asarray(np.arctan2(-across[:, 1], across[:, 0]))


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Strip:
    """One piece below the biceps line: its two edges (n, 2) at the levels of the folds."""

    forearm_mm: FloatArray
    hindarm_mm: FloatArray
    down_mm: FloatArray

    @classmethod
    def cut(
        cls,
        folds: Folds,
        *,
        sideways_mm: FloatArray,
        widths_mm: FloatArray,
        forearm_steps_mm: FloatArray,
        hindarm_steps_mm: FloatArray,
    ) -> Self:
        """Lay out the strip of these widths (n,) whose edges have these lengths between levels.

        `sideways_mm` (n,): how far the strip's middle lies in front of the folds' middle. The
        turning of the strip follows: the shorter the forearm against the hindarm and the narrower
        the strip, the more it bends.
        """
        at, heading = folds.middle_mm[0] + (sideways_mm[0], 0.0), float(folds.headings[0])
        middles, headings = [at], [heading]
        for i, guess in enumerate(_moves(folds, sideways_mm)):
            wanted = np.array([forearm_steps_mm[i], hindarm_steps_mm[i]])
            at, heading = _next(at, heading, guess, widths_mm[i : i + 2], wanted)
            middles.append(at)
            headings.append(heading)
        centre = np.array(middles)
        half = widths_mm[:, None] / 2 * np.array([_across(angle) for angle in headings])
        return cls(forearm_mm=centre + half, hindarm_mm=centre - half, down_mm=folds.down_mm)

    def edge(self, name: str) -> Path:
        """The forearm or the hindarm edge as a line from the biceps line down to the cuff."""
        points = self.forearm_mm if name == "forearm" else self.hindarm_mm
        return spline(name, points, knots=self.down_mm, start=(0.0, 1.0))

    def elbow(self, name: str) -> FloatArray:
        """The point (2,) of an edge on the elbow level."""
        points = self.forearm_mm if name == "forearm" else self.hindarm_mm
        return np.asarray(points[_UPPER])


@dataclass(frozen=True, slots=True, kw_only=True)
class _Guess:
    """A move from level to level: across, along the half-turned sleeve, and its turn forward."""

    aside: float
    down: float
    turn: float


def _moves(folds: Folds, sideways_mm: FloatArray) -> Iterator[_Guess]:
    """The moves of the folds' middle, shifted sideways: where a strip begins to be laid out."""
    turns, drift = np.diff(folds.headings), np.diff(sideways_mm)
    for i, step in enumerate(np.diff(folds.middle_mm, axis=0)):
        half = folds.headings[i] + turns[i] / 2
        aside = float(_across(half) @ step + drift[i])
        yield _Guess(aside=aside, down=float(_along(half) @ step), turn=float(turns[i]))


def _next(
    at: FloatArray, heading: float, guess: _Guess, widths: FloatArray, wanted: FloatArray
) -> tuple[FloatArray, float]:
    """The next level's middle (2,) and heading, so that both edges get the wanted lengths (2,)."""
    down, turn = guess.down, guess.turn
    side = np.array([0.5, -0.5])[:, None]
    edges = at + side * widths[0] * _across(heading)
    for _ in range(_STEPS):
        half = heading + turn / 2
        there = at + guess.aside * _across(half) + down * _along(half)
        lengths = np.hypot(*(there + side * widths[1] * _across(heading + turn) - edges).T)
        forearm, hindarm = wanted - lengths
        if max(abs(forearm), abs(hindarm)) < _CLOSE * down:
            break
        down += (forearm + hindarm) / 2
        turn += (hindarm - forearm) / widths.mean()
    return there, heading + turn


def _across(heading: float) -> FloatArray:
    return np.array([np.cos(heading), -np.sin(heading)])


def _along(heading: float) -> FloatArray:
    return np.array([np.sin(heading), np.cos(heading)])


def _steps(points: FloatArray) -> FloatArray:
    step = np.diff(points, axis=0)
    return np.asarray(np.hypot(step[:, 0], step[:, 1]))


def _hermite(
    knots: FloatArray, values: FloatArray, slopes: FloatArray, at: FloatArray
) -> FloatArray:
    index = np.clip(np.searchsorted(knots, at, side="right") - 1, 0, len(knots) - 2)
    wide = np.diff(knots)[index]
    t = (at - knots[index]) / wide
    start = (1 + 2 * t) * values[index] + t * wide * slopes[index]
    end = (3 - 2 * t) * values[index + 1] - (1 - t) * wide * slopes[index + 1]
    return np.asarray((1 - t) ** 2 * start + t * t * end)
