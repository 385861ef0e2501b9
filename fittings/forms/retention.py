"""What the owner says of the time that people's data are kept."""

from __future__ import annotations

import datetime as dt
from typing import Any

from django import forms

from fittings.forms.kept import DateInput, KeptForm, in_our_time
from fittings.models import KeptLonger, RetentionPeriods


class PeriodsForm(KeptForm[RetentionPeriods]):
    class Meta:
        model = RetentionPeriods
        fields = ["contact_years", "measures_years", "photographs_years"]
        labels = {
            "contact_years": "The customer: name, how to reach, all that is kept",
            "measures_years": "Measures, how the arms hang, notes of the figure",
            "photographs_years": "Photographs",
        }


class KeptLongerForm(forms.ModelForm[KeptLonger]):
    class Meta:
        model = KeptLonger
        fields = ["reason", "until"]
        labels = {"reason": "Why it is kept", "until": "Ask again on"}
        widgets = {"until": DateInput()}

    def __init__(self, *args: Any, today: dt.date, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.today = today
        self.fields["until"].validators.append(in_our_time)

    def clean_until(self) -> dt.date:
        day: dt.date = self.cleaned_data["until"]
        if day <= self.today:
            raise forms.ValidationError("Write a day that is still to come.")
        return day
