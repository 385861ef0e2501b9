"""Points set on a photograph made into the same named lines as a file has."""

from __future__ import annotations

import json
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Any, Final, Self

import numpy as np

from patterns.bringing.brought import Brought, Named, NotBroughtIn
from patterns.bringing.names import ARMHOLE, EDGES, NOTCHES
from patterns.geometry.arclength import FloatArray
from patterns.geometry.curve import ClosedCurve
from patterns.geometry.flatten import SIGMA_PX, Flattening
from patterns.geometry.path import spline
from patterns.geometry.piece import TOP, UNDER
from patterns.geometry.refusals import BadPoints

MARKS: Final = "marks"
CHECK: Final = "check distance"
_LEVELS: Final = ("biceps line", "elbow line")
_CORNER_MM: Final = 8.0  # ends of two edges set so near each other are one corner
_MOST: Final = 100  # points of one line
_FEWEST_ROUND: Final = 8
_LEAST_APART_PX: Final = 0.5
_TOLD_SIGMA_MM: Final = 2.0

# What can be set, in the order of the page: name, how many points, what is asked for
LINES: Final[tuple[tuple[str, int, str], ...]] = (
    (MARKS, 4, "The four marks: 1 upper left, 2 upper right, 3 lower right, 4 lower left"),
    (CHECK, 2, "Two points whose distance you know, away from the marks"),
    *(
        (f"{piece} {edge}", _MOST, f"Points along the {edge}, end to end")
        for piece in (TOP, UNDER)
        for edge in EDGES
    ),
    *(
        (f"{piece} {level}", 2, f"Where the {level} meets the two seams")
        for piece in (TOP, UNDER)
        for level in _LEVELS
    ),
    *(
        (f"{piece} {notch}", 1, f"The {notch} on the head, if it lies on this piece")
        for piece in (TOP, UNDER)
        for notch in NOTCHES[:3]
    ),
    (ARMHOLE, _MOST, "Points all round the armhole, at least 8, in order"),
    *((f"{ARMHOLE} {notch}", 1, f"The {notch} on the armhole") for notch in NOTCHES[1:3]),
)
_MOST_OF: Final = {name: most for name, most, _ in LINES}


@dataclass(frozen=True, slots=True, kw_only=True)
class Points:
    """Points (x, y) in px by the name of what they are set on."""

    of: Mapping[str, tuple[tuple[float, float], ...]]

    @classmethod
    def read(cls, text: str, *, width: int, height: int) -> Self:
        """From JSON `{"marks": [[x, y], ...], ...}`. Refuses NotBroughtIn anything else."""
        try:
            given = json.loads(text or "{}")
            of = {
                str(name): tuple(_point(point, width, height) for point in points)
                for name, points in given.items()
            }
        except (ValueError, TypeError, AttributeError, RecursionError):
            raise NotBroughtIn(
                "The points did not arrive as they were set; set them again."
            ) from None
        for name, points in of.items():
            if len(points) > _MOST_OF.get(name, 0):
                raise NotBroughtIn("More points were sent than the page offers; set them again.")
        return cls(of={name: points for name, points in of.items() if points})

    def written(self) -> str:
        return json.dumps({name: [list(p) for p in points] for name, points in self.of.items()})

    def px(self, name: str) -> FloatArray:
        return np.array(self.of.get(name, ()), dtype=float).reshape(-1, 2)


def _point(point: Any, width: int, height: int) -> tuple[float, float]:
    x, y = (float(number) for number in point)
    if not (0.0 <= x <= width and 0.0 <= y <= height):  # false for what is no number
        raise ValueError("outside the picture")
    return round(x, 2), round(y, 2)


def brought(points: Points, flat: Flattening) -> Brought:
    """The lines through the points, in mm. Refuses NotBroughtIn or BadPoints what is too few."""
    lines = [*_pieces(points, flat), *_armhole(points, flat)]
    if not lines:
        raise NotBroughtIn(
            "No line is set yet: set points along the edges of both sleeve pieces, or all round "
            "the armhole."
        )
    return Brought(lines=tuple(lines), remarks=tuple(_remarks(points, flat)))


def _pieces(points: Points, flat: Flattening) -> Iterator[Named]:
    for piece in (TOP, UNDER):
        edges = {
            edge: flat.points_mm(points.px(f"{piece} {edge}"))
            for edge in EDGES
            if f"{piece} {edge}" in points.of
        }
        for edge, through in _cornered(edges).items():
            yield _named(piece, edge, _through(f"{piece} {edge}", through))
        for part in (*_LEVELS, *NOTCHES[:3]):
            if f"{piece} {part}" in points.of:
                yield _named(piece, part, _still(flat.points_mm(points.px(f"{piece} {part}"))))


def _armhole(points: Points, flat: Flattening) -> Iterator[Named]:
    if ARMHOLE in points.of:
        through = flat.points_mm(points.px(ARMHOLE))
        if len(through) < _FEWEST_ROUND:
            raise BadPoints(f"Set at least {_FEWEST_ROUND} points round the armhole.")
        yield _named(ARMHOLE, "outline", ClosedCurve.through(through).beziers())
    for part in NOTCHES[1:3]:
        if f"{ARMHOLE} {part}" in points.of:
            yield _named(ARMHOLE, part, _still(flat.points_mm(points.px(f"{ARMHOLE} {part}"))))


def _named(piece: str, part: str, spans_mm: FloatArray) -> Named:
    return Named(side="", piece=piece, part=part, spans_mm=spans_mm)


def _through(name: str, points: FloatArray) -> FloatArray:
    """The spline through the points of one edge; straight through two."""
    far = np.hypot(*np.diff(points, axis=0).T) > _LEAST_APART_PX / 10
    points = points[np.concatenate(([True], far))]
    if len(points) < 2:
        raise BadPoints(f"The {name} needs at least two points; set its two ends.")
    return spline(name, points).spans_mm


def _still(points: FloatArray) -> FloatArray:
    """A straight line through one or two points, as one span."""
    first, last = points[0], points[-1]
    return np.array([[first + (last - first) * share for share in (0.0, 1 / 3, 2 / 3, 1.0)]])


def _cornered(edges: Mapping[str, FloatArray]) -> dict[str, FloatArray]:
    """The edges with ends that were set near each other brought together at their middle."""
    moved = {edge: points.copy() for edge, points in edges.items()}
    ends = [(edge, index) for edge in moved for index in (0, -1)]
    for number, (edge, index) in enumerate(ends):
        for other, at in ends[number + 1 :]:
            if other == edge:
                continue
            one, two = edges[edge][index], edges[other][at]
            if np.hypot(*(one - two)) < _CORNER_MM:
                moved[edge][index] = moved[other][at] = (one + two) / 2
    return moved


def _remarks(points: Points, flat: Flattening) -> Iterator[str]:
    every: Sequence[FloatArray] = [
        points.px(name) for name in points.of if name not in (MARKS, CHECK)
    ]
    worst = max(flat.sigma_mm(one) for of in every for one in of[:: max(1, len(of) // 4)])
    yield (
        f"Read from a photograph: a point set within {SIGMA_PX:g} pixel is off by up to about "
        f"{worst:.1f} mm (one sigma, the worst of the points), a curved lens not counted."
    )
    if worst > _TOLD_SIGMA_MM:
        yield "Take the picture nearer, or with more pixels, to read it better."
