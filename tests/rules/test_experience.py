"""What is asked for where only a share of a change comes. Amounts by hand calculation."""

import pytest

from patterns.rules.case import CuffOffset, Length, PitchAngle
from patterns.rules.correction import Operation
from patterns.rules.experience import CALLED
from patterns.rules.propose import amended, propose
from patterns.rules.remedies import REMEDIES
from patterns.rules.report import correction_report
from patterns.rules.solve import solve
from tests.rules.cases import case, only_correction, only_left_alone

# 63 / 600 is 6 degrees of 360 on 480 mm of armhole: 8 mm.
CUFF = CuffOffset(id="cuff", offset_mm=63.0, drop_mm=600.0)


def test_no_share_learnt_leaves_every_correction_as_the_law_has_it() -> None:
    plain, other = only_correction(case(CUFF)), case(CUFF, shop_shares={"length": 0.8})
    assert only_correction(other) == plain
    assert "shop_share" not in correction_report(plain)


def test_a_share_of_four_fifths_asks_for_five_fourths_and_says_so() -> None:
    found = only_correction(case(CUFF, shop_shares={"pitch": 0.8}))
    assert found.shift_mm == pytest.approx(10.0, abs=0.02)
    assert found.grounds.because.endswith(
        "This shop's sleeves take 0.80 of the turn in the armhole: 8 mm asks for 10 mm."
    )
    document = correction_report(found)
    assert document["needed_mm"] == pytest.approx(8.0, abs=0.02)


def test_what_is_predicted_is_what_was_needed_because_only_a_share_comes() -> None:
    plain = only_correction(case(CUFF))
    found = only_correction(case(CUFF, shop_shares={"pitch": 0.8}))
    assert found.predicted == plain.predicted


def test_the_noise_of_a_reading_is_no_smaller_for_a_share() -> None:
    """2.9 mm by eye, give or take 4 mm: left alone, though a share of a half asks for 5.9 mm."""
    by_eye = PitchAngle(id="eye", angle_deg=2.2)
    only_left_alone(case(by_eye, shop_shares={"pitch": 0.5}))


def test_a_turn_that_leaves_its_quarter_by_the_share_is_recut_as_any_other() -> None:
    assert only_correction(case(CUFF)).operation is Operation.PITCH
    scaled = only_correction(case(CUFF, shop_shares={"pitch": 0.5}))
    assert scaled.operation is Operation.RECUT
    assert scaled.shift_mm == pytest.approx(16.0, abs=0.04)


def test_an_amended_amount_stands_as_the_fitter_gave_it_and_keeps_the_share() -> None:
    given = case(CUFF, shop_shares={"pitch": 0.8})
    found = amended(given, only_correction(given), 5.0)
    assert found.shift_mm == pytest.approx(5.0)
    assert found.shop_share == 0.8
    assert "3°" in found.predicted  # 0.8 of 5 mm is 4 mm, 3 degrees


def test_readings_answered_together_ask_for_the_same_as_one_by_one() -> None:
    given = case(Length(id="length", amount_mm=-8.0), shop_shares={"length": 0.8})
    assert only_correction(given).shift_mm == pytest.approx(-10.0)
    assert [c.shift_mm for c in solve(given).corrections] == pytest.approx([-10.0], abs=0.1)


def test_every_remedy_has_its_words_so_that_an_accepted_share_of_it_can_be_said() -> None:
    assert {rule for rule, _, _ in REMEDIES.values()} <= set(CALLED)


def test_a_proposal_of_the_other_kind_is_not_scaled() -> None:
    given = case(CUFF, Length(id="length", amount_mm=8.0), shop_shares={"pitch": 0.8})
    amounts = {c.operation: c.shift_mm for c in propose(given).corrections}
    assert amounts[Operation.LENGTH] == pytest.approx(8.0)
