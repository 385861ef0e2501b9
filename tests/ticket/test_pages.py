"""The ticket pages as people of each role meet them."""

import pytest
from django.test import Client
from django.urls import reverse
from django.utils import timezone

from fittings.models import Customer, Ticket
from fittings.ticketing.issuing import reissue
from tests.asked import queries_of
from tests.conftest import Signed
from tests.factories import TicketFactory
from tests.ticket.worked import LEFT_FORWARD, RIGHT_BACK, Read, cuff, issued

pytestmark = pytest.mark.django_db


def address(ticket: Ticket, name: str = "ticket", *more: int) -> str:
    return reverse(name, args=[ticket.number, ticket.revision, *more])


def test_page_says_side_work_and_amount_in_the_readers_unit(fitter: Signed, ticket: Ticket) -> None:
    client, user = fitter
    user.units = "in"
    user.save()
    page = client.get(address(ticket)).content.decode()
    assert "wearer&#x27;s left" in page.lower()
    assert "up the front of the armhole" in page
    assert "8 mm" in page
    assert "about 3/8 in" in page
    assert "the arm stands about 2 1/2 in (63 mm) forward of the sleeve" in page  # 19.84 eighths
    assert "cuff forward, about 3/8 in (8 mm) (6°)" in page


def test_paper_is_a_pdf_in_the_readers_unit(workroom: Signed, ticket: Ticket) -> None:
    answer = workroom[0].get(address(ticket, "ticket-pdf"))
    assert answer["Content-Type"] == "application/pdf"
    assert answer.content.startswith(b"%PDF")
    assert "no-store" in answer["Cache-Control"]


def test_code_on_the_paper_leads_to_its_page(workroom: Signed, ticket: Ticket) -> None:
    answer = workroom[0].get(f"/t/{ticket.number.lower()}/1/")
    assert answer.status_code == 302
    assert answer["Location"] == address(ticket)


def test_code_of_a_superseded_paper_says_so_and_names_the_newest(
    workroom: Signed, ticket: Ticket
) -> None:
    later = reissue(ticket, by=ticket.issued_by, at=timezone.now(), reason="read again")
    reissue(later, by=ticket.issued_by, at=timezone.now(), reason="and again")
    answer = workroom[0].get(f"/t/{ticket.number}/1/", follow=True)
    page = answer.content.decode()
    assert "Do not work from this paper" in page
    assert "Revision 1 is superseded by revision 3" in page
    assert b"is done</button>" not in answer.content


def test_workroom_ticks_done_and_another_checks(
    workroom: Signed, fitter: Signed, ticket: Ticket
) -> None:
    assert workroom[0].post(address(ticket, "ticket-line", 1), {"tick": "done"}).status_code == 302
    assert fitter[0].post(address(ticket, "ticket-line", 1), {"tick": "checked"}).status_code == 302
    line = ticket.lines.get()
    assert (line.done_by, line.checked_by) == (workroom[1], fitter[1])


def test_checking_ones_own_work_answers_422_with_the_sentence(
    workroom: Signed, ticket: Ticket
) -> None:
    workroom[0].post(address(ticket, "ticket-line", 1), {"tick": "done"})
    answer = workroom[0].post(address(ticket, "ticket-line", 1), {"tick": "checked"})
    assert answer.status_code == 422
    assert "another pair of eyes" in answer.content.decode()
    assert ticket.lines.get().checked_at is None


def test_a_tick_that_does_not_exist_is_not_found(workroom: Signed, ticket: Ticket) -> None:
    assert workroom[0].post(address(ticket, "ticket-line", 1), {"tick": "lost"}).status_code == 404
    assert workroom[0].post(address(ticket, "ticket-line", 9), {"tick": "done"}).status_code == 404


def test_fitter_reissues_with_a_reason(fitter: Signed, ticket: Ticket) -> None:
    answer = fitter[0].post(address(ticket, "ticket-reissue"), {"reason": "read again"})
    assert answer.status_code == 302
    assert Ticket.objects.get(revision=2).reason == "read again"


def test_reissue_without_a_reason_answers_422_and_issues_nothing(
    fitter: Signed, ticket: Ticket
) -> None:
    answer = fitter[0].post(address(ticket, "ticket-reissue"), {"reason": " "})
    assert answer.status_code == 422
    assert "Say why" in answer.content.decode()
    assert Ticket.objects.count() == 1


def test_workroom_neither_sees_the_reissue_form_nor_may_use_it(
    workroom: Signed, ticket: Ticket
) -> None:
    assert b"Why it is reissued" not in workroom[0].get(address(ticket)).content
    answer = workroom[0].post(address(ticket, "ticket-reissue"), {"reason": "because"})
    assert answer.status_code == 404


def test_a_stranger_is_asked_to_sign_in(ticket: Ticket) -> None:
    for name in ("ticket", "ticket-pdf", "ticket-code"):
        answer = Client().get(address(ticket, name))
        assert answer.status_code == 302
        assert "/sign-in/" in answer["Location"]


def test_no_contact_data_reaches_the_workroom(workroom: Signed, ticket: Ticket) -> None:
    """Neither on the pages nor through the search."""
    Customer.objects.update(phone="555 0142", email="jan@example.org", address="Harbour 3")
    client = workroom[0]
    pages = [client.get(address(ticket)), client.get(reverse("ticket-list"))]
    for answer in pages:
        for told in (b"555 0142", b"jan@example.org", b"Harbour 3"):
            assert told not in answer.content
    assert b"0 tickets" in client.get(reverse("ticket-list"), {"q": "0142"}).content
    assert ticket.order.get_absolute_url().encode() not in pages[0].content


def test_a_ticket_on_which_nothing_stands_is_shown_but_not_printed(fitter: Signed) -> None:
    empty = TicketFactory()
    assert fitter[0].get(address(empty)).status_code == 200
    answer = fitter[0].get(address(empty, "ticket-pdf"))
    assert answer.status_code == 422
    assert "nothing to print" in answer.content.decode()


def test_list_finds_by_ticket_order_and_customer(fitter: Signed, ticket: Ticket) -> None:
    for words in (ticket.number, ticket.order.number, "ern", ticket.order.customer.number):
        assert b"1 ticket " in fitter[0].get(reverse("ticket-list"), {"q": words}).content
    assert b"0 tickets" in fitter[0].get(reverse("ticket-list"), {"q": "nobody"}).content


def test_list_shows_superseded_ones_only_when_asked(fitter: Signed, ticket: Ticket) -> None:
    reissue(ticket, by=ticket.issued_by, at=timezone.now(), reason="read again")
    assert b"1 ticket<" in fitter[0].get(reverse("ticket-list")).content
    with_old = fitter[0].get(reverse("ticket-list"), {"old": "1"}).content
    assert b"2 tickets" in with_old
    assert b"superseded</span>" in with_old


def test_tickets_of_an_erased_customer_are_gone(fitter: Signed, ticket: Ticket) -> None:
    Customer.objects.update(erased_on=timezone.localdate())
    assert b"0 tickets" in fitter[0].get(reverse("ticket-list")).content
    for name in ("ticket", "ticket-pdf", "ticket-code"):
        assert fitter[0].get(address(ticket, name)).status_code == 404


def test_a_name_with_markup_stays_words(fitter: Signed) -> None:
    ticket = issued(LEFT_FORWARD)
    ticket.content["customer"]["name"] = "<script>alert(1)</script>"
    Ticket.objects.filter(pk=ticket.pk).update(content=ticket.content)
    page = fitter[0].get(address(ticket)).content
    assert b"<script>alert" not in page
    assert b"&lt;script&gt;alert(1)" in page
    assert fitter[0].get(address(ticket, "ticket-pdf")).content.startswith(b"%PDF")


def test_list_asks_the_database_equally_often_for_few_and_many(
    fitter: Signed,
) -> None:
    few = count_queries(fitter[0], reverse("ticket-list"), LEFT_FORWARD, 1)
    many = count_queries(fitter[0], reverse("ticket-list"), [*LEFT_FORWARD, *RIGHT_BACK], 3)
    assert few == many


def test_page_asks_the_database_equally_often_for_one_line_and_four(fitter: Signed) -> None:
    one = issued(LEFT_FORWARD)
    four = issued(
        [
            *LEFT_FORWARD,
            ("left", {"what": "length", "amount_mm": 8}),
            ("right", cuff(-40)),
            ("right", {"what": "length", "amount_mm": 8}),
        ]
    )
    assert queries_of(fitter[0], address(one)) == queries_of(fitter[0], address(four))


def count_queries(client: Client, url: str, readings: list[Read], times: int) -> int:
    for _ in range(times):
        issued(readings)
    return queries_of(client, url)
