"""Drawings laid beside each other on a sheet, all with their grain down the paper."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import ceil
from typing import Final, Self

from patterns.drawing.full_scale.layers import Box, Drawn

GAP_MM: Final = 8.0
EDGE_MM: Final = 6.0  # from the sheet's edge; more than half of what neighbouring tiles share


class TooNarrow(ValueError):
    """The sheet is narrower than a piece; `needed_mm` says how wide it must be."""

    def __init__(self, needed_mm: float) -> None:
        super().__init__(f"The widest piece needs a sheet {ceil(needed_mm)} mm wide.")
        self.needed_mm = needed_mm


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Layout:
    """Drawings in their places on a sheet of this size in mm, its corner at 0, 0."""

    drawings: tuple[Drawn, ...]
    width_mm: float
    height_mm: float

    @classmethod
    def within(cls, drawings: Sequence[Drawn], width_mm: float) -> Self:
        """Lay drawings out within a width, the tallest first, each as high up as there is room.

        Refuses TooNarrow.
        """
        widest = needed_width_mm(drawings)
        if width_mm < widest:
            raise TooNarrow(widest)
        placed: list[Box] = []
        moved: list[Drawn] = []
        for drawn in sorted(drawings, key=lambda one: -_size(one)[1]):
            left, top, *_ = drawn.box_mm
            wide, high = _size(drawn)
            x, y = _room(placed, wide, width_mm - EDGE_MM)
            placed.append((x, y, x + wide, y + high))
            moved.append(drawn.moved(x - left, y - top))
        order = [drawn.key for drawn in drawings]
        return cls(
            drawings=tuple(sorted(moved, key=lambda one: order.index(one.key))),
            width_mm=width_mm,
            height_mm=max(box[3] for box in placed) + EDGE_MM,
        )


def needed_width_mm(drawings: Sequence[Drawn]) -> float:
    return max(_size(drawn)[0] for drawn in drawings) + 2 * EDGE_MM


def _size(drawn: Drawn) -> tuple[float, float]:
    left, top, right, bottom = drawn.box_mm
    return right - left, bottom - top


def _room(placed: Sequence[Box], wide: float, right_mm: float) -> tuple[float, float]:
    """The highest place, and of those the leftmost, for something so wide."""
    lefts = [EDGE_MM, *(box[2] + GAP_MM for box in placed)]
    places = []
    for x in lefts:
        if x + wide <= right_mm + 1e-9:
            over = [box for box in placed if box[0] < x + wide + GAP_MM and x < box[2] + GAP_MM]
            places.append((max([EDGE_MM, *(box[3] + GAP_MM for box in over)]), x))
    y, x = min(places)
    return x, y
