"""Forms about an order and the inlays it was cut with."""

import datetime as dt
from dataclasses import dataclass
from decimal import Decimal
from typing import Any, Final

from django import forms
from django.contrib.auth import get_user_model
from django.db import transaction
from django.db.models import Q, QuerySet
from django.utils import timezone

from fittings.forms.fields import LengthField
from fittings.forms.kept import DateInput, KeptForm, write_over
from fittings.forms.planning import YEARS_AHEAD
from fittings.models import INLAY_PLACES, Customer, InlayPlace, Maker, Order, OrderInlay
from fittings.units import format_length
from patterns.models import PatternVersion

SIDES: Final = (("left", "wearer's left"), ("right", "wearer's right"))

# The lesser of the usual amounts, mm: trade practice, no source. Other places: as the cutter left.
USUAL_MM: Final[dict[str, Decimal]] = {
    InlayPlace.TOP_SLEEVE_HEAD: Decimal(10),
    InlayPlace.UNDER_SLEEVE_HEAD: Decimal(6),
    InlayPlace.UNDER_SLEEVE_HINDARM: Decimal(10),
    InlayPlace.CUFF: Decimal(40),
    InlayPlace.BACK_SHOULDER: Decimal(10),
    InlayPlace.BACK_ARMHOLE: Decimal(10),
    InlayPlace.SIDE_CHEST: Decimal(20),
    InlayPlace.SIDE_WAIST: Decimal(20),
    InlayPlace.SIDE_HIPS: Decimal(20),
    InlayPlace.HEM: Decimal(40),
    InlayPlace.WAIST: Decimal(25),
    InlayPlace.SEAT: Decimal(25),
    InlayPlace.FORK: Decimal(10),
    InlayPlace.LEG: Decimal(15),
    InlayPlace.BOTTOMS: Decimal(60),
}


def last_day() -> dt.date:
    """Nothing is promised later: a wrong year would never come up as due."""
    return timezone.localdate() + dt.timedelta(days=365 * YEARS_AHEAD)


class OrderForm(KeptForm[Order]):
    class Meta:
        model = Order
        fields = [
            "garment",
            "suit",
            "cloth",
            "cloth_weight_g",
            "style",
            "stage",
            "ordered_on",
            "promised_on",
            "maker",
            "outside_maker",
            "pattern_version",
            "notes",
        ]
        widgets = {
            "ordered_on": DateInput(),
            "promised_on": DateInput(),
            "notes": forms.Textarea(attrs={"rows": 3}),
            "cloth_weight_g": forms.TextInput(attrs={"inputmode": "numeric"}),
        }
        labels = {"promised_on": "Promised for", "pattern_version": "Cut from pattern"}
        help_texts = {"pattern_version": "One this customer has already, or none yet."}

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        versions = self.fields["pattern_version"]
        makers = self.fields["maker"]
        if isinstance(versions, forms.ModelChoiceField):
            versions.queryset = versions_of(self.instance.customer, self.instance)
            versions.empty_label = "none yet"
        if isinstance(makers, forms.ModelChoiceField):
            makers.queryset = get_user_model()._default_manager.filter(
                Q(is_active=True) | Q(pk=self.instance.maker_id)
            )
            makers.empty_label = "nobody yet"
        self._name_outside_makers()

    def _name_outside_makers(self) -> None:
        outside = self.fields["outside_maker"]
        if isinstance(outside, forms.ModelChoiceField):
            in_use = Q(person=None, ended_on=None) | Q(pk=self.instance.outside_maker_id)
            outside.queryset = Maker.objects.filter(in_use)
            outside.empty_label = "nobody outside"

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean() or self.cleaned_data
        ordered, promised = cleaned.get("ordered_on"), cleaned.get("promised_on")
        if promised and "promised_on" in self.changed_data and promised > last_day():
            self.add_error("promised_on", "This is more than three years ahead: is the year right?")
        if ordered and promised and promised < ordered:
            self.add_error("promised_on", "This is before the day it was ordered.")
        if cleaned.get("maker") and cleaned.get("outside_maker"):
            self.add_error("outside_maker", "One makes it: name the maker here or the one outside.")
        return cleaned


def versions_of(customer: Customer, order: Order) -> QuerySet[PatternVersion]:
    """The versions of the patterns this customer's garments were cut from, still in use."""
    theirs = Order.objects.filter(customer=customer).values("pattern_version__pattern")
    return (
        PatternVersion.objects.filter(
            Q(pattern__in=theirs, pattern__retired_on=None) | Q(pk=order.pattern_version_id)
        )
        .select_related("pattern")
        .order_by("-pattern", "-number")
    )


@dataclass(frozen=True, slots=True)
class InlayCell:
    """One side of one place: what was cut, what is left."""

    side: str
    cut: forms.BoundField
    left: forms.BoundField


@dataclass(frozen=True, slots=True)
class InlayRow:
    label: str
    cells: list[InlayCell]

    @property
    def errors(self) -> list[str]:
        return [
            str(error) for cell in self.cells for error in (*cell.cut.errors, *cell.left.errors)
        ]


class InlaysForm(forms.Form):
    """Cloth left over at every place of both sides. The order's version guards it."""

    version = forms.IntegerField(widget=forms.HiddenInput)

    def __init__(self, data: Any = None, *, order: Order, unit: str) -> None:
        super().__init__(data, initial={"version": order.version})
        self.order, self.unit = order, unit
        self.kept = {(inlay.place, inlay.side): inlay for inlay in order.inlays.all()}
        usual, noted = INLAY_PLACES[order.garment], {place for place, _ in self.kept}
        self.places = [place for place in InlayPlace if place in usual or place in noted]
        self.places.sort(key=lambda place: usual.index(place) if place in usual else len(usual))
        for place in self.places:
            for side, words in SIDES:
                kept = self.kept.get((place, side))
                label = f"{place.label}, {words}"
                self._add(
                    f"{place}_{side}_cut", f"{label}, as cut", kept.as_cut_mm if kept else None
                )
                self._add(
                    f"{place}_{side}_left", f"{label}, remaining", kept.left_mm if kept else None
                )

    def _add(self, name: str, label: str, initial: Decimal | None) -> None:
        self.fields[name] = LengthField(
            unit=self.unit, zero_ok=True, required=False, label=label, initial=initial
        )

    @property
    def rows(self) -> list[InlayRow]:
        return [
            InlayRow(
                str(place.label),
                [
                    InlayCell(words, self[f"{place}_{side}_cut"], self[f"{place}_{side}_left"])
                    for side, words in SIDES
                ],
            )
            for place in self.places
        ]

    def with_usual(self) -> "InlaysForm":
        """This form with the usual amounts written where nothing is: filled in, not saved."""
        filled = InlaysForm(self.data, order=self.order, unit=self.unit)
        for place in self.places:
            for side, _ in SIDES if place in USUAL_MM else ():
                name = f"{place}_{side}_cut"
                if not self.data.get(name, "").strip():
                    write_over(filled, name, format_length(USUAL_MM[place], self.unit))
        return filled

    def amount(self, name: str) -> Decimal | None:
        """Millimetres of a field; one shown rounded and left alone keeps its exact amount."""
        entered = self.cleaned_data.get(name)
        if entered is not None and name not in self.changed_data:
            exact: Decimal = self.fields[name].initial
            return exact
        return entered.mm if entered is not None else None

    def clean(self) -> dict[str, Any]:
        for place in self.places:
            for side, _ in SIDES:
                cut = self.amount(f"{place}_{side}_cut")
                left = self.amount(f"{place}_{side}_left")
                if left is not None and (cut is None or left > cut):
                    self.add_error(
                        f"{place}_{side}_left",
                        "More remains than was cut: what is cut off cannot be given back.",
                    )
        return self.cleaned_data

    @transaction.atomic
    def save(self) -> None:
        self.order.save_over(self.cleaned_data["version"])
        for place in self.places:
            for side, _ in SIDES:
                self._save_place(place, side)

    def _save_place(self, place: str, side: str) -> None:
        kept = self.kept.get((place, side))
        cut = self.amount(f"{place}_{side}_cut")
        left = self.amount(f"{place}_{side}_left")
        left = cut if left is None else left
        if cut is None:
            if kept:
                kept.delete()
            return
        inlay = kept or OrderInlay(order=self.order, place=place, side=side)
        if left is not None and (
            inlay.pk is None or (inlay.as_cut_mm, inlay.left_mm) != (cut, left)
        ):
            inlay.as_cut_mm, inlay.left_mm = cut, left
            inlay.save()

    def look_again(self, order: Order) -> None:
        """Take what is saved now as seen, so that saving once more saves over it."""
        write_over(self, "version", str(order.version))
