"""Words of the paper: all there in every language, nothing guessed, no side or amount lost."""

import gettext
import re
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from django.utils import translation

from fittings.paper.words import FRAMES, capital, length, say, upper
from tests.languages.worked import every_line

LOCALE = Path(__file__).parents[2] / "fittings" / "locale"
LANGUAGES = ("it", "tr", "es")
WRITTEN = {"it": "(come scritto)", "tr": "(yazıldığı gibi)", "es": "(original)"}
SIDES = {
    "it": ("sinistra di chi indossa", "destra di chi indossa"),
    "tr": ("giyenin solu", "giyenin sağı"),
    "es": ("izquierda de quien lo lleva", "derecha de quien lo lleva"),
}


def sentences(line: dict[str, Any]) -> Iterator[str]:
    """All that a ticket prints of one line of work."""
    yield from (line["title"], line["because"], line["predicted"])
    for move in line["moves"]:
        yield from (move[k] for k in ("piece", "edge", "direction", "acts", "measured_from"))
    for work in line["iron"]:
        yield from (work["how"], work["place"])
    for name in ("do", "do_not", "limits", "warnings", "moves_too"):
        yield from line[name]


@pytest.fixture(scope="module")
def said_in_english() -> set[str]:
    return {sentence for line in every_line() for sentence in sentences(line) if sentence}


def catalogue(language: str) -> dict[str, str]:
    """What the compiled file holds, read by Python's own gettext."""
    with (LOCALE / language / "LC_MESSAGES" / "django.mo").open("rb") as file:
        known: dict[str, str] = vars(gettext.GNUTranslations(file))["_catalog"]
    return {key: told for key, told in known.items() if key}


def drafted(language: str) -> dict[str, str]:
    """What the text file holds; every message stands on one line."""
    text = (LOCALE / language / "LC_MESSAGES" / "django.po").read_text(encoding="utf-8")
    assert "fuzzy" not in text
    pairs = re.findall(r'^msgid "(.+)"\nmsgstr "(.*)"$', text, re.MULTILINE)
    return {a.replace('\\"', '"'): b.replace('\\"', '"') for a, b in pairs}


@pytest.mark.parametrize("language", LANGUAGES)
def test_every_sentence_of_every_operation_is_said_in_the_language(
    language: str, said_in_english: set[str]
) -> None:
    assert len(said_in_english) > 400
    with translation.override(language):
        untold = {one for one in said_in_english if WRITTEN[language] in say(one, "mm")}
    assert untold == set()


@pytest.mark.parametrize("language", LANGUAGES)
def test_what_no_catalogue_knows_is_quoted_whole_because_half_a_sentence_misleads(
    language: str,
) -> None:
    typed = "Raise the crown 8 mm. Then ask Odile about the lining."
    with translation.override(language):
        assert say(typed, "in") == f"“{typed}” {WRITTEN[language]}"


@pytest.mark.parametrize("language", LANGUAGES)
def test_compiled_words_are_the_drafted_ones_and_none_is_empty(language: str) -> None:
    assert drafted(language) == catalogue(language)
    assert all(told.strip() for told in drafted(language).values())
    assert drafted(language).keys() == drafted("it").keys() >= set(FRAMES)


@pytest.mark.parametrize("language", LANGUAGES)
def test_translations_keep_every_hole_for_an_amount(language: str) -> None:
    def holes(text: str) -> list[str]:
        return sorted(re.findall(r"\{\w+\}|%\(\w+\)s", text))

    for message, told in drafted(language).items():
        assert holes(told) == holes(message), message


@pytest.mark.parametrize("language", LANGUAGES)
def test_sides_are_never_lost_or_swapped(language: str, said_in_english: set[str]) -> None:
    left, right = SIDES[language]
    with translation.override(language):
        assert (say("wearer's left", "mm"), say("wearer's right", "mm")) == (left, right)
    other = {"left": r"sinistr|\bsol|izquierd", "right": r"destr|sağ|derech"}
    for message, told in drafted(language).items():
        for side, words in other.items():
            if side in re.findall(r"\b(?:left|right)\b", message.replace("left out", "")):
                found = bool(re.search(words, told, re.IGNORECASE))
                is_a_side = re.search(rf"wearer's {side}|the {side} of the paper", message)
                assert found or not is_a_side, message


@pytest.mark.parametrize("language", LANGUAGES)
def test_opposite_directions_are_said_differently(language: str) -> None:
    pairs = (
        ("up the front of the armhole", "down the front of the armhole"),
        ("cuff forward, 8 mm (6°)", "cuff back, 8 mm (6°)"),
        ("raise", "lower"),
        ("let out", "take in"),
        ("let down", "take up"),
    )
    with translation.override(language):
        for one, other in pairs:
            assert say(one, "mm") != say(other, "mm")


def test_amounts_follow_the_language_and_the_unit() -> None:
    """10 mm is 3.15 eighths of an inch, 9.5 mm is 2.99 of them (1 in = 25.4 mm, ISO 31-1)."""
    with translation.override("it"):
        assert say("Raise the crown 6.5 mm, to nothing at the pitches", "mm").count("6,5 mm") == 1
        assert length(9.5, "in") == "3/8 poll."
        assert length(8, "in") == "ca. 3/8 poll."
    with translation.override("en-gb"):
        assert say("raise 9.5 mm", "in") == "raise 9.5 mm (3/8 in)"
        assert say("raise 6.5 mm", "cm") == "raise 6.5 mm"


def test_turkish_large_letters_keep_the_dot() -> None:
    with translation.override("tr"):
        assert upper("giyenin sağı") == "GİYENİN SAĞI"
        assert capital("iki parça") == "İki parça"


def test_cm_say_the_last_figure_of_the_mm_they_stand_beside() -> None:
    assert [length(mm) for mm in (3.33, 4.46, 8)] == ["3.3 mm", "4.5 mm", "8 mm"]
    assert [length(mm, "cm") for mm in (3.33, 4.46, 8)] == ["0.33 cm", "0.45 cm", "0.8 cm"]
