"""Seams, notches, widths, grain, outlines and inlay, each spoiled on one piece."""

import re
from dataclasses import replace
from math import degrees, radians

import numpy as np
import pytest
from shapely import LineString, Point, Polygon, line_locate_point

from patterns.geometry.draft import TwoPiece
from patterns.geometry.path import line
from patterns.geometry.piece import Piece
from patterns.geometry.sleeve import IronedShare, Levels
from patterns.geometry.walking import walk
from tests.walking.spoiled import (
    ARMHOLE,
    IDS,
    SLEEVE,
    beside,
    bulged,
    drafted,
    failed,
    fonttools_mm,
    found,
    stretched,
    turned,
    with_edge,
    with_notch,
    without_notches,
)


@pytest.mark.parametrize("seam", ["hindarm", "forearm"])
def test_seam_of_unlike_edges_fails_by_the_difference_fonttools_measures(seam: str) -> None:
    pieces = drafted()
    longer = stretched(getattr(pieces.under, seam), 3)
    check = found(with_edge(pieces, "under", seam, longer))[f"{seam}-seam"]
    expected = fonttools_mm(longer) - fonttools_mm(getattr(pieces.top, seam))
    assert not check.passed
    assert check.measured_mm == pytest.approx(expected, abs=1e-3)
    assert f"{expected:.1f} mm too long" in check.sentence


def test_seam_too_short_says_lengthen() -> None:
    pieces = drafted()
    short = with_edge(pieces, "under", "hindarm", stretched(pieces.under.hindarm, -4))
    assert "Lengthen" in found(short)["hindarm-seam"].sentence


def test_declared_ease_is_no_fault_and_undeclared_ease_is() -> None:
    shifts = {"hindarm_shift_mm": Levels.alike(15), "forearm_shift_mm": Levels.alike(15)}
    ironed = drafted(**shifts, bend_deg=12, ironed_share=IronedShare(hindarm=1, forearm=1))
    # 2 x tau of iron work: Sleeve geometry, section 3.
    assert ironed.hindarm_ease_mm == pytest.approx(2 * 15 * radians(12), rel=0.05)
    assert failed(ironed, **shifts) == set()
    silent = replace(ironed, hindarm_ease_mm=0.0)
    assert {"hindarm-seam", "twist"} <= failed(silent, **shifts)


@pytest.mark.parametrize("seam", ["hindarm", "forearm"])
@pytest.mark.parametrize(("down_mm", "ways"), [(5, ("up", "up")), (-5, ("down", "down"))])
def test_elbow_notches_that_do_not_meet_fail_and_say_which_way_to_move(
    seam: str, down_mm: float, ways: tuple[str, str]
) -> None:
    pieces = drafted()
    edge = getattr(pieces.under, seam)
    at = line_locate_point(
        LineString(edge.polyline(400)), Point(pieces.under.points_mm[f"{seam} elbow"])
    )
    moved = with_notch(pieces, "under", "elbow", seam, beside(edge, at + down_mm))
    checks = found(moved)
    assert failed(moved) == {f"{seam}-above-elbow", f"{seam}-below-elbow"}
    assert checks[f"{seam}-above-elbow"].measured_mm == pytest.approx(down_mm, abs=0.01)
    for part, way in zip(("above", "below"), ways, strict=True):
        assert f"notch 5.0 mm {way}." in checks[f"{seam}-{part}-elbow"].sentence


def test_seam_without_its_elbow_notch_fails() -> None:
    pieces = drafted()
    bare = replace(pieces, top=without_notches(pieces.top, ["elbow"]))
    assert failed(bare) == {"hindarm-above-elbow", "forearm-above-elbow"}


def test_notch_beside_its_edge_counts_as_none() -> None:
    pieces = drafted()
    point = pieces.top.points_mm["hindarm elbow"] + np.array([3, 0])
    assert "hindarm-above-elbow" in failed(with_notch(pieces, "top", "elbow", "hindarm", point))


@pytest.mark.parametrize(("level", "place"), [("head", "biceps"), ("elbow", ""), ("cuff", "")])
def test_pieces_that_do_not_make_the_girth_fail(level: str, place: str) -> None:
    pieces = drafted()
    points = dict(pieces.top.points_mm)
    points[f"hindarm {level}"] = points[f"hindarm {level}"] + np.array([-4.0, 0.0])
    wide = replace(pieces, top=replace(pieces.top, points_mm=points))
    check = found(wide)[f"girth-{level}"]
    assert failed(wide) == {f"girth-{level}"}
    assert check.measured_mm == pytest.approx(4, abs=0.2)
    assert "wider" in check.sentence
    assert place in check.sentence


def test_pieces_of_unlike_bend_spiral_by_the_law() -> None:
    # ((D_under - D_top) / G) / (G / 2 pi) radians for each mm of length: Sleeve geometry,
    # section 3. Measured by fontTools; the under sleeve's hindarm is 5 mm longer.
    pieces = drafted()
    longer = stretched(pieces.under.hindarm, 5)
    check = found(with_edge(pieces, "under", "hindarm", longer))["twist"]
    unlike = fonttools_mm(longer) - fonttools_mm(pieces.under.hindarm)
    turn = degrees(unlike / 340 / (340 / (2 * np.pi)) * (630 - 483 / 3))
    assert not check.passed
    assert check.measured_mm == pytest.approx(unlike, abs=0.02)
    assert f"{turn:.1f} degrees" in check.sentence


@pytest.mark.parametrize(("aside_mm", "way"), [(6, "front"), (-6, "back")])
def test_grain_line_out_of_the_straight_fails(aside_mm: float, way: str) -> None:
    pieces = drafted()
    grain = pieces.top.grain
    off = line("grain", grain.start_mm, grain.end_mm + np.array([aside_mm, 0.0]))
    spoiled = replace(pieces, top=replace(pieces.top, grain=off))
    check = found(spoiled)["top-grain"]
    assert failed(spoiled) == {"top-grain"}
    assert check.measured_mm == pytest.approx(aside_mm, abs=0.01)
    assert f"to the {way}" in check.sentence


def _as_shapely(piece: Piece) -> Polygon:
    return Polygon(piece.outline().polyline(24))


@pytest.mark.parametrize("which", ["top", "under"])
@pytest.mark.parametrize("mm", [0, 40, 120, 165, 200, 260])
def test_outline_crosses_itself_exactly_when_shapely_finds_it_invalid(
    which: str, mm: float
) -> None:
    pieces = bulged(drafted(), which, mm)
    valid = _as_shapely(getattr(pieces, which)).is_valid
    assert found(pieces)[f"{which}-outline"].passed == valid
    assert valid == (mm < 150)


def test_no_need_of_inlay_is_no_check() -> None:
    checks = walk(drafted(), ARMHOLE, SLEEVE, inlay_needs_mm={"cuff": 0.0})
    assert [check.id for check in checks] == IDS


@pytest.mark.parametrize(
    ("left", "passes", "says"),
    [
        ({"top sleeve, head": 10.0}, True, "2.0 mm remain"),
        ({"top sleeve, head": 8.0}, True, "0.0 mm remain"),
        ({"top sleeve, head": 5.0}, False, "would go 3.0 mm below nothing: do less"),
        ({}, True, "not written down"),
    ],
)
def test_inlay_fails_only_where_it_is_known_to_go_below_nothing(
    left: dict[str, float], passes: bool, says: str
) -> None:
    checks = walk(
        drafted(),
        ARMHOLE,
        SLEEVE,
        inlay_needs_mm={"top sleeve, head": 8.0},
        inlay_left_mm=left,
    )
    assert checks[-1].id == "inlay-top-sleeve-head"
    assert checks[-1].passed == passes
    assert says in checks[-1].sentence


TO_DO = r"(?i)(draw|draft|fill|round|shorten|lengthen|mark|move|take|lay|hollow) "


def _spoiled() -> dict[str, TwoPiece]:
    pieces = drafted()
    under = pieces.under
    return {
        "sound": pieces,
        "hindarm": with_edge(pieces, "under", "hindarm", stretched(under.hindarm, 6)),
        "crossing": bulged(pieces, "top", 200),
        "cuff": with_edge(pieces, "under", "cuff", turned(under.cuff, 20, under.cuff.start_mm)),
        "bare": replace(pieces, top=without_notches(pieces.top, ["crown", "elbow"])),
    }


@pytest.mark.parametrize("name", ["sound", "hindarm", "crossing", "cuff", "bare"])
def test_every_sentence_is_one_and_what_fails_says_what_to_do(name: str) -> None:
    for check in found(_spoiled()[name]).values():
        assert re.fullmatch(r"[A-Z0-9].*\.", check.sentence)
        assert "nan" not in check.sentence
        if not check.passed:
            assert re.search(TO_DO, check.sentence)
