"""What is drawn of one piece at true size: lines and words on layers.

Every way out (SVG, DXF, paper) reads the same drawings, in mm of cloth and of paper alike; x runs
to the right and y down the paper.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace
from enum import StrEnum
from typing import Final

import numpy as np

from patterns.drawing.sheet import Pen, width_mm
from patterns.geometry.arclength import FloatArray

Box = tuple[float, float, float, float]  # left, top, right, bottom

_CROSS_MM = 3.0  # of the mark at a named point
_STRAIGHT_MM = 1e-9


class Layer(StrEnum):
    """What a line is; FORMATS.md says it to whoever opens a file."""

    NET = "NET"
    CUT = "CUT"
    OLD = "OLD"
    ADDED = "ADDED"
    TAKEN = "TAKEN"
    NOTCH = "NOTCH"
    GRAIN = "GRAIN"
    LEVEL = "LEVEL"
    POINT = "POINT"
    CHECK = "CHECK"
    JOIN = "JOIN"
    TEXT = "TEXT"


PENS: Final = {
    Layer.NET: Pen(width_mm=0.7),
    Layer.CUT: Pen(width_mm=0.3),
    Layer.OLD: Pen(width_mm=0.35, dash_mm=(5.0, 2.5)),
    Layer.ADDED: Pen(width_mm=0.18),
    Layer.TAKEN: Pen(width_mm=0.18),
    Layer.NOTCH: Pen(width_mm=0.5),
    Layer.GRAIN: Pen(width_mm=0.4),
    Layer.LEVEL: Pen(width_mm=0.25, dash_mm=(1.0, 2.0)),
    Layer.POINT: Pen(width_mm=0.25),
    Layer.CHECK: Pen(width_mm=0.3),
    Layer.JOIN: Pen(width_mm=0.13, dash_mm=(8.0, 2.0, 1.0, 2.0)),
}


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Curve:
    """A line of cubic Bezier spans (n, 4, 2)."""

    layer: Layer
    name: str
    spans_mm: FloatArray

    @property
    def reach_mm(self) -> FloatArray:
        return self.spans_mm.reshape(-1, 2)

    @property
    def straight(self) -> bool:
        """Whether it is one straight stroke."""
        first, last = self.spans_mm[0, 0], self.spans_mm[0, 3]
        off, way = self.spans_mm[0] - first, last - first
        aside = np.abs(off[:, 0] * way[1] - off[:, 1] * way[0]).max() / np.hypot(*way)
        return len(self.spans_mm) == 1 and bool(aside < _STRAIGHT_MM)

    def moved(self, shift_mm: FloatArray) -> Curve:
        return replace(self, spans_mm=self.spans_mm + shift_mm)


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Strokes:
    """Straight strokes (n, 2, 2) from point to point."""

    layer: Layer
    name: str
    strokes_mm: FloatArray

    @property
    def reach_mm(self) -> FloatArray:
        return self.strokes_mm.reshape(-1, 2)

    def moved(self, shift_mm: FloatArray) -> Strokes:
        return replace(self, strokes_mm=self.strokes_mm + shift_mm)


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Ring:
    """A closed line of straight stretches, corners (n, 2), the first not repeated."""

    layer: Layer
    name: str
    points_mm: FloatArray

    @property
    def reach_mm(self) -> FloatArray:
        return self.points_mm

    def moved(self, shift_mm: FloatArray) -> Ring:
        return replace(self, points_mm=self.points_mm + shift_mm)


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Words:
    """One line of words, its middle height at the point; anchor start, middle or end."""

    text: str
    at_mm: FloatArray
    size_mm: float = 4.0
    anchor: str = "start"
    bold: bool = False
    layer: Layer = Layer.TEXT

    @property
    def reach_mm(self) -> FloatArray:
        wide = width_mm(self.text, self.size_mm, bold=self.bold)
        left = self.at_mm[0] - {"start": 0.0, "middle": wide / 2, "end": wide}[self.anchor]
        top, high = self.at_mm[1] - self.size_mm / 2, self.size_mm
        return np.array([(left, top), (left + wide, top + high)])

    def moved(self, shift_mm: FloatArray) -> Words:
        return replace(self, at_mm=self.at_mm + shift_mm)


Item = Curve | Strokes | Ring | Words


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Drawn:
    """One piece as drawn; `key` is unique on a sheet and fit for an id or a block's name."""

    key: str
    title: str
    items: tuple[Item, ...]

    @property
    def box_mm(self) -> Box:
        """Left, top, right and bottom of all that is drawn."""
        points = np.concatenate([item.reach_mm for item in self.items])
        (left, top), (right, bottom) = points.min(axis=0), points.max(axis=0)
        return float(left), float(top), float(right), float(bottom)

    def moved(self, x_mm: float, y_mm: float) -> Drawn:
        shift = np.array([x_mm, y_mm])
        return replace(self, items=tuple(item.moved(shift) for item in self.items))

    def within(self, box: Box) -> Drawn:
        """The same without what lies wholly outside a box."""
        return replace(self, items=tuple(_within(self.items, box)))


def meets(one: Box, other: Box) -> bool:
    """Whether two boxes share more than an edge."""
    return one[0] < other[2] and other[0] < one[2] and one[1] < other[3] and other[1] < one[3]


def crosses(name: str, at_mm: FloatArray) -> Strokes:
    """A small oblique cross at a named point (2,)."""
    arms = np.array([[(-1.0, -1.0), (1.0, 1.0)], [(-1.0, 1.0), (1.0, -1.0)]]) * _CROSS_MM / 2
    return Strokes(layer=Layer.POINT, name=name, strokes_mm=at_mm + arms)


def _within(items: Iterable[Item], box: Box) -> Iterator[Item]:
    corner, far = np.array(box[:2]), np.array(box[2:])
    for item in items:
        strokes = _as_strokes(item)
        points = strokes.strokes_mm if strokes else item.reach_mm[None]
        seen = ((points.max(axis=1) >= corner) & (points.min(axis=1) <= far)).all(axis=1)
        if seen.any():
            yield replace(strokes, strokes_mm=points[seen]) if strokes else item


def _as_strokes(item: Item) -> Strokes | None:
    """Lines that can be taken apart stroke by stroke."""
    if isinstance(item, Ring):
        strokes = np.stack([item.points_mm, np.roll(item.points_mm, -1, axis=0)], axis=1)
        return Strokes(layer=item.layer, name=item.name, strokes_mm=strokes)
    return item if isinstance(item, Strokes) else None
