"""Several tickets as one file, laid out one at a time; A4 and A5, read back by another program."""

import datetime as dt
from io import BytesIO

import pdfplumber
import pypdfium2
import pytest
from django.urls import reverse
from django.utils import timezone

from fittings.bench.print_queue import MOST_IN_A_RUN, lay_out_next, make_run, run_pdf
from fittings.models import Customer, Maker, Order, PrintRun, Ticket
from fittings.paper import ticket_pdf
from fittings.refusals import Refused
from fittings.ticketing.issuing import reissue
from tests.conftest import Signed
from tests.factories import TicketFactory, UserFactory
from tests.ticket.worked import LEFT_FORWARD, RIGHT_BACK, issued, pages_of

pytestmark = pytest.mark.django_db

MM = 72 / 25.4  # user space of ISO 32000: 1/72 in
A4, A5 = (210, 297), (148, 210)  # ISO 216


def size_mm(page: pdfplumber.page.Page) -> tuple[int, int]:
    return round(page.width / MM), round(page.height / MM)


def sizes(pdf: bytes) -> list[tuple[int, int]]:
    with pdfplumber.open(BytesIO(pdf)) as opened:
        return [size_mm(page) for page in opened.pages]


def laid_out(*tickets: Ticket, paper: str = "") -> PrintRun:
    run = make_run(tickets, by=UserFactory(), at=timezone.now(), paper=paper)
    for _ in tickets:
        lay_out_next(run, unit="mm")
    return run


def test_nothing_chosen_is_not_printed() -> None:
    with pytest.raises(Refused, match="Tick the tickets"):
        make_run([], by=UserFactory(), at=timezone.now())


def test_more_than_one_can_wait_for_is_not_begun() -> None:
    many = TicketFactory.build_batch(MOST_IN_A_RUN + 1, issued_by=None, fitting=None, order=None)
    with pytest.raises(Refused, match="at most"):
        make_run(many, by=UserFactory(), at=timezone.now())


def test_nothing_is_joined_while_a_ticket_waits() -> None:
    run = make_run([issued(LEFT_FORWARD)], by=UserFactory(), at=timezone.now())
    with pytest.raises(Refused, match="go back"):
        run_pdf(run)


def test_every_ticket_is_in_the_file_once_with_its_own_pages_counted() -> None:
    one, two = issued(LEFT_FORWARD), issued([*LEFT_FORWARD, *RIGHT_BACK])
    pages = pages_of(run_pdf(laid_out(two, one, paper="A4")))
    assert [two.number in page for page in pages] == [True, True, False]
    assert [one.number in page for page in pages] == [False, False, True]
    for page, place in zip(pages, ("page 1 of 2", "page 2 of 2", "page 1 of 1"), strict=True):
        assert place in page


def test_a_joined_page_looks_as_it_does_alone() -> None:
    ticket = issued(LEFT_FORWARD)
    alone = pypdfium2.PdfDocument(ticket_pdf(ticket, unit="mm"))[0].render().to_numpy()
    joined = run_pdf(laid_out(issued(RIGHT_BACK), ticket, paper="A4"))
    assert (pypdfium2.PdfDocument(joined)[1].render().to_numpy() == alone).all()


def test_each_ticket_comes_on_its_makers_paper() -> None:
    inside, outside, nobody = (issued(LEFT_FORWARD) for _ in range(3))
    Maker.objects.create(name="Piet Maas", person=inside.order.maker, paper="A5")
    hand = Maker.objects.create(name="Outside hand", paper="A5")
    Order.objects.filter(pk=outside.order_id).update(maker=None, outside_maker=hand)
    run = laid_out(inside, outside, nobody)
    assert [sheet.paper for sheet in run.sheets.all()] == ["A5", "A5", "A4"]
    found = sizes(run_pdf(run))
    assert found[0] == A5
    assert found[-1] == A4


def test_the_paper_chosen_for_the_run_is_that_of_every_ticket() -> None:
    tickets = [issued(LEFT_FORWARD), issued(RIGHT_BACK)]
    assert set(sizes(run_pdf(laid_out(*tickets, paper="A5")))) == {A5}


def test_a5_says_all_that_a4_says_and_nothing_runs_off_it() -> None:
    ticket = issued([*LEFT_FORWARD, *RIGHT_BACK])
    whole = set(" ".join(pages_of(ticket_pdf(ticket, unit="in"))).split())
    half = ticket_pdf(ticket, unit="in", size="A5")
    scales = {"5,", "10,", "4,", "12,", "6,", "14,", "1", "2"}
    assert whole - set(" ".join(pages_of(half)).split()) - scales <= {"of"}
    with pdfplumber.open(BytesIO(half)) as opened:
        for page in opened.pages:
            assert min(char["x0"] for char in page.chars) > 0
            assert max(char["x1"] for char in page.chars) < page.width


def test_the_100_mm_mark_measures_100_mm_on_a5_too() -> None:
    with pdfplumber.open(BytesIO(ticket_pdf(issued(LEFT_FORWARD), unit="cm", size="A5"))) as opened:
        sheet = opened.pages[0]
        low = [o for o in (*sheet.lines, *sheet.curves) if o["top"] > sheet.height - 24 * MM]
    bar = [o for o in low if 90 * MM < o["width"] < 110 * MM]
    assert max(o["width"] for o in bar) / MM == pytest.approx(100, abs=0.5)


def test_superseded_and_erased_tickets_are_left_out_of_the_file() -> None:
    old, kept, erased = issued(LEFT_FORWARD), issued(LEFT_FORWARD), issued(LEFT_FORWARD)
    run = laid_out(old, kept, erased)
    reissue(old, by=old.issued_by, at=timezone.now(), reason="read again")
    Customer.objects.filter(orders=erased.order_id).update(erased_on=timezone.localdate())
    (page,) = pages_of(run_pdf(run))
    assert kept.number in page


def test_runs_of_days_before_are_forgotten() -> None:
    ticket, now = issued(LEFT_FORWARD), timezone.now()
    old = make_run([ticket], by=UserFactory(), at=now - dt.timedelta(days=2))
    ahead = make_run([ticket], by=UserFactory(), at=now + dt.timedelta(days=2))  # a wrong clock
    make_run([ticket], by=UserFactory(), at=now)
    assert not PrintRun.objects.filter(pk__in=[old.pk, ahead.pk]).exists()


def test_page_lays_out_one_at_a_time_and_says_how_far_it_is(workroom: Signed) -> None:
    client = workroom[0]
    tickets = [issued(LEFT_FORWARD), issued(RIGHT_BACK), TicketFactory(number="T-9001")]
    chosen = {"ticket": [str(one.pk) for one in tickets], "paper": ""}
    run = client.post(reverse("print-run-new"), chosen)["Location"]
    assert "0 of 3 laid out" in client.get(run).content.decode()
    part = client.post(f"{run}next/", headers={"HX-Request": "true"}).content.decode()
    assert "1 of 3 laid out" in part
    assert "<html" not in part
    assert client.get(f"{run}tickets.pdf").status_code == 422
    for _ in range(2):
        assert client.post(f"{run}next/")["Location"] == run
    page = client.get(run).content.decode()
    assert "All 3 are laid out" in page
    assert "there is nothing to print" in page
    answer = client.get(f"{run}tickets.pdf")
    assert answer["Content-Type"] == "application/pdf"
    assert "no-store" in answer["Cache-Control"]
    assert len(pages_of(answer.content)) == 2


def test_nothing_ticked_answers_422_and_says_what_to_do(workroom: Signed) -> None:
    answer = workroom[0].post(reverse("print-run-new"), {"ticket": ["x", "-1", "9" * 30]})
    assert answer.status_code == 422
    assert "Tick the tickets" in answer.content.decode()


def test_single_paper_is_the_makers_or_the_one_asked_for(workroom: Signed) -> None:
    ticket = issued(LEFT_FORWARD)
    at = reverse("ticket-pdf", args=[ticket.number, 1])
    assert set(sizes(workroom[0].get(at).content)) == {A4}
    assert set(sizes(workroom[0].get(at, {"paper": "A5"}).content)) == {A5}
    Maker.objects.create(name="Piet Maas", person=ticket.order.maker, paper="A5")
    assert set(sizes(workroom[0].get(at).content)) == {A5}


@pytest.mark.parametrize("way", ["tap", "form", "destroyed"])
def test_what_is_laid_out_waits_again_once_photographs_may_not_be_in_it(
    owner: Signed, way: str
) -> None:
    ticket = TicketFactory(fitting__order__customer__fitting_photo_consent_on=dt.date(2026, 1, 5))
    run, customer = make_run([ticket], by=owner[1], at=timezone.now()), ticket.order.customer
    run.sheets.update(pdf=b"%PDF with a photograph", pages=1)
    if way == "tap":
        said = {"consent": "photographs", "says": "withdrawn"}
        owner[0].post(reverse("customer-consent", args=[customer.pk]), said)
    elif way == "form":
        names = {"given_name": "Ottilia", "family_name": "Brackenwhistle"}
        said = {**names, "record_consent_on": "2026-01-05", "version": str(customer.version)}
        owner[0].post(reverse("customer-edit", args=[customer.pk]), said)
    else:
        owner[0].post(reverse("photographs-erase", args=[customer.pk]))
    sheet = run.sheets.get()
    assert (bytes(sheet.pdf), sheet.pages) == (b"", 0)
