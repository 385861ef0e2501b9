"""Plates of our own put straight into a PDF: paths, discs and words, and nothing else.

The layout library sets an SVG letter by letter, and reads each of its numbers by rules for what no
plate has (styles, units, gradients, filters): that was a quarter of the time of a ticket.
"""

# The layout library has no types.
# mypy: disable-error-code="no-untyped-call"

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from functools import cached_property
from math import inf
from typing import Any, Final
from xml.etree.ElementTree import Element  # its name alone; defusedxml reads # nosec B405

from defusedxml.ElementTree import fromstring
from weasyprint.css.properties import INITIAL_VALUES
from weasyprint.draw.text import draw_first_line
from weasyprint.matrix import Matrix
from weasyprint.svg.text import Style, TextBox
from weasyprint.text.fonts import FontConfiguration
from weasyprint.text.line_break import split_first_line

_PX_PER_MM: Final = 96 / 25.4
_STEP: Final = re.compile("([MLC])([^MLCZ]+)")
_GREY: Final = {"#000": 0, "#fff": 1}
_JOIN: Final = {"miter": 0, "round": 1}
_SHIFT: Final = {"start": 0.0, "middle": 0.5, "end": 1.0}
_QUARTER: Final = 0.5523  # control points of a quarter of a circle, as a share of the radius

Marks = Mapping[str, str]


@dataclass(kw_only=True)
class Inked:
    """A plate, as the layout library takes a picture: its size, and how to draw it on a page.

    `svg`: as `Sheet` writes it, its size in mm; paths of absolute M, L, C and Z; fills and strokes
    "none", "#000" or "#fff". What it cannot draw it refuses with KeyError.
    """

    svg: str
    fonts: FontConfiguration
    _styles: dict[tuple[str, ...], Style] = field(default_factory=dict)

    @cached_property
    def _root(self) -> Element:
        root: Element = fromstring(self.svg)
        return root

    def get_intrinsic_size(self, _resolution: object, _font_size: object) -> tuple[float, ...]:
        """Width and height in CSS pixels, and their ratio."""
        size = (self._root.attrib[name].removesuffix("mm") for name in ("width", "height"))
        wide, high = (float(mm) * _PX_PER_MM for mm in size)
        return wide, high, wide / high

    def draw(self, stream: Any, wide: float, high: float, _style: object) -> None:
        """Onto the page's stream (y downward), from 0, 0, in a box of so many CSS pixels."""
        left, top, across, down = (float(part) for part in self._root.attrib["viewBox"].split())
        scale = min(wide / across, high / down)
        stream.transform(a=scale, d=scale, e=-left * scale, f=-top * scale)
        stream.set_alpha(1, stroke=True, fill=True)
        for tag, marks, text in _leaves(self._root, {}):
            if tag == "text":
                self._write(stream, marks, text)
            elif tag in ("path", "circle"):
                _trace(stream, marks, _way(marks["d"]) if tag == "path" else _round(marks))

    def _write(self, stream: Any, marks: Marks, text: str) -> None:
        """One line of words, black, set whole."""
        style = self._set_in(
            marks["font-family"], marks.get("font-weight", "400"), marks["font-size"]
        )
        layout, _, _, wide, _, _ = split_first_line(text, style, None, inf, 0)
        layout.reactivate(style)
        x = float(marks["x"]) - wide * _SHIFT[marks.get("text-anchor", "start")]
        stream.begin_text()
        stream.set_color_rgb(0, 0, 0)
        at = Matrix(d=-1, e=x, f=float(marks["y"]))
        draw_first_line(stream, TextBox(layout, style), "none", "none", at)
        stream.end_text()

    def _set_in(self, family: str, weight: str, size: str) -> Style:
        how = family, weight, size
        if how not in self._styles:
            style = self._styles[how] = Style(INITIAL_VALUES)
            style["font_family"] = [name.strip(" '") for name in family.split(",")]
            style["font_weight"], style["font_size"] = int(weight), float(size)
            style.font_config = self.fonts  # type: ignore[attr-defined]
        return self._styles[how]


def _leaves(element: Element, given: Marks) -> Iterator[tuple[str, Marks, str]]:
    """Tag, marks and text of all that is drawn, in order, with the marks of the groups around."""
    marks = {**given, **element.attrib}
    if not len(element):
        yield element.tag.rpartition("}")[2], marks, element.text or ""
    for child in element:
        yield from _leaves(child, marks)


def _trace(stream: Any, marks: Marks, way: str) -> None:
    """One path with its pen."""
    fill, stroke = marks.get("fill", "#000"), marks.get("stroke", "none")
    if fill != "none":
        stream.set_color_rgb(*[_GREY[fill]] * 3)
    if stroke != "none":
        stream.set_color_rgb(*[_GREY[stroke]] * 3, stroke=True)
        stream.set_alpha(float(marks.get("stroke-opacity", "1")), stroke=True)
        stream.set_line_width(float(marks["stroke-width"]))
        stream.set_line_join(_JOIN[marks.get("stroke-linejoin", "miter")])
        dashes = marks.get("stroke-dasharray", "none").replace("none", "").split()
        stream.set_dash([float(part) for part in dashes], 0)
    stream.stream.append(way.encode())
    if fill != "none" and stroke != "none":
        stream.fill_and_stroke()
    elif stroke != "none":
        stream.stroke()
    else:
        stream.fill()


def _way(path: str) -> str:
    """The path as PDF writes it (ISO 32000-1, 8.5.2): the same numbers, each step named after."""
    return _STEP.sub(r"\2 \1 ", path).replace("Z", "h ").lower()


def _round(marks: Marks) -> str:
    x, y, r = (float(marks[name]) for name in ("cx", "cy", "r"))
    k = r * _QUARTER
    quarters = (
        (x + r, y + k, x + k, y + r, x, y + r),
        (x - k, y + r, x - r, y + k, x - r, y),
        (x - r, y - k, x - k, y - r, x, y - r),
        (x + k, y - r, x + r, y - k, x + r, y),
    )
    curves = (" ".join(f"{n:.3f}" for n in quarter) + " c" for quarter in quarters)
    return f"{x + r:.3f} {y:.3f} m {' '.join(curves)} h"
