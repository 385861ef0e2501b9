"""What is handed in from outside."""

from __future__ import annotations

from typing import Any, Final

from django import forms
from django.core.files.uploadedfile import UploadedFile

from fittings.spreadsheets import MOST_BYTES

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


class BookForm(forms.Form):
    """A customer book as a table."""

    book = forms.FileField(
        label="The customer book (CSV)",
        error_messages={
            "required": "Choose the CSV file.",
            "empty": "The file is empty: save it once more.",
        },
        widget=forms.FileInput(attrs={"accept": ".csv,.txt,text/csv"}),
    )

    def clean_book(self) -> UploadedFile[Any]:
        file: UploadedFile[Any] = self.cleaned_data["book"]
        if (file.size or 0) > MOST_BYTES:
            raise forms.ValidationError(
                f"The file is longer than {MOST_BYTES // 1_000_000} million bytes: split it."
            )
        return file
