"""Distances between two drafts, against shapely and against shapes whose distance is known."""

from dataclasses import replace
from math import cos, pi, radians, sin, tan

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from shapely import LineString, Point, Polygon, affinity, hausdorff_distance

from patterns.geometry.armhole import Armhole
from patterns.geometry.curve import ClosedCurve
from patterns.geometry.draft import TwoPiece, draft
from patterns.geometry.overlay import Motion, found, gaps, lay, round_gaps
from patterns.geometry.path import Path, line, spline
from patterns.geometry.refusals import BadPoints
from patterns.geometry.sleeve import Girths, Levels, Sleeve

ARMHOLE = Armhole.from_measures(girth_mm=483, pitch_width_mm=140, pitch_height_mm=65)
SLEEVE = Sleeve(
    girth_mm=Girths(biceps=382, elbow=340, cuff=290), crown_height_mm=161, length_mm=630
)
PLAIN = draft(SLEEVE, ARMHOLE)
NEAR_MM = 0.01


def changed(**numbers: object) -> TwoPiece:
    return draft(replace(SLEEVE, **numbers), ARMHOLE)  # type: ignore[arg-type]


def arc(radius: float, first_deg: float, last_deg: float) -> Path:
    """A round line about the origin; a spline through points 2 degrees apart is it to 1e-3 mm."""
    turn = np.radians(np.linspace(first_deg, last_deg, int(abs(last_deg - first_deg) / 2) + 1))
    return spline("arc", radius * np.stack([np.cos(turn), np.sin(turn)], axis=1))


def shape(path: Path) -> LineString:
    return LineString(path.polyline(256))


# what is not changed


def test_a_draft_laid_on_itself_has_no_distance_anywhere() -> None:
    for piece in lay(PLAIN, PLAIN):
        assert piece.most_mm < 1e-5


@pytest.mark.parametrize("on", [("hindarm top",), ("crown", "hindarm elbow")])
def test_a_draft_only_moved_on_the_paper_lies_on_itself_by_any_points(on: tuple[str, ...]) -> None:
    motion = Motion(turn_deg=7.0, shift_mm=(31.0, -12.0))
    moved = replace(PLAIN, top=motion.moved(PLAIN.top), under=motion.moved(PLAIN.under))
    apart = lay(moved, PLAIN, on)
    if len(on) == 2:  # one point cannot take the turn back
        assert all(piece.most_mm < NEAR_MM for piece in apart)
        assert apart[0].motion.turn_deg == pytest.approx(-7.0)
    else:
        assert apart[0].most_mm > 10


# known answers


def test_an_offset_circle_is_its_offset_everywhere_by_the_definition_of_a_parallel() -> None:
    out = gaps(arc(100, 0, 90), arc(106, 0, 90), outside=1)
    assert out.gap_mm == pytest.approx(np.full(61, 6.0), abs=1e-3)
    inward = gaps(arc(100, 0, 90), arc(94, 0, 90), outside=1)
    assert inward.gap_mm == pytest.approx(np.full(61, -6.0), abs=1e-3)


def test_the_outside_is_told_by_the_edge_and_not_by_the_paper() -> None:
    old, new = line("cuff", (0, 0), (100, 0)), line("cuff", (0, 5), (100, 5))
    assert gaps(old, new, outside=-1).gap_mm == pytest.approx(np.full(61, 5.0))
    assert gaps(old, new, outside=1).gap_mm == pytest.approx(np.full(61, -5.0))


def test_a_line_turned_about_its_start_stands_off_by_the_sine() -> None:
    turn = radians(3)
    old, new = (
        line("seam", (0, 0), (200, 0)),
        line("seam", (0, 0), (200 * cos(turn), 200 * sin(turn))),
    )
    out = gaps(old, new, outside=-1)
    assert out.gap_mm == pytest.approx(out.s_mm * sin(turn), abs=1e-6)
    assert out.s_mm[out.most_added] == pytest.approx(200)


def test_a_seam_made_longer_is_not_read_as_a_wider_one() -> None:
    out = gaps(line("seam", (0, 0), (100, 0)), line("seam", (0, 0), (130, 0)), outside=1)
    assert np.abs(out.gap_mm).max() < 1e-6
    assert out.longer_mm == pytest.approx(30)


def test_past_its_end_an_edge_is_carried_on_straight() -> None:
    slope = tan(radians(10))
    out = gaps(line("seam", (0, 0), (100, 0)), line("seam", (0, 0), (200, -200 * slope)), outside=1)
    assert out.at(out.s_mm[-1]) == pytest.approx(200 * slope)


def test_a_corner_of_the_old_edge_is_met_as_shapely_meets_it() -> None:
    old, new = line("seam", (0, 0), (50, 40), (100, 0)), line("seam", (0, 60), (100, 60))
    out = gaps(old, new, outside=-1)
    inside = (out.at_mm[:, 0] > 15) & (out.at_mm[:, 0] < 85)
    far = [LineString([(0, 0), (50, 40), (100, 0)]).distance(Point(at)) for at in out.at_mm]
    assert out.gap_mm[inside] == pytest.approx(np.array(far)[inside], abs=1e-4)


# against shapely


@pytest.mark.parametrize(
    "after",
    [
        changed(girth_mm=Girths(biceps=398, elbow=352, cuff=290)),
        changed(hindarm_shift_mm=Levels(head=12, elbow=8, cuff=0)),
        changed(head_ease_mm=3),
        changed(bend_deg=18, hindarm_length_mm=5),
    ],
)
def test_every_distance_is_shapelys_distance_from_point_to_line(after: TwoPiece) -> None:
    checked = 0
    for piece in lay(PLAIN, after):
        for edge, was in zip(piece.edges, piece.old.edges, strict=True):
            ends = [LineString(pair) for pair in (was.polyline(256)[:2], was.polyline(256)[-2:])]
            old = shape(was)
            for at, on, gap in zip(edge.at_mm, edge.on_mm, edge.gap_mm, strict=True):
                if old.distance(Point(on)) > NEAR_MM:  # past the end, where shapely has no line
                    assert min(end.distance(Point(on)) for end in ends) > NEAR_MM
                    continue
                assert abs(gap) == pytest.approx(old.distance(Point(at)), abs=NEAR_MM)
                checked += 1
    assert checked > 400


@pytest.mark.parametrize("amount", [9.0, -9.0])
def test_cloth_added_lies_outside_the_old_outline_and_cloth_taken_away_inside(
    amount: float,
) -> None:
    after = changed(hindarm_shift_mm=Levels.alike(amount), head_ease_mm=amount / 4)
    told = 0
    for piece in lay(PLAIN, after):
        outline = Polygon(piece.old.outline().polyline(128))
        for edge in piece.edges:
            for at, on, gap in zip(edge.at_mm, edge.on_mm, edge.gap_mm, strict=True):
                if abs(gap) > 0.2 and outline.exterior.distance(Point(on)) < NEAR_MM:
                    near = outline.exterior.distance(Point(at))
                    if near < abs(gap) - NEAR_MM:  # nearer to another edge: a corner
                        continue
                    assert outline.contains(Point(at)) == (gap < 0)
                    told += 1
    assert told > 60


def ring(radius: float, x: float = 0.0) -> ClosedCurve:
    turn = np.arange(0, 360, 3) * pi / 180
    return ClosedCurve.through(radius * np.stack([np.cos(turn), np.sin(turn)], axis=1) + (x, 0.0))


def test_the_most_between_two_rings_is_their_hausdorff_distance() -> None:
    small, large = ring(100), ring(103, x=2)
    out = round_gaps(small, large)
    both = [Polygon(one.polyline(4096)).exterior for one in (small, large)]
    assert float(out.gap_mm.max()) == pytest.approx(hausdorff_distance(*both), abs=NEAR_MM)
    assert out.gap_mm.max() == pytest.approx(5, abs=NEAR_MM)  # 3 wider and 2 to that side
    assert out.gap_mm.min() == pytest.approx(1, abs=NEAR_MM)
    assert round_gaps(large, small).gap_mm.max() == pytest.approx(-1, abs=NEAR_MM)


def test_shift_and_turn_is_shapelys_turn_and_shift() -> None:
    motion = Motion(turn_deg=11.0, shift_mm=(20.0, -7.0))
    moved = affinity.translate(
        affinity.rotate(shape(PLAIN.top.head), 11.0, origin=(0, 0)), 20.0, -7.0
    )
    ours = shape(motion.moved(PLAIN.top).head)
    assert hausdorff_distance(moved, ours) < 1e-9


def test_an_armhole_larger_all_round_is_told_as_outside_by_shapely() -> None:
    small, large = ARMHOLE.curve, ARMHOLE.curve.scaled(1.02)
    out = round_gaps(small, large)
    hole = Polygon(small.polyline(4096))
    far = [hole.exterior.distance(Point(at)) for at in out.at_mm]
    assert np.abs(out.gap_mm) == pytest.approx(np.array(far), abs=NEAR_MM)
    for gap, at in zip(out.gap_mm, out.at_mm, strict=True):
        assert abs(gap) < NEAR_MM or (gap < 0) == hole.contains(Point(at))
    backwards = ClosedCurve.through(small.points_mm[::-1])
    assert round_gaps(backwards, large).gap_mm == pytest.approx(out.gap_mm, abs=NEAR_MM)


# where the two are laid on each other


def test_the_chosen_points_meet_and_the_rest_of_the_way_is_told() -> None:
    longer = changed(length_mm=650)
    top, _ = lay(PLAIN, longer, ("hindarm top", "hindarm cuff"))
    was, now = (found(piece, "hindarm top") for piece in (top.old, top.new))
    assert was == pytest.approx(now)
    ends = [found(piece, "hindarm cuff") for piece in (top.old, top.new)]
    off = np.array(ends[1]) - np.array(ends[0])
    assert np.hypot(*off) == pytest.approx(abs(top.motion.apart_mm))
    assert top.motion.apart_mm > 15


def test_a_piece_without_the_point_is_moved_as_the_other_one() -> None:
    after = changed(crown_height_mm=166, elbow_mm=355)
    top, under = lay(PLAIN, after, ("crown",))
    assert top.on_own
    assert not under.on_own
    assert under.motion == top.motion


def test_a_point_that_went_over_to_the_other_piece_is_refused_in_words() -> None:
    after = changed(hindarm_shift_mm=Levels.alike(12))
    sides = [found(draft.under, "back pitch") is None for draft in (PLAIN, after)]
    if sides[0] == sides[1]:
        pytest.fail("the case must take the back pitch from one piece to the other")
    with pytest.raises(BadPoints, match="went over to the other piece"):
        lay(PLAIN, after, ("back pitch",))


def test_two_points_on_each_other_give_no_direction_and_are_refused() -> None:
    with pytest.raises(BadPoints, match="lie on each other"):
        Motion.onto(np.zeros((2, 2)), np.array([[0.0, 0.0], [30.0, 0.0]]))


@given(
    st.floats(-pi, pi), st.tuples(st.floats(-400, 400), st.floats(-400, 400)), st.floats(20, 500)
)
@settings(max_examples=60, deadline=None)
def test_two_points_give_back_any_turn_and_shift(
    turn: float, shift: tuple[float, float], long: float
) -> None:
    old = np.array([[10.0, 20.0], [10.0 + long, 20.0]])
    made = Motion(turn_deg=np.degrees(turn), shift_mm=shift)
    back = Motion.onto(old, made.at(old))
    assert back.at(old) == pytest.approx(made.at(old), abs=1e-6)
    assert abs(back.apart_mm) < 1e-6
