"""What somebody chooses for themselves."""

from typing import Any

from django import forms
from django.contrib.auth import get_user_model

from fittings.forms.kept import KeptForm


class OwnSettingsForm(KeptForm[Any]):
    class Meta:
        model = get_user_model()
        fields = ["units", "tapping_hand"]
        widgets = {"units": forms.RadioSelect, "tapping_hand": forms.RadioSelect}
        labels = {"units": "Lengths are shown in", "tapping_hand": "How I hold the tablet"}
        help_texts = {"units": "A unit written behind a number is always understood."}
