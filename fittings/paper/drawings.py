"""The drawings of a ticket: the plates of one side, cut down to what is drawn, at a stated scale.

The paper says title, scale and key once for both plates, in its own type; a plate's own are left
out here and the rest is trimmed to size. What is drawn is not touched.
"""

from __future__ import annotations

import re
from base64 import b64encode
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Any, Final, Self
from xml.etree import ElementTree as ET

from patterns.drawing.armhole import armhole_plate
from patterns.drawing.sheet import SMALL_MM
from patterns.drawing.sleeve import sleeve_plate
from patterns.geometry.armhole import Armhole
from patterns.geometry.draft import TwoPiece, draft
from patterns.geometry.sleeve import Sleeve
from patterns.rules.pattern import SidePattern

_SVG: Final = "{http://www.w3.org/2000/svg}"
_MARGIN_MM: Final = 1.0
# Width of a letter as a share of its size, the widest mean among the labels; bold is capitals.
_LETTER, _BOLD_LETTER = 0.53, 0.65
_NUMBERS: Final = re.compile(r"-?\d+(?:\.\d+)?")
# What a plate writes round its drawing, by the beginning of its words.
_SURROUND: Final = (
    "Armhole, wearer",
    "Sleeve, wearer",
    "seen from the",
    "front of the sleeve to",
    "where it",
    "amounts in mm",
    "line as it was",
    "line to cut",
    "+  cloth",
    "−  cloth",
    "drawing at",
)
_NOTES: Final = ("shrink the", "stretch the")  # iron work of the whole sleeve: said beside it


@dataclass(frozen=True, slots=True, kw_only=True)
class Scales:
    """Paper to cloth, as the second number of `1 : n`."""

    armhole: int
    sleeve: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Drawing:
    """One plate as a picture: an SVG as a `data:` address, its size on paper, and its words."""

    name: str
    seen: str
    scale: str
    address: str
    told: str
    wide_mm: float
    high_mm: float
    notes: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Drawn:
    """What the plates of one side are drawn from, worked out once for all scales."""

    side: str
    scye: Armhole | None
    sleeves: tuple[Sleeve, Sleeve]
    pieces: tuple[TwoPiece, TwoPiece]

    @classmethod
    def read(cls, documents: Mapping[str, Any], side: str) -> Self:
        """From the kept sides before and after. Refuses GeometryRefused what cannot be drawn."""
        old, new = (SidePattern.read(documents[when]) for when in ("before", "after"))
        before, after = old.armhole, new.armhole
        return cls(
            side=side,
            scye=after if _moves_on_armhole(old, new) else None,
            sleeves=(old.sleeve, new.sleeve),
            pieces=(draft(old.sleeve, before), draft(new.sleeve, after)),
        )

    def armhole(self, scales: Scales) -> Drawing | None:
        """The armhole with the old and new marks; None where no mark moves."""
        if self.scye is None:
            return None
        plate = armhole_plate(self.scye, *self.sleeves, side=self.side, scale=1 / scales.armhole)
        return _drawing("Armhole", f"seen from the wearer's {self.side}", scales.armhole, plate)

    def sleeve(self, scales: Scales) -> Drawing:
        """Both pieces of the sleeve, the old line and the new."""
        plate = sleeve_plate(*self.pieces, side=self.side, scale=1 / scales.sleeve)
        return _drawing("Sleeve", f"front to the {self.side} of the paper", scales.sleeve, plate)


def _moves_on_armhole(old: SidePattern, new: SidePattern) -> bool:
    def marks(pattern: SidePattern) -> tuple[object, ...]:
        sleeve = pattern.sleeve
        return (
            sleeve.notch_shift_mm,
            sleeve.hindarm_shift_mm.head,
            sleeve.forearm_shift_mm.head,
            pattern.armhole_document,
        )

    return marks(old) != marks(new)


def _drawing(name: str, seen: str, scale: int, plate: str) -> Drawing:
    root = ET.fromstring(plate)  # noqa: S314  # drawn here, a line above
    told = root.findtext(f"{_SVG}desc") or name
    notes = _leave_out_surround(root)
    left, top, wide, high = _bounds(root)
    root.set("viewBox", f"{left:.3f} {top:.3f} {wide:.3f} {high:.3f}")
    root.set("width", f"{wide:.3f}mm")
    root.set("height", f"{high:.3f}mm")
    ET.register_namespace("", _SVG.strip("{}"))
    code = b64encode(ET.tostring(root)).decode()
    return Drawing(
        name=name,
        seen=seen,
        scale=f"1 : {scale}",
        address=f"data:image/svg+xml;base64,{code}",
        told=told,
        wide_mm=wide,
        high_mm=high,
        notes=tuple(notes),
    )


def _leave_out_surround(root: ET.Element) -> list[str]:
    """Take out the words round the drawing and the marks beside them; returns the notes."""
    rows: list[float] = []
    notes: list[str] = []
    lowest = _lowest_drawn(root)
    for group in root.iter(f"{_SVG}g"):
        for text in group.findall(f"{_SVG}text"):
            words = text.text or ""
            if words.startswith((*_SURROUND, *_NOTES)):
                rows.append(float(text.get("y", "0")))
                notes += [words] if words.startswith(_NOTES) else []
                group.remove(text)
    first = min((y for y in rows if y > lowest), default=float("inf"))
    for group in root.iter(f"{_SVG}g"):
        for mark in [*group]:
            if min((y for _, y in _points(mark)), default=0.0) > first - 2 * SMALL_MM:
                group.remove(mark)
    return notes


def _lowest_drawn(root: ET.Element) -> float:
    """The lowest point of the lines that are named as part of the drawing."""
    drawn = [
        y
        for path in root.iter(f"{_SVG}path")
        if path.get("data-line", "scale bar") not in {"scale bar", "true mark"}
        for _, y in _points(path)
    ]
    return max(drawn)


def _bounds(root: ET.Element) -> tuple[float, float, float, float]:
    points = [point for element in root.iter() for point in _points(element)]
    xs, ys = [x for x, _ in points], [y for _, y in points]
    left, top = min(xs) - _MARGIN_MM, min(ys) - _MARGIN_MM
    return left, top, max(xs) + _MARGIN_MM - left, max(ys) + _MARGIN_MM - top


def _points(element: ET.Element) -> Iterator[tuple[float, float]]:
    """Points that a shape or some words reach to."""
    if element.tag == f"{_SVG}path":
        numbers = [float(n) for n in _NUMBERS.findall(element.get("d", ""))]
        yield from zip(numbers[::2], numbers[1::2], strict=True)
    elif element.tag == f"{_SVG}circle":
        x, y, r = (float(element.get(name, "0")) for name in ("cx", "cy", "r"))
        yield from ((x - r, y - r), (x + r, y + r))
    elif element.tag == f"{_SVG}text":
        x, y, size = (float(element.get(name, "0")) for name in ("x", "y", "font-size"))
        letter = _BOLD_LETTER if element.get("font-weight") else _LETTER
        wide = len(element.text or "") * size * letter
        left = x - {"middle": wide / 2, "end": wide}.get(element.get("text-anchor", ""), 0.0)
        yield from ((left, y - size), (left + wide, y + 0.3 * size))
