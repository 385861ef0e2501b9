"""Hosts whose clocks differ do not take each other's work for dead."""

import datetime as dt

import pytest
import time_machine
from django.db import connection
from django.utils import timezone

from fittings.errands import queue
from fittings.errands.shared_clock import shared_now
from tailorshop import health
from tests.conftest import Signed

MINUTES = dt.timedelta(minutes=2)


@pytest.mark.skipif(connection.vendor != "postgresql", reason="SQLite has one host and its clock")
@pytest.mark.parametrize("by", [MINUTES, -MINUTES])
def test_a_sign_of_life_counts_at_a_host_with_another_clock(db: None, by: dt.timedelta) -> None:
    with time_machine.travel(timezone.now() + by):
        queue.beat("worker of a host with another clock")
        assert queue.somebody_is_at_work(shared_now())
    assert queue.somebody_is_at_work(shared_now())


def test_the_keeper_is_told_of_a_clock_that_is_not_the_databases(
    keeper: Signed, monkeypatch: pytest.MonkeyPatch
) -> None:
    assert "clock of this host" not in str(keeper[0].get("/ready/").json()["warnings"])
    monkeypatch.setattr(health, "shared_now", lambda: timezone.now() + MINUTES)
    said = keeper[0].get("/ready/").json()["warnings"]
    assert "The clock of this host is 120 seconds behind that of the database" in str(said)
