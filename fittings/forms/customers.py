"""Forms about a customer and the figure."""

from typing import Any, Final

from django import forms

from fittings.bench.print_queue import lay_out_anew
from fittings.errands.under_way import forget_packed
from fittings.forms.kept import DateInput, KeptForm
from fittings.models import Customer, FigureNote, FigureWord

ONE_SIDED: Final = frozenset({FigureWord.DROPPED_SHOULDER, FigureWord.LONG_ARM})


class CustomerForm(KeptForm[Customer]):
    class Meta:
        model = Customer
        fields = [
            "given_name",
            "family_name",
            "phone",
            "email",
            "address",
            "compare_with",
            "record_consent_on",
            "fitting_photo_consent_on",
            "publish_photo_consent_on",
            "notes",
        ]
        widgets = {
            "address": forms.Textarea(attrs={"rows": 3}),
            "notes": forms.Textarea(attrs={"rows": 4}),
            "record_consent_on": DateInput(),
            "fitting_photo_consent_on": DateInput(),
            "publish_photo_consent_on": DateInput(),
        }
        labels = {
            "email": "E-mail",
            "record_consent_on": "Agreed to this record being kept, on",
            "fitting_photo_consent_on": "Agreed to photographs to fit by, on",
            "publish_photo_consent_on": "Agreed to photographs being published, on",
            "compare_with": "Compare measures with",
        }
        help_texts = {
            "record_consent_on": "The day it was said. Clear it when it is withdrawn.",
            "fitting_photo_consent_on": "Seen by the shop only. Asked for by itself.",
            "publish_photo_consent_on": "Shown to others. Asked for by itself.",
        }

    def save_seen(self) -> Customer:
        row = super().save_seen()
        if "fitting_photo_consent_on" in self.changed_data:
            lay_out_anew(row)
        if any(name.endswith("consent_on") for name in self.changed_data):
            forget_packed(row)
        return row


class FigureNoteForm(forms.ModelForm[FigureNote]):
    class Meta:
        model = FigureNote
        fields = ["word", "side", "degree"]

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean() or self.cleaned_data
        word, side = cleaned.get("word"), cleaned.get("side", "")
        if word in ONE_SIDED and not side:
            self.add_error("side", "Say which one: wearer's left or wearer's right.")
        noted = FigureNote.objects.filter(customer=self.instance.customer, word=word, side=side)
        if word and noted.exists():
            raise forms.ValidationError(
                "That is noted already: remove the old note first if its degree has changed."
            )
        return cleaned
