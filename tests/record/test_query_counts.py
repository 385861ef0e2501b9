"""No page asks the database more often because there is more in it: 1 row against 30."""

import datetime as dt
from collections.abc import Callable

import pytest
from django.db import connection
from django.test import Client
from django.test.utils import CaptureQueriesContext
from django.urls import reverse
from django.utils import timezone

from fittings.models import InlayPlace, MeasureName
from tests.conftest import Signed
from tests.factories import (
    ArmCarriageFactory,
    CustomerFactory,
    FigureNoteFactory,
    FittingFactory,
    MeasurementFactory,
    MeasurementSetFactory,
    OrderFactory,
    PatternVersionFactory,
    TicketFactory,
    UserFactory,
)

PAGES = [
    "today",
    "customer-list",
    "customer",
    "customer-edit",
    "figure-note-new",
    "carriage-edit",
    "measures-new",
    "measures",
    "measures-edit",
    "order-list",
    "order-new",
    "order",
    "order-edit",
    "order-inlays",
]


@pytest.fixture
def shop(fitter: Signed) -> tuple[Callable[[int], None], Callable[[str], str]]:
    """`fill(n)` adds n of everything; `at(name)` is the address of a page that shows it."""
    customer = CustomerFactory(compare_with="men")
    order = OrderFactory(customer=customer, pattern_version=PatternVersionFactory())
    taken = MeasurementSetFactory(customer=customer, taken_on=dt.date(2026, 6, 1))
    MeasurementFactory(measurement_set=taken, name=MeasureName.STATURE, value_mm=1780)

    def fill(count: int) -> None:
        for place in range(count):
            CustomerFactory()
            FigureNoteFactory(customer=customer)
            ArmCarriageFactory(customer=customer, side="left" if place % 2 else "right")
            mine = OrderFactory(
                customer=customer,
                maker=fitter[1] if place % 2 else UserFactory(),
                promised_on=timezone.localdate(),
                pattern_version=PatternVersionFactory(),
            )
            FittingFactory(order=mine, held_on=timezone.localdate())
            TicketFactory(fitting=FittingFactory(order=order))
            earlier = MeasurementSetFactory(customer=customer)
            for name in list(MeasureName)[1 : 1 + place]:
                MeasurementFactory(measurement_set=earlier, name=name)
        if count > 1:
            for name in list(MeasureName)[1:]:
                MeasurementFactory(measurement_set=taken, name=name)
            for inlay in InlayPlace:
                for side in ("left", "right"):
                    order.inlays.create(side=side, place=inlay, as_cut_mm=10, left_mm=10)

    given: dict[str, tuple[int, ...]] = {
        **dict.fromkeys(["order", "order-edit", "order-inlays"], (order.pk,)),
        **dict.fromkeys(["measures", "measures-edit"], (taken.pk,)),
        **dict.fromkeys(["today", "customer-list", "order-list"], ()),
    }
    return fill, lambda name: reverse(name, args=given.get(name, (customer.pk,)))


def count(client: Client, address: str) -> int:
    with CaptureQueriesContext(
        connection,
    ) as queries:
        answer = client.get(address)
    assert answer.status_code == 200
    return len(queries)


def test_no_page_asks_more_often_when_there_is_more_to_show(
    fitter: Signed, shop: tuple[Callable[[int], None], Callable[[str], str]]
) -> None:
    fill, at = shop
    fill(1)
    few = {name: count(fitter[0], at(name)) for name in PAGES}
    fill(30)
    many = {name: count(fitter[0], at(name)) for name in PAGES}
    assert many == few
    assert max(few.values()) <= 16
