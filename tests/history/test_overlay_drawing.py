"""What is said and drawn of two drafts laid on each other: words, marks, and black and white."""

from dataclasses import replace
from itertools import pairwise
from xml.etree import ElementTree as ET

import numpy as np
import pytest
from shapely import LineString, Polygon

from patterns.drawing.full_scale.layers import Curve, Layer, Words
from patterns.drawing.full_scale.overlay import overlaid_drawings
from patterns.drawing.overlay import overlay_plate
from patterns.geometry.draft import TwoPiece
from patterns.geometry.overlay import lay
from patterns.geometry.scye import raise_underarm
from patterns.geometry.sleeve import Levels
from patterns.rules.overlaid import EdgeTold, armhole_told, told
from tests.history.test_overlay import ARMHOLE, PLAIN, changed

OUT_AT_ELBOW = changed(hindarm_shift_mm=Levels(elbow=8))


def edge(after: TwoPiece, piece: str, name: str) -> EdgeTold:
    return next(one for one in told(lay(PLAIN, after)) if (one.piece, one.edge) == (piece, name))


def lines(svg: str, name: str) -> list[ET.Element]:
    root = ET.fromstring(svg)  # noqa: S314 (our own drawing)
    return [path for path in root.iter() if path.get("data-line") == name]


def words(svg: str) -> list[str]:
    root = ET.fromstring(svg)  # noqa: S314
    return [one.text or "" for one in root.iter() if one.tag.endswith("text")]


# what is the same


def test_the_same_draft_is_said_and_drawn_without_any_difference() -> None:
    laid = lay(PLAIN, PLAIN)
    assert all(one.same and one.longer_mm == 0 for one in told(laid))
    svg = overlay_plate(laid, side="left", scale=0.2)
    assert not lines(svg, "old")
    assert not lines(svg, "added")
    assert "Both versions have the same lines." in svg


def test_the_same_armhole_has_nothing_outside_or_inside() -> None:
    same = armhole_told(ARMHOLE, ARMHOLE)
    assert (same.outside, same.inside, same.larger_mm) == (None, None, 0)


# where the most is


def test_a_seam_moved_at_the_elbow_alone_is_told_there_by_its_amount_on_both_pieces() -> None:
    under = edge(OUT_AT_ELBOW, "under sleeve", "hindarm")
    top = edge(OUT_AT_ELBOW, "top sleeve", "hindarm")
    assert under.added is not None
    assert top.taken is not None
    # 8 mm across the piece; square to the seam, which leans by up to 15 degrees there, a bit less.
    assert 8 * np.cos(np.radians(15)) < under.added.gap_mm < 8.3
    assert -8.3 < top.taken.gap_mm < -8 * np.cos(np.radians(15))
    assert under.added.place.mark == "elbow"
    assert under.taken is None
    assert dict(under.at_marks)["biceps line"] == pytest.approx(0, abs=0.05)


def test_a_raised_underarm_lies_inside_the_old_armhole_at_its_lowest_point() -> None:
    raised = armhole_told(ARMHOLE, raise_underarm(ARMHOLE, 5.0))
    assert raised.outside is None
    assert raised.inside is not None
    assert raised.inside.gap_mm == pytest.approx(-5, abs=0.3)
    assert raised.inside.place.mark == "lowest point"
    assert raised.larger_mm < 0


# drawn for black and white


def test_old_and_new_line_differ_by_dashes_and_weight_and_cloth_by_the_way_of_hatching() -> None:
    svg = overlay_plate(lay(PLAIN, OUT_AT_ELBOW), side="right", scale=0.2)
    old, new = lines(svg, "old")[0], lines(svg, "new")[0]
    assert old.get("stroke-dasharray")
    assert not new.get("stroke-dasharray")
    assert float(new.get("stroke-width", 0)) > 2 * float(old.get("stroke-width", 0))
    rising = {name: slope(lines(svg, name)[0]) for name in ("added", "taken away")}
    assert rising["added"] < 0 < rising["taken away"]  # y runs down the paper
    assert {"hindarm seam + 8", "hindarm seam − 8"} <= set(words(svg))


def slope(hatching: ET.Element) -> float:
    """Of the first stroke, down the paper to the right above zero."""
    (x0, y0), (x1, y1) = ends(hatching)[0]
    return (y1 - y0) / (x1 - x0)


def ends(path: ET.Element) -> list[list[tuple[float, float]]]:
    strokes = str(path.get("d")).split("M")[1:]
    return [[tuple(map(float, point.split())) for point in one.split("L")] for one in strokes]  # type: ignore[misc]


def test_hatching_of_added_cloth_lies_in_the_new_piece_and_not_in_the_old() -> None:
    laid = lay(PLAIN, OUT_AT_ELBOW)
    svg = overlay_plate(laid, side="right", scale=1.0)
    old, new = (Polygon(one.outline().polyline(32)) for one in (laid[1].old, laid[1].new))
    hatched = lines(svg, "added")[-1]  # the under sleeve is drawn last
    (start, *_) = str(lines(svg, "new")[-1].get("d")).removeprefix("M").split("C")
    shift = laid[1].new.outline().start_mm - np.array(start.split(), dtype=float)
    middles = [LineString(np.array(stroke) + shift).centroid for stroke in ends(hatched)]
    assert len(middles) > 100
    assert all(new.buffer(0.2).contains(middle) for middle in middles)
    assert not any(old.buffer(-0.2).contains(middle) for middle in middles)


def test_the_left_is_the_mirror_of_the_right() -> None:
    laid = lay(PLAIN, OUT_AT_ELBOW)
    left, right = (overlay_plate(laid, side=side, scale=0.2) for side in ("left", "right"))
    boxes = [ET.fromstring(svg).get("width") for svg in (left, right)]  # noqa: S314
    assert boxes[0] == boxes[1]
    order = [[word for word in words(svg) if word.isupper()] for svg in (left, right)]
    assert order == [["TOP SLEEVE", "UNDER SLEEVE"]] * 2
    x = [
        {one.text: float(one.get("x", 0)) for one in ET.fromstring(svg).iter() if one.get("x")}  # noqa: S314
        for svg in (left, right)
    ]
    assert x[0]["TOP SLEEVE"] > x[0]["UNDER SLEEVE"]
    assert x[1]["TOP SLEEVE"] < x[1]["UNDER SLEEVE"]


def test_the_points_it_is_pinned_on_are_ringed_on_the_pieces_that_have_them() -> None:
    laid = lay(PLAIN, OUT_AT_ELBOW, ("crown",))
    svg = overlay_plate(laid, side="left", scale=0.2, on=("crown",))
    assert len(lines(svg, "pinned")) == 2  # ring and cross, on the top sleeve alone


# at true size


def test_the_paper_has_both_lines_at_true_size_and_the_most_of_each_edge() -> None:
    laid = lay(PLAIN, OUT_AT_ELBOW)
    top, under = overlaid_drawings(laid, side="right", told_of=("new", "old"))
    for drawn, piece in ((top, laid[0]), (under, laid[1])):
        for layer, wanted in ((Layer.NET, piece.new), (Layer.OLD, piece.old)):
            curves = [one for one in drawn.items if isinstance(one, Curve) and one.layer == layer]
            for curve, path in zip(curves, wanted.edges, strict=True):
                apart = [
                    np.hypot(*(after - before))
                    for before, after in pairwise(replace(path, spans_mm=curve.spans_mm).polyline())
                ]
                assert sum(apart) == pytest.approx(LineString(path.polyline()).length)
    amounts = {one.text for one in under.items if isinstance(one, Words) and one.bold}
    assert "+ 8" in amounts
