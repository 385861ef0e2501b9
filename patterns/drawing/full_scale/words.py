"""The words on a piece at true size: title, names of points, edges and notches, amounts moved."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass

import numpy as np

from patterns.drawing.changes import SEAMS, Change, cuff_change, head_changes, seam_changes
from patterns.drawing.full_scale.cutting import Cloth
from patterns.drawing.full_scale.layers import Words
from patterns.drawing.sheet import View, amount, width_mm
from patterns.geometry.arclength import FloatArray
from patterns.geometry.piece import TOP, Piece
from patterns.geometry.sleeve import LEVELS

_TITLE_MM, _UNDER_TITLE_MM, _SMALL_MM = 9.0, 5.5, 4.0
_LINE = 1.5  # from line to line, of the size of the words
_APART_MM = 5.5  # between words one above the other
_IN_MM = 5.0  # from an edge to the words inside it
_OVER_MM = 4.0  # words stand so far over a level line
_BELOW_ELBOW = 0.2  # of the way to the cuff: the title
_SEAM_NAMED = 0.55  # of the way from elbow to cuff: the seam's name
_GOES_IN_MM = 12.0
_UNDER_CROWN_MM = 30.0
_BESIDE_MM = 3.0  # from a line to the word beside it
_AWAY_MM = 80.0  # words go so far at most to find room between the edges
_UNDER_HEAD_NAMED = 0.35  # of the way along the biceps line, from the forearm
_UNDER_HEAD_MM = 22.0
_NOTCH_BY = {"front pitch": "forearm", "back pitch": "hindarm"}
_TOWARD = {"hindarm": "back", "forearm": "front"}


@dataclass(frozen=True, slots=True, kw_only=True)
class _Note:
    """Words beside one of the two seams, inside the piece, at a height as near as there is room.

    `search`: room is looked for downward (1) or upward (-1).
    """

    text: str
    at_mm: FloatArray
    bold: bool = False
    search: int = 1


def piece_words(
    view: View, piece: Piece, before: Piece | None, cloth: Cloth, title: tuple[str, ...]
) -> Iterator[Words]:
    """All words of a piece; `before`, laid on it, adds the amounts by which lines moved (mm)."""
    for seam in SEAMS:
        notes = _seam_notes(piece, before, seam, cloth)
        yield from _beside(view, piece, before, seam, notes)
    yield from _head_words(view, piece, before, cloth)
    yield from _cuff_words(view, piece, before, cloth)
    yield from _level_words(view, piece)
    elbow, cuff = (_middle(piece, level) for level in ("elbow", "cuff"))
    yield from title_block(title, view.at(elbow + _BELOW_ELBOW * (cuff - elbow)), hanging=True)


def title_block(
    lines: tuple[str, ...], at_mm: FloatArray, *, hanging: bool = False
) -> Iterator[Words]:
    """Lines in the middle, the first large and the second bold: about a point, or below it."""
    sizes = [_TITLE_MM, _UNDER_TITLE_MM, *(_SMALL_MM for _ in lines[2:])]
    y = at_mm[1] - (0.0 if hanging else _LINE * sum(sizes) / 2)
    for index, (text, size) in enumerate(zip(lines, sizes, strict=True)):
        y += _LINE * size / 2
        at = np.array([at_mm[0], y])
        yield Words(text=text, at_mm=at, size_mm=size, anchor="middle", bold=index < 2)
        y += _LINE * size / 2


def _seam_notes(piece: Piece, before: Piece | None, seam: str, cloth: Cloth) -> Iterator[_Note]:
    """The seam's points with the amounts they moved by, and its name with the cloth outside it."""
    changes = seam_changes(before, piece, seam) if before else ()
    moved = {change.name: change for change in changes if change.speaks}
    for level in LEVELS:
        search = -1 if level == "cuff" else 1
        at = _by(piece.points_mm[f"{seam} {level}"], 0.0, search * _OVER_MM)
        if level == "head":
            above = min(float(piece.points_mm[f"{seam} top"][1]) + _APART_MM, float(at[1]))
            top_y = above if at[1] - above > 3 * _APART_MM else float(at[1])
            yield _Note(text=f"{seam} top", at_mm=np.array([at[0], top_y]))
        text = f"{seam} {level}"
        if level in moved:
            text += f" {_signed(moved[level])}"
        yield _Note(text=text, at_mm=at, bold=level in moved, search=search)
    for notch in piece.notches:
        if notch.edge == "head" and _NOTCH_BY.get(notch.name) == seam:
            at = notch.point_mm + _GOES_IN_MM * notch.inward
            yield _Note(text=f"{notch.name} notch", at_mm=at)
    elbow, cuff = (piece.points_mm[f"{seam} {level}"] for level in ("elbow", "cuff"))
    named = elbow + _SEAM_NAMED * (cuff - elbow)
    yield _Note(text=f"{seam} seam", at_mm=named, bold=True)
    rows = (_TOWARD[seam], *_cloth_words(cloth, piece.name, seam))
    for row, text in enumerate(rows, 1):
        yield _Note(text=text, at_mm=_by(named, 0.0, row * _APART_MM))


def _cloth_words(cloth: Cloth, piece: str, edge: str) -> tuple[str, ...]:
    """What lies outside the net line at an edge: "seam 10", "inlay 25 more"."""
    inlay = cloth.inlay_mm(piece, edge)
    seam = f"seam {amount(cloth.seam_mm)}"
    return (seam, f"inlay {amount(inlay)} more") if inlay else (seam,)


def _beside(
    view: View, piece: Piece, before: Piece | None, seam: str, notes: Iterable[_Note]
) -> Iterator[Words]:
    """Notes under each other along a seam, running from it (old and new) into the piece."""
    way = 1 if seam == "hindarm" else -1
    lines = [_outline(one) for one in (piece, before) if one]
    free = -np.inf
    for note in sorted(notes, key=lambda one: float(one.at_mm[1])):
        wide = width_mm(note.text, _SMALL_MM, bold=note.bold) + _IN_MM
        y = max(float(note.at_mm[1]), free)
        steps = note.search * np.arange(0.0, _AWAY_MM, 2.0)
        tries = (_span(lines, y + step, way) for step in steps)
        fits = ((y_in, near) for y_in, near, far in tries if way * (far - near) > wide)
        y, near = next(fits, (y, float(note.at_mm[0])))
        free = y + _APART_MM
        x = float(view.at((near + way * _IN_MM, 0.0))[0])
        anchor = "start" if way * view.way > 0 else "end"
        yield Words(text=note.text, at_mm=np.array([x, y]), anchor=anchor, bold=note.bold)


def _span(lines: list[FloatArray], y_mm: float, way: int) -> tuple[float, float, float]:
    """A height, and where words of that height may begin and end, going `way` into the piece."""
    begins, ends = [], []
    for line in lines:
        for y in (y_mm - _SMALL_MM / 2, y_mm + _SMALL_MM / 2):
            at = np.sort(way * _crossings_at(line, y))
            if len(at) > 1:
                begins.append(at[0])
                ends.append(at[1])
    if not begins:
        return y_mm, 0.0, 0.0
    return y_mm, way * float(max(begins)), way * float(min(ends))


def _outline(piece: Piece) -> FloatArray:
    return piece.outline().polyline(8)


def _crossings_at(line: FloatArray, y_mm: float) -> FloatArray:
    """Where a polyline (n, 2) crosses a height."""
    x, off = line[:, 0], line[:, 1] - y_mm
    cut = np.flatnonzero((off[:-1] < 0) != (off[1:] < 0))
    share = off[cut] / (off[cut] - off[cut + 1])
    return np.asarray(x[cut] + share * (x[cut + 1] - x[cut]))


def _head_words(view: View, piece: Piece, before: Piece | None, cloth: Cloth) -> Iterator[Words]:
    for notch in piece.notches:
        if notch.edge == "head" and notch.name not in _NOTCH_BY:
            at = view.at(notch.point_mm + _GOES_IN_MM * notch.inward)
            yield Words(text=f"{notch.name} notch", at_mm=at, anchor="middle")
    changes = head_changes(before, piece) if before else ()
    lines = ["head", *_cloth_words(cloth, piece.name, "head")]
    lines += [f"{change.name} {_signed(change)}" for change in changes if change.speaks]
    if piece.name == TOP:
        at = _by(piece.points_mm["crown"], 0.0, _UNDER_CROWN_MM)
    else:
        forearm, hindarm = (piece.points_mm[f"{seam} head"] for seam in ("forearm", "hindarm"))
        at = _by(forearm + _UNDER_HEAD_NAMED * (hindarm - forearm), 0.0, _UNDER_HEAD_MM)
    yield from _column(lines, view.at(at), "middle")


def _cuff_words(view: View, piece: Piece, before: Piece | None, cloth: Cloth) -> Iterator[Words]:
    lines = ["cuff", ", ".join(_cloth_words(cloth, piece.name, "cuff"))]
    if before:
        change = cuff_change(before, piece)
        lines += [f"cuff edge {_signed(change)}"] if change.speaks else []
    higher = min(float(piece.points_mm[f"{seam} cuff"][1]) for seam in SEAMS)
    x = float(view.at(_middle(piece, "cuff"))[0])
    at = np.array([x, higher - _APART_MM * (len(lines) + 2.5)])
    yield from _column(lines, at, "middle")


def _column(lines: Iterable[str], at_mm: FloatArray, anchor: str) -> Iterator[Words]:
    """Lines under each other, the first bold."""
    for row, text in enumerate(lines):
        at = _by(at_mm, 0.0, row * _APART_MM)
        yield Words(text=text, at_mm=at, anchor=anchor, bold=row == 0 or "mm" in text)


def _level_words(view: View, piece: Piece) -> Iterator[Words]:
    for level, name, over in (("head", "biceps line", -1), ("elbow", "elbow line", 1)):
        at = _by(view.at(_middle(piece, level)), view.way * _BESIDE_MM, -over * _OVER_MM)
        yield Words(text=name, at_mm=at, anchor=_starts(view))
    start, end = piece.grain.start_mm, piece.grain.end_mm
    at = _by(view.at((start + end) / 2), view.way * _BESIDE_MM, 0.0)
    yield Words(text="grain", at_mm=at, anchor=_starts(view))


def _starts(view: View) -> str:
    return "start" if view.way > 0 else "end"


def _middle(piece: Piece, level: str) -> FloatArray:
    ends = (piece.points_mm[f"{seam} {level}"] for seam in SEAMS)
    return np.asarray(sum(ends) / 2)


def _signed(change: Change) -> str:
    return f"{'+' if change.added_mm > 0 else '−'} {amount(change.added_mm, 0.5)} mm"


def _by(at_mm: FloatArray, x_mm: float, y_mm: float) -> FloatArray:
    return np.asarray(at_mm + np.array([x_mm, y_mm]))
