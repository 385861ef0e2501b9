"""Form fields for what a tailor writes."""

from decimal import Decimal
from typing import Any, Final

from django import forms

from fittings.units import Entered, NotALength, as_typed, format_length, parse_length

KEPT_TO: Final = Decimal("0.001")


class LengthField(forms.Field):
    """A length typed in the unit of whoever types; cleans to `Entered`, or None when left empty.

    The form sets `unit`. Inches need a space and a slash, which number keys do not have.
    """

    widget = forms.TextInput
    default_error_messages = {
        "required": "Say how much: write a length.",
        "zero": "Write a length above zero.",
    }

    def __init__(self, *, unit: str = "cm", zero_ok: bool = False, **kwargs: Any) -> None:
        super().__init__(**kwargs)
        self.zero_ok = zero_ok
        self.unit = unit

    @property
    def unit(self) -> str:
        return self._unit

    @unit.setter
    def unit(self, unit: str) -> None:
        self._unit = unit
        self.widget.attrs["inputmode"] = "text" if unit == "in" else "decimal"
        self.widget.attrs["autocomplete"] = "off"

    def prepare_value(self, value: Any) -> Any:
        """What the input shows: text as typed, a kept entry in its own words, mm converted."""
        if isinstance(value, Entered):
            return as_typed(value, self.unit)
        if isinstance(value, Decimal):
            return format_length(value, self.unit).removesuffix(f" {self.unit}")
        return value

    def has_changed(self, initial: Any, data: Any) -> bool:
        """Whether the text was changed: a kept length shown rounded is not to be saved rounded."""
        return str(self.prepare_value(initial) or "") != (data or "").strip()

    def to_python(self, value: Any) -> Entered | None:
        if value is None or not str(value).strip():
            return None
        try:
            found = parse_length(str(value), self.unit)
        except NotALength as refusal:
            raise forms.ValidationError(str(refusal), code="not_a_length") from None
        if not found.mm and not self.zero_ok:
            raise forms.ValidationError(self.error_messages["zero"], code="zero")
        return Entered(mm=found.mm.quantize(KEPT_TO), as_entered=found.as_entered, unit=found.unit)


def speak_unit(form: forms.BaseForm, unit: str) -> None:
    """Let every length of this form be read and shown in this unit."""
    for field in form.fields.values():
        if isinstance(field, LengthField):
            field.unit = unit
