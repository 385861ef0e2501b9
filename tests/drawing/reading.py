"""Read a drawn plate back as whoever looks at it would: words with their boxes, lines, sizes."""

import re
from dataclasses import dataclass
from pathlib import Path
from xml.etree import ElementTree as ET

import numpy as np
from fontTools.ttLib import TTFont
from shapely import LineString, MultiLineString, Polygon, box

SVG = "{http://www.w3.org/2000/svg}"
_FONTS = Path(__file__).parents[2] / "static" / "fonts"


class Face:
    """Widths of the shipped font, from its own tables."""

    def __init__(self, weight: int) -> None:
        font = TTFont(_FONTS / f"atkinson-hyperlegible-next-latin-{weight}-normal.woff2")
        self._named, self._widths = font.getBestCmap(), font["hmtx"]
        self._em = font["head"].unitsPerEm

    def width(self, text: str, size: float) -> float:
        return sum(self._widths[self._named[ord(sign)]][0] for sign in text) * size / self._em


FACES = {"400": Face(400), "700": Face(700)}


@dataclass(frozen=True)
class Words:
    text: str
    size: float
    box: Polygon

    @property
    def middle(self) -> float:
        return self.box.centroid.x


class Plate:
    """A plate read back from its SVG text."""

    def __init__(self, svg: str) -> None:
        self.text = svg
        self.root = ET.fromstring(svg)  # noqa: S314 (our own drawing)
        self.view = [float(part) for part in self.root.attrib["viewBox"].split()]

    @property
    def paper(self) -> Polygon:
        left, top, wide, high = self.view
        return box(left, top, left + wide, top + high)

    @property
    def words(self) -> list[Words]:
        return [_words(element) for element in self.root.iter(f"{SVG}text")]

    def paths(self, name: str) -> list[ET.Element]:
        return [one for one in self.root.iter(f"{SVG}path") if one.get("data-line") == name]

    def controls(self, name: str) -> list[np.ndarray]:
        """Control points (n, 2) of every curve of that name."""
        return [_numbers(one.attrib["d"]) for one in self.paths(name)]

    def outlines(self, name: str) -> list[Polygon]:
        """Every curve of that name as a polygon, its spans sampled by Bernstein's formula."""
        return [Polygon(_sampled(points)) for points in self.controls(name)]

    def strokes(self, name: str) -> list[LineString]:
        pairs = [_numbers(one.attrib["d"]).reshape(-1, 2, 2) for one in self.paths(name)]
        return [LineString(stroke) for group in pairs for stroke in group]

    def ink(self, name: str) -> MultiLineString:
        return MultiLineString(self.strokes(name))


def _words(element: ET.Element) -> Words:
    size, x, y = (float(element.attrib[key]) for key in ("font-size", "x", "y"))
    text = element.text or ""
    wide = FACES[element.get("font-weight", "400")].width(text, size)
    left = x - {"start": 0, "middle": wide / 2, "end": wide}[element.attrib["text-anchor"]]
    # Capitals rise 0.67 of the size over the line, descenders hang about 0.2 below it.
    return Words(text, size, box(left, y - 0.7 * size, left + wide, y + 0.2 * size))


def _numbers(body: str) -> np.ndarray:
    return np.array([float(part) for part in re.findall(r"-?[\d.]+", body)]).reshape(-1, 2)


def _sampled(points: np.ndarray) -> np.ndarray:
    spans = [points[i : i + 4] for i in range(0, len(points) - 3, 3)]
    t = np.linspace(0, 1, 13)[:, None]
    q = 1 - t
    return np.concatenate(
        [q**3 * a + 3 * q * q * t * b + 3 * q * t * t * c + t**3 * d for a, b, c, d in spans]
    )
