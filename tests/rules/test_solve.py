"""Readings of one side solved together: each rule taken alone, couplings, bounds, words."""

from __future__ import annotations

import json

import pytest

from patterns.rules.case import (
    Crease,
    CreaseKind,
    ElbowDirection,
    FindingSeen,
    HindarmShows,
    InlayPlace,
    Length,
    PitchAngle,
    Reading,
    Side,
    Stage,
    Where,
)
from patterns.rules.correction import Meaning, Operation
from patterns.rules.limits import Amounts, limits_of
from patterns.rules.plans import best_fit, is_worth_it
from patterns.rules.solve import Solution, compare_sides, solve, solve_report
from patterns.rules.targets import targets_of
from tests.rules.cases import ARMHOLE, case, only_correction, sleeve

UNDER, FOREARM = InlayPlace.UNDER_SLEEVE_HINDARM, InlayPlace.TOP_SLEEVE_FOREARM
SHORT = FindingSeen(id="b", finding="hindarm_short", amount_mm=8)


def pitch(deg: float, sigma: float = 3.0) -> PitchAngle:
    return PitchAngle(id="p", angle_deg=deg, sigma_deg=sigma)


def elbow(deg: float, sigma: float = 3.0) -> ElbowDirection:
    return ElbowDirection(id="e", turn_deg=deg, sigma_deg=sigma)


def shows(by: float, want: float) -> HindarmShows:
    return HindarmShows(id="h", by_mm=by, want_mm=want)


def longer(mm: float) -> Length:
    return Length(id="l", amount_mm=mm)


def operations(solution: Solution) -> list[Operation]:
    return [correction.operation for correction in solution.corrections]


# --- no correction


def test_nothing_is_changed_when_nothing_was_read() -> None:
    solution = solve(case())
    assert solution.corrections == ()
    assert solution.is_closed
    assert solution.after == solution.now


def test_nothing_is_changed_when_everything_is_as_it_should_be() -> None:
    solution = solve(case(pitch(0), elbow(0), shows(5, 5), longer(0)))
    assert solution.corrections == ()
    assert solution.amounts == Amounts()
    assert solution.is_closed
    assert len(solution.residuals) == 4


def test_what_is_within_noise_or_tolerance_is_left_alone_and_said() -> None:
    solution = solve(case(pitch(1.4), elbow(2), shows(4, 5), longer(2)))
    assert solution.corrections == ()
    assert solution.is_closed
    assert all("within the noise" in residual.text for residual in solution.residuals)


def test_a_reading_that_a_rule_asks_about_stays_a_question_and_moves_nothing() -> None:
    crease = Crease(id="c", where=Where.BACK, kind=CreaseKind.UNKNOWN)
    solution = solve(case(crease))
    assert solution.corrections == ()
    assert not solution.is_closed
    assert "slack or strain" in solution.questions[0].text


# --- one reading alone is answered as its own rule answers it


@pytest.mark.parametrize(
    "reading",
    [
        pitch(6),
        pitch(-9),
        pitch(25),
        elbow(9),
        elbow(-9),
        shows(2, 8),
        longer(10),
        longer(-6),
        SHORT,
    ],
)
def test_one_reading_alone_is_answered_as_by_its_own_rule(reading: Reading) -> None:
    given_case = case(reading)
    alone = only_correction(given_case)
    (together,) = solve(given_case).corrections
    assert together.operation is alone.operation
    assert together.key == alone.key
    assert together.shift_mm == pytest.approx(alone.shift_mm, abs=1e-4)
    assert together.grounds.sigma_mm == pytest.approx(alone.grounds.sigma_mm)


def test_rule_and_solver_leave_the_same_shows_alone() -> None:
    """2.3 mm more to show is past the eye's 2 mm, but within what it tells of the seam's place."""
    assert solve(case(shows(2, 4.3))).corrections == ()


# --- the couplings


def test_elbow_turn_with_a_hindarm_that_lies_well_is_made_at_the_forearm() -> None:
    solution = solve(case(elbow(9), shows(5, 5)))
    (correction,) = solution.corrections
    assert correction.meaning is Meaning.ELBOW_TURN
    assert correction.hindarm_mm is not None
    assert correction.forearm_mm is not None
    assert correction.hindarm_mm.elbow == pytest.approx(0, abs=1e-4)
    assert correction.forearm_mm.elbow == pytest.approx(2 * 330 * 9 / 360, abs=1e-3)
    assert any("both seams alike" in said for said in solution.refused)


def test_elbow_turn_is_shared_alike_where_the_hindarm_hardly_shows() -> None:
    """On the very edge of a round sleeve 8 mm of seam show half a millimetre."""
    (correction,) = solve(case(elbow(9), shows(0, 0))).corrections
    assert correction.hindarm_mm == correction.forearm_mm


def test_elbow_out_and_more_of_the_hindarm_to_show_take_one_change_at_the_hindarm() -> None:
    """Both seams alike and the hindarm alone besides would do it too: two changes for one."""
    solution = solve(case(elbow(9), shows(5, 13.8)))
    assert [c.meaning for c in solution.corrections] == [Meaning.ELBOW_TURN]
    assert solution.amounts.hindarm > 10 * solution.amounts.forearm
    assert solution.is_closed


def test_elbow_out_and_hindarm_hidden_take_two_changes_that_do_not_go_out_and_back() -> None:
    solution = solve(case(elbow(9), shows(8, 3)))
    turned, moved = solution.corrections
    assert (turned.meaning, moved.meaning) == (Meaning.ELBOW_TURN, Meaning.SEAM_ONLY)
    assert solution.amounts.hindarm == pytest.approx(0, abs=1e-4)
    assert solution.amounts.seam_only < 0
    assert solution.is_closed


def test_seam_moved_alone_leaves_the_elbow_that_was_read_right() -> None:
    solution = solve(case(elbow(0), shows(2, 8)))
    assert [c.meaning for c in solution.corrections] == [Meaning.SEAM_ONLY]
    assert solution.after.elbow_turn_deg == solution.now.elbow_turn_deg


def test_pitch_past_its_quarter_can_be_turned_when_the_hindarm_goes_up_with_the_elbow() -> None:
    """17.3 mm alone would carry the hindarm below mid-height (14.3 mm of room); the elbow turn
    takes it 9.5 mm up at the head."""
    alone = solve(case(pitch(13, sigma=0.5)))
    together = solve(case(pitch(13, sigma=0.5), elbow(9)))
    assert operations(alone) == [Operation.RECUT]
    assert any("upper back quarter" in said for said in alone.refused)
    assert operations(together) == [Operation.PITCH, Operation.SEAM_SHIFT]
    assert any("Only together" in said for said in together.corrections[0].warnings)


def test_a_turn_stops_at_the_quarter_when_the_rest_is_noise() -> None:
    solution = solve(case(pitch(12)))
    assert operations(solution) == [Operation.PITCH]
    assert solution.amounts.turn == pytest.approx(ARMHOLE.pitch_room_mm()[1], abs=0.002)
    assert solution.is_closed


# --- bounds


def test_inlay_short_at_one_seam_is_made_up_at_the_other() -> None:
    inlays = {UNDER: 3.8, FOREARM: 20}
    solution = solve(case(elbow(9), inlays_mm=inlays))
    (correction,) = solution.corrections
    needed = {need.place: need.needed_mm for need in correction.inlays}
    assert needed[UNDER] == pytest.approx(3.8, abs=1e-4)
    assert solution.is_closed
    assert any("only 3.8 mm" in said for said in solution.refused)


def test_solution_bound_by_inlay_takes_all_of_it_and_leaves_the_rest_stated() -> None:
    """At the head 380/330 of what moves at the elbow: 3.3 and 3.47 mm there, and a round sleeve
    turns by 180/330 degrees for each."""
    solution = solve(
        case(elbow(9), longer(20), inlays_mm={UNDER: 3.8, FOREARM: 4, InlayPlace.CUFF: 12})
    )
    amounts = solution.amounts
    assert (amounts.hindarm, amounts.forearm) == pytest.approx((3.3, 4 * 330 / 380), abs=1e-4)
    assert amounts.length == pytest.approx(12, abs=1e-4)
    left = {r.target.quantity.value: r.left for r in solution.residuals if r.is_open}
    reached = (3.3 + 4 * 330 / 380) * 180 / 330
    assert left == pytest.approx({"elbow_turn": 9 - reached, "length": 8}, abs=1e-3)
    assert all(c.share == 1 for c in solution.corrections)
    assert any("Further it does not go" in said for said in solution.refused)


def test_elbow_turn_and_seam_alone_share_one_inlay() -> None:
    given_case = case(elbow(9, 0.5), shows(2, 20), inlays_mm={UNDER: 12, FOREARM: 20})
    solution = solve(given_case)
    used = sum(n.needed_mm for c in solution.corrections for n in c.inlays if n.place is UNDER)
    assert used == pytest.approx(12, abs=1e-3)
    assert not solution.is_closed


def test_before_the_cloth_is_cut_no_inlay_binds() -> None:
    inlays = {UNDER: 0.0, FOREARM: 0.0}
    assert solve(case(elbow(9), inlays_mm=inlays, stage=Stage.MEASURED)).is_closed


def test_late_only_what_leaves_the_sleeve_in_is_changed_and_the_rest_is_said() -> None:
    readings = (pitch(6), elbow(9), longer(10))
    finish = solve(case(*readings, stage=Stage.FINISH))
    delivered = solve(case(*readings, stage=Stage.DELIVERED))
    assert operations(finish) == [Operation.PITCH, Operation.LENGTH]
    assert operations(delivered) == [Operation.LENGTH]
    assert [r.is_open for r in delivered.residuals] == [True, True, False]
    assert "finish fitting" in finish.refused[0]


def test_too_little_to_be_worth_cutting_is_not_cut() -> None:
    """1.5 mm of inlay reach less than the making tolerance: the whole stays open instead."""
    solution = solve(case(longer(10), inlays_mm={InlayPlace.CUFF: 1.5}))
    assert solution.corrections == ()
    assert solution.residuals[0].left == pytest.approx(10)
    assert solution.residuals[0].is_open


# --- what is said


def test_sides_changed_unlike_are_noted_in_words() -> None:
    left = solve(case(pitch(6), longer(10), side=Side.LEFT))
    right = solve(case(pitch(0), longer(8), side=Side.RIGHT))
    (note,) = compare_sides(left, right)
    assert note.startswith("Pitch: wearer's left 8 mm cuff forward, wearer's right nothing.")


def test_sleeves_of_unlike_length_afterwards_are_noted() -> None:
    left = solve(case(side=Side.LEFT))
    right = solve(case(side=Side.RIGHT, sleeve=sleeve(length_mm=646)))
    (note,) = compare_sides(left, right)
    assert "wearer's right sleeve is 6 mm longer" in note


def test_sides_given_the_wrong_way_round_are_refused() -> None:
    left, right = (solve(case(side=side)) for side in (Side.LEFT, Side.RIGHT))
    with pytest.raises(ValueError, match="left first"):
        compare_sides(right, left)


def test_report_is_plain_json_that_says_what_is_left() -> None:
    solution = solve(case(elbow(9), longer(20), inlays_mm={InlayPlace.CUFF: 12}))
    document = json.loads(json.dumps(solve_report(solution), allow_nan=False))
    assert document["side"] == "left"
    assert document["closed"] is False
    length = document["residuals"][1]
    assert (length["what"], length["unit"], length["open"]) == ("length", "mm", True)
    assert length["left"] == pytest.approx(8, abs=1e-3)
    assert "8 mm longer left" in length["text"]
    assert document["hang"]["after"]["elbow_turn_deg"] == pytest.approx(9, abs=1e-4)
    assert [c["operation"] for c in document["corrections"]] == ["seam_shift", "length"]


def test_every_plan_that_wins_is_worth_cutting() -> None:
    given_case = case(pitch(6), elbow(9), shows(5, 5), longer(10), SHORT)
    targets, _ = targets_of(given_case)
    best = best_fit(given_case, targets, limits_of(given_case))
    assert is_worth_it(given_case, best)
    assert len(best.plan) == 4
