"""Fields drawn once and kept in memory: on the page of a fitting some seventy stand ready that
nobody has filled in, the same at every fitting, and drawing them was a quarter of its time."""

from __future__ import annotations

from typing import Any, Final

from django.forms import BoundField
from django.utils.safestring import SafeString
from django.utils.translation import get_language

# A thousand characters each; of every kind of reading, side and unit there are a few hundred.
MOST: Final = 2000
_drawn: dict[tuple[Any, ...], SafeString] = {}


class DrawnOnce(BoundField):
    """Draws anew what was filled in, and whatever would look otherwise."""

    def as_field_group(self) -> SafeString:
        if self.form.is_bound:
            return super().as_field_group()
        looks = self._looks()
        found = _drawn.get(looks)
        if found is None:
            if len(_drawn) >= MOST:
                _drawn.clear()
            found = _drawn[looks] = super().as_field_group()
        return found

    def _looks(self) -> tuple[Any, ...]:
        """All in which two drawings of a field of one kind of form may differ."""
        return (
            type(self.form),
            self.name,
            self.auto_id,
            repr(self.value()),
            str(self.label),
            str(self.help_text),
            getattr(self.field, "unit", ""),
            repr(self.field.widget.attrs),
            tuple(getattr(self.form, "rows", ())),
            get_language(),
        )
