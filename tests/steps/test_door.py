"""Where the record and the program do not fit, no page is served; an open shop is never asked."""

from collections.abc import Iterator
from html import unescape
from typing import Any

import pytest
from django.core.management import CommandError, call_command
from django.db import OperationalError, connection
from django.db.migrations.loader import MigrationLoader
from django.test import Client

from tailorshop import steps
from tailorshop.steps import AHEAD, BEHIND, door

Signed = tuple[Client, Any]


@pytest.fixture(autouse=True)
def _open_again() -> Iterator[None]:
    yield
    door.why, door.seen = "", True


def add_step(name: str) -> None:
    with connection.cursor() as cursor:
        cursor.execute(
            "INSERT INTO django_migrations (app, name, applied)"
            " VALUES ('fittings', %s, '2026-01-01 00:00:00')",
            [name],
        )


def take_step(name: str) -> None:
    with connection.cursor() as cursor:
        cursor.execute("DELETE FROM django_migrations WHERE app = 'fittings' AND name = %s", [name])


def newest_step() -> str:
    (leaf,) = MigrationLoader(connection).graph.leaf_nodes("fittings")
    return leaf[1]


def a_later_look(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(door, "looked_at", door.looked_at - steps.LOOK_AGAIN_S - 1)


def test_a_record_that_fits_stays_open_and_is_not_asked_again(
    fitter: Signed, monkeypatch: pytest.MonkeyPatch
) -> None:
    door.look()
    assert door.why == ""
    a_later_look(monkeypatch)
    monkeypatch.setattr(steps, "steps_waiting", lambda: pytest.fail("an open shop was asked"))
    assert fitter[0].get("/").status_code == 200


@pytest.mark.parametrize("part", [False, True])
def test_a_record_behind_the_program_is_told_on_every_page(fitter: Signed, part: bool) -> None:
    take_step(newest_step())
    door.look()
    headers = {"HX-Request": "true"} if part else {}
    answer = fitter[0].post("/customers/new/", {"family_name": "x"}, headers=headers)
    assert answer.status_code == 503
    assert BEHIND in unescape(answer.content.decode())
    assert ("<html" in answer.content.decode()) is not part
    assert answer["Retry-After"]
    assert fitter[0].get("/health/").json() == {"database": "answers", "open": False}
    ready = fitter[0].get("/ready/")
    assert (ready.status_code, ready.json()["ready"]) == (503, False)


def test_a_record_ahead_of_the_program_is_told_too(client: Client, db: None) -> None:
    add_step("9999_to_come")
    door.look()
    answer = client.get("/sign-in/")
    assert answer.status_code == 503
    assert AHEAD in unescape(answer.content.decode())
    with pytest.raises(CommandError, match="9999_to_come"):
        call_command("upgrade")


def test_a_closed_shop_opens_by_itself_once_the_steps_are_made(
    client: Client, db: None, monkeypatch: pytest.MonkeyPatch
) -> None:
    add_step("9999_to_come")
    door.look()
    take_step("9999_to_come")
    assert client.get("/sign-in/").status_code == 503, "not asked at each request"
    a_later_look(monkeypatch)
    assert client.get("/sign-in/").status_code == 200


def test_a_database_away_at_the_start_is_looked_at_when_it_is_back(
    client: Client, db: None, monkeypatch: pytest.MonkeyPatch
) -> None:
    def away() -> list[str]:
        raise OperationalError("connection refused")

    with monkeypatch.context() as at_start:
        at_start.setattr(steps, "steps_unknown", away)
        door.look()
    add_step("9999_to_come")
    assert client.get("/sign-in/").status_code == 200, "nothing is known against it yet"
    a_later_look(monkeypatch)
    assert client.get("/sign-in/").status_code == 503
