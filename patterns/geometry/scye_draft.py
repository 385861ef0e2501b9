"""The armhole drafted from body measures, as it stands when shoulder and side seam are closed.

Frame of the armhole: x forward from the back line, z up from the scye line, mm. The front rises
from the underarm to the shoulder, the back falls from the shoulder to the underarm; both are
cubic Beziers, level at the underarm and at the shoulder, so that they join without a corner.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, fields, replace
from math import radians, sin
from typing import Any, Final, Self

import numpy as np

from patterns.geometry.arclength import FloatArray
from patterns.geometry.armhole import Armhole, Quarter
from patterns.geometry.path import Path
from patterns.geometry.refusals import (
    BadMeasure,
    PitchesDoNotFit,
    checked_girth,
    checked_number,
    checked_positive,
)

INCH_MM: Final = 25.4
# Direct-measure scale: armhole depth chest/6 + 3, across chest chest/4 - 1, inches
# (Vincent's Systems of Cutting All Kinds of Tailor-Made Garments).
DEPTH_SHARE, DEPTH_MORE_MM = 1 / 6, 3 * INCH_MM
ACROSS_SHARE, ACROSS_LESS_MM = 1 / 4, INCH_MM
# Half of the interscye, 136 + 0.278 chest; mean shoulder length (ANSUR II men, NATICK/TR-15/007).
BACK_SHARE, BACK_MORE_MM = 0.278 / 2, 136 / 2
SHOULDER_MM: Final = 149.8
# Front notch 1 in above the breast line (The American Garment Cutter, diagram 75).
FRONT_PITCH_MM: Final = 25.4
# Trade practice, no source.
SLOPE_DEG: Final = 23.0
EASE_MM: Final = 152.0
_NECK_END_MM = 20.0  # the neck end of the shoulder lies so far below the nape

# Trade practice, no source: where, as a share of the height, the front is foremost and the back
# rearmost, and how far each span keeps to its tangents, as a share of the way to their corner.
_FOREMOST, _REARMOST, _MIDDLE = 0.36, 0.5, 0.5
_FRONT_LOW, _FRONT_HIGH, _BACK_HIGH, _BACK_LOW = 0.76, 0.52, 0.55, 0.6
_LEAST_WIDTH_MM, _LEAST_HEIGHT_MM = 60.0, 80.0
_TALLEST, _ROUNDEST = 2.2, 0.7
_POINTS_A_SPAN = 24


class ScyeRefused(BadMeasure):
    """A body measure that makes no armhole; `measure` is the name of the field to look at."""

    def __init__(self, measure: str, sentence: str) -> None:
        super().__init__(sentence)
        self.measure = measure


@dataclass(frozen=True, slots=True, kw_only=True)
class ScyeMeasures:
    """What an armhole is drafted from, mm and degrees.

    `scye_depth_mm`: from the nape to the scye line. `across_chest_mm`, `across_back_mm`: from the
    middle of the front, of the back, to the armhole, as the coat is to be cut. `ease_mm`: what the
    coat is wider than the chest, once round; what the across measures leave of it falls under the
    arm. `shoulder_slope_deg` > 0: the shoulder falls outward. Pitches stand above the scye line;
    the back pitch a quarter of the girth when left out (The American Garment Cutter, diagram 75).
    """

    chest_girth_mm: float
    scye_depth_mm: float
    across_chest_mm: float
    across_back_mm: float
    shoulder_length_mm: float = SHOULDER_MM
    shoulder_slope_deg: float = SLOPE_DEG
    front_pitch_up_mm: float = FRONT_PITCH_MM
    back_pitch_up_mm: float | None = None
    ease_mm: float = EASE_MM

    @classmethod
    def for_chest(cls, chest_girth_mm: float, **own: float | None) -> Self:
        """The measures of this chest by the published scales, but for one's `own`."""
        chest = checked_girth(chest_girth_mm, "chest girth")
        scale = cls(
            chest_girth_mm=chest,
            scye_depth_mm=DEPTH_SHARE * chest + DEPTH_MORE_MM,
            across_chest_mm=ACROSS_SHARE * chest - ACROSS_LESS_MM,
            across_back_mm=BACK_SHARE * chest + BACK_MORE_MM,
        )
        changes: Mapping[str, Any] = own
        return replace(scale, **changes)

    @property
    def underarm_mm(self) -> float:
        """Width of the armhole: what is left of half the coat between back and chest."""
        half_coat = (self.chest_girth_mm + self.ease_mm) / 2
        return half_coat - self.across_chest_mm - self.across_back_mm

    @property
    def shoulder_up_mm(self) -> float:
        """Height of the shoulder end over the scye line."""
        fall = self.shoulder_length_mm * sin(radians(self.shoulder_slope_deg))
        return self.scye_depth_mm - _NECK_END_MM - fall

    def check(self) -> None:
        """Refuse (NoGirth, BadMeasure, ScyeRefused) measures that make no armhole."""
        for item in fields(self):
            what = _words(item.name)
            value = getattr(self, item.name)
            if item.name in ("ease_mm", "shoulder_slope_deg"):
                checked_number(value, what)
            elif value is not None:
                checked_positive(value, what)
        if not 0.0 <= self.shoulder_slope_deg <= 45.0:
            raise ScyeRefused(
                "shoulder_slope_deg",
                f"A shoulder does not slope by {self.shoulder_slope_deg:.0f} degrees; it lies "
                "between level and 45.",
            )
        self._check_room()

    def _check_room(self) -> None:
        width, height = self.underarm_mm, self.shoulder_up_mm
        if width < _LEAST_WIDTH_MM:
            raise ScyeRefused(
                "across_chest_mm",
                f"Across chest {self.across_chest_mm:.0f} mm and across back "
                f"{self.across_back_mm:.0f} mm leave {width:.0f} mm for the arm in a coat "
                f"{self.chest_girth_mm:.0f} mm + {self.ease_mm:.0f} mm round; an arm wants "
                f"{_LEAST_WIDTH_MM:.0f} mm at least. "
                "Measure across chest and back again, or give more ease.",
            )
        if height < _LEAST_HEIGHT_MM:
            raise ScyeRefused(
                "scye_depth_mm",
                f"A scye {self.scye_depth_mm:.0f} mm deep under such a shoulder leaves an armhole "
                f"{height:.0f} mm high; deepen the scye, or measure the shoulder again.",
            )
        if not _ROUNDEST <= height / width <= _TALLEST:
            raise ScyeRefused(
                "scye_depth_mm",
                f"An armhole {height:.0f} mm high and {width:.0f} mm wide is not the shape of an "
                "arm; measure scye depth, across chest and across back again.",
            )


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class ScyeDraft:
    """The drafted armhole: its two curves, its named points (2,), and what they measure.

    Points: "underarm", "front pitch", "across chest", "shoulder", "across back", "back pitch".
    """

    measures: ScyeMeasures
    front: Path
    back: Path
    armhole: Armhole
    points_mm: dict[str, FloatArray]

    @property
    def outline_mm(self) -> FloatArray:
        """Points (n, 2) once round from the underarm up the front."""
        return _outline(self.front, self.back)

    @property
    def girth_mm(self) -> float:
        return self.front.length_mm + self.back.length_mm

    @property
    def lower_arc_mm(self) -> float:
        """From front pitch under the arm to back pitch."""
        armhole = self.armhole
        return armhole.girth_mm - (armhole.back_pitch_s_mm - armhole.front_pitch_s_mm)

    @property
    def upper_arc_mm(self) -> float:
        """From front pitch over the shoulder to back pitch."""
        return self.armhole.back_pitch_s_mm - self.armhole.front_pitch_s_mm


def draft_scye(measures: ScyeMeasures) -> ScyeDraft:
    """Draft the armhole. Refuses NoGirth, BadMeasure, ScyeRefused, PitchesDoNotFit."""
    measures.check()
    wide, high = measures.underarm_mm, measures.shoulder_up_mm
    underarm, shoulder = (_MIDDLE * wide, 0.0), (_MIDDLE * wide, high)
    chest, back_line = (wide, _FOREMOST * high), (0.0, _REARMOST * high)
    front = _through(
        "front",
        (underarm, (wide, 0.0), chest, _FRONT_LOW),
        (chest, (wide, high), shoulder, _FRONT_HIGH),
    )
    back = _through(
        "back",
        (shoulder, (0.0, high), back_line, _BACK_HIGH),
        (back_line, (0.0, 0.0), underarm, _BACK_LOW),
    )
    armhole = Armhole.from_points(
        _outline(front, back),
        front_pitch_up_mm=measures.front_pitch_up_mm,
        back_pitch_up_mm=measures.back_pitch_up_mm,
    )
    _check_pitches(armhole, measures)
    front_pitch, back_pitch = armhole.curve.point_at(
        [armhole.front_pitch_s_mm, armhole.back_pitch_s_mm]
    )
    named = {
        "underarm": underarm,
        "front pitch": front_pitch,
        "across chest": chest,
        "shoulder": shoulder,
        "across back": back_line,
        "back pitch": back_pitch,
    }
    return ScyeDraft(
        measures=measures,
        front=front,
        back=back,
        armhole=armhole,
        points_mm={name: np.asarray(point, dtype=float) for name, point in named.items()},
    )


def armhole_document(scye: ScyeDraft) -> dict[str, Any]:
    """The armhole as a pattern keeps it: dense points and the heights of the pitches, mm."""
    lowest = scye.armhole.curve.bounds_mm[1]
    heights = {name: scye.points_mm[f"{name} pitch"][1] - lowest for name in ("front", "back")}
    return {
        "points_mm": [[round(float(x), 3), round(float(z), 3)] for x, z in scye.outline_mm],
        **{f"{name}_pitch_up_mm": round(float(up), 3) for name, up in heights.items()},
    }


def _outline(front: Path, back: Path) -> FloatArray:
    return front.then(back).polyline(_POINTS_A_SPAN)[:-1]


_Point = tuple[float, float]


def _through(name: str, *spans: tuple[_Point, _Point, _Point, float]) -> Path:
    return Path(name=name, spans_mm=np.array([_quarter(*span) for span in spans]))


def _quarter(first: _Point, corner: _Point, last: _Point, share: float) -> FloatArray:
    """A span (4, 2) that leaves and ends along the lines to its corner, so far towards it."""
    start, by, end = np.array(first), np.array(corner), np.array(last)
    return np.stack([start, start + share * (by - start), end + share * (by - end), end])


def _check_pitches(armhole: Armhole, measures: ScyeMeasures) -> None:
    wanted = (
        ("front", armhole.front_pitch_s_mm, Quarter.LOWER_FRONT, "lower"),
        ("back", armhole.back_pitch_s_mm, Quarter.UPPER_BACK, "higher"),
    )
    for name, place, quarter, way in wanted:
        if armhole.quarter_at(place) is not quarter:
            up = float(armhole.curve.point_at(place)[1]) - armhole.curve.bounds_mm[1]
            raise PitchesDoNotFit(
                f"A {name} pitch {up:.0f} mm above the scye line stands in the "
                f"{armhole.quarter_at(place)} quarter of an armhole "
                f"{measures.shoulder_up_mm:.0f} mm high; it belongs in the {quarter} quarter: "
                f"set it {way}."
            )


def _words(name: str) -> str:
    return name.removesuffix("_mm").removesuffix("_deg").replace("_up", " height").replace("_", " ")
