"""A layout as one SVG file in mm; what is in it says FORMATS.md."""

from __future__ import annotations

from typing import Final
from xml.etree import ElementTree as ET  # written here, never read # nosec B405

from patterns.drawing.full_scale.layers import Drawn
from patterns.drawing.full_scale.layout import Layout
from patterns.drawing.full_scale.markup import piece_group, svg_root

DIGITS: Final = 8  # of a mm: lengths read back agree with ours to a millionth
_SCREEN_DIGITS = 2
_MARGIN_MM = 1.0


def svg_file(layout: Layout, title: str) -> str:
    """One group for each piece with its key as id; in it a group for each layer."""
    box = (0.0, 0.0, layout.width_mm, layout.height_mm)
    root = svg_root(box, digits=DIGITS, title=title)
    for drawn in layout.drawings:
        piece_group(root, drawn, digits=DIGITS)
    return ET.tostring(root, encoding="unicode", xml_declaration=True)


def drawing_svg(drawn: Drawn) -> str:
    """One drawing alone, to be put into a page."""
    left, top, right, bottom = drawn.box_mm
    box = (left - _MARGIN_MM, top - _MARGIN_MM, right + _MARGIN_MM, bottom + _MARGIN_MM)
    root = svg_root(box, digits=_SCREEN_DIGITS, title=drawn.title)
    piece_group(root, drawn, digits=_SCREEN_DIGITS)
    return ET.tostring(root, encoding="unicode")
