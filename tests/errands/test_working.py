"""Workers as they are run: killed in the midst, told to stop, and several at once."""

import signal
import time
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from django.core.files.base import ContentFile
from django.db import connection
from django.utils import timezone
from django_tasks_db.models import DBTaskResult

from fittings.errands import asking, kinds
from fittings.errands.asking import ask
from fittings.models import AtWork, Errand, ErrandKind, ErrandState
from tailorshop.models import Role
from tailorshop.working import Working
from tests.at_once import at_once
from tests.factories import UserFactory
from tests.running.installation import Installation
from tests.running.processes import Running, database_for_others, started

pytestmark = pytest.mark.django_db(transaction=True)


def ask_for_books(count: int, rows: int) -> None:
    by, at = UserFactory(role=Role.OWNER), timezone.now()
    data = "Surname;Number\n" + "".join(f"Ash {n};{n}\n" for n in range(rows))
    for n in range(count):
        said = {"name": f"{n}.csv"}
        ask(ErrandKind.BOOK, str(n), by=by, at=at, said=said, file=ContentFile(data))


@pytest.fixture
def nobody_here(monkeypatch: pytest.MonkeyPatch) -> None:
    """What is asked for here is left to the workers, which begin later."""
    monkeypatch.setattr(asking, "somebody_is_at_work", lambda at: True)


@pytest.fixture
def shop(settings: Any, tmp_path: Path) -> Installation:
    """Two books asked for in a shop with a folder and a database that workers reach."""
    media = {"BACKEND": "django.core.files.storage.FileSystemStorage"}
    settings.STORAGES = {**settings.STORAGES, "default": media}
    settings.MEDIA_ROOT = tmp_path / "media"
    ask_for_books(2, rows=3 * kinds.LOT)
    address = database_for_others(tmp_path)
    return Installation(folder=tmp_path, address="" if connection.vendor == "sqlite" else address)


def until(reached: Callable[[], bool], worker: Running, seconds: float = 60) -> None:
    end = time.monotonic() + seconds
    while not reached():
        assert time.monotonic() < end, worker.written
        assert worker.process.poll() is None, worker.written
        time.sleep(0.02)


def test_killed_in_the_midst_another_does_it_once_and_told_to_stop_ends_what_it_began(
    nobody_here: None, shop: Installation
) -> None:
    def states() -> list[tuple[Any, ...]]:
        return shop.rows("SELECT state, tries FROM fittings_errand ORDER BY subject")

    def in_the_midst(tries: int) -> bool:
        asked = "SELECT state, tries, done > 0 FROM fittings_errand ORDER BY subject"
        return shop.rows(asked)[0] == (ErrandState.WORKING, tries, True)

    command = ["manage.py", "work"]
    with started(command, shop.env, shop.folder / "first.log") as first:
        until(lambda: in_the_midst(1), first)
        first.kill()
    assert states() == [("working", 1), ("waiting", 0)]
    command += ["--dead-after", "0.2"]
    with started(command, shop.env, shop.folder / "second.log") as second:
        until(lambda: in_the_midst(2), second)
        second.process.send_signal(signal.SIGTERM)
        assert second.process.wait(60) == 0, second.written
    assert states() == [("done", 2), ("waiting", 0)], "done to its end, and nothing more begun"
    assert shop.rows("SELECT COUNT(*) FROM fittings_atwork") == [(1,)], "of the killed one"
    books = shop.rows(
        "SELECT b.step, COUNT(*) FROM fittings_customerbook b JOIN fittings_bookrow r "
        "ON r.book_id = b.id GROUP BY b.id, b.step"
    )
    assert books == [("columns", 3 * kinds.LOT)], "once, and whole"
    left = [one.name for one in (shop.folder / "media").rglob("*") if one.is_file()]
    assert left == ["handed-in"], "of the one that waits"


def test_two_workers_never_take_the_same(
    nobody_here: None, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(kinds, "BREATH_S", 0.0)
    ask_for_books(16, rows=2)
    at_once(2, lambda: Working().once())
    assert [len(row.worker_ids) for row in DBTaskResult.objects.all()] == [1] * 16
    assert set(Errand.objects.values_list("state", "tries")) == {(ErrandState.DONE, 1)}
    assert not AtWork.objects.exists()
