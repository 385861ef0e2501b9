"""One small form for each kind of reading that is taken of a sleeve at a fitting."""

from __future__ import annotations

from collections.abc import Sequence
from decimal import Decimal
from typing import Any, Final, cast

from django import forms

from fittings.forms.amounts import AmountField, AnswerField, DegreesField, WayField
from fittings.forms.fields import LengthField
from fittings.forms.findings import FindingForm
from fittings.forms.reading_form import ReadingForm
from patterns.rules.catalogue import Finding

DROP_MM: Final = 600


class CuffOffsetForm(ReadingForm):
    slug, title, amount = "cuff-offset", "Pitch, by the cuff", "offset"
    how = "Arm at rest. Seen from the side, how far does the arm stand from the middle of the cuff?"

    way = WayField(
        ("plus", "Arm forward of the sleeve"), ("minus", "Arm behind the sleeve"), "Which way"
    )
    offset = AmountField(most_mm=600, coarse=True, zero_ok=True, label="How far")
    drop = LengthField(initial=Decimal(DROP_MM))

    def __init__(self, data: Any = None, *, side: str, unit: str) -> None:
        super().__init__(data, side=side, unit=unit)
        self.fields["drop"].label = f"Measured below the armhole, {unit}"

    def reading(self) -> dict[str, Any]:
        unchanged = "drop" not in self.changed_data
        drop = DROP_MM if unchanged else float(self.cleaned_data["drop"].mm)
        return {"what": "pitch", "cuff_offset_mm": self.signed(), "drop_mm": drop}

    def clean_drop(self) -> Any:
        drop = self.cleaned_data["drop"]
        if drop.mm > 1500:
            raise forms.ValidationError("No cuff hangs so far below the armhole: measure it again.")
        return drop


class PitchAngleForm(ReadingForm):
    slug, title, amount = "pitch-angle", "Pitch, by angle", "angle"
    how = "By eye, from the side: about six times rougher than the cuff."

    way = WayField(
        ("plus", "Arm forward of the sleeve"), ("minus", "Arm behind the sleeve"), "Which way"
    )
    angle = DegreesField(most=60, label="Angle between arm and sleeve")

    def reading(self) -> dict[str, Any]:
        return {"what": "pitch", "angle_deg": self.signed()}


class SlackForm(ReadingForm):
    slug, title, amount = "slack", "Slack pinned out", "depth"
    how = "Pin the slack flat below the pitch and measure the depth of the pinch."

    way = WayField(("front", "At the front"), ("back", "At the back"), "Where")
    depth = AmountField(most_mm=300, label="Depth pinned out")

    def reading(self) -> dict[str, Any]:
        return {"what": "slack", "where": self.cleaned_data["way"], "depth_mm": self.size()}


class SwingForm(ReadingForm):
    slug, title, saved_by_tap = "swing", "Arm-swing test", True
    how = "Say so, then move the arm a little back, a little forward."

    clears = AnswerField(
        [
            (
                "The folds clear",
                [
                    ("back", "when the arm goes back"),
                    ("forward", "when the arm goes forward"),
                    ("neither", "neither way"),
                ],
            )
        ],
        label="When the folds clear",
    )

    def reading(self) -> dict[str, Any]:
        return {"what": "swing_test", "clears_when_arm_goes": self.cleaned_data["clears"]}


class CreaseForm(ReadingForm):
    slug, title, saved_by_tap = "crease", "Crease", True
    how = "Pinch it: slack pins out, strain is taut."

    crease = AnswerField(
        [
            (
                f"At the {where}",
                [
                    (f"{where} slack", "slack"),
                    (f"{where} strain", "strain"),
                    (f"{where} unknown", "cannot tell"),
                ],
            )
            for where in ("front", "back")
        ],
        label="The crease",
    )

    def reading(self) -> dict[str, Any]:
        where, kind = self.cleaned_data["crease"].split()
        return {"what": "crease", "where": where, "kind": kind}


class ElbowForm(ReadingForm):
    slug, title, amount = "elbow", "Elbow direction", "turn"
    how = "From behind, arm at rest: where the arm's elbow points, against the sleeve's."

    way = WayField(
        ("plus", "Arm's elbow further out than the sleeve's"),
        ("minus", "Arm's elbow further in than the sleeve's"),
        "Which way",
    )
    turn = DegreesField(most=90, label="By how much")

    def reading(self) -> dict[str, Any]:
        return {"what": "elbow_direction", "turn_deg": self.signed()}


class HindarmForm(ReadingForm):
    slug, title, amount = "hindarm", "Hindarm seam seen", "by"
    how = "Straight from the side, at the elbow. It says little: measure the elbow too."

    way = WayField(("plus", "The seam shows"), ("minus", "The seam is hidden"), "What is seen")
    by = AmountField(most_mm=300, zero_ok=True, label="By how much")
    want = AmountField(most_mm=300, zero_ok=True, label="It should show by")

    def reading(self) -> dict[str, Any]:
        want = float(self.cleaned_data["want"].mm)
        return {"what": "hindarm_shows", "by_mm": self.signed(), "want_mm": want}


class SleeveLengthForm(ReadingForm):
    slug, title, amount = "length", "Length", "by"
    how = "Arms relaxed, from the cuff to where it is wanted. Each arm by itself."

    way = WayField(("plus", "Longer"), ("minus", "Shorter"), "The sleeve is wanted")
    by = AmountField(most_mm=400, label="By how much")

    def reading(self) -> dict[str, Any]:
        return {"what": "length", "amount_mm": self.signed()}


READING_FORMS: Final[tuple[type[ReadingForm], ...]] = (
    CuffOffsetForm,
    PitchAngleForm,
    SlackForm,
    SwingForm,
    CreaseForm,
    ElbowForm,
    HindarmForm,
    SleeveLengthForm,
    FindingForm,
)
BY_SLUG: Final = {kind.slug: kind for kind in READING_FORMS}


def reading_forms(
    side: str, unit: str, rows: Sequence[Finding], bound: ReadingForm | None = None
) -> list[ReadingForm]:
    """Every kind, empty; the one in `bound` as it was filled in. `rows` can be seen of a sleeve."""
    forms = [
        bound if isinstance(bound, kind) else kind(side=side, unit=unit) for kind in READING_FORMS
    ]
    for form in forms:
        form.offer(rows)
    return forms


def posted_reading(posted: Any, *, side: str, unit: str) -> ReadingForm | None:
    """The form of the kind that was posted; None for a kind that does not exist."""
    kind = BY_SLUG.get(cast(str, posted.get("what", "")))
    return kind(posted, side=side, unit=unit) if kind else None
