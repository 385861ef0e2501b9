"""Lines from a file joined into one edge, and edges into a closed piece."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

import numpy as np

from patterns.bringing.brought import NotBroughtIn, straight
from patterns.geometry.arclength import FloatArray
from patterns.geometry.path import Path
from patterns.rules.outline import MOST_SPANS

MEETS_MM: Final = 1.0  # ends nearer than this belong together
_SHORTEST_MM: Final = 1e-6
_MANY: Final = 400  # corners of a line drawn in straight stretches, before it is thinned
_THINNED_MM: Final = 0.02
_STRAIGHT_MM: Final = 1e-6


def joined(name: str, whole: str, lines: Sequence[FloatArray]) -> Path:
    """The lines (each (n, 4, 2)) put end to end as one; `whole` names it in a refusal.

    Refuses NotBroughtIn lines that do not meet, and a line of no length.
    """
    left = [spans for spans in (_without_points(line) for line in lines) if len(spans)]
    if not left:
        raise NotBroughtIn(f"{whole} has no length; draw it again.")
    chain = left.pop(0)
    while left:
        gaps = [_gap(chain, line) for line in left]
        best = min(range(len(left)), key=lambda index: gaps[index][0])
        gap, before, turned = gaps[best]
        if gap > MEETS_MM:
            raise NotBroughtIn(
                f"{whole} is drawn in parts that lie {gap:.1f} mm apart; join them end to end."
            )
        line = left.pop(best)
        line = line[::-1, ::-1] if turned else line
        chain = np.concatenate([line, chain] if before else [chain, line])
        chain = _closed_up(chain)
    return Path(name=name, spans_mm=_thinned(chain, whole))


def meeting(first: Path, at_end: bool, second: Path, second_end: bool) -> tuple[Path, Path]:
    """Two lines with the given ends brought together at the middle between them."""
    spans = [first.spans_mm.copy(), second.spans_mm.copy()]
    ends = [(-1, 3, 2) if end else (0, 0, 1) for end in (at_end, second_end)]
    points = [one[span, point].copy() for one, (span, point, _) in zip(spans, ends, strict=True)]
    middle = (points[0] + points[1]) / 2
    for one, (span, point, beside), was in zip(spans, ends, points, strict=True):
        one[span, [point, beside]] += middle - was
    return (
        Path(name=first.name, spans_mm=spans[0]),
        Path(name=second.name, spans_mm=spans[1]),
    )


def _without_points(spans: FloatArray) -> FloatArray:
    long = np.abs(spans - spans[:, :1]).max(axis=(1, 2)) > _SHORTEST_MM
    return np.asarray(spans[long])


def _gap(chain: FloatArray, line: FloatArray) -> tuple[float, bool, bool]:
    """How far a line's nearest end lies from the chain; whether before it; whether turned."""
    found = []
    for before, end in ((False, chain[-1, 3]), (True, chain[0, 0])):
        for turned in (False, True):
            starts = turned != before  # the line's end that would touch is its last point
            touch = line[-1, 3] if starts else line[0, 0]
            found.append((float(np.hypot(*(touch - end))), before, turned))
    return min(found)


def _closed_up(chain: FloatArray) -> FloatArray:
    """Each span beginning exactly where the one before ends."""
    chain = chain.copy()
    gap = chain[:-1, 3] - chain[1:, 0]
    chain[1:, 0] += gap
    chain[1:, 1] += gap
    return chain


def _thinned(spans: FloatArray, whole: str) -> FloatArray:
    """A line of very many straight stretches without the corners that do not matter."""
    chord = spans[:, 3] - spans[:, 0]
    thirds = spans[:, 1:3] - (spans[:, :1] + chord[:, None] * np.array([[1 / 3], [2 / 3]]))
    if len(spans) > _MANY and np.abs(thirds).max() < _STRAIGHT_MM:
        corners = np.concatenate([spans[:1, 0], spans[:, 3]])
        spans = straight(corners[_needed(corners)])
    if len(spans) > MOST_SPANS:
        raise NotBroughtIn(f"{whole} has {len(spans)} parts; draw it with fewer.")
    return spans


def _needed(points: FloatArray) -> FloatArray:
    """Which points (n,) are needed so that none lies further than 0.02 mm off the line."""
    keep = np.zeros(len(points), dtype=bool)
    keep[[0, -1]] = True
    open_ = [(0, len(points) - 1)]
    while open_:
        first, last = open_.pop()
        if last - first < 2:
            continue
        off = _off(points[first + 1 : last], points[first], points[last])
        worst = int(np.argmax(off))
        if off[worst] > _THINNED_MM:
            middle = first + 1 + worst
            keep[middle] = True
            open_ += [(first, middle), (middle, last)]
    return np.asarray(keep)


def _off(points: FloatArray, first: FloatArray, last: FloatArray) -> FloatArray:
    way = last - first
    long = float(np.hypot(*way))
    apart = points - first
    if long < _SHORTEST_MM:
        return np.asarray(np.hypot(apart[:, 0], apart[:, 1]))
    share = np.clip(apart @ way / long**2, 0.0, 1.0)
    rest = apart - share[:, None] * way
    return np.asarray(np.hypot(rest[:, 0], rest[:, 1]))
