"""What is typed before a customer is erased."""

from typing import Any

from django import forms


class EraseForm(forms.Form):
    """The number typed once more: nobody is erased by a slip of the finger."""

    number = forms.CharField(
        max_length=12,
        label="The customer's number, to erase for good",
        widget=forms.TextInput(attrs={"autocomplete": "off", "spellcheck": "false"}),
    )

    def __init__(self, *args: Any, wanted: str, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.wanted = wanted

    def clean_number(self) -> str:
        typed = str(self.cleaned_data["number"]).strip().upper()
        if typed != self.wanted:
            raise forms.ValidationError(
                f"Nothing was erased. Type {self.wanted} as it stands above, or leave the page."
            )
        return typed
