"""Which signs nobody sees, and which only look so: held against Python's own tables of Unicode."""

import sys
import unicodedata

import pytest

from patterns.unseen import without_unseen, without_unseen_in

# Unicode UAX #9, section 2: what embeds, overrides and isolates, and the three implicit marks
# (ALM, LRM, RLM; PropList.txt, Bidi_Control).
EXPLICIT = {"LRE", "RLE", "LRO", "RLO", "PDF", "LRI", "RLI", "FSI", "PDI"}
MARKS = {"ARABIC LETTER MARK", "LEFT-TO-RIGHT MARK", "RIGHT-TO-LEFT MARK"}
# UTS #39, IdentifierType.txt (Default_Ignorable): they pass for letters and are empty.
FILLERS = "\u115f\u1160\u3164\uffa0"
EVERY = [chr(code) for code in range(sys.maxunicode + 1)]


def test_every_mark_of_direction_is_left_out() -> None:
    marks = [
        sign
        for sign in EVERY
        if unicodedata.bidirectional(sign) in EXPLICIT or unicodedata.name(sign, "") in MARKS
    ]
    assert len(marks) == 12
    assert without_unseen("12".join(marks)) == "12" * 11


def test_every_control_is_left_out_but_tabs_and_ends_of_lines() -> None:
    controls = "".join(sign for sign in EVERY if unicodedata.category(sign) in {"Cc", "Cs"})
    assert set(without_unseen(controls)) == {"\t", "\n", "\r"}
    assert without_unseen("High Street\u2028Ashton\x0bTown") == "High Street\nAshton\nTown"


def test_every_letter_accent_figure_and_sign_stays() -> None:
    """Of all classes of the General Category but those of format, control and no character."""
    kept = "".join(s for s in EVERY if unicodedata.category(s)[0] in "LMNPS" and s not in FILLERS)
    assert without_unseen(kept) == kept
    assert without_unseen(FILLERS) == ""


@pytest.mark.parametrize(
    "name",
    [
        "علی\u200cرضا",  # Persian: the two parts of a name (UAX #31, A1)
        "क्\u200dष",  # Devanagari: the half form after a virama (B)
        "श्री\u200cक्\u200cष"[:3] + "क्\u200cष",  # and the virama shown (A2)
        "র\u200d্যাম",  # Bengali: before a virama (The Unicode Standard, section 12.2)
        "അവന്\u200d",  # Malayalam: a letter at the end of a word
        "👩\u200d🎨",
    ],
)
def test_a_joiner_stays_where_a_script_needs_it(name: str) -> None:
    assert without_unseen(name) == name


@pytest.mark.parametrize("name", ["A\u200dda", "\u200cAda", "Ada\u200d", "Ада\u200cм", "ع\u200d"])
def test_a_joiner_is_left_out_where_nothing_joins(name: str) -> None:
    assert "\u200c" not in without_unseen(name)
    assert "\u200d" not in without_unseen(name)


def test_two_names_that_look_alike_are_one() -> None:
    assert without_unseen("\ufeffAd\u200ba\u2060 A\u00adsh\U000e0041") == "Ada Ash"
    said = {"a\u200b": ["\u202e12 mm", {"b": "x\u2066"}], "n": 1, "no": None}
    assert without_unseen_in(said) == {"a\u200b": ["12 mm", {"b": "x"}], "n": 1, "no": None}
