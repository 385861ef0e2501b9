"""One set of measures on one form: every measure with room for a repeat."""

import datetime as dt
from collections.abc import Mapping, Sequence
from typing import Any, Final, NamedTuple

from django import forms
from django.db import transaction
from django.utils import timezone

from fittings.forms.fields import LengthField
from fittings.forms.kept import DateInput, KeptForm
from fittings.models import Measurement, MeasurementSet, MeasureName
from fittings.units import Entered

READINGS: Final = 2  # columns offered; one more than were taken, so that a third can be added
READING_WORDS: Final = ("first reading", "second reading", "third reading", "fourth reading")


class Row(NamedTuple):
    """One measure on the page: its readings as inputs, and what it was before."""

    name: str
    label: str
    inputs: list[forms.BoundField]
    before: Sequence[Measurement]

    @property
    def errors(self) -> list[str]:
        return [str(error) for bound in self.inputs for error in bound.errors]


class MeasuresForm(KeptForm[MeasurementSet]):
    class Meta:
        model = MeasurementSet
        fields = ["taken_on", "worn_over", "note"]
        widgets = {"taken_on": DateInput(), "note": forms.Textarea(attrs={"rows": 2})}
        labels = {"worn_over": "Worn when measured"}

    def __init__(
        self,
        *args: Any,
        unit: str,
        before: Mapping[str, Sequence[Measurement]] | None = None,
        **kwargs: Any,
    ) -> None:
        super().__init__(*args, **kwargs)
        self.unit, self.before = unit, before or {}
        self.kept = readings_of(self.instance)
        most = max((len(readings) for readings in self.kept.values()), default=0)
        self.readings = min(max(READINGS, most + 1), len(READING_WORDS))
        for measure in MeasureName:
            self._add_inputs(measure)

    def clean_taken_on(self) -> dt.date:
        day: dt.date = self.cleaned_data["taken_on"]
        if day > timezone.localdate():
            raise forms.ValidationError("This day has not come yet: give the day of measuring.")
        return day

    def _add_inputs(self, measure: MeasureName) -> None:
        kept = self.kept.get(measure, [])
        for place in range(self.readings):
            name = f"{measure}_{place + 1}"
            label = f"{measure.label}, {READING_WORDS[place]}"
            self.fields[name] = LengthField(unit=self.unit, required=False, label=label)
            if place < len(kept):
                self.initial[name] = _entered(kept[place])

    @property
    def rows(self) -> list[Row]:
        return [
            Row(
                measure.value,
                str(measure.label),
                [self[f"{measure}_{place + 1}"] for place in range(self.readings)],
                self.before.get(measure, []),
            )
            for measure in MeasureName
        ]

    @property
    def facts(self) -> list[forms.BoundField]:
        return [self[name] for name in self.Meta.fields]

    def typed(self) -> dict[str, list[Entered]]:
        """What was written for each measure, in order; a gap before a reading closes up."""
        found = {
            measure.value: [
                entered
                for place in range(self.readings)
                if (entered := self.cleaned_data.get(f"{measure}_{place + 1}")) is not None
            ]
            for measure in MeasureName
        }
        return {name: entries for name, entries in found.items() if entries}

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean() or self.cleaned_data
        if not self.errors and not self.typed():
            raise forms.ValidationError("Nothing is measured yet: write at least one measure.")
        return cleaned

    @transaction.atomic
    def save_seen(self) -> MeasurementSet:
        row = super().save_seen()
        typed = self.typed()
        for measure in MeasureName:
            _write(row, measure, self.kept.get(measure, []), typed.get(measure, []))
        return row

    def fresh(self, saved: MeasurementSet) -> "MeasuresForm":
        return MeasuresForm(instance=saved, unit=self.unit, before=self.before)


def readings_of(taken: MeasurementSet | None) -> dict[str, list[Measurement]]:
    """The kept readings of a set by measure, in order of repeats."""
    found: dict[str, list[Measurement]] = {}
    if taken is not None and taken.pk:
        for reading in sorted(taken.measurements.all(), key=lambda reading: reading.repeat):
            found.setdefault(reading.name, []).append(reading)
    return found


def _entered(reading: Measurement) -> Entered:
    return Entered(mm=reading.value_mm, as_entered=reading.as_entered, unit=reading.unit)


def _write(
    row: MeasurementSet, name: str, kept: Sequence[Measurement], typed: Sequence[Entered]
) -> None:
    """Make the kept readings of one measure those that were typed; the history keeps the old."""
    for reading in kept[len(typed) :]:
        reading.delete()
    for place, entered in enumerate(typed):
        reading = kept[place] if place < len(kept) else Measurement()
        if reading.pk and entered.mm == reading.value_mm:
            continue  # the same length, perhaps shown in another unit: it stays as first entered
        reading.measurement_set, reading.name, reading.repeat = row, name, place + 1
        reading.value_mm, reading.unit = entered.mm, entered.unit
        reading.as_entered = entered.as_entered
        reading.save()
