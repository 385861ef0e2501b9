"""Words made alike: what people write in several ways is kept, and looked for, in one."""

from __future__ import annotations

import re
import unicodedata
from typing import Final

from patterns.unseen import without_unseen

# Letters that do not come apart into a plain one and its accent.
_LETTERS: Final = str.maketrans(
    {"ß": "ss", "æ": "a", "œ": "o", "ø": "o", "đ": "d", "ð": "d", "ł": "l", "ı": "i", "þ": "th"}
)
# An umlaut written out; said the same of every word on both sides, "Manuel" loses nothing by it.
_WRITTEN_OUT: Final = (("ae", "a"), ("oe", "o"), ("ue", "u"))
_PARTS: Final = re.compile(r"[^\W_]+")
_ONLY_A_PHONE: Final = re.compile(r"[\d\s+()/.\-]{6,}")
# The end of a phone number: how the country in front of it is written differs.
PHONE_END: Final = 8

# More words than anybody types.
MOST_WORDS: Final = 8
# A single letter says nothing; a word of two is sought as the beginning of one.
FEWEST_LETTERS: Final = 2
MOST_LETTERS: Final = 40
# An index of PostgreSQL takes some 2700 bytes; what people write is far from it.
MOST_BYTES: Final = 2400


def fold(text: str) -> str:
    """Small letters without accents, umlauts as if without dots: "Mueller" is "Müller"."""
    apart = unicodedata.normalize("NFKD", without_unseen(text).casefold().translate(_LETTERS))
    plain = "".join(sign for sign in apart if not unicodedata.combining(sign))
    for written, one in _WRITTEN_OUT:
        plain = plain.replace(written, one)
    return plain


def folded(*texts: str | None) -> str:
    """All words of these texts, each between two spaces: " muller hans "; "" if there is none."""
    words = [word for text in texts for word in _PARTS.findall(fold(text or ""))]
    return f" {' '.join(dict.fromkeys(words))} " if words else ""


def cut(text: str) -> str:
    """Folded words, as many as an index can hold."""
    if len(text.encode()) <= MOST_BYTES:
        return text
    return text.encode()[:MOST_BYTES].decode(errors="ignore").rpartition(" ")[0] + " "


def folded_phone(phone: str) -> str:
    """A phone number in its groups and in one."""
    return folded(phone, _digits(phone))


def sought(text: str) -> list[str]:
    """The folded words of what somebody typed; a phone number is one word, by its end."""
    if _ONLY_A_PHONE.fullmatch(text.strip()):
        return [_digits(text)[-PHONE_END:]]
    words = [word[:MOST_LETTERS] for word in _PARTS.findall(fold(text))]
    return [word for word in dict.fromkeys(words) if len(word) >= FEWEST_LETTERS][:MOST_WORDS]


def _digits(text: str) -> str:
    return "".join(sign for sign in text if sign.isdigit())


_NUMBER: Final = re.compile(
    r"\s*([cotp])\s*-?\s*([0-9]{1,8})(?:\s*[/ -]\s*(?:r|rev|revision)?\s*([0-9]{1,4}))?\s*",
    re.IGNORECASE,
)


def as_number(text: str) -> tuple[str, int | None] | None:
    """A number of the shop as it is kept, however it was typed: "c12" is ("C-0012", None); of a
    ticket with its revision, "T-0042/2" is ("T-0042", 2). None where it is none."""
    found = _NUMBER.fullmatch(text)
    if found is None:
        return None
    letter, number, revision = found.groups()
    return f"{letter.upper()}-{int(number):04d}", int(revision) if revision else None
