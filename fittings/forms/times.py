"""The owner's table of minutes, one row for each operation."""

from typing import Any, NamedTuple

from django import forms
from django.db import transaction

from fittings.bench.minutes import Estimate, Estimates
from fittings.bench.ticks import MOST_MINUTES
from fittings.forms.kept import write_over
from fittings.models import OperationTime


class TimeRow(NamedTuple):
    estimate: Estimate
    field: forms.BoundField
    seen: forms.BoundField


class TimesForm(forms.Form):
    """A field left as the guess has it, or emptied, keeps the guess and makes no row."""

    def __init__(self, data: Any = None) -> None:
        super().__init__(data)
        self.estimates = Estimates().rows
        self.kept = {row.operation: row for row in OperationTime.objects.all()}
        for row in self.estimates:
            kept = self.kept.get(row.operation)
            self.fields[row.operation] = forms.IntegerField(
                min_value=1,
                max_value=MOST_MINUTES,
                required=False,
                label=f"Minutes to {row.name}",
                initial=row.table_minutes,
                widget=forms.TextInput(attrs={"inputmode": "numeric", "autocomplete": "off"}),
                error_messages={"invalid": f"Write whole minutes, 1 to {MOST_MINUTES}."},
            )
            self.fields[f"{row.operation}_seen"] = forms.IntegerField(
                widget=forms.HiddenInput, required=False, initial=kept.version if kept else 0
            )

    @property
    def rows(self) -> list[TimeRow]:
        return [
            TimeRow(row, self[row.operation], self[f"{row.operation}_seen"])
            for row in self.estimates
        ]

    @transaction.atomic
    def save(self) -> None:
        """Refuses (RecordChanged) where somebody else changed a row since it was seen."""
        for row in self.estimates:
            if row.operation not in self.changed_data:
                continue
            minutes = self.cleaned_data[row.operation]
            kept = self.kept.get(row.operation)
            if kept is None and minutes is not None:
                OperationTime.objects.create(operation=row.operation, minutes=minutes)
            elif kept is not None and minutes is None:
                kept.delete()
            elif kept is not None:
                kept.minutes = minutes
                kept.save_over(self.cleaned_data[f"{row.operation}_seen"] or 0)

    def looked_again(self) -> "TimesForm":
        """What was typed, over the rows as they are saved now: saving once more saves over them."""
        for row in self.estimates:
            kept = self.kept.get(row.operation)
            write_over(self, f"{row.operation}_seen", str(kept.version if kept else 0))
        return TimesForm(self.data)
