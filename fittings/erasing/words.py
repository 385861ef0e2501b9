"""The words that name a person, and texts without them."""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import dataclass
from typing import Any, Final, Self

from fittings.belonging import history_rows
from fittings.models import Customer

ERASED: Final = "[erased]"
NAMING: Final = ("given_name", "family_name", "phone", "email", "address")
# What a programme reads, not a person: these are never touched, or data could not be read any more.
_MACHINE = re.compile(r"[a-z0-9_.\-]*")
_SHORTEST: Final = 2


@dataclass(frozen=True, slots=True, kw_only=True)
class Naming:
    """All that names one person, as it stands and as it stood."""

    words: tuple[str, ...]

    @classmethod
    def of(cls, customer: Customer) -> Self:
        rows = [*Customer.objects.filter(pk=customer.pk).values_list(*NAMING)]
        rows += history_rows(Customer, {customer.pk}).values_list(*NAMING)
        return cls(words=tuple(_parts(text for row in rows for text in row)))

    def without(self, value: Any) -> Any:
        """Text, or data with texts in it, with every word of the person's replaced."""
        if isinstance(value, dict):
            return {key: self.without(one) for key, one in value.items()}
        if isinstance(value, list):
            return [self.without(one) for one in value]
        if not isinstance(value, str) or not self.words:
            return value
        return value if _MACHINE.fullmatch(value) else self._pattern.sub(ERASED, value)

    def plain(self, text: str) -> str:
        """The same for a text that only people read."""
        return self._pattern.sub(ERASED, text) if self.words else text

    @property
    def _pattern(self) -> re.Pattern[str]:
        words = "|".join(map(re.escape, self.words))
        return re.compile(rf"(?<!\w)(?:{words})(?!\w)", re.IGNORECASE)


def _parts(texts: Iterable[str]) -> list[str]:
    """Each text, its lines, and the single words of it that could name somebody; longest first."""
    found: set[str] = set()
    for text in texts:
        for line in [text, *text.splitlines()]:
            found.add(line.strip())
        if "@" not in text and not any(sign.isdigit() for sign in text):
            found |= set(re.split(r"[\s\-]+", text))
    return sorted((word for word in found if len(word) >= _SHORTEST), key=lambda w: (-len(w), w))
