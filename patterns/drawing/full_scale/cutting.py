"""The line to cut by: the net line with its seam, and the inlay where one is left."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from itertools import pairwise
from typing import Final

import numpy as np

from patterns.geometry.arclength import FloatArray
from patterns.geometry.path import Path
from patterns.geometry.piece import Piece

SEAM_MM: Final = 10.0
TOLERANCE_MM: Final = 0.01  # how far the straight stretches of the cut line leave its curve
_KINK = np.cos(np.radians(0.5))
# A corner's edges run on to their point, but no further than so many widths: sharper ones are
# cut off.
_POINTED = 2.0
_PAST_MM = 1.0
_STRAIGHT = 1e-9
_MOST_LOOPS = 100


@dataclass(frozen=True, slots=True, kw_only=True)
class Cloth:
    """Cloth left outside the net line: the seam all round, and inlays (mm) by piece and edge."""

    seam_mm: float = SEAM_MM
    inlays_mm: Mapping[tuple[str, str], float] = field(default_factory=dict)

    def inlay_mm(self, piece: str, edge: str) -> float:
        return self.inlays_mm.get((piece, edge), 0.0)

    def width_mm(self, piece: str, edge: str) -> float:
        return self.seam_mm + self.inlay_mm(piece, edge)


def cut_line(piece: Piece, cloth: Cloth) -> FloatArray:
    """Corners (n, 2) of the closed line to cut by, within 0.01 mm of the true parallel curve."""
    head, hindarm, cuff, forearm = (
        (edge, cloth.width_mm(piece.name, edge.name)) for edge in piece.edges
    )
    round_mm = [head, forearm, (cuff[0].backwards(), cuff[1])]
    return parallel([*round_mm, (hindarm[0].backwards(), hindarm[1])])


def parallel(edges: Sequence[tuple[Path, float]]) -> FloatArray:
    """Corners (n, 2) of the closed line outside edges, each with its own distance in mm.

    The edges join end to end and go round so that the outside lies to the left of the way they
    run, on a paper whose y counts down. Corners run out to a point, as cloth is cut.
    """
    parts = [part for edge, width in edges for part in _parts(edge, width)]
    points = []
    for part, following in zip(parts, [*parts[1:], parts[0]], strict=True):
        points += [part.points_mm, *_corner(part, following)]
    return _without_loops(_distinct(np.concatenate(points)))


def outward_mm(ring: FloatArray, at_mm: FloatArray, way: FloatArray) -> float:
    """How far it is from a point (2,) inside a ring (n, 2) to its line, going a unit way."""
    along = np.roll(ring, -1, axis=0) - ring
    turn, gap = _cross(way, along), ring - at_mm
    with np.errstate(divide="ignore", invalid="ignore"):
        far, share = _cross(gap, along) / turn, _cross(gap, way) / turn
    met = far[(far >= 0) & (share >= 0) & (share <= 1)]
    return float(met.min()) if len(met) else 0.0


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class _Part:
    """The parallel of a stretch without kinks: its points, and its headings at both ends."""

    points_mm: FloatArray
    first: FloatArray
    last: FloatArray
    width_mm: float


def _parts(edge: Path, width_mm: float) -> Iterator[_Part]:
    for line in _smooth(edge):
        places = _places(line)
        ways = line.tangent(places)
        outward = np.stack([ways[:, 1], -ways[:, 0]], axis=1)
        beside = line.point(places) + width_mm * outward
        yield _Part(points_mm=beside, first=ways[0], last=ways[-1], width_mm=width_mm)


def _smooth(edge: Path) -> Iterator[Path]:
    """The stretches of a line between its kinks."""
    ends = np.arange(1.0, len(edge.spans_mm))
    arriving = edge.spans_mm[:-1, 3] - edge.spans_mm[:-1, 2]
    leaving = edge.spans_mm[1:, 1] - edge.spans_mm[1:, 0]
    along = (arriving * leaving).sum(axis=1)
    kinked = along < _KINK * np.hypot(*arriving.T) * np.hypot(*leaving.T)
    places = [0.0, *ends[kinked], float(len(edge.spans_mm))]
    for first, last in pairwise(places):
        yield edge.part(first, last)


def _places(line: Path) -> FloatArray:
    """Places on a line so close that straight stretches between them keep to the tolerance.

    A cubic leaves its chord by at most an eighth of its greatest second derivative; half the
    tolerance leaves room for a parallel on the outside of a bend.
    """
    bend = np.diff(line.spans_mm, n=2, axis=1)
    most = 6.0 * np.hypot(bend[..., 0], bend[..., 1]).max(axis=1)
    counts = np.maximum(1, np.ceil(np.sqrt(most / (8.0 * TOLERANCE_MM / 2.0)))).astype(int)
    steps = [i + np.arange(count) / count for i, count in enumerate(counts)]
    return np.concatenate([*steps, [float(len(counts))]])


def _corner(part: _Part, following: _Part) -> list[FloatArray]:
    """What lies between two parallels whose ends do not meet: (k, 2) points, or nothing."""
    end, start = part.points_mm[-1], following.points_mm[0]
    way, next_way = part.last, following.first
    turn, gap = float(_cross(way, next_way)), start - end
    if abs(turn) < _STRAIGHT:
        return []
    # end + ahead * way = start - behind * next_way
    ahead, behind = float(_cross(gap, next_way)) / turn, float(_cross(way, gap)) / turn
    far = _POINTED * max(part.width_mm, following.width_mm)
    if ahead > 0 and behind > 0:
        return [np.array([end + min(ahead, far) * way, start - min(behind, far) * next_way])]
    if max(abs(ahead), abs(behind)) > far or (ahead <= 0 and behind <= 0):
        return []
    # One has to be shortened: the other is drawn past it, and the loop so made is dropped.
    past = end + (ahead + _PAST_MM) * way if ahead > 0 else start - (behind + _PAST_MM) * next_way
    return [past[None]]


def _distinct(ring: FloatArray) -> FloatArray:
    step = ring - np.roll(ring, 1, axis=0)
    return ring[np.hypot(step[:, 0], step[:, 1]) > 1e-6]


def _without_loops(ring: FloatArray) -> FloatArray:
    """The ring without the small loops where its line crosses itself."""
    for _ in range(_MOST_LOOPS):
        found = _crossing(ring)
        if found is None:
            return ring
        first, second, at = found
        inner, outer = ring[first + 1 : second + 1], np.roll(ring, -second - 1, axis=0)
        outer = outer[: len(ring) - len(inner)]
        kept = max((inner, outer), key=_length)
        ring = _distinct(np.concatenate([at[None], kept]))
    return ring


def _crossing(ring: FloatArray) -> tuple[int, int, FloatArray] | None:
    """The first two stretches (by their starts) of a closed ring that cross, and where."""
    way = np.roll(ring, -1, axis=0) - ring
    gap = ring[None] - ring[:, None]
    turn = _cross(way[:, None], way[None])
    with np.errstate(divide="ignore", invalid="ignore"):
        along, other = _cross(gap, way[None]) / turn, _cross(gap, way[:, None]) / turn
    hit = (along > 0) & (along < 1) & (other > 0) & (other < 1)
    pairs = np.argwhere(np.triu(hit, 2))
    if not len(pairs):
        return None
    first, second = (int(index) for index in pairs[0])
    return first, second, ring[first] + along[first, second] * way[first]


def _length(line: FloatArray) -> float:
    step = np.diff(line, axis=0)
    return float(np.hypot(step[:, 0], step[:, 1]).sum())


def _cross(a: FloatArray, b: FloatArray) -> FloatArray:
    return np.asarray(a[..., 0] * b[..., 1] - a[..., 1] * b[..., 0])
