"""The first page of a tiled print, and the square to measure that every print carries."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

import numpy as np

from patterns.drawing.full_scale.layers import Curve, Drawn, Item, Layer, Strokes, Words
from patterns.drawing.full_scale.tiles import Tile, Tiling
from patterns.drawing.marks import ADDED_DEG, TAKEN_DEG, hatching, ratio
from patterns.geometry.arclength import FloatArray

SQUARE_MM: Final = 100.0
_SCALES: Final = (5, 6, 8, 10, 12, 15, 20, 25, 30, 40, 50, 80, 100)
_LINE_MM = 6.5
_KEY_AT_MM = SQUARE_MM + 8.0
_SAMPLE_MM = 16.0
_MAP_TOP_MM = 125.0


def check_square(
    told: tuple[str, ...], *, with_old_line: bool, with_cut_line: bool = True
) -> Drawn:
    """The square of 100 mm with what it is for, what is drawn (`told`), and the key beside it."""
    corners = np.array([(0.0, 0.0), (1.0, 0.0), (1.0, 1.0), (0.0, 1.0)]) * SQUARE_MM + 1.0
    square = np.stack([corners, np.roll(corners, -1, axis=0)], axis=1)
    lines = (
        "This square is 100 mm each way.",
        "Print at 100 %, not fitted to the page.",
        "Measure it before you cut.",
    )
    items: list[Item] = [Strokes(layer=Layer.CHECK, name="100 mm square", strokes_mm=square)]
    for row, text in enumerate((*told, "", *lines)):
        at = np.array([5.0, 8.0 + row * _LINE_MM])
        items.append(Words(text=text, at_mm=at, size_mm=4.6, bold=row == 0))
    items += _key(with_old_line=with_old_line, with_cut_line=with_cut_line)
    return Drawn(key="check-square", title="square of 100 mm", items=tuple(items))


def _key(*, with_old_line: bool, with_cut_line: bool) -> Iterator[Item]:
    """What the lines mean, each drawn as it is on the pieces."""
    rows = [(Layer.NET, "net line, to sew")]
    rows += [(Layer.CUT, "line to cut")] if with_cut_line else []
    rows += [(Layer.OLD, "line as it was")] if with_old_line else []
    rows.append((Layer.LEVEL, "biceps line, elbow line"))
    y = 4.0
    for layer, text in rows:
        ends = np.array([[(_KEY_AT_MM, y), (_KEY_AT_MM + _SAMPLE_MM, y)]])
        yield Strokes(layer=layer, name=f"key: {text}", strokes_mm=ends)
        yield _beside(text, y)
        y += _LINE_MM
    for layer, text, angle in (
        (Layer.ADDED, "+  cloth added", ADDED_DEG),
        (Layer.TAKEN, "−  cloth taken away", TAKEN_DEG),
    ):
        if with_old_line:
            y += 1.5
            box = np.array([(0, -3.0), (_SAMPLE_MM, -3.0), (_SAMPLE_MM, 3.0), (0, 3.0)])
            strokes = 3 * hatching((box + np.array([_KEY_AT_MM, y])) / 3, np.zeros((0, 2)), angle)
            yield Strokes(layer=layer, name=f"key: {text}", strokes_mm=strokes)
            yield _beside(text, y)
            y += _LINE_MM + 1.5


def _beside(text: str, y_mm: float) -> Words:
    return Words(text=text, at_mm=np.array([_KEY_AT_MM + _SAMPLE_MM + 3.0, y_mm]))


def first_page(
    tiling: Tiling, told: tuple[str, ...], *, with_old_line: bool, with_cut_line: bool = True
) -> Iterator[Drawn]:
    """The square, what the pages are, and their map, from 0, 0 within the page's margins."""
    yield check_square(told, with_old_line=with_old_line, with_cut_line=with_cut_line)
    lines = (
        f"{tiling.pages} pages of {tiling.paper.name} with this one. Columns are letters, rows are "
        "numbers.",
        "Trim along the dash-dotted line or leave the edge; lay page on page, cross on cross.",
    )
    items = [
        Words(text=text, at_mm=np.array([0.0, SQUARE_MM + 9.0 + row * _LINE_MM]))
        for row, text in enumerate(lines)
    ]
    yield Drawn(key="how-to", title="how to put the pages together", items=tuple(items))
    wide, high = tiling.paper.inner_mm
    yield page_map(tiling, wide, high - _MAP_TOP_MM).moved(0.0, _MAP_TOP_MM)


def page_map(tiling: Tiling, wide_mm: float, high_mm: float) -> Drawn:
    """The pages in small with the pieces on them, within a width and a height, from 0, 0."""
    (across, down), bar_mm = _extent(tiling), 12.0
    fits = (one for one in _SCALES if across / one <= wide_mm and down / one <= high_mm - bar_mm)
    scale = 1 / next(fits, _SCALES[-1])
    items: list[Item] = []
    for drawn in tiling.layout.drawings:
        items += [
            Curve(layer=Layer.POINT, name=drawn.title, spans_mm=item.spans_mm * scale)
            for item in drawn.items
            if isinstance(item, Curve) and item.layer is Layer.NET
        ]
    for tile in tiling.tiles:
        items += _mapped(tile, scale)
    bar = np.array([(0.0, 0.0), (SQUARE_MM * scale, 0.0)]) + np.array([0.0, down * scale + 5.0])
    items.append(Strokes(layer=Layer.NET, name="100 mm of cloth", strokes_mm=bar[None]))
    words = f"100 mm of cloth; map at {ratio(scale)}"
    at = bar[1] + np.array([3.0, 0.0])
    items.append(Words(text=words, at_mm=at, size_mm=3.5))
    return Drawn(key="page-map", title="map of the pages", items=tuple(items))


def _extent(tiling: Tiling) -> tuple[float, float]:
    return max(t.box_mm[2] for t in tiling.tiles), max(t.box_mm[3] for t in tiling.tiles)


def _mapped(tile: Tile, scale: float) -> Iterator[Item]:
    left, top, right, bottom = tile.core_mm
    corners: FloatArray = np.array([(left, top), (right, top), (right, bottom), (left, bottom)])
    frame = np.stack([corners, np.roll(corners, -1, axis=0)], axis=1) * scale
    yield Strokes(layer=Layer.JOIN, name=f"page {tile.label}", strokes_mm=frame)
    yield Words(text=tile.label, at_mm=corners[0] * scale + (1.0, 3.0), size_mm=4.0, bold=True)
