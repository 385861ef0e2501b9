"""A sheet of paper: lines, marks and words in paper millimetres, written out as SVG.

Only presentation attributes are used, so that a page which allows no inline style shows it whole.
"""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import Final
from xml.etree import ElementTree as ET  # written here, never read # nosec B405

import numpy as np
from numpy.typing import ArrayLike

from patterns.geometry.arclength import FloatArray

FONT: Final = "'Atkinson Hyperlegible Next', sans-serif"
SMALL_MM: Final = 3.0
TITLE_MM: Final = 3.8
LINE_MM: Final = 3.9  # from line to line of small words
_MARGIN_MM = 4.0
BARE_MARGIN_MM: Final = 1.0
_NAMESPACE = "http://www.w3.org/2000/svg"
# Widths of the wider of the two fonts that may be used, as shares of the size.
_WIDE, _WIDE_BOLD = 0.56, 0.62
_ABOVE, _BELOW = 0.76, 0.24


@dataclass(frozen=True, slots=True, kw_only=True)
class Pen:
    """How a line is drawn: width in mm, and dashes (drawn, left out) in mm, if any."""

    width_mm: float
    dash_mm: tuple[float, ...] = ()


NEW: Final = Pen(width_mm=0.5)
OLD: Final = Pen(width_mm=0.22, dash_mm=(1.8, 1.1))
FINE: Final = Pen(width_mm=0.2)
HAIR: Final = Pen(width_mm=0.12)
FAINT: Final = Pen(width_mm=0.12, dash_mm=(0.4, 0.8))


@dataclass(frozen=True, slots=True, kw_only=True)
class View:
    """From cloth to paper: scale is paper mm for one mm of cloth; way -1 mirrors left and right.

    `origin_mm` is where the cloth's origin lies on paper; `up` means the cloth's y counts upward.
    """

    scale: float
    way: int
    origin_mm: tuple[float, float] = (0.0, 0.0)
    up: bool = False

    def at(self, points_mm: ArrayLike) -> FloatArray:
        """Points (..., 2) of the cloth on paper."""
        turned = np.array([self.scale * self.way, -self.scale if self.up else self.scale])
        return np.asarray(np.asarray(points_mm) * turned + np.array(self.origin_mm))


class Sheet:
    """A drawing under way; it grows with what is drawn on it.

    `say`: what is written instead of English words, for a paper in another language.
    """

    def __init__(self, title: str, description: str, *, say: Callable[[str], str] = str) -> None:
        self.say = say
        self._root = ET.Element("svg", {"xmlns": _NAMESPACE, "role": "img"})
        self._put("title").text = title
        self._put("desc").text = description
        self._ink = self._put("g", fill="none", stroke="#000")
        self._ink.set("stroke-linejoin", "round")
        self._words = self._put("g", fill="#000", stroke="none")
        self._words.set("font-family", FONT)
        self._reach: list[FloatArray] = []

    @property
    def bounds_mm(self) -> tuple[float, float, float, float]:
        """Left, top, right and bottom of what has been drawn."""
        points = np.concatenate(self._reach)
        (left, top), (right, bottom) = points.min(axis=0), points.max(axis=0)
        return float(left), float(top), float(right), float(bottom)

    def curve(
        self, spans_mm: FloatArray, pen: Pen, name: str = "", *, closed: bool = False
    ) -> None:
        """A line of cubic spans (n, 4, 2); `name` marks it in the file for whoever reads it."""
        body = f"M{_pair(spans_mm[0, 0])}" + "".join(
            f"C{_pair(a)} {_pair(b)} {_pair(c)}" for _, a, b, c in spans_mm.tolist()
        )
        self._stroke(body + ("Z" if closed else ""), pen, name)
        self._reach.append(spans_mm.reshape(-1, 2))

    def strokes(self, strokes_mm: ArrayLike, pen: Pen, name: str = "") -> None:
        """Straight strokes (n, 2, 2) from point to point; nothing when there are none."""
        strokes = np.asarray(strokes_mm, dtype=float).reshape(-1, 2, 2)
        if len(strokes):
            way = "".join(f"M{_pair(a)}L{_pair(b)}" for a, b in strokes.tolist())
            self._stroke(way, pen, name)
            self._reach.append(strokes.reshape(-1, 2))

    def wedge(self, points_mm: ArrayLike) -> None:
        """A solid shape with corners (n, 2), such as an arrow's head."""
        body = "M" + "L".join(_pair(point) for point in np.asarray(points_mm)) + "Z"
        ET.SubElement(self._ink, "path", {"d": body, "fill": "#000"}).set("stroke", "none")

    def disc(self, at_mm: FloatArray, radius_mm: float, *, solid: bool) -> None:
        """A round mark, solid or hollow."""
        mark = {"cx": _number(at_mm[0]), "cy": _number(at_mm[1]), "r": _number(radius_mm)}
        mark |= {"fill": "#000" if solid else "#fff", "stroke-width": "0.3"}
        ET.SubElement(self._ink, "circle", mark)
        self._reach.append(np.array([at_mm - radius_mm, at_mm + radius_mm]))

    def words(
        self,
        text: str,
        x_mm: float,
        y_mm: float,
        *,
        anchor: str = "start",
        size_mm: float = SMALL_MM,
        bold: bool = False,
    ) -> None:
        """One line of words with its middle height at y; anchor start, middle or end at x."""
        text, line = self.say(text), y_mm + 0.35 * size_mm
        mark = {"x": _number(x_mm), "y": _number(line), "font-size": _number(size_mm)}
        mark |= {"text-anchor": anchor} | ({"font-weight": "700"} if bold else {})
        ET.SubElement(self._words, "text", mark).text = text
        wide = width_mm(text, size_mm, bold=bold)
        left = x_mm - {"start": 0.0, "middle": wide / 2, "end": wide}[anchor]
        top, bottom = line - _ABOVE * size_mm, line + _BELOW * size_mm
        self._reach.append(np.array([[left, top], [left + wide, bottom]]))

    def svg(self, margin_mm: float = _MARGIN_MM) -> str:
        """The drawing, its size in mm of paper and its own units the same mm."""
        left, top, right, bottom = self.bounds_mm
        wide, high = right - left + 2 * margin_mm, bottom - top + 2 * margin_mm
        self._root.set("width", f"{_number(wide)}mm")
        self._root.set("height", f"{_number(high)}mm")
        corner = f"{_number(left - margin_mm)} {_number(top - margin_mm)}"
        self._root.set("viewBox", f"{corner} {_number(wide)} {_number(high)}")
        return ET.tostring(self._root, encoding="unicode")

    def _put(self, tag: str, **marks: str) -> ET.Element:
        return ET.SubElement(self._root, tag, marks)

    def _stroke(self, body: str, pen: Pen, name: str) -> None:
        mark = {"d": body, "stroke-width": _number(pen.width_mm)}
        if pen.dash_mm:
            mark["stroke-dasharray"] = " ".join(_number(part) for part in pen.dash_mm)
        if name:
            mark["data-line"] = name
        ET.SubElement(self._ink, "path", mark)


def width_mm(text: str, size_mm: float = SMALL_MM, *, bold: bool = False) -> float:
    """Width that words may take, on the safe side."""
    return len(text) * size_mm * (_WIDE_BOLD if bold else _WIDE)


def amount(mm: float, step_mm: float = 0.1) -> str:
    """A length without its sign, in mm to the nearest step: "8", "12.5"."""
    return f"{round(abs(mm) / step_mm) * step_mm:.1f}".removesuffix(".0")


def _number(value: float) -> str:
    text = f"{value:.3f}".rstrip("0").rstrip(".")
    return "0" if text == "-0" else text


def _pair(point: Sequence[float] | FloatArray) -> str:
    return f"{_number(point[0])} {_number(point[1])}"
