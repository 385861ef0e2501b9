"""The feed, opened again by the icalendar library and compared with what was planned."""

import datetime as dt
from typing import Any
from zoneinfo import ZoneInfo

import pytest
from django.test import Client
from django.urls import reverse
from django.utils import timezone
from icalendar import Calendar

from fittings.diary.feed import renew, revoke, written
from fittings.models import CalendarFeed, PlannedFitting, PlanState
from tailorshop.models import Role
from tests.factories import CustomerFactory, OrderFactory, UserFactory

pytestmark = pytest.mark.django_db
ROME = ZoneInfo("Europe/Rome")


def planned(user: Any, at: dt.datetime) -> PlannedFitting:
    order = OrderFactory(
        customer=CustomerFactory(given_name="Ödön", family_name="Quillmarsh"), promised_on=None
    )
    return PlannedFitting.objects.create(order=order, starts_at=at, minutes=45, with_whom=user)


def events(user: Any, now: dt.datetime) -> list[Any]:
    feed = CalendarFeed.objects.get(user=user)
    calendar: Any = Calendar.from_ical(written(feed, now=now))
    return list(calendar.walk("VEVENT"))


@pytest.mark.parametrize(
    ("day", "utc_hour"),  # Central Europe: summer time from 28 March to 31 October 2027 (EU rule)
    [((2027, 3, 27), 9), ((2027, 3, 28), 8), ((2027, 10, 30), 8), ((2027, 10, 31), 9),
     ((2028, 2, 29), 9)],
)  # fmt: skip
def test_ten_o_clock_stays_ten_o_clock_over_the_change_of_time_and_on_29_february(
    day: tuple[int, int, int], utc_hour: int
) -> None:
    user, at = UserFactory(), dt.datetime(*day, 10, tzinfo=ROME)
    planned(user, at)
    renew(user, at=at)
    (event,) = events(user, at)
    assert event.decoded("dtstart") == dt.datetime(*day, utc_hour, tzinfo=dt.UTC)
    assert event.decoded("dtend") - event.decoded("dtstart") == dt.timedelta(minutes=45)


def test_a_promise_for_29_february_is_a_whole_day_that_ends_on_1_march() -> None:
    user, now = UserFactory(), timezone.now()
    OrderFactory(promised_on=dt.date(2028, 2, 29))
    OrderFactory(promised_on=dt.date.max)  # after it there is no day that it could end on
    renew(user, at=now)
    (event,) = events(user, now)
    assert event.decoded("dtstart") == dt.date(2028, 2, 29)
    assert event.decoded("dtend") == dt.date(2028, 3, 1)


def test_a_cancelled_fitting_stays_the_same_event_with_a_higher_sequence() -> None:
    user, now = UserFactory(), timezone.now()
    row = planned(user, now)
    renew(user, at=now)
    (before,) = events(user, now)
    row.state = PlanState.CANCELLED
    row.save_over(row.version)
    renew(user, at=now)
    (after,) = events(user, now)
    assert (before["status"], after["status"]) == ("CONFIRMED", "CANCELLED")
    assert before["uid"] == after["uid"]
    assert after["sequence"] > before["sequence"]
    assert after.decoded("dtstamp") == row.changed_at.replace(microsecond=0)


def test_customers_stand_by_initials_and_order_number_only() -> None:
    user, now = UserFactory(), timezone.now()
    row = planned(user, now)
    renew(user, at=now)
    (event,) = events(user, now)
    assert event["summary"] == f"Baste fitting, {row.order.number} coat, Ö. Q."
    text = written(CalendarFeed.objects.get(user=user), now=now).decode()
    assert "Quillmarsh" not in text
    assert max(len(line.encode()) for line in text.split("\r\n")) <= 75  # RFC 5545, 3.1


def test_a_fitter_is_told_of_their_own_fittings_and_the_owner_of_all() -> None:
    now = timezone.now()
    fitter, owner = UserFactory(), UserFactory(role=Role.OWNER)
    planned(UserFactory(), now)
    renew(fitter, at=now)
    renew(owner, at=now)
    assert (len(events(fitter, now)), len(events(owner, now))) == (0, 1)


def test_the_address_opens_without_sign_in_until_it_is_renewed_revoked_or_its_owner_leaves(
    client: Client,
) -> None:
    user, now = UserFactory(), timezone.now()
    first = reverse("calendar-feed", args=[renew(user, at=now)])
    assert client.get(first)["Content-Type"] == "text/calendar; charset=utf-8"
    second = reverse("calendar-feed", args=[renew(user, at=now)])
    assert (client.get(first).status_code, client.get(second).status_code) == (404, 200)
    user.is_active = False
    user.save()
    assert client.get(second).status_code == 404
    user.is_active = True
    user.save()
    assert client.get(second).status_code == 200
    revoke(user)
    assert client.get(second).status_code == 404


def test_the_address_is_shown_once_and_only_its_digest_is_kept(
    fitter: tuple[Client, Any],
) -> None:
    page = reverse("calendar-address")
    address = fitter[0].post(page).context["address"]
    token = address.split("/feed/")[1].removesuffix(".ics")
    assert token not in fitter[0].get(page).content.decode()
    assert token not in str(CalendarFeed.objects.values())
    assert fitter[0].get(address).status_code == 200
