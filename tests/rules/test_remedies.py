"""Findings with an amount. Usual amounts are trade practice with no source unless named."""

import pytest
from scipy.special import ellipe

from patterns.rules.case import FindingSeen, InlayPlace, Length
from patterns.rules.correction import Operation
from patterns.rules.propose import propose
from tests.rules.cases import case, only_correction, only_left_alone, only_question, sleeve


def seen(finding: str, amount_mm: float | None = None) -> FindingSeen:
    return FindingSeen(id=finding, finding=finding, amount_mm=amount_mm)


# --- no correction


@pytest.mark.parametrize("finding", ["crown_too_high", "sleeve_narrow", "hindarm_long"])
def test_a_finding_below_the_making_tolerance_is_left_alone(finding: str) -> None:
    assert "left alone" in only_left_alone(case(seen(finding, 2))).text
    assert only_left_alone(case(seen(finding, 0))).shift_mm == 0


def test_a_length_within_the_pair_tolerance_is_left_alone() -> None:
    """Sleeve length pair within 3 mm (trade practice, no source)."""
    assert only_left_alone(case(Length(id="l", amount_mm=2))).rule == "length"


# --- questions


@pytest.mark.parametrize("finding", ["sleeve_long", "sleeve_short"])
def test_length_asks_for_a_measure_because_there_is_no_usual_amount(finding: str) -> None:
    assert "how much" in only_question(case(seen(finding))).text


@pytest.mark.parametrize("finding", ["cuff_swings_in", "one_good_one_not"])
def test_findings_that_do_not_decide_ask_one_more_question(finding: str) -> None:
    assert only_question(case(seen(finding))).answers


@pytest.mark.parametrize(
    ("one", "other"),
    [
        ("crown_too_high", "crown_too_low"),
        ("sleeve_narrow", "sleeve_wide"),
        ("too_much_ease", "too_little_ease"),
        ("hindarm_long", "hindarm_short"),
        ("armhole_too_low", "armhole_too_high"),
    ],
)
def test_opposite_findings_are_asked_about_and_not_added_up(one: str, other: str) -> None:
    assert "Both cannot be" in only_question(case(seen(one, 8), seen(other, 8))).text


def test_longer_and_shorter_at_once_is_asked_about() -> None:
    assert (
        only_question(case(Length(id="l", amount_mm=10), seen("sleeve_long", 8))).rule == "length"
    )


# --- corrections


@pytest.mark.parametrize(
    ("finding", "operation", "sign", "least", "most"),
    [
        ("crown_too_high", Operation.CROWN, -1, 6, 13),
        ("crown_too_low", Operation.CROWN, +1, 6, 13),
        ("front_of_head_shallow", Operation.FRONT_OF_HEAD, +1, 3, 6),
        ("sleeve_narrow", Operation.WIDTH, +1, 6, 10),
        ("sleeve_wide", Operation.WIDTH, -1, 6, 10),
        ("too_much_ease", Operation.EASE, -1, 5, 10),
        ("too_little_ease", Operation.EASE, +1, 6, 6),
        ("hindarm_long", Operation.BEND, -1, 6, 10),
        ("hindarm_short", Operation.BEND, +1, 6, 10),
        ("forearm_tight", Operation.FOREARM, +1, 6, 6),
        ("armhole_too_low", Operation.ARMHOLE, +1, 10, 15),
        ("armhole_too_high", Operation.ARMHOLE, -1, 6, 6),
        ("armhole_too_far_back", Operation.ARMHOLE, -1, 3, 6),
        ("under_sleeve_head_full", Operation.UNDER_HEAD, +1, 3, 6),
    ],
)
def test_each_finding_has_its_remedy_within_the_usual_amounts(
    finding: str, operation: Operation, sign: int, least: float, most: float
) -> None:
    correction = only_correction(case(seen(finding)))
    assert correction.operation is operation
    assert least <= sign * correction.shift_mm <= most
    assert correction.grounds.sources == (finding,)


def test_the_fitters_amount_goes_before_the_usual_one() -> None:
    assert only_correction(case(seen("crown_too_high", 7))).shift_mm == -7


def test_crown_says_how_much_shorter_the_head_becomes() -> None:
    """Head line of a plane-cut tube: perimeter of the cut ellipse, by scipy.special.ellipe."""

    def head(girth: float, height: float) -> float:
        r = girth / 6.283185307179586
        major = (r * r + height * height / 4) ** 0.5
        return float(4 * major * ellipe(1 - (r / major) ** 2))

    shorter = head(380, 160) - head(380, 150)
    said = only_correction(case(seen("crown_too_high", 10))).moves_too[0]
    assert f"{shorter:.1f} mm shorter" in said


def test_a_low_crown_without_inlay_has_the_other_way_that_costs_length() -> None:
    inlays = {InlayPlace.TOP_SLEEVE_HEAD: 0.0}
    correction = only_correction(case(seen("crown_too_low", 10), inlays_mm=inlays))
    assert correction.share == 0
    assert any("costs 10 mm of sleeve length" in warning for warning in correction.warnings)


def test_width_is_an_amount_on_each_piece_and_says_the_whole() -> None:
    correction = only_correction(case(seen("sleeve_narrow", 8)))
    assert {move.acts for move in correction.moves} == {"each piece"}
    assert "16 mm in all" in correction.title
    assert {need.needed_mm for need in correction.inlays} == {8}


def test_length_costs_inlay_only_when_it_grows() -> None:
    longer = only_correction(case(Length(id="l", amount_mm=12)))
    shorter = only_correction(case(Length(id="l", amount_mm=-12)))
    assert [need.place for need in longer.inlays] == [InlayPlace.CUFF]
    assert shorter.inlays == ()


def test_bend_from_hindarm_length_follows_four_d_over_r_pi_squared() -> None:
    # Girth 330: r = 52.52 mm; D = 8 mm: 4 * 8 / (52.52 * 9.8696) = 0.06173 rad = 3.537 deg.
    correction = only_correction(case(seen("hindarm_short", 8), sleeve=sleeve()))
    assert correction.angle_deg == pytest.approx(3.537, abs=0.01)


def test_the_order_of_a_fitting_is_kept_in_the_answers() -> None:
    proposal = propose(
        case(Length(id="l", amount_mm=12), seen("crown_too_high"), seen("pitch_too_far_back"))
    )
    assert [c.operation for c in proposal.corrections] == [
        Operation.PITCH,
        Operation.CROWN,
        Operation.LENGTH,
    ]
