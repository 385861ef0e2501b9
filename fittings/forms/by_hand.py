"""Readings taken on a figure: what was dragged.

Each is an ordinary reading of the suggestion document; what was dragged is kept beside it. Without
script the same is said by the fields.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any, ClassVar, Final, cast

from django import forms

from fittings.fitting_room.at_rest import NOTHING_SEEN, AtRest, Seen
from fittings.fitting_room.hand import BEND_DEG, DROP_MM, MOST_HANG_DEG, MOST_TURN_DEG, Pose
from fittings.forms.amounts import DegreesField, WayField
from fittings.forms.folds import FoldForm
from fittings.forms.reading_form import NO_WAY, ReadingForm
from fittings.forms.readings import posted_reading

Reading = dict[str, Any]


UNSEEN: Final = "not seen yet"
# What the keys step at the cuff, mm, and how it is said in each unit.
CUFF_STEPS: Final[dict[str, list[tuple[float, str]]]] = {
    "mm": [(5, "5 mm"), (10, "10 mm")],
    "cm": [(5, "0.5 cm"), (10, "1 cm")],
    "in": [(6.35, "1/4 in"), (12.7, "1/2 in")],
}


@dataclass(frozen=True, slots=True, kw_only=True)
class Handle:
    """One thing to take hold of: the field it fills, and how it stands now."""

    name: str
    label: str
    amount_id: str
    degrees: float | None
    most: int
    plus: str
    minus: str
    straight: str
    # The steps beside it, in degrees and in words: the first goes the positive way.
    more: str
    less: str
    plus_first: bool = False
    only_plus: bool = False

    @property
    def steps(self) -> list[tuple[str, str]]:
        """The keys in the order of the picture: by how much, and in words."""
        ways = [("1", f"1° {self.more}"), ("0.5", f"½° {self.more}")]
        ways += [("-0.5", f"½° {self.less}"), ("-1", f"1° {self.less}")]
        return ways if self.plus_first else ways[::-1]

    @property
    def least(self) -> int:
        return 0 if self.only_plus else -self.most

    @property
    def back_deg(self) -> float:
        """What the drawing is turned by: a drawing's own angles go the other way."""
        return -(self.degrees or 0.0)

    @property
    def said(self) -> str:
        if self.degrees is None:
            return UNSEEN
        if not self.degrees:
            return self.straight
        return f"{abs(self.degrees):g}° {self.plus if self.degrees > 0 else self.minus}"


class DraggedForm(ReadingForm):
    """The arm and the sleeve, each where it stands; what is read is the one against the other."""

    PLUS: ClassVar[str]
    MINUS: ClassVar[str]
    STRAIGHT: ClassVar[str]
    MORE: ClassVar[str]
    LESS: ClassVar[str]
    MOST: ClassVar[int]
    # What the difference says, with # for the amount: positive, negative, none.
    WORDS: ClassVar[tuple[str, str, str]]
    # Where it starts, with the day and how it stood; and where nobody wrote that down.
    STARTED: ClassVar[tuple[str, str]]
    amount = "arm"

    def __init__(self, data: Any = None, *, side: str, unit: str) -> None:
        super().__init__(data, side=side, unit=unit)
        self.rest = NOTHING_SEEN

    @property
    def drawn_from(self) -> tuple[Any, ...] | None:
        return (*found, self.rest) if (found := super().drawn_from) else None

    def start(self, rest: AtRest) -> None:
        """The arm where it was seen at rest and the sleeve in line with it, so that what nobody
        moved reads as no difference."""
        self.rest = rest
        if seen := self.seen_at_rest:
            degrees = min(abs(seen.degrees), float(self.MOST))
            way = "minus" if seen.degrees < 0 else "plus"
            for name in ("arm", "sleeve"):
                self.initial.update({name: f"{degrees:g}", f"{name}_way": way})

    @property
    def seen_at_rest(self) -> Seen | None:
        """What the customer's record has of the angle that is dragged here."""
        raise NotImplementedError

    @property
    def started(self) -> str:
        seen, (told, unknown) = self.seen_at_rest, self.STARTED
        if seen is None:
            return unknown
        way = self.PLUS if seen.degrees > 0 else self.MINUS
        stood = f"{abs(seen.degrees):g}° {way}" if seen.degrees else self.STRAIGHT
        return told.format(on=f"{seen.on.day} {seen.on:%b %Y}", stood=stood)

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean()
        for name in ("arm", "sleeve"):
            if cleaned.get(name) and not cleaned.get(f"{name}_way"):
                self.add_error(f"{name}_way", NO_WAY)
        return cleaned

    def stands(self, name: str) -> float:
        """Degrees, signed, of a field that was found sound."""
        size = float(self.cleaned_data[name] or 0.0)
        return -size if self.cleaned_data[f"{name}_way"] == "minus" else size

    def shown(self, name: str) -> float:
        """Degrees, signed, as the field shows them now; nought where no number stands there."""
        field = cast(DegreesField, self.fields[name])
        try:
            size = field.to_python(self[name].value()) or 0.0
        except forms.ValidationError:
            size = 0.0
        return -size if self[f"{name}_way"].value() == "minus" else size

    @property
    def difference_deg(self) -> float:
        """Arm minus sleeve; positive: the arm forward of the sleeve, its elbow further out."""
        return round(self.stands("arm") - self.stands("sleeve"), 2)

    @property
    def pose(self) -> Pose:
        bend = self.rest.bend.degrees if self.rest.bend else BEND_DEG
        arm, sleeve = self.shown("arm"), self.shown("sleeve")
        return Pose(side=self.side, arm_deg=arm, sleeve_deg=sleeve, bend_deg=bend)

    @property
    def handles(self) -> list[Handle]:
        return [
            Handle(
                name=name,
                label=str(self.fields[name].label),
                amount_id=self[name].id_for_label,
                degrees=self.shown(name),
                most=self.MOST,
                plus=self.PLUS,
                minus=self.MINUS,
                straight=self.STRAIGHT,
                more=self.MORE,
                less=self.LESS,
                plus_first=self.side == "left",
            )
            for name in ("arm", "sleeve")
        ]

    @property
    def detail(self) -> Reading:
        return {
            "taken": "figure",
            "arm_deg": self.stands("arm"),
            "sleeve_deg": self.stands("sleeve"),
        }


class HandPitchForm(DraggedForm):
    """Judged on the figure it is an angle; stepped in mm at the cuff it is a cuff offset."""

    slug, title = "hand-pitch", "Pitch, on the figure"
    how = "From the side, arm at rest: bring the arm and the sleeve to where they hang."
    PLUS, MINUS, STRAIGHT = "forward of plumb", "behind plumb", "plumb"
    MORE, LESS, MOST = "forward", "back", MOST_HANG_DEG
    WORDS = (
        "Arm # forward of the sleeve",
        "Arm # behind the sleeve",
        "Arm in line with the sleeve",
    )
    STARTED = (
        "The arm starts as it was seen at rest on {on}, {stood}, and the sleeve in line with it. "
        "Bring each to where it hangs now.",
        "How this arm hangs at rest is not written down yet: arm and sleeve start plumb.",
    )

    arm_way = WayField(("plus", "Arm forward of plumb"), ("minus", "Arm behind plumb"), "The arm")
    arm = DegreesField(most=MOST_HANG_DEG, label="Arm from plumb", initial=0, required=False)
    sleeve_way = WayField(
        ("plus", "Sleeve forward of plumb"), ("minus", "Sleeve behind plumb"), "The sleeve"
    )
    sleeve = DegreesField(most=MOST_HANG_DEG, label="Sleeve from plumb", initial=0, required=False)
    # Filled by the keys in mm: then it was measured at the cuff, not judged.
    offset_mm = forms.FloatField(
        required=False, min_value=-DROP_MM, max_value=DROP_MM, widget=forms.HiddenInput
    )

    @property
    def seen_at_rest(self) -> Seen | None:
        return self.rest.hang

    @property
    def cuff_steps(self) -> list[tuple[str, str]]:
        """Keys for the arm's place at the cuff, mm, in the order of the picture."""
        steps = [(f"{mm:g}", f"{said} forward") for mm, said in CUFF_STEPS[self.unit][::-1]]
        steps += [(f"-{mm:g}", f"{said} back") for mm, said in CUFF_STEPS[self.unit]]
        return steps if self.side == "left" else steps[::-1]

    def reading(self) -> Reading:
        offset = self.cleaned_data["offset_mm"]
        if offset is not None:
            cuff = {"what": "pitch", "cuff_offset_mm": round(offset, 1), "drop_mm": DROP_MM}
            return {**cuff, "detail": self.detail}
        return {"what": "pitch", "angle_deg": self.difference_deg, "detail": self.detail}


class HandElbowForm(DraggedForm):
    slug, title = "hand-elbow", "Elbow, on the figure"
    how = "From behind, arm at rest: turn each elbow to where it points, as seen from above."
    PLUS, MINUS, STRAIGHT = "outward of straight back", "inward of straight back", "straight back"
    MORE, LESS, MOST = "outward", "inward", MOST_TURN_DEG
    WORDS = (
        "Arm's elbow # further out than the sleeve's",
        "Arm's elbow # further in than the sleeve's",
        "Arm's elbow points where the sleeve's does",
    )
    STARTED = (
        "The arm's elbow starts as it was seen at rest on {on}, {stood}, and the sleeve's where "
        "the arm's is. Turn each to where it points now.",
        "Where this elbow points at rest is not written down yet: both start straight back.",
    )

    arm_way = WayField(
        ("plus", "Points outward of straight back"),
        ("minus", "Points inward of straight back"),
        "The arm's elbow",
    )
    arm = DegreesField(most=MOST_TURN_DEG, label="Arm's elbow", initial=0, required=False)
    sleeve_way = WayField(
        ("plus", "Points outward of straight back"),
        ("minus", "Points inward of straight back"),
        "The sleeve's elbow",
    )
    sleeve = DegreesField(most=MOST_TURN_DEG, label="Sleeve's elbow", initial=0, required=False)

    @property
    def seen_at_rest(self) -> Seen | None:
        return self.rest.turn

    def reading(self) -> Reading:
        return {
            "what": "elbow_direction",
            "turn_deg": self.difference_deg,
            "detail": self.detail,
        }


HAND_FORMS: Final[tuple[type[ReadingForm], ...]] = (HandPitchForm, HandElbowForm, FoldForm)
BY_SLUG: Final = {kind.slug: kind for kind in HAND_FORMS}


def posted(data: Any, *, side: str, unit: str) -> ReadingForm | None:
    """The form of the kind that was posted, on a figure or not; None where there is no such."""
    kind = BY_SLUG.get(data.get("what", ""))
    return kind(data, side=side, unit=unit) if kind else posted_reading(data, side=side, unit=unit)


def hand_forms(
    side: str, unit: str, rest: AtRest, bound: ReadingForm | None = None
) -> list[ReadingForm]:
    """Every kind that is read on a figure, as the arm hangs at rest; the one in `bound` as it was
    filled in."""
    forms = [
        bound if isinstance(bound, kind) else kind(side=side, unit=unit) for kind in HAND_FORMS
    ]
    for form in forms:
        form.start(rest)
    return forms
