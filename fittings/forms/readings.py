"""One small form for each kind of reading that is taken of a sleeve at a fitting.

A form knows how to say its reading in the suggestion document's words; direction is always one of
two buttons and the amount positive.
"""

from __future__ import annotations

import uuid
from collections.abc import Sequence
from decimal import Decimal
from typing import Any, ClassVar, Final, cast

from django import forms

from fittings.fitting_room.at_rest import AtRest
from fittings.forms.amounts import AmountField, AnswerField, DegreesField, ListField, WayField
from fittings.forms.drawn_once import DrawnOnce
from fittings.forms.fields import LengthField, speak_unit
from fittings.units import in_units
from patterns.rules.catalogue import SLEEVE_FINDINGS, Finding

DROP_MM: Final = 600
NO_WAY: Final = "Say which way: tap one of the two."


class ReadingForm(forms.Form):
    """What all kinds share: who this entry is, so that one sent twice is kept once."""

    slug: ClassVar[str]
    title: ClassVar[str]
    how: ClassVar[str]
    # The field that a refusal of the rules is written beside.
    amount: ClassVar[str | None] = None
    saved_by_tap: ClassVar[bool] = False
    bound_field_class = DrawnOnce

    identity = forms.UUIDField(widget=forms.HiddenInput)

    def __init__(self, data: Any = None, *, side: str, unit: str) -> None:
        self.side, self.unit = side, unit
        fresh = {"identity": uuid.uuid4()}
        super().__init__(data, auto_id=f"{side}-{self.slug}-%s", initial=fresh)
        speak_unit(self, unit)
        self.read_in = unit

    @property
    def drawn_from(self) -> tuple[Any, ...] | None:
        """All that it is drawn from but its identity; None where something was filled in."""
        return None if self.is_bound else (type(self), self.side, self.unit)

    def clean(self) -> dict[str, Any]:
        """An amount above nothing needs its way; nothing has none."""
        cleaned = self.cleaned_data
        if "way" in self.fields and not cleaned.get("way") and self.size():
            self.add_error("way", NO_WAY)
        return cleaned

    def offer(self, rows: Sequence[Finding]) -> None:
        """Take the shop's catalogue; a kind that asks for no finding has no use for it."""

    def start(self, rest: AtRest) -> None:
        """Begin where this arm was seen to hang; a kind that draws no arm has no use for it."""

    def size(self) -> float:
        """The amount that was entered: mm, or degrees."""
        entered = self.cleaned_data.get(self.amount) if self.amount else None
        return float(getattr(entered, "mm", entered or 0.0))

    def signed(self) -> float:
        return self.size() if self.cleaned_data["way"] != "minus" else -self.size()

    def reading(self) -> dict[str, Any]:
        """The reading for the suggestion document, without its id."""
        raise NotImplementedError

    def refuse(self, sentence: str) -> None:
        """Write beside the amount what the rules said against it."""
        self.add_error(self.amount, in_units(sentence, self.read_in))


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


GROUPS: Final[tuple[tuple[str, tuple[str, ...]], ...]] = (
    ("Pitch", ("pitch_too_far_back", "pitch_too_far_forward", "one_good_one_not")),
    (
        "Head",
        (
            "crown_too_high",
            "crown_too_low",
            "front_of_head_shallow",
            "too_much_ease",
            "too_little_ease",
            "under_sleeve_head_full",
        ),
    ),
    (
        "Sleeve and elbow",
        (
            "sleeve_narrow",
            "sleeve_wide",
            "hindarm_long",
            "hindarm_short",
            "forearm_tight",
            "elbow_points_in",
            "elbow_points_out_too_far",
            "forearm_seam_shows_in_front",
            "cuff_swings_in",
            "sleeve_long",
            "sleeve_short",
        ),
    ),
    (
        "Armhole",
        (
            "armhole_too_low",
            "armhole_too_high",
            "armhole_too_far_back",
            "armhole_too_far_forward",
        ),
    ),
)


class FindingForm(ReadingForm):
    slug, title, amount = "finding", "Something else seen", "by"
    how = "What is seen, by its name in the trade."

    finding = ListField(
        "forms/findings.html",
        choices=[(finding.id, finding.name.capitalize()) for finding in SLEEVE_FINDINGS],
        label="What is seen",
        error_messages={"required": "Choose what is seen."},
    )
    by = AmountField(
        most_mm=300,
        required=False,
        label="Amount read",
        help_text="Left empty: the usual amount that stands beside what is seen.",
    )
    rows: Sequence[Finding] = SLEEVE_FINDINGS

    def offer(self, rows: Sequence[Finding]) -> None:
        self.rows = rows

    @property
    def drawn_from(self) -> tuple[Any, ...] | None:
        return (*found, *self.rows) if (found := super().drawn_from) else None

    @property
    def groups(self) -> list[tuple[str, list[Finding]]]:
        """What is offered, under the part of the sleeve it is seen at."""
        known = {row.id: row for row in self.rows}
        offered = [(name, [known[id_] for id_ in ids if id_ in known]) for name, ids in GROUPS]
        return [(name, rows) for name, rows in offered if rows]

    def reading(self) -> dict[str, Any]:
        seen = {"what": "finding", "finding": self.cleaned_data["finding"]}
        return {**seen, "amount_mm": self.size()} if self.cleaned_data["by"] else seen


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
