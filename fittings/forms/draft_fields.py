"""The fields of a draft, and how they lie on the page."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal
from typing import Any, Final

from django import forms

from fittings.forms.arms import DegreesField
from fittings.forms.fields import LengthField
from patterns.geometry.scye_draft import SLOPE_DEG
from patterns.geometry.sleeve import LEVELS

WAYS: Final = {
    "hindarm": (("1", "up and out"), ("-1", "down and in")),
    "forearm": (("1", "down and in"), ("-1", "up and out")),
}
COUNTED: Final = (
    ("whole", "Round the whole head"),
    ("crown", "Over the crown only, pitch to pitch"),
)
INLAYS: Final = {
    "top_sleeve_head": "Top sleeve, head",
    "under_sleeve_head": "Under sleeve, head",
    "top_sleeve_hindarm": "Top sleeve, hindarm",
    "under_sleeve_hindarm": "Under sleeve, hindarm",
    "top_sleeve_forearm": "Top sleeve, forearm",
    "under_sleeve_forearm": "Under sleeve, forearm",
    "cuff": "Cuff, both pieces",
}
SEAMS: Final = {"head": "Head", "hindarm": "Hindarm", "forearm": "Forearm", "cuff": "Cuff"}


class PercentField(forms.DecimalField):
    """A share in percent; the decimal sign may be a comma, the sign may stand behind."""

    widget = forms.TextInput(attrs={"inputmode": "decimal", "autocomplete": "off"})

    def __init__(self, **kwargs: Any) -> None:
        super().__init__(min_value=0, max_value=100, decimal_places=1, required=False, **kwargs)

    def to_python(self, value: Any) -> Any:
        text = str(value or "").strip().removesuffix("%").strip()
        return super().to_python(text.replace(",", "."))


@dataclass(frozen=True, slots=True, kw_only=True)
class SeamRow:
    """One level of a seam: how far it stands from the fold, and which way."""

    label: str
    amount: forms.BoundField
    way: forms.BoundField


class DraftFields(forms.Form):
    """Every choice for one side, and the groups they stand in."""

    crown_ease = LengthField(
        label="Ease of the head", required=False, zero_ok=True, help_text="Empty: the crown stays."
    )
    crown_percent = PercentField(
        label="or in % of the armhole", help_text="6 to 9 for ordinary wool; goes before the amount"
    )
    counted = forms.ChoiceField(
        label="This ease is counted", choices=COUNTED, widget=forms.RadioSelect, initial="whole"
    )
    front_percent = PercentField(
        label="Of the ease over the crown, in front, %",
        help_text="Empty: the round at the front of the head stays.",
    )
    arm = LengthField(label="Upper arm, round", help_text="As measured.")
    biceps_ease = LengthField(
        label="Ease over the upper arm", zero_ok=True, help_text="50 to 80 mm is usual."
    )
    elbow_girth = LengthField(label="Elbow of the sleeve, round")
    cuff_girth = LengthField(label="Cuff, round")
    length = LengthField(label="Length, crown to cuff")
    elbow = LengthField(
        label="Elbow below the crown",
        required=False,
        help_text="Empty: 0.556 of the length, as men have it.",
    )
    forward_bend = LengthField(
        label="Forward bend at the cuff",
        required=False,
        zero_ok=True,
        help_text="In front of plumb. Empty: the bend stays.",
    )
    vent_length = LengthField(label="Vent, long", zero_ok=True)
    vent_width = LengthField(label="Vent, wide", zero_ok=True)
    anew = forms.BooleanField(
        label="Draft the armhole anew from the measures below", required=False
    )
    chest_girth = LengthField(label="Chest, round", required=False)
    coat_ease = LengthField(
        label="Ease of the coat, once round", required=False, zero_ok=True, initial=Decimal(152)
    )
    scye_depth = LengthField(
        label="Scye depth, nape to scye line",
        required=False,
        help_text="Empty: a sixth of the chest and 3 in.",
    )
    across_chest = LengthField(
        label="Across chest, half",
        required=False,
        help_text="Empty: a quarter of the chest less 1 in.",
    )
    across_back = LengthField(
        label="Across back, half", required=False, help_text="Empty: by the chest, as men have it."
    )
    shoulder_length = LengthField(
        label="Shoulder length", required=False, help_text="Empty: 150 mm, as men have it."
    )
    shoulder_slope = DegreesField(label="Shoulder slope, degrees", initial=int(SLOPE_DEG))
    front_pitch_up = LengthField(
        label="Front pitch over the scye line", required=False, help_text="Empty: 1 in."
    )
    back_pitch_up = LengthField(
        label="Back pitch over the scye line",
        required=False,
        help_text="Empty: a quarter of the armhole.",
    )
    same = forms.BooleanField(label="The other side the same", required=False)
    note = forms.CharField(
        label="What it is for",
        max_length=300,
        help_text="Whoever opens the pattern later will ask.",
        error_messages={"required": "Say in a few words what it is for."},
    )

    def __init__(self, data: Any = None, *, initial: dict[str, Any]) -> None:
        super().__init__(data, initial=initial)
        self._add_fields()

    def _add_fields(self) -> None:
        for seam, ways in WAYS.items():
            for level in LEVELS:
                label = f"{seam.capitalize()} at the {level}"
                self.fields[f"{seam}_{level}"] = LengthField(label=label, zero_ok=True)
                way = forms.ChoiceField(label=f"{label}, which way", choices=ways)
                self.fields[f"{seam}_{level}_way"] = way
        for name, label in SEAMS.items():
            self.fields[f"seam_{name}"] = LengthField(label=label, zero_ok=True)
        for name, label in INLAYS.items():
            self.fields[f"inlay_{name}"] = LengthField(label=label, zero_ok=True)

    @property
    def groups(self) -> list[tuple[str, list[forms.BoundField]]]:
        """What is always in sight, under its headings."""
        return [
            ("Head", self._bound("crown_ease", "crown_percent", "counted", "front_percent")),
            ("Widths", self._bound("arm", "biceps_ease", "elbow_girth", "cuff_girth")),
            ("Length and bend", self._bound("length", "elbow", "forward_bend")),
        ]

    @property
    def seam_rows(self) -> list[tuple[str, list[SeamRow]]]:
        return [
            (
                seam,
                [
                    SeamRow(
                        label=f"at the {level}",
                        amount=self[f"{seam}_{level}"],
                        way=self[f"{seam}_{level}_way"],
                    )
                    for level in LEVELS
                ],
            )
            for seam in WAYS
        ]

    @property
    def making_groups(self) -> list[tuple[str, list[forms.BoundField]]]:
        return [
            ("Vent", self._bound("vent_length", "vent_width")),
            ("Seams", self._bound(*(f"seam_{name}" for name in SEAMS))),
            ("Inlays", self._bound(*(f"inlay_{name}" for name in INLAYS))),
        ]

    @property
    def armhole_fields(self) -> list[forms.BoundField]:
        return self._bound(
            "chest_girth",
            "coat_ease",
            "scye_depth",
            "across_chest",
            "across_back",
            "shoulder_length",
            "shoulder_slope",
            "front_pitch_up",
            "back_pitch_up",
        )

    @property
    def making_open(self) -> bool:
        fields = [field for _, fields in self.making_groups for field in fields]
        return any(field.errors for field in fields)

    @property
    def armhole_open(self) -> bool:
        return bool(self["anew"].value()) or any(field.errors for field in self.armhole_fields)

    def _bound(self, *names: str) -> list[forms.BoundField]:
        return [self[name] for name in names]
