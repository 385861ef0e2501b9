"""The head walked round the armhole, smooth lines and quarters, each spoiled on one piece."""

from dataclasses import replace
from math import atan2, degrees, hypot

import numpy as np
import pytest
from shapely import LinearRing, LineString, Point, line_locate_point

from patterns.geometry.armhole import Armhole
from patterns.geometry.path import line
from patterns.geometry.sleeve import Levels
from tests.walking.spoiled import (
    ARMHOLE,
    SLEEVE,
    beside,
    drafted,
    failed,
    found,
    turned,
    with_edge,
    with_notch,
    without_notches,
)


def _polygon(armhole: Armhole) -> LinearRing:
    return LinearRing(armhole.curve.polyline(20000))


def test_sections_are_those_shapely_measures_between_the_marks() -> None:
    checks, pieces = found(drafted(notch_shift_mm=8), notch_shift_mm=8), drafted(notch_shift_mm=8)
    ring = _polygon(ARMHOLE)
    seat = ARMHOLE.seat()
    marks = [seat.front_point_mm, seat.crown_point_mm, seat.back_point_mm]
    front, crown, back = (line_locate_point(ring, Point(mark)) for mark in marks)
    points = {n.name: n.point_mm for n in pieces.top.notches if n.edge == "head"}
    points |= {n.name: n.point_mm for n in pieces.under.notches if n.edge == "head"}
    top, under = (LineString(piece.head.polyline(800)) for piece in (pieces.top, pieces.under))
    along = {name: line_locate_point(top, Point(point)) for name, point in points.items()}
    # The cuff goes forward: the front pitch notch slips onto the under sleeve.
    front_under = line_locate_point(under, Point(points["front pitch"]))
    head_front = top.length - along["crown"] + under.length - front_under
    head_back = along["crown"] - along["back pitch"]
    assert checks["head-front"].measured_mm == pytest.approx(head_front - (crown - front), abs=0.02)
    assert checks["head-back"].measured_mm == pytest.approx(head_back - (back - crown), abs=0.02)
    whole = top.length + under.length - ring.length
    parts = [checks[f"head-{part}"].measured_mm or 0 for part in ("front", "back", "under")]
    assert sum(parts) == pytest.approx(whole, abs=0.02)


@pytest.mark.parametrize("crown_mm", [-15.0, 40.0])
def test_head_with_too_little_or_too_much_ease_over_the_crown_fails(crown_mm: float) -> None:
    # Drafted head no shorter than the armhole + 10 mm, no longer than + 12 %: sanity across three
    # handbook rules, calculated.
    height = SLEEVE.crown_height_mm + crown_mm
    pieces = drafted(crown_height_mm=height)
    check = found(pieces, crown_height_mm=height)["head-ease"]
    assert not check.passed
    assert ("raise the crown" in check.sentence) == (crown_mm < 0)
    assert ("lower the crown" in check.sentence) == (crown_mm > 0)


def test_head_shorter_than_the_armhole_says_so() -> None:
    height = SLEEVE.crown_height_mm - 30
    pieces = drafted(crown_height_mm=height)
    assert "too little cloth" in found(pieces, crown_height_mm=height)["head-ease"].sentence


@pytest.mark.parametrize(("way", "part"), [(14, "front"), (-26, "back")])
def test_crown_notch_set_too_far_over_leaves_one_side_short(way: float, part: str) -> None:
    pieces = drafted()
    head = pieces.top.head
    crown = line_locate_point(LineString(head.polyline(400)), Point(0, 0))
    moved = with_notch(pieces, "top", "crown", "head", beside(head, crown + way))
    assert failed(moved) == {f"head-{part}"}
    assert "shorter than its" in found(moved)[f"head-{part}"].sentence


def test_head_short_by_no_more_than_two_millimetres_is_stretched_to_it() -> None:
    pieces = drafted()
    head, ease = pieces.top.head, found(pieces)["head-front"].measured_mm or 0
    crown = line_locate_point(LineString(head.polyline(400)), Point(0, 0))
    moved = with_notch(pieces, "top", "crown", "head", beside(head, crown + ease + 1))
    check = found(moved)["head-front"]
    assert check.passed
    assert check.measured_mm == pytest.approx(-1, abs=0.02)
    assert "stretch the edge" in check.sentence


def test_sleeve_of_another_armhole_is_short_under_the_arm() -> None:
    larger = Armhole.from_measures(girth_mm=560, pitch_width_mm=170, pitch_height_mm=75)
    assert {"head-under", "head-front"} <= failed(drafted(), larger)


def test_head_without_a_notch_fails_because_nobody_can_set_it() -> None:
    pieces = drafted()
    bare = replace(pieces, top=without_notches(pieces.top, ["crown"]))
    assert failed(bare) == {"head-notches"}
    assert "edge of the head: crown." in found(bare)["head-notches"].sentence


def test_cuff_meets_both_seams_at_a_right_angle_so_that_no_point_shows() -> None:
    pieces = drafted(hindarm_shift_mm=Levels.alike(10))
    for piece in (pieces.top, pieces.under):
        for seam, place in (("hindarm", 0), ("forearm", -1)):
            edge, cuff = getattr(piece, seam).polyline(400), piece.cuff.polyline(400)
            up = edge[-1] - edge[-2]
            along = np.diff(cuff, axis=0)[place]
            assert up @ along / hypot(*up) / hypot(*along) == pytest.approx(0, abs=0.01)


@pytest.mark.parametrize("end", ["head", "cuff"])
@pytest.mark.parametrize("seam", ["hindarm", "forearm"])
def test_line_that_makes_a_corner_over_a_seam_fails_by_the_turn_given_it(
    end: str, seam: str
) -> None:
    pieces = drafted()
    path = getattr(pieces.under, end)
    about = path.start_mm if seam == "hindarm" else path.end_mm
    cornered = with_edge(pieces, "under", end, turned(path, 11, about))
    check = found(cornered)[f"{end}-at-{seam}"]
    assert not check.passed
    assert "of 11 degrees" in check.sentence
    gentle = with_edge(pieces, "under", end, turned(path, 7, about))
    assert found(gentle)[f"{end}-at-{seam}"].passed


@pytest.mark.parametrize(("turn_deg", "shape"), [(-11, "a dent"), (11, "a point")])
def test_corner_is_called_by_its_shape(turn_deg: float, shape: str) -> None:
    # Turned about its forearm end, y down: positive swings the hindarm end up, into the cloth.
    pieces = drafted()
    cuff = pieces.top.cuff
    cornered = with_edge(pieces, "top", "cuff", turned(cuff, turn_deg, cuff.end_mm))
    assert shape in found(cornered)["cuff-at-forearm"].sentence


def test_under_sleeve_hollowed_with_a_corner_fails_by_its_angle() -> None:
    pieces = drafted()
    head = pieces.under.head
    lowest = head.polyline(64)[head.polyline(64)[:, 1].argmax()]
    legs = (lowest - head.start_mm, head.end_mm - lowest)
    angle = abs(degrees(atan2(*legs[0][::-1]) - atan2(*legs[1][::-1])))
    spoiled = with_edge(pieces, "under", "head", line("head", head.start_mm, lowest, head.end_mm))
    check = found(spoiled)["underarm"]
    assert not check.passed
    assert f"corner of {angle:.0f} degrees" in check.sentence


def test_seams_moved_past_their_quarters_fail_by_the_way_past() -> None:
    room = ARMHOLE.pitch_room_mm()[1]
    for past, passes in ((2.0, True), (5.0, False)):
        check = found(drafted(), notch_shift_mm=room + past)["hindarm-quarter"]
        assert check.measured_mm == pytest.approx(past, abs=0.01)
        assert check.passed == passes
    assert "lower back quarter" in check.sentence
    assert "recut" in check.sentence


def test_forearm_let_up_into_the_upper_front_quarter_fails() -> None:
    shifts = {"forearm_shift_mm": Levels.alike(-70)}
    check = found(drafted(), **shifts)["forearm-quarter"]
    assert not check.passed
    assert "upper front quarter" in check.sentence


def test_hindarm_low_from_the_first_fails() -> None:
    armhole = Armhole.from_measures(girth_mm=560, pitch_width_mm=140, pitch_height_mm=45)
    assert "hindarm-quarter" in failed(drafted(), armhole)
