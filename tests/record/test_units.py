"""Lengths as written: 1 inch is 25.4 mm (international yard and pound agreement, 1959)."""

from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from fittings.forms.fields import LengthField
from fittings.templatetags.shop import length
from fittings.units import (
    Entered,
    NotALength,
    as_typed,
    format_both,
    format_length,
    in_units,
    parse_length,
)


@pytest.mark.parametrize(
    ("text", "unit", "mm"),
    [
        ("12.5", "cm", "125"),
        ("12.5", "mm", "12.5"),
        ("12,5 cm", "in", "125"),
        ("12,5cm", "mm", "125"),
        ("125 mm", "cm", "125"),
        ("4 7/8 in", "cm", "123.825"),
        ('4 7/8"', "mm", "123.825"),
        ("4 7/8''", "mm", "123.825"),
        ("4⅞ inches", "cm", "123.825"),
        ("3/8", "in", "9.525"),
        ("1/8", "in", "3.175"),
        ("1½", "in", "38.1"),
        ("1 ½", "in", "38.1"),
        ("1-1/2", "in", "38.1"),
        ("1 - 1/2 In.", "cm", "38.1"),
        ("1.5", "in", "38.1"),
        ("½", "in", "12.7"),
        ("7⁄8", "in", "22.225"),
        ("12½ cm", "in", "125"),
        ("1/16", "in", "1.5875"),
        (".5", "cm", "5"),
        ("  36\u00a0 in ", "cm", "914.4"),
        ("0", "cm", "0"),
        ("3.175 mm", "cm", "3.175"),
    ],
)
def test_a_length_is_read_exactly_as_a_tailor_writes_it(text: str, unit: str, mm: str) -> None:
    assert parse_length(text, unit).mm == Decimal(mm)


def test_what_was_typed_and_its_unit_are_kept() -> None:
    assert parse_length(" 12,5  cm ", "in") == Entered(
        mm=Decimal("125.0"), as_entered="12,5 cm", unit="cm"
    )


@pytest.mark.parametrize(
    "text",
    [
        *("", "12,5,0", "12.5.0", "twelve", "1/0", "1/3", "1 9/8", "-3", "12 1/2 1/2", "1e3", "١٢"),
        *("12.5 1/2", "3 yd", "nan", "5'", "12 1/2½", "1" * 30),
    ],
)
def test_what_is_not_a_length_is_refused(text: str) -> None:
    with pytest.raises(NotALength):
        parse_length(text, "in")


def test_a_refusal_names_what_was_typed_and_what_to_write() -> None:
    with pytest.raises(NotALength, match=r"'12,5,0' is not a length: write 12\.5 or 12 1/2"):
        parse_length("12,5,0", "cm")


def test_a_bare_fraction_is_not_guessed_to_be_of_a_centimetre() -> None:
    with pytest.raises(NotALength, match="write '3/8 in' if inches are meant"):
        parse_length("3/8", "cm")


def test_a_comma_before_three_figures_is_asked_about() -> None:
    with pytest.raises(NotALength, match=r"write 1250 or 1\.250"):
        parse_length("1,250", "mm")


def test_a_length_beyond_a_body_is_asked_about() -> None:
    with pytest.raises(NotALength, match="more than 5 metres"):
        parse_length("1000", "cm")


@pytest.mark.parametrize(
    ("mm", "unit", "shown"),
    [
        (Decimal("125"), "cm", "12.5 cm"),
        (Decimal("120"), "cm", "12.0 cm"),
        (Decimal("125"), "mm", "125 mm"),
        (Decimal("12.5"), "mm", "12.5 mm"),
        (Decimal("123.825"), "in", "4 7/8 in"),
        (Decimal("3.175"), "in", "1/8 in"),
        (Decimal("38.1"), "in", "1 1/2 in"),
        (Decimal("50.8"), "in", "2 in"),
        (Decimal("19.05"), "in", "3/4 in"),
        (0, "in", "0 in"),
        (-6, "mm", "−6 mm"),
        (Decimal("-0.01"), "mm", "0 mm"),
        (6.35, "in", "1/4 in"),
    ],
)
def test_a_length_is_shown_in_the_unit_asked_for(
    mm: Decimal | float, unit: str, shown: str
) -> None:
    assert format_length(mm, unit) == shown


def test_paper_shows_both_and_says_about_where_eighths_do_not_meet_it() -> None:
    assert format_both(Decimal("6.35"), "mm") == "6.4 mm (1/4 in)"
    assert format_both(Decimal("6"), "mm") == "6 mm (about 1/4 in)"
    assert format_both(Decimal("127"), "cm") == "12.7 cm (5 in)"
    assert format_both(Decimal("127"), "in") == "5 in (127 mm)"


@given(st.integers(min_value=0, max_value=1500))
def test_every_eighth_of_an_inch_survives_being_shown_and_read(eighths: int) -> None:
    mm = Decimal(eighths) * Decimal("3.175")
    assert parse_length(format_length(mm, "in"), "cm").mm == mm


@given(st.integers(min_value=0, max_value=9900))
def test_every_half_millimetre_survives_being_shown_and_read(halves: int) -> None:
    mm = Decimal(halves) / 2
    assert parse_length(format_length(mm, "mm"), "in").mm == mm


@given(st.integers(min_value=0, max_value=4900))
def test_every_millimetre_survives_being_shown_in_centimetres(mm: int) -> None:
    assert parse_length(format_length(Decimal(mm), "cm"), "in").mm == mm


@given(st.sampled_from(["mm", "cm", "in"]), st.sampled_from(["mm", "cm", "in"]), st.data())
def test_kept_text_means_the_same_at_a_form_of_another_unit(
    unit: str, other: str, data: st.DataObject
) -> None:
    text = data.draw(st.sampled_from(["12,5", "12", "3", '1 1/2"', "4 7/8 in", "20 mm", "7 cm"]))
    kept = parse_length(text, unit)
    assert parse_length(as_typed(kept, other), other).mm == kept.mm


def test_a_bare_inch_fraction_gets_its_unit_at_a_metric_form() -> None:
    assert as_typed(parse_length("3/8", "in"), "cm") == "3/8 in"
    assert as_typed(parse_length("3/8", "in"), "in") == "3/8"


def test_field_keeps_what_was_typed_and_refuses_zero_unless_told() -> None:
    field = LengthField(unit="cm", required=False)
    kept = field.clean("12,5")
    assert isinstance(kept, Entered)
    assert (kept.mm, kept.as_entered, kept.unit) == (Decimal("125.000"), "12,5", "cm")
    assert field.clean("  ") is None
    with pytest.raises(Exception, match="above zero"):
        field.clean("0")
    assert LengthField(zero_ok=True).clean("0") is not None


def test_field_offers_letters_for_inches_because_number_keys_have_no_slash() -> None:
    field = LengthField(unit="cm")
    assert field.widget.attrs["inputmode"] == "decimal"
    field.unit = "in"
    assert field.widget.attrs["inputmode"] == "text"


def test_length_filter_still_counts_when_no_unit_is_given() -> None:
    assert length([1, 2, 3]) == 3
    assert length(Decimal(125), "cm") == "12.5 cm"
    assert length(None, "cm") == "–"


def test_a_length_shown_rounded_and_left_alone_counts_as_unchanged() -> None:
    field = LengthField(unit="in")
    shown = field.prepare_value(Decimal("10.0"))
    assert shown == "3/8"
    assert not field.has_changed(Decimal("10.0"), shown)
    assert field.has_changed(Decimal("10.0"), "1/2")
    assert field.has_changed(None, "1/2")
    assert not field.has_changed(None, "")


@pytest.mark.parametrize(
    ("unit", "told"),
    [
        ("mm", "Lower 8 mm (6°), give or take 1.2 mm; 12.7 mm left of 9.5 to 25.4 mm, 12 % of it."),
        (
            "cm",
            "Lower 0.8 cm (6°), give or take 0.12 cm; 1.27 cm left of 0.95 to 2.54 cm, 12 % of it.",
        ),
        (
            "in",  # an eighth is 3.175 mm: 8 is 2.52 of them, 1.2 is 0.38, 12.7 is 4, 9.5 is 2.99
            "Lower about 3/8 in (8 mm) (6°), give or take less than 1/8 in (1.2 mm); 1/2 in left "
            "of 3/8 to 1 in, 12 % of it.",
        ),
        (
            "both",
            "Lower 0.8 cm (about 3/8 in) (6°), give or take 0.12 cm (less than 1/8 in); "
            "1.27 cm (1/2 in) left of 0.95 to 2.54 cm (3/8 to 1 in), 12 % of it.",
        ),
    ],
)
def test_a_sentence_of_the_rules_is_told_in_the_readers_unit(unit: str, told: str) -> None:
    said = "Lower 8 mm (6°), give or take 1.2 mm; 12.7 mm left of 9.5 to 25.4 mm, 12 % of it."
    assert in_units(said, unit) == told


def test_a_sentence_loses_no_figure_in_centimetres_and_needs_no_round_number() -> None:
    assert in_units("between 300 and 412.5 mm", "cm") == "between 30.0 and 41.25 cm"
    assert in_units("by about 11.3 mm", "in") == "by about 1/2 in (11.3 mm)"
    assert in_units("0 mm, 10.6 mm", "in") == "0 in, about 3/8 in (10.6 mm)"
    assert in_units("Source: 1/2 in wider; 5 degrees, 3 pieces", "cm").endswith(
        "5 degrees, 3 pieces"
    )
