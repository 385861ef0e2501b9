"""The drafted sleeve against printed drafts, and against fontTools and shapely as measures."""

from dataclasses import replace
from itertools import pairwise
from math import hypot, radians, sqrt

import numpy as np
import pytest
from fontTools.misc.bezierTools import calcCubicArcLength
from hypothesis import assume, given, settings
from hypothesis import strategies as st
from shapely import LineString, Point, Polygon, box

from patterns.geometry.armhole import Armhole
from patterns.geometry.draft import TwoPiece, draft
from patterns.geometry.path import Path
from patterns.geometry.piece import Piece
from patterns.geometry.refusals import (
    BadMeasure,
    GeometryRefused,
    NoGirth,
    NotchPastEnd,
    PitchesDoNotFit,
    SeamOutOfQuarter,
    SleeveWiderThanHead,
)
from patterns.geometry.sleeve import LEVELS, Girths, IronedShare, Levels, Sleeve

INCH = 25.4
ARMHOLE = Armhole.from_measures(girth_mm=483, pitch_width_mm=140, pitch_height_mm=65)
# Crown a third of the armhole (H. Aldrich, Metric Pattern Cutting for Menswear, from memory);
# slant chord from base to crown half the armhole + 9 mm (Japanese drafting course, sleeve base).
CROWN_MM = 483 / 3
BICEPS_MM = 2 * sqrt((483 / 2 + 9) ** 2 - CROWN_MM**2)
PLAIN = Sleeve(
    girth_mm=Girths(biceps=BICEPS_MM, elbow=340, cuff=290),
    crown_height_mm=CROWN_MM,
    length_mm=630,
)
IRONED = IronedShare(hindarm=1, forearm=1)

shifts = st.builds(
    Levels, head=st.floats(-15, 25), elbow=st.floats(-15, 25), cuff=st.floats(-10, 20)
)
sleeves = st.builds(
    Sleeve,
    girth_mm=st.builds(
        Girths,
        biceps=st.floats(340, 400),
        elbow=st.floats(310, 350),
        cuff=st.floats(260, 300),
    ),
    crown_height_mm=st.floats(135, 175),
    length_mm=st.floats(570, 690),
    hindarm_shift_mm=shifts,
    forearm_shift_mm=shifts,
    ironed_share=st.builds(IronedShare, hindarm=st.floats(0, 1), forearm=st.floats(0, 1)),
    bend_deg=st.none() | st.floats(0, 20),
    notch_shift_mm=st.floats(-20, 20),
    hindarm_length_mm=st.floats(-10, 10),
    front_of_head_mm=st.floats(0, 6),
    under_head_hollow_mm=st.floats(0, 6),
)


def cut(**changes: object) -> TwoPiece:
    return draft(replace(PLAIN, **changes), ARMHOLE)


def measured_mm(path: Path) -> float:
    """Length by fontTools' own recursion."""
    spans = [[(float(x), float(y)) for x, y in span] for span in path.spans_mm]
    return sum(calcCubicArcLength(*span, tolerance=1e-6) for span in spans)


def polygon(piece: Piece) -> Polygon:
    return Polygon(piece.outline().polyline(24))


def below_biceps_line(piece: Piece) -> Polygon:
    return polygon(piece).intersection(box(-500, CROWN_MM, 500, 2000))


def test_fifty_fifty_sleeve_folds_flat_because_both_seams_lie_on_the_folds() -> None:
    sleeve = cut()
    top, under = below_biceps_line(sleeve.top), below_biceps_line(sleeve.under)
    assert top.area > 70_000
    # Up to the under sleeve's scoop, which touches the biceps line.
    assert top.symmetric_difference(under).area < 0.01 * BICEPS_MM
    assert polygon(sleeve.under).difference(polygon(sleeve.top)).area < 1e-3


def test_fifty_fifty_sleeve_declares_no_ease_on_its_seams() -> None:
    sleeve = cut()
    assert (sleeve.hindarm_ease_mm, sleeve.forearm_ease_mm) == (0, 0)


def test_pieces_are_closed_and_named_so_that_they_can_be_cut_and_spoken_of() -> None:
    sleeve = cut(hindarm_shift_mm=Levels.alike(10), forearm_shift_mm=Levels.alike(15))
    for piece in (sleeve.top, sleeve.under):
        spans = piece.outline().spans_mm
        ends = [*pairwise([*spans, spans[0]])]
        assert all(np.allclose(before[3], after[0], atol=1e-9) for before, after in ends)
        assert [edge.name for edge in piece.edges] == ["head", "hindarm", "cuff", "forearm"]
    assert (sleeve.top.name, sleeve.under.name) == ("top sleeve", "under sleeve")


@settings(max_examples=60, deadline=None)
@given(sleeves)
def test_any_sleeve_holds_its_girth_and_its_seams_pair(sleeve: Sleeve) -> None:
    try:
        pieces = draft(sleeve, ARMHOLE)
    except GeometryRefused:
        assume(False)
    for level in LEVELS:
        both = pieces.top.width_mm(level) + pieces.under.width_mm(level)
        assert both == pytest.approx(sleeve.girth_mm.at(level), abs=1e-9)
    for seam in ("hindarm", "forearm"):
        longer = measured_mm(getattr(pieces.under, seam)) - measured_mm(getattr(pieces.top, seam))
        assert longer == pytest.approx(getattr(pieces, f"{seam}_ease_mm"), abs=1)
    assert polygon(pieces.top).is_valid
    assert polygon(pieces.under).is_valid


def test_widths_sum_between_the_named_levels_too() -> None:
    moved = cut(
        hindarm_shift_mm=Levels(head=10, elbow=20, cuff=5),
        forearm_shift_mm=Levels(head=12, elbow=25, cuff=15),
    )
    places = np.linspace(1, len(moved.top.forearm.spans_mm), 200)

    def width(piece: Piece) -> np.ndarray:
        return np.hypot(*(piece.forearm.point(places) - piece.hindarm.point(places)).T)

    assert width(moved.top) + width(moved.under) == pytest.approx(2 * width(cut().top), abs=0.01)


def test_hindarm_shift_gives_the_under_what_it_takes_from_the_top() -> None:
    # Vincent, Part 13, p. 27: hindarm moved 1 in each way about a line at 7 1/2 in makes
    # 8 1/2 and 6 1/2 in; there the top is the wider, so the seam goes in.
    girth = replace(PLAIN.girth_mm, elbow=15 * INCH)
    moved = cut(girth_mm=girth, hindarm_shift_mm=Levels(elbow=-INCH))
    assert moved.top.width_mm("elbow") == pytest.approx(8.5 * INCH)
    assert moved.under.width_mm("elbow") == pytest.approx(6.5 * INCH)


def test_false_seams_stand_as_rosenfeld_prints_them() -> None:
    # Rosenfeld, The Practical Designer, lesson 60: forearm 1/2 in each side of the line at the
    # head, 1 in + 1 in at the cuff; the under sleeve narrower at the hindarm by 1 in at the head,
    # 2 1/2 in at the elbow, 1 1/2 in at the cuff. Drawn over one another, as he draws them.
    forearm = Levels(head=INCH / 2, elbow=INCH, cuff=INCH)
    hindarm = Levels(head=-INCH / 2, elbow=-2.5 * INCH / 2, cuff=-1.5 * INCH / 2)
    moved = cut(forearm_shift_mm=forearm, hindarm_shift_mm=hindarm, ironed_share=IRONED)

    def apart_in(seam: str) -> list[float]:
        places = (f"{seam} {level}" for level in LEVELS)
        gaps = (moved.top.points_mm[name] - moved.under.points_mm[name] for name in places)
        return [hypot(*gap) / INCH for gap in gaps]

    assert apart_in("forearm") == pytest.approx([1, 2, 2], abs=0.01)
    assert apart_in("hindarm") == pytest.approx([1, 2.5, 1.5], abs=0.01)


def test_forearm_is_hollowed_one_inch_at_the_elbow() -> None:
    # Vincent, Part 13, p. 54; Rosenfeld, lesson 60.
    points = cut().top.points_mm
    straight = LineString([points["forearm head"], points["forearm cuff"]])
    elbow = points["forearm elbow"]
    level = LineString([elbow, elbow + np.array([200, 0])])
    assert straight.intersection(level).distance(Point(elbow)) == pytest.approx(INCH, abs=0.01)


def test_cuff_stands_two_inches_forward_of_the_mid_line() -> None:
    # Rosenfeld, lesson 60. The lower sleeve keeps its length, so a little less than 2 in, and the
    # mid line of this width stands within a millimetre of the middle of the biceps.
    points = cut().top.points_mm
    middle = (points["forearm cuff"] + points["hindarm cuff"]) / 2
    assert middle[0] == pytest.approx(2 * INCH, abs=2)


def test_wider_sleeve_keeps_its_forearm_and_cuff_because_it_is_let_out_at_the_hindarm() -> None:
    wider = replace(PLAIN.girth_mm, biceps=BICEPS_MM + 16, elbow=356)
    before, after = cut().top.points_mm, cut(girth_mm=wider).top.points_mm
    laid = before["forearm head"] - after["forearm head"]
    moved = {name: hypot(*(after[name] + laid - before[name])) for name in before}
    for name in ("forearm head", "forearm elbow", "forearm cuff", "hindarm cuff"):
        assert moved[name] == pytest.approx(0, abs=1e-6)
    assert moved["hindarm head"] == pytest.approx(8)
    assert moved["hindarm elbow"] == pytest.approx(8)


def test_hollow_filled_and_elbow_widened_by_it_leave_the_hindarm_alone() -> None:
    filled = cut(forearm_hollow_mm=INCH - 6, girth_mm=replace(PLAIN.girth_mm, elbow=352)).top
    before, after = cut().top.points_mm, filled.points_mm
    assert after["hindarm elbow"] == pytest.approx(before["hindarm elbow"], abs=1e-6)
    assert (after["forearm elbow"] - before["forearm elbow"])[0] == pytest.approx(6)


def test_seam_only_needs_two_x_tau_of_iron_work_at_each_seam() -> None:
    # Sleeve geometry, section 3: edges either side of a strip differ by 2 x tau.
    moved = cut(
        bend_deg=15,
        hindarm_shift_mm=Levels.alike(10),
        forearm_shift_mm=Levels.alike(20),
        ironed_share=IRONED,
    )
    for seam, strip_mm in (("hindarm", 10), ("forearm", 20)):
        longer = measured_mm(getattr(moved.under, seam)) - measured_mm(getattr(moved.top, seam))
        # The folds stand a few degrees off square to the levels the strip is measured along.
        assert longer == pytest.approx(2 * strip_mm * radians(15), rel=0.03)
        assert getattr(moved, f"{seam}_ease_mm") == pytest.approx(longer, abs=0.05)


def test_seam_only_leaves_every_other_line_on_the_paper() -> None:
    # Above the cuff, whose corner is trued square to the seam wherever that lies.
    moved = cut(forearm_shift_mm=Levels.alike(20), ironed_share=IRONED)
    above = box(-500, -500, 500, 570)
    before, after = (polygon(sleeve.under).intersection(above) for sleeve in (cut(), moved))
    assert before.intersection(after).area == pytest.approx(after.area, rel=1e-5)


def test_redrafted_pieces_carry_the_same_length_difference_so_the_sleeve_does_not_spiral() -> None:
    # Sleeve geometry, section 3: top and under need the same hindarm minus forearm.
    moved = cut(hindarm_shift_mm=Levels.alike(-15), forearm_shift_mm=Levels.alike(20))

    def below(edge: Path) -> float:
        return measured_mm(edge.part(1, len(edge.spans_mm)))

    for piece in (moved.top, moved.under):
        longer = below(piece.hindarm) - below(piece.forearm)
        assert longer == pytest.approx(moved.fold_difference_mm, abs=0.1)


def test_head_stands_between_armhole_plus_ten_and_plus_twelve_per_cent() -> None:
    # Handbook sanity for an armhole of 483 mm: three unrelated rules, calculated.
    sleeve = cut()
    head = measured_mm(sleeve.top.head) + measured_mm(sleeve.under.head)
    assert pytest.approx(192, abs=0.5) == BICEPS_MM / 2
    assert 483 + 10 < head < 483 * 1.12
    assert sleeve.head_ease_mm == pytest.approx(head - 483, abs=0.01)


def test_head_is_never_shorter_than_the_plane_cut_it_is_drawn_fuller_than() -> None:
    # Plane cut of girth 380, height 160: 512.8 mm; of 325, 145.8: 451.2 mm (calculated from
    # the perimeter of an ellipse).
    for girth, crown, plane_cut in ((380, 160, 512.8), (325, 145.8, 451.2)):
        sleeve = cut(girth_mm=replace(PLAIN.girth_mm, biceps=girth), crown_height_mm=crown)
        assert plane_cut < sleeve.head_length_mm < 1.07 * plane_cut


def test_crown_stands_at_its_height_over_the_under_sleeves_lowest_place() -> None:
    sleeve = cut()
    assert sleeve.top.head.polyline(64)[:, 1].min() == pytest.approx(0, abs=1e-9)
    assert sleeve.under.head.polyline(64)[:, 1].max() == pytest.approx(CROWN_MM, abs=1e-3)


def test_front_of_the_head_falls_more_steeply_than_the_back_rises() -> None:
    # Trade practice, no source.
    head = LineString(cut().top.head.polyline(64))
    level = head.intersection(LineString([(-200, 40), (200, 40)]))
    back, front = sorted(point.x for point in level.geoms)
    assert -back > front > 0


@pytest.mark.parametrize(
    ("hang_deg", "over_mm"), [(-5, 52.6), (0, 65.0), (5, 77.0), (10, 88.3), (15, 99.0)]
)
def test_hindarm_stands_over_the_forearm_by_the_square_rule(hang_deg: int, over_mm: float) -> None:
    # Rule: Vincent, Part 1, p. 33; h 65, w 140 mm, numbers calculated.
    points = cut(drafted_hang_deg=hang_deg).top.points_mm
    over = points["forearm top"][1] - points["hindarm top"][1]
    assert over == pytest.approx(over_mm, abs=0.06)


def test_seams_meet_the_head_at_one_height_and_run_on_smoothly() -> None:
    sleeve = cut(hindarm_shift_mm=Levels.alike(12), forearm_shift_mm=Levels.alike(15))
    top, under = sleeve.top, sleeve.under
    for seam in ("hindarm", "forearm"):
        heights = [piece.points_mm[f"{seam} top"][1] for piece in (top, under)]
        assert heights[0] == pytest.approx(heights[1], abs=1e-6)
    for place_top, place_under in ((0.0, 0.0), (1.0, 1.0)):
        ways = [
            piece.head.tangent(place * len(piece.head.spans_mm))
            for piece, place in ((top, place_top), (under, place_under))
        ]
        assert ways[0] == pytest.approx(ways[1] * [1, -1], abs=1e-6)


def test_hindarm_moved_out_also_moves_up_and_forearm_moved_in_also_moves_down() -> None:
    before = cut().top.points_mm
    after = cut(hindarm_shift_mm=Levels.alike(15), forearm_shift_mm=Levels.alike(15)).top.points_mm
    assert after["hindarm top"][1] < before["hindarm top"][1] - 5
    assert after["forearm top"][1] > before["forearm top"][1] + 5


def test_crown_notch_moves_in_front_of_the_old_one_when_the_cuff_goes_forward() -> None:
    moved = cut(notch_shift_mm=8, forearm_shift_mm=Levels.alike(15))
    (notch,) = [n for n in moved.top.notches if n.name == "crown"]
    head = LineString(moved.top.head.polyline(200))
    along = head.project(Point(notch.point_mm)) - head.project(Point(0, 0))
    assert along == pytest.approx(8, abs=0.01)
    assert notch.point_mm[0] > 0


@pytest.mark.parametrize("shift_mm", [-20, -8, 0, 8, 20])
def test_all_three_head_notches_stand_on_the_head_of_one_piece_or_the_other(shift_mm: int) -> None:
    moved = cut(notch_shift_mm=shift_mm)
    names = []
    for piece in (moved.top, moved.under):
        line, cloth = LineString(piece.head.polyline(200)), polygon(piece)
        for notch in (n for n in piece.notches if n.edge == "head"):
            names.append(notch.name)
            assert line.distance(Point(notch.point_mm)) < 0.01
            assert cloth.buffer(0.01).contains(Point(notch.point_mm + notch.inward))
    assert sorted(names) == ["back pitch", "crown", "front pitch"]


def test_elbow_notches_of_a_seam_meet_when_it_is_sewn() -> None:
    moved = cut(hindarm_shift_mm=Levels.alike(10), forearm_shift_mm=Levels.alike(15))
    for seam in ("hindarm", "forearm"):
        down = []
        for piece in (moved.top, moved.under):
            edge = LineString(getattr(piece, seam).polyline(100))
            (notch,) = [n for n in piece.notches if n.edge == seam]
            down.append(edge.project(Point(notch.point_mm)))
        assert down[0] == pytest.approx(down[1], abs=0.5)


def test_round_added_at_the_front_of_the_head_leaves_its_back_alone() -> None:
    before, after = cut().top.head.polyline(64), cut(front_of_head_mm=5).top.head.polyline(64)
    front = [LineString(line[line[:, 0] >= 0]) for line in (before, after)]
    back = [LineString(line[line[:, 0] <= 0]) for line in (before, after)]
    assert 4 < front[0].hausdorff_distance(front[1]) < 7
    assert back[0].hausdorff_distance(back[1]) < 1e-6


@pytest.mark.parametrize("ease_mm", [-6, 0, 10])
def test_head_ease_goes_into_the_tops_head_and_keeps_the_crown(ease_mm: int) -> None:
    plain, eased = cut(), cut(head_ease_mm=ease_mm)
    longer = measured_mm(eased.top.head) - measured_mm(plain.top.head)
    assert longer == pytest.approx(ease_mm, abs=0.01)
    assert measured_mm(eased.under.head) == pytest.approx(measured_mm(plain.under.head), abs=2)
    assert eased.top.head.polyline(64)[:, 1].min() == pytest.approx(0, abs=1e-6)


def test_under_head_is_scooped_by_the_hollow() -> None:
    lowest = cut(under_head_hollow_mm=5).under.head.polyline(64)[:, 1].max()
    assert lowest == pytest.approx(CROWN_MM + 5, abs=1e-3)


@pytest.mark.parametrize("longer_mm", [-6, 6])
def test_longer_hindarm_opens_a_wedge_that_leaves_the_forearm_its_length(longer_mm: int) -> None:
    before, after = cut().top, cut(hindarm_length_mm=longer_mm).top
    gained = {
        seam: measured_mm(getattr(after, seam)) - measured_mm(getattr(before, seam))
        for seam in ("hindarm", "forearm")
    }
    assert gained["hindarm"] - gained["forearm"] == pytest.approx(longer_mm, abs=0.7)


def test_stretch_of_the_forearm_is_told_but_moves_no_line() -> None:
    stretched = cut(forearm_stretch_mm=6)
    assert stretched.forearm_stretch_mm == 6
    assert np.array_equal(stretched.top.outline().spans_mm, cut().top.outline().spans_mm)


@pytest.mark.parametrize(
    ("changes", "refusal"),
    [
        ({"girth_mm": Girths(biceps=0, elbow=340, cuff=290)}, NoGirth),
        ({"girth_mm": Girths(biceps=500, elbow=340, cuff=290)}, SleeveWiderThanHead),
        ({"crown_height_mm": float("nan")}, BadMeasure),
        ({"crown_height_mm": 95.0}, PitchesDoNotFit),
        ({"drafted_hang_deg": -60.0}, PitchesDoNotFit),
        ({"length_mm": 300.0}, BadMeasure),
        ({"bend_deg": 80.0}, BadMeasure),
        ({"hindarm_shift_mm": Levels.alike(90)}, SeamOutOfQuarter),
        ({"forearm_shift_mm": Levels(cuff=float("inf"))}, BadMeasure),
        ({"notch_shift_mm": 200.0}, NotchPastEnd),
        ({"head_ease_mm": 90.0}, BadMeasure),
    ],
)
def test_what_cannot_be_cut_is_refused_in_a_sentence(
    changes: dict[str, object], refusal: type[GeometryRefused]
) -> None:
    with pytest.raises(refusal, match=r"^[A-Z].*\.$"):
        cut(**changes)
