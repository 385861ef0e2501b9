"""The pieces of a pattern version at true size: what is sewn, what is cut, and what it was."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from typing import Final

import numpy as np

from patterns.drawing.full_scale.armhole_outline import armhole_outline
from patterns.drawing.full_scale.cutting import Cloth, cut_line, outward_mm
from patterns.drawing.full_scale.layers import Curve, Drawn, Item, Layer, Ring, Strokes, crosses
from patterns.drawing.full_scale.words import piece_words
from patterns.drawing.marks import ADDED_DEG, TAKEN_DEG, hatching
from patterns.drawing.sheet import View
from patterns.geometry.arclength import FloatArray
from patterns.geometry.draft import TwoPiece
from patterns.geometry.piece import Notch, Piece
from patterns.rules.pattern import SidePattern
from patterns.rules.pieces import two_piece

SIDES: Final = ("left", "right")
_NOTCH_IN_MM = 5.0
_HATCH_SPREAD = 4.0  # strokes so much further apart than on a small plate
_HATCH_POINTS = 24  # of a span
_BARB_MM = (8.0, 3.0)  # of the grain's arrow: length, half width


@dataclass(frozen=True, slots=True, kw_only=True)
class Heading:
    """Where the pieces come from: `P-0001`, its version, when made, the version of the old line."""

    pattern: str
    version: int
    dated: str
    old_version: int | None = None

    @property
    def words(self) -> str:
        return f"{self.pattern} version {self.version}"


@dataclass(frozen=True, slots=True, kw_only=True)
class Side:
    """One side of a version, and of the version it came from where its line is wanted too."""

    side: str
    after: SidePattern
    before: SidePattern | None = None

    @property
    def words(self) -> str:
        return f"wearer's {self.side}"

    @property
    def way(self) -> int:
        """The front lies to the right of the paper (1) for the right, to the left (-1) for left."""
        return 1 if self.side == "right" else -1


def drawings(sides: Iterable[Side], heading: Heading, cloth: Cloth) -> tuple[Drawn, ...]:
    """Top sleeve, under sleeve and armhole of every side, in paper mm, each at its own origin.

    Refuses (GeometryRefused) what cannot be drafted.
    """
    return tuple(drawn for side in sides for drawn in _of_side(side, heading, cloth))


def _of_side(side: Side, heading: Heading, cloth: Cloth) -> Iterator[Drawn]:
    new = two_piece(side.after)
    old = two_piece(side.before) if side.before else None
    for name, piece in (("top-sleeve", new.top), ("under-sleeve", new.under)):
        before = _laid(old, new, piece) if old else None
        yield Drawn(
            key=f"{name}-{side.side}",
            title=f"{piece.name}, {side.words}",
            items=tuple(_piece(side, piece, before, heading, cloth)),
        )
    yield armhole_outline(
        side.after,
        side.before,
        way=side.way,
        key=f"armhole-{side.side}",
        told=(side.words, heading.words, heading.dated),
    )


def _laid(old: TwoPiece, new: TwoPiece, piece: Piece) -> Piece:
    """The old piece that this one came from, forearm fold on forearm fold at the biceps line."""
    return (old.top if piece is new.top else old.under).moved(*(_fold(new) - _fold(old)))


def _fold(sleeve: TwoPiece) -> FloatArray:
    top, under = (piece.points_mm["forearm head"] for piece in (sleeve.top, sleeve.under))
    return np.asarray((top + under) / 2)


def _piece(
    side: Side, piece: Piece, before: Piece | None, heading: Heading, cloth: Cloth
) -> Iterator[Item]:
    view = View(scale=1.0, way=side.way)
    if before:
        yield from changed(view, before, piece)
    cut = cut_line(piece, cloth)
    yield Ring(layer=Layer.CUT, name="cut line", points_mm=view.at(cut))
    for edge in piece.edges:
        yield Curve(layer=Layer.NET, name=edge.name, spans_mm=view.at(edge.spans_mm))
    yield level_line(view, piece, "biceps line", "head")
    yield level_line(view, piece, "elbow line", "elbow")
    for notch in piece.notches:
        yield _notch(view, notch, cut)
    for name, point in piece.points_mm.items():
        yield crosses(name, view.at(point))
    yield grain_arrow(view.at(piece.grain.polyline(1)))
    told = [piece.name.upper(), side.words, heading.words, heading.dated]
    if before and heading.old_version is not None:
        told.append(f"old line: version {heading.old_version}")
    yield from piece_words(view, piece, before, cloth, tuple(told))


def changed(view: View, before: Piece, after: Piece) -> Iterator[Item]:
    """The old line, and the cloth between it and the new one hatched."""
    old, new = (view.at(piece.outline().polyline(_HATCH_POINTS)[:-1]) for piece in (before, after))
    for layer, name, inside, outside, angle in (
        (Layer.ADDED, "cloth added", new, old, ADDED_DEG),
        (Layer.TAKEN, "cloth taken away", old, new, TAKEN_DEG),
    ):
        strokes = hatching(inside / _HATCH_SPREAD, outside / _HATCH_SPREAD, angle)
        if len(strokes):
            yield Strokes(layer=layer, name=name, strokes_mm=strokes * _HATCH_SPREAD)
    for edge in before.edges:
        yield Curve(layer=Layer.OLD, name=f"old {edge.name}", spans_mm=view.at(edge.spans_mm))


def level_line(view: View, piece: Piece, name: str, level: str) -> Strokes:
    ends = [piece.points_mm[f"{seam} {level}"] for seam in ("hindarm", "forearm")]
    return Strokes(layer=Layer.LEVEL, name=name, strokes_mm=view.at([ends]))


def _notch(view: View, notch: Notch, cut: FloatArray) -> Strokes:
    """From inside the net line out to the cut line, where the shears snip."""
    out_mm = outward_mm(cut, notch.point_mm, -notch.inward)
    ends = [notch.point_mm + _NOTCH_IN_MM * notch.inward, notch.point_mm - out_mm * notch.inward]
    return Strokes(layer=Layer.NOTCH, name=f"{notch.name} notch", strokes_mm=view.at([ends]))


def grain_arrow(line_mm: FloatArray) -> Strokes:
    """An arrow of three strokes, its barbs at the lower end."""
    start, tip = line_mm
    way = (tip - start) / np.hypot(*(tip - start))
    length, half = _BARB_MM
    barbs = [tip - length * way + half * sign * np.array([-way[1], way[0]]) for sign in (1, -1)]
    strokes = np.array([(start, tip), (tip, barbs[0]), (tip, barbs[1])])
    return Strokes(layer=Layer.GRAIN, name="grain", strokes_mm=strokes)
