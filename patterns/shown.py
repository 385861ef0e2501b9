"""What a page shows of a pattern version: its numbers, what changed, and the drawings."""

from __future__ import annotations

import json
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from functools import lru_cache
from typing import Any, Final

from patterns.drawing.armhole import armhole_plate
from patterns.drawing.sleeve import sleeve_plate
from patterns.geometry.refusals import GeometryRefused
from patterns.geometry.sleeve import LEVELS
from patterns.kept_drawings import kept
from patterns.models import PatternVersion
from patterns.rules.difference import Difference, differences
from patterns.rules.pattern import SidePattern
from patterns.rules.pieces import two_piece

SIDES: Final = ("left", "right")
ARMHOLE_SCALE: Final = 1 / 3
SLEEVE_SCALE: Final = 1 / 7

# name of the sleeve's number, how it is called, unit, and the way when above and below nothing
NUMBERS: Final = (
    ("crown_height_mm", "Crown height", "mm", "", ""),
    ("length_mm", "Length, crown to cuff", "mm", "", ""),
    ("elbow_down_mm", "Elbow below the crown", "mm", "", ""),
    ("notch_shift_mm", "Notches moved along the armhole", "mm", "cuff forward", "cuff back"),
    ("drafted_hang_deg", "Head recut to hang", "deg", "forward of plumb", "behind plumb"),
    ("turning_deg", "Bend at the elbow, flat", "deg", "forward", "back"),
    ("forearm_hollow_mm", "Hollow of the forearm", "mm", "", "filled"),
    ("hindarm_length_mm", "Hindarm over the elbow", "mm", "longer", "shorter"),
    ("forearm_stretch_mm", "Forearm stretched", "mm", "more", "less"),
    ("front_of_head_mm", "Round at the front of the head", "mm", "more", "less"),
    ("head_ease_mm", "Ease of the head, over the draft's own", "mm", "more", "less"),
    ("under_head_hollow_mm", "Hollow of the under sleeve's head", "mm", "deeper", "shallower"),
)
SEAMS: Final = (
    ("hindarm_shift_mm", "Hindarm seam", "up and out", "down and in"),
    ("forearm_shift_mm", "Forearm seam", "down and in", "up and out"),
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Value:
    """One number without its sign, in mm or degrees, and which way it goes in words."""

    size: float
    unit: str
    way: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Row:
    """One number of both sides; `alike` when left and right are the same."""

    what: str
    left: Value
    right: Value

    @property
    def alike(self) -> bool:
        return self.left == self.right


def numbers(version: PatternVersion) -> list[Row]:
    """Every number of the version, left beside right. Refuses GeometryRefused."""
    left, right = (SidePattern.read(version.sides[side]) for side in SIDES)
    return [
        Row(what=what, left=one, right=other)
        for (what, one), (_, other) in zip(_numbers(left), _numbers(right), strict=True)
    ]


def _numbers(pattern: SidePattern) -> Iterator[tuple[str, Value]]:
    armhole, sleeve = pattern.armhole, pattern.sleeve
    yield "Armhole girth", _value(armhole.girth_mm)
    yield "Armhole, front pitch to back pitch", _value(armhole.pitch_width_mm)
    yield "Armhole, back pitch over front pitch", _value(armhole.pitch_height_mm)
    for level in LEVELS:
        at = "biceps" if level == "head" else level
        yield f"Sleeve girth at the {at}", _value(sleeve.girth_mm.at(level))
    for name, what, unit, above, below in NUMBERS:
        yield what, _value(getattr(sleeve, name), unit, above, below)
    for name, what, above, below in SEAMS:
        for level in LEVELS:
            yield (
                f"{what} at the {level}",
                _value(getattr(getattr(sleeve, name), level), "mm", above, below),
            )


def _value(number: float, unit: str = "mm", above: str = "", below: str = "") -> Value:
    size = round(abs(number), 1 if unit != "share" else 3)
    way = "" if not size else above if number > 0 else below
    return Value(size=size, unit=unit, way=way)


@dataclass(frozen=True, slots=True, kw_only=True)
class Changed:
    """One difference from the parent, its size without a sign, and the words of its way."""

    what: str
    size: float
    unit: str
    way: str

    @property
    def percent(self) -> float:
        return 100 * self.size

    @classmethod
    def of(cls, difference: Difference) -> Changed:
        return cls(
            what=difference.what,
            size=abs(difference.after - difference.before),
            unit=difference.unit,
            way=difference.way,
        )


def changes(version: PatternVersion) -> dict[str, list[Changed]]:
    """What differs from the parent on each side; empty lists for a first version."""
    if version.parent is None:
        return {side: [] for side in SIDES}
    return {
        side: _changes(_text(version.parent.sides[side]), _text(version.sides[side]))
        for side in SIDES
    }


def plates(version: PatternVersion) -> dict[str, list[str]]:
    """SVG of armhole and sleeve of each side over those of the parent. Refuses GeometryRefused."""
    before = version.parent or version
    return {
        side: _plates(_text(before.sides[side]), _text(version.sides[side]), side) for side in SIDES
    }


# A version never changes, so what is worked out from it need not be worked out again.
@lru_cache(maxsize=256)
def _changes(before: str, after: str) -> list[Changed]:
    old, new = (SidePattern.read(json.loads(text)) for text in (before, after))
    return [Changed.of(difference) for difference in differences(old, new)]


def _plates(before: str, after: str, side: str) -> list[str]:
    return kept("plates", before, after, side, draw=lambda: _drawn_plates(before, after, side))


def _drawn_plates(before: str, after: str, side: str) -> list[str]:
    old, new = (SidePattern.read(json.loads(text)) for text in (before, after))
    armhole = new.armhole
    flat = two_piece(new)
    was = flat if before == after else two_piece(old)
    return [
        armhole_plate(armhole, old.sleeve, new.sleeve, side=side, scale=ARMHOLE_SCALE),
        sleeve_plate(was, flat, side=side, scale=SLEEVE_SCALE),
    ]


def _text(side: Mapping[str, Any]) -> str:
    return json.dumps(side, sort_keys=True)


def drawn(version: PatternVersion) -> tuple[dict[str, list[str]], str]:
    """The plates, or none and the sentence why it cannot be drawn."""
    try:
        return plates(version), ""
    except GeometryRefused as refused:
        return {}, str(refused)
