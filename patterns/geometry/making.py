"""What lies outside the net lines of a sleeve, and its vent: widths kept with the pattern."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any, Final, Self

from patterns.geometry.refusals import BadMeasure, checked_number
from patterns.geometry.sleeve import Sleeve

# 10 mm all round; the cuff has its turn-up instead. Trade practice, no source.
SEAMS_MM: Final[Mapping[str, float]] = {"head": 10.0, "hindarm": 10.0, "forearm": 10.0, "cuff": 0.0}
# Under sleeve hindarm 10-15, top head 10, under head 6, cuff 40-50: trade practice, no source.
INLAYS_MM: Final[Mapping[str, float]] = {
    "top_sleeve_head": 10.0,
    "under_sleeve_head": 6.0,
    "top_sleeve_hindarm": 0.0,
    "under_sleeve_hindarm": 12.0,
    "top_sleeve_forearm": 0.0,
    "under_sleeve_forearm": 0.0,
    "cuff": 45.0,
}
# Trade practice, no source.
VENT_LENGTH_MM, VENT_WIDTH_MM = 100.0, 35.0
MOST_SEAM_MM, MOST_INLAY_MM = 50.0, 150.0


class ChoiceRefused(BadMeasure):
    """A choice no sleeve can be cut to; `choice` is the name of the choice to look at."""

    def __init__(self, choice: str, sentence: str) -> None:
        super().__init__(sentence)
        self.choice = choice


@dataclass(frozen=True, slots=True, kw_only=True)
class Making:
    """Seams by edge, inlays by place, and the vent at the hindarm's cuff, mm.

    `arm_mm`: the upper arm the sleeve was drafted over, if it is known.
    """

    seam_mm: Mapping[str, float] = field(default_factory=lambda: dict(SEAMS_MM))
    inlay_mm: Mapping[str, float] = field(default_factory=lambda: dict(INLAYS_MM))
    vent_length_mm: float = VENT_LENGTH_MM
    vent_width_mm: float = VENT_WIDTH_MM
    arm_mm: float | None = None

    @classmethod
    def read(cls, document: Mapping[str, Any]) -> Self:
        """Out of `written`; what is missing is as usual."""
        vent = document.get("vent_mm", {})
        return cls(
            seam_mm={**SEAMS_MM, **document.get("seam_mm", {})},
            inlay_mm={**INLAYS_MM, **document.get("inlay_mm", {})},
            vent_length_mm=vent.get("length", VENT_LENGTH_MM),
            vent_width_mm=vent.get("width", VENT_WIDTH_MM),
            arm_mm=document.get("arm_mm"),
        )

    def written(self) -> dict[str, Any]:
        kept = {
            "seam_mm": dict(self.seam_mm),
            "inlay_mm": dict(self.inlay_mm),
            "vent_mm": {"length": self.vent_length_mm, "width": self.vent_width_mm},
        }
        return kept if self.arm_mm is None else {**kept, "arm_mm": self.arm_mm}

    def check(self, sleeve: Sleeve) -> None:
        """Refuse (ChoiceRefused) what cannot be left or slit on this sleeve."""
        for names, what, most in (
            (self.seam_mm, "seam", MOST_SEAM_MM),
            (self.inlay_mm, "inlay", MOST_INLAY_MM),
        ):
            for name, mm in names.items():
                if not 0.0 <= checked_number(mm, what) <= most:
                    raise ChoiceRefused(
                        f"{what}_{name}",
                        f"The {what} of {mm:.0f} mm cannot be left: give 0 to {most:.0f} mm.",
                    )
        self._check_vent(sleeve)

    def _check_vent(self, sleeve: Sleeve) -> None:
        lower_mm = sleeve.length_mm - sleeve.elbow_down_mm
        if not 0.0 <= checked_number(self.vent_length_mm, "vent") <= lower_mm / 2:
            raise ChoiceRefused(
                "vent_length",
                f"A vent {self.vent_length_mm:.0f} mm long is more than half of the "
                f"{lower_mm:.0f} mm from elbow to cuff; make it {lower_mm / 2:.0f} mm at most.",
            )
        width_mm = sleeve.girth_mm.cuff / 4
        if not 0.0 <= checked_number(self.vent_width_mm, "vent") <= width_mm:
            raise ChoiceRefused(
                "vent_width",
                f"A vent {self.vent_width_mm:.0f} mm wide would cover more than half of a piece "
                f"at the cuff; make it {width_mm:.0f} mm at most.",
            )
