"""Noting what was altered on a garment alone, and settling it."""

from __future__ import annotations

from typing import Any

from django import forms
from django.db.models import Q, QuerySet

from fittings.forms.fields import LengthField
from fittings.models import GarmentOnly, Order, Side, TicketLine
from patterns.models import PatternVersion

_SIDES = [("", "the whole garment"), *Side.choices[1:]]


class LineField(forms.ModelChoiceField[TicketLine]):
    def label_from_instance(self, line: TicketLine) -> str:
        side = f", {line.get_side_display()}" if line.side else ""
        return f"{line.ticket}, line {line.position}{side}: {line.content.get('title', '')}"


class GarmentOnlyForm(forms.Form):
    """A ticket's line done with another amount, or an alteration in the fitter's own words."""

    line = LineField(
        queryset=TicketLine.objects.none(),
        required=False,
        label="A line of a ticket that was done with another amount",
        empty_label="none: something else",
    )
    side = forms.ChoiceField(
        choices=_SIDES, required=False, label="Side", widget=forms.RadioSelect, initial=""
    )
    what = forms.CharField(
        max_length=200, required=False, label="What was done", help_text="For example: let out."
    )
    place = forms.CharField(
        max_length=120, required=False, label="Where", help_text="For example: side seam."
    )

    def __init__(self, data: Any = None, *, order: Order, unit: str) -> None:
        super().__init__(data)
        lines: Any = self.fields["line"]
        lines.queryset = lines_of(order)
        self.fields["amount"] = LengthField(
            unit=unit, required=False, label="By how much it was really done"
        )

    def clean(self) -> dict[str, Any]:
        said = self.cleaned_data
        if said.get("line") and not said.get("amount") and "amount" not in self.errors:
            self.add_error("amount", "Write the amount that it was really done with.")
        if not said.get("line") and not said.get("what", "").strip() and not self.errors:
            self.add_error("what", "Say what was done, in a word or two.")
        return said


def lines_of(order: Order) -> QuerySet[TicketLine]:
    """The lines of the order's standing papers."""
    rows = TicketLine.objects.filter(ticket__order=order, ticket__superseded_by=None)
    return rows.select_related("ticket").order_by("-ticket__issued_at", "position")


class SettleForm(forms.Form):
    """Which version has it now, or why the pattern stays as it is."""

    into: forms.ModelChoiceField[PatternVersion] = forms.ModelChoiceField(
        queryset=None, required=False, label="The version that has it", empty_label="choose one"
    )
    reason = forms.CharField(max_length=300, required=False, label="Why the pattern stays as it is")

    def __init__(self, data: Any = None, *, flag: GarmentOnly) -> None:
        super().__init__(data)
        into: Any = self.fields["into"]
        into.queryset = versions_for(flag)


def versions_for(flag: GarmentOnly) -> QuerySet[PatternVersion]:
    """Versions of the patterns that this customer's garments are cut from, newest first."""
    theirs = Order.objects.filter(customer=flag.order.customer_id).values(
        "pattern_version__pattern"
    )
    return (
        PatternVersion.objects.filter(
            Q(pattern__in=theirs) | Q(pattern__branched_from__pattern__in=theirs)
        )
        .select_related("pattern")
        .order_by("-made_at", "-number")
    )
