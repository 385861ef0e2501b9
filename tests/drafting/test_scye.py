"""The armhole drafted from body measures, against printed drafts, and scipy and shapely."""

import json
from dataclasses import replace
from itertools import pairwise
from math import atan2, degrees

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.integrate import quad
from scipy.interpolate import BPoly
from scipy.optimize import brentq
from shapely import LinearRing, Polygon

from patterns.geometry.armhole import Quarter
from patterns.geometry.path import Path
from patterns.geometry.refusals import GeometryRefused
from patterns.geometry.scye_draft import (
    ScyeDraft,
    ScyeMeasures,
    ScyeRefused,
    armhole_document,
    draft_scye,
)
from patterns.rules.document import read_armhole, read_case

INCH = 25.4
USUAL = ScyeMeasures.for_chest(38 * INCH)

measures = st.builds(
    ScyeMeasures,
    chest_girth_mm=st.floats(600, 1600),
    scye_depth_mm=st.floats(120, 400),
    across_chest_mm=st.floats(120, 350),
    across_back_mm=st.floats(120, 350),
    shoulder_length_mm=st.floats(80, 220),
    shoulder_slope_deg=st.floats(-5, 50),
    front_pitch_up_mm=st.floats(0, 90),
    back_pitch_up_mm=st.none() | st.floats(0, 250),
    ease_mm=st.floats(-50, 400),
)


def drafted(chest_in: float, **own: float) -> ScyeDraft:
    return draft_scye(ScyeMeasures.for_chest(chest_in * INCH, **own))


def by_scipy_mm(path: Path) -> float:
    """Length of a Bezier path by scipy's own polynomials and quadrature."""
    whole = 0.0
    for span in path.spans_mm:
        slope = BPoly(span[:, None, :], [0, 1]).derivative()
        whole += quad(lambda t, slope=slope: float(np.hypot(*slope(t))), 0, 1, epsabs=1e-9)[0]
    return whole


def heading_deg(path: Path, first: float, last: float) -> float:
    """Heading of a short chord, which needs no tangent of our own."""
    way = path.point(last) - path.point(first)
    return degrees(atan2(way[1], way[0]))


def test_scale_gives_the_printed_measures_of_a_chest_of_36_inches() -> None:
    # Vincent's Systems of Cutting All Kinds of Tailor-Made Garments: armhole depth 9, across
    # chest 8 in.
    scale = ScyeMeasures.for_chest(36 * INCH)
    assert scale.scye_depth_mm / INCH == pytest.approx(9)
    assert scale.across_chest_mm / INCH == pytest.approx(8)


def test_back_of_a_mean_chest_is_the_mean_interscye() -> None:
    # ANSUR II men: chest 1058.7, interscye 430.9 mm (means).
    assert 2 * ScyeMeasures.for_chest(1058.7).across_back_mm == pytest.approx(430.9, abs=1)


def test_ones_own_measures_stand_over_the_scale() -> None:
    own = ScyeMeasures.for_chest(900, across_chest_mm=210)
    assert (own.across_chest_mm, own.scye_depth_mm) == (210, 150 + 76.2)


@pytest.mark.parametrize("chest_in", [36, 38, 40, 42, 44])
def test_armhole_is_about_half_the_chest(chest_in: int) -> None:
    # Trade practice, no source.
    assert drafted(chest_in).girth_mm == pytest.approx(chest_in * INCH / 2, rel=0.04)


def test_armhole_of_nineteen_inches_parts_into_nearly_the_printed_arcs() -> None:
    # The American Garment Cutter, diagram 75: armhole girth 19 in, back notch 4 3/4 in above the
    # breast line; upper arc 9 1/4, so lower arc 9 3/4 in. The chest it was drawn for could not be
    # read: here the one whose scale gives 19 in. Agrees to half an inch, not better: the printed
    # armhole is rounder.
    chest = brentq(lambda inches: drafted(inches).girth_mm - 19 * INCH, 34, 44)
    scye = drafted(chest)
    assert 37 < chest < 40
    assert scye.points_mm["back pitch"][1] / INCH == pytest.approx(4.75, abs=0.01)
    assert scye.points_mm["front pitch"][1] / INCH == pytest.approx(1, abs=0.01)
    assert scye.upper_arc_mm / INCH == pytest.approx(9.25, abs=0.5)
    assert scye.lower_arc_mm / INCH == pytest.approx(9.75, abs=0.5)


def test_front_and_back_join_without_a_corner_at_shoulder_and_side_seam() -> None:
    scye = drafted(38)
    step = 1e-5
    at_shoulder = (heading_deg(scye.front, 2 - step, 2), heading_deg(scye.back, 0, step))
    at_underarm = (heading_deg(scye.back, 2 - step, 2), heading_deg(scye.front, 0, step))
    for arriving, leaving in (at_shoulder, at_underarm):
        assert abs((arriving - leaving + 180) % 360 - 180) < 1
    assert np.allclose(scye.front.end_mm, scye.back.start_mm)
    assert np.allclose(scye.back.end_mm, scye.front.start_mm)


def test_spans_of_one_curve_join_without_a_corner_too() -> None:
    for path in (drafted(38).front, drafted(38).back):
        for arriving, leaving in pairwise(path.spans_mm):
            ways = arriving[3] - arriving[2], leaving[1] - leaving[0]
            turn = degrees(atan2(*ways[0]) - atan2(*ways[1]))
            assert abs(turn) < 1


def test_length_is_that_of_the_two_curves_by_scipy() -> None:
    scye = drafted(38)
    whole = by_scipy_mm(scye.front) + by_scipy_mm(scye.back)
    assert scye.girth_mm == pytest.approx(whole, abs=1e-6)
    assert scye.armhole.girth_mm == pytest.approx(whole, abs=0.01)


def test_armhole_lies_on_the_two_curves() -> None:
    scye = drafted(38)
    fine = LinearRing(scye.front.then(scye.back).polyline(400)[:-1])
    ring = LinearRing(scye.armhole.curve.polyline(2000))
    assert ring.hausdorff_distance(fine) < 0.05


def test_named_points_stand_where_their_names_say() -> None:
    scye = drafted(38)
    points, whole = scye.points_mm, scye.front.then(scye.back).polyline(400)
    assert points["underarm"][1] == pytest.approx(whole[:, 1].min(), abs=1e-6)
    assert points["shoulder"][1] == pytest.approx(whole[:, 1].max(), abs=1e-6)
    assert points["across chest"][0] == pytest.approx(whole[:, 0].max(), abs=1e-6)
    assert points["across back"][0] == pytest.approx(whole[:, 0].min(), abs=1e-6)
    ring = LinearRing(whole)
    for name in ("front pitch", "back pitch"):
        assert ring.distance(Polygon([points[name]] * 3)) < 0.01


def test_pitches_stand_in_their_quarters() -> None:
    armhole = drafted(38).armhole
    assert armhole.quarter_at(armhole.front_pitch_s_mm) is Quarter.LOWER_FRONT
    assert armhole.quarter_at(armhole.back_pitch_s_mm) is Quarter.UPPER_BACK


def test_ease_falls_under_the_arm() -> None:
    tight, easy = drafted(38, ease_mm=120), drafted(38, ease_mm=160)
    assert easy.armhole.width_mm - tight.armhole.width_mm == pytest.approx(20, abs=0.01)
    assert easy.armhole.height_mm == pytest.approx(tight.armhole.height_mm, abs=0.01)


def test_deeper_scye_makes_the_armhole_so_much_higher() -> None:
    deep = drafted(38, scye_depth_mm=USUAL.scye_depth_mm + 12)
    assert deep.armhole.height_mm - drafted(38).armhole.height_mm == pytest.approx(12, abs=0.01)


def test_document_is_read_back_as_the_same_armhole_and_fits_the_schema() -> None:
    scye = drafted(38)
    document = json.loads(json.dumps(armhole_document(scye)))
    again = read_armhole(document)
    assert again.girth_mm == pytest.approx(scye.girth_mm, abs=0.01)
    assert again.pitch_width_mm == pytest.approx(scye.armhole.pitch_width_mm, abs=0.01)
    sleeve = {
        "girth_mm": {"biceps": 380, "elbow": 330, "cuff": 270},
        "crown_height_mm": 160,
        "length_mm": 640,
    }
    read_case({"side": "left", "readings": [], "armhole": document, "sleeve": sleeve})


@settings(max_examples=150, deadline=None)
@given(measures)
def test_any_measures_make_an_armhole_or_a_refusal_in_words(measures: ScyeMeasures) -> None:
    try:
        scye = draft_scye(measures)
    except GeometryRefused as refused:
        said = str(refused)
    else:
        said = ""
    if said:
        assert said[0].isupper()
        assert said.endswith(".")
        return
    outline = Polygon(scye.outline_mm)
    assert outline.is_valid
    assert np.isfinite(scye.armhole.girth_mm)
    assert outline.length == pytest.approx(scye.girth_mm, rel=1e-3)
    assert scye.points_mm["front pitch"][1] == pytest.approx(measures.front_pitch_up_mm, abs=0.01)


@pytest.mark.parametrize(
    ("own", "measure", "says"),
    [
        ({"across_chest_mm": 300}, "across_chest_mm", "for the arm"),
        ({"scye_depth_mm": 120}, "scye_depth_mm", "deepen the scye"),
        ({"scye_depth_mm": 400, "ease_mm": 60}, "scye_depth_mm", "not the shape of an arm"),
        ({"shoulder_slope_deg": 60}, "shoulder_slope_deg", "between level and 45"),
    ],
)
def test_a_measure_that_makes_no_armhole_is_named(
    own: dict[str, float], measure: str, says: str
) -> None:
    with pytest.raises(ScyeRefused, match=says) as refused:
        draft_scye(replace(USUAL, **own))
    assert refused.value.measure == measure


@pytest.mark.parametrize(
    ("own", "says"),
    [
        ({"chest_girth_mm": 0}, "chest girth"),
        ({"scye_depth_mm": float("nan")}, "scye depth"),
        ({"front_pitch_up_mm": 120}, "belongs in the lower front quarter"),
        ({"back_pitch_up_mm": 40}, "belongs in the upper back quarter"),
        ({"back_pitch_up_mm": 300}, "over the top"),
    ],
)
def test_what_cannot_be_measured_so_is_refused_in_words(own: dict[str, float], says: str) -> None:
    with pytest.raises(GeometryRefused, match=says):
        draft_scye(replace(USUAL, **own))
