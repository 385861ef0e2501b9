"""What is posted about photographs."""

from __future__ import annotations

import uuid
from typing import Any, Final

from django import forms
from django.core.files.uploadedfile import UploadedFile

from fittings.photographs.record import SHOWS, Shows
from fittings.refusals import Refused

BY_KEY: Final = {shows.key: shows for shows in SHOWS}
MOST_AT_ONCE: Final = 12


class ShowsForm(forms.Form):
    """What a photograph shows, and what is printed under it."""

    shows = forms.ChoiceField(
        choices=[(s.key, s.words) for s in SHOWS],
        error_messages={"required": "Say what it shows.", "invalid_choice": "Say what it shows."},
    )
    note = forms.CharField(
        max_length=120,
        required=False,
        error_messages={"max_length": "Say it in 120 signs at most: it is printed small."},
    )

    @property
    def said(self) -> Shows:
        return BY_KEY[self.cleaned_data["shows"]]


class SentForm(ShowsForm):
    """Photographs as they are sent: one at a time by the page, several by a plain form."""

    identity = forms.UUIDField(required=False)

    @property
    def photographs(self) -> list[tuple[uuid.UUID | None, UploadedFile[Any]]]:
        """Each file with its identity: that of the form, and from it those of the further files.

        Refuses (Refused) none, and more than can be taken in one go.
        """
        sent = self.files.getlist("photograph") if self.files else []
        if not sent:
            raise Refused("No photograph came with this: take one or choose one.")
        if len(sent) > MOST_AT_ONCE:
            raise Refused(f"Choose {MOST_AT_ONCE} photographs at a time at most.")
        first = self.cleaned_data["identity"]
        return [
            (uuid.uuid5(first, str(n)) if first and n else first, file)
            for n, file in enumerate(sent)
        ]
