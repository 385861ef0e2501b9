"""A new pattern drafted from measures, and a branch of one for another garment."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from decimal import Decimal
from typing import Any, Final

from django import forms
from django.db.models import QuerySet

from fittings.forms.fields import LengthField
from fittings.models import MeasureName, Order
from fittings.models import Side as RecordSide
from fittings.units import in_units
from patterns.geometry.draft import draft
from patterns.geometry.refusals import GeometryRefused
from patterns.rules.document import BadDocument, read_case
from patterns.rules.pattern import SidePattern

SIDES: Final = (RecordSide.LEFT, RecordSide.RIGHT)


@dataclass(frozen=True, slots=True)
class Draft:
    """One measure of the draft: where it goes in the document, and what it is usually."""

    label: str
    path: tuple[str, ...]
    usual_mm: int
    help_text: str = ""


# The figures of an ordinary man's coat, chest 38: trade practice, no source, except where said.
MEASURES: Final[dict[str, Draft]] = {
    "armhole_girth": Draft("Armhole, once round", ("armhole", "girth_mm"), 480),
    "pitch_width": Draft("Front pitch to back pitch, level", ("armhole", "pitch_width_mm"), 140),
    "pitch_height": Draft("Back pitch over front pitch", ("armhole", "pitch_height_mm"), 65),
    # The American Garment Cutter, diagram 75: 1 in.
    "front_pitch": Draft("Front pitch over the lowest point", ("armhole", "front_pitch_up_mm"), 25),
    "biceps": Draft("Sleeve girth at the biceps", ("sleeve", "girth_mm", "biceps"), 380),
    "elbow": Draft("Sleeve girth at the elbow", ("sleeve", "girth_mm", "elbow"), 330),
    "cuff": Draft("Sleeve girth at the cuff", ("sleeve", "girth_mm", "cuff"), 270),
    # A third of the armhole: H. Aldrich, Metric Pattern Cutting for Menswear, from memory.
    "crown": Draft("Crown height", ("sleeve", "crown_height_mm"), 160),
    "length": Draft("Sleeve length, crown to cuff", ("sleeve", "length_mm"), 640),
    "hindarm": Draft(
        "Hindarm seam, up and out from the fold",
        ("sleeve", "hindarm_shift_mm"),
        0,
        "0 for a sleeve of two equal pieces.",
    ),
    "forearm": Draft(
        "Forearm seam, down and in from the fold",
        ("sleeve", "forearm_shift_mm"),
        0,
        "0 for a sleeve of two equal pieces.",
    ),
}

# What is added to the figure for a coat over a shirt: trade practice, no source.
EASE_MM: Final[dict[str, tuple[tuple[str, int], ...]]] = {
    "armhole_girth": ((MeasureName.ARMSCYE_GIRTH, 60),),
    "biceps": ((MeasureName.UPPER_ARM_GIRTH, 60),),
    "elbow": ((MeasureName.ELBOW_GIRTH, 50),),
    "cuff": ((MeasureName.WRIST_GIRTH, 95),),
    "length": ((MeasureName.SLEEVE_OUTSEAM, 20), (MeasureName.ARM_LENGTH, 20)),
}


@dataclass(frozen=True, slots=True)
class Start:
    """What a field begins with, and where that comes from."""

    mm: Decimal
    source: str


def starts(measured_mm: Mapping[str, Decimal]) -> dict[str, Start]:
    """Each measure of the draft from the customer's own where there is one, else the usual."""
    found = {name: Start(Decimal(one.usual_mm), "usual") for name, one in MEASURES.items()}
    for name, choices in EASE_MM.items():
        for measure, ease in choices:
            if measure in measured_mm:
                label = str(MeasureName(measure).label).lower()
                mm = measured_mm[measure].quantize(Decimal(1)) + ease
                found[name] = Start(mm, f"{label} and {ease} mm")
                break
    if found["armhole_girth"].source != "usual":
        girth, share = found["armhole_girth"].mm, "in proportion to the armhole"
        for name in ("pitch_width", "pitch_height", "crown"):
            part = Decimal(MEASURES[name].usual_mm) / MEASURES["armhole_girth"].usual_mm
            found[name] = Start((girth * part).quantize(Decimal(1)), share)
    return found


@dataclass(frozen=True, slots=True)
class DraftRow:
    label: str
    help_text: str
    both: forms.BoundField
    left: forms.BoundField
    right: forms.BoundField

    @property
    def fields(self) -> tuple[forms.BoundField, ...]:
        return self.both, self.left, self.right

    @property
    def errors(self) -> list[str]:
        return [str(error) for field in self.fields for error in field.errors]


class PatternForm(forms.Form):
    """The measures of both sides at once, and of one side where it differs."""

    name = forms.CharField(
        max_length=120, help_text="No customer's name: a pattern outlives the record of a person."
    )
    block = forms.CharField(
        max_length=80, required=False, label="Drafted from the block", help_text="If from one."
    )
    version = forms.IntegerField(widget=forms.HiddenInput)

    def __init__(
        self, data: Any = None, *, order: Order, unit: str, begin: Mapping[str, Start]
    ) -> None:
        name = f"{order.get_garment_display()} for {order.number}"
        super().__init__(data, initial={"name": name, "version": order.version})
        self.begin, self.unit = begin, unit
        self.sides: dict[str, Any] = {}
        for key, one in MEASURES.items():
            nought = one.usual_mm == 0
            self.fields[key] = LengthField(
                unit=unit, zero_ok=nought, label=one.label, initial=begin[key].mm
            )
            for side in SIDES:
                self.fields[f"{key}_{side}"] = LengthField(
                    unit=unit,
                    zero_ok=nought,
                    required=False,
                    label=f"{one.label}, {side.label} if different",
                )
        for name in self.fields.keys() - {"name", "block", "version"}:
            field = self.fields[name]  # the column headings are all that is seen
            field.widget.attrs["aria-label"] = field.label

    @property
    def rows(self) -> list[DraftRow]:
        return [
            DraftRow(
                one.label,
                one.help_text or f"Began with: {self.begin[key].source}.",
                self[key],
                self[f"{key}_left"],
                self[f"{key}_right"],
            )
            for key, one in MEASURES.items()
        ]

    @property
    def facts(self) -> list[forms.BoundField]:
        return [self["name"], self["block"]]

    def clean(self) -> dict[str, Any]:
        if not self.errors:
            self.sides = {side.value: self._document(side) for side in SIDES}
            for sentence in faults(self.sides):
                self.add_error(None, in_units(sentence, self.unit))
        return self.cleaned_data

    def _document(self, side: str) -> dict[str, Any]:
        """One side in the form of the suggestion document."""
        document: dict[str, Any] = {}
        for key, one in MEASURES.items():
            mm = self._amount(key, side)
            place = document
            for step in one.path[:-1]:
                place = place.setdefault(step, {})
            levels = one.path[-1].endswith("shift_mm")
            place[one.path[-1]] = {"head": mm, "elbow": mm, "cuff": mm} if levels else mm
        return document

    def _amount(self, key: str, side: str) -> float:
        """The side's own where it was written, else that of both, mm as it was read."""
        own = self.cleaned_data.get(f"{key}_{side}") or self.cleaned_data[key]
        return float(own.mm)


def faults(sides: Mapping[str, Any]) -> list[str]:
    """Why these measures make no sleeve, a sentence each that says which side; [] when they do."""
    found = {side: _fault(side, document) for side, document in sides.items()}
    if found["left"] and found["left"] == found["right"]:
        return [found["left"]]
    return [f"{RecordSide(side).label.capitalize()}: {why}" for side, why in found.items() if why]


def _fault(side: str, document: Mapping[str, Any]) -> str:
    try:
        read_case({"side": side, "readings": [], **document})
        pattern = SidePattern.read(document)
        armhole, sleeve = pattern.armhole, pattern.sleeve
        draft(sleeve, armhole)
        armhole.seat(
            0.0, sleeve.hindarm_shift_mm.head, sleeve.forearm_shift_mm.head
        ).check_quarters()
    except BadDocument as bad:
        return " ".join(dict.fromkeys(_in_words(fault) for fault in bad.faults))
    except GeometryRefused as refused:
        return str(refused)
    return ""


def _in_words(fault: str) -> str:
    """A fault of a document for people: `$.armhole.girth_mm: ...` is armhole, girth (in mm)."""
    path, _, told = fault.partition(": ")
    named = path.removeprefix("$.").replace("_mm", "").replace("_", " ").replace(".", ", ")
    return f"{named.capitalize()}, in mm: {told}." if path.startswith("$.") else fault


class BranchForm(forms.Form):
    """A new pattern begun as a copy of one version."""

    name = forms.CharField(
        max_length=120, help_text="No customer's name: a pattern outlives the record of a person."
    )
    order: forms.ModelChoiceField[Order] = forms.ModelChoiceField(
        queryset=None, required=False, label="Cut it for", empty_label="no order yet"
    )

    def __init__(self, data: Any = None, *, orders: QuerySet[Order], name: str) -> None:
        super().__init__(data, initial={"name": name})
        choices = self.fields["order"]
        if isinstance(choices, forms.ModelChoiceField):
            choices.queryset = orders
