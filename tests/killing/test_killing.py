"""Servers and backups really killed, at random moments of every kind of write.

KILLS says how often (`KILLS=200 pytest tests/killing` by hand), SEED which moments.
"""

from __future__ import annotations

import json
import os
import random
import time
from pathlib import Path
from typing import Any

import pytest
from django.db import connection

from tailorshop.keeping.archive import TAKING
from tailorshop.keeping.unpack import unpack
from tests.killing.clients import KINDS, Client
from tests.killing.looked_over import look_over, there
from tests.killing.seeded import seed
from tests.killing.server import Server
from tests.running.installation import Installation
from tests.running.processes import database_for_others, started

pytestmark = [pytest.mark.killing, pytest.mark.django_db(transaction=True)]
KILLS = int(os.environ.get("KILLS", "15"))
SEED = int(os.environ.get("SEED", "1"))


@pytest.fixture
def shop(tmp_path: Path) -> tuple[Installation, dict[str, Any]]:
    """On PostgreSQL in the test's own database, on SQLite in a copy of it."""
    said, folder = seed(), tmp_path / "var"
    folder.mkdir()
    address = database_for_others(folder)
    return Installation(
        folder=folder,
        address="" if connection.vendor == "sqlite" else address,
        more={"DJANGO_SETTINGS_MODULE": "tests.killing.settings"},
    ), said


def kept_by(clients: list[Client]) -> dict[str, list[str]]:
    return {type(client).__name__: list(client.kept) for client in clients}


def wait_for(clients: list[Client], more: int) -> None:
    """Until each has had so many more writes kept: the shop works again after a kill."""
    wanted = {client: len(client.kept) + more for client in clients}
    until = time.monotonic() + 60
    while any(len(client.kept) < n for client, n in wanted.items()):
        faults = [client.fault for client in clients if client.fault]
        assert not faults, faults
        assert time.monotonic() < until, kept_by(clients)
        time.sleep(0.02)


def kill(server: Server, shop: Installation, clients: list[Client], number: int, at: Any) -> None:
    """In the midst of what one of the clients does; every fourth time the whole group."""
    aimed = clients[number % len(clients)]
    aimed.under_way.wait(30)
    time.sleep(at.uniform(0, 0.12))
    if number % 4:
        server.kill_worker()
        return
    server.kill_all()
    look_over(shop, kept_by(clients))
    server.start()


def test_nothing_that_was_answered_is_lost_and_nothing_is_kept_by_half(
    shop: tuple[Installation, dict[str, Any]], tmp_path: Path
) -> None:
    place, said = shop
    server, at = Server(place, tmp_path / "log"), random.Random(SEED)  # noqa: S311
    clients = [kind(server.address, said, SEED + n) for n, kind in enumerate(KINDS)]
    server.start()
    try:
        for client in clients:
            client.start()
        for number in range(KILLS):
            # Of the kind that is killed next: the shop has worked again since the last time.
            wait_for([clients[number % len(clients)]], 1)
            kill(server, place, clients, number, at)
        wait_for(clients, 1)
        for client in clients:
            client.over.set()
        for client in clients:
            client.join(60)
        assert not [client.fault for client in clients if client.fault]
    finally:
        server.stop()
    look_over(place, kept_by(clients))
    nothing_more_is_there(place, kept_by(clients))
    cut = {type(client).__name__: client.cut_off for client in clients}
    kept = {kind: len(names) for kind, names in kept_by(clients).items()}
    print(f"{KILLS} kills; kept {kept}; cut off {cut}; put off {sum(c.put_off for c in clients)}")
    assert sum(cut.values()) >= KILLS // 2, "hardly a write was cut off"
    _left_over_files_go(place)


def nothing_more_is_there(shop: Installation, kept: dict[str, list[str]]) -> None:
    """What was cut off and sent again is one: the record holds no more than what was answered."""
    found = there(shop)
    assert len(found["Readings"]) - len(kept["Readings"]) == _seeded_entries(shop)
    for kind in ("Photographs", "Books"):
        assert set(found[kind]) == set(kept[kind])


def _seeded_entries(shop: Installation) -> int:
    query = "SELECT COUNT(*) FROM fittings_entry WHERE fitting_id <> {}"
    (first,) = shop.rows("SELECT MIN(fitting_id) FROM fittings_photograph")
    return int(shop.rows(query.format(first[0]))[0][0])


def _left_over_files_go(shop: Installation) -> None:
    """Files that a kill left between disk and row go with the sweep, and no other does."""
    done = shop.manage("sweep_photographs", "--grace-hours", "0")
    assert done.returncode == 0, done.stderr
    assert "its file is not there" not in done.stderr
    digests = {digest for (digest,) in shop.rows("SELECT sha256 FROM fittings_photograph")}
    files = [path for path in (shop.folder / "media/photographs").rglob("*") if path.is_file()]
    assert {path.name[:64] for path in files} == digests
    assert len(files) == 2 * len(digests)


def test_a_killed_backup_leaves_no_archive_that_is_not_whole(
    shop: tuple[Installation, dict[str, Any]], tmp_path: Path
) -> None:
    place, at = shop[0], random.Random(SEED)  # noqa: S311
    folder, said = place.folder / "backups", []
    for number in range(max(3, KILLS // 4)):
        before = set(folder.glob(f"{TAKING}*"))
        command = place.command("backup")[1:]
        with started(command, place.env, tmp_path / f"log-{number}") as running:
            while running.process.poll() is None and not set(folder.glob(f"{TAKING}*")) - before:
                time.sleep(0.005)
            time.sleep(at.uniform(0, 0.5))
            running.kill()
            if "read again and whole" in running.written:
                said.append(number)
    done = place.manage("backup")
    assert done.returncode == 0, done.stderr
    assert len(place.archives) > len(said), "one that said it was whole is not there"
    for number, archive in enumerate(place.archives):
        unpack(archive, tmp_path / f"unpacked-{number}", [])
    last = json.loads((place.folder / "last-backup.json").read_text())
    assert (folder / last["file"]) in place.archives
    yesterday = time.time() - 90_000
    left = list(folder.glob(f"{TAKING}*"))
    for path in left:
        os.utime(path, (yesterday, yesterday))
    assert place.manage("backup").returncode == 0
    print(f"{len(left)} killed in their midst, {len(said)} after their end")
    assert not list(folder.glob(f"{TAKING}*")), "what a killed one had copied is not cleared away"
