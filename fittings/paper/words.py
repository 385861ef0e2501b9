"""The sentences of the paper in its reader's language, with amounts in the reader's unit.

The rules speak English with amounts in it, and an issued ticket keeps those sentences for good. So
a sentence is a message once its amounts are lifted out: "Raise the crown 8 mm" is "Raise the crown
{1}". The translation is looked up whole, never put together from words, so that no direction can be
guessed; only the name of a place or a piece is put into a sentence as a name. What has no
translation (a shop's own words, a note that was typed) is printed as it was written, and says so.
"""

from __future__ import annotations

import re
from collections.abc import Callable
from typing import Final

from django.utils.translation import get_language, gettext

from fittings.units import MM_PER, format_length, in_units

_AMOUNT: Final = re.compile(
    r"(?P<low>(?:(?<!\w)[-+])?\d+(?:\.\d+)?)(?: to (?P<high>\d+(?:\.\d+)?))?(?P<unit> mm\b|°|%)?"
)
_HOLE: Final = re.compile(r"\{(\d)\}")
_SENTENCES: Final = re.compile(r"(?<=[.?!])\s+")
_CLAUSES: Final = re.compile(r"(?<=[.?!;:])\s+")
_STOPS: Final = ".;:"
_INCHES: Final = ("in", "both")
# Past this many mm from the eighth that is said, it is said to be about that.
_ABOUT_MM: Final = 0.25

# What is done, and by how much: the one thing that no language says otherwise.
_WORK_BY: Final = ", {1}"
# Sentences that take in the name of a place or of a kind of change.
FRAMES: Final = (
    "How much inlay is left at the {name} is not written down: {1} are needed, measure before "
    "unpicking.",
    "The inlay at the {name} is {1}, {2} are needed: {3} short.",
    "Needs {1} of inlay, {name} (usually {2}): look what is left before cutting.",
    "Needs {1} of inlay, {name}: look what is left before cutting.",
    "Stretch the {name} by {1}, through the whole strip.",
    "Shrink or ease the {name} by {1}, through the whole strip.",
    "Recut instead of turning, because it would take the hindarm seam into the {name} quarter.",
    "Recut instead of turning, because it would take the forearm seam into the {name} quarter.",
    "Together with the corrections before it this takes the hindarm seam into the {name} quarter "
    "of the armhole: do less of one of them, or recut the sleeve.",
    "Together with the corrections before it this takes the forearm seam into the {name} quarter "
    "of the armhole: do less of one of them, or recut the sleeve.",
    "This shop's sleeves take {1} of {name}: {2} asks for {3}.",
    "The {name} must be more than {1}, not {2}; measure it again.",
    "The {name} would stand in the {quarter} quarter of the armhole; recut the sleeve instead of "
    "turning it so far.",
    "The {name} stands in the {quarter} quarter of the armhole, {1} out of the {own} quarter: "
    "recut the sleeve instead of turning it so far.",
    "The {name} stands {1} past the {own} quarter: as good as in it.",
    "A seam moved {1} at the {name} would lie near the middle of the piece instead of by its fold; "
    "move it less than {2}.",
    "{1} of inlay at the {name} are used, {2} remain.",
    "The inlay at the {name} would go {1} below nothing: do less, or piece on cloth if the fitter "
    "says so.",
    "Sewn, the {name} makes a point of {1} degrees at the {seam}.",
    "Sewn, the {name} makes a dent of {1} degrees at the {seam}.",
    "At the {name} the under sleeve's edge is {1} too long for the top sleeve's with {2} of ease.",
    "At the {name} the under sleeve's edge is {1} too long for the top sleeve's with no ease.",
    "At the {name} the under sleeve's edge is {1} too short for the top sleeve's with {2} of ease.",
    "At the {name} the under sleeve's edge is {1} too short for the top sleeve's with no ease.",
    "At the {name}, {part}, the under sleeve is {1} too long: the elbow notches will not meet.",
    "At the {name}, {part}, the under sleeve is {1} too short: the elbow notches will not meet.",
    "The grain line of the {name} runs {1} to the front at its lower end: lay it along the "
    "straight of the sleeve above the elbow.",
    "The grain line of the {name} runs {1} to the back at its lower end: lay it along the "
    "straight of the sleeve above the elbow.",
    "The outline of the {name} runs over itself and cannot be cut: take the last correction back, "
    "or do less of it.",
    "A piece has no elbow notch on its {name}: mark it before the seam is sewn.",
    "At the {name} top and under together are {1} wider than the sleeve's girth of {2}: what one "
    "piece is given must be taken from the other.",
    "At the {name} top and under together are {1} narrower than the sleeve's girth of {2}: what "
    "one piece is given must be taken from the other.",
)
_NAMES: Final = re.compile(r"\\\{([a-z]+)\\\}")
_FRAMES: Final = tuple(
    (frame, re.compile(_NAMES.sub(r"(?P<\1>.+?)", re.escape(frame)))) for frame in FRAMES
)


def say(sentence: str, unit: str) -> str:
    """A sentence, a phrase or a name in the language of the paper; unit "mm", "cm", "in", "both".

    What cannot be said in it comes as it was written, between quotation marks.
    """
    if is_english() or not sentence:
        return _AMOUNT.sub(lambda found: _amount(found, unit), sentence)
    return _said(sentence.strip(), unit) or as_written(sentence)


def say_each(text: str, unit: str) -> str:
    """The same of reasons and questions, into which a shop's own finding may bring its own words.

    Sentence by sentence, and clause by clause: what is somebody's own is quoted, the rest is said.
    """
    if is_english() or _said(text.strip(), unit):
        return say(text, unit)
    return " ".join(_each(sentence, unit) for sentence in _SENTENCES.split(text.strip()))


def _each(sentence: str, unit: str) -> str:
    if told := _said(sentence, unit):
        return told
    parts = _CLAUSES.split(sentence)
    told_parts = [_clause(part, unit) for part in parts]
    if not any(told_parts):
        return as_written(sentence)
    return " ".join(told or _quoted(part) for part, told in zip(parts, told_parts, strict=True))


def _quoted(clause: str) -> str:
    bare = clause.rstrip(_STOPS)
    return as_written(bare) + clause[len(bare) :]


def as_written(typed: str) -> str:
    """What somebody typed, or English that has no translation: quoted and named as such."""
    if is_english() or not typed:
        return typed
    return gettext("“{text}” (as written)").replace("{text}", typed)


def is_english() -> bool:
    return (get_language() or "en").startswith("en")


def length(mm: float, unit: str = "mm") -> str:
    """One length in one unit, as the language writes numbers: 6.5 mm; 6,5 mm; about 1/4 in."""
    if unit == "in":
        template = gettext("about {1} in") if _is_about(mm) else gettext("{1} in")
        return template.replace("{1}", format_length(mm, "in").removesuffix(" in"))
    shown = format_length(mm, "mm")  # in cm to the last figure of the mm it stands beside
    return number(in_units(shown, "cm") if unit == "cm" else shown)


def number(text: str) -> str:
    """Figures with the decimal sign of the language."""
    return text if is_english() else re.sub(r"(?<=\d)\.(?=\d)", ",", text)


def upper(text: str) -> str:
    """Large letters; in Turkish the i keeps its dot."""
    if get_language() == "tr":
        text = text.replace("i", "İ").replace("ı", "I")
    return text.upper()


def capital(text: str) -> str:
    return upper(text[:1]) + text[1:]


def _said(text: str, unit: str) -> str:
    """The translation of the whole; else of its sentences, then of their clauses; "" for none."""
    if told := _whole(text, unit):
        return told
    for parted in (_SENTENCES, _CLAUSES):
        parts = parted.split(text)
        told_parts = [_clause(part, unit) for part in parts]
        if all(told_parts):
            return " ".join(told_parts)
    sentences = _SENTENCES.split(text)
    if len(sentences) == 1:
        return ""
    told_parts = [_said(sentence, unit) for sentence in sentences]
    return " ".join(told_parts) if all(told_parts) else ""


def _whole(text: str, unit: str) -> str:
    message, amounts = lifted(text)
    if told := _looked_up(message):
        return _filled(told, amounts, unit)
    if message.endswith(_WORK_BY) and (work := _looked_up(message.removesuffix(_WORK_BY))):
        return _filled(work + _WORK_BY, amounts, unit)
    for frame, shape in _FRAMES:
        found = shape.fullmatch(message)
        if found is None or not _looked_up(frame):
            continue
        names = {hole: _looked_up(name) for hole, name in found.groupdict().items()}
        if all(names.values()):
            told = _looked_up(frame)
            for hole, name in names.items():
                told = told.replace(f"{{{hole}}}", name)
            return _filled(capital(told) if frame[:1].isupper() else told, amounts, unit)
    return ""


def _clause(text: str, unit: str) -> str:
    """One clause of a longer sentence, looked up without its stop and its capital letter."""
    if told := _whole(text, unit):
        return told
    bare = text.rstrip(_STOPS)
    stop = text[len(bare) :]
    if told := _whole(bare, unit):
        return told + stop
    if bare[:1].isupper() and (told := _whole(bare[:1].lower() + bare[1:], unit)):
        return capital(told) + stop
    return ""


def lifted(text: str) -> tuple[str, list[re.Match[str]]]:
    """The message with {1}, {2} for its amounts, and the amounts."""
    amounts = list(_AMOUNT.finditer(text))
    count = iter(range(1, len(amounts) + 1))
    return _AMOUNT.sub(lambda _: f"{{{next(count)}}}", text), amounts


def _looked_up(message: str) -> str:
    told = gettext(message) if message else ""
    return "" if told == message else told


def _filled(told: str, amounts: list[re.Match[str]], unit: str) -> str:
    def put(hole: re.Match[str]) -> str:
        return _amount(amounts[int(hole[1]) - 1], unit)

    return _HOLE.sub(put, told)


def _amount(found: re.Match[str], unit: str) -> str:
    """An amount of a sentence: in mm as the rules say it, in inches too for who reads those."""
    if is_english():
        said = found[0]
    else:
        said = number(found[0]).replace(" to ", "–")
        if found["unit"] == "%" and get_language() == "tr":
            said = f"%{said.removesuffix('%')}"
    if found["unit"] != " mm" or unit not in _INCHES:
        return said
    ends = [float(end) for end in (found["low"], found["high"]) if end]
    return f"{said} ({'–'.join(dict.fromkeys(length(mm, 'in') for mm in ends))})"


def _is_about(mm: float) -> bool:
    eighth_mm = float(MM_PER["in"]) / 8
    return abs(round(mm / eighth_mm) * eighth_mm - mm) > _ABOUT_MM


Say = Callable[[str], str]
