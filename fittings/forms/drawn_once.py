"""Forms and fields drawn once and kept in memory: on the page of a fitting some forty forms stand
ready that nobody has filled in, the same at every fitting; drawing them was half of its time."""

from __future__ import annotations

import re
from collections.abc import Callable, Hashable, Sequence
from typing import Any, Final

from django.forms import BoundField
from django.utils.safestring import SafeString, mark_safe
from django.utils.translation import get_language

# A thousand characters each; of every kind of reading, side and unit there are a few hundred.
MOST: Final = 2000
_drawn: dict[tuple[Any, ...], SafeString] = {}
# Ten thousand each.
MOST_WHOLE: Final = 400
_whole: dict[Hashable, list[str | int]] = {}


def whole(looks: Hashable, values: Sequence[str], draw: Callable[[], str]) -> SafeString:
    """What `draw` draws, kept under `looks` but for `values`: what is of this page alone, such as
    identities and addresses, as it stands in the markup, none within another, at least one, and in
    the same order each time. Whatever else the drawing depends on must be in `looks`, or another
    page would show it."""
    looks = (looks, get_language())
    found = _whole.get(looks)
    if found is None:
        if len(_whole) >= MOST_WHOLE:
            _whole.clear()
        found = _whole[looks] = _apart(draw(), values)
    drawn = "".join(part if isinstance(part, str) else values[part] for part in found)
    return mark_safe(drawn)  # noqa: S308 - drawn by a template # nosec B308 B703


def _apart(drawn: str, values: Sequence[str]) -> list[str | int]:
    """What stands between the values, and of each value which it is."""
    places = {value: n for n, value in enumerate(values)}
    apart = re.split(f"({'|'.join(map(re.escape, places))})", drawn)
    return [places.get(part, part) for part in apart]


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
