"""The shop's clock jumps, or comes to an odd day or hour: what is due stays told on today."""

import datetime as dt
from typing import Any, Final

import pytest
from django.urls import reverse
from django.utils import timezone

from fittings.models import Order
from tests.conftest import Signed
from tests.diary.plans import on, planned
from tests.factories import FittingFactory, OrderFactory
from tests.record.test_orders import NEW

pytestmark = pytest.mark.django_db
HOUR, DAY, YEAR = dt.timedelta(hours=1), dt.timedelta(days=1), dt.timedelta(days=366)
# In the time zone database: the evening before 29 February; the second before clocks go forward
# in Stockholm; within the hour that comes twice in New York.
ODD: Final = [
    ("Europe/Stockholm", dt.datetime(2028, 2, 28, 22, 30, tzinfo=dt.UTC)),
    ("Europe/Stockholm", dt.datetime(2027, 3, 28, 0, 59, 59, tzinfo=dt.UTC)),
    ("America/New_York", dt.datetime(2027, 11, 7, 5, 30, tzinfo=dt.UTC)),
]


@pytest.mark.parametrize(("zone", "now"), ODD)
def test_what_is_overdue_stays_on_today_whichever_way_the_clock_jumps(
    fitter: Signed, settings: Any, time_machine: Any, zone: str, now: dt.datetime
) -> None:
    settings.TIME_ZONE = zone
    client, person = fitter
    time_machine.move_to(now, tick=False)
    late = OrderFactory(promised_on=timezone.localdate() - DAY)
    missed = planned(on(-1))
    unsigned = FittingFactory(held_on=timezone.localdate() - DAY)
    for jump in (0 * DAY, HOUR, DAY, YEAR, -HOUR, -DAY):
        time_machine.move_to(now + jump, tick=False)
        client.force_login(person)
        page = client.get(reverse("today")).content.decode()
        for row in (late, missed, unsigned):
            assert row.get_absolute_url() in page, f"{row} by a clock {jump} off"
    time_machine.move_to(now - YEAR, tick=False)
    client.force_login(person)
    for name in ("today", "diary", "bench", "order-list"):
        assert client.get(reverse(name)).status_code == 200


def test_a_promise_in_a_wrong_year_is_asked_about_as_it_would_never_be_due(fitter: Signed) -> None:
    order = OrderFactory()
    at = reverse("order-new", args=[order.customer_id])
    far = timezone.localdate() + dt.timedelta(days=1200)
    answer = fitter[0].post(at, NEW | {"promised_on": far.isoformat()})
    assert answer.status_code == 422
    assert "is the year right?" in answer.content.decode()
    # What stands so already can be saved again.
    Order.objects.update(promised_on=far)
    changed = NEW | {"promised_on": far.isoformat(), "version": order.version}
    assert fitter[0].post(reverse("order-edit", args=[order.pk]), changed).status_code == 302


@pytest.mark.parametrize("day", ["0001-01-01", "9999-12-31"])
def test_a_fitting_on_the_first_or_last_day_of_all_is_refused_in_words(
    fitter: Signed, day: str
) -> None:
    at = reverse("fitting-new", args=[OrderFactory().pk])
    answer = fitter[0].post(at, {"stage": "baste", "held_on": day})
    assert answer.status_code == 422
    assert "is the year right?" in answer.content.decode()
