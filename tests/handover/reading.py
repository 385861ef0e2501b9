"""Read a print back as whoever measures it would: paths and pictures of pages, in mm of paper."""

from dataclasses import dataclass
from io import BytesIO
from typing import Any

import numpy as np
import pdfplumber
import pypdfium2
from fontTools.misc.bezierTools import calcCubicArcLength
from shapely import Polygon

MM = 25.4 / 72  # of a PDF point
DOTS = 4  # of a picture, to the mm


@dataclass(frozen=True)
class Line:
    """A path as it lies on the page: all its points (controls too), its pen in mm."""

    points: np.ndarray
    pen: float


class Printed:
    """A PDF read back."""

    def __init__(self, pdf: bytes) -> None:
        self._pdf = pdf
        with pdfplumber.open(BytesIO(pdf)) as opened:
            self.sizes = [_box(page) for page in opened.pages]
            self.lines = [[_line(item) for item in _drawn(page)] for page in opened.pages]
            self.words = [page.extract_text() for page in opened.pages]
            self.fonts = {char["fontname"] for page in opened.pages for char in page.chars}

    def curves(self, page: int, pen: float) -> list[np.ndarray]:
        """Points of the lines drawn with a pen so wide that have more than two."""
        return [
            line.points
            for line in self.lines[page]
            if abs(line.pen - pen) < 0.01 and len(line.points) > 2
        ]

    def picture(self, page: int) -> np.ndarray:
        """True where there is ink, four dots to the mm."""
        document = pypdfium2.PdfDocument(self._pdf)
        opened = document[page]
        bitmap = opened.render(scale=DOTS * MM, grayscale=True)
        ink = np.array(bitmap.to_numpy()).squeeze() < 160
        for part in (bitmap, opened, document):
            part.close()
        return ink


def _box(page: Any) -> tuple[float, float]:
    left, low, right, high = page.mediabox
    return (right - left) * MM, (high - low) * MM


def _drawn(page: Any) -> list[dict[str, Any]]:
    return [*page.curves, *page.lines, *page.rects]


def _line(item: dict[str, Any]) -> Line:
    points = [point for _, *run in item["path"] for point in run]
    return Line(points=np.array(points) * MM, pen=item["linewidth"] * MM)


def cubic_length(spans: np.ndarray) -> float:
    """Length of cubic spans (n, 4, 2) by an outside library."""
    return sum(
        calcCubicArcLength(*(tuple(point) for point in span), tolerance=1e-9) for span in spans
    )


def area_of(spans: np.ndarray, per_span: int = 200) -> Polygon:
    """A closed line of cubic spans as a polygon, sampled by Bernstein's formula."""
    t = np.linspace(0, 1, per_span, endpoint=False)[:, None]
    q = 1 - t
    rows = [q**3 * a + 3 * q * q * t * b + 3 * q * t * t * c + t**3 * d for a, b, c, d in spans]
    return Polygon(np.concatenate(rows))
