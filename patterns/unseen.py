"""Signs that nobody sees: left out of what is typed and brought in, for they turn words and amounts
round on a paper ("12 mm" reads "mm 21"), or make two names of what looks like one.

Which: the marks of direction of Unicode UAX #9 (section 2, Bidi_Control), controls, and of what
UTS #39 (section 3, with UAX #31) keeps out of names as ignored by default, all that no living
script is written with; variation selectors stay, which some names in Chinese letters need.
"""

from __future__ import annotations

import re
import unicodedata
from typing import Any, Final

_DIRECTIONS: Final = "\u061c\u200e\u200f\u202a-\u202e\u2066-\u2069"
# Controls but tab and line ends, and halves of characters.
_CONTROLS: Final = "\x00-\x08\x0b\x0c\x0e-\x1f\x7f-\x9f\ud800-\udfff"
# Zero width, byte order mark, soft hyphen, invisible operators, notes between lines, tags; and
# fillers, which pass for letters.
_NO_WIDTH: Final = (
    "\u00ad\u200b\u2060-\u2064\u206a-\u206f\ufeff\ufff9-\ufffb\U000e0000-\U000e007f"
    "\u115f\u1160\u3164\uffa0"
)
_UNSEEN: Final = re.compile(f"[{_DIRECTIONS}{_CONTROLS}{_NO_WIDTH}]")
_LINES: Final = re.compile("[\x0b\x0c\x85\u2028\u2029]")
_JOINERS: Final = re.compile("[\u200c\u200d]+")
# The canonical combining class of viramas, which end a letter's vowel.
_VIRAMA: Final = 9


def without_unseen(text: str) -> str:
    """The text as it is seen; line ends and tabs stay, and joiners where a script needs them."""
    if text.isascii() and text.isprintable():
        return text
    return _JOINERS.sub(_joined, _UNSEEN.sub("", _LINES.sub("\n", text)))


def without_unseen_in(said: Any) -> Any:
    """The same of every text in data as JSON has it; names of fields stay."""
    if isinstance(said, str):
        return without_unseen(said)
    if isinstance(said, list):
        return [without_unseen_in(one) for one in said]
    if isinstance(said, dict):
        return {name: without_unseen_in(one) for name, one in said.items()}
    return said


def _joined(found: re.Match[str]) -> str:
    """A joiner within a word: beside a virama, or between letters that join, as in Arabic (UAX #31,
    section 2.3, A1, A2 and B); or between the parts of one picture, as telephones write them."""
    before, after = found.string[: found.start()][-8:], found.string[found.end() :][:1]
    beside = {unicodedata.combining(sign) for sign in (before[-1:] or " ", after or " ")}
    letter = next((sign for sign in reversed(before) if not unicodedata.combining(sign)), " ")
    joins = {unicodedata.bidirectional(sign) for sign in (letter, after or " ")} <= {"AL", "R"}
    pictures = unicodedata.category(before[-1:] or " ") in {"So", "Sk", "Mn"} and (
        unicodedata.category(after or " ") == "So"
    )
    return found[0][0] if _VIRAMA in beside or joins or pictures else ""
