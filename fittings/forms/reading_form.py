"""What all forms of a reading of a sleeve share: identity, side and unit, way and amount."""

from __future__ import annotations

import uuid
from collections.abc import Sequence
from typing import Any, ClassVar, Final

from django import forms

from fittings.fitting_room.at_rest import AtRest
from fittings.forms.drawn_once import DrawnOnce
from fittings.forms.fields import speak_unit
from fittings.units import in_units
from patterns.rules.catalogue import Finding

NO_WAY: Final = "Say which way: tap one of the two."


class ReadingForm(forms.Form):
    """`identity` is the entry's own, so that one sent twice is kept once.

    A kind says its reading in the suggestion document's words; a direction is one of two buttons,
    and the amount beside it positive.
    """

    slug: ClassVar[str]
    title: ClassVar[str]
    how: ClassVar[str]
    # The field that a refusal of the rules is written beside.
    amount: ClassVar[str | None] = None
    saved_by_tap: ClassVar[bool] = False
    bound_field_class = DrawnOnce

    identity = forms.UUIDField(widget=forms.HiddenInput)

    def __init__(self, data: Any = None, *, side: str, unit: str) -> None:
        self.side, self.unit = side, unit
        fresh = {"identity": uuid.uuid4()}
        super().__init__(data, auto_id=f"{side}-{self.slug}-%s", initial=fresh)
        speak_unit(self, unit)
        self.read_in = unit

    @property
    def drawn_from(self) -> tuple[Any, ...] | None:
        """All that it is drawn from but its identity; None where something was filled in."""
        return None if self.is_bound else (type(self), self.side, self.unit)

    def clean(self) -> dict[str, Any]:
        """An amount above nothing needs its way; nothing has none."""
        cleaned = self.cleaned_data
        if "way" in self.fields and not cleaned.get("way") and self.size():
            self.add_error("way", NO_WAY)
        return cleaned

    def offer(self, rows: Sequence[Finding]) -> None:
        """Take the shop's catalogue; a kind that asks for no finding has no use for it."""

    def start(self, rest: AtRest) -> None:
        """Begin where this arm was seen to hang; a kind that draws no arm has no use for it."""

    def size(self) -> float:
        """The amount that was entered: mm, or degrees."""
        entered = self.cleaned_data.get(self.amount) if self.amount else None
        return float(getattr(entered, "mm", entered or 0.0))

    def signed(self) -> float:
        return self.size() if self.cleaned_data["way"] != "minus" else -self.size()

    def reading(self) -> dict[str, Any]:
        """The reading for the suggestion document, without its id."""
        raise NotImplementedError

    def refuse(self, sentence: str) -> None:
        """Write beside the amount what the rules said against it."""
        self.add_error(self.amount, in_units(sentence, self.read_in))
