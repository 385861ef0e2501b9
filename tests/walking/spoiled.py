"""An ordinary sleeve to walk, and ways to spoil one piece of it."""

from collections.abc import Sequence
from dataclasses import replace
from math import radians, sin, sqrt
from typing import Any

import numpy as np
from fontTools.misc.bezierTools import calcCubicArcLength
from numpy.typing import ArrayLike

from patterns.geometry.armhole import Armhole
from patterns.geometry.draft import TwoPiece, draft
from patterns.geometry.path import Path
from patterns.geometry.piece import Piece
from patterns.geometry.sleeve import Girths, Sleeve
from patterns.geometry.walking import Check, walk

ARMHOLE = Armhole.from_measures(girth_mm=483, pitch_width_mm=140, pitch_height_mm=65)
# Crown a third of the armhole (H. Aldrich, Metric Pattern Cutting for Menswear, from memory);
# slant chord from base to crown half the armhole + 9 mm (Japanese drafting course, sleeve base).
SLEEVE = Sleeve(
    girth_mm=Girths(biceps=2 * sqrt((483 / 2 + 9) ** 2 - (483 / 3) ** 2), elbow=340, cuff=290),
    crown_height_mm=483 / 3,
    length_mm=630,
)

IDS = [
    "hindarm-seam",
    "hindarm-above-elbow",
    "hindarm-below-elbow",
    "forearm-seam",
    "forearm-above-elbow",
    "forearm-below-elbow",
    "head-ease",
    "head-front",
    "head-back",
    "head-under",
    "head-at-hindarm",
    "head-at-forearm",
    "cuff-at-hindarm",
    "cuff-at-forearm",
    "underarm",
    "hindarm-quarter",
    "forearm-quarter",
    "girth-head",
    "girth-elbow",
    "girth-cuff",
    "twist",
    "top-grain",
    "under-grain",
    "top-outline",
    "under-outline",
]


def drafted(**changes: Any) -> TwoPiece:
    return draft(replace(SLEEVE, **changes), ARMHOLE)


def found(pieces: TwoPiece, armhole: Armhole = ARMHOLE, **changes: Any) -> dict[str, Check]:
    return {check.id: check for check in walk(pieces, armhole, replace(SLEEVE, **changes))}


def failed(pieces: TwoPiece, armhole: Armhole = ARMHOLE, **changes: Any) -> set[str]:
    return {key for key, check in found(pieces, armhole, **changes).items() if not check.passed}


def fonttools_mm(path: Path) -> float:
    """Length by fontTools' own recursion."""
    spans = [[(float(x), float(y)) for x, y in span] for span in path.spans_mm]
    return sum(calcCubicArcLength(*span, tolerance=1e-7) for span in spans)


def with_edge(pieces: TwoPiece, which: str, edge: str, path: Path) -> TwoPiece:
    """The same sleeve with one edge of "top" or "under" drawn otherwise."""
    changed: dict[str, Any] = {which: replace(getattr(pieces, which), **{edge: path})}
    return replace(pieces, **changed)


def with_notch(pieces: TwoPiece, which: str, name: str, edge: str, point: ArrayLike) -> TwoPiece:
    """The same sleeve with one notch of a piece elsewhere."""
    piece: Piece = getattr(pieces, which)
    notches = tuple(
        replace(one, point_mm=np.asarray(point)) if (one.name, one.edge) == (name, edge) else one
        for one in piece.notches
    )
    changed: dict[str, Any] = {which: replace(piece, notches=notches)}
    return replace(pieces, **changed)


def stretched(path: Path, longer_mm: float) -> Path:
    """The path drawn out downward from its start until it is about so much longer."""
    factor = 1 + longer_mm / fonttools_mm(path)
    matrix = np.diag([1.0, factor])
    return path.mapped(matrix, path.start_mm - matrix @ path.start_mm)


def beside(path: Path, distance_mm: float) -> np.ndarray:
    """The point so far along a path, by its finely sampled chords."""
    points = path.polyline(400)
    along = np.concatenate(([0.0], np.cumsum(np.hypot(*np.diff(points, axis=0).T))))
    return np.array([np.interp(distance_mm, along, points[:, k]) for k in (0, 1)])


def without_notches(piece: Piece, names: Sequence[str]) -> Piece:
    return replace(piece, notches=tuple(n for n in piece.notches if n.name not in names))


def turned(path: Path, angle_deg: float, about: np.ndarray) -> Path:
    a = radians(angle_deg)
    matrix = np.array([[np.cos(a), -sin(a)], [sin(a), np.cos(a)]])
    return path.mapped(matrix, about - matrix @ about)


def bulged(pieces: TwoPiece, which: str, mm: float) -> TwoPiece:
    """The hindarm of a piece pushed forward by so much over its middle."""
    edge = getattr(pieces, which).hindarm
    spans = edge.spans_mm.copy()
    spans[3:8, :, 0] += mm
    spans[2, 2:, 0] += mm
    spans[8, :2, 0] += mm
    return with_edge(pieces, which, "hindarm", Path(name="hindarm", spans_mm=spans))
