"""A layout spread over pages: what lies on which, register marks, the map of the pages."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from math import ceil
from typing import Final, Self

import numpy as np

from patterns.drawing.full_scale.layers import Box, Drawn, Layer, Strokes, Words, meets
from patterns.drawing.full_scale.layout import Layout, TooNarrow, needed_width_mm

MARGIN_MM: Final = 10.0
OVERLAP_MM: Final = 10.0
_MARK_MM = 4.0  # arms of a register mark
_LETTERS: Final = "ABCDEFGHIJKLMNOPQRSTUVWXYZ"
MOST_ACROSS: Final = len(_LETTERS)


@dataclass(frozen=True, slots=True, kw_only=True)
class Paper:
    """A sheet of paper as it comes, in mm."""

    name: str
    width_mm: float
    height_mm: float

    @property
    def inner_mm(self) -> tuple[float, float]:
        """Width and height within the margins: the size of a tile."""
        return self.width_mm - 2 * MARGIN_MM, self.height_mm - 2 * MARGIN_MM

    @property
    def step_mm(self) -> tuple[float, float]:
        """From tile to tile."""
        wide, high = self.inner_mm
        return wide - OVERLAP_MM, high - OVERLAP_MM


A4: Final = Paper(name="A4", width_mm=210.0, height_mm=297.0)
LETTER: Final = Paper(name="Letter", width_mm=215.9, height_mm=279.4)


@dataclass(frozen=True, slots=True, kw_only=True)
class Tile:
    """A page of the drawing: the column is its letter, the row its number."""

    column: int
    row: int
    box_mm: Box  # what is printed, on the sheet
    core_mm: Box  # of that, what no other page is needed for

    @property
    def label(self) -> str:
        return f"{_LETTERS[self.column]}{self.row + 1}"

    def neighbours(self) -> dict[str, tuple[int, int]]:
        column, row = self.column, self.row
        return {
            "left": (column - 1, row),
            "right": (column + 1, row),
            "top": (column, row - 1),
            "bottom": (column, row + 1),
        }


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Tiling:
    """A layout and the pages it is printed on; pages with nothing on them are left out."""

    layout: Layout
    paper: Paper
    tiles: tuple[Tile, ...]

    @classmethod
    def fewest(cls, drawings: Sequence[Drawn], paper: Paper) -> Self:
        """The arrangement of the fewest pages; of those the most compact. Refuses TooNarrow."""
        step = paper.step_mm[0]
        least = max(1, ceil((needed_width_mm(drawings) - OVERLAP_MM) / step))
        if least > MOST_ACROSS:
            raise TooNarrow(needed_width_mm(drawings))
        everything = sum(f.box_mm[2] - f.box_mm[0] + OVERLAP_MM for f in drawings) + OVERLAP_MM
        most = min(max(least, ceil(everything / step)), MOST_ACROSS)
        tried = [
            cls.of(Layout.within(drawings, count * step + OVERLAP_MM), paper)
            for count in range(least, most + 1)
        ]
        return min(tried, key=lambda one: (len(one.tiles), max(one.tiles[-1].box_mm[2:])))

    @classmethod
    def of(cls, layout: Layout, paper: Paper) -> Self:
        across, down = (
            max(1, ceil((size - OVERLAP_MM) / step - 1e-9))
            for size, step in zip((layout.width_mm, layout.height_mm), paper.step_mm, strict=True)
        )
        tiles = [_tile(paper, column, row) for row in range(down) for column in range(across)]
        inked = [
            tile for tile in tiles if any(meets(tile.core_mm, f.box_mm) for f in layout.drawings)
        ]
        return cls(layout=layout, paper=paper, tiles=tuple(inked))

    @property
    def pages(self) -> int:
        """With the first page, which holds the map and the square to measure."""
        return len(self.tiles) + 1

    def told(self, tile: Tile) -> str:
        number = self.tiles.index(tile) + 2
        return f"{tile.label}, page {number} of {self.pages}, cross on cross with its neighbours"

    def drawn(self, tile: Tile) -> Iterator[Drawn]:
        """What is on a tile: the pieces, and what is needed to put the pages together."""
        for drawn in self.layout.drawings:
            if meets(tile.box_mm, drawn.box_mm):
                yield drawn.within(tile.box_mm)
        printed = {(one.column, one.row): one.label for one in self.tiles}
        beside = {way: printed.get(at, "") for way, at in tile.neighbours().items()}
        yield _joining(tile, beside)


def _tile(paper: Paper, column: int, row: int) -> Tile:
    (wide, high), (across, down) = paper.inner_mm, paper.step_mm
    left, top, half = column * across, row * down, OVERLAP_MM / 2
    return Tile(
        column=column,
        row=row,
        box_mm=(left, top, left + wide, top + high),
        core_mm=(left + half, top + half, left + wide - half, top + high - half),
    )


def _joining(tile: Tile, beside: dict[str, str]) -> Drawn:
    """Register marks at the corners, the line to lay edges on, labels of page and neighbours."""
    left, top, right, bottom = tile.core_mm
    corners = np.array([(left, top), (right, top), (right, bottom), (left, bottom)])
    arms = np.array([[(-_MARK_MM, 0.0), (_MARK_MM, 0.0)], [(0.0, -_MARK_MM), (0.0, _MARK_MM)]])
    marks = corners[:, None, None] + arms
    frame = np.stack([corners, np.roll(corners, -1, axis=0)], axis=1)
    middle = np.array([(left + right) / 2, (top + bottom) / 2])
    off = OVERLAP_MM / 4
    places = {
        "left": (left - off, middle[1]),
        "right": (right + off, middle[1]),
        "top": (middle[0], top - off),
        "bottom": (middle[0], bottom + off),
    }
    words = [
        Words(text=label, at_mm=np.array(places[way]), size_mm=3.0, anchor="middle")
        for way, label in beside.items()
        if label
    ]
    return Drawn(
        key=f"page-{tile.label}",
        title=f"page {tile.label}",
        items=(
            Strokes(layer=Layer.CHECK, name="register", strokes_mm=marks.reshape(-1, 2, 2)),
            Strokes(layer=Layer.JOIN, name="join", strokes_mm=frame),
            Words(text=tile.label, at_mm=corners[0] + (3.0, 7.0), size_mm=9.0, bold=True),
            *words,
        ),
    )
