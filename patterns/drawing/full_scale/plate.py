"""A version on one page in small: for every side the armhole's marks and the sleeve's lines."""

from __future__ import annotations

import re
from collections.abc import Sequence
from typing import Final

from patterns.drawing.armhole import armhole_plate
from patterns.drawing.full_scale.paper import Page, pdf
from patterns.drawing.full_scale.pieces import Heading, Side
from patterns.drawing.full_scale.tiles import A4, Paper
from patterns.drawing.marks import ratio
from patterns.drawing.sleeve import sleeve_plate
from patterns.geometry.draft import draft

SCALES: Final = (1 / 4, 1 / 5, 1 / 6, 1 / 8, 1 / 10)
_GAP_MM = 4.0
_SIZE = re.compile(r'width="([\d.]+)mm" height="([\d.]+)mm"')


def plate_pdf(sides: Sequence[Side], heading: Heading, paper: Paper = A4) -> bytes:
    """One page with all plates at the largest scale that fits, stated on each of them.

    The plates lie in a row for every side, one under the other when the page is too narrow.
    Refuses (GeometryRefused) what cannot be drafted.
    """
    wide, high = paper.inner_mm
    for scale in SCALES:
        plates = [plate for side in sides for plate in _plates(side, scale)]
        if _fits(plates, wide, high):
            break
    told = f"{heading.words}, {' and '.join(side.words for side in sides)}, {heading.dated}"
    told += f", reduced plate at {ratio(scale)}"
    if heading.old_version is not None:
        told += f", old line: version {heading.old_version}"
    page = Page(svg="".join(f"<figure>{plate}</figure>" for plate in plates), told=told)
    return pdf([page], width_mm=paper.width_mm, height_mm=paper.height_mm, title=told)


def _plates(side: Side, scale: float) -> tuple[str, str]:
    """The sleeve and the armhole of a side, old and new where there is an old."""
    new, old = side.after, side.before or side.after
    after = draft(new.sleeve, new.armhole)
    before = draft(old.sleeve, old.armhole) if side.before else after
    sleeve = sleeve_plate(before, after, side=side.side, scale=scale, with_true_mark=False)
    armhole = armhole_plate(new.armhole, old.sleeve, new.sleeve, side=side.side, scale=scale)
    return sleeve, armhole


def _fits(plates: Sequence[str], wide_mm: float, high_mm: float) -> bool:
    """Whether plates set in lines, left to right, stay within a width and a height."""
    used, line, tallest = 0.0, 0.0, 0.0
    for plate in plates:
        across, down = _size_mm(plate)
        if across > wide_mm:
            return False
        if line and line + across + _GAP_MM > wide_mm:
            used, line, tallest = used + tallest + _GAP_MM, 0.0, 0.0
        line, tallest = line + across + _GAP_MM, max(tallest, down)
    return used + tallest + _GAP_MM <= high_mm


def _size_mm(plate: str) -> tuple[float, float]:
    found = _SIZE.search(plate)
    if found is None:
        raise ValueError("The plate does not say its size.")
    return float(found[1]), float(found[2])
