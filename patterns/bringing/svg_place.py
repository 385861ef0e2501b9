"""Where SVG puts things: the size of its units, and transforms."""

from __future__ import annotations

import re
from math import cos, inf, isfinite, radians, sin, tan
from typing import Final
from xml.etree.ElementTree import Element  # a name; defusedxml reads # nosec B405

import numpy as np

from patterns.bringing.brought import NotBroughtIn
from patterns.geometry.arclength import FloatArray

_INCH_MM: Final = 25.4
# CSS Values 3, absolute lengths
_UNITS: Final = {
    "mm": 1.0,
    "cm": 10.0,
    "q": 0.25,
    "in": _INCH_MM,
    "pt": _INCH_MM / 72,
    "pc": _INCH_MM / 6,
    "px": _INCH_MM / 96,
    "": _INCH_MM / 96,
}
_LENGTH = re.compile(r"^\s*([-+]?[\d.]+(?:e[-+]?\d+)?)\s*([a-z]*)\s*$", re.IGNORECASE)
_CALL = re.compile(r"\s*,?\s*([a-zA-Z]+)\s*\(([^()]*)\)")
_SAME_SCALE: Final = 1e-3
_MOST_CALLS: Final = 50


def mm_per_unit(root: Element) -> FloatArray:
    """The matrix (3, 3) from the drawing's own units to mm. Refuses a size that is not said."""
    wide, high = (_length_mm(root.get(name, "")) for name in ("width", "height"))
    box = _numbers(root.get("viewBox", ""))
    if not box:
        unit = _UNITS["px"]
        return np.diag([unit, unit, 1.0])
    if len(box) != 4 or min(box[2:]) <= 0.0:
        raise NotBroughtIn("The drawing's viewBox is not four numbers with a size; save it again.")
    if wide is None or high is None:
        raise NotBroughtIn(
            "The drawing does not say how large it is: give it a width and a height in mm."
        )
    across, down = wide / box[2], high / box[3]
    if abs(across - down) > _SAME_SCALE * max(across, down):
        raise NotBroughtIn(
            "The drawing's width and height do not agree with its viewBox: it would be stretched "
            "one way. Save it at true size."
        )
    moved = np.array([[1.0, 0.0, -box[0]], [0.0, 1.0, -box[1]], [0.0, 0.0, 1.0]])
    return np.asarray(np.diag([across, across, 1.0]) @ moved)


def _length_mm(text: str) -> float | None:
    found = _LENGTH.match(text)
    if found is None or found[2].lower() not in _UNITS:
        return None
    try:
        size = float(found[1]) * _UNITS[found[2].lower()]
    except ValueError:
        return None
    return size if isfinite(size) and size > 0.0 else None


def _numbers(text: str) -> list[float]:
    """The numbers of an attribute; refuses NotBroughtIn words and what is no number."""
    try:
        numbers = [float(word) for word in text.replace(",", " ").split()]
    except ValueError:
        numbers = [inf]
    if not all(isfinite(number) for number in numbers):
        raise NotBroughtIn(
            f"A transform or viewBox has a place that is no number ({text[:40]}); save a plain "
            "drawing."
        )
    return numbers


def transform(text: str) -> FloatArray:
    """The matrix (3, 3) of a transform attribute. Refuses NotBroughtIn what is none."""
    matrix, at = np.eye(3), 0
    calls = list(_CALL.finditer(text))
    for call in calls[:_MOST_CALLS]:
        if call.start() != at:
            break
        matrix, at = matrix @ _one(call[1], _numbers(call[2])), call.end()
    if text[at:].strip():
        raise NotBroughtIn(f"A transform cannot be read ({text[:40]}); save a plain drawing.")
    return matrix


def _one(name: str, n: list[float]) -> FloatArray:
    rows: tuple[float, ...]
    match name, len(n):
        case "matrix", 6:
            rows = (n[0], n[2], n[4], n[1], n[3], n[5])
        case "translate", (1 | 2):
            rows = (1, 0, n[0], 0, 1, n[1] if len(n) == 2 else 0.0)
        case "scale", (1 | 2):
            rows = (n[0], 0, 0, 0, n[-1], 0)
        case "rotate", 1:
            c, s = cos(radians(n[0])), sin(radians(n[0]))
            rows = (c, -s, 0, s, c, 0)
        case "rotate", 3:
            there = _one("translate", n[1:])
            back = _one("translate", [-n[1], -n[2]])
            return np.asarray(there @ _one("rotate", n[:1]) @ back)
        case "skewX", 1:
            rows = (1, tan(radians(n[0])), 0, 0, 1, 0)
        case "skewY", 1:
            rows = (1, 0, 0, tan(radians(n[0])), 1, 0)
        case _:
            raise NotBroughtIn(f"A transform cannot be read ({name}); save a plain drawing.")
    return np.array([rows[:3], rows[3:], (0.0, 0.0, 1.0)])
