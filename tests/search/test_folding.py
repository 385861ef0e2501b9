"""Words made alike. Names are made up; what is alike is how German and Danish write one name."""

import pytest

from fittings.search.folding import as_number, folded, sought


@pytest.mark.parametrize("typed", ["Muller", "Müller", "Mueller", "MÜLLER", "Mu\u0308ller"])
def test_an_umlaut_is_found_however_it_is_written(typed: str) -> None:
    assert sought(typed) == ["muller"]


@pytest.mark.parametrize(
    ("typed", "word"), [("Straße", "strasse"), ("Łukasz", "lukasz"), ("Søren", "soren")]
)
def test_letters_that_do_not_come_apart_are_plain_ones(typed: str, word: str) -> None:
    assert sought(typed) == [word]


def test_signs_that_mean_something_to_a_database_are_no_part_of_a_word() -> None:
    assert sought('ann" OR * % _x\\ (y') == ["ann", "or"]


def test_a_single_letter_is_not_looked_for_as_it_says_nothing() -> None:
    assert sought("a") == []


def test_a_phone_number_is_one_word_whatever_stands_between_its_groups() -> None:
    assert sought("+49 (0)170 / 123-4567") == sought("0170 123 4567") == ["01234567"]


def test_each_word_stands_between_spaces_once() -> None:
    assert folded("Anna-Maria", None, "anna") == " anna maria "


@pytest.mark.parametrize(
    ("typed", "number"),
    [("c12", ("C-0012", None)), ("T-0042/2", ("T-0042", 2)), ("o 7", ("O-0007", None))],
)
def test_a_number_is_known_however_it_is_typed(typed: str, number: tuple[str, int | None]) -> None:
    assert as_number(typed) == number


@pytest.mark.parametrize("typed", ["", "12", "cloth 12", "X-0012", "C-"])
def test_what_is_no_number_of_the_shop_is_a_word(typed: str) -> None:
    assert as_number(typed) is None
