"""The line to cut, against buffers drawn by shapely."""

import numpy as np
import pytest
from shapely import LineString, MultiPoint, Point, Polygon

from patterns.drawing.full_scale.cutting import Cloth, cut_line, parallel
from patterns.geometry.draft import TwoPiece, draft
from patterns.geometry.path import line
from patterns.geometry.piece import Piece
from tests.handover.cases import INLAYS, after
from tests.handover.reading import area_of

NEAR_MM = 0.1


def pieces(two: TwoPiece) -> tuple[Piece, Piece]:
    return two.top, two.under


@pytest.fixture(scope="module")
def sleeve() -> TwoPiece:
    return draft(after().sleeve, after().armhole)


@pytest.mark.parametrize("which", [0, 1], ids=["top", "under"])
def test_cut_line_is_the_net_line_when_no_seam_is_left(sleeve: TwoPiece, which: int) -> None:
    piece = pieces(sleeve)[which]
    net = area_of(piece.outline().spans_mm)
    cut = Polygon(cut_line(piece, Cloth(seam_mm=0.0)))
    assert cut.symmetric_difference(net).area < 0.01 * net.length
    assert cut.hausdorff_distance(net) < 0.02


@pytest.mark.parametrize("seam", [6.0, 10.0, 25.0])
@pytest.mark.parametrize("which", [0, 1], ids=["top", "under"])
def test_cut_line_of_an_even_seam_is_shapelys_buffer_but_for_pointed_corners(
    sleeve: TwoPiece, which: int, seam: float
) -> None:
    piece = pieces(sleeve)[which]
    # GEOS buffers a line simplified to a hundredth of the distance: beyond 25 mm it is the coarser.
    net = area_of(piece.outline().spans_mm, 2000)
    cut = Polygon(cut_line(piece, Cloth(seam_mm=seam)))
    assert cut.is_valid
    # At a corner shapely's round buffer is the least and its pointed one the most there may be.
    assert cut.buffer(NEAR_MM).contains(net.buffer(seam, quad_segs=32))
    assert net.buffer(seam + NEAR_MM, join_style="mitre", mitre_limit=20).contains(cut)
    # Away from the four corners the two are the same line.
    corners = MultiPoint([piece.points_mm[name] for name in CORNERS]).buffer(3 * seam)
    ours, theirs = cut.exterior - corners, net.buffer(seam, quad_segs=32).exterior - corners
    assert ours.hausdorff_distance(theirs) < NEAR_MM


CORNERS = ("hindarm top", "forearm top", "hindarm cuff", "forearm cuff")


@pytest.mark.parametrize("which", [0, 1], ids=["top", "under"])
def test_inlay_widens_its_own_edge_and_no_other(sleeve: TwoPiece, which: int) -> None:
    piece = pieces(sleeve)[which]
    cut = Polygon(cut_line(piece, INLAYS)).exterior
    for edge in piece.edges:
        stretch = LineString(edge.polyline(100))
        places = [stretch.interpolate(share, normalized=True) for share in (0.4, 0.5, 0.6)]
        found = [cut.distance(Point(place)) for place in places]
        inlay = INLAYS.inlays_mm.get((piece.name, edge.name), 0.0)
        assert found == pytest.approx([10.0 + inlay] * 3, abs=NEAR_MM)


def test_square_with_one_wide_side_is_cut_as_a_rectangle() -> None:
    corners = np.array([(0.0, 0.0), (100.0, 0.0), (100.0, 100.0), (0.0, 100.0), (0.0, 0.0)])
    edges = [line("side", *corners[i : i + 2]) for i in range(4)]
    cut = Polygon(parallel([(edges[0], 30.0), *((edge, 10.0) for edge in edges[1:])]))
    assert cut.equals(Polygon([(-10, -30), (110, -30), (110, 110), (-10, 110)]))


def test_sharp_corner_is_cut_off_and_a_hollow_one_is_not_crossed() -> None:
    """A dart-like notch: two sharp points and a hollow corner between them."""
    corners = [(0.0, 0.0), (50.0, 90.0), (100.0, 0.0), (50.0, 200.0), (0.0, 0.0)]
    edges = [(line("side", *corners[i : i + 2]), 10.0) for i in range(4)]
    cut = Polygon(parallel(edges))
    net = Polygon(corners)
    assert cut.is_valid
    assert cut.buffer(NEAR_MM).contains(net.buffer(10.0, quad_segs=32))
    pointed = net.buffer(10.0, join_style="mitre", mitre_limit=20)
    assert pointed.buffer(NEAR_MM).contains(cut)
    assert cut.area < pointed.area - 50.0
