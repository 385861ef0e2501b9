"""Amounts as they are entered at a fitting: a number with large steps beside it."""

from __future__ import annotations

import re
from typing import Any, Final, NamedTuple

from django import forms

from fittings.forms.fields import LengthField
from fittings.units import Entered, format_length

DEGREES: Final = re.compile(r"[0-9]{1,3}([.,][0-9]{1,6})?")
FINE: Final = {"mm": ("1", "5"), "cm": ("0.1", "0.5"), "in": ("1/8", "1/2")}
QUICK: Final = {
    "mm": ("10", "20", "30", "40", "50", "60", "70", "80"),
    "cm": ("1", "2", "3", "4", "5", "6", "7", "8"),
    "in": ("1/2", "3/4", "1", "1 1/2", "2", "2 1/2", "3", "3 1/2"),
}
COARSE: Final = {"mm": ("5", "10"), "cm": ("0.5", "1"), "in": ("1/4", "1")}


SAY_HOW_MUCH: Final = "Say how much: tap a key or write it."


class Step(NamedTuple):
    """One of the keys beside an amount: by how much, and what it says to the eye and the ear."""

    by: str
    shown: str
    spoken: str


def _keys(small: str, large: str, unit: str) -> list[Step]:
    less = [Step(f"-{by}", f"−{by}", f"{by} {unit} less") for by in (large, small)]
    return less + [Step(by, f"+{by}", f"{by} {unit} more") for by in (small, large)]


class AmountField(LengthField):
    """A length from nought to `most_mm`, with keys to step it; direction is asked beside it."""

    default_error_messages = {"required": SAY_HOW_MUCH}

    def __init__(self, *, most_mm: int, coarse: bool = False, **kwargs: Any) -> None:
        self.most_mm, self.coarse = most_mm, coarse
        super().__init__(template_name="forms/amount.html", **kwargs)

    @property
    def steps(self) -> list[Step]:
        small, large = (COARSE if self.coarse else FINE)[self.unit]
        return _keys(small, large, self.unit)

    @property
    def quick(self) -> tuple[str, ...]:
        """Amounts set by one tap, where they are read coarsely; the steps refine them."""
        return QUICK[self.unit] if self.coarse else ()

    def to_python(self, value: Any) -> Entered | None:
        found = super().to_python(value)
        if found is not None and found.mm > self.most_mm:
            most = format_length(self.most_mm, self.unit)
            raise forms.ValidationError(f"More than {most} cannot be meant here: measure it again.")
        return found


class DegreesField(forms.Field):
    """An angle from nought to `most` degrees, with a point or a comma for the tenths."""

    unit = "°"
    default_error_messages = {"required": SAY_HOW_MUCH}

    def __init__(self, *, most: int, **kwargs: Any) -> None:
        self.most = most
        super().__init__(template_name="forms/amount.html", **kwargs)
        self.widget.attrs |= {"inputmode": "decimal", "autocomplete": "off"}

    @property
    def steps(self) -> list[Step]:
        return _keys("1", "5", "degrees")

    def to_python(self, value: Any) -> float | None:
        typed = str(value or "").strip().removesuffix("°").strip()
        if not typed:
            return None
        if not DEGREES.fullmatch(typed):
            raise forms.ValidationError(f"'{typed}' is not a number of degrees: write 12 or 7.5.")
        found = float(typed.replace(",", "."))
        if found > self.most:
            raise forms.ValidationError(
                f"Write 0 to {self.most} degrees; the button says which way."
            )
        return found


class WayField(forms.ChoiceField):
    """Which way, as two large buttons."""

    def __init__(self, first: tuple[str, str], second: tuple[str, str], label: str) -> None:
        super().__init__(
            choices=[first, second],
            widget=forms.RadioSelect,
            label=label,
            required=False,
        )
        self.template_name = "forms/way.html"


class AnswerField(forms.ChoiceField):
    """Answers that are saved by the tap itself: `choices` in groups, each with its heading."""

    def __init__(self, groups: list[tuple[str, list[tuple[str, str]]]], **kwargs: Any) -> None:
        super().__init__(choices=groups, **kwargs)
        self.template_name = "forms/answers.html"


class ListField(forms.ChoiceField):
    """A long list of choices, drawn by a template of its own."""

    def __init__(self, template_name: str, **kwargs: Any) -> None:
        super().__init__(**kwargs)
        self.template_name = template_name


def focus_on_fault(form: forms.BaseForm) -> None:
    """Put the cursor where the eye must go next: into the first field with something wrong."""
    for name in form.errors:
        if name in form.fields:
            form.fields[name].widget.attrs["autofocus"] = True
            return
