"""The clock of the shop jumps by a year: nobody is locked out by it, and no door left open."""

import datetime as dt

import pytest
import time_machine
from django.core.cache import cache
from django.test import Client
from django.urls import reverse

from tailorshop.models import Role
from tests.signing_in.test_sign_in import person, sign_in

pytestmark = pytest.mark.django_db
NOW = dt.datetime(2026, 10, 24, 12, 0, tzinfo=dt.UTC)
YEAR = dt.timedelta(days=366)
MINUTE = dt.timedelta(minutes=1)


@pytest.mark.parametrize("jumps", [(-YEAR,), (YEAR, -YEAR)])
def test_wrong_passwords_close_a_name_for_minutes_and_never_for_a_year(
    jumps: tuple[dt.timedelta, ...],
) -> None:
    user = person()
    with time_machine.travel(NOW, tick=False) as clock:
        for jump in (dt.timedelta(), *jumps):
            clock.shift(jump)
            for _ in range(5):
                sign_in(Client(), user, "not-the-password")
            assert sign_in(Client(), user).status_code == 422
            clock.shift(MINUTE)
            assert sign_in(Client(), user).status_code == 422
        clock.shift(-YEAR)
        assert sign_in(Client(), user).status_code == 302


def test_what_holds_a_count_while_it_is_written_is_free_again_after_a_jump_back() -> None:
    with time_machine.travel(NOW, tick=False) as clock:
        assert cache.add("held", 1, 10)
        assert not cache.add("held", 1, 10)
        clock.shift(-YEAR)
        assert cache.add("held", 1, 10)
        assert not cache.add("held", 1, 10)
        clock.shift(9)
        assert cache.get("held") == 1
        clock.shift(2)
        assert cache.get("held") is None


def test_a_session_begun_by_a_clock_ahead_does_not_stand_for_a_year() -> None:
    user, client = person(role=Role.OWNER), Client()
    with time_machine.travel(NOW + YEAR, tick=False) as clock:
        sign_in(client, user)
        clock.move_to(NOW)
        assert client.get(reverse("today")).status_code == 200
        clock.shift(dt.timedelta(minutes=32))
        assert client.get(reverse("today")).status_code == 302


def test_wrong_passwords_are_counted_together_by_hosts_whose_clocks_differ_by_minutes() -> None:
    user, ahead = person(), 4 * MINUTE
    with time_machine.travel(NOW, tick=False) as clock:
        for tried in range(6):
            clock.move_to(NOW + ahead * (tried % 2))
            sign_in(Client(), user, "not-the-password")
        for at in (NOW, NOW + ahead):
            clock.move_to(at)
            assert sign_in(Client(), user).status_code == 422
