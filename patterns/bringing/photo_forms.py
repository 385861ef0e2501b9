"""The forms of the photograph's page: the picture, and the distances between its marks."""

from __future__ import annotations

from typing import Any

from django import forms

from patterns.bringing.picture import MOST_BYTES
from patterns.geometry.flatten import Distances

_MOST_MM = 5000.0
_ACROSS = "With both diagonals the distances check each other."


class PictureForm(forms.Form):
    picture = forms.FileField(
        label="Photograph",
        help_text="JPEG or PNG, at most 50 megapixels. Where and when it was taken is not kept.",
        widget=forms.FileInput(attrs={"accept": "image/jpeg,image/png", "capture": "environment"}),
        error_messages={"empty": "The picture is empty; choose another."},
    )

    def clean_picture(self) -> tuple[str, bytes]:
        """Its name and what is in it."""
        file = self.cleaned_data["picture"]
        if file.size > MOST_BYTES:
            raise forms.ValidationError(
                f"The picture holds {file.size / 1e6:.0f} million bytes; take one of at most "
                f"{MOST_BYTES / 1e6:.0f}."
            )
        return str(file.name or "a photograph"), file.read()


class _Mm(forms.FloatField):
    """A length in mm, with a point or a comma."""

    def to_python(self, value: Any) -> Any:
        return super().to_python(value.replace(",", ".") if isinstance(value, str) else value)


def _mm(label: str, *, required: bool = False, help_text: str = "") -> _Mm:
    return _Mm(
        label=f"{label}, mm",
        required=required,
        min_value=1.0,
        max_value=_MOST_MM,
        help_text=help_text,
        widget=forms.TextInput(attrs={"inputmode": "decimal", "autocomplete": "off"}),
    )


class SizesForm(forms.Form):
    """Distances between the marks, and one more to check by."""

    first_second = _mm("Mark 1 to mark 2", required=True)
    second_third = _mm("Mark 2 to mark 3", required=True)
    first_third = _mm("Mark 1 to mark 3", help_text=_ACROSS)
    second_fourth = _mm("Mark 2 to mark 4", help_text=_ACROSS)
    third_fourth = _mm("Mark 3 to mark 4", help_text="Only if it differs from 1 to 2.")
    fourth_first = _mm("Mark 4 to mark 1", help_text="Only if it differs from 2 to 3.")
    check = _mm("Check distance", help_text="Between the two points set as check distance.")

    @property
    def distances(self) -> Distances:
        said: dict[str, Any] = {k: v for k, v in self.cleaned_data.items() if k != "check"}
        return Distances(**said)
