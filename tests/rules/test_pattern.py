"""A pattern side, changed by corrections as data: undone, composed, replayed, and said in words."""

from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from shapely.geometry import Polygon

from patterns.geometry.sleeve import Levels
from patterns.rules.case import ElbowDirection, FindingSeen, HindarmShows, PitchAngle
from patterns.rules.correction import Correction, Meaning, Operation
from patterns.rules.difference import differences
from patterns.rules.pattern import Change, SidePattern
from patterns.rules.propose import propose
from patterns.rules.report import correction_report
from tests.rules.cases import case
from tests.rules.test_document import DOCUMENT

SIDE = SidePattern.read(DOCUMENT)

READINGS = (
    PitchAngle(id="p", angle_deg=6),
    PitchAngle(id="p", angle_deg=16),
    ElbowDirection(id="e", turn_deg=9),
    HindarmShows(id="h", by_mm=2, want_mm=8),
    *(
        FindingSeen(id="f", finding=finding, amount_mm=8)
        for finding in (
            "crown_too_high",
            "front_of_head_shallow",
            "too_much_ease",
            "sleeve_narrow",
            "hindarm_short",
            "forearm_tight",
            "under_sleeve_head_full",
            "sleeve_short",
            "forearm_seam_shows_in_front",
        )
    ),
)


def correction_of(reading: Any) -> Correction:
    (correction,) = propose(case(reading)).corrections
    return correction


def test_no_change_is_the_same_pattern_and_no_difference() -> None:
    assert SIDE.with_changes() == SIDE
    assert differences(SIDE, SIDE) == ()
    assert SidePattern.read(SIDE.written()) == SIDE


@pytest.mark.parametrize("reading", READINGS)
def test_a_change_and_its_inverse_return_the_same_pattern(reading: Any) -> None:
    change = Change.of(correction_of(reading))
    changed = SIDE.with_change(change)
    assert changed != SIDE
    assert differences(SIDE, changed)
    back = changed.with_change(change.inverse())
    assert differences(SIDE, back) == ()


@pytest.mark.parametrize("reading", READINGS)
def test_a_change_kept_as_data_does_the_same_again(reading: Any) -> None:
    correction = correction_of(reading)
    change = Change.of(correction)
    # The report is rounded to six decimals.
    kept = Change.read(correction_report(correction))
    assert kept.shift_mm == pytest.approx(change.shift_mm, abs=1e-6)
    assert Change.read(kept.written()) == kept
    assert differences(SIDE.with_change(change), SIDE.with_change(kept)) == ()


@settings(deadline=None, max_examples=40, derandomize=True)
@given(first=st.floats(-15, 15), second=st.floats(-15, 15))
def test_two_turns_of_the_pitch_add_up(first: float, second: float) -> None:
    turned = SIDE.with_changes(
        Change(operation=Operation.PITCH, shift_mm=first),
        Change(operation=Operation.PITCH, shift_mm=second),
    )
    assert turned.sleeve.notch_shift_mm == pytest.approx(first + second)
    assert turned.armhole.girth_mm == SIDE.armhole.girth_mm  # sleeve work leaves the armhole


def test_a_seam_moved_alone_is_held_by_the_iron_and_a_redrafted_one_is_not() -> None:
    alone = Change(
        operation=Operation.SEAM_SHIFT,
        shift_mm=8,
        meaning=Meaning.SEAM_ONLY,
        hindarm_mm=Levels.alike(8),
    )
    redrafted = Change(
        operation=Operation.SEAM_SHIFT,
        shift_mm=8,
        meaning=Meaning.ELBOW_TURN,
        hindarm_mm=Levels.alike(8),
        forearm_mm=Levels.alike(8),
    )
    assert SIDE.with_change(alone).sleeve.ironed_share.hindarm == 1.0
    assert SIDE.with_change(redrafted).sleeve.ironed_share.hindarm == 0.0
    # Half the way sewn, half ironed: 8 mm of turning at 16 mm.
    both = SIDE.with_changes(redrafted, alone)
    assert both.sleeve.ironed_share.hindarm == pytest.approx(0.5)


def area(side: SidePattern) -> float:
    return float(Polygon(side.armhole.curve.polyline(2000)).area)


@pytest.mark.parametrize(
    ("place", "amount", "grows"),
    [("underarm", 12, False), ("underarm", -6, True), ("front", 5, False), ("front", -5, True)],
)
def test_the_armhole_is_really_recut(place: str, amount: float, grows: bool) -> None:
    """Areas by shapely; the pitches stay where they were."""
    change = Change(operation=Operation.ARMHOLE, shift_mm=amount, armhole_place=place)
    recut = SIDE.with_change(change)
    assert (area(recut) > area(SIDE)) is grows
    assert recut.armhole.pitch_height_mm == pytest.approx(65, abs=0.05)
    assert recut.armhole.pitch_width_mm == pytest.approx(140, abs=0.05)
    if place == "underarm":
        lowered = SIDE.armhole.height_mm - recut.armhole.height_mm
        assert lowered == pytest.approx(amount, abs=0.05)
    assert any(d.what == "armhole girth" for d in differences(SIDE, recut))


def test_differences_are_said_in_words_with_the_way() -> None:
    turned = SIDE.with_change(Change(operation=Operation.PITCH, shift_mm=8))
    (difference,) = differences(SIDE, turned)
    assert difference.words == "notches along the armhole: 8 mm cuff forward"
    wider = SIDE.with_change(Change(operation=Operation.WIDTH, shift_mm=8))
    assert {d.words for d in differences(SIDE, wider)} == {
        "sleeve girth at the biceps: 16 mm wider",
        "sleeve girth at the elbow: 16 mm wider",
    }


def test_raising_the_crown_leaves_elbow_and_cuff_where_they_are_below_the_biceps_line() -> None:
    raised = SIDE.with_change(Change(operation=Operation.CROWN, shift_mm=8)).sleeve
    below = SIDE.sleeve.length_mm - SIDE.sleeve.crown_height_mm
    assert raised.length_mm - raised.crown_height_mm == pytest.approx(below)
    elbow = SIDE.sleeve.elbow_down_mm - SIDE.sleeve.crown_height_mm
    assert raised.elbow_down_mm - raised.crown_height_mm == pytest.approx(elbow)


def test_lengthening_at_the_cuff_leaves_elbow_and_bend() -> None:
    longer = SIDE.with_change(Change(operation=Operation.LENGTH, shift_mm=12)).sleeve
    assert longer.elbow_down_mm == pytest.approx(SIDE.sleeve.elbow_down_mm)
    assert longer.turning_deg == pytest.approx(SIDE.sleeve.turning_deg)


@pytest.mark.parametrize(
    ("place", "amount", "within"), [("front", -5, 0.05), ("underarm", 8, 0.05)]
)
def test_what_was_cut_from_the_armhole_comes_back_by_its_inverse(
    place: str, amount: float, within: float
) -> None:
    """The largest distance between the two lines, by shapely."""
    change = Change(operation=Operation.ARMHOLE, shift_mm=amount, armhole_place=place)
    back = SIDE.with_changes(change, change.inverse())
    lines = (Polygon(side.armhole.curve.polyline(720)).exterior for side in (SIDE, back))
    first, second = lines
    assert first.hausdorff_distance(second) < within
