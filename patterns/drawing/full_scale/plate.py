"""A version on one page in small: for every side the sleeve's lines and the armhole's marks."""

from __future__ import annotations

import re
from collections.abc import Sequence
from html import escape
from typing import Final

import numpy as np

from patterns.drawing.armhole import armhole_plate
from patterns.drawing.full_scale.paper import GAP_MM, HEADING_MM, Page, pdf
from patterns.drawing.full_scale.pieces import Heading, Side
from patterns.drawing.full_scale.tiles import A4, Paper
from patterns.drawing.marks import line_key, ratio, scale_bar
from patterns.drawing.sheet import LINE_MM, Sheet
from patterns.drawing.sleeve import sleeve_plate
from patterns.geometry.draft import TwoPiece
from patterns.rules.pieces import two_piece

SCALES: Final = (1 / 4, 1 / 5, 1 / 6, 1 / 8, 1 / 10, 1 / 12)
_SIZE = re.compile(r'width="([\d.]+)mm" height="([\d.]+)mm"')

Row = tuple[str, list[str]]  # a heading and the plates under it


def plate_pdf(sides: Sequence[Side], heading: Heading, paper: Paper = A4) -> bytes:
    """One page, upright or on its side, with all plates at the largest scale that fits; it says
    the scale.

    Refuses (GeometryRefused) what cannot be drafted.
    """
    wide, high = paper.width_mm, paper.height_mm
    upright = Paper(name=paper.name, width_mm=min(wide, high), height_mm=max(wide, high))
    lying = Paper(name=paper.name, width_mm=upright.height_mm, height_mm=upright.width_mm)
    drafts = [(side, *_drafts(side)) for side in sides]
    for scale in SCALES:
        rows = _rows(drafts, scale)
        fits = [page for page in (upright, lying) if _high_mm(rows, page) <= page.inner_mm[1]]
        if fits:
            break
    chosen = fits[0] if fits else upright
    body = "".join(
        f"<h2>{escape(name)}</h2>" + "".join(f"<figure>{plate}</figure>" for plate in plates)
        for name, plates in rows
    )
    told = _told(sides, heading, scale)
    page = Page(svg=body, told=told)
    return pdf([page], width_mm=chosen.width_mm, height_mm=chosen.height_mm, title=told)


def _told(sides: Sequence[Side], heading: Heading, scale: float) -> str:
    told = f"{heading.words}, {' and '.join(side.words for side in sides)}, {heading.dated}"
    told += f", drawn at {ratio(scale)}"
    if heading.old_version is not None:
        told += f", old line: version {heading.old_version}"
    return told


def _drafts(side: Side) -> tuple[TwoPiece, TwoPiece]:
    """Before and after; the same one twice where there is no before."""
    after = two_piece(side.after)
    return two_piece(side.before) if side.before else after, after


def _rows(drafts: Sequence[tuple[Side, TwoPiece, TwoPiece]], scale: float) -> list[Row]:
    rows = []
    for side, before, after in drafts:
        new, old = side.after, side.before or side.after
        sleeve = sleeve_plate(before, after, side=side.side, scale=scale, bare=True)
        recut = old.armhole_document != new.armhole_document
        armhole = armhole_plate(
            new.armhole,
            old.sleeve,
            new.sleeve,
            side=side.side,
            scale=scale,
            old_armhole=old.armhole if recut else None,
            bare=True,
        )
        name = f"{side.words}: sleeve, front to the {side.side} of the paper; armhole, seen from"
        rows.append((f"{name} the {side.words}".capitalize(), [sleeve, armhole]))
    plain = all(before is after for _, before, after in drafts)
    return [*rows, ("Net of seams; amounts in mm", [_key(scale, plain=plain)])]


def _key(scale: float, *, plain: bool) -> str:
    sheet = Sheet("Key", "What the lines and marks mean, and the scale.")
    low = 0.0
    if not plain:
        low = line_key(sheet, 0.0, 0.0)
        sheet.disc(np.array([1.5, low]), 1.5, solid=False)
        sheet.words("mark as it was, along the armhole", 5.0, low)
        sheet.disc(np.array([71.5, low]), 1.0, solid=True)
        sheet.words("mark as it goes", 75.0, low)
        low += 1.7 * LINE_MM
    scale_bar(sheet, scale, 0.0, low)
    return sheet.svg(1.0)


def _high_mm(rows: Sequence[Row], paper: Paper) -> float:
    """Height of all rows, their plates set in lines from left to right; inf if one is too wide."""
    wide, total = paper.inner_mm[0], 0.0
    for _, plates in rows:
        line, tallest = 0.0, 0.0
        total += HEADING_MM
        for across, down in map(_size_mm, plates):
            if across > wide:
                return np.inf
            if line + across > wide:
                total, line, tallest = total + tallest, 0.0, 0.0
            line, tallest = line + across, max(tallest, down)
        total += tallest
    return total


def _size_mm(plate: str) -> tuple[float, float]:
    """Width and height of a plate with the gap beside and under it."""
    found = _SIZE.search(plate)
    if found is None:
        raise ValueError("The plate does not say its size.")
    return float(found[1]) + GAP_MM, float(found[2]) + GAP_MM
