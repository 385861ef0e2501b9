"""The sleeve below its head: the two folds of a 50-50 sleeve, and the strips cut beside them.

A level is a straight line across the sleeve; every fold and seam is known at the same levels, so
that widths can be counted along them. x forward, y down from the crown, mm.
"""

from dataclasses import dataclass
from typing import Self

import numpy as np

from patterns.geometry.arclength import FloatArray
from patterns.geometry.path import Path, spline
from patterns.geometry.refusals import SeamOutOfQuarter
from patterns.geometry.sleeve import Levels

_UPPER, _LOWER = 4, 6  # stretches between levels above and below the elbow
_CLOSE = 1e-14
_STEPS = 60


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
        across = _across(self.headings)
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
        the strip, the more it bends. Refuses SeamOutOfQuarter.
        """
        aside = _aside(folds, sideways_mm)
        down, turn = _laid_out(aside, widths_mm, forearm_steps_mm, hindarm_steps_mm)
        headings = folds.headings[0] + np.concatenate(([0.0], np.cumsum(turn)))
        half_turned = headings[:-1] + turn / 2
        steps = aside[:, None] * _across(half_turned) + down[:, None] * _along(half_turned)
        first = folds.middle_mm[:1] + np.array([sideways_mm[0], 0.0])
        centre = np.concatenate([first, first + np.cumsum(steps, axis=0)])
        half = widths_mm[:, None] / 2 * _across(headings)
        return cls(forearm_mm=centre + half, hindarm_mm=centre - half, down_mm=folds.down_mm)

    def edge(self, name: str) -> Path:
        """The forearm or the hindarm edge as a line from the biceps line down to the cuff."""
        points = self.forearm_mm if name == "forearm" else self.hindarm_mm
        return spline(name, points, knots=self.down_mm, start=(0.0, 1.0))

    def elbow(self, name: str) -> FloatArray:
        """The point (2,) of an edge on the elbow level."""
        points = self.forearm_mm if name == "forearm" else self.hindarm_mm
        return np.asarray(points[_UPPER])


def _aside(folds: Folds, sideways_mm: FloatArray) -> FloatArray:
    """How far (n - 1,) a strip's middle goes sideways from level to level, square to its run."""
    half_turned = (folds.headings[:-1] + folds.headings[1:]) / 2
    along_folds = np.sum(_across(half_turned) * np.diff(folds.middle_mm, axis=0), axis=1)
    return np.asarray(along_folds + np.diff(sideways_mm))


def _laid_out(
    aside: FloatArray, widths: FloatArray, forearm: FloatArray, hindarm: FloatArray
) -> tuple[FloatArray, FloatArray]:
    """How far (n - 1,) each level lies below the one before and is turned forward against it.

    Seen from halfway between their two headings, the levels of a stretch are turned by half its
    turn one way and the other: each edge is then the long side of a right-angled triangle. Refuses
    SeamOutOfQuarter a seam that runs across more than it is long.
    """
    mean, wider = (widths[1:] + widths[:-1]) / 2, np.diff(widths) / 2
    half_turn = np.zeros_like(aside)
    for _ in range(_STEPS):
        out = wider * np.cos(half_turn)
        squares = np.array([forearm**2 - (aside + out) ** 2, hindarm**2 - (aside - out) ** 2])
        down = np.sqrt(np.maximum(squares, 0.0))
        sine = (down[1] - down[0]) / (2 * mean)
        if squares.min() <= 0.0 or np.abs(sine).max() >= 1.0:
            raise SeamOutOfQuarter(
                "A seam moved so differently at head, elbow and cuff would run across the sleeve; "
                "move it more evenly."
            )
        before, half_turn = half_turn, np.arcsin(sine)
        if np.abs(half_turn - before).max() < _CLOSE:
            break
    return down.mean(axis=0), 2 * half_turn


def _across(heading: FloatArray) -> FloatArray:
    return np.stack([np.cos(heading), -np.sin(heading)], axis=-1)


def _along(heading: FloatArray) -> FloatArray:
    return np.stack([np.sin(heading), np.cos(heading)], axis=-1)


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
