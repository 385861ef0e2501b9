"""The sleeve plate: top and under sleeve beside each other, the old line and the new."""

from collections.abc import Callable
from dataclasses import dataclass, replace

import numpy as np

from patterns.drawing.changes import (
    LEAST_MM,
    SEAMS,
    Change,
    cuff_change,
    head_changes,
    notch_change,
    seam_changes,
)
from patterns.drawing.labels import Label, put_beside
from patterns.drawing.marks import (
    ADDED_DEG,
    HATCH,
    TAKEN_DEG,
    arrow,
    hatching,
    line_key,
    scale_bar,
    true_mark,
)
from patterns.drawing.sheet import (
    BARE_MARGIN_MM,
    FAINT,
    FINE,
    HAIR,
    LINE_MM,
    NEW,
    OLD,
    TITLE_MM,
    Pen,
    Sheet,
    View,
    amount,
)
from patterns.geometry.arclength import FloatArray
from patterns.geometry.draft import TwoPiece
from patterns.geometry.piece import TOP, Notch, Piece
from patterns.geometry.sleeve import LEVELS

_NOTCH_MM = 2.4
_BETWEEN_MM = 7.0  # between the two pieces with their words
_OVER_MM = 3.0  # words over a piece
_STEP_MM = 0.5  # nearer than this nobody chalks


@dataclass(frozen=True, slots=True, kw_only=True)
class _Pair:
    """One piece before and after, biceps line on biceps line, and how it lies on paper."""

    before: Piece
    after: Piece
    view: View

    @property
    def plain(self) -> bool:
        return self.before is self.after

    @property
    def outline_mm(self) -> FloatArray:
        """Points (n, 2) on paper of both outlines."""
        return np.concatenate([_outline(piece, self.view) for piece in (self.before, self.after)])

    def way(self, *, front: bool) -> int:
        """Which way on paper the front or the back of the sleeve lies: 1 right, -1 left."""
        return self.view.way if front else -self.view.way


def sleeve_plate(
    before: TwoPiece,
    after: TwoPiece,
    *,
    side: str,
    scale: float,
    with_true_mark: bool = False,
    bare: bool = False,
    say: Callable[[str], str] = str,
) -> str:
    """SVG of a two-piece sleeve before and after a correction; pass one twice to draw it plain.

    side: "left" or "right", the wearer's; for the right the front of the sleeve is to the right of
    the paper, for the left it is the mirror of that. scale: mm on paper for one mm of cloth. The
    drafts are laid biceps line on biceps line and forearm fold on forearm fold.
    bare: without title, iron work, key and scale, for a page that says them itself. say: as of
    `Sheet`.
    """
    title = f"Sleeve, wearer's {side}"
    pieces = _laid(before, after)
    sheet = Sheet(title, f"{title}, top sleeve and under sleeve. {_told(pieces)}", say=say)
    _lay_out(sheet, pieces, scale=scale, way=1 if side == "right" else -1)
    if bare:
        return sheet.svg(BARE_MARGIN_MM)
    _head_line(sheet, title, side)
    low = _notes(sheet, after)
    _foot(sheet, low, scale, plain=before is after, with_true_mark=with_true_mark)
    return sheet.svg()


def _lay_out(sheet: Sheet, pieces: list[tuple[Piece, Piece]], *, scale: float, way: int) -> None:
    """Both pieces beside each other, each with its words, and their names over them."""
    edge, middles = 0.0, []
    for old, new in pieces:
        pair = _Pair(before=old, after=new, view=View(scale=scale, way=1))
        back, front = _reach(pair, sheet.say)
        middles.append(way * (edge + back))
        _piece(sheet, replace(pair, view=View(scale=scale, way=way, origin_mm=(middles[-1], 0.0))))
        edge += back + front + _BETWEEN_MM
    name_y = sheet.bounds_mm[1] - _OVER_MM
    for (_, piece), middle in zip(pieces, middles, strict=True):
        sheet.words(piece.name.upper(), middle, name_y, anchor="middle", bold=True)


def _laid(before: TwoPiece, after: TwoPiece) -> list[tuple[Piece, Piece]]:
    """Top and under, old and new, the old laid forearm fold on forearm fold at the biceps line.

    So a sleeve let out is seen let out at the hindarm, as it is done.
    """
    if before is after:
        return [(after.top, after.top), (after.under, after.under)]
    shift = _fold(after) - _fold(before)
    return [(old.moved(*shift), new) for old, new in zip(_both(before), _both(after), strict=True)]


def _both(sleeve: TwoPiece) -> tuple[Piece, Piece]:
    return sleeve.top, sleeve.under


def _fold(sleeve: TwoPiece) -> FloatArray:
    """The forearm fold at the biceps line: midway between the two pieces' forearm edges."""
    return np.asarray(sum(piece.points_mm["forearm head"] for piece in _both(sleeve)) / 2)


def _reach(pair: _Pair, say: Callable[[str], str]) -> tuple[float, float]:
    """How far a piece with its words reaches behind and in front of its crown, paper mm."""
    trial = Sheet("", "", say=say)
    _outlines(trial, pair)
    _words_beside(trial, pair)
    left, _, right, _ = trial.bounds_mm
    return -left, right


def _piece(sheet: Sheet, pair: _Pair) -> None:
    view, old, new = pair.view, pair.before, pair.after
    if not pair.plain:
        outlines = [_outline(piece, view) for piece in (old, new)]
        sheet.strokes(hatching(outlines[1], outlines[0], ADDED_DEG), HATCH, "added")
        sheet.strokes(hatching(outlines[0], outlines[1], TAKEN_DEG), HATCH, "taken away")
    for level in LEVELS[:2]:
        ends = [new.points_mm[f"{seam} {level}"] for seam in SEAMS]
        sheet.strokes([view.at(ends)], FAINT, f"{level} line")
    _outlines(sheet, pair)
    for notch in new.notches:
        _notch(sheet, view, notch, FINE)
    if new.name == TOP and notch_change(old, new).speaks:
        _notch(sheet, view, next(one for one in old.notches if one.name == "crown"), OLD)
    arrow(sheet, view.at(new.grain.polyline(1)), "grain")
    _words_beside(sheet, pair)


def _outlines(sheet: Sheet, pair: _Pair) -> None:
    if not pair.plain:
        sheet.curve(pair.view.at(pair.before.outline().spans_mm), OLD, "old", closed=True)
    sheet.curve(pair.view.at(pair.after.outline().spans_mm), NEW, "new", closed=True)


def _words_beside(sheet: Sheet, pair: _Pair) -> None:
    put_beside(sheet, pair.outline_mm, _labels(pair))
    _lengths(sheet, pair)


def _notch(sheet: Sheet, view: View, notch: Notch, pen: Pen) -> None:
    into = notch.inward * _NOTCH_MM / view.scale
    sheet.strokes([view.at([notch.point_mm, notch.point_mm + into])], pen, "notch")


def _labels(pair: _Pair) -> list[Label]:
    labels = [label for seam in SEAMS for label in _seam_labels(pair, seam)]
    labels += [_notch_label(pair, notch) for notch in pair.after.notches if notch.edge == "head"]
    if pair.after.name == TOP:
        crown, back, front = head_changes(pair.before, pair.after)
        behind = notch_change(pair.before, pair.after).added_mm >= 0
        for change, in_front in ((crown, not behind), (back, False), (front, True)):
            if change.speaks:
                labels.append(_label(pair, change, pair.way(front=in_front)))
    return labels


def _seam_labels(pair: _Pair, seam: str) -> list[Label]:
    """The seam's name, and what moved where; the hindarm side names every level."""
    way = pair.way(front=seam == "forearm")
    changes = seam_changes(pair.before, pair.after, seam)
    elbow, cuff = (pair.view.at(change.at_mm) for change in changes[1:])
    name = Label(lines=(f"{seam} seam",), at_mm=(elbow + cuff) / 2, way=way, leader=False)
    told = [change for change in changes if change.speaks or seam == "hindarm"]
    return [name, *(_label(pair, change, way) for change in told)]


def _label(pair: _Pair, change: Change, way: int) -> Label:
    return Label(lines=(_words(change),), at_mm=pair.view.at(change.at_mm), way=way)


def _notch_label(pair: _Pair, notch: Notch) -> Label:
    lines: tuple[str, ...] = (notch.name,)
    front = notch.name == "front pitch"
    if notch.name == "crown":
        shift = notch_change(pair.before, pair.after)
        lines, front = ("crown notch",), shift.added_mm >= 0
        if shift.speaks:
            lines += (f"{amount(shift.added_mm, _STEP_MM)} to the {'front' if front else 'back'}",)
    return Label(lines=lines, at_mm=pair.view.at(notch.point_mm), way=pair.way(front=front))


def _lengths(sheet: Sheet, pair: _Pair) -> None:
    """The depth of the under arm, over the piece, and the cuff's edge, below it."""
    top, bottom = float(pair.outline_mm[:, 1].min()), float(pair.outline_mm[:, 1].max())
    if pair.after.name != TOP:
        (under,) = head_changes(pair.before, pair.after)
        if under.speaks:
            x, y = (float(value) for value in pair.view.at(under.at_mm))
            over = top - _OVER_MM
            sheet.words(_words(under), x, over, anchor="middle")
            sheet.strokes([[(x, over + LINE_MM / 2), (x, y)]], HAIR, "leader")
    cuff = cuff_change(pair.before, pair.after)
    if cuff.speaks:
        x = float(pair.view.at(cuff.at_mm)[0])
        sheet.words(_words(cuff), x, bottom + LINE_MM, anchor="middle")


def _words(change: Change) -> str:
    if not change.speaks:
        return change.name
    return (
        f"{change.name} {'+' if change.added_mm > 0 else '−'} {amount(change.added_mm, _STEP_MM)}"
    )


def _outline(piece: Piece, view: View) -> FloatArray:
    return view.at(piece.outline().polyline(12)[:-1])


def _told(pieces: list[tuple[Piece, Piece]]) -> str:
    """The changes in words, for those who cannot see the drawing."""
    told = []
    for old, new in pieces:
        groups = [(f"{seam} seam, ", seam_changes(old, new, seam)) for seam in SEAMS]
        groups.append(("", (*head_changes(old, new), cuff_change(old, new))))
        told += [
            f"{new.name}, {place}{_words(change)}"
            for place, changes in groups
            for change in changes
            if change.speaks
        ]
    shift = notch_change(*pieces[0])
    if shift.speaks:
        toward = "front" if shift.added_mm > 0 else "back"
        told.append(f"crown notch {amount(shift.added_mm, _STEP_MM)} to the {toward}")
    return f"Moved, in mm: {'; '.join(told)}." if told else "No line moves."


def _head_line(sheet: Sheet, title: str, side: str) -> None:
    left, top, right, _ = sheet.bounds_mm
    middle = (left + right) / 2
    toward = (
        f"front of the sleeve to the {side} of the paper; net of seams; mm, to the nearest half"
    )
    sheet.words(toward, middle, top - 1.6 * LINE_MM, anchor="middle")
    sheet.words(title, middle, top - 2.9 * LINE_MM, anchor="middle", size_mm=TITLE_MM, bold=True)


def _notes(sheet: Sheet, sleeve: TwoPiece) -> float:
    """Iron work in words; returns the next free height."""
    left, _, _, bottom = sheet.bounds_mm
    low = bottom + 2 * LINE_MM
    notes = {
        "shrink the under sleeve's hindarm into the top sleeve's by": sleeve.hindarm_ease_mm,
        "stretch the top sleeve's forearm to the under sleeve's by": sleeve.forearm_ease_mm,
        "stretch the forearm edges of both pieces by": sleeve.forearm_stretch_mm,
    }
    for words, mm in notes.items():
        if mm >= LEAST_MM:
            sheet.words(f"{words} {amount(mm, _STEP_MM)}", left, low)
            low += LINE_MM + 0.6
    return low + LINE_MM


def _foot(sheet: Sheet, low: float, scale: float, *, plain: bool, with_true_mark: bool) -> None:
    left = sheet.bounds_mm[0]
    if not plain:
        low = line_key(sheet, left, low) + 2
    low = scale_bar(sheet, scale, left, low)
    if with_true_mark:
        true_mark(sheet, left, low)
