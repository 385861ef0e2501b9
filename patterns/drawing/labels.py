"""Words beside a drawing: spread so that none lies on another or on the line it speaks of."""

from collections.abc import Iterable
from dataclasses import dataclass
from itertools import groupby

import numpy as np

from patterns.drawing.sheet import HAIR, LINE_MM, Sheet
from patterns.geometry.arclength import FloatArray

_GAP_MM = 1.0  # between labels one above the other
_CLEAR_MM = 2.4  # between a label and the outline beside it
_TOUCH_MM = 0.7  # between a leader and the words


@dataclass(frozen=True, slots=True, kw_only=True)
class Label:
    """Lines of words for a place on the drawing, to be put to its right (way 1) or left (-1)."""

    lines: tuple[str, ...]
    at_mm: FloatArray
    way: int
    leader: bool = True
    bold: bool = False

    @property
    def high_mm(self) -> float:
        return len(self.lines) * LINE_MM


def put_beside(sheet: Sheet, outline_mm: FloatArray, labels: Iterable[Label]) -> None:
    """Write labels on either side of an outline (n, 2), as near their places as they all fit."""
    for way, group in groupby(sorted(labels, key=lambda label: label.way), lambda one: one.way):
        side = sorted(group, key=lambda label: float(label.at_mm[1]))
        for label, y_mm in zip(side, _spread(side), strict=True):
            _put(sheet, outline_mm, label, way, y_mm)


def _put(sheet: Sheet, outline_mm: FloatArray, label: Label, way: int, y_mm: float) -> None:
    x_mm = _clear_x(outline_mm, label, way, y_mm)
    if label.leader:
        stroke = np.array([label.at_mm, (x_mm - way * _TOUCH_MM, y_mm)])
        sheet.strokes(stroke, HAIR, "leader")
    first = y_mm - (len(label.lines) - 1) * LINE_MM / 2
    for index, words in enumerate(label.lines):
        anchor = "start" if way > 0 else "end"
        sheet.words(words, x_mm, first + index * LINE_MM, anchor=anchor, bold=label.bold)


def _clear_x(outline_mm: FloatArray, label: Label, way: int, y_mm: float) -> float:
    """The nearest x at which a label at this height stands clear of the outline."""
    reach = label.high_mm / 2 + _GAP_MM
    beside = outline_mm[np.abs(outline_mm[:, 1] - y_mm) <= reach, 0]
    return way * float(max([*(way * beside), way * label.at_mm[0]])) + way * _CLEAR_MM


def _spread(side: list[Label]) -> list[float]:
    """Heights nearest the wanted ones at which labels, in order, do not touch.

    Least squares by pooling neighbours that would overlap.
    """
    highs = np.array([label.high_mm + _GAP_MM for label in side])
    below = np.concatenate([[0.0], np.cumsum((highs[:-1] + highs[1:]) / 2)])
    pools: list[tuple[float, int]] = []
    for wanted in np.array([label.at_mm[1] for label in side]) - below:
        pools.append((float(wanted), 1))
        while len(pools) > 1 and pools[-2][0] >= pools[-1][0]:
            (late, more), (early, few) = pools.pop(), pools.pop()
            pools.append(((early * few + late * more) / (few + more), few + more))
    return list(np.repeat([mean for mean, _ in pools], [count for _, count in pools]) + below)
