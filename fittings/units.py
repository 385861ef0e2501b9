"""Lengths as people write them, and millimetres as the record keeps them.

Millimetres inside, the person's unit at the edge. What was typed is kept beside the exact number,
so a measure never drifts by being shown in another unit.
"""

import re
from dataclasses import dataclass
from decimal import ROUND_HALF_UP, Decimal
from typing import Final

from fittings.refusals import Refused

MM_PER: Final[dict[str, Decimal]] = {
    "mm": Decimal(1),
    "cm": Decimal(10),
    "in": Decimal("25.4"),
}
LONGEST_MM: Final = Decimal(5000)
LONGEST_TEXT: Final = 24
DENOMINATORS: Final = (2, 4, 8, 16)

_UNIT_WORDS: Final[dict[str, str]] = {
    "mm": "mm",
    "cm": "cm",
    **dict.fromkeys(("in", "in.", "inch", "inches", '"', "″", "”", "''"), "in"),
}
_VULGAR: Final[dict[str, str]] = {
    "½": "1/2",
    "¼": "1/4",
    "¾": "3/4",
    "⅛": "1/8",
    "⅜": "3/8",
    "⅝": "5/8",
    "⅞": "7/8",
}
_AMOUNT = r"(?P<amount>[0-9]+[.,][0-9]+|[.,][0-9]+|[0-9]+)"
_MIXED = r"(?:(?P<whole>[0-9]+)(?:\s*-\s*|\s+))?(?P<over>[0-9]+)\s*/\s*(?P<under>[0-9]+)"
_IN_MM: Final = re.compile(
    r"(?P<low>\d+(?:\.\d+)?)(?: (?P<joint>to|and) (?P<high>\d+(?:\.\d+)?))? mm\b"
)
# Past this many mm from the eighth that is said, it is said to be about that.
_ABOUT_MM: Final = Decimal("0.25")
_LENGTH = re.compile(rf"(?:{_MIXED}|{_AMOUNT})\s*(?P<unit>[a-z]+\.?|\"|″|”|'')?")


class NotALength(Refused):
    """What was typed cannot be read as a length."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Entered:
    """A length as it was typed: exact millimetres, the text, and the unit it was read in."""

    mm: Decimal
    as_entered: str
    unit: str


def parse_length(text: str, default_unit: str) -> Entered:
    """Read `12.5`, `12,5 cm`, `125 mm`, `4 7/8 in`, `4 7/8"`, `3/8`, `1½`, `1-1/2`; zero or more.

    A number without a unit is read in `default_unit` ("mm", "cm" or "in"). A fraction without a
    unit is read only where the default is inches: 3/8 written by habit at a form that counts in
    centimetres would be less than half of what was meant. Raises NotALength with the cure.
    """
    typed = " ".join(text.split())
    found = _LENGTH.fullmatch(_spelled_out(typed))
    if found is None or len(typed) > LONGEST_TEXT:
        raise NotALength(f"'{typed}' is not a length: write 12.5 or 12 1/2.")
    word = found["unit"]
    unit = _UNIT_WORDS.get(word, "") if word else default_unit
    if not unit:
        raise NotALength(f"'{word}' in '{typed}' is not a unit here: write mm, cm or in.")
    if found["under"] and not word and unit != "in":
        raise NotALength(
            f"'{typed}' is a fraction without a unit: write '{typed} in' if inches are meant, "
            f"or the decimal in {unit}."
        )
    mm = _number(found, typed) * MM_PER[unit]
    if mm > LONGEST_MM:
        raise NotALength(f"'{typed}' is more than 5 metres: is {unit} the right unit?")
    return Entered(mm=mm, as_entered=typed, unit=unit)


def _spelled_out(text: str) -> str:
    plain = text.lower().replace("⁄", "/")
    for sign, fraction in _VULGAR.items():
        plain = plain.replace(sign, f" {fraction}")
    return plain.strip()


def _number(found: re.Match[str], typed: str) -> Decimal:
    if found["under"] is None:
        amount = found["amount"]
        if re.fullmatch(r"[0-9]+,[0-9]{3}", amount):
            raise NotALength(
                f"'{typed}' could be a thousand or a decimal: write {amount.replace(',', '')} "
                f"or {amount.replace(',', '.')}."
            )
        return Decimal(amount.replace(",", "."))
    over, under = int(found["over"]), int(found["under"])
    if under not in DENOMINATORS or (found["whole"] and over >= under):
        raise NotALength(f"'{typed}' is not a fraction of a tape: write eighths, as in 12 3/8.")
    return Decimal(found["whole"] or 0) + Decimal(over) / Decimal(under)


def as_typed(entered: Entered, default_unit: str) -> str:
    """The kept text, with its unit put behind where another default would read it differently."""
    try:
        same = parse_length(entered.as_entered, default_unit).mm == entered.mm
    except NotALength:
        same = False
    return entered.as_entered if same else f"{entered.as_entered} {entered.unit}"


def format_length(mm: Decimal | float, unit: str) -> str:
    """`12.5 cm` to one decimal, `125 mm` or `12.5 mm`, `4 7/8 in` to the nearest eighth."""
    size = abs(Decimal(str(mm)))
    text = f"{_in_eighths(size)} in" if unit == "in" else f"{_in_tenths(size, unit)} {unit}"
    return f"−{text}" if mm < 0 and not text.startswith(("0 ", "0.0 ")) else text


def _in_tenths(mm: Decimal, unit: str) -> str:
    shown = str((mm / MM_PER[unit]).quantize(Decimal("0.1"), ROUND_HALF_UP))
    return shown.removesuffix(".0") if unit == "mm" else shown


def _in_eighths(mm: Decimal) -> str:
    eighths = int((mm / MM_PER["in"] * 8).to_integral_value(ROUND_HALF_UP))
    whole, rest = divmod(eighths, 8)
    if not rest:
        return str(whole)
    shared = 4 if rest == 4 else 2 if rest % 2 == 0 else 1
    fraction = f"{rest // shared}/{8 // shared}"
    return f"{whole} {fraction}" if whole else fraction


def in_units(sentence: str, unit: str) -> str:
    """What the rules say in mm, with its lengths in the reader's unit: "mm", "cm", "in" or "both".

    `8 mm` is `0.8 cm`, to the last figure; `9.5 mm` is `3/8 in`. Where the nearest eighth is more
    than a quarter of a millimetre away it is said to be about that, and the mm stand behind it:
    `about 3/8 in (8 mm)`. "both" is `0.8 cm (about 3/8 in)`. Degrees and the words stay.
    """
    if unit == "mm":
        return sentence
    told = _IN_MM.sub(lambda found: _in_unit(found, unit), sentence)
    return told.replace("about about ", "about ")


def _in_unit(found: re.Match[str], unit: str) -> str:
    low, joint, high = found.group("low", "joint", "high")
    ends = [Decimal(end) for end in (low, high) if end]
    between = f" {joint} " if joint else ""
    if unit == "in":
        inches, is_about = _as_inches(ends, between)
        return f"{inches} ({found[0]})" if is_about else inches
    cm = f"{between.join(_without_rounding(end / 10) for end in ends)} cm"
    return cm if unit == "cm" else f"{cm} ({_as_inches(ends, between)[0]})"


def _without_rounding(cm: Decimal) -> str:
    return f"{cm:f}" if cm % 1 else f"{cm:.1f}"


def _as_inches(ends: list[Decimal], between: str) -> tuple[str, bool]:
    """In eighths, and whether they are only about that."""
    said = list(dict.fromkeys(_in_eighths(mm) for mm in ends))
    is_about = any(_off_the_eighth(mm) > _ABOUT_MM for mm in ends)
    if said == ["0"] and any(ends):
        return "less than 1/8 in", True
    return f"{'about ' if is_about else ''}{between.join(said)} in", is_about


def _off_the_eighth(mm: Decimal) -> Decimal:
    eighths = (mm / MM_PER["in"] * 8).to_integral_value(ROUND_HALF_UP)
    return abs(eighths * MM_PER["in"] / 8 - mm)


def format_both(mm: Decimal | float, unit: str) -> str:
    """For a ticket: the shop's unit first, the other system in brackets: `12.5 cm (4 7/8 in)`.

    Says "about" where the nearest eighth is more than a quarter of a millimetre away.
    """
    inches = format_length(mm, "in")
    about = "about " if _off_the_eighth(Decimal(str(mm))) > _ABOUT_MM else ""
    if unit == "in":
        return f"{about}{inches} ({format_length(mm, 'mm')})"
    return f"{format_length(mm, unit)} ({about}{inches})"
