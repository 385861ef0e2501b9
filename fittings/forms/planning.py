"""Forms that plan a fitting, change it, and cancel it."""

from __future__ import annotations

import datetime as dt
from typing import Any, Final

from django import forms
from django.contrib.auth import get_user_model
from django.db.models import Q
from django.utils import timezone

from fittings.diary.days import moment
from fittings.forms.amounts import ListField
from fittings.forms.fitting import FITTED_AT
from fittings.forms.kept import DateInput, KeptForm
from fittings.models import PlannedFitting, PlanState

# What is offered as buttons; any other time is typed.
HOURS: Final = [(f"{hour:02}", f"{hour}") for hour in range(8, 20)]
QUARTERS: Final = [(f"{minute:02}", f":{minute:02}") for minute in (0, 15, 30, 45)]
MINUTES: Final = (15, 30, 45, 60, 90, 120)
YEARS_AHEAD: Final = 3
LEAPT = (
    "On this day the clocks are put forward and this hour does not come: choose an hour before or "
    "after it."
)
CANCELLED_BECAUSE: Final = (
    "The customer asked for another day",
    "The customer did not come",
    "The garment is not ready",
    "The fitter is away",
    "Planned by mistake",
)


class TimeInput(forms.TimeInput):
    """The browser's own clock."""

    input_type = "time"

    def __init__(self) -> None:
        super().__init__(format="%H:%M")


class PlanForm(KeptForm[PlannedFitting]):
    """Stage, day, hour and quarter by tapping; a time outside the shop's hours is typed."""

    class Meta:
        model = PlannedFitting
        fields = ["stage", "minutes", "with_whom"]
        labels = {"with_whom": "With whom"}

    stage = ListField("forms/way.html", widget=forms.RadioSelect)
    day = forms.DateField(widget=DateInput())
    hour = ListField(
        "forms/way.html", choices=HOURS, widget=forms.RadioSelect, required=False, label="Hour"
    )
    quarter = ListField(
        "forms/way.html",
        choices=QUARTERS,
        widget=forms.RadioSelect,
        required=False,
        label="Minutes past the hour",
    )
    other_time = forms.TimeField(
        widget=TimeInput(),
        required=False,
        label="Another time",
        help_text="Only if none of these says it; it stands before them.",
    )
    minutes = ListField("forms/way.html", widget=forms.RadioSelect, label="How long")
    field_order = ["stage", "day", "hour", "quarter", "other_time", "minutes", "with_whom"]

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        row = self.instance
        self._offer("stage", [(s.value, s.label) for s in FITTED_AT])
        lengths = sorted({*MINUTES, row.minutes})
        self._offer("minutes", [(str(n), f"{n} min") for n in lengths])
        whom = self.fields["with_whom"]
        if isinstance(whom, forms.ModelChoiceField):
            fitters = Q(is_active=True, role__in=("fitter", "owner")) | Q(pk=row.with_whom_id)
            whom.queryset = (
                get_user_model()
                ._default_manager.filter(fitters)
                .order_by("first_name", "last_name", "pk")
            )
            whom.empty_label = None
        self._fill(timezone.localtime(row.starts_at) if row.starts_at else None)

    def _offer(self, name: str, choices: list[tuple[str, Any]]) -> None:
        field = self.fields[name]
        if isinstance(field, forms.ChoiceField):
            field.choices = choices

    def _fill(self, at: dt.datetime | None) -> None:
        """What the row says of day and time, by buttons where there are any for it."""
        self.kept_day = at.date() if at else None
        if at is None:
            return
        self.initial["day"] = at.date()
        hour, quarter = f"{at:%H}", f"{at:%M}"
        if hour in dict(HOURS) and quarter in dict(QUARTERS):
            self.initial.update(hour=hour, quarter=quarter)
        else:
            self.initial["other_time"] = at.time().replace(second=0, microsecond=0)

    def clean_minutes(self) -> int:
        return int(self.cleaned_data["minutes"])

    def clean_day(self) -> dt.date:
        day: dt.date = self.cleaned_data["day"]
        today = timezone.localdate()
        if day < today and day != self.kept_day:
            raise forms.ValidationError("This day is past: plan it for today or a day to come.")
        if day > today + dt.timedelta(days=365 * YEARS_AHEAD):
            raise forms.ValidationError("This is more than three years ahead: is the year right?")
        return day

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean() or self.cleaned_data
        time, day = self._time(cleaned), cleaned.get("day")
        if time is None or day is None:
            return cleaned
        at = moment(day, time)
        if at is None:
            self.add_error("other_time", LEAPT)
        else:
            self.instance.starts_at = at
        return cleaned

    def _time(self, cleaned: dict[str, Any]) -> dt.time | None:
        other: dt.time | None = cleaned.get("other_time")
        if other is not None or "other_time" in self.errors:
            return other
        hour, quarter = cleaned.get("hour"), cleaned.get("quarter") or "00"
        if not hour:
            self.add_error("hour", "Say at what time: tap an hour, or write another time.")
            return None
        return dt.time(int(hour), int(quarter))


class CancelForm(KeptForm[PlannedFitting]):
    """Why, by tapping or in words: whoever plans the next one will want to know."""

    class Meta:
        model = PlannedFitting
        fields: list[str] = []

    because = ListField(
        "forms/way.html",
        choices=[(reason, reason) for reason in CANCELLED_BECAUSE],
        widget=forms.RadioSelect,
        required=False,
        label="Why",
    )
    words = forms.CharField(max_length=120, required=False, label="Or in your own words")

    @property
    def reason(self) -> str:
        said = (self.cleaned_data.get("because"), self.cleaned_data.get("words"))
        return ". ".join(part for part in said if part)

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean() or self.cleaned_data
        if not self.errors and not self.reason:
            self.add_error("because", "Say why: tap one of these, or write it in a few words.")
        self.instance.cancelled_because = self.reason
        self.instance.state = PlanState.CANCELLED
        return cleaned
