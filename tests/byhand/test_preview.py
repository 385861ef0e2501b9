"""What would be proposed, before anything is kept."""

import math
import re
import uuid
from typing import Any

import pytest

from fittings.fitting_room.proposals import one_side
from fittings.models import Decision, Entry, Fitting
from tests.asked import queries
from tests.factories import FittingFactory
from tests.fitting.conftest import Room, text


def preview(
    room: Room, side: str = "left", what: str = "hand-pitch", plain: bool = False, **given: Any
) -> Any:
    data = {"arm_way": "plus", "sleeve_way": "plus", "arm": "0", "sleeve": "0", **given}
    sent = {"side": side, "what": what, "identity": str(uuid.uuid4()), **data}
    return room.post("fitting-preview", sent, plain=plain)


def test_an_arm_in_line_would_propose_nothing_and_says_so(room: Room) -> None:
    answer = preview(room)
    assert answer.status_code == 200
    assert "Pitch left alone" in text(answer)


def test_a_preview_keeps_nothing(room: Room, fitting: Fitting) -> None:
    preview(room, arm="6")
    assert not Entry.objects.exists()
    assert not Decision.objects.exists()
    assert not Entry.history.exists()


@pytest.mark.parametrize("side", ["left", "right"])
def test_a_preview_says_what_is_proposed_once_it_is_kept(room: Room, side: str) -> None:
    before = text(preview(room, side, arm="6"))
    said = re.search(r"Would propose: (.*?\d mm)", before)
    assert said is not None
    assert "cuff forward" in said[1]
    kept = room.read("hand-pitch", side, arm_way="plus", arm="6", sleeve_way="plus", sleeve="0")
    assert said[1] in text(kept)


def test_a_preview_hears_the_readings_that_stand_already(room: Room) -> None:
    """A cuff far behind contradicts an arm dragged far forward: the rules ask, not guess."""
    room.cuff("120", way="minus")
    assert "contradict each other" in text(preview(room, arm="20"))


def test_a_preview_leaves_out_what_comes_of_other_readings(room: Room) -> None:
    room.read("length", way="plus", by="15")
    assert "longer" not in text(preview(room, arm="6")).lower()


def test_a_fold_is_previewed_like_a_drag(room: Room) -> None:
    answer = preview(room, what="hand-fold", place="front_pitch", kind="slack")
    assert "cuff forward" in text(answer)


def test_a_fold_without_its_place_is_asked_for_its_place(room: Room) -> None:
    answer = preview(room, what="hand-fold", place="")
    assert answer.status_code == 200
    assert "Tap where the fold lies" in text(answer)


def test_a_fold_still_to_be_pinched_is_answered_for_each_thing_it_can_be(room: Room) -> None:
    said = text(preview(room, "right", what="hand-fold", place="head"))
    slack, strain = said.split("If it is strain:")
    assert "If it is slack:" in slack
    assert "Lower the crown" in slack
    assert "Raise the crown" in strain
    assert "opposite faults here" in strain.split("If you cannot tell:")[1]
    assert not Entry.objects.exists()


@pytest.mark.parametrize("side", ["left", "right"])
@pytest.mark.parametrize(("kind", "way"), [("slack", "forward"), ("strain", "back")])
def test_what_is_shown_of_a_fold_is_what_comes_once_it_is_kept(
    room: Room, side: str, kind: str, way: str
) -> None:
    """Slack in front and strain in front send the cuff opposite ways, on either side."""
    parts = text(preview(room, side, what="hand-fold", place="front_pitch")).split("If it is ")
    shown = next(part for part in parts if part.startswith(kind))
    room.read("hand-fold", side, place="front_pitch", kind=kind, depth="")
    title = one_side(room.fitting, side).proposed[0].correction.title
    assert f"cuff {way}" in title
    assert title in shown


def test_a_depth_counts_for_slack_and_is_no_fault_of_the_other_answers(room: Room) -> None:
    said = text(preview(room, what="hand-fold", place="back_pitch", depth="12"))
    assert "nothing pins out" not in said
    assert "leave the depth empty" not in said
    slack, strain = said.split("If it is strain:")
    # On a round armhole of 480 mm and pitches 140 mm apart: G asin(12 / 70) / 360 = 13.2 mm.
    assert f"{480 * math.degrees(math.asin(12 / 70)) / 360:.1f} mm" in slack
    # Strain has no depth: the trade's usual 8 mm (trade practice, no source).
    assert "8 mm" in strain


def test_without_script_a_fold_is_shown_before_it_is_pinched(room: Room) -> None:
    page = preview(room, what="hand-fold", place="head", plain=True)
    assert "If it is slack:" in text(page)
    assert "This field is required" not in text(page)
    assert 'value="head"' in page.content.decode()


def test_a_reading_half_filled_in_is_told_not_refused_as_an_error(room: Room) -> None:
    answer = preview(room, arm="6", arm_way="")
    assert answer.status_code == 200
    assert "Not complete yet" in text(answer)


def test_without_a_pattern_it_says_that_nothing_can_be_proposed(room: Room) -> None:
    room.fitting = FittingFactory(order__pattern_version=None)
    assert "no pattern yet" in text(preview(room, arm="6"))


def test_the_provisional_is_said_while_the_body_is_open(room: Room) -> None:
    assert "provisional" in text(preview(room, arm="6"))
    room.settle()
    assert "provisional" not in text(preview(room, arm="6"))


def test_without_script_the_whole_page_answers_and_keeps_what_was_typed(room: Room) -> None:
    page = preview(room, arm="6", plain=True).content.decode()
    assert "<html" in page
    assert "Would propose:" in page
    assert 'value="6"' in page


def test_a_side_that_is_neither_is_refused(room: Room) -> None:
    assert preview(room, side="both", arm="6").status_code == 422


def test_a_preview_asks_the_database_as_often_with_many_readings_as_with_one(room: Room) -> None:
    counted = []
    for more in (1, 12):
        for _ in range(more):
            room.cuff("30")
        counted.append(queries(lambda: preview(room, arm="3")))
    assert counted[0] == counted[1] <= 8
