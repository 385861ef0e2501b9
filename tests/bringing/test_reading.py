"""Files read: lengths against svgpathtools and shapely, units, transforms, names, our own files."""

from collections.abc import Mapping
from dataclasses import replace
from io import BytesIO, StringIO
from math import cos, radians, sin
from typing import Any

import numpy as np
import pytest
from ezdxf.filemanagement import new
from scipy.special import ellipe
from shapely.geometry import LineString
from svgpathtools import parse_path, svg2paths

from patterns.bringing.brought import Brought, Named, NotBroughtIn
from patterns.bringing.dxf import read_dxf
from patterns.bringing.offer import read_file
from patterns.bringing.svg import read_svg
from patterns.bringing.understanding import Understood, understand
from patterns.drawing.full_scale.cutting import Cloth
from patterns.drawing.full_scale.dxf_file import dxf_file
from patterns.drawing.full_scale.layout import Layout
from patterns.drawing.full_scale.pieces import Heading, Side, drawings
from patterns.drawing.full_scale.svg_file import svg_file
from patterns.geometry.draft import draft
from patterns.geometry.path import Path
from patterns.geometry.sleeve import Levels
from patterns.rules.correction import Operation
from patterns.rules.outline import EDGES, Outline
from patterns.rules.pattern import Change, SidePattern
from patterns.rules.pieces import two_piece
from tests.bringing.files import PIECES, TOP, UNDER, dxf, group, svg
from tests.bringing.outlines import DRAFTED
from tests.bringing.test_altering import farthest_apart

LINES = ("top sleeve", "under sleeve", "armhole")


def line(brought: Brought, piece: str, part: str) -> Named:
    (found,) = [one for one in brought.lines if (one.piece, one.part) == (piece, part)]
    return found


def length(one: Named) -> float:
    return Path(name="line", spans_mm=one.spans_mm).length_mm


def edge_length(understood: Understood, piece: str, edge: str) -> float:
    assert understood.side.outline is not None
    return Outline.read(understood.side.outline).edges[piece][edge].length_mm


@pytest.fixture(scope="module")
def plain() -> Understood:
    return understand(read_svg(svg()), "", DRAFTED)


# SVG


def test_lengths_of_svg_lines_agree_with_svgpathtools() -> None:
    brought = read_svg(svg())
    for piece in LINES[:2]:
        for edge in EDGES:
            wanted = parse_path(PIECES[piece][edge]).length()
            assert length(line(brought, piece, edge)) == pytest.approx(wanted, abs=1e-3)


def test_an_arc_is_as_long_as_the_ellipse_by_the_elliptic_integral() -> None:
    wanted = 4 * 85 * ellipe(1 - (62 / 85) ** 2)
    assert length(line(read_svg(svg()), "armhole", "")) == pytest.approx(wanted, abs=0.2)


@pytest.mark.parametrize(
    ("size", "factor"),
    [
        ('width="60cm" height="80cm" viewBox="0 0 600 800"', 1.0),
        ('width="6in" height="8in" viewBox="0 0 600 800"', 0.254),
        ('width="600" height="800" viewBox="0 0 600 800"', 25.4 / 96),
        ('width="600px" height="800px" viewBox="0 0 300 400"', 2 * 25.4 / 96),
        ('width="432pt" height="576pt" viewBox="0 0 600 800"', 0.254),
        ('width="36pc" height="48pc" viewBox="0 0 600 800"', 0.254),
        ('width="2400q" height="3200Q" viewBox="0 0 600 800"', 1.0),
    ],
)
def test_css_units_are_as_css_has_them(size: str, factor: float) -> None:
    brought = read_svg(svg(size=size))
    wanted = parse_path(TOP["hindarm"]).length() * factor
    assert length(line(brought, "top sleeve", "hindarm")) == pytest.approx(wanted, rel=1e-6)


@pytest.mark.parametrize(
    "transform",
    [
        "translate(30,-12)",
        "rotate(25)",
        "rotate(90 10 20) translate(5)",
        "matrix(0 1 -1 0 3 4)",
        "scale(-1 1)",
        "translate(3 4)scale(2)rotate(-30),scale(.5)",
    ],
)
def test_transforms_that_keep_lengths_keep_them(transform: str) -> None:
    brought = read_svg(svg(top_sleeve=transform))
    for edge in EDGES:
        wanted = parse_path(TOP[edge]).length()
        assert length(line(brought, "top sleeve", edge)) == pytest.approx(wanted, rel=1e-6)


def test_groups_within_groups_and_stretching_agree_with_svgpathtools() -> None:
    """The same file read by svgpathtools, which flattens nothing: its lines transformed here."""
    inner = group("top sleeve", {"hindarm": TOP["hindarm"]}, transform="scale(1.5 0.5)")
    data = svg(f'<g transform="skewX(20)">{inner}</g>')
    paths, _ = svg2paths(BytesIO(data))
    points = np.array(
        [[paths[0].point(t).real, paths[0].point(t).imag] for t in np.linspace(0, 1, 4001)]
    )
    skewed = points * (1.5, 0.5)
    skewed[:, 0] += np.tan(radians(20)) * skewed[:, 1]
    wanted = LineString(skewed).length
    assert length(line(read_svg(data), "top sleeve", "hindarm")) == pytest.approx(wanted, abs=0.01)


def test_lines_polylines_and_polygons_are_read() -> None:
    body = (
        '<g id="under_sleeve_2"><line id="cuff" x1="0" y1="0" x2="30" y2="40"/>'
        '<polyline id="head-1" points="0,0 3,4 6 8"/></g>'
        '<polygon inkpot:label="Armhole" xmlns:inkpot="urn:x" points="0,0 30,0 30,40"/>'
    )
    brought = read_svg(svg(body))
    assert length(line(brought, "under sleeve", "cuff")) == pytest.approx(50)
    assert length(line(brought, "under sleeve", "head")) == pytest.approx(10)
    assert length(line(brought, "armhole", "")) == pytest.approx(120)


def test_titles_sides_and_names_in_one_word_are_understood() -> None:
    body = (
        "<g><title>Top sleeve, wearer's left</title><path id='hindarm_seam' d='M0 0H9'/></g>"
        "<path id='UNDER-SLEEVE-RIGHT-Forearm' d='M0 0H9'/><path id='collar' d='M0 0H9'/>"
        "<g id='armhole notes'><path d='M0 0H9'/></g>"
    )
    found = {(one.side, one.piece, one.part) for one in read_svg(svg(body)).lines}
    assert found == {("left", "top sleeve", "hindarm"), ("right", "under sleeve", "forearm")}


# DXF


def polylines() -> Mapping[str, Mapping[str, Any]]:
    """The sleeve's lines as polylines of 300 corners, y up."""
    found: dict[str, dict[str, Any]] = {}
    for piece, lines in PIECES.items():
        for name, d in lines.items():
            curve = parse_path(d)
            at = [curve.point(t) for t in np.linspace(0, 1, 300)]
            found.setdefault(piece, {})[name] = [(p.real, -p.imag) for p in at]
    return found


@pytest.mark.parametrize(
    ("unit", "scale"), [(4, 1.0), (5, 0.1), (1, 1 / 25.4), (2, 1 / 304.8), (6, 0.001)]
)
def test_dxf_units_bring_every_file_to_the_same_mm(unit: int, scale: float) -> None:
    brought = read_dxf(dxf(polylines(), unit=unit, scale=scale))
    for piece in LINES[:2]:
        for edge in EDGES:
            wanted = LineString(polylines()[piece][edge]).length
            assert length(line(brought, piece, edge)) == pytest.approx(wanted, rel=1e-6)
    assert brought.remarks == ()


def test_dxf_without_a_unit_is_read_as_mm_and_says_so() -> None:
    brought = read_dxf(dxf(polylines(), unit=0))
    assert "does not say its unit" in brought.remarks[0]


def test_dxf_arcs_splines_and_bulges_have_their_lengths() -> None:
    document = new("R2010", units=4)
    space = document.modelspace()
    on = [{"layer": f"TOP_SLEEVE_{name}"} for name in ("HEAD", "HINDARM", "CUFF", "FOREARM")]
    space.add_arc((0, 0), 100, 0, 90, dxfattribs=on[0])
    space.add_spline([(0, 0), (10, 40), (50, 80), (90, 70)], dxfattribs=on[1])
    space.add_lwpolyline([(0, 0, 1.0), (50, 0, 0)], format="xyb", dxfattribs=on[2])
    space.add_line((0, 0), (30, 40), dxfattribs=on[3])
    (spline,) = space.query("SPLINE")
    stream = StringIO()
    document.write(stream)
    brought = read_dxf(stream.getvalue().encode())
    head, hindarm, cuff, forearm = (length(line(brought, "top sleeve", e)) for e in EDGES)
    assert head == pytest.approx(np.pi * 50, abs=0.05)
    flat = LineString([(p.x, p.y) for p in spline.construction_tool().approximate(2000)])
    assert hindarm == pytest.approx(flat.length, rel=1e-3)
    assert cuff == pytest.approx(np.pi * 25, abs=0.05)  # a half circle over 50 mm
    assert forearm == pytest.approx(50)


def test_svg_and_dxf_of_one_drawing_are_understood_alike(plain: Understood) -> None:
    """The polylines' chords are short of the curves by less than 0.05 mm."""
    other = understand(read_dxf(dxf(polylines())), "", DRAFTED)
    for piece in LINES[:2]:
        for edge in EDGES:
            one, two = (edge_length(u, piece, edge) for u in (plain, other))
            assert one == pytest.approx(two, abs=0.05)
    ours, theirs = plain.side.sleeve, other.side.sleeve
    assert ours.girth_mm.biceps == pytest.approx(theirs.girth_mm.biceps, abs=0.05)
    assert ours.length_mm == pytest.approx(theirs.length_mm, abs=0.1)


# understood


def test_measures_are_those_of_the_hand_drawn_sleeve(plain: Understood) -> None:
    """Biceps line and elbow line cut by shapely; crown, cuff and armhole from the numbers drawn."""
    sleeve = plain.side.sleeve
    wide = []
    for y in (160.0, 356.0):
        across = LineString([(-300, y), (300, y)])
        seams = [fine(TOP[name]) for name in ("hindarm", "forearm")]
        xs = [across.intersection(seam).x for seam in seams]
        wide.append(2 * (xs[1] - xs[0]))
    assert sleeve.girth_mm.biceps == pytest.approx(wide[0], abs=0.05)
    assert sleeve.girth_mm.elbow == pytest.approx(wide[1], abs=0.05)
    assert sleeve.girth_mm.cuff == pytest.approx(2 * np.hypot(132, 18), abs=0.01)
    assert sleeve.crown_height_mm == pytest.approx(160.0, abs=0.01)
    assert sleeve.elbow_down_mm == pytest.approx(356.0, abs=0.01)
    assert sleeve.turning_deg == pytest.approx(np.degrees(np.arctan2(18, 132)), abs=0.01)
    armhole = plain.side.armhole
    assert armhole.girth_mm == pytest.approx(4 * 85 * ellipe(1 - (62 / 85) ** 2), abs=0.3)
    assert armhole.pitch_height_mm == pytest.approx(70.0, abs=0.1)
    assert armhole.height_mm == pytest.approx(170.0, abs=0.1)


def fine(d: str) -> LineString:
    curve = parse_path(d)
    return LineString([(p.real, p.imag) for p in (curve.point(t) for t in np.linspace(0, 1, 3000))])


def test_edges_are_kept_as_they_were_drawn(plain: Understood) -> None:
    pieces = two_piece(plain.side)
    for piece, drawn in ((pieces.top, TOP), (pieces.under, UNDER)):
        for edge in piece.edges:
            assert edge.length_mm == pytest.approx(parse_path(drawn[edge.name]).length(), abs=0.01)


def test_what_could_not_be_told_is_said(plain: Understood) -> None:
    told = " ".join(plain.remarks)
    assert "front pitch notch, back pitch notch" in told
    assert "grain" not in told  # the biceps line levels it
    assert plain.side.sleeve.notch_shift_mm == 0.0
    assert "the hindarm stands 40 mm over the forearm, 70 mm on the armhole" in told
    assert "degrees behind plumb" in told


@pytest.mark.parametrize(
    "transform", ["rotate(180)", "rotate(17)", "scale(-1 1)", "scale(-1 1) rotate(10)"]
)
def test_a_piece_laid_another_way_is_the_same_piece(transform: str, plain: Understood) -> None:
    turned = svg(top_sleeve=transform, under_sleeve=transform)
    other = understand(read_svg(turned), "", DRAFTED)
    assert farthest_apart(two_piece(other.side), two_piece(plain.side)) < 0.02


def test_an_edge_of_several_lines_in_any_order_is_joined(plain: Understood) -> None:
    halves = {
        **{name: d for name, d in TOP.items() if name != "hindarm"},
        "hindarm 2": "M -40 640 C -55 540 -70 440 -85 360",
        "hindarm 1": "M -95 95 C -95 200 -100 280 -85 360.4",
    }
    body = group("top sleeve", halves) + group("under sleeve", UNDER)
    other = understand(read_svg(svg(body)), "", plain.side)
    wanted = edge_length(plain, "top sleeve", "hindarm")
    assert edge_length(other, "top sleeve", "hindarm") == pytest.approx(wanted, abs=0.5)
    assert "No armhole is in the file" in " ".join(other.remarks)
    assert other.side.armhole_document == plain.side.armhole_document


def test_an_armhole_alone_leaves_the_sleeve() -> None:
    body = group("armhole", PIECES["armhole"])
    other = understand(read_svg(svg(body)), "", DRAFTED)
    assert other.side.sleeve == DRAFTED.sleeve
    assert other.side.armhole.height_mm == pytest.approx(170.0, abs=0.1)


def test_corrections_act_on_what_was_brought_in(plain: Understood) -> None:
    longer = plain.side.with_change(Change(operation=Operation.LENGTH, shift_mm=12))
    before, after = two_piece(plain.side), two_piece(longer)
    for seam in ("hindarm", "forearm"):
        moved = after.top.points_mm[f"{seam} cuff"] - before.top.points_mm[f"{seam} cuff"]
        assert np.hypot(*moved) == pytest.approx(12.0, abs=0.05)


# our own files


def handed_out(side: SidePattern, kind: str) -> bytes:
    both = [Side(side=name, after=side) for name in ("left", "right")]
    drawn = drawings(both, Heading(pattern="P-0001", version=3, dated="1 Mar"), Cloth())
    layout = Layout.within(drawn, 1500.0)
    return (svg_file if kind == "svg" else dxf_file)(layout, "P-0001 version 3").encode()


@pytest.mark.parametrize("kind", ["svg", "dxf"])
@pytest.mark.parametrize("turned", [0.0, 8.0])
def test_our_own_files_come_back_as_the_pattern_they_were(kind: str, turned: float) -> None:
    seams = (
        {} if turned else {"hindarm_shift_mm": Levels.alike(8), "forearm_shift_mm": Levels.alike(6)}
    )
    side = replace(DRAFTED, sleeve=replace(DRAFTED.sleeve, notch_shift_mm=turned, **seams))
    brought = read_file(handed_out(side, kind))
    assert brought.sides == ("left", "right")
    for which in brought.sides:
        back = understand(brought, which, DRAFTED).side
        assert farthest_apart(two_piece(back), draft(side.sleeve, side.armhole)) < 0.05
        for name in ("biceps", "elbow", "cuff"):
            wanted = getattr(side.sleeve.girth_mm, name)
            assert getattr(back.sleeve.girth_mm, name) == pytest.approx(wanted, abs=0.01)
        for seam in ("hindarm_shift_mm", "forearm_shift_mm"):
            for level in ("head", "elbow", "cuff"):
                wanted = getattr(getattr(side.sleeve, seam), level)
                assert getattr(getattr(back.sleeve, seam), level) == pytest.approx(wanted, abs=0.02)
        assert back.sleeve.notch_shift_mm == pytest.approx(turned, abs=0.05)
        assert back.sleeve.drafted_hang_deg == pytest.approx(0.0, abs=0.02)
        assert back.sleeve.length_mm == pytest.approx(side.sleeve.length_mm, abs=0.05)
        assert back.armhole.girth_mm == pytest.approx(side.armhole.girth_mm, abs=0.01)
        assert back.armhole.pitch_width_mm == pytest.approx(140.0, abs=0.01)


# sizes


@pytest.mark.parametrize(
    ("size", "meant"),
    [
        ('width="60mm" height="80mm" viewBox="-300 -100 600 800"', "centimetres"),
        ('width="600" height="800" viewBox="-300 -100 600 800"', "CSS pixels"),
        ('width="6000mm" height="8000mm" viewBox="-300 -100 600 800"', "read as centimetres"),
    ],
)
def test_a_sleeve_of_an_impossible_size_names_the_unit_probably_meant(
    size: str, meant: str
) -> None:
    with pytest.raises(NotBroughtIn, match=meant):
        understand(read_svg(svg(size=size)), "", DRAFTED)


def test_inches_written_as_mm_are_named() -> None:
    with pytest.raises(NotBroughtIn, match="inches and were read as millimetres"):
        understand(read_dxf(dxf(polylines(), unit=0, scale=1 / 25.4)), "", DRAFTED)


def test_a_piece_out_of_level_is_levelled_by_its_biceps_line_and_the_page_says_so() -> None:
    c, s = cos(radians(3)), sin(radians(3))
    turn = f"matrix({c} {s} {-s} {c} 0 0)"
    told = understand(read_svg(svg(top_sleeve=turn)), "", DRAFTED)
    assert any("3 degrees out of level" in remark for remark in told.remarks)
    assert told.side.sleeve.crown_height_mm == pytest.approx(160.0, abs=0.05)
