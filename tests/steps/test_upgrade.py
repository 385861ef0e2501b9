"""An old record really brought up: to its end, with a step that fails, and killed in its midst."""

import shutil
import tarfile
import time
from collections.abc import Iterator
from pathlib import Path

import pytest
import requests
from django.db import connection

from tests.running.installation import Installation, installed
from tests.running.processes import host, started, wait_until_open
from tests.steps.old_shop import FAMILY

pytestmark = pytest.mark.django_db(transaction=True)
STEPS = "SELECT app, name FROM django_migrations ORDER BY app, name"
NAMES = "SELECT family_name FROM fittings_customer ORDER BY family_name"
MARKS = "SELECT said FROM stuck_mark ORDER BY id"
KEPT = sorted(f"{FAMILY}-{number}" for number in range(30))


@pytest.fixture(scope="module")
def old_file(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """On SQLite the old record is made once and copied."""
    folder = tmp_path_factory.mktemp("old")
    if connection.vendor == "sqlite":
        Installation(folder=folder).program("tests.steps.old_shop")
    return folder / "shop.sqlite3"


@pytest.fixture
def shop(tmp_path: Path, old_file: Path) -> Iterator[Installation]:
    with installed(tmp_path / "var") as shop:
        if shop.address:
            shop.program("tests.steps.old_shop")
        else:
            shutil.copy(old_file, shop.folder)
        yield shop


@pytest.fixture
def stuck(shop: Installation, tmp_path: Path) -> Installation:
    """With the part whose second step does as it is told."""
    shop.more = {"DJANGO_SETTINGS_MODULE": "tests.steps.settings"}
    shop.more["STUCK_AT"] = str(tmp_path / "half-way")
    return shop


def names(shop: Installation) -> list[str]:
    return [name for (name,) in shop.rows(NAMES)]


def test_an_old_record_is_brought_up_behind_a_closed_door_and_keeps_its_rows(
    shop: Installation, tmp_path: Path
) -> None:
    before = shop.rows(STEPS)
    static = {"TAILORSHOP_STATIC": str(tmp_path / "static"), "TAILORSHOP_DEBUG": "1"}
    with host("one", tmp_path, {**shop.env, **static}) as running:
        wait_until_open(running)
        page = requests.get(f"{running.address}/customers/", timeout=20)
        assert page.status_code == 503
        assert "The shop is being brought up to date" in page.text
        assert requests.get(f"{running.address}/static/css/shop.css", timeout=20).ok
        assert requests.get(f"{running.address}/health/", timeout=20).json()["open"] is False
        assert requests.get(f"{running.address}/ready/", timeout=20).status_code == 503

        done = shop.manage("upgrade")
        assert done.returncode == 0, done.stderr
        until = time.monotonic() + 20
        while time.monotonic() < until and page.status_code == 503:
            time.sleep(0.5)
            page = requests.get(f"{running.address}/customers/", timeout=20)
        assert page.url.startswith(f"{running.address}/sign-in/"), "open, without a new start"

    assert names(shop) == KEPT
    found = shop.rows("SELECT COUNT(*) FROM fittings_findable WHERE kind = 'customer'")
    assert found == [(30,)], "old rows are found by what came later"
    (archive,) = shop.archives
    assert archive.name in done.stdout
    with tarfile.open(archive) as tar:
        manifest = tar.extractfile("manifest.json")
        assert manifest is not None
        kept = manifest.read().decode()
    assert len(before) < len(shop.rows(STEPS))
    assert kept.count('"fittings.00') == sum(app == "fittings" for app, _ in before)

    again = shop.manage("upgrade")
    assert "0 steps wait" in again.stdout
    assert shop.archives == [archive], "nothing to do, nothing to keep"


def test_a_step_that_fails_leaves_the_archive_and_says_how_to_go_back(stuck: Installation) -> None:
    stuck.more["STUCK"] = "fails"
    failed = stuck.manage("upgrade")
    assert failed.returncode == 1
    assert "Traceback" not in failed.stderr
    assert "no such cloth" in failed.stderr
    (archive,) = stuck.archives
    assert f"manage.py restore {archive} --replace" in failed.stderr
    assert stuck.rows(MARKS) == [], "the step that failed has changed nothing"
    assert stuck.rows("SELECT DISTINCT notes FROM fittings_customer") == [("",)]

    # Back to what was there before: the record of the archive, and the steps it was made with.
    stuck.more["DJANGO_SETTINGS_MODULE"] = "tailorshop.settings"
    back = stuck.manage("restore", str(archive), "--replace")
    assert back.returncode == 0, back.stderr
    assert names(stuck) == KEPT


def test_an_upgrade_killed_in_its_midst_is_done_by_running_it_again(
    stuck: Installation, tmp_path: Path
) -> None:
    stuck.more["STUCK"] = "stands"
    with started(stuck.command("upgrade")[1:], stuck.env, tmp_path / "log") as running:
        until = time.monotonic() + 90
        while not (tmp_path / "half-way").exists():
            assert time.monotonic() < until, running.written
            time.sleep(0.05)
        running.kill()
    assert stuck.rows(MARKS) == [], "half a step is none"
    assert names(stuck) == KEPT

    stuck.more["STUCK"] = ""
    again = stuck.manage("upgrade")
    assert again.returncode == 0, again.stderr
    assert stuck.rows(MARKS) == [("first half",), ("second half",)]
    assert names(stuck) == KEPT
    assert len(stuck.archives) == 2, "what was there before each try is kept"


def test_a_record_of_a_newer_program_is_not_touched(shop: Installation) -> None:
    shop.change(
        "INSERT INTO django_migrations (app, name, applied) VALUES "
        "('fittings', '9999_to_come', '2026-01-01 00:00:00')"
    )
    refused = shop.manage("upgrade")
    assert refused.returncode == 1
    assert "newer program" in refused.stderr
    assert "9999_to_come" in refused.stderr
    assert shop.archives == []
