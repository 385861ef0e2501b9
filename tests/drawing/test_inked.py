"""Plates put straight into a PDF look as the layout library draws the same SVG."""

from base64 import b64encode
from io import BytesIO

import cv2
import numpy as np
import pypdfium2
import pytest
from numpy.typing import NDArray
from pypdf import PdfReader

from fittings.paper.marks import KEY, STRIKE
from fittings.paper.press import laid_out, written
from patterns.drawing.embedded import PLATE
from patterns.drawing.sheet import NEW, OLD, Sheet

AS_ANY_SVG = "data:image/svg+xml;base64,"


def plate() -> str:
    """A little of all that a plate may have."""
    sheet = Sheet("Plate", "To be drawn twice.")
    spans = np.array(
        [[(0, 0), (20, -10), (40, 30), (60, 0)], [(60, 0), (50, 40), (10, 40), (0, 0)]]
    )
    sheet.curve(spans.astype(float), NEW, closed=True)
    sheet.strokes([[(0, 5), (70, 45)], [(70, 5), (0, 45)]], OLD)
    sheet.wedge([(30, 20), (36, 24), (30, 28)])
    sheet.disc(np.array([20.0, 20.0]), 4.0, solid=False)
    sheet.disc(np.array([50.0, 20.0]), 3.0, solid=True)
    for y, anchor in enumerate(("start", "middle", "end")):
        sheet.words("hood 8 mm", 35.0, 50.0 + 6 * y, anchor=anchor, bold=y == 1)
    return f"{PLATE}{b64encode(sheet.svg().encode()).decode()}"


def printed(address: str) -> bytes:
    page = f'<html lang="en"><title>x</title><img alt="plate" src="{address}"></html>'
    return written(laid_out(page))


def ink(pdf: bytes) -> NDArray[np.uint8]:
    """Where the page is dark, eight dots to the mm."""
    drawn = pypdfium2.PdfDocument(pdf)[0].render(scale=2.8, grayscale=True).to_numpy()
    return (drawn.squeeze() < 160).astype(np.uint8)


@pytest.mark.parametrize("address", [plate(), STRIKE, *KEY.values()])
def test_a_plate_looks_as_the_library_draws_it(address: str) -> None:
    """To a dot: the library sets words letter by letter."""
    ours, theirs = ink(printed(address)), ink(printed(address.replace(PLATE, AS_ANY_SVG)))
    around = np.ones((3, 3), np.uint8)
    assert theirs.any()
    assert not (ours & ~cv2.dilate(theirs, around) & 1).any()
    assert not (theirs & ~cv2.dilate(ours, around) & 1).any()


def test_its_words_can_be_read_back() -> None:
    assert PdfReader(BytesIO(printed(plate()))).pages[0].extract_text().count("hood 8 mm") == 3


@pytest.mark.parametrize("strange", ['fill="#f00"', 'fill="url(#a)"', 'stroke="red"'])
def test_what_a_plate_never_has_is_refused(strange: str) -> None:
    """Rather than drawn otherwise without a word."""
    svg = f'<svg width="9mm" height="9mm" viewBox="0 0 9 9"><path d="M0 0L9 9" {strange}/></svg>'
    with pytest.raises(KeyError):
        printed(f"{PLATE}{b64encode(svg.encode()).decode()}")
