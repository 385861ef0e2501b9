"""SVG and DXF opened again by other libraries: same curves, same lengths, no errors."""

from io import StringIO
from pathlib import Path
from xml.etree import ElementTree as ET

import ezdxf
import numpy as np
import pytest
import svgpathtools
from ezdxf.document import Drawing
from ezdxf.math import BSpline
from shapely import LineString, Point

from patterns.drawing.full_scale.dxf_file import dxf_file
from patterns.drawing.full_scale.layers import Drawn
from patterns.drawing.full_scale.layout import Layout
from patterns.drawing.full_scale.svg_file import svg_file
from patterns.geometry.draft import draft
from tests.handover.cases import after, drawn
from tests.handover.reading import cubic_length

SVG = "{http://www.w3.org/2000/svg}"
FORMATS = Path(__file__).parents[2] / "patterns" / "drawing" / "FORMATS.md"
EDGES = ("head", "hindarm", "cuff", "forearm")


@pytest.fixture(scope="module")
def layout() -> Layout:
    return Layout.within(drawn(both=True), 1500.0)


@pytest.fixture(scope="module")
def svg(layout: Layout) -> ET.Element:
    return ET.fromstring(svg_file(layout, "P-0001 version 2"))  # noqa: S314 (our own drawing)


@pytest.fixture(scope="module")
def dxf(layout: Layout) -> Drawing:
    return ezdxf.read(StringIO(dxf_file(layout, "P-0001 version 2")))


def wanted_lengths() -> dict[str, list[float]]:
    """Lengths of the draft's edges by fontTools, in mm."""
    two = draft(after().sleeve, after().armhole)
    edges = {
        "top-sleeve": two.top.edges,
        "under-sleeve": two.under.edges,
    }
    lengths = {
        name: [cubic_length(edge.spans_mm) for edge in found] for name, found in edges.items()
    }
    return lengths | {"armhole": [cubic_length(after().armhole.curve.beziers())]}


@pytest.mark.parametrize("side", ["left", "right"])
@pytest.mark.parametrize("piece", ["top-sleeve", "under-sleeve", "armhole"])
def test_svg_lines_are_as_long_as_the_drafts(svg: ET.Element, piece: str, side: str) -> None:
    (group,) = [one for one in svg.iter(f"{SVG}g") if one.get("id") == f"{piece}-{side}"]
    paths = [
        path
        for layer in group.iter(f"{SVG}g")
        if layer.get("data-layer") == "NET"
        for path in layer.iter(f"{SVG}path")
    ]
    lengths = [svgpathtools.parse_path(path.attrib["d"]).length(error=1e-10) for path in paths]
    assert lengths == pytest.approx(wanted_lengths()[piece], rel=1e-6)
    if piece != "armhole":
        assert [path.get("data-name") for path in paths] == list(EDGES)


def test_svg_is_in_millimetres_and_needs_no_style_sheet(svg: ET.Element, layout: Layout) -> None:
    left, top, wide, high = (float(part) for part in svg.attrib["viewBox"].split())
    assert (left, top) == (0.0, 0.0)
    assert svg.attrib["width"] == f"{wide:g}mm"
    assert float(svg.attrib["height"].removesuffix("mm")) == high
    assert high == pytest.approx(layout.height_mm)
    assert not [one for one in svg.iter() if one.get("style") or one.tag == f"{SVG}style"]


def test_dxf_opens_without_an_error_in_millimetres(dxf: Drawing) -> None:
    audit = dxf.audit()
    assert (audit.errors, audit.fixes) == ([], [])
    assert dxf.dxfversion == "AC1024"  # R2010
    assert (dxf.header["$INSUNITS"], dxf.header["$MEASUREMENT"]) == (4, 1)
    inserts = dxf.modelspace().query("INSERT")
    assert sorted(one.dxf.name for one in inserts) == sorted(
        f"{piece}_{side}"
        for piece in ("TOP_SLEEVE", "UNDER_SLEEVE", "ARMHOLE")
        for side in ("LEFT", "RIGHT")
    )
    assert all((one.dxf.xscale, one.dxf.yscale, one.dxf.rotation) == (1, 1, 0) for one in inserts)


@pytest.mark.parametrize("side", ["left", "right"])
@pytest.mark.parametrize("piece", ["top-sleeve", "under-sleeve", "armhole"])
def test_dxf_splines_are_the_drafts_own_curves(dxf: Drawing, piece: str, side: str) -> None:
    block = dxf.blocks[f"{piece}-{side}".upper().replace("-", "_")]
    lengths = [
        spline_length(entity.construction_tool())
        if entity.dxftype() == "SPLINE"
        else entity.dxf.start.distance(entity.dxf.end)
        for entity in block
        if entity.dxf.layer == "NET"
    ]
    assert lengths == pytest.approx(wanted_lengths()[piece], abs=0.01)


def spline_length(spline: BSpline) -> float:
    """Length of what ezdxf makes of the knots and points it read, in 20,000 chords."""
    first, last = spline.knots()[0], spline.max_t
    points = np.array([point.xyz[:2] for point in spline.points(np.linspace(first, last, 20_001))])
    return float(np.hypot(*np.diff(points, axis=0).T).sum())


def test_dxf_lies_as_the_svg_does_with_y_counted_upward(dxf: Drawing, layout: Layout) -> None:
    """The cut lines' corners, put in place by the INSERTs, are those of the sheet."""
    found = np.concatenate(
        [
            np.array([(x, y) for x, y, *_ in entity.get_points()])
            for insert in dxf.modelspace().query("INSERT")
            for entity in insert.virtual_entities()
            if entity.dxf.layer == "CUT"
        ]
    )
    ours = np.concatenate([cut_corners(one) for one in layout.drawings])
    np.testing.assert_allclose(found, ours * (1, -1) + (0, layout.height_mm), atol=1e-6)


def cut_corners(one: Drawn) -> np.ndarray:
    return np.concatenate(
        [item.reach_mm for item in one.items if item.layer == "CUT"] or [np.zeros((0, 2))]
    )


def test_every_notch_crosses_the_net_line_and_ends_on_the_cut_line(dxf: Drawing) -> None:
    for name in ("TOP_SLEEVE_RIGHT", "UNDER_SLEEVE_RIGHT"):
        block = list(dxf.blocks[name])
        (cut,) = [one for one in block if one.dxf.layer == "CUT"]
        ring = LineString([*cut.get_points("xy"), cut.get_points("xy")[0]])
        net = [
            LineString([point.xyz[:2] for point in one.flattening(0.001)])
            for one in block
            if one.dxf.layer == "NET" and one.dxftype() == "SPLINE"
        ]
        notches = [one for one in block if one.dxf.layer == "NOTCH"]
        assert len(notches) >= 3
        for notch in notches:
            stroke = LineString([notch.dxf.start.xyz[:2], notch.dxf.end.xyz[:2]])
            assert any(stroke.intersects(edge) for edge in net)
            assert ring.distance(Point(notch.dxf.end.xyz[:2])) < 0.1


def test_dxf_of_a_whole_pattern_has_every_layer_that_was_written_down(dxf: Drawing) -> None:
    told = FORMATS.read_text("utf-8")
    used = {entity.dxf.layer for block in dxf.blocks for entity in block} - {"0"}
    assert used == {
        "NET",
        "CUT",
        "OLD",
        "ADDED",
        "TAKEN",
        "NOTCH",
        "GRAIN",
        "LEVEL",
        "POINT",
        "TEXT",
    }
    assert all(f"| {layer} " in told for layer in used)
