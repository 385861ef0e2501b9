"""The shop's clock in the feed, read by dateutil's own reader of VTIMEZONE and held against the
time zone database; dates of the changes by the EU rule (last Sundays of March and October)."""

import datetime as dt
import io
from typing import Any
from zoneinfo import ZoneInfo

import pytest
from dateutil.tz import tzical
from django.utils import timezone
from icalendar import Calendar

from fittings.diary.clock import changes, written_clock
from fittings.diary.feed import renew, written
from fittings.models import CalendarFeed, PlannedFitting
from tests.factories import OrderFactory, UserFactory

FIRST, LAST = (
    dt.datetime(2027, 1, 10, 7, 30, tzinfo=dt.UTC),
    dt.datetime(2028, 12, 1, tzinfo=dt.UTC),
)
ROME = ZoneInfo("Europe/Rome")


def read(zone: str) -> Any:
    """The zone as dateutil understands what was written."""
    calendar = Calendar()
    calendar.add_component(written_clock(ZoneInfo(zone), FIRST, LAST))
    return tzical(io.StringIO(calendar.to_ical().decode())).get(zone)


@pytest.mark.parametrize("zone", ["Asia/Kolkata", "Pacific/Marquesas"])
def test_a_clock_that_is_never_changed_has_one_observance(zone: str) -> None:
    clock = written_clock(ZoneInfo(zone), FIRST, LAST)
    (one,) = clock.subcomponents
    assert one["tzoffsetfrom"].to_ical() == one["tzoffsetto"].to_ical()


@pytest.mark.parametrize(
    "zone", ["Europe/Rome", "Europe/Dublin", "America/New_York", "Australia/Lord_Howe"]
)
def test_two_years_of_hours_mean_what_the_time_zone_database_says(zone: str) -> None:
    theirs, ours = ZoneInfo(zone), read(zone)
    wrong, changed, at = [], 0, FIRST + dt.timedelta(hours=1)
    while at < LAST:
        said = at.astimezone(theirs)
        if not said.fold and said.replace(tzinfo=ours).astimezone(dt.UTC) != at:
            wrong.append(said)
        near = (at + dt.timedelta(hours=12)).astimezone(theirs).utcoffset() != said.utcoffset()
        changed += near
        at += dt.timedelta(minutes=20) if near else dt.timedelta(hours=7)
    assert wrong == []
    assert changed >= 4 * 15  # so that each change was looked at closely


def test_the_clocks_of_rome_are_changed_on_the_last_sundays_at_one_in_utc() -> None:
    found = [change.at for change in changes(ROME, FIRST, LAST)]
    days = [(2027, 3, 28), (2027, 10, 31), (2028, 3, 26), (2028, 10, 29)]
    assert found == [dt.datetime(*day, 1, tzinfo=dt.UTC) for day in days]


def test_the_onset_of_summer_time_is_said_by_the_clock_before_it() -> None:
    """RFC 5545, 3.6.5: local time of the onset, as in its example of New York."""
    text = written_clock(ROME, FIRST, LAST).to_ical().decode()
    assert "DTSTART:20270328T020000" in text
    assert "DTSTART:20271031T030000" in text


@pytest.mark.django_db
def test_a_shop_in_rome_says_ten_by_its_own_clock_and_brings_the_clock_along(
    settings: Any,
) -> None:
    settings.TIME_ZONE = "Europe/Rome"
    user = UserFactory()
    for day in ((2027, 3, 27), (2027, 3, 29), (2027, 10, 30), (2027, 11, 1)):
        at = dt.datetime(*day, 10, tzinfo=ROME)
        PlannedFitting.objects.create(order=OrderFactory(), starts_at=at, with_whom=user)
    renew(user, at=timezone.now())
    now = dt.datetime(2027, 3, 1, tzinfo=dt.UTC)
    text = written(CalendarFeed.objects.get(user=user), now=now).decode()
    assert text.count("DTSTART;TZID=Europe/Rome:") == 4
    zone = tzical(io.StringIO(text)).get("Europe/Rome")
    found = []
    calendar: Any = Calendar.from_ical(text)
    for event in calendar.walk("VEVENT"):
        at = event.decoded("dtstart")
        assert at.hour == 10
        found.append(at.replace(tzinfo=zone).astimezone(dt.UTC).hour)
    assert found == [9, 8, 8, 9]


@pytest.mark.django_db
def test_the_second_of_an_hour_that_comes_twice_is_said_in_utc(settings: Any) -> None:
    settings.TIME_ZONE = "Europe/Rome"
    user = UserFactory()
    at = dt.datetime(2027, 10, 31, 1, 30, tzinfo=dt.UTC)  # 2:30 again, by winter time
    PlannedFitting.objects.create(order=OrderFactory(), starts_at=at, with_whom=user)
    renew(user, at=timezone.now())
    text = written(CalendarFeed.objects.get(user=user), now=at).decode()
    assert "DTSTART:20271031T013000Z" in text
