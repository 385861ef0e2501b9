"""Pitch. Expected numbers are worked by hand from the law theta = 360 s / G (exact on a circle:
arc length over radius), or come from the source named beside the check."""

from math import cos, radians, sin

import pytest

from patterns.rules.case import (
    ClearsWhen,
    Crease,
    CreaseKind,
    CuffOffset,
    FindingSeen,
    PitchAngle,
    Side,
    Slack,
    SwingTest,
    Where,
)
from patterns.rules.correction import Operation
from patterns.rules.propose import propose
from tests.rules.cases import (
    case,
    only_correction,
    only_left_alone,
    only_question,
    sleeve,
)


def crease(where: str, kind: str) -> Crease:
    return Crease(id="crease", where=Where(where), kind=CreaseKind(kind))


def swing(clears: str) -> SwingTest:
    return SwingTest(id="swing", clears_when_arm_goes=ClearsWhen(clears))


def angle(deg: float, id_: str = "angle") -> PitchAngle:
    return PitchAngle(id=id_, angle_deg=deg)


# --- no correction


def test_pitch_says_nothing_when_nothing_was_read() -> None:
    proposal = propose(case())
    assert (proposal.corrections, proposal.questions, proposal.left_alone) == ((), (), ())


def test_pitch_is_left_alone_when_the_angle_is_zero() -> None:
    assert only_left_alone(case(angle(0))).shift_mm == 0


def test_pitch_is_left_alone_below_the_noise_of_the_eye() -> None:
    # 3 deg of eye noise are 4 mm at a girth of 480 mm (480 * 3 / 360): 2.5 deg are 3.33 mm.
    left = only_left_alone(case(angle(2.5)))
    assert left.shift_mm == pytest.approx(3.3333, abs=1e-3)
    assert left.sigma_mm == pytest.approx(4.0)
    assert "left alone" in left.text


def test_pitch_is_left_alone_below_the_making_tolerance_however_precise_the_reading() -> None:
    # 10 mm at 600 mm: 0.955 deg, 1.27 mm, above its noise of 0.64 mm but below 2 mm.
    left = only_left_alone(case(CuffOffset(id="cuff", offset_mm=10, drop_mm=600)))
    assert left.shift_mm == pytest.approx(1.273, abs=1e-3)
    assert "making tolerance" in left.text


def test_pitch_is_not_blamed_when_the_folds_clear_neither_way() -> None:
    assert "not the pitch" in only_left_alone(case(swing("neither"))).text


# --- questions


@pytest.mark.parametrize("where", ["front", "back"])
def test_pitch_asks_when_a_crease_is_neither_slack_nor_strain(where: str) -> None:
    question = only_question(case(crease(where, "unknown")))
    assert "slack or strain" in question.text
    assert question.sources == ("crease",)


def test_pitch_asks_when_slack_and_swing_contradict() -> None:
    assert "contradict" in only_question(case(crease("front", "slack"), swing("forward"))).text


def test_pitch_asks_when_the_swing_test_denies_a_measured_pitch() -> None:
    assert "not the pitch" in only_question(case(angle(8), swing("neither"))).text


def test_pitch_asks_when_two_amounts_differ_by_more_than_their_noise() -> None:
    cuff = CuffOffset(id="cuff", offset_mm=20, drop_mm=600)
    question = only_question(case(angle(15), cuff))
    assert set(question.sources) == {"angle", "cuff"}


def test_pitch_asks_when_measured_and_seen_point_opposite_ways() -> None:
    assert only_question(case(angle(8), crease("back", "slack"))).rule == "pitch"


# --- corrections


@pytest.mark.parametrize("side", list(Side))
def test_pitch_says_the_same_act_in_words_that_agree_on_either_side(side: Side) -> None:
    correction = only_correction(case(angle(6), side=side))
    said = correction.particulars
    assert correction.operation is Operation.PITCH
    assert correction.shift_mm == pytest.approx(8.0)  # 480 * 6 / 360
    assert correction.angle_deg == pytest.approx(6.0)
    assert said["cuff"] == "forward"
    assert said["forearm_seam"] == "up"
    assert said["hindarm_seam"] == "down"
    assert said["top_of_sleeve"] == "back"
    assert said["crown_notch_on_sleeve"] == "forward"


def test_pitch_words_turn_round_when_the_arm_hangs_behind() -> None:
    correction = only_correction(case(angle(-6)))
    said = correction.particulars
    assert correction.shift_mm == pytest.approx(-8.0)
    assert (said["cuff"], said["forearm_seam"], said["hindarm_seam"]) == ("back", "down", "up")
    assert said["crown_notch_on_sleeve"] == "back"


def test_pitch_from_the_cuff_is_six_times_as_precise_as_by_eye() -> None:
    # Sleeve geometry, section 2: 5 mm at 600 mm -> 0.64 mm, against 4 mm for 3 degrees.
    correction = only_correction(case(CuffOffset(id="cuff", offset_mm=63, drop_mm=600)))
    # arctan(63/600) = 5.994 deg -> 7.992 mm
    assert correction.shift_mm == pytest.approx(7.992, abs=1e-3)
    assert correction.grounds.sigma_mm == pytest.approx(0.64, abs=0.01)


def test_pitch_from_slack_reads_the_depth_over_half_the_pitch_width() -> None:
    # f = r sin(theta), r = 70: 7.317 mm is sin 6 deg -> 8 mm of pitch.
    correction = only_correction(case(Slack(id="pins", where=Where.FRONT, depth_mm=7.317)))
    assert correction.shift_mm == pytest.approx(8.0, abs=0.01)


def test_pitch_goes_back_when_the_slack_pins_out_behind() -> None:
    assert only_correction(case(Slack(id="pins", where=Where.BACK, depth_mm=8))).shift_mm < 0


@pytest.mark.parametrize(
    ("readings", "way"),
    [
        ((crease("front", "slack"),), "forward"),
        ((crease("back", "strain"),), "forward"),
        ((crease("back", "slack"),), "back"),
        ((crease("front", "strain"),), "back"),
        ((crease("back", "unknown"), swing("back")), "forward"),
        ((crease("back", "unknown"), swing("forward")), "back"),
        ((FindingSeen(id="f", finding="pitch_too_far_back"),), "forward"),
        ((FindingSeen(id="f", finding="pitch_too_far_forward"),), "back"),
    ],
)
def test_pitch_direction_follows_slack_strain_and_swing(readings: tuple, way: str) -> None:
    """Slack at the front, strain at the back: the arm is forward (trade practice, no source)."""
    correction = only_correction(case(*readings))
    assert correction.particulars["cuff"] == way
    assert abs(correction.shift_mm) == 8.0  # usual 6 to 10
    assert "usual" in correction.grounds.because


def test_pitch_combines_readings_by_their_precision() -> None:
    cuff = CuffOffset(id="cuff", offset_mm=63, drop_mm=600)
    both = only_correction(case(angle(9), cuff))
    # weights 1/16 for 12 mm and 1/0.4096 for 7.99 mm: (0.75 + 19.51) / (0.0625 + 2.4414) = 8.09
    assert both.shift_mm == pytest.approx(8.09, abs=0.03)
    assert both.grounds.sigma_mm < 0.64
    assert both.grounds.sources == ("angle", "cuff")


def test_pitch_is_recut_past_20_mm_to_the_square_rule() -> None:
    # 16 deg -> 21.33 mm. H(t) = h cos t + w sin t (Vincent, The Cutter's Practical Guide, 1, p. 33)
    correction = only_correction(case(angle(16)))
    heights = correction.particulars["hindarm_over_forearm_mm"]
    assert correction.operation is Operation.RECUT
    assert isinstance(heights, dict)
    assert heights["before"] == pytest.approx(65.0, abs=0.05)
    after = 65 * cos(radians(16)) + 140 * sin(radians(16))
    assert heights["after"] == pytest.approx(after, abs=0.1)
    assert any("past 20 mm" in warning for warning in correction.warnings)


def test_pitch_is_recut_when_turning_would_take_the_hindarm_out_of_its_quarter() -> None:
    # The hindarm stands 90 mm up an armhole about 152 mm high: 14 mm down the back is the middle.
    assert only_correction(case(angle(10))).operation is Operation.PITCH  # 13.3 mm
    correction = only_correction(case(angle(13)))  # 17.3 mm
    assert correction.operation is Operation.RECUT
    assert "lower back" in str(correction.particulars["why"])


def test_pitch_prints_the_law_with_the_least_strained_turn() -> None:
    correction = only_correction(case(angle(6)))
    assert "theta = 360 s / G" in correction.law
    assert "least strained" in correction.law


def test_rotating_the_sleeve_and_rotating_the_head_forward_are_told_apart() -> None:
    """A famous trap (trade practice, no source): cuff forward is head back."""
    correction = only_correction(case(angle(6)))
    assert any("top of the sleeve goes back" in words for words in correction.do_not)


def test_slack_deeper_than_half_the_pitch_width_is_asked_about_and_breaks_nothing() -> None:
    """The pattern may be given to an order after the slack was read."""
    deep = Slack(id="pins", where=Where.FRONT, depth_mm=75)
    assert "Pin it again" in only_question(case(deep)).text


def test_pitch_asks_when_readings_lost_in_noise_contradict_a_crease_together() -> None:
    """2.9 deg twice is 3.87 mm with a noise of 2.83 (4 over the root of 2): together it speaks."""
    readings = (angle(-2.9, "a"), angle(-2.9, "b"), crease("back", "strain"))
    assert "contradict" in only_question(case(*readings)).text
    assert (
        "not the pitch"
        in only_question(case(angle(2.9, "a"), angle(2.9, "b"), swing("neither"))).text
    )


def test_pitch_counts_what_was_turned_before_toward_recutting() -> None:
    before = case(angle(6), sleeve=sleeve(notch_shift_mm=13.5))
    correction = only_correction(before)
    assert correction.operation is Operation.RECUT
    assert any("turned before" in w or "quarter" in w for w in correction.warnings)


def test_pitch_says_under_when_the_hindarm_comes_to_stand_under_the_forearm() -> None:
    # H(-30) = 65 cos 30 - 140 sin 30 = 56.29 - 70 = -13.71 mm
    assert "hindarm 13.7 mm under the forearm" in only_correction(case(angle(-30))).title
