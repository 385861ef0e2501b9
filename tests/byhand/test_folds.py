"""A fold by place and pinch test: a crease, a row of the catalogue, or one more question."""

import pytest

from fittings.fitting_room.proposals import one_side
from fittings.forms.folds import FOLDS, PLACES
from fittings.models import Entry, Fitting
from patterns.rules.catalogue import FINDINGS
from patterns.rules.document import reading_faults
from tests.fitting.conftest import Room, text


def test_a_crease_that_nobody_can_tell_proposes_nothing_and_asks(
    room: Room, fitting: Fitting
) -> None:
    room.read("hand-fold", place="back_pitch", kind="unknown")
    side = one_side(fitting, "left")
    assert side.proposed == ()
    assert side.proposal is not None
    assert "slack or strain" in side.proposal.questions[0].text


@pytest.mark.parametrize(
    ("place", "kind", "forward"),
    [
        ("front_pitch", "slack", True),
        ("back_pitch", "strain", True),
        ("front_pitch", "strain", False),
        ("back_pitch", "slack", False),
    ],
)
def test_slack_in_front_and_strain_behind_both_send_the_cuff_forward(
    room: Room, fitting: Fitting, place: str, kind: str, forward: bool
) -> None:
    """The arm forward of the sleeve: slack in front, strain behind (trade practice, no source)."""
    room.read("hand-fold", place=place, kind=kind)
    assert (one_side(fitting, "left").proposed[0].correction.shift_mm > 0) is forward


# What is seen and what it is called, as the trade has it (trade practice, no source).
SEEN = [
    ("head", "slack", "crown_too_high"),
    ("head", "strain", "crown_too_low"),
    ("upper_arm", "strain", "sleeve_narrow"),
    ("upper_arm", "slack", "sleeve_wide"),
    ("elbow", "slack", "hindarm_long"),
    ("elbow", "strain", "hindarm_short"),
    ("forearm", "strain", "forearm_tight"),
    ("front_head", "strain", "front_of_head_shallow"),
]


@pytest.mark.parametrize(("place", "kind", "finding"), SEEN)
def test_a_fold_away_from_the_pitches_is_a_row_of_the_catalogue(
    room: Room, place: str, kind: str, finding: str
) -> None:
    room.read("hand-fold", place=place, kind=kind)
    assert Entry.objects.get().data["finding"] == finding
    assert Entry.objects.get().data["detail"]["place"] == place


@pytest.mark.parametrize("place", ["head", "upper_arm", "elbow", "forearm", "front_head"])
def test_a_fold_whose_remedies_are_opposite_asks_again_instead_of_guessing(
    room: Room, place: str
) -> None:
    answer = room.read("hand-fold", place=place, kind="unknown")
    assert answer.status_code == 422
    assert "pinch it again" in text(answer)
    assert not Entry.objects.exists()


def test_slack_along_the_forearm_asks_where_it_begins(room: Room) -> None:
    answer = room.read("hand-fold", place="forearm", kind="slack")
    assert answer.status_code == 422
    assert "Does it begin below the front pitch, or above the elbow?" in text(answer)


def test_what_a_fold_is_without_its_place_asks_for_the_place(room: Room) -> None:
    answer = room.read("hand-fold", kind="slack")
    assert answer.status_code == 422
    assert "Tap the place on the figure first" in text(answer)


def test_slack_with_a_depth_is_the_pinned_slack_of_that_pitch(room: Room, fitting: Fitting) -> None:
    """10 mm pinned out between pitches 140 mm apart: asin(10 / 70) is 8.2 degrees, by a table of
    sines, and 10.9 mm of an armhole of 480 mm."""
    room.read("hand-fold", place="front_pitch", kind="slack", depth="10")
    assert Entry.objects.get().data["what"] == "slack"
    shift = one_side(fitting, "left").proposed[0].correction.shift_mm
    assert shift == pytest.approx(10.9, abs=0.1)


def test_a_depth_of_something_taut_is_refused_since_nothing_pins_out(room: Room) -> None:
    answer = room.read("hand-fold", place="front_pitch", kind="strain", depth="10")
    assert answer.status_code == 422
    assert "leave the depth empty here" in text(answer)


def test_every_fold_is_a_reading_that_the_rules_know() -> None:
    assert {place for place, _ in FOLDS} == {place for place, _ in PLACES}
    for reading in FOLDS.values():
        assert reading_faults({"id": "this", **reading}) == []
        assert reading.get("finding", "sleeve_wide") in FINDINGS
