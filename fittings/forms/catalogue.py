"""What a shop says otherwise than the book of findings, and findings of its own."""

from __future__ import annotations

from typing import Any, Final

from django import forms

from fittings.forms.fields import LengthField, speak_unit
from fittings.forms.kept import KeptForm
from fittings.models import Garment, ShopFinding
from patterns.rules.catalogue import FINDINGS
from patterns.rules.checks import ORDERS
from patterns.rules.garment_catalogue import GARMENT_FINDINGS
from patterns.rules.garment_finding import EACH_SEAM, WHOLE

MOST_MM: Final = 300


class ShopFindingForm(KeptForm[ShopFinding]):
    """Over a finding of the book: what is left empty is as the book says."""

    usual = LengthField(required=False)
    field_order = ["usual", "name", "seen", "remedy", "switched_off"]

    class Meta:
        model = ShopFinding
        fields = ["name", "seen", "remedy", "switched_off"]
        labels = {"switched_off": "Not offered at a fitting any more"}
        help_texts = {"switched_off": "What was logged stays."}

    def __init__(self, *args: Any, unit: str, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.unit = unit
        speak_unit(self, unit)
        self.fields["usual"].label = f"Usual amount, {unit}"
        for name in _fixed(self.instance.rule):
            del self.fields[name]
        if self.instance.usual_mm is not None:
            self.initial["usual"] = self.instance.usual_mm

    def clean_usual(self) -> Any:
        usual = self.cleaned_data["usual"]
        if usual is not None and usual.mm > MOST_MM:
            raise forms.ValidationError(f"Write at most {MOST_MM} mm: more is another garment.")
        if usual is not None and usual.mm <= 0:
            raise forms.ValidationError("Write an amount above nothing, or leave it empty.")
        return usual

    def save(self, commit: bool = True) -> ShopFinding:
        row: ShopFinding = super().save(commit=False)
        if "usual" in self.changed_data:
            usual = self.cleaned_data["usual"]
            row.usual_mm = None if usual is None else round(usual.mm, 1)
        if commit:
            row.save()
        return row

    def fresh(self, saved: ShopFinding) -> ShopFindingForm:
        return type(self)(instance=saved, unit=self.unit)


def _fixed(rule: str) -> tuple[str, ...]:
    """What stays the book's of a row: words of one remedy among several; an amount that must be
    measured; what is done to a sleeve, which the rules work out in words of their own."""
    if rule in FINDINGS:
        return ("remedy",) if FINDINGS[rule].usual_mm else ("remedy", "usual")
    book = GARMENT_FINDINGS.get(rule)
    return ("remedy",) if book is not None and len(book.remedies) > 1 else ()


def _checks() -> list[tuple[str, list[tuple[str, str]]]]:
    """The checks of each garment, but its sleeves: those have readings of their own."""
    return [
        (
            str(Garment(garment).label),
            [(f"{garment}/{check.id}", check.name) for check in order if check.id != "sleeves"],
        )
        for garment, order in ORDERS.items()
    ]


class OwnFindingForm(ShopFindingForm):
    """A finding that is in no book: everything a ticket must say has to be said."""

    place = forms.ChoiceField(label="Garment and check")
    acts = forms.ChoiceField(
        label="How the amount acts",
        choices=[(EACH_SEAM, EACH_SEAM), (WHOLE, WHOLE)],
        widget=forms.RadioSelect,
    )
    field_order = ["place", "name", "seen", "remedy", "usual", "piece", "edge", "direction", "acts"]

    class Meta(ShopFindingForm.Meta):
        fields = [
            *ShopFindingForm.Meta.fields,
            "sided",
            "piece",
            "edge",
            "direction",
            "acts",
        ]
        help_texts = {
            "direction": "What moves, and where to: “let the seam out, to nothing at the waist”.",
        }

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        place = self.fields["place"]
        if isinstance(place, forms.ChoiceField):
            place.choices = _checks()
        for name in ("name", "seen", "remedy", "piece", "edge", "direction"):
            self.fields[name].required = True
        if self.instance.pk:
            self.initial["place"] = f"{self.instance.garment}/{self.instance.check_id}"

    def save(self, commit: bool = True) -> ShopFinding:
        self.instance.is_own = True
        self.instance.garment, self.instance.check_id = self.cleaned_data["place"].split("/")
        return super().save(commit)
