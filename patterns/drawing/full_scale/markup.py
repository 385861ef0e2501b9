"""Drawings as SVG elements: one group for a piece, in it one for each layer."""

from __future__ import annotations

from collections.abc import Iterable
from itertools import groupby
from typing import Final
from xml.etree import ElementTree as ET  # written here, never read # nosec B405

import numpy as np

from patterns.drawing.full_scale.layers import (
    PENS,
    Box,
    Curve,
    Drawn,
    Item,
    Layer,
    Ring,
    Strokes,
    Words,
)
from patterns.drawing.sheet import FONT
from patterns.geometry.arclength import FloatArray

NAMESPACE: Final = "http://www.w3.org/2000/svg"
_ORDER = list(Layer)


def svg_root(box: Box, *, digits: int, title: str) -> ET.Element:
    """A drawing of this part of the sheet, its size in mm and its own units the same mm."""
    left, top, right, bottom = box
    wide, high = number(right - left, digits), number(bottom - top, digits)
    size = {"width": f"{wide}mm", "height": f"{high}mm"}
    view = f"{number(left, digits)} {number(top, digits)} {wide} {high}"
    root = ET.Element("svg", {"xmlns": NAMESPACE, **size, "viewBox": view, "role": "img"})
    ET.SubElement(root, "title").text = title
    return root


def piece_group(root: ET.Element, drawn: Drawn, *, digits: int) -> None:
    """Add a piece: `<g id="top-sleeve-left">` with a group for each layer that it has."""
    group = ET.SubElement(root, "g", {"id": drawn.key})
    ET.SubElement(group, "title").text = drawn.title
    items = sorted(drawn.items, key=lambda item: _ORDER.index(item.layer))
    for layer, of_layer in groupby(items, key=lambda item: item.layer):
        inner = ET.SubElement(group, "g", {"data-layer": layer, **_pen(layer)})
        for item in of_layer:
            _add(inner, item, digits)


def _pen(layer: Layer) -> dict[str, str]:
    if layer is Layer.TEXT:
        return {"fill": "#000", "stroke": "none", "font-family": FONT}
    pen = PENS[layer]
    mark = {"fill": "none", "stroke": "#000", "stroke-width": f"{pen.width_mm:g}"}
    if pen.dash_mm:
        mark["stroke-dasharray"] = " ".join(f"{part:g}" for part in pen.dash_mm)
    return mark


def _add(group: ET.Element, item: Item, digits: int) -> None:
    if isinstance(item, Words):
        _words(group, item, digits)
        return
    ET.SubElement(group, "path", {"data-name": item.name, "d": _way(item, digits)})


def _way(item: Curve | Strokes | Ring, digits: int) -> str:
    if isinstance(item, Curve):
        first = f"M{_pair(item.spans_mm[0, 0], digits)}"
        return first + "".join(f"C{_pairs(span[1:], digits)}" for span in item.spans_mm)
    if isinstance(item, Ring):
        return f"M{'L'.join(_pair(point, digits) for point in item.points_mm)}Z"
    return "".join(f"M{_pair(a, digits)}L{_pair(b, digits)}" for a, b in item.strokes_mm)


def _words(group: ET.Element, words: Words, digits: int) -> None:
    x, y = words.at_mm + np.array([0.0, 0.35 * words.size_mm])
    mark = {"x": number(x, digits), "y": number(y, digits), "font-size": f"{words.size_mm:g}"}
    mark |= {"text-anchor": words.anchor} | ({"font-weight": "700"} if words.bold else {})
    ET.SubElement(group, "text", mark).text = words.text


def number(value: float, digits: int) -> str:
    text = f"{value:.{digits}f}".rstrip("0").rstrip(".")
    return "0" if text in ("-0", "") else text


def _pair(point: FloatArray, digits: int) -> str:
    return f"{number(point[0], digits)} {number(point[1], digits)}"


def _pairs(points: Iterable[FloatArray], digits: int) -> str:
    return " ".join(_pair(point, digits) for point in points)
