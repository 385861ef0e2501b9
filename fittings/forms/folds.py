"""Where a fold lies on a sleeve, and whether it is slack or strain."""

from __future__ import annotations

from typing import Any, ClassVar, Final

from django import forms

from fittings.fitting_room.hand import Pose
from fittings.forms.amounts import AmountField, AnswerField
from fittings.forms.reading_form import ReadingForm

Reading = dict[str, Any]

# What slack below a pitch usually pins out to (trade practice, no source).
DEPTHS: Final[dict[str, tuple[str, ...]]] = {
    "mm": ("5", "10", "15", "20", "25", "30"),
    "cm": ("0.5", "1", "1.5", "2", "2.5", "3"),
    "in": ("1/4", "3/8", "1/2", "5/8", "3/4", "1"),
}
PLACES: Final = (
    ("head", "Across the head"),
    ("front_head", "Front of the head"),
    ("front_pitch", "In front, below the pitch"),
    ("back_pitch", "Behind, below the pitch"),
    ("upper_arm", "Round the upper arm"),
    ("elbow", "Behind, above the elbow"),
    ("forearm", "Along the forearm"),
)
# What a fold at a place means: a crease at a pitch, or a row of the catalogue.
FOLDS: Final[dict[tuple[str, str], Reading]] = {
    ("head", "slack"): {"what": "finding", "finding": "crown_too_high"},
    ("head", "strain"): {"what": "finding", "finding": "crown_too_low"},
    ("front_head", "slack"): {"what": "crease", "where": "front", "kind": "slack"},
    ("front_head", "strain"): {"what": "finding", "finding": "front_of_head_shallow"},
    **{
        (f"{where}_pitch", kind): {"what": "crease", "where": where, "kind": kind}
        for where in ("front", "back")
        for kind in ("slack", "strain", "unknown")
    },
    ("upper_arm", "slack"): {"what": "finding", "finding": "sleeve_wide"},
    ("upper_arm", "strain"): {"what": "finding", "finding": "sleeve_narrow"},
    ("elbow", "slack"): {"what": "finding", "finding": "hindarm_long"},
    ("elbow", "strain"): {"what": "finding", "finding": "hindarm_short"},
    ("forearm", "strain"): {"what": "finding", "finding": "forearm_tight"},
}
PITCHES: Final = frozenset({"front_pitch", "back_pitch"})


PINCHED: Final = (
    ("slack", "slack, pins out"),
    ("strain", "strain, taut"),
    ("unknown", "cannot tell"),
)

SUPPOSING: Final = {
    "slack": "If it is slack",
    "strain": "If it is strain",
    "unknown": "If you cannot tell",
}


class FoldForm(ReadingForm):
    """Where a fold lies, then the pinch test: two taps."""

    slug, title, amount, saved_by_tap = "hand-fold", "Folds, on the figure", "depth", True
    how = "Tap where the fold lies, then pinch it: slack pins out, strain is taut."

    place = forms.ChoiceField(
        choices=PLACES,
        widget=forms.RadioSelect,
        label="Where the fold lies",
        error_messages={"required": "Tap the place on the figure first, then say what it is."},
    )
    depth = AmountField(
        most_mm=300,
        required=False,
        label="Depth pinned out",
        help_text="Of slack below a pitch; say it before you tap what the fold is.",
    )
    kind = AnswerField(
        [
            (
                "Pinch it: the fold is",
                list(PINCHED),
            )
        ],
        label="What it is",
    )

    looks: ClassVar[tuple[tuple[str, str], ...]] = (
        ("side", "From the side"),
        ("front", "From in front"),
        ("behind", "From behind"),
    )

    @property
    def depths(self) -> list[tuple[str, str]]:
        """Keys that fill the depth: what they write, and how it is spoken."""
        return [(shown, f"{shown} {self.unit}") for shown in DEPTHS[self.unit]]

    @property
    def pose(self) -> Pose:
        return Pose(side=self.side, sleeve_deg=0.0)

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean()
        place, kind = cleaned.get("place"), cleaned.get("kind")
        if place and kind and (place, kind) not in FOLDS:
            self.add_error("place", self._undecided(place, kind))
        if cleaned.get("depth") and (kind != "slack" or place not in PITCHES):
            self.add_error(
                "depth", "Only slack below a pitch is pinned out in mm: leave the depth empty here."
            )
        return cleaned

    def supposed(self) -> list[tuple[str, FoldForm]]:
        """Where the pinch test is still to come: this form with each of its answers, in words.

        A depth is of slack only, so it is left out of the others.
        """
        found = []
        for kind, words in SUPPOSING.items():
            data = {**dict(self.data.items()), "kind": kind}
            data |= {} if kind == "slack" else {"depth": ""}
            found.append((words, FoldForm(data, side=self.side, unit=self.unit)))
        return found

    @property
    def is_pinched(self) -> bool:
        return bool(self.data.get("kind"))

    @staticmethod
    def _undecided(place: str, kind: str) -> str:
        if kind == "unknown":
            return "Slack and strain are opposite faults here: pinch it again, then say which."
        return (
            "Slack along the forearm decides nothing by itself: follow it up. "
            "Does it begin below the front pitch, or above the elbow? Tap that place."
        )

    def reading(self) -> Reading:
        place, kind = self.cleaned_data["place"], self.cleaned_data["kind"]
        detail = {"detail": {"taken": "figure", "place": place}}
        if self.cleaned_data["depth"]:
            where = place.removesuffix("_pitch")
            return {"what": "slack", "where": where, "depth_mm": self.size(), **detail}
        return {**FOLDS[place, kind], **detail}
