"""Paper measured: true size, whole when put together, the same on neighbouring pages."""

import re

import numpy as np
import pytest
from shapely import box, points
from weasyprint import HTML
from weasyprint.urls import FatalURLFetchingError

from patterns.drawing.embedded import EmbeddedOnly, NotEmbedded
from patterns.drawing.full_scale.first_page import check_square
from patterns.drawing.full_scale.layers import Curve, Drawn, Layer
from patterns.drawing.full_scale.layout import Layout, TooNarrow
from patterns.drawing.full_scale.paper import one_sheet_pdf, tiled_pdf
from patterns.drawing.full_scale.pieces import Side
from patterns.drawing.full_scale.plate import plate_pdf
from patterns.drawing.full_scale.tiles import A4, LETTER, Paper, Tiling
from patterns.geometry.draft import TwoPiece, draft
from patterns.geometry.piece import Piece
from tests.handover.cases import HEADING, after, before, drawn
from tests.handover.reading import DOTS, Printed, area_of, cubic_length

MARGIN, OVERLAP = 10, 10
NET_PEN, OLD_PEN, CHECK_PEN = 0.7, 0.35, 0.3
TOLD = ("P-0001 version 2", "wearer's right", "5 Jan 2026", "old line: version 1")
PAPERS = pytest.mark.parametrize("paper", [A4, LETTER], ids=lambda paper: paper.name)


def tiled(tiling: Tiling) -> Printed:
    return Printed(tiled_pdf(tiling, TOLD, title="P-0001 version 2", with_old_line=True))


@pytest.fixture(scope="module")
def pieces() -> tuple[Drawn, ...]:
    return drawn()


@pytest.fixture(scope="module")
def tilings(pieces: tuple[Drawn, ...]) -> dict[str, Tiling]:
    return {paper.name: Tiling.fewest(pieces, paper) for paper in (A4, LETTER)}


@pytest.fixture(scope="module")
def printed(tilings: dict[str, Tiling]) -> dict[str, Printed]:
    return {name: tiled(tiling) for name, tiling in tilings.items()}


def edges(piece: Piece) -> list[np.ndarray]:
    return [edge.spans_mm for edge in piece.edges]


def as_points(spans: np.ndarray) -> np.ndarray:
    """Start, then two controls and an end for each span: the points a PDF path holds."""
    return np.concatenate([spans[0, :1], spans[:, 1:].reshape(-1, 2)])


def same_shape(one: np.ndarray, other: np.ndarray) -> bool:
    return one.shape == other.shape and bool(
        np.abs((one - one[0]) - (other - other[0])).max() < 0.05
    )


def test_one_sheet_holds_every_edge_of_the_draft_within_five_hundredths(
    pieces: tuple[Drawn, ...],
) -> None:
    layout = Layout.within(pieces, 900.0)
    sheet = Printed(one_sheet_pdf(layout, title="sheet"))
    assert sheet.sizes == [pytest.approx((920.0, layout.height_mm + 20.0), abs=0.05)]
    found = sheet.curves(0, NET_PEN)
    two = draft(after().sleeve, after().armhole)
    wanted = [spans for piece in (two.top, two.under) for spans in edges(piece)]
    for spans in [*wanted, after().armhole.curve.beziers() * (1, -1)]:
        assert sum(same_shape(line, as_points(spans)) for line in found) == 1


def test_armhole_on_paper_is_as_long_as_the_tape_said(pieces: tuple[Drawn, ...]) -> None:
    """480 mm were measured; the length is taken by fontTools from what the PDF holds."""
    sheet = Printed(one_sheet_pdf(Layout.within(pieces[2:], 900.0), title="armhole"))
    (outline,) = sheet.curves(0, NET_PEN)
    spans = np.stack([outline[i : i + 4] for i in range(0, len(outline) - 1, 3)])
    assert cubic_length(spans) == pytest.approx(480.0, abs=0.05)


def test_biceps_line_on_paper_is_half_the_girth_and_what_the_seams_gave(
    pieces: tuple[Drawn, ...],
) -> None:
    """Of 392 mm the top has 196 - 20 + 15 and the under 196 + 20 - 15."""
    sheet = Printed(one_sheet_pdf(Layout.within(pieces[:2], 900.0), title="sleeve"))
    levels = [
        float(np.hypot(*(line.points[1] - line.points[0])))
        for line in sheet.lines[0]
        if abs(line.pen - 0.25) < 0.01 and np.ptp(line.points[:, 0]) > 50
    ]
    assert sorted(levels)[-2:] == pytest.approx([191.0, 201.0], abs=0.05)


@PAPERS
def test_pages_are_the_papers_size_and_the_first_has_a_square_of_100(
    printed: dict[str, Printed], paper: Paper
) -> None:
    pages = printed[paper.name]
    assert pages.sizes == [pytest.approx((paper.width_mm, paper.height_mm), abs=0.05)] * len(
        pages.sizes
    )
    sides = [
        np.abs(line.points[1] - line.points[0])
        for line in pages.lines[0]
        if abs(line.pen - CHECK_PEN) < 0.01 and np.abs(np.ptp(line.points, axis=0)).max() > 90
    ]
    assert sorted(side.max() for side in sides[:4]) == pytest.approx([100.0] * 4, abs=0.1)
    assert "This square is 100 mm each way" in pages.words[0]


def test_square_is_100_mm_in_the_picture_too(printed: dict[str, Printed]) -> None:
    ink = printed["A4"].picture(0)[: 125 * DOTS, : 115 * DOTS]
    across = np.flatnonzero(ink.mean(axis=0) > 0.6)
    down = np.flatnonzero(ink.mean(axis=1) > 0.6)
    for lines in (across, down):
        ends = [lines[lines < lines.mean()].mean(), lines[lines > lines.mean()].mean()]
        assert (ends[1] - ends[0]) / DOTS == pytest.approx(100.0, abs=1 / DOTS)


@PAPERS
def test_every_page_says_which_it_is_and_where_it_comes_from(
    printed: dict[str, Printed], tilings: dict[str, Tiling], paper: Paper
) -> None:
    words, tiling = printed[paper.name].words, tilings[paper.name]
    assert len(words) == tiling.pages
    for number, (tile, text) in enumerate(zip(tiling.tiles, words[1:], strict=True), 2):
        assert f"P-0001 version 2: {tile.label}, page {number} of {tiling.pages}" in text
        assert tile.label in words[0].split()


@PAPERS
def test_a_point_lies_at_the_same_place_of_the_sheet_on_neighbouring_pages(
    printed: dict[str, Printed], tilings: dict[str, Tiling], paper: Paper
) -> None:
    """Register mark on register mark, and every line that both pages hold, within 0.1 mm."""
    tiling, pages = tilings[paper.name], printed[paper.name]
    step = (paper.width_mm - 2 * MARGIN - OVERLAP, paper.height_mm - 2 * MARGIN - OVERLAP)
    places: dict[tuple[int, int], list[np.ndarray]] = {}
    for number, tile in enumerate(tiling.tiles, 1):
        corner = np.array([tile.column * step[0], tile.row * step[1]]) - MARGIN
        lines = [*pages.curves(number, NET_PEN), *registers(pages, number)]
        places[tile.column, tile.row] = [line + corner for line in lines]
    compared = 0
    for (column, row), lines in places.items():
        for beside in ((column + 1, row), (column, row + 1)):
            for line in lines:
                gaps = [
                    np.abs(line - other).max()
                    for other in places.get(beside, [])
                    if other.shape == line.shape
                ]
                near = min(gaps, default=np.inf)
                if near < 3.0:
                    compared += 1
                    assert near < 0.1
    assert compared > 20


def registers(pages: Printed, number: int) -> list[np.ndarray]:
    """Arms of the register marks, 8 mm long."""
    lines = [line.points for line in pages.lines[number] if abs(line.pen - CHECK_PEN) < 0.01]
    return [line for line in lines if abs(np.hypot(*np.ptp(line, axis=0)) - 8.0) < 0.01]


def test_pages_put_together_are_the_one_sheet(tilings: dict[str, Tiling]) -> None:
    """Pictures of the pages laid cross on cross, against a picture of the sheet in one."""
    tiling = tilings["A4"]
    pages, sheet = tiled(tiling), Printed(one_sheet_pdf(tiling.layout, title="sheet")).picture(0)
    compared = 0
    for number, tile in enumerate(tiling.tiles, 1):
        left, top, right, bottom = (round(side) * DOTS for side in tile.core_mm)
        whole = np.zeros((bottom - top, right - left), dtype=bool)
        seen = sheet[top + 40 : bottom + 40, left + 40 : right + 40]
        whole[: seen.shape[0], : seen.shape[1]] = seen
        begin = (MARGIN + OVERLAP // 2) * DOTS
        page, around = (
            ink[begin : begin + bottom - top, begin : begin + right - left]
            for ink in (pages.picture(number), grown(pages.picture(number)))
        )
        own = np.zeros_like(whole)  # the page's own marks: its frame, crosses and label
        own[:18], own[-18:], own[:, :18], own[:, -18:] = True, True, True, True
        own[: 14 * DOTS, : 25 * DOTS] = True
        assert not (whole & ~around).any()
        assert not (page & ~grown(whole) & ~own).any()
        compared += int(whole.sum())
    assert compared == pytest.approx(int(sheet.sum()), rel=0.01)


def grown(ink: np.ndarray) -> np.ndarray:
    """Ink and the dots beside it: a quarter of a millimetre."""
    wide = np.pad(ink, 1)
    return np.any([np.roll(wide, (x, y), (1, 0)) for x in (-1, 0, 1) for y in (-1, 0, 1)], axis=0)[
        1:-1, 1:-1
    ]


def test_left_is_the_mirror_of_right() -> None:
    both = drawn(both=True)
    for left, right in zip(both[:3], both[3:], strict=True):
        assert (left.key, right.key) == (left.key, left.key.replace("left", "right"))
        for layer in (Layer.NET, Layer.OLD):
            ours, theirs = (
                [
                    item.spans_mm
                    for item in one.items
                    if isinstance(item, Curve) and item.layer is layer
                ]
                for one in (left, right)
            )
            for one, other in zip(ours, theirs, strict=True):
                np.testing.assert_allclose(one * (-1, 1), other, atol=1e-9)
    for one in both:
        words = {item.text for item in one.items if item.layer is Layer.TEXT}
        side = one.key.rsplit("-", 1)[1]
        assert f"wearer's {side}" in words


def test_added_and_taken_cloth_are_hatched_only_between_the_lines(
    pieces: tuple[Drawn, ...],
) -> None:
    """The hatched stretches' middles lie in one outline and not in the other (shapely)."""
    two, was = (draft(side.sleeve, side.armhole) for side in (after(), before()))
    shift = fold(two) - fold(was)
    for figure, new, old in zip(pieces, (two.top, two.under), (was.top, was.under), strict=False):
        outlines = {
            Layer.ADDED: (
                area_of(new.outline().spans_mm),
                area_of(old.moved(*shift).outline().spans_mm),
            ),
        }
        outlines[Layer.TAKEN] = outlines[Layer.ADDED][::-1]
        for item in figure.items:
            if item.layer in outlines and hasattr(item, "strokes_mm"):
                inside, outside = outlines[item.layer]
                middles = points(item.strokes_mm.mean(axis=1))
                assert inside.buffer(0.05).covers(middles).all()
                assert not outside.buffer(-0.05).contains(middles).any()


def fold(two: TwoPiece) -> np.ndarray:
    top, under = two.top, two.under
    return (top.points_mm["forearm head"] + under.points_mm["forearm head"]) / 2


def test_no_old_line_is_drawn_of_a_version_without_a_parent() -> None:
    layers = {item.layer for one in drawn(old=False) for item in one.items}
    assert not layers & {Layer.OLD, Layer.ADDED, Layer.TAKEN}


def test_pieces_do_not_lie_on_each_other_and_stay_on_the_sheet() -> None:
    for width in (310.0, 640.0, 894.0, 1480.0):
        layout = Layout.within(drawn(both=True), width)
        boxes = [box(*one.box_mm) for one in layout.drawings]
        sheet = box(0, 0, layout.width_mm, layout.height_mm)
        assert all(sheet.contains(one) for one in boxes)
        assert all(
            one.distance(other) > 5.0 for i, one in enumerate(boxes) for other in boxes[i + 1 :]
        )


def test_sheet_narrower_than_a_piece_is_refused_with_the_width_needed() -> None:
    with pytest.raises(TooNarrow, match=r"needs a sheet \d{3} mm wide"):
        Layout.within(drawn(), 200.0)


def test_same_print_gives_the_same_bytes_in_our_own_letters(
    tilings: dict[str, Tiling], printed: dict[str, Printed]
) -> None:
    again = [tiled_pdf(tilings["A4"], TOLD, title="x", with_old_line=True) for _ in range(2)]
    assert again[0] == again[1]
    assert {name.split("+")[-1] for name in printed["A4"].fonts} == {
        "Atkinson-Hyperlegible-Next",
        "Atkinson-Hyperlegible-Next-Bold",
    }


def test_roll_carries_the_square_and_says_what_it_is() -> None:
    layout = Layout.within([check_square(TOLD, with_old_line=True), *drawn()], 894.0)
    sheet = Printed(one_sheet_pdf(layout, title="P-0001 version 2"))
    assert sheet.sizes[0][0] == pytest.approx(914.0, abs=0.05)
    assert "Print at 100 %, not fitted to the page." in sheet.words[0]


@pytest.mark.parametrize("names", [("left",), ("left", "right")])
def test_reduced_plate_is_one_page_that_says_its_scale(names: tuple[str, ...]) -> None:
    sides = [Side(side=name, after=after(), before=before()) for name in names]
    plate = Printed(plate_pdf(sides, HEADING))
    assert len(plate.sizes) == 1
    assert sorted(plate.sizes[0]) == pytest.approx([210.0, 297.0], abs=0.05)
    assert "P-0001 version 2" in plate.words[0]
    assert re.search(r"drawn at 1 : (4|5|6|8|10|12)\b", plate.words[0])
    for name in names:
        assert f"Wearer's {name}" in plate.words[0]


def test_page_that_asks_for_a_file_is_refused() -> None:
    page = '<img src="file:///etc/hostname">'
    with pytest.raises(FatalURLFetchingError) as refused:
        HTML(string=page, url_fetcher=EmbeddedOnly()).write_pdf()
    assert isinstance(refused.value.__cause__, NotEmbedded)
