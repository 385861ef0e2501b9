"""Marks that every plate shares: hatching, arrows, the scale bar, the key."""

from collections.abc import Iterable, Sequence

import numpy as np

from patterns.drawing.sheet import FINE, LINE_MM, NEW, OLD, Pen, Sheet, amount, width_mm
from patterns.geometry.arclength import FloatArray

HATCH = Pen(width_mm=0.13)
ADDED_DEG, TAKEN_DEG = 45.0, -45.0  # hatching rises to the right where cloth is added
_APART_MM = 0.9
_SHORTEST_MM = 0.15
_HEAD_MM = (2.2, 0.75)  # an arrow's head: length, half width
BAR_MM = 100.0


def hatching(inside_mm: FloatArray, outside_mm: FloatArray, angle_deg: float) -> FloatArray:
    """Strokes (n, 2, 2) that fill one outline (n, 2) except where another covers it."""
    angle = np.radians(angle_deg)
    along, across = (
        np.array([np.cos(angle), -np.sin(angle)]),
        np.array([np.sin(angle), np.cos(angle)]),
    )
    depth = inside_mm @ across
    rows = np.arange(np.floor(depth.min() / _APART_MM), depth.max() / _APART_MM) * _APART_MM
    inside, outside = (_crossings(one, along, across, rows) for one in (inside_mm, outside_mm))
    strokes = [
        [start * along + row * across, end * along + row * across]
        for row, stretches, covered in zip(rows, inside, outside, strict=True)
        for start, end in _less(stretches, covered)
        if end - start > _SHORTEST_MM
    ]
    return np.array(strokes).reshape(-1, 2, 2)


def _crossings(
    outline: FloatArray, along: FloatArray, across: FloatArray, rows: FloatArray
) -> list[list[tuple[float, float]]]:
    """For each hatching row the stretches of it that lie inside a closed outline."""
    place, depth = outline @ along, outline @ across
    after_place, after_depth = np.roll(place, -1), np.roll(depth, -1)
    off, after_off = depth - rows[:, None], after_depth - rows[:, None]
    row, edge = np.nonzero((off < 0) != (after_off < 0))
    share = off[row, edge] / (off[row, edge] - after_off[row, edge])
    at = place[edge] + share * (after_place[edge] - place[edge])
    at = at[np.lexsort((at, row))]
    ends = np.cumsum(np.bincount(row, minlength=len(rows)))
    return [list(zip(one[::2], one[1::2], strict=True)) for one in _split(at.tolist(), ends)]


def _split(values: list[float], ends: Iterable[int]) -> Iterable[list[float]]:
    begin = 0
    for end in ends:
        yield values[begin:end]
        begin = end


def _less(
    stretches: Sequence[tuple[float, float]], covered: Sequence[tuple[float, float]]
) -> list[tuple[float, float]]:
    """What is left of some stretches outside others."""
    left = list(stretches)
    for low, high in covered:
        left = [
            (max(start, edge[0]), min(end, edge[1]))
            for start, end in left
            for edge in ((-np.inf, low), (high, np.inf))
            if max(start, edge[0]) < min(end, edge[1])
        ]
    return left


def arrow(sheet: Sheet, line_mm: FloatArray, name: str = "") -> None:
    """An arrow along a polyline (n, 2), its head at the last point."""
    tip, way = line_mm[-1], line_mm[-1] - line_mm[-2]
    way = way / np.hypot(*way)
    side = np.array([-way[1], way[0]])
    length, half = _HEAD_MM
    sheet.strokes(np.stack([line_mm[:-1], line_mm[1:]], axis=1), FINE, name)
    sheet.wedge([tip, tip - length * way + half * side, tip - length * way - half * side])


def scale_bar(sheet: Sheet, scale: float, left_mm: float, y_mm: float) -> float:
    """A bar of 100 mm of cloth with the scale in words; returns the next free height."""
    long_mm = BAR_MM * scale
    words = f"drawing at {ratio(scale)}; this bar is 100 mm of cloth, {amount(long_mm)} mm on paper"
    return _bar(sheet, long_mm, words, left_mm, y_mm, "scale bar")


def true_mark(sheet: Sheet, left_mm: float, y_mm: float) -> float:
    """A mark of 100 mm on paper, to try a printer with; returns the next free height."""
    words = "this mark is 100 mm on paper: measure it before trusting the print"
    return _bar(sheet, BAR_MM, words, left_mm, y_mm, "true mark")


def _bar(sheet: Sheet, long_mm: float, words: str, left_mm: float, y_mm: float, name: str) -> float:
    ends = [[(x, y_mm - 1.2), (x, y_mm + 1.2)] for x in (left_mm, left_mm + long_mm)]
    sheet.strokes([[(left_mm, y_mm), (left_mm + long_mm, y_mm)]], NEW, name)
    sheet.strokes(ends, FINE)
    sheet.words(words, left_mm, y_mm + LINE_MM)
    return y_mm + 2.4 * LINE_MM


def ratio(scale: float) -> str:
    """A scale in words: "1 : 5", "2 : 1"."""
    return f"1 : {1 / scale:.3g}" if scale <= 1 else f"{scale:.3g} : 1"


def line_key(sheet: Sheet, left_mm: float, y_mm: float) -> float:
    """What the two lines and the two hatchings mean; returns the next free height."""
    sheet.strokes([[(left_mm, y_mm), (left_mm + 12, y_mm)]], OLD)
    sheet.words("line as it was", left_mm + 14, y_mm)
    right = left_mm + 18 + width_mm("line as it was") + 4
    _swatch(sheet, right, y_mm, ADDED_DEG)
    sheet.words("+  cloth added", right + 14, y_mm)
    y_mm += LINE_MM + 1.2
    sheet.strokes([[(left_mm, y_mm), (left_mm + 12, y_mm)]], NEW)
    sheet.words("line to cut", left_mm + 14, y_mm)
    _swatch(sheet, right, y_mm, TAKEN_DEG)
    sheet.words("−  cloth taken away", right + 14, y_mm)
    return y_mm + 1.7 * LINE_MM


def _swatch(sheet: Sheet, left_mm: float, y_mm: float, angle_deg: float) -> None:
    left, top, right, bottom = left_mm, y_mm - 1.6, left_mm + 12, y_mm + 1.6
    box = np.array([(left, top), (right, top), (right, bottom), (left, bottom)])
    sheet.strokes(hatching(box, np.zeros((0, 2)), angle_deg), HATCH)
