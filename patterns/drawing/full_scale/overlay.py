"""Two versions laid on each other at true size: net lines, the old one broken, amounts beside."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

import numpy as np

from patterns.drawing.full_scale.layers import Curve, Drawn, Item, Layer, Strokes, Words, crosses
from patterns.drawing.full_scale.pieces import changed, grain_arrow, level_line
from patterns.drawing.full_scale.words import title_block
from patterns.drawing.sheet import View, amount
from patterns.geometry.overlay import Gaps, Laid
from patterns.geometry.piece import Notch
from patterns.rules.overlaid import EdgeTold, Most, told

_NOTCH_IN_MM: Final = 5.0
_IN_MM: Final = 14.0  # from the new line to the words inside it
_WORDS_MM: Final = 5.0
_STEP_MM: Final = 0.5


def overlaid_drawings(
    laid: tuple[Laid, Laid], *, side: str, told_of: tuple[str, str]
) -> tuple[Drawn, ...]:
    """Top and under sleeve of one side in paper mm. `told_of`: the new version and the old."""
    view = View(scale=1.0, way=1 if side == "right" else -1)
    said = told(laid)
    return tuple(
        Drawn(
            key=f"{piece.new.name.replace(' ', '-')}-{side}",
            title=f"{piece.new.name}, wearer's {side}",
            items=tuple(_items(view, piece, [one for one in said if one.piece == piece.new.name]))
            + tuple(_title(view, piece, side, told_of)),
        )
        for piece in laid
    )


def _items(view: View, piece: Laid, said: list[EdgeTold]) -> Iterator[Item]:
    yield from changed(view, piece.old, piece.new)
    for edge in piece.new.edges:
        yield Curve(layer=Layer.NET, name=edge.name, spans_mm=view.at(edge.spans_mm))
    yield level_line(view, piece.new, "biceps line", "head")
    yield level_line(view, piece.new, "elbow line", "elbow")
    for layer, one in ((Layer.OLD, piece.old), (Layer.NOTCH, piece.new)):
        for notch in one.notches:
            yield _notch(view, layer, notch)
    for name, point in piece.new.points_mm.items():
        yield crosses(name, view.at(point))
    yield grain_arrow(view.at(piece.new.grain.polyline(1)))
    for edge_told, gaps in zip(said, piece.edges, strict=True):
        for most in (edge_told.added, edge_told.taken):
            if most is not None:
                yield _amount(view, piece, gaps, most)


def _notch(view: View, layer: Layer, notch: Notch) -> Strokes:
    ends = [notch.point_mm, notch.point_mm + _NOTCH_IN_MM * notch.inward]
    return Strokes(layer=layer, name=f"{notch.name} notch", strokes_mm=view.at([ends]))


def _amount(view: View, piece: Laid, gaps: Gaps, most: Most) -> Words:
    """Inside the new line, at the place where the most is added or taken away."""
    at = gaps.at_mm[int(np.abs(gaps.s_mm - most.s_mm).argmin())]
    middle = (piece.new.points_mm["hindarm elbow"] + piece.new.points_mm["forearm elbow"]) / 2
    inward = middle - at
    inside = at + inward / np.hypot(*inward) * _IN_MM
    anchor = "start" if (inward[0] > 0) == (view.way > 0) else "end"
    sign = "+" if most.gap_mm > 0 else "−"
    return Words(
        text=f"{sign} {amount(most.gap_mm, _STEP_MM)}",
        at_mm=view.at(inside),
        size_mm=_WORDS_MM,
        anchor=anchor,
        bold=True,
    )


def _title(view: View, piece: Laid, side: str, told_of: tuple[str, str]) -> Iterator[Words]:
    elbow, cuff = (
        (piece.new.points_mm[f"hindarm {at}"] + piece.new.points_mm[f"forearm {at}"]) / 2
        for at in ("elbow", "cuff")
    )
    new, old = told_of
    lines = (piece.new.name.upper(), f"wearer's {side}", f"whole line: {new}", f"broken: {old}")
    yield from title_block(lines, view.at(elbow + 0.2 * (cuff - elbow)), hanging=True)
