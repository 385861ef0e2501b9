"""Two drafts laid on each other: the old line broken and thin, the new one whole and heavy, cloth
added and taken away by two ways of hatching and by + and −, readable in black and white."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Final

import numpy as np

from patterns.drawing.labels import Label, put_beside
from patterns.drawing.marks import ADDED_DEG, HATCH, TAKEN_DEG, hatching
from patterns.drawing.sheet import BARE_MARGIN_MM, FINE, NEW, OLD, Pen, Sheet, View, amount
from patterns.geometry.arclength import FloatArray
from patterns.geometry.overlay import Laid, found
from patterns.geometry.piece import Notch, Piece
from patterns.rules.overlaid import EDGES, EdgeTold, Most, told

_STEP_MM: Final = 0.5
_NOTCH_MM: Final = 2.4
_BETWEEN_MM: Final = 7.0
_OVER_MM: Final = 3.0
_RING_MM: Final = 1.8
_SAME_MM: Final = 1e-6


@dataclass(frozen=True, slots=True, kw_only=True)
class _Drawn:
    """One piece on paper: what is laid on what, what is said of it, and the points it lies on."""

    laid: Laid
    edges: tuple[EdgeTold, ...]
    on: tuple[str, ...]
    view: View

    @property
    def outlines_mm(self) -> tuple[FloatArray, FloatArray]:
        """Old and new outline (n, 2) on paper."""
        old, new = (_outline(piece, self.view) for piece in (self.laid.old, self.laid.new))
        return old, new


def overlay_plate(
    laid: tuple[Laid, Laid], *, side: str, scale: float, on: tuple[str, ...] = ()
) -> str:
    """SVG of top and under sleeve, the old draft laid on the new.

    side: "left" or "right", the wearer's; the left is the mirror of the right, whose front lies to
    the right of the paper. scale: mm on paper for one mm of cloth. `on`: the points they were laid
    on, ringed. Amounts in mm to the nearest half.
    """
    said = told(laid)
    title = f"Sleeve, wearer's {side}: one version over another"
    sheet = Sheet(title, _described(said))
    way, edge, middles = (1 if side == "right" else -1), 0.0, []
    for piece in laid:
        drawn = _Drawn(
            laid=piece,
            edges=tuple(one for one in said if one.piece == piece.new.name),
            on=on,
            view=View(scale=scale, way=1),
        )
        back, front = _reach(drawn)
        middles.append(way * (edge + back))
        _piece(sheet, replace(drawn, view=View(scale=scale, way=way, origin_mm=(middles[-1], 0.0))))
        edge += back + front + _BETWEEN_MM
    name_y = sheet.bounds_mm[1] - _OVER_MM
    for piece, middle in zip(laid, middles, strict=True):
        sheet.words(piece.new.name.upper(), middle, name_y, anchor="middle", bold=True)
    return sheet.svg(BARE_MARGIN_MM)


def _reach(drawn: _Drawn) -> tuple[float, float]:
    """How far a piece with its words reaches behind and in front of its crown, paper mm."""
    trial = Sheet("", "")
    _piece(trial, drawn)
    left, _, right, _ = trial.bounds_mm
    return -left, right


def _piece(sheet: Sheet, drawn: _Drawn) -> None:
    view, old, new = drawn.view, drawn.laid.old, drawn.laid.new
    was, now = drawn.outlines_mm
    if drawn.laid.most_mm > _SAME_MM:
        sheet.strokes(hatching(now, was, ADDED_DEG), HATCH, "added")
        sheet.strokes(hatching(was, now, TAKEN_DEG), HATCH, "taken away")
        sheet.curve(view.at(old.outline().spans_mm), OLD, "old", closed=True)
        for notch in old.notches:
            _notch(sheet, view, notch, OLD)
    sheet.curve(view.at(new.outline().spans_mm), NEW, "new", closed=True)
    for notch in new.notches:
        _notch(sheet, view, notch, FINE)
    for name in drawn.on:
        at = found(new, name)
        if at is not None and drawn.laid.on_own:
            _ring(sheet, view.at(at))
    put_beside(sheet, np.concatenate([was, now]), _labels(drawn))


def _notch(sheet: Sheet, view: View, notch: Notch, pen: Pen) -> None:
    into = notch.inward * _NOTCH_MM / view.scale
    sheet.strokes([view.at([notch.point_mm, notch.point_mm + into])], pen, "notch")


def _ring(sheet: Sheet, at_mm: FloatArray) -> None:
    """Where the two papers are pinned on each other: a ring with a cross in it."""
    turn = np.linspace(0.0, 2.0 * np.pi, 25)
    round_ = at_mm + _RING_MM * np.stack([np.cos(turn), np.sin(turn)], axis=1)
    sheet.strokes(np.stack([round_[:-1], round_[1:]], axis=1), FINE, "pinned")
    arms = 1.6 * _RING_MM * np.eye(2)
    sheet.strokes([[at_mm - arm, at_mm + arm] for arm in arms], FINE, "pinned")


def _labels(drawn: _Drawn) -> list[Label]:
    """For each edge the most added and the most taken away, where it is."""
    found_at: list[Label] = []
    middle = float(drawn.laid.new.outline().polyline(4)[:, 0].mean())
    for edge, gaps in zip(drawn.edges, drawn.laid.edges, strict=True):
        for most in (edge.added, edge.taken):
            if most is None:
                continue
            at = gaps.at_mm[int(np.abs(gaps.s_mm - most.s_mm).argmin())]
            front = edge.edge == "forearm" or (edge.edge != "hindarm" and at[0] >= middle)
            way = drawn.view.way if front else -drawn.view.way
            found_at.append(Label(lines=(_words(edge, most),), at_mm=drawn.view.at(at), way=way))
    return found_at


def _words(edge: EdgeTold, most: Most) -> str:
    sign = "+" if most.gap_mm > 0 else "−"
    return f"{EDGES[edge.edge].lower()} {sign} {amount(most.gap_mm, _STEP_MM)}"


def _outline(piece: Piece, view: View) -> FloatArray:
    return view.at(piece.outline().polyline(12)[:-1])


def _described(said: tuple[EdgeTold, ...]) -> str:
    """The differences in words, for those who cannot see the drawing."""
    parts = [
        f"{edge.piece}, {edge.name.lower()}: {amount(most.gap_mm, _STEP_MM)} "
        f"{'added' if most.gap_mm > 0 else 'taken away'} at most"
        for edge in said
        for most in (edge.added, edge.taken)
        if most is not None
    ]
    return f"In mm: {'; '.join(parts)}." if parts else "Both versions have the same lines."
