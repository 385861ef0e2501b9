"""Who looked at whose data is written down, once in ten minutes, and cheaply."""

import datetime as dt
from typing import Any

import pytest
import time_machine
from django.db import connection
from django.test import Client
from django.test.utils import CaptureQueriesContext
from django.urls import reverse
from django.utils import timezone

from fittings.bench.print_queue import make_run
from fittings.models import Customer
from tailorshop.models import Seen
from tests.conftest import Signed
from tests.factories import (
    CustomerFactory,
    FittingFactory,
    MeasurementSetFactory,
    TicketFactory,
)
from tests.photographs.pictures import photographed
from tests.signing_in.test_fitting_now import change, coded

pytestmark = pytest.mark.django_db


def seen() -> list[tuple[Any, ...]]:
    return list(Seen.objects.order_by("pk").values_list("user_id", "page", "customer_key"))


def test_a_page_without_a_customer_is_not_written_down(fitter: Signed) -> None:
    fitter[0].get(reverse("own-settings"))
    fitter[0].get(reverse("pattern-list"))
    assert seen() == []


def test_a_customers_page_is_written_with_who_looked(fitter: Signed) -> None:
    customer = CustomerFactory()
    fitter[0].get(reverse("customer", args=[customer.pk]))
    assert seen() == [(fitter[1].pk, "customer", customer.pk)]


def test_every_kind_of_personal_page_is_written_down(fitter: Signed) -> None:
    ticket = TicketFactory()
    fitting, customer = ticket.fitting, ticket.order.customer
    taken = MeasurementSetFactory(customer=customer)
    picture = photographed(fitting, fitter[1])
    pages = {
        "customer-edit": [customer.pk],
        "measures": [taken.pk],
        "measures-trend": [customer.pk],
        "order": [ticket.order.pk],
        "fitting": [fitting.pk],
        "fitting-history": [fitting.pk],
        "photograph": [picture.pk],
        "ticket": [ticket.number, ticket.revision],
        "customer-patterns": [customer.pk],
    }
    for page, args in pages.items():
        assert fitter[0].get(reverse(page, args=args)).status_code == 200, page
    assert seen() == [(fitter[1].pk, page, customer.pk) for page in pages]


def test_printing_a_ticket_with_others_is_written_down(
    workroom: Signed, monkeypatch: pytest.MonkeyPatch
) -> None:
    ticket = TicketFactory()
    run = make_run([ticket], by=workroom[1], at=timezone.now())
    monkeypatch.setattr("fittings.views.printing.run_pdf", lambda run: b"%PDF")
    workroom[0].get(reverse("print-run-pdf", args=[run.pk]))
    assert seen() == [(workroom[1].pk, "print-run-pdf", ticket.order.customer_id)]


@pytest.mark.parametrize("page", ["customer-list", "search"])
def test_a_list_is_written_without_a_customer(fitter: Signed, page: str) -> None:
    CustomerFactory.create_batch(3)
    for _ in range(2):
        fitter[0].get(reverse(page), {"q": "Sample"})
    assert seen() == [(fitter[1].pk, page, None)]


def test_looking_again_is_written_after_ten_minutes_only(fitter: Signed) -> None:
    at = reverse("customer", args=[CustomerFactory().pk])
    with time_machine.travel(dt.datetime(2030, 5, 4, 10, 0, tzinfo=dt.UTC)) as clock:
        fitter[0].force_login(fitter[1])
        for minutes in (0, 3, 5, 4):
            clock.shift(minutes * 60)
            fitter[0].get(at)
    assert len(seen()) == 2


def test_what_was_refused_was_not_seen(workroom: Signed, client: Client) -> None:
    at = reverse("customer", args=[CustomerFactory().pk])
    workroom[0].get(at)
    client.get(at)
    assert seen() == []


def test_a_fitting_that_asks_by_itself_is_not_somebody_looking(fitter: Signed) -> None:
    fitter[0].get(reverse("fitting-changes", args=[FittingFactory().pk]))
    assert seen() == []


def test_a_look_by_quick_code_names_the_fitter_and_the_sign_in(fitter: Signed) -> None:
    other = coded()
    change(fitter[0], other)
    fitter[0].get(reverse("customer", args=[CustomerFactory().pk]))
    row = Seen.objects.get()
    assert (row.user, row.through) == (other, fitter[1])


def test_writing_down_costs_one_query_once_it_is_written(fitter: Signed) -> None:
    at = reverse("customer", args=[CustomerFactory().pk])
    fitter[0].get(at)
    with CaptureQueriesContext(connection) as asked:
        fitter[0].get(at)
    mine = [one["sql"] for one in asked if "tailorshop_seen" in one["sql"]]
    assert len(mine) == 1
    assert mine[0].startswith("SELECT")


def test_a_trail_that_cannot_be_written_does_not_close_the_page(
    fitter: Signed, monkeypatch: pytest.MonkeyPatch, caplog: pytest.LogCaptureFixture
) -> None:
    from django.db import OperationalError

    def full(*args: Any, **kwargs: Any) -> None:
        raise OperationalError("database or disk is full")

    monkeypatch.setattr("tailorshop.trail.seen.write_down", full)
    at = reverse("customer", args=[CustomerFactory().pk])
    assert fitter[0].get(at).status_code == 200
    assert "trail could not be written" in caplog.text


def test_erasing_a_customer_leaves_that_somebody_looked(owner: Signed) -> None:
    from fittings.erasing.erase import erase

    customer = CustomerFactory()
    owner[0].get(reverse("customer", args=[customer.pk]))
    erase(Customer.objects.get(pk=customer.pk), by=owner[1], on=dt.date(2030, 1, 1))
    assert seen() == [(owner[1].pk, "customer", customer.pk)]
