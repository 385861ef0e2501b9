"""Clocks that are wrong, of a device or of the shop's computer: nothing is lost or kept twice."""

import datetime as dt
import uuid
from typing import Any

import pytest
import time_machine
from django.test import Client
from django.urls import reverse
from django.utils import timezone

from fittings.models import Entry, Fitting
from tests.factories import FittingFactory

pytestmark = pytest.mark.django_db
Signed = tuple[Client, Any]
NOW = dt.datetime(2026, 10, 24, 12, 0, tzinfo=dt.UTC)


@pytest.fixture
def fitting() -> Fitting:
    made: Fitting = FittingFactory()
    return made


def check(client: Client, fitting: Fitting, state: str, made_at: str = "", mark: str = "") -> Entry:
    identity = mark or str(uuid.uuid4())
    said = {"check": "balance", "state": state, "identity": identity, "made_at": made_at}
    answer = client.post(reverse("fitting-entry", args=[fitting.pk]), said)
    assert answer.status_code == 302, answer.content.decode()[:2000]
    return Entry.objects.get(pk=identity)


def states(fitting: Fitting) -> list[str]:
    return [entry.data["state"] for entry in fitting.entries.all()]


def test_a_device_that_is_years_ahead_is_not_believed_and_its_entries_keep_their_order(
    fitter: Signed, fitting: Fitting
) -> None:
    with time_machine.travel(NOW, tick=False) as clock:
        first = check(fitter[0], fitting, "open", "2031-01-01T00:00:00Z")
        assert first.made_at == NOW
        clock.shift(60)
        check(fitter[0], fitting, "settled", "2031-01-01T00:01:00Z")
    assert states(fitting) == ["open", "settled"]


def test_a_device_that_is_years_behind_keeps_its_order_and_the_shop_knows_when_it_came(
    fitter: Signed, fitting: Fitting
) -> None:
    with time_machine.travel(NOW, tick=False):
        first = check(fitter[0], fitting, "open", "1999-12-31T23:00:00Z")
        check(fitter[0], fitting, "settled", "1999-12-31T23:01:00Z")
    assert states(fitting) == ["open", "settled"]
    assert first.received_at == NOW


@pytest.mark.parametrize("back", [dt.timedelta(hours=1), dt.timedelta(days=1)])
def test_a_shop_clock_set_back_signs_nobody_out_and_keeps_a_repeat_once(
    fitter: Signed, fitting: Fitting, back: dt.timedelta
) -> None:
    mark = str(uuid.uuid4())
    with time_machine.travel(NOW, tick=False) as clock:
        check(fitter[0], fitting, "open", NOW.isoformat(), mark)
        clock.move_to(NOW - back)
        check(fitter[0], fitting, "open", NOW.isoformat(), mark)
        check(fitter[0], fitting, "settled")
        assert fitter[0].get("/").status_code == 200
    assert states(fitting) == ["open", "settled"]


def test_a_shop_clock_a_day_ahead_ends_sessions_and_loses_no_entry(
    fitter: Signed, fitting: Fitting
) -> None:
    check(fitter[0], fitting, "open")
    # From the day on which this test signed somebody in.
    with time_machine.travel(timezone.now() + dt.timedelta(days=1), tick=False):
        answer = fitter[0].get(reverse("fitting", args=[fitting.pk]))
        assert answer.status_code == 302
        assert answer["Location"].startswith(reverse("sign-in"))
    assert states(fitting) == ["open"]


def test_the_hour_that_comes_twice_in_october_keeps_its_order(
    fitter: Signed, fitting: Fitting, settings: Any
) -> None:
    """In London 01:30 comes twice on 25 October 2026 (the last Sunday of the month)."""
    settings.TIME_ZONE = "Europe/London"
    with time_machine.travel(dt.datetime(2026, 10, 25, 0, 30, tzinfo=dt.UTC), tick=False) as clock:
        first = check(fitter[0], fitting, "open", "2026-10-25T01:30:00+01:00")
        clock.shift(dt.timedelta(minutes=45))
        second = check(fitter[0], fitting, "settled", "2026-10-25T01:15:00+00:00")
    assert second.made_at - first.made_at == dt.timedelta(minutes=45)
    assert states(fitting) == ["open", "settled"]
