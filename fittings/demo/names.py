"""Names that nobody bears, made of syllables: enough of them for a hundred thousand customers."""

from __future__ import annotations

from random import Random
from typing import Final

_GIVEN_HEADS: Final = ("Al", "Bre", "Cor", "Da", "El", "Fin", "Gwe", "Hal", "Is", "Jo", "Ka", "Lo")
_GIVEN_TAILS: Final = ("wen", "rik", "mond", "dis", "via", "thor", "lise", "nor", "beth", "rin")
_HEADS: Final = (
    *("Ash", "Brack", "Cold", "Dun", "Elder", "Fern", "Grim", "Hazel", "Iron", "Juni"),
    *("Kest", "Lark", "Mallo", "North", "Oster", "Pell", "Quar", "Rook", "Sorre", "Thistle"),
    *("Umber", "Vel", "Wither", "Yarro", "Zeph", "Müll", "Ørn", "Châ", "Łoz", "Sø"),
)
_MIDDLES: Final = ("", "en", "er", "a", "ing", "o", "el", "is", "um", "an")
_TAILS: Final = (
    *("bank", "combe", "dale", "fold", "garth", "holt", "keld", "lisk", "mere", "ness"),
    *("pike", "quist", "rigg", "stow", "thwaite", "vane", "wick", "yard", "beck", "cote"),
)


def given(draw: Random) -> str:
    return draw.choice(_GIVEN_HEADS) + draw.choice(_GIVEN_TAILS)


def family(draw: Random) -> str:
    return draw.choice(_HEADS) + draw.choice(_MIDDLES) + draw.choice(_TAILS)
