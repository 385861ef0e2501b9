"""What is dragged on a figure is kept as a reading like any other, the same on both sides."""

import math
import uuid
from typing import Any

import pytest

from fittings.fitting_room.proposals import one_side
from fittings.fitting_room.said import entry_said
from fittings.models import Entry, Fitting
from tests.fitting.conftest import Room, text

SIDES = ("left", "right")


def dragged(room: Room, side: str = "left", what: str = "hand-pitch", **given: Any) -> Any:
    stands = {"arm_way": "plus", "arm": "0", "sleeve_way": "plus", "sleeve": "0", **given}
    return room.read(what, side, **stands)


def newest(fitting: Fitting) -> Entry:
    return Entry.objects.filter(fitting=fitting, kind="reading").latest("received_at")


def test_a_figure_left_as_it_stands_reads_an_arm_in_line_and_proposes_nothing(
    room: Room, fitting: Fitting
) -> None:
    dragged(room, arm="6", sleeve="6")
    assert newest(fitting).data["angle_deg"] == 0
    assert one_side(fitting, "left").proposed == ()


@pytest.mark.parametrize("side", SIDES)
def test_the_cuff_dragged_toward_the_front_is_positive_on_both_sides(
    room: Room, fitting: Fitting, side: str
) -> None:
    """The arm 8 degrees forward and the sleeve 2 behind plumb are 10 degrees apart."""
    dragged(room, side, arm="8", sleeve="2", sleeve_way="minus")
    kept = newest(fitting)
    assert (kept.side, kept.data["angle_deg"]) == (side, 10)
    assert entry_said(kept, "mm") == "Pitch: the arm hangs 10° forward of the sleeve"


def test_the_same_drag_proposes_the_same_on_left_and_right(room: Room, fitting: Fitting) -> None:
    for side in SIDES:
        dragged(room, side, arm="6")
    left, right = (one_side(fitting, side).proposed[0].correction for side in SIDES)
    assert (left.operation, left.shift_mm) == (right.operation, right.shift_mm)
    # Six degrees of an armhole of 480 mm, read off a circle: 480 * 6 / 360.
    assert left.shift_mm == pytest.approx(8.0, abs=0.05)


def test_an_arm_behind_its_sleeve_reads_below_nought(room: Room, fitting: Fitting) -> None:
    dragged(room, arm="3", arm_way="minus", sleeve="4.5")
    assert newest(fitting).data["angle_deg"] == -7.5


def test_what_was_dragged_is_kept_beside_the_reading_and_changes_no_answer(
    room: Room, fitting: Fitting
) -> None:
    dragged(room, arm="12", sleeve="6")
    room.read("pitch-angle", "right", way="plus", angle="6")
    assert Entry.objects.get(side="left").data["detail"] == {
        "taken": "figure",
        "arm_deg": 12.0,
        "sleeve_deg": 6.0,
    }
    left, right = (one_side(fitting, side).proposed[0].correction for side in SIDES)
    assert left.shift_mm == right.shift_mm
    assert left.grounds.sigma_mm == right.grounds.sigma_mm


def test_the_figure_is_shown_again_beside_its_line_as_it_was_dragged(room: Room) -> None:
    page = dragged(room, arm="12", sleeve="6").content.decode()
    small = page[page.index('class="hand-small"') :]
    assert "rotate(-12.0 180 146)" in small
    assert "rotate(-6.0 180 146)" in small
    assert "As dragged on the wearer&#x27;s left" in small


def test_millimetres_stepped_at_the_cuff_are_kept_as_measured_there(
    room: Room, fitting: Fitting
) -> None:
    answer = dragged(room, arm=str(round(math.degrees(math.atan(60 / 600)), 2)), offset_mm="60")
    assert newest(fitting).data["cuff_offset_mm"] == 60
    assert "60 mm forward of the sleeve, 600 mm below the armhole" in text(answer)


def test_the_arms_elbow_further_out_is_positive_on_both_sides(room: Room, fitting: Fitting) -> None:
    for side in SIDES:
        dragged(room, side, "hand-elbow", arm="15", sleeve="5")
    turns = [e.data["turn_deg"] for e in fitting.entries.all()]
    assert turns == [10, 10]
    left, right = (one_side(fitting, side).proposed[0].correction for side in SIDES)
    assert left.shift_mm == right.shift_mm > 0


def test_an_amount_without_its_way_asks_for_it_and_keeps_what_was_typed(room: Room) -> None:
    answer = dragged(room, arm="7", arm_way="")
    assert answer.status_code == 422
    assert "Say which way" in text(answer)
    assert 'value="7"' in answer.content.decode()
    assert not Entry.objects.exists()


def test_more_than_an_arm_can_hang_is_refused_in_words(room: Room) -> None:
    answer = dragged(room, arm="31")
    assert answer.status_code == 422
    assert "Write 0 to 30 degrees; the button says which way." in text(answer)


def test_a_drag_sent_twice_is_kept_once(room: Room, fitting: Fitting) -> None:
    same = str(uuid.uuid4())
    for _ in range(2):
        dragged(room, arm="6", identity=same)
    assert fitting.entries.count() == 1


def test_the_plain_form_keeps_it_without_script(room: Room, fitting: Fitting) -> None:
    given = {"arm": "6", "arm_way": "plus", "sleeve": "", "sleeve_way": ""}
    answer = room.read("hand-pitch", plain=True, **given)
    assert answer.status_code == 302
    assert newest(fitting).data["angle_deg"] == 6


@pytest.mark.parametrize(("side", "front"), [("left", "left"), ("right", "right")])
def test_each_figure_says_on_which_side_the_front_lies(room: Room, side: str, front: str) -> None:
    assert f"Seen from the wearer&#x27;s {side}: the front is to the {front}" in room.page()
