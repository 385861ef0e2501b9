"""A pattern brought in, altered by every operation: it acts on the drawing, and can be undone."""

import json
from collections.abc import Iterator
from typing import Any

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from shapely.geometry import LineString, Point, Polygon
from svgpathtools import CubicBezier

from patterns.geometry.arclength import FloatArray
from patterns.geometry.draft import TwoPiece, draft
from patterns.geometry.path import Path
from patterns.geometry.sleeve import Levels
from patterns.rules.correction import Meaning, Operation
from patterns.rules.document import BadDocument
from patterns.rules.outline import Outline
from patterns.rules.pattern import Change, SidePattern
from patterns.rules.pieces import two_piece
from tests.bringing.outlines import DRAFTED, side

AS_DRAFTED, BENT = side(bent=False), side(bent=True)
UNDONE_MM = 0.01
# An armhole recut is drawn anew through 128 points, and back through others.
RECUT_MM = 0.05
PLAIN = [op for op in Operation if op not in (Operation.SEAM_SHIFT, Operation.ARMHOLE)]


def seams(hindarm: float, forearm: float, meaning: Meaning) -> Change:
    return Change(
        operation=Operation.SEAM_SHIFT,
        shift_mm=hindarm,
        meaning=meaning,
        hindarm_mm=Levels(head=hindarm, elbow=0.9 * hindarm, cuff=0.7 * hindarm),
        forearm_mm=Levels.alike(forearm),
    )


def armhole(place: str, amount: float) -> Change:
    return Change(operation=Operation.ARMHOLE, shift_mm=amount, armhole_place=place)


def changes() -> st.SearchStrategy[Change]:
    """Every operation, by amounts that a fitter asks for.

    The front of the armhole stays out: clearing it lowers the lowest place, from which the filling
    then starts elsewhere, so the armhole itself does not come back.
    """
    amounts = st.floats(-8, 8)
    plain = st.builds(
        lambda op, mm: Change(operation=op, shift_mm=mm, angle_deg=mm),
        st.sampled_from(PLAIN),
        amounts,
    )
    seam = st.builds(seams, amounts, amounts, st.sampled_from(Meaning))
    recut = st.builds(armhole, st.just("underarm"), amounts)
    return st.one_of(plain, seam, recut)


def fine(path: Path) -> LineString:
    """Chords of at most about a mm, so that they lie within 0.002 mm of the line."""
    return LineString(path.polyline(max(4, 800 // len(path.spans_mm))))


def farthest_apart(one: TwoPiece, other: TwoPiece) -> float:
    """Largest distance from a line of one to the same line of the other, by shapely, mm."""
    return max(
        float(fine(a).hausdorff_distance(fine(b)))
        for a, b in zip(
            [*one.top.edges, *one.under.edges], [*other.top.edges, *other.under.edges], strict=True
        )
    )


def named(pieces: TwoPiece) -> Iterator[tuple[str, FloatArray]]:
    for piece in (pieces.top, pieces.under):
        yield from ((f"{piece.name} {name}", at) for name, at in piece.points_mm.items())
        yield from ((f"{piece.name} {n.name} {n.edge}", n.point_mm) for n in piece.notches)


def test_an_outline_nobody_altered_is_drawn_as_it_was_brought_in() -> None:
    outline = Outline.read(BENT.written()["outline"])
    drawn = two_piece(BENT)
    for piece in (drawn.top, drawn.under):
        for edge in piece.edges:
            was = outline.edges[piece.name][edge.name].path.spans_mm
            assert np.array_equal(edge.spans_mm, was)


def test_a_drafted_side_is_drafted() -> None:
    assert farthest_apart(two_piece(DRAFTED), draft(DRAFTED.sleeve, DRAFTED.armhole)) == 0.0
    assert "outline" not in DRAFTED.written()


def test_an_outline_survives_being_kept_as_json() -> None:
    kept = SidePattern.read(json.loads(json.dumps(BENT.written())))
    assert kept == BENT
    assert len(json.dumps(BENT.written())) < 20_000


ALL = [
    *(Change(operation=op, shift_mm=6, angle_deg=8) for op in PLAIN),
    seams(8, 6, Meaning.ELBOW_TURN),
    seams(8, 0, Meaning.SEAM_ONLY),
    armhole("front", 6),
    armhole("underarm", -6),
]


@pytest.mark.parametrize("change", ALL, ids=lambda c: f"{c.operation}{c.armhole_place}")
def test_an_outline_equal_to_the_draft_stays_equal_to_it_under_every_operation(
    change: Change,
) -> None:
    altered = AS_DRAFTED.with_change(change)
    wanted = draft(altered.sleeve, altered.armhole)
    drawn = two_piece(altered)
    assert farthest_apart(drawn, wanted) < 0.01
    places = dict(named(drawn))
    for name, at in named(wanted):
        assert np.hypot(*(places[name] - at)) < 0.01, name
    assert drawn.hindarm_ease_mm == pytest.approx(wanted.hindarm_ease_mm, abs=0.01)
    assert drawn.forearm_ease_mm == pytest.approx(wanted.forearm_ease_mm, abs=0.01)


@settings(deadline=None, max_examples=60, derandomize=True)
@given(change=changes())
def test_every_operation_is_undone_by_its_inverse(change: Change) -> None:
    within = RECUT_MM if change.operation is Operation.ARMHOLE else UNDONE_MM
    back = two_piece(BENT.with_changes(change, change.inverse()))
    assert farthest_apart(back, two_piece(BENT)) < within
    places = dict(named(two_piece(BENT)))
    for name, at in named(back):
        assert np.hypot(*(places[name] - at)) < within, name


@settings(deadline=None, max_examples=25, derandomize=True)
@given(first=changes(), second=changes())
def test_two_operations_and_both_inverses_leave_the_outline(first: Change, second: Change) -> None:
    """Seams moved alone and then redrafted stay out: the share held by the iron is not undone in
    every order where a seam crosses its fold."""
    if first.operation is second.operation is Operation.SEAM_SHIFT:
        return
    back = BENT.with_changes(first, second, second.inverse(), first.inverse())
    within = RECUT_MM * 2 if Operation.ARMHOLE in (first.operation, second.operation) else UNDONE_MM
    assert farthest_apart(two_piece(back), two_piece(BENT)) < within


def test_letting_out_adds_its_amount_to_each_piece_at_biceps_and_elbow_and_not_at_the_cuff() -> (
    None
):
    before = two_piece(BENT)
    after = two_piece(BENT.with_change(Change(operation=Operation.WIDTH, shift_mm=8)))
    for name in ("top", "under"):
        old, new = getattr(before, name), getattr(after, name)
        for level, grown in (("head", 8.0), ("elbow", 8.0), ("cuff", 0.0)):
            assert new.width_mm(level) - old.width_mm(level) == pytest.approx(grown, abs=0.05)


def test_lengthening_at_the_cuff_leaves_crown_biceps_line_and_elbow() -> None:
    """The elbow to half a mm: the draft's forearm is hollowed from the line biceps to cuff."""
    before = dict(named(two_piece(BENT)))
    longer = BENT.with_change(Change(operation=Operation.LENGTH, shift_mm=12))
    for name, at in named(two_piece(longer)):
        moved = np.hypot(*(at - before[name]))
        assert moved == pytest.approx(12.0 if name.endswith("cuff") else 0.0, abs=0.5), name


def test_turned_notches_go_along_the_drawn_head_and_no_line_moves() -> None:
    """Distances along the head by svgpathtools."""
    before = two_piece(BENT)
    after = two_piece(BENT.with_change(Change(operation=Operation.PITCH, shift_mm=8)))
    assert farthest_apart(before, after) == 0.0
    (was,) = (n.point_mm for n in before.top.notches if n.name == "crown")
    (now,) = (n.point_mm for n in after.top.notches if n.name == "crown")
    assert now[0] > was[0]  # toward the front
    head = before.top.head
    far = [_distance_along(head.spans_mm, at) for at in (was, now)]
    assert far[1] - far[0] == pytest.approx(8.0, abs=0.02)


def _distance_along(spans: FloatArray, at: FloatArray) -> float:
    """From the start of the spans to the point on them nearest to `at`, mm."""
    curves = [CubicBezier(*(complex(*p) for p in span)) for span in spans]
    radial = [curve.radialrange(complex(*at))[0] for curve in curves]
    best = min(range(len(curves)), key=lambda i: radial[i][0])
    before = sum(curve.length() for curve in curves[:best])
    return float(before + curves[best].length(0.0, radial[best][1]))


@pytest.mark.parametrize("change", ALL, ids=lambda c: f"{c.operation}{c.armhole_place}")
def test_an_altered_piece_is_still_closed_and_does_not_cross_itself(change: Change) -> None:
    drawn = two_piece(BENT.with_change(change))
    for piece in (drawn.top, drawn.under):
        assert np.hypot(*(piece.head.start_mm - piece.hindarm.start_mm)) < 1e-3
        assert np.hypot(*(piece.cuff.end_mm - piece.forearm.end_mm)) < 1e-3
        outline = Polygon(piece.outline().polyline(60))
        assert outline.is_valid
        for notch in piece.notches:
            assert outline.exterior.distance(Point(notch.point_mm)) < 0.05


def test_an_outline_that_is_none_is_refused_with_its_place() -> None:
    harms: list[dict[str, Any]] = [
        {"notches": [{"name": "crown", "piece": "collar", "share": 0.5}]},
        {"top sleeve": {}},
        {"base": {}},
    ]
    for harm in harms:
        broken = SidePattern.read(
            BENT.written() | {"outline": {**BENT.written()["outline"], **harm}}
        )
        with pytest.raises(BadDocument, match=r"\$\.outline"):
            two_piece(broken)
