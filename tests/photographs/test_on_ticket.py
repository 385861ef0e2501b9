"""Photographs on the ticket: what the fitter chose, fixed at the issue, small on the paper."""

from io import BytesIO
from typing import Any

import numpy as np
import pdfplumber
import pypdfium2
import pytest
from django.urls import reverse
from django.utils import timezone
from PIL import Image

from fittings.models import Fitting, Photograph, Ticket
from fittings.paper import ticket_pdf
from fittings.photographs import record
from fittings.photographs.keeping import load
from fittings.photographs.record import SHOWS
from fittings.ticketing.issuing import issue, reissue
from tests.conftest import Signed
from tests.fitting.conftest import text
from tests.photographs.pictures import corners, photographed, quartered
from tests.ticket.worked import LEFT_FORWARD, RIGHT_BACK, issued, pages_of, signed_fitting, words_of

pytestmark = pytest.mark.django_db

BY_KEY = {shows.key: shows for shows in SHOWS}
TALL = quartered(300, 400)


def taken(fitting: Fitting, shows: str, note: str = "", *, sent: bool = True) -> Photograph:
    """A photograph taken after signing, so that it can still be described."""
    photograph = photographed(fitting, fitting.fitter, TALL)
    record.describe(photograph, shows=BY_KEY[shows], note=note)
    record.send_to_workroom(photograph, wanted=sent)
    return photograph


def out(fitting: Fitting) -> Ticket:
    return issue(fitting, by=fitting.fitter, at=timezone.now())


def pictures(pdf: bytes) -> list[dict[str, Any]]:
    """The photographs drawn on the pages: pixels with colour, not the drawings in lines."""
    with pdfplumber.open(BytesIO(pdf)) as opened:
        return [
            {**image, "page": n}
            for n, page in enumerate(opened.pages, start=1)
            for image in page.images
            if image["stream"].get("Filter").name == "DCTDecode"
        ]


def test_a_ticket_without_photographs_says_nothing_of_them(fitter: Signed) -> None:
    fitting = signed_fitting(LEFT_FORWARD)
    taken(fitting, "front", sent=False)
    ticket = out(fitting)
    assert "photographs" not in ticket.content
    assert pictures(ticket_pdf(ticket, unit="cm")) == []
    assert "photograph" not in text(fitter[0].get(ticket.get_absolute_url())).lower()


def test_what_was_chosen_is_in_the_content_with_its_side_in_words() -> None:
    fitting = signed_fitting(LEFT_FORWARD)
    photograph = taken(fitting, "detail-left", "collar stands away")
    (said,) = out(fitting).content["photographs"]
    assert said["id"] == str(photograph.pk)
    assert said["words"] == "wearer's left, a detail"
    assert said["caption"] == "collar stands away"
    assert len(said["sha256"]) == 64


def test_the_paper_shows_it_small_with_its_words_on_one_page() -> None:
    fitting = signed_fitting(LEFT_FORWARD)
    taken(fitting, "left", "cuff stands away at the back")
    taken(fitting, "front")
    pdf = ticket_pdf(out(fitting), unit="cm")
    assert len(pypdfium2.PdfDocument(pdf)) == 1
    first, second = pictures(pdf)
    for image in (first, second):
        assert 20 < image["width"] * 25.4 / 72 < 60
        assert image["height"] / image["width"] == pytest.approx(4 / 3, rel=0.02)
    words = words_of(pdf)
    assert "1. From the wearer's left: cuff stands away at the back" in words
    assert "2. The garment, from the front" in words


def test_each_photograph_stands_on_the_page_of_its_side() -> None:
    fitting = signed_fitting([*LEFT_FORWARD, *RIGHT_BACK])
    taken(fitting, "right", "seen from the right")
    taken(fitting, "back", "seen from behind")
    pages = pages_of(ticket_pdf(out(fitting), unit="cm"))
    assert len(pages) == 2
    assert "seen from behind" in pages[0]
    assert "seen from the right" not in pages[0]
    assert "seen from the right" in pages[1]


def test_what_is_turned_or_taken_back_later_does_not_change_an_issued_ticket() -> None:
    fitting = signed_fitting(LEFT_FORWARD)
    photograph = taken(fitting, "left")
    ticket = out(fitting)
    before = ticket_pdf(ticket, unit="cm")
    record.turn(photograph)
    record.take_back(photograph, by=fitting.fitter, at=timezone.now())
    assert ticket_pdf(Ticket.objects.get(), unit="cm") == before


def test_a_reissue_carries_what_is_chosen_then() -> None:
    fitting = signed_fitting(LEFT_FORWARD)
    photograph = taken(fitting, "left")
    ticket = out(fitting)
    record.send_to_workroom(photograph, wanted=False)
    taken(fitting, "right", "the other one")
    later = reissue(ticket, by=fitting.fitter, at=timezone.now(), reason="another photograph")
    assert [p["caption"] for p in later.content["photographs"]] == ["the other one"]
    assert [p["caption"] for p in Ticket.objects.get(revision=1).content["photographs"]] == [""]


def test_the_workroom_sees_those_of_the_ticket_and_no_others(workroom: Signed) -> None:
    fitting = signed_fitting(LEFT_FORWARD)
    chosen, other = taken(fitting, "left"), taken(fitting, "front", sent=False)
    ticket = out(fitting)
    page = workroom[0].get(ticket.get_absolute_url())
    assert "1. From the wearer&#x27;s left" in page.content.decode()
    for size in ("small", "large"):
        at = reverse("ticket-photograph", args=[ticket.number, 1, 1, size])
        answer = workroom[0].get(at)
        assert corners(answer.content)[0] == "red"
        assert answer["Cache-Control"] == "private, no-store"
    for wrong in ((1, 0, "small"), (1, 2, "small"), (1, 1, "huge"), (2, 1, "small")):
        at = reverse("ticket-photograph", args=[ticket.number, *wrong])
        assert workroom[0].get(at).status_code == 404
    for photograph in (chosen, other):
        assert workroom[0].get(photograph.get_absolute_url()).status_code == 404


def test_consent_taken_back_withholds_them_on_page_and_paper(workroom: Signed) -> None:
    fitting = signed_fitting(LEFT_FORWARD)
    taken(fitting, "left", "cuff")
    ticket = out(fitting)
    customer = fitting.order.customer
    customer.fitting_photo_consent_on = None
    customer.save()
    ticket = Ticket.objects.get()
    pdf = ticket_pdf(ticket, unit="cm")
    assert pictures(pdf) == []
    assert "consent is taken back and they are not shown" in words_of(pdf)
    at = reverse("ticket-photograph", args=[ticket.number, 1, 1, "small"])
    assert workroom[0].get(at).status_code == 404
    assert "they are not shown" in text(workroom[0].get(ticket.get_absolute_url()))


def test_the_marks_are_drawn_into_the_copy_and_the_photograph_stays_bare() -> None:
    fitting = signed_fitting(LEFT_FORWARD)
    photograph = taken(fitting, "left")
    photograph.marks.create(
        kind="pin", number=1, points=[[0.25, 0.25]], made_at=timezone.now(), made_by=fitting.fitter
    )
    (said,) = out(fitting).content["photographs"]
    assert said["sha256"] != photograph.sha256
    with Image.open(BytesIO(load(said["sha256"]) or b"")) as copy:
        spot = np.array(copy.convert("L"))[90:110, 65:85]
    with Image.open(BytesIO(load(photograph.sha256) or b"")) as bare:
        before = np.array(bare.convert("L"))[90:110, 65:85]
    assert np.ptp(spot) > 150
    assert np.ptp(before) < 20


def test_erased_by_the_owner_nothing_is_left_and_the_paper_says_so(
    owner: Signed, fitter: Signed, django_capture_on_commit_callbacks: Any
) -> None:
    fitting, other = signed_fitting(LEFT_FORWARD), signed_fitting(RIGHT_BACK)
    photograph, same = taken(fitting, "left"), taken(other, "right")
    record.turn(photograph)
    ticket = out(fitting)
    turned = photograph.sha256
    assert turned != same.sha256
    at = reverse("photographs-erase", args=[fitting.order.customer_id])
    assert "1 photograph of this customer" in text(owner[0].get(at))
    assert fitter[0].post(at).status_code == 404
    with django_capture_on_commit_callbacks(execute=True):
        owner[0].post(at)
    assert load(turned) is None
    assert load(same.sha256) is not None, "another customer's file of the same content"
    assert list(Photograph.objects.all()) == [same]
    history: Any = Photograph.history  # type: ignore[attr-defined]
    assert set(history.values_list("id", flat=True)) == {same.pk}
    assert "no longer kept" in words_of(ticket_pdf(ticket, unit="cm"))


def test_on_small_paper_the_photographs_fill_the_page_with_the_drawing() -> None:
    fitting = signed_fitting(LEFT_FORWARD)
    taken(fitting, "left", "cuff")
    ticket = out(fitting)
    bare = len(pages_of(ticket_pdf(issued(LEFT_FORWARD), unit="cm", size="A5")))
    pages = pages_of(ticket_pdf(ticket, unit="cm", size="A5"))
    assert len(pages) == bare
    assert "1. From the wearer's left: cuff" in pages[0]
