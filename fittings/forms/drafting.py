"""The choices one side of a pattern is drafted from, in the unit of whoever drafts."""

from __future__ import annotations

from collections.abc import Iterator
from decimal import Decimal
from math import radians, tan
from typing import Any, Final

from fittings.forms.draft_fields import INLAYS, SEAMS, WAYS, DraftFields
from fittings.forms.fields import speak_unit
from fittings.redrafting import Redraft, redraft
from fittings.units import in_units
from patterns.geometry.choices import BICEPS_EASE_MM, SleeveChoices
from patterns.geometry.draft import TwoPiece
from patterns.geometry.head_ease import HeadEase
from patterns.geometry.making import ChoiceRefused, Making
from patterns.geometry.refusals import (
    GeometryRefused,
    PitchesDoNotFit,
    SeamOutOfQuarter,
    SleeveWiderThanHead,
)
from patterns.geometry.scye_draft import ScyeMeasures, ScyeRefused
from patterns.geometry.sleeve import FORWARD_BEND_MM, LEVELS, Levels
from patterns.rules.document import BadDocument, read_case
from patterns.rules.pattern import SidePattern

_WRONG_FIELD: Final[tuple[tuple[type[GeometryRefused], str], ...]] = (
    (SleeveWiderThanHead, "biceps_ease"),
    (PitchesDoNotFit, "crown_ease"),
    (SeamOutOfQuarter, "hindarm_head"),
)


class DraftForm(DraftFields):
    """The choices for one side. What is not altered keeps its exact millimetres.

    A valid form has made its `drafted`.
    """

    drafted: Redraft | None = None

    def __init__(
        self,
        data: Any = None,
        *,
        before: SidePattern,
        flat: TwoPiece,
        made_before: Making | None,
        same: bool,
        unit: str,
    ) -> None:
        self.before, self.made_before = before, made_before
        self.exact = dict(_amounts(before, flat, made_before or Making()))
        shown: dict[str, Any] = {
            name: Decimal(f"{mm:.6f}") for name, mm in self.exact.items() if mm >= 0.0
        }
        super().__init__(data, initial={**shown, **_ways(before), "same": same})
        speak_unit(self, unit)
        self.unit = unit
        self.fields["note"].required = data is None or data.get("do") == "save"

    def clean(self) -> dict[str, Any]:
        typed = self.cleaned_data
        unwritten = typed.get("chest_girth") is None and "chest_girth" not in self.errors
        if typed.get("anew") and unwritten:
            self.add_error("chest_girth", "The armhole is drafted from the chest: write it.")
        if not self._wrong():
            self._draft()
        self.fields["note"].required = True
        return typed

    def _wrong(self) -> bool:
        """Whether a choice is at fault; a draft without a note can be drawn all the same."""
        return bool(self.errors.keys() - {"note"})

    def _draft(self) -> None:
        try:
            self.drafted = redraft(
                self.before,
                self.choices(),
                self.making(),
                measures=self.measures() if self.cleaned_data["anew"] else None,
                made_before=self.made_before,
            )
            kept = {**self.drafted.after.written(), "side": "left", "readings": []}
            read_case(kept)
        except GeometryRefused as refused:
            self.add_error(self._field_of(refused), in_units(str(refused), self.unit))
        except BadDocument as bad:
            for fault in bad.faults:
                self.add_error(None, in_units(fault.removeprefix("$."), self.unit))
        if self._wrong():
            self.drafted = None

    def _field_of(self, refused: GeometryRefused) -> str | None:
        """The field beside which a refusal is said; None: over the form."""
        if isinstance(refused, ChoiceRefused):
            if refused.choice == "front_ease_share":
                return "front_percent"
            return refused.choice if refused.choice in self.fields else None
        if isinstance(refused, ScyeRefused):
            name = refused.measure.rsplit("_", 1)[0]
            return name if name in self.fields else None
        return next((name for kind, name in _WRONG_FIELD if isinstance(refused, kind)), None)

    def _mm(self, name: str) -> float | None:
        """What was typed; where it was not altered, the exact length it stands for."""
        if name not in self.changed_data and name in self.exact:
            return self.exact[name]
        entered = self.cleaned_data.get(name)
        return None if entered is None else float(entered.mm)

    def _sure_mm(self, name: str) -> float:
        return self._mm(name) or 0.0

    def _share(self, name: str) -> float | None:
        percent: Decimal | None = self.cleaned_data[name]
        return None if percent is None else float(percent) / 100.0

    def _levels(self, seam: str) -> Levels:
        return Levels(
            **{
                level: self._sure_mm(f"{seam}_{level}")
                * int(self.cleaned_data[f"{seam}_{level}_way"])
                for level in LEVELS
            }
        )

    def choices(self) -> SleeveChoices:
        share = self._share("crown_percent")
        return SleeveChoices(
            arm_mm=self._sure_mm("arm"),
            biceps_ease_mm=self._sure_mm("biceps_ease"),
            elbow_girth_mm=self._sure_mm("elbow_girth"),
            cuff_girth_mm=self._sure_mm("cuff_girth"),
            length_mm=self._sure_mm("length"),
            crown_ease_mm=self._ease_mm() if share is None else None,
            crown_ease_share=share,
            over_crown_only=self.cleaned_data["counted"] == "crown",
            front_ease_share=self._share("front_percent"),
            elbow_mm=self._mm("elbow"),
            forward_bend_mm=self._mm("forward_bend") if self._bend_typed() else None,
            hindarm_shift_mm=self._levels("hindarm"),
            forearm_shift_mm=self._levels("forearm"),
        )

    def _ease_mm(self) -> float | None:
        return None if self.cleaned_data["crown_ease"] is None else self._mm("crown_ease")

    def _bend_typed(self) -> bool:
        return self.cleaned_data["forward_bend"] is not None

    def making(self) -> Making:
        return Making(
            seam_mm={name: self._sure_mm(f"seam_{name}") for name in SEAMS},
            inlay_mm={name: self._sure_mm(f"inlay_{name}") for name in INLAYS},
            vent_length_mm=self._sure_mm("vent_length"),
            vent_width_mm=self._sure_mm("vent_width"),
            arm_mm=self._sure_mm("arm"),
        )

    def measures(self) -> ScyeMeasures:
        named = ("scye_depth", "across_chest", "across_back", "shoulder_length")
        own = {f"{name}_mm": self._mm(name) for name in (*named, "front_pitch_up", "back_pitch_up")}
        slope = self.cleaned_data["shoulder_slope"]
        own |= {"ease_mm": self._mm("coat_ease")}
        own |= {"shoulder_slope_deg": None if slope is None else float(slope)}
        given = {name: value for name, value in own.items() if value is not None}
        return ScyeMeasures.for_chest(self._sure_mm("chest_girth"), **given)


def _amounts(before: SidePattern, flat: TwoPiece, making: Making) -> Iterator[tuple[str, float]]:
    """The exact length each field stands for, mm; below zero where it cannot be shown."""
    sleeve = before.sleeve
    arm_mm = making.arm_mm or sleeve.girth_mm.biceps - BICEPS_EASE_MM
    yield "crown_ease", HeadEase.of(flat, before.armhole).whole_mm
    yield "arm", arm_mm
    yield "biceps_ease", sleeve.girth_mm.biceps - arm_mm
    yield "elbow_girth", sleeve.girth_mm.elbow
    yield "cuff_girth", sleeve.girth_mm.cuff
    yield "length", sleeve.length_mm
    if sleeve.elbow_mm is not None:
        yield "elbow", sleeve.elbow_mm
    lower_mm = sleeve.length_mm - sleeve.elbow_down_mm
    usual = sleeve.bend_deg is None
    yield "forward_bend", FORWARD_BEND_MM if usual else lower_mm * tan(radians(sleeve.turning_deg))
    for seam in WAYS:
        for level in LEVELS:
            yield f"{seam}_{level}", abs(getattr(getattr(sleeve, f"{seam}_shift_mm"), level))
    yield "vent_length", making.vent_length_mm
    yield "vent_width", making.vent_width_mm
    for name, mm in making.seam_mm.items():
        yield f"seam_{name}", mm
    for name, mm in making.inlay_mm.items():
        yield f"inlay_{name}", mm


def _ways(before: SidePattern) -> dict[str, str]:
    return {
        f"{seam}_{level}_way": "-1" if getattr(shift, level) < 0.0 else "1"
        for seam in WAYS
        for shift in [getattr(before.sleeve, f"{seam}_shift_mm")]
        for level in LEVELS
    }
