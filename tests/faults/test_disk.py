"""A disk that is really full, then really read-only: a small one of its own, in memory."""

from __future__ import annotations

import datetime as dt
import subprocess
import uuid
from collections.abc import Iterator
from html import unescape
from io import BytesIO, FileIO
from pathlib import Path

import numpy as np
import pytest
import requests
from django.db import connection
from django.test import Client
from PIL import Image

from tailorshop.faults import FULL, READ_ONLY
from tailorshop.models import Role
from tests.factories import FittingFactory, UserFactory
from tests.killing.server import Server
from tests.running.installation import Installation
from tests.running.processes import database_for_others

pytestmark = [
    pytest.mark.django_db(transaction=True),
    pytest.mark.skipif(connection.vendor != "sqlite", reason="PostgreSQL has a disk of its own"),
]
ENTRIES = "SELECT COUNT(*) FROM fittings_entry"
PHOTOGRAPHS = "SELECT COUNT(*) FROM fittings_photograph"


@pytest.fixture
def disk(tmp_path: Path) -> Iterator[Path]:
    folder = tmp_path / "disk"
    folder.mkdir()
    made = subprocess.run(["mount", "-t", "tmpfs", "-o", "size=24m", "none", folder], check=False)
    if made.returncode:
        pytest.skip("no disk of its own can be made here: mounting is not allowed")
    yield folder
    subprocess.run(["umount", "--lazy", folder], check=True)


class Shop:
    """A shop that lies on the small disk, and its fitter."""

    def __init__(self, disk: Path, log: Path) -> None:
        browser = Client()
        browser.force_login(UserFactory(role=Role.OWNER, units="mm"))
        agreed = dt.date(2026, 1, 5)
        fitting = FittingFactory(order__customer__fitting_photo_consent_on=agreed)
        self.page = f"/fittings/{fitting.pk}/"
        self.place = Installation(folder=disk / "var")
        self.place.more = {"DJANGO_SETTINGS_MODULE": "tests.killing.settings"}
        self.place.folder.mkdir(parents=True)
        address = database_for_others(self.place.folder)
        self.place.address = address if connection.vendor == "postgresql" else ""
        self.disk, self.server = disk, Server(self.place, log)
        self.browser = requests.Session()
        self.browser.headers["Connection"] = "close"
        session = browser.cookies["sessionid"].value
        self.browser.cookies.update({"sessionid": session, "csrftoken": "k" * 32})

    def get(self, path: str) -> requests.Response:
        return self.browser.get(self.server.address + path, timeout=60)

    def post(self, path: str, files: object = None, **data: str) -> requests.Response:
        sent = {"csrfmiddlewaretoken": "k" * 32, **data}
        address = self.server.address + path
        return self.browser.post(address, sent, files=files, timeout=60, allow_redirects=False)  # type: ignore[arg-type]

    def read(self, identity: str) -> requests.Response:
        said = {"what": "cuff-offset", "way": "plus", "offset": "60", "drop": "600"}
        return self.post(f"{self.page}entries/", side="left", identity=identity, **said)

    def photograph(self, identity: str) -> requests.Response:
        noise = np.random.default_rng(1).integers(0, 256, (900, 1200, 3), dtype=np.uint8)
        file = BytesIO()
        Image.fromarray(noise).save(file, "JPEG")
        files = {"photograph": ("one.jpg", file.getvalue())}
        return self.post(f"{self.page}photographs/", files, shows="front", identity=identity)

    def fill(self) -> Path:
        """To the last byte, as a full disk is."""
        path = self.disk / "something large"
        with path.open("wb", buffering=0) as file:
            for size in (1_000_000, 4096, 1):
                while _took(file, size):
                    pass
        return path

    def remount(self, how: str) -> None:
        subprocess.run(["mount", "-o", f"remount,{how}", self.disk], check=True)


def _took(file: FileIO, size: int) -> bool:
    try:
        return bool(file.write(b"x" * size))
    except OSError:
        return False


@pytest.fixture
def shop(disk: Path, tmp_path: Path) -> Iterator[Shop]:
    shop = Shop(disk, tmp_path / "log")
    shop.server.start()
    yield shop
    shop.server.stop()


def says(answer: requests.Response, happened: str) -> None:
    assert answer.status_code == 503, (answer.status_code, answer.text[:3000])
    assert happened in unescape(answer.text)
    assert "nothing is ever kept by half" in answer.text
    assert answer.headers["Retry-After"]


def test_a_full_disk_is_said_keeps_nothing_by_half_and_is_over_when_there_is_room(
    shop: Shop,
) -> None:
    first, second, picture = (str(uuid.uuid4()) for _ in range(3))
    assert shop.read(first).status_code == 302
    assert shop.get(shop.page).status_code == 200
    large = shop.fill()

    says(shop.photograph(picture), FULL.happened)
    says(shop.read(second), FULL.happened)
    assert shop.get("/ready/").status_code == 503
    says(shop.get(shop.page), FULL.happened)  # not even the marks of who reads find room
    failed = shop.place.manage("backup")
    assert failed.returncode == 1
    assert "No backup was made; the record is untouched." in failed.stderr
    assert shop.place.archives == []
    assert not list((shop.place.folder / "backups").glob(".*")), "half an archive is left"

    large.unlink()
    assert shop.place.rows("PRAGMA integrity_check") == [("ok",)]
    assert shop.place.rows(ENTRIES) == [(1,)]
    assert shop.place.rows(PHOTOGRAPHS) == [(0,)]
    assert shop.read(second).status_code == 302
    assert shop.photograph(picture).status_code == 302
    assert shop.place.rows(ENTRIES) == [(2,)]
    assert shop.place.rows(PHOTOGRAPHS) == [(1,)]
    assert shop.place.manage("backup").returncode == 0


def test_a_disk_that_becomes_read_only_is_said_and_is_over_when_it_is_not(shop: Shop) -> None:
    first, second = str(uuid.uuid4()), str(uuid.uuid4())
    assert shop.read(first).status_code == 302
    shop.remount("ro")
    says(shop.read(second), READ_ONLY.happened)
    failed = shop.place.manage("backup")
    assert failed.returncode == 1
    assert "Traceback" not in failed.stderr, failed.stderr
    never_made = Installation(folder=shop.disk / "never made").manage("migrate")
    assert never_made.stderr.startswith(READ_ONLY.happened), never_made.stderr
    assert shop.get("/ready/").status_code == 503
    shop.remount("rw")
    assert shop.place.rows("PRAGMA integrity_check") == [("ok",)]
    assert shop.place.rows(ENTRIES) == [(1,)]
    assert shop.read(second).status_code == 302
    assert shop.place.rows(ENTRIES) == [(2,)]
