"""What one draft laid over another says of each edge: how much cloth is added or taken away, the
most of it and where, and how much at every mark a cutter knows. Millimetres; added is above zero.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from typing import Final

from patterns.geometry.armhole import Armhole
from patterns.geometry.curve import ClosedCurve
from patterns.geometry.overlay import Gaps, Laid, round_gaps
from patterns.geometry.path import Path

LEAST_MM: Final = 0.25  # nobody chalks less
_AT_MM: Final = 4.0  # so near a mark a place is at it
_MIDDLE: Final = "middle of the cuff"

# How a place past a mark is called on each edge, and one before it.
_WAYS: Final = {
    "head": ("in front of", "behind"),
    "cuff": ("in front of", "behind"),
    "hindarm": ("below", "above"),
    "forearm": ("below", "above"),
    "armhole": ("past", "before"),
}
_LEVELS: Final = (("top", "top of the seam"), ("head", "biceps line"), ("elbow", "elbow"))
_NOTCHES: Final = {"crown": "crown notch", "front pitch": "front pitch", "back pitch": "back pitch"}
EDGES: Final = {
    "head": "Head",
    "hindarm": "Hindarm seam",
    "cuff": "Cuff",
    "forearm": "Forearm seam",
}


@dataclass(frozen=True, slots=True, kw_only=True)
class Place:
    """A place on an edge by the nearest mark: so far `way` the mark, or at it (`off_mm` 0)."""

    mark: str
    off_mm: float
    way: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Most:
    """The greatest distance one way; `gap_mm` signed, `s_mm` along the new edge."""

    gap_mm: float
    s_mm: float
    place: Place


@dataclass(frozen=True, slots=True, kw_only=True)
class EdgeTold:
    """One edge of one piece. `added`, `taken`: None where there is none worth the chalk."""

    piece: str
    edge: str
    added: Most | None
    taken: Most | None
    longer_mm: float
    at_marks: tuple[tuple[str, float], ...]

    @property
    def name(self) -> str:
        return EDGES[self.edge]

    @property
    def same(self) -> bool:
        return self.added is None and self.taken is None


def told(laid: tuple[Laid, Laid]) -> tuple[EdgeTold, ...]:
    """Every edge of the top sleeve, then of the under sleeve."""
    return tuple(
        _edge(piece, edge, path)
        for piece in laid
        for edge, path in zip(piece.edges, piece.new.edges, strict=True)
    )


def _edge(piece: Laid, edge: Gaps, path: Path) -> EdgeTold:
    marks = sorted(_marks(piece, path), key=lambda mark: mark[1])
    return EdgeTold(
        piece=piece.new.name,
        edge=edge.edge,
        added=_most(edge, edge.most_added, marks, sign=1),
        taken=_most(edge, edge.most_taken, marks, sign=-1),
        longer_mm=edge.longer_mm,
        at_marks=tuple((name, edge.at(s_mm)) for name, s_mm in marks),
    )


def _most(edge: Gaps, index: int, marks: list[tuple[str, float]], *, sign: int) -> Most | None:
    gap_mm, s_mm = float(edge.gap_mm[index]), float(edge.s_mm[index])
    if gap_mm * sign < LEAST_MM:
        return None
    return Most(gap_mm=gap_mm, s_mm=s_mm, place=_place(edge.edge, s_mm, marks))


def _place(edge: str, s_mm: float, marks: list[tuple[str, float]]) -> Place:
    mark, at_mm = min(marks, key=lambda one: abs(s_mm - one[1]))
    off_mm = s_mm - at_mm
    past, before = _WAYS[edge]
    if abs(off_mm) < _AT_MM:
        return Place(mark=mark, off_mm=0.0, way="at")
    return Place(mark=mark, off_mm=abs(off_mm), way=past if off_mm > 0 else before)


def _marks(piece: Laid, path: Path) -> Iterator[tuple[str, float]]:
    """Name and distance (mm) from the edge's start of every mark on it."""
    new, name = piece.new, path.name
    if name == "cuff":
        yield "hindarm corner", 0.0
        yield _MIDDLE, path.length_mm / 2
        yield "forearm corner", path.length_mm
    elif name == "head":
        yield "hindarm end", 0.0
        yield "forearm end", path.length_mm
        for notch in new.notches:
            if notch.edge == "head":
                place = path.distance_mm(path.nearest(notch.point_mm))
                yield _NOTCHES.get(notch.name, notch.name), place
    else:
        for point, words in _LEVELS:
            at = new.points_mm[f"{name} {point}"]
            yield words, path.distance_mm(path.nearest(at))
        yield "cuff", path.length_mm


@dataclass(frozen=True, slots=True, kw_only=True)
class ArmholeTold:
    """An armhole laid on another, front pitch on front pitch: where the new line lies outside the
    old one (cloth taken from the body) and where inside; s from the lowest point up the front."""

    outside: Most | None
    inside: Most | None
    larger_mm: float


def armhole_told(before: Armhole, after: Armhole) -> ArmholeTold:
    """Refuses BadPoints, NoGirth and SelfCrossing as the curves do."""
    pitches = (one.curve.point_at(one.front_pitch_s_mm) for one in (before, after))
    was, now = pitches
    old = ClosedCurve.through(before.curve.points_mm + (now - was))
    gaps = round_gaps(old, after.curve)
    marks = [
        ("lowest point", 0.0),
        ("front pitch", after.front_pitch_s_mm),
        ("highest point", after.crown_s_mm),
        ("back pitch", after.back_pitch_s_mm),
        ("lowest point", after.girth_mm),
    ]
    return ArmholeTold(
        outside=_round_most(gaps, gaps.most_added, marks, sign=1),
        inside=_round_most(gaps, gaps.most_taken, marks, sign=-1),
        larger_mm=after.girth_mm - before.girth_mm,
    )


def _round_most(
    gaps: Gaps, index: int, marks: list[tuple[str, float]], *, sign: int
) -> Most | None:
    """The way from a mark is said along the armhole: up the front, over the shoulder, down."""
    most = _most(gaps, index, marks, sign=sign)
    if most is None or not most.place.off_mm:
        return most
    at_mm = min((at for _, at in marks), key=lambda at: abs(most.s_mm - at))
    onward = most.s_mm > at_mm
    front = most.s_mm < marks[2][1]
    way = "above" if onward == front else "below"
    return replace(most, place=replace(most.place, way=way))
