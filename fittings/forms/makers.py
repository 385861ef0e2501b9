"""The form about a maker and how their papers are written."""

from typing import Any

from django import forms
from django.contrib.auth import get_user_model
from django.db.models import Q

from fittings.forms.kept import DateInput, KeptForm
from fittings.models import LanguageCheck, Maker


class MakerForm(KeptForm[Maker]):
    class Meta:
        model = Maker
        fields = ["name", "person", "language", "units", "paper", "ended_on"]
        widgets = {"ended_on": DateInput()}
        help_texts = {"name": "As the papers say it."}

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        people = self.fields["person"]
        if isinstance(people, forms.ModelChoiceField):
            people.queryset = get_user_model()._default_manager.filter(
                Q(is_active=True, maker=None) | Q(pk=self.instance.person_id)
            )
            people.empty_label = "nobody: an outside maker"

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean() or self.cleaned_data
        same = Maker.objects.outside().filter(name__iexact=cleaned.get("name", ""))
        if cleaned.get("person") is None and same.exclude(pk=self.instance.pk).exists():
            self.add_error("name", "An outside maker has this name already: add something to it.")
        if self.instance.pk and cleaned.get("person") and self.instance.orders.exists():
            self.add_error("person", "Orders name this maker as an outside one: leave this empty.")
        return cleaned


class LanguageCheckForm(KeptForm[LanguageCheck]):
    class Meta:
        model = LanguageCheck
        fields = ["checked_by", "checked_on"]
        widgets = {"checked_on": DateInput()}
        help_texts = {
            "checked_by": "Who speaks it, knows the trade and has read the papers. Left empty: "
            "not checked.",
        }

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean() or self.cleaned_data
        if bool(cleaned.get("checked_by")) != bool(cleaned.get("checked_on")):
            self.add_error(None, "Write both who checked it and when, or neither.")
        return cleaned
