"""PostgreSQL itself killed, or out of room, while clients write: `DRILLS=1 KILLS=40 pytest
tests/killing/test_postgresql.py`, by hand and as root."""

from __future__ import annotations

import json
import os
import random
import time
from collections import Counter
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import pytest
import requests

from tailorshop.faults import FULL, GONE
from tests.killing.clients import KINDS, Client
from tests.killing.cluster import Cluster
from tests.killing.looked_over import look_over
from tests.killing.server import Server
from tests.killing.test_killing import KILLS, SEED, kept_by, nothing_more_is_there, wait_for
from tests.running.installation import Installation

pytestmark = [
    pytest.mark.killing,
    pytest.mark.skipif("DRILLS" not in os.environ, reason="a drill by hand: DRILLS=1"),
]


class Shop:
    """A shop on a cluster of its own, with clients that never give up."""

    def __init__(self, cluster: Cluster, folder: Path) -> None:
        self.cluster = cluster
        self.place = Installation(folder=folder / "var", address=cluster.address)
        self.place.more = {"DJANGO_SETTINGS_MODULE": "tests.killing.settings"}
        assert self.place.manage("migrate", "-v0").returncode == 0
        self.said: dict[str, Any] = json.loads(self.place.program("tests.killing.seeded"))
        self.server = Server(self.place, folder / "log")
        self.server.start()
        address = self.server.address
        self.clients: list[Client] = [
            kind(address, self.said, SEED + n) for n, kind in enumerate(KINDS)
        ]
        for client in self.clients:
            client.start()

    def page(self) -> requests.Response:
        asked = f"{self.server.address}/fittings/{self.said['fitting']}/"
        return requests.get(asked, cookies={"sessionid": self.said["session"]}, timeout=60)

    def closes(self) -> None:
        """Everything that was answered is there once, nothing is there by half, and no more."""
        wait_for(self.clients, 1)
        for client in self.clients:
            client.over.set()
        for client in self.clients:
            client.join(60)
        assert not [client.fault for client in self.clients if client.fault]
        kept = kept_by(self.clients)
        look_over(self.place, kept)
        nothing_more_is_there(self.place, kept)
        put_off = {type(client).__name__: client.put_off for client in self.clients}
        print(f"kept { {kind: len(names) for kind, names in kept.items()} }; put off {put_off}")


@pytest.fixture
def begun(tmp_path: Path) -> Iterator[Callable[..., Shop]]:
    shops: list[Shop] = []
    clusters: list[Cluster] = []

    def begin(**how: Any) -> Shop:
        clusters.append(Cluster.made(**how))
        shops.append(Shop(clusters[-1], tmp_path))
        return shops[-1]

    yield begin
    for shop in shops:
        shop.server.stop()
    for cluster in clusters:
        cluster.gone()


def test_nothing_that_was_answered_is_lost_when_postgresql_is_killed(
    begun: Callable[..., Shop],
) -> None:
    shop, at = begun(), random.Random(SEED)  # noqa: S311
    cluster = shop.cluster
    for number in range(KILLS):
        aimed = shop.clients[number % len(shop.clients)]
        wait_for([aimed], 1)
        aimed.under_way.wait(30)
        time.sleep(at.uniform(0, 0.12))
        if number % 4:
            cluster.kill_backend()
        else:
            cluster.kill()
            time.sleep(0.5)  # its children notice
            answer = shop.page()
            assert answer.status_code == 503, answer.text[:2000]
            assert GONE.happened in answer.text
            cluster.start()
        cluster.wait()
        look_over(shop.place, kept_by(shop.clients))
    assert shop.page().status_code == 200
    shop.closes()


def test_a_full_disk_under_postgresql_is_said_and_is_over_when_there_is_room(
    begun: Callable[..., Shop],
) -> None:
    shop = begun(disk_mb=160)
    wait_for(shop.clients, 1)
    large = shop.cluster.folder / "something large"
    said: Counter[str] = Counter()
    for _ in range(3):
        put_off = sum(client.put_off for client in shop.clients)
        with large.open("wb", buffering=0) as file:
            until = time.monotonic() + 60
            while sum(client.put_off for client in shop.clients) < put_off + 20:
                assert time.monotonic() < until, "the disk was never too full to write"
                _filled(file)
                time.sleep(0.05)
        for client in shop.clients:
            said.update(fault.happened for fault in (FULL, GONE) if fault.happened in client.told)
        large.unlink()
        if not shop.cluster.is_up:
            shop.cluster.start()
        shop.cluster.wait()
        look_over(shop.place, kept_by(shop.clients))
        wait_for(shop.clients, 1)
    print(f"the pages said {dict(said)}")
    assert said[FULL.happened] > said[GONE.happened]
    shop.closes()


def _filled(file: Any) -> None:
    for size in (1_000_000, 4096):
        try:
            while file.write(b"x" * size):
                pass
        except OSError:
            continue
