"""Disk full, disk read-only, record gone or busy: a page that says so, and nothing half-written."""

import datetime as dt
import errno
from pathlib import Path
from typing import Any

import pytest
import time_machine
from django.contrib.sessions.models import Session
from django.core.files.base import ContentFile
from django.core.files.storage import InMemoryStorage, default_storage
from django.db import DataError, OperationalError
from django.test import Client
from django.utils import timezone

from fittings.models import Customer
from fittings.photographs.keeping import name_of
from fittings.photographs.orphans import sweep
from tailorshop.faults import BUSY, FULL, GONE, READ_ONLY, fault_of
from tailorshop.health import warnings
from tailorshop.keeping.archive import remember
from tailorshop.keeping.manifest import Manifest
from tests.running.test_logs import typed

Signed = tuple[Client, Any]


def test_a_fault_of_the_program_is_not_laid_on_the_machine(db: None) -> None:
    assert fault_of(KeyError("x")) is None
    assert fault_of(OperationalError("no such table: x")) is None
    assert fault_of(DataError("value too long")) is None
    assert fault_of(FileNotFoundError(errno.ENOENT, "x")) is None


@pytest.mark.parametrize(
    ("raised", "fault"),
    [
        # The words of SQLite (its result codes 13, 8, 5) and of PostgreSQL, from memory.
        (OperationalError("database or disk is full"), FULL),
        (OperationalError("could not extend file: No space left on device"), FULL),
        (OperationalError("attempt to write a readonly database"), READ_ONLY),
        (OperationalError("database is locked"), BUSY),
        (OperationalError("unable to open database file"), GONE),
        (OperationalError("connection refused"), GONE),
        (OSError(errno.ENOSPC, "x"), FULL),
        (OSError(errno.EFBIG, "x"), FULL),
        (OSError(errno.EROFS, "x"), READ_ONLY),
    ],
)
def test_what_the_machine_refuses_is_known_by_what_it_says(raised: Exception, fault: Any) -> None:
    assert fault_of(raised) is fault


def test_a_database_that_goes_while_the_session_is_saved_is_said_and_not_laid_on_the_form(
    fitter: Signed, monkeypatch: pytest.MonkeyPatch
) -> None:
    def gone(*args: Any, **kwargs: Any) -> None:
        raise OperationalError("server closed the connection unexpectedly")

    client = fitter[0]
    client.raise_request_exception = False
    monkeypatch.setattr(Session, "save", gone)
    with time_machine.travel(timezone.now() + dt.timedelta(minutes=5)):  # or it is not saved
        answer = client.get("/")
    assert answer.status_code == 503
    assert GONE.happened in answer.content.decode()


@pytest.mark.parametrize("part", [False, True])
def test_a_full_disk_is_said_on_a_page_and_keeps_nothing(
    fitter: Signed, monkeypatch: pytest.MonkeyPatch, part: bool
) -> None:
    def full(*args: Any, **kwargs: Any) -> None:
        raise OperationalError("database or disk is full")

    client = fitter[0]
    client.raise_request_exception = False
    monkeypatch.setattr(Customer, "save_base", full)
    before = Customer.objects.count()
    headers = {"HX-Request": "true"} if part else {}
    answer = client.post("/customers/new/", typed(), headers=headers)
    assert answer.status_code == 503, answer.content.decode()[:3000]
    assert answer["Retry-After"] == "300"
    assert FULL.happened in answer.content.decode().replace("&#x27;", "'")
    assert ("<html" in answer.content.decode()) is not part
    assert Customer.objects.count() == before


def test_a_record_that_is_gone_before_anybody_is_known_is_said_too(
    client: Client, monkeypatch: pytest.MonkeyPatch, fitter: Signed
) -> None:
    def gone(*args: Any) -> None:
        raise OperationalError("connection refused")

    signed = fitter[0]
    signed.raise_request_exception = False
    monkeypatch.setattr("django.contrib.auth.middleware.get_user", gone)
    answer = signed.get("/customers/")
    assert answer.status_code == 503
    assert answer["Retry-After"] == "30"
    assert "nothing is ever kept by half" in answer.content.decode()


def test_a_shop_that_is_fit_is_ready_and_says_no_more_to_strangers(
    client: Client, db: None
) -> None:
    answer = client.get("/ready/")
    assert answer.status_code == 200
    assert answer.json() == {"ready": True}


def test_a_store_that_takes_nothing_is_told_to_the_keeper_alone(
    keeper: Signed, client: Client, monkeypatch: pytest.MonkeyPatch
) -> None:
    def refuses(*args: Any) -> None:
        raise OSError(errno.EROFS, "Read-only file system")

    monkeypatch.setattr(InMemoryStorage, "save", refuses)
    assert client.get("/ready/").json() == {"ready": False}
    answer = keeper[0].get("/ready/")
    assert answer.status_code == 503
    assert "Read-only" in answer.json()["checks"]["photographs"]
    assert answer.json()["checks"]["database"] == "works"


def test_the_age_of_the_last_backup_is_told(tmp_path: Path, settings: Any) -> None:
    settings.VAR_DIR = tmp_path
    now = dt.datetime(2026, 11, 25, 12, tzinfo=dt.UTC)
    assert "No backup was ever made" in warnings(now)[0]
    made = Manifest(
        made_at=now - dt.timedelta(hours=30),
        version="1",
        engine="sqlite",
        database="database.sqlite3",
        migrations=(),
        rows={},
        files={},
    )
    remember(tmp_path / "one.tar", made)
    assert warnings(now) == []
    assert "50 hours old" in warnings(now + dt.timedelta(hours=20))[0]
    assert "clock was set back" in warnings(now - dt.timedelta(days=3))[0]


def test_a_file_that_nothing_names_goes_after_its_grace_and_not_before(db: None) -> None:
    name = default_storage.save(name_of("ab" * 32), ContentFile(b"x"))
    other = default_storage.save("photographs/ab/a note.txt", ContentFile(b"x"))
    half = f"photographs/ab/.{'ab' * 32}-small.jpg.x1_y2.part"
    default_storage.save(half, ContentFile(b"x"))
    now = timezone.now()
    assert sweep(now) == []
    assert set(sweep(now + dt.timedelta(days=3), dry_run=True)) == {name, half}
    assert default_storage.exists(name)
    assert set(sweep(now + dt.timedelta(days=3))) == {name, half}
    assert not default_storage.exists(name)
    assert default_storage.exists(other), "a file that is none of ours was deleted"


def test_a_picture_of_a_paper_pattern_that_was_left_goes_with_the_sweep(db: None) -> None:
    name = default_storage.save("patterns/3/abc123.jpg", ContentFile(b"x"))
    now = timezone.now()
    assert sweep(now) == []
    assert sweep(now + dt.timedelta(days=3)) == [name]
    assert not default_storage.exists(name)
