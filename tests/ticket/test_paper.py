"""The printed ticket, read back from its PDF by programs that did not write it."""

from io import BytesIO
from typing import Any

import cv2
import numpy as np
import pdfplumber
import pypdfium2
import pytest
from numpy.typing import NDArray

from fittings.models import Ticket
from fittings.paper import ticket_pdf
from fittings.ticketing.issuing import reissue
from tests.ticket.worked import LEFT_FORWARD, RIGHT_BACK, cuff, issued, pages_of, words_of

pytestmark = pytest.mark.django_db

MM = 72 / 25.4  # user space of ISO 32000: 1/72 in
BOTH = [*LEFT_FORWARD, ("right", cuff(-40)), ("right", {"what": "length", "amount_mm": 8})]


def raster(pdf: bytes, page: int = 0, dpi: int = 200) -> NDArray[np.uint8]:
    """A page in grey, as a black-and-white printer would have it."""
    drawn = pypdfium2.PdfDocument(pdf)[page].render(scale=dpi / 72, grayscale=True)
    return np.ascontiguousarray(drawn.to_numpy().squeeze())


def large_words(pdf: bytes, least_pt: float) -> str:
    """The words set bold and at least so large."""
    with pdfplumber.open(BytesIO(pdf)) as opened:
        kept = [
            page.filter(
                lambda o: (
                    o.get("object_type") != "char"
                    or (o["size"] >= least_pt and "Bold" in o["fontname"])
                )
            ).extract_text()
            for page in opened.pages
        ]
    return " ".join(" ".join(kept).split())


def test_one_pitch_ticket_says_all_that_a_ticket_must_say() -> None:
    ticket = issued(
        [*LEFT_FORWARD, ("left", {"what": "swing_test", "clears_when_arm_goes": "back"})]
    )
    said = words_of(ticket_pdf(ticket, unit="cm"))
    for words in (
        f"Work ticket {ticket.number}, revision 1",
        "WEARER'S LEFT",
        "Jan Černý",
        ticket.order.number,
        "coat, blue worsted, two buttons",
        "baste fitting, 2 Feb 2026",
        "Due Fri 6 Mar 2026",
        "Fitter Nora Becker",
        "Maker Piet Maas",
        "version 1 before, 2 after",
        "cuff forward, 8 mm",
        "0.8 cm",
        "up the front of the armhole",
        "down the back of the armhole",
        "new notch in front of the old one, on the sleeve",
        "Whole amount, along the seam line; from the old notch",
        "at the seam line, not the cut edge",
        "600 mm below the armhole the arm stands 63 mm forward of the sleeve",
        "the folds clear when the arm goes back",
        "Do Move the notches by measuring along the armhole seam",
        "Do not turn the head the same way as the cuff",
        "Done by",
        "Checked by",
        "Result at the next fitting",
        "Pins counted",
        "this bar must measure 100 mm: print at 100 %",
        f"code {ticket.number} / 1",
        "page 1 of 1",
    ):
        assert words in said, words


@pytest.mark.parametrize(
    ("readings", "pages"),
    [(LEFT_FORWARD, 1), (RIGHT_BACK, 1), (BOTH, 2), ([("left", cuff(170))], 1)],
    ids=["one line left", "one line right", "both sides, two lines on one", "recut"],
)
def test_an_ordinary_ticket_takes_one_page_for_each_side(readings: list[Any], pages: int) -> None:
    assert len(pages_of(ticket_pdf(issued(readings), unit="in"))) == pages


def test_every_page_says_number_revision_side_and_its_place_also_when_lines_run_over() -> None:
    many = [
        *LEFT_FORWARD,
        ("left", {"what": "finding", "finding": "sleeve_narrow"}),
        ("left", {"what": "elbow_direction", "turn_deg": 8}),
        ("left", {"what": "length", "amount_mm": 8}),
    ]
    ticket = issued(many)
    pages = pages_of(ticket_pdf(ticket, unit="cm"))
    assert len(pages) > 1
    for n, page in enumerate(pages, start=1):
        assert "WEARER'S LEFT" in page
        assert f"{ticket.number} revision 1 · WEARER'S LEFT" in page
        assert f"page {n} of {len(pages)}" in page


def test_a_line_of_work_is_never_broken_over_a_page_end() -> None:
    ticket = issued([*LEFT_FORWARD, ("left", {"what": "elbow_direction", "turn_deg": 8})])
    for page in pages_of(ticket_pdf(ticket, unit="cm")):
        assert page.count("Why ") == page.count("Done by")  # a line's first words and its last


def test_side_direction_and_amount_are_large_and_bold() -> None:
    said = large_words(ticket_pdf(issued(LEFT_FORWARD), unit="mm"), 16)
    assert "WEARER'S LEFT" in said
    assert "8 mm" in said
    assert "up the front of the armhole" in said.replace("Armhole, forearm seam:", "")
    with_levels = issued([("left", {"what": "elbow_direction", "turn_deg": 8})])
    said = large_words(ticket_pdf(with_levels, unit="mm"), 16)
    assert said.count(" mm") >= 3  # head, elbow and cuff


def test_a_left_ticket_speaks_of_the_right_only_to_ask_about_it() -> None:
    said = words_of(ticket_pdf(issued(LEFT_FORWARD), unit="cm")).lower()
    asked = "a notch changed on the wearer's left is asked about on the wearer's right"
    assert asked in said
    assert "right" not in said.replace(asked, "")


def test_each_page_of_a_two_sided_ticket_has_the_work_of_its_own_side() -> None:
    left, right = pages_of(ticket_pdf(issued(BOTH), unit="cm"))
    assert "cuff forward, 8 mm" in left
    assert "cuff back, 5.1 mm" in right
    assert "cuff back" not in left
    assert "cuff forward" not in right
    assert "WEARER'S RIGHT" not in left
    assert "WEARER'S LEFT" not in right


@pytest.mark.parametrize(
    ("readings", "front", "back", "notch"),
    [
        (LEFT_FORWARD, "up the front", "down the back", "in front of"),
        (RIGHT_BACK, "down the front", "up the back", "behind"),
        ([("right", cuff(63))], "up the front", "down the back", "in front of"),
        ([("left", cuff(-63))], "down the front", "up the back", "behind"),
    ],
    ids=["left forward", "right back", "right forward", "left back"],
)
def test_cuff_forward_is_forearm_up_hindarm_down_and_the_crown_notch_in_front(
    readings: list[Any], front: str, back: str, notch: str
) -> None:
    """Worked out by hand from the act itself (Sleeve geometry, section 2), alike on both sides."""
    said = words_of(ticket_pdf(issued(readings), unit="mm"))
    assert f"forearm seam: {front} of the armhole" in said
    assert f"hindarm seam: {back} of the armhole" in said
    assert f"crown notch: new notch {notch} the old one" in said


def test_drawings_are_lines_with_an_old_and_a_new_one() -> None:
    ticket = issued([("left", {"what": "length", "amount_mm": 8})])
    with pdfplumber.open(BytesIO(ticket_pdf(ticket, unit="mm"))) as opened:
        page = opened.pages[0]
        assert len(page.curves) >= 2
        dashed = [c for c in page.curves if c["dash"] and c["dash"][0]]
        whole = [c for c in page.curves if not (c["dash"] and c["dash"][0])]
    assert dashed
    assert whole
    assert max(c["linewidth"] for c in whole) > 2 * max(c["linewidth"] for c in dashed)


def test_old_and_new_line_differ_in_grey_by_how_they_are_broken() -> None:
    """The two lines of the key, read from a grey raster: one is broken, one is not."""
    pdf = ticket_pdf(issued([("left", {"what": "length", "amount_mm": 8})]), unit="mm")
    grey, dpi = raster(pdf, dpi=400), 400

    def gaps(before: str) -> int:
        with pdfplumber.open(BytesIO(pdf)) as opened:
            word = next(w for w in opened.pages[0].search(before) if w["top"] > 0)
        row = slice(round(word["top"] * dpi / 72), round(word["bottom"] * dpi / 72))
        right = round(word["x0"] * dpi / 72) - 6
        dark = (grey[row, right - round(9 * MM * dpi / 72) : right] < 128).any(axis=0)
        return int(np.count_nonzero(np.diff(dark.astype(int)) == -1))

    assert gaps("line as it was") >= 3
    assert gaps("line to cut") == 1


@pytest.mark.parametrize(("readings", "nth"), [(LEFT_FORWARD, 0), (BOTH, 1)])
def test_the_code_opens_this_ticket(readings: list[Any], nth: int, settings: Any) -> None:
    settings.PUBLIC_ADDRESS = "https://shop.example"
    ticket = issued(readings)
    found, *_ = cv2.QRCodeDetector().detectAndDecode(raster(ticket_pdf(ticket, unit="cm"), nth))
    assert found == f"https://shop.example/t/{ticket.number}/1/"


def test_the_code_has_modules_of_half_a_millimetre_and_four_of_quiet() -> None:
    """Sizes measured in a raster; four modules of quiet zone: ISO/IEC 18004."""
    dpi = 600
    grey = raster(ticket_pdf(issued(LEFT_FORWARD), unit="cm"), dpi=dpi)
    _, corners = cv2.QRCodeDetector().detect(grey)
    assert corners is not None
    side_mm = float(np.linalg.norm(corners[0][0] - corners[0][1])) * 25.4 / dpi
    modules = 29  # version 3: 17 + 4 x 3
    assert side_mm / modules >= 0.5
    left, top = corners[0][0]
    quiet = round(4 * side_mm / modules * dpi / 25.4) - 3
    beside = grey[round(top) : round(top) + 200, round(left) - quiet : round(left) - 3]
    assert beside.min() > 200


@pytest.mark.parametrize("nth", [0, 1])
def test_the_100_mm_mark_measures_100_mm(nth: int) -> None:
    with pdfplumber.open(BytesIO(ticket_pdf(issued(BOTH), unit="cm"))) as opened:
        sheet = opened.pages[nth]
        low = [
            o
            for o in (*sheet.lines, *sheet.curves, *sheet.rects)
            if o["top"] > sheet.height - 20 * MM and o["width"] < 150 * MM
        ]
    left = min(o["x0"] - o["linewidth"] / 2 * (o["width"] < 1) for o in low)
    right = max(o["x1"] + o["linewidth"] / 2 * (o["width"] < 1) for o in low)
    assert (right - left) / MM == pytest.approx(100, abs=0.2)


def test_a_word_without_spaces_leaves_the_drawing_its_place() -> None:
    """The sleeve and the armhole are still drawn, and nothing runs off the right edge."""
    ticket = issued(LEFT_FORWARD)
    ticket.content["order"]["cloth"] = "w" * 120
    plain = pdfplumber.open(BytesIO(ticket_pdf(issued(LEFT_FORWARD), unit="mm"))).pages[0]
    page = pdfplumber.open(BytesIO(ticket_pdf(ticket, unit="mm"))).pages[0]
    assert max(char["x1"] for char in page.chars) < page.width
    assert len(page.curves) == len(plain.curves)
    assert max(curve["x1"] for curve in page.curves) < page.width


def test_paper_is_a4() -> None:
    with pdfplumber.open(BytesIO(ticket_pdf(issued(BOTH), unit="cm"))) as opened:
        for page in opened.pages:
            assert page.width / MM == pytest.approx(210, abs=0.1)
            assert page.height / MM == pytest.approx(297, abs=0.1)


def test_every_font_is_one_that_the_shop_ships() -> None:
    many = [*BOTH, ("left", {"what": "elbow_direction", "turn_deg": 8})]
    document = pypdfium2.PdfDocument(ticket_pdf(issued(many, settled=False), unit="in"))
    with pdfplumber.open(BytesIO(ticket_pdf(issued(many, settled=False), unit="in"))) as opened:
        names = {char["fontname"] for page in opened.pages for char in page.chars}
    assert names
    assert all("Atkinson-Hyperlegible-Next" in name for name in names), names
    assert len(document) >= 2


def test_inches_come_to_the_eighth_beside_millimetres_and_say_about() -> None:
    """8 mm is 2.52 eighths: the nearest is 3/8 in, 9.5 mm, which is not exact."""
    said = words_of(ticket_pdf(issued(LEFT_FORWARD), unit="in"))
    assert "8 mm" in said
    assert "about 3/8 in" in said
    assert (
        "in" not in words_of(ticket_pdf(issued(LEFT_FORWARD), unit="mm")).partition("each")[0][-12:]
    )


def test_provisional_work_says_so() -> None:
    assert "PROVISIONAL" not in words_of(ticket_pdf(issued(LEFT_FORWARD), unit="cm"))
    assert "PROVISIONAL" in words_of(ticket_pdf(issued(LEFT_FORWARD, settled=False), unit="cm"))


def test_inlay_needed_there_and_left_is_said() -> None:
    ticket = issued([("right", {"what": "length", "amount_mm": 8})], inlays=[("right", "cuff", 40)])
    said = words_of(ticket_pdf(ticket, unit="mm"))
    assert "Inlay cuff: 8 mm needed, 40 mm there, 32 mm will be left." in said


def test_iron_work_has_place_and_amount() -> None:
    """A strip of 6 mm: the top's edge is stretched by 2 x 6 x the turning of the usual draft."""
    ticket = issued([("left", {"what": "finding", "finding": "forearm_seam_shows_in_front"})])
    said = words_of(ticket_pdf(ticket, unit="mm"))
    assert "Iron: stretch" in said
    assert "Top sleeve, forearm at the elbow" in said


def test_same_ticket_gives_the_same_bytes() -> None:
    ticket = issued(BOTH)
    assert ticket_pdf(ticket, unit="cm") == ticket_pdf(ticket, unit="cm")
    again = Ticket.objects.get(pk=ticket.pk)
    assert ticket_pdf(again, unit="cm") == ticket_pdf(ticket, unit="cm")


def test_superseded_paper_says_so_on_every_page_and_is_struck_through() -> None:
    ticket = issued(BOTH)
    good = ticket_pdf(ticket, unit="cm")
    reissue(ticket, by=ticket.issued_by, at=ticket.issued_at, reason="read again")
    struck = ticket_pdf(ticket, unit="cm", superseded_by=2)
    assert "SUPERSEDED" not in words_of(good)
    assert "do not work from this paper" in words_of(struck)
    for page in pages_of(struck):
        assert "SUPERSEDED BY 2" in page
    for page in (0, 1):
        diagonal = raster(good, page).astype(int) - raster(struck, page).astype(int) > 60
        assert np.count_nonzero(diagonal.any(axis=1)) > 0.6 * len(diagonal)


def test_a_pdf_is_tagged_titled_and_its_drawings_have_words() -> None:
    pdf = ticket_pdf(issued(LEFT_FORWARD), unit="cm")
    document = pypdfium2.PdfDocument(pdf)
    assert document.is_tagged()
    assert document.get_metadata_value("Title").startswith("Work ticket")
    with pdfplumber.open(BytesIO(pdf)) as opened:
        told = [element.get("alt_text") for element in flat(opened.structure_tree)]
    assert any("forearm seam up 8" in (alt or "") for alt in told)
    assert any("Sleeve, wearer's left" in (alt or "") for alt in told)


def flat(elements: list[dict[str, Any]]) -> list[dict[str, Any]]:
    return [e for one in elements for e in (one, *flat(one.get("children", [])))]
