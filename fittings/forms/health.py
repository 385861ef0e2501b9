"""A note of health, as it is written."""

from django import forms

from fittings.forms.kept import KeptForm
from fittings.models import HealthNote


class HealthNoteForm(KeptForm[HealthNote]):
    class Meta:
        model = HealthNote
        fields = ["words"]
        labels = {"words": "What the fitting must heed"}
        widgets = {"words": forms.Textarea(attrs={"rows": 3, "autocomplete": "off"})}
