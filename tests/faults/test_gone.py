"""The record taken away or held by somebody else while the shop is open, and given back."""

from __future__ import annotations

import sqlite3
import time
import uuid
from collections.abc import Callable, Iterator
from contextlib import closing, contextmanager
from pathlib import Path

import psycopg
import pytest
from django.db import connection

from tailorshop.faults import BUSY, GONE
from tests.faults.test_disk import ENTRIES, Shop, says

pytestmark = pytest.mark.django_db(transaction=True)
on_sqlite = pytest.mark.skipif(connection.vendor != "sqlite", reason="SQLite alone is one file")
on_postgresql = pytest.mark.skipif(connection.vendor != "postgresql", reason="no PostgreSQL here")


def waited_for(happened: Callable[[], bool], seconds: float = 20) -> bool:
    until = time.monotonic() + seconds
    while not happened() and time.monotonic() < until:
        time.sleep(0.05)
    return happened()


@pytest.fixture
def shop(tmp_path: Path) -> Iterator[Shop]:
    shop = Shop(tmp_path, tmp_path / "log")
    shop.place.more = {"DJANGO_SETTINGS_MODULE": "tests.faults.settings"}
    shop.server.start()
    yield shop
    shop.server.stop()


@contextmanager
def no_connections(address: str) -> Iterator[None]:
    """PostgreSQL ends all connections but the test's own, and takes no further ones."""
    name = connection.settings_dict["NAME"]
    with connection.cursor() as cursor:
        cursor.execute("SELECT pg_backend_pid()")
        (own,) = cursor.fetchone()
    elsewhere = address.replace(f"/{name}?", "/postgres?")
    with psycopg.connect(elsewhere, autocommit=True) as keeper:
        try:
            keeper.execute(f"ALTER DATABASE {name} ALLOW_CONNECTIONS false".encode())
            keeper.execute(
                "SELECT pg_terminate_backend(pid) FROM pg_stat_activity"
                " WHERE datname = %s AND pid <> %s",
                [name, own],
            )
            yield
        finally:
            keeper.execute(f"ALTER DATABASE {name} ALLOW_CONNECTIONS true".encode())


@on_sqlite
def test_a_record_moved_away_is_said_and_back_in_its_place_it_is_as_it_was(shop: Shop) -> None:
    first, second = str(uuid.uuid4()), str(uuid.uuid4())
    assert shop.read(first).status_code == 302
    file = shop.place.folder / "shop.sqlite3"
    # What was just answered lets go of it a moment later; the last one takes the journal with it.
    journal = file.with_name("shop.sqlite3-wal")
    assert waited_for(lambda: not journal.exists())
    file.rename(file.with_name("elsewhere"))
    says(shop.read(second), GONE.happened)
    says(shop.get(shop.page), GONE.happened)
    assert shop.get("/ready/").status_code == 503
    file.with_name("elsewhere").replace(file)
    assert shop.read(second).status_code == 302
    assert shop.place.rows(ENTRIES) == [(2,)]
    assert shop.place.rows("PRAGMA integrity_check") == [("ok",)]


@on_sqlite
def test_a_record_that_another_program_holds_is_said_to_be_busy(shop: Shop) -> None:
    identity = str(uuid.uuid4())
    file = shop.place.folder / "shop.sqlite3"
    with closing(sqlite3.connect(file, isolation_level=None)) as other:
        other.execute("BEGIN IMMEDIATE")
        answer = shop.read(identity)
        says(answer, BUSY.happened)
        assert answer.headers["Retry-After"] == "5"
        assert shop.get("/health/").ok, "reading goes on"
        other.execute("ROLLBACK")
    assert shop.read(identity).status_code == 302
    assert shop.place.rows(ENTRIES) == [(1,)]


@on_postgresql
def test_a_database_that_goes_in_the_midst_is_said_and_is_found_again(shop: Shop) -> None:
    first, second = str(uuid.uuid4()), str(uuid.uuid4())
    assert shop.read(first).status_code == 302
    with no_connections(shop.place.address):
        for _ in range(3):
            says(shop.read(second), GONE.happened)
        assert shop.get("/ready/").status_code == 503
    # A connection that was ended is noticed once, and made anew for the next request.
    answers = [shop.read(second).status_code for _ in range(9)]
    assert answers[-1] == 302
    assert set(answers) <= {302, 503}
    assert shop.place.rows(ENTRIES) == [(2,)]
