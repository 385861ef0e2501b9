"""What is handed in from outside."""

from __future__ import annotations

from typing import Any, Final

from django import forms
from django.core.files.uploadedfile import UploadedFile

MOST_RECORD_BYTES: Final = 500_000_000


class RecordForm(forms.Form):
    """The zip file of one customer's record."""

    record = forms.FileField(
        label="The record (zip file)",
        error_messages={
            "required": "Choose the zip file that was exported.",
            "empty": "The file is empty: export the record once more.",
        },
        widget=forms.FileInput(attrs={"accept": ".zip,application/zip"}),
    )

    def clean_record(self) -> UploadedFile[Any]:
        file: UploadedFile[Any] = self.cleaned_data["record"]
        if (file.size or 0) > MOST_RECORD_BYTES:
            raise forms.ValidationError(
                f"The file holds more than {MOST_RECORD_BYTES // 1_000_000} million bytes, and "
                "that much is not taken here."
            )
        return file
