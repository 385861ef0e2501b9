"""The forms of bringing a pattern in: the file, and what of it is to be saved."""

from __future__ import annotations

from typing import Any

from django import forms

from patterns.bringing.brought import MOST_BYTES
from patterns.bringing.offer import KEEP, SIDES, Offer


class FileForm(forms.Form):
    file = forms.FileField(
        label="Drawing",
        help_text="An SVG or DXF file of at most 2 MB, with named lines.",
        widget=forms.FileInput(attrs={"accept": ".svg,.dxf,image/svg+xml,image/vnd.dxf"}),
        error_messages={"empty": "The file is empty; choose another."},
    )

    def clean_file(self) -> tuple[str, bytes]:
        """Its name and what is in it."""
        file = self.cleaned_data["file"]
        if file.size > MOST_BYTES:
            raise forms.ValidationError(
                f"The file holds {file.size / 1e6:.1f} million bytes; a sleeve needs less than "
                f"{MOST_BYTES / 1e6:.0f}. Save only the sleeve and the armhole, without pictures."
            )
        return str(file.name or "a file"), file.read()


class SaveForm(forms.Form):
    """Which side becomes what, and a note; `offered` is the state that was looked at."""

    note = forms.CharField(
        max_length=300,
        help_text="Where the drawing comes from, for whoever asks later.",
    )
    offered = forms.IntegerField(widget=forms.HiddenInput)

    def __init__(self, data: Any = None, *, offer: Offer) -> None:
        initial: dict[str, Any] = {f"{side}": offer.usual(side) for side in SIDES}
        note = f"Brought in from {offer.name}"[:300]
        super().__init__(data, initial=initial | {"note": note, "offered": offer.number})
        for side in SIDES:
            self.fields[side] = forms.ChoiceField(
                choices=offer.choices(side),
                label=f"Wearer's {side}",
                widget=forms.RadioSelect,
            )
        self.order_fields([*SIDES, "note", "offered"])

    @property
    def chosen(self) -> dict[str, str]:
        return {side: self.cleaned_data[side] for side in SIDES}

    def clean(self) -> dict[str, Any]:
        if not self.errors and all(self.cleaned_data[side] == KEEP for side in SIDES):
            self.add_error(None, "Nothing would change: choose at least one side from the file.")
        return self.cleaned_data
