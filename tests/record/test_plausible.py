"""Believable measures. Figures: ANSUR II public data, NATICK/TR-15/007 (2014); repeat limits:
ISO 20685 as tabulated in Anthropometry, Apparel Sizing and Design, p. 41."""

from decimal import Decimal

import pytest
from scipy.stats import norm

from fittings.measures.plausible import FAR, judge
from fittings.models import MeasureName as M

D = Decimal

# ANSUR II, means of men and women, mm
MEN = {
    M.STATURE: 1756.2,
    M.CHEST_GIRTH: 1058.7,
    M.BACK_WIDTH: 430.9,
    M.WRIST_GIRTH: 175.9,
    M.SLEEVE_OUTSEAM: 593.1,
    M.UPPER_ARM_LENGTH: 335.2,
    M.ARM_LENGTH: 335.2 + 267.9,
}
WOMEN = {
    M.STATURE: 1628.5,
    M.CHEST_GIRTH: 946.9,
    M.BACK_WIDTH: 373.4,
    M.WRIST_GIRTH: 154.8,
    M.SLEEVE_OUTSEAM: 543.6,
    M.UPPER_ARM_LENGTH: 311.2,
    M.ARM_LENGTH: 311.2 + 241.3,
}


def once(values: dict[M, float]) -> dict[str, list[D]]:
    return {name: [D(str(mm))] for name, mm in values.items()}


def test_nothing_is_said_of_the_average_man_or_woman() -> None:
    assert judge(once(MEN), population="men") == ()
    assert judge(once(WOMEN), population="women") == ()


def test_nothing_is_said_when_no_comparison_was_chosen() -> None:
    assert judge({M.CHEST_GIRTH: [D(2000)], M.ARM_LENGTH: [D(600)]}) == ()


def test_nothing_is_said_of_a_measure_the_survey_has_no_figure_for() -> None:
    assert judge({M.SCYE_DEPTH: [D(900)]}, population="men") == ()


# 1058.7 + 3 x 87.4 = 1320.9; 1058.7 - 3 x 87.4 = 796.5
@pytest.mark.parametrize(("chest", "told"), [(1320, 0), (1322, 1), (797, 0), (796, 1)])
def test_chest_is_told_beyond_three_standard_deviations(chest: int, told: int) -> None:
    assert len(judge({M.CHEST_GIRTH: [D(chest)]}, population="men")) == told


def test_a_remark_says_which_way_how_far_and_by_which_survey() -> None:
    (remark,) = judge({M.CHEST_GIRTH: [D(1400)]}, population="men", unit="cm")
    assert remark.measure == M.CHEST_GIRTH
    assert remark.text.startswith(
        "Chest girth 140.0 cm: larger than on 99 of 100 men of the survey, who have 105.9 cm on "
        "average (ANSUR II, 2014)."
    )


def test_ninety_nine_of_a_hundred_holds_at_the_least_that_is_told() -> None:
    """Further out than three standard deviations on one side, of a bell curve (scipy)."""
    assert norm.sf(FAR) < 0.01
    (remark,) = judge({M.CHEST_GIRTH: [D(1322)]}, population="men")
    assert "99 of 100" in remark.text


@pytest.mark.parametrize(
    ("name", "mm", "words"),
    [
        (M.STATURE, 2000, "taller"),
        (M.STATURE, 1500, "shorter"),
        (M.BACK_WIDTH, 300, "narrower"),
        (M.SLEEVE_OUTSEAM, 700, "longer"),
        (M.WRIST_GIRTH, 140, "smaller"),
    ],
)
def test_a_remark_uses_the_word_that_the_measure_has(name: M, mm: int, words: str) -> None:
    (remark,) = judge({name: [D(mm)]}, population="men")
    assert f": {words} than on 99 of 100 men" in remark.text


def test_no_remark_speaks_as_a_statistician() -> None:
    told = judge(
        {
            M.CHEST_GIRTH: [D(1400), D(1440)],
            M.UPPER_ARM_LENGTH: [D(360)],
            M.ARM_LENGTH: [D(600)],
            M.WAIST_GIRTH: [D(1200)],
        },
        population="men",
        previous={M.WAIST_GIRTH: [D(1000)]},
    )
    assert {remark.kind for remark in told} == {"repeat", "population", "previous", "elbow"}
    words = " ".join(remark.text.lower() for remark in told)
    for jargon in ("percentile", "standard", "deviation", "sigma", "z-score", "two in three"):
        assert jargon not in words


def test_a_girth_usual_for_men_may_be_told_for_women() -> None:
    # 195 mm: (195 - 175.9) / 9.0 = 2.1; (195 - 154.8) / 7.8 = 5.2
    assert judge({M.WRIST_GIRTH: [D(195)]}, population="men") == ()
    assert len(judge({M.WRIST_GIRTH: [D(195)]}, population="women")) == 1


@pytest.mark.parametrize(
    ("name", "limit"),
    [
        (M.WRIST_GIRTH, 4),
        (M.NECK_GIRTH, 4),
        (M.STATURE, 4),
        (M.ARM_LENGTH, 5),
        (M.SHOULDER_LENGTH, 5),
        (M.CHEST_GIRTH, 9),
        (M.WAIST_GIRTH, 9),
    ],
)
def test_repeats_are_told_only_beyond_the_published_limit(name: M, limit: int) -> None:
    assert judge({name: [D(400), D(400 + limit)]}) == ()
    (remark,) = judge({name: [D(400), D(400) + limit + D("0.5")]}, unit="mm")
    assert remark.kind == "repeat"
    assert f"no more than {limit} mm" in remark.text


def test_repeats_are_judged_by_their_mean_against_the_survey() -> None:
    assert judge({M.CHEST_GIRTH: [D(1317), D(1324)]}, population="men") == ()
    assert len(judge({M.CHEST_GIRTH: [D(1318), D(1326)]}, population="men")) == 1


# Changes since the last set: trade practice, no source.
def test_a_grown_arm_is_told_and_a_steady_one_is_not() -> None:
    then = {M.ARM_LENGTH: [D(600)]}
    assert judge({M.ARM_LENGTH: [D(609)]}, previous=then) == ()
    (remark,) = judge({M.ARM_LENGTH: [D(615)]}, previous=then, previous_on="5 Jan 2026", unit="mm")
    assert remark.text == (
        "Arm length: 15 mm more than last time (5 Jan 2026): 600 mm then, 615 mm now."
    )


def test_a_waist_may_come_and_go_by_a_twentieth() -> None:
    then = {M.WAIST_GIRTH: [D(900)]}
    assert judge({M.WAIST_GIRTH: [D(944)]}, previous=then) == ()
    (remark,) = judge({M.WAIST_GIRTH: [D(850)]}, previous=then, unit="cm")
    assert "5.0 cm less than last time" in remark.text


# Elbow at 0.556 (sd 0.010) of the acromion-wrist length in men, 0.563 in women.
@pytest.mark.parametrize(
    ("upper", "population", "told"),
    [(334, "men", 0), (350, "men", 0), (353, "men", 1), (353, "women", 0), (310, "women", 1)],
)
def test_elbow_is_told_when_it_lies_at_no_usual_share_of_the_arm(
    upper: int, population: str, told: int
) -> None:
    remarks = judge({M.UPPER_ARM_LENGTH: [D(upper)], M.ARM_LENGTH: [D(600)]}, population=population)
    assert len([remark for remark in remarks if remark.kind == "elbow"]) == told


def test_elbow_remark_says_where_it_usually_lies() -> None:
    remarks = judge(
        {M.UPPER_ARM_LENGTH: [D(360)], M.ARM_LENGTH: [D(600)]}, population="men", unit="mm"
    )
    # 0.556 x 600 = 333.6, and three times 0.010 x 600 to either side of it
    assert "315.6 mm to 351.6 mm below the shoulder point, about 333.6 mm" in remarks[-1].text
