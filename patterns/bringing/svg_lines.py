"""The lines of SVG elements as cubic Bezier spans, in the element's own units."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any, Final

import numpy as np
from fontTools.pens.recordingPen import RecordingPen
from fontTools.svgLib.path.parser import parse_path

from patterns.bringing.brought import NotBroughtIn, straight
from patterns.geometry.arclength import FloatArray

_LARGEST: Final = 1e9


def lines_of(tag: str, given: Mapping[str, str]) -> Iterator[FloatArray]:
    """Spans (n, 4, 2) of every line of one element. Refuses NotBroughtIn what cannot be read."""
    try:
        for spans in _lines(tag, given):
            if not np.all(np.abs(spans) < _LARGEST):
                raise ValueError("a place is no number, or out of all reason")
            yield spans
    except (ValueError, TypeError, IndexError, ArithmeticError, AssertionError) as fault:
        name = given.get("data-name") or given.get("id") or "without a name"
        raise NotBroughtIn(f"The line {name} cannot be read ({str(fault)[:80]}).") from None


def _lines(tag: str, given: Mapping[str, str]) -> Iterator[FloatArray]:
    if tag == "path" and given.get("d", "").strip():
        yield from _path(given["d"])
    elif tag == "line":
        yield straight([[float(given.get(k + i, 0)) for k in "xy"] for i in "12"])
    elif tag in ("polyline", "polygon"):
        yield from _corners(given.get("points", ""), closed=tag == "polygon")


def _corners(text: str, *, closed: bool) -> Iterator[FloatArray]:
    numbers = [float(word) for word in text.replace(",", " ").split()]
    points = np.array(numbers).reshape(-1, 2)
    if closed:
        points = np.concatenate([points, points[:1]])
    if len(points) > 1:
        yield straight(points)


def _path(d: str) -> Iterator[FloatArray]:
    pen: Any = RecordingPen()  # type: ignore[no-untyped-call]
    parse_path(d, pen)  # type: ignore[no-untyped-call]
    spans: list[Any] = []
    at: Any = None
    start: Any = None
    for how, points in pen.value:
        if how == "moveTo":
            if spans:
                yield np.array(spans)
            spans, at, start = [], points[0], points[0]
        elif how == "closePath":
            if at != start:
                spans.append(straight([at, start])[0])
        elif how != "endPath":
            spans += _spans(how, at, points)
            at = points[-1]
    if spans:
        yield np.array(spans)


def _spans(how: str, at: Any, points: Any) -> list[FloatArray]:
    if how == "lineTo":
        return [straight([at, points[0]])[0]]
    ends = np.array([at, *points], dtype=float)
    if how == "curveTo":
        return [ends]
    first, control, last = ends  # a parabola, raised to a cubic
    return [np.array([first, (first + 2 * control) / 3, (last + 2 * control) / 3, last])]
