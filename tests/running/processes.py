"""Real processes of the shop, as hosts that share only what they are told to share."""

from __future__ import annotations

import os
import signal
import socket
import subprocess
import sys
import time
from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any
from urllib.parse import quote

import requests
from django.db import connection

HERE = Path(__file__).resolve().parents[2]


def database_for_others(folder: Path) -> str:
    """The address by which other processes reach what stands in the test's database now.

    On PostgreSQL the test's own database, on SQLite a copy of it in a file.
    """
    if connection.vendor == "sqlite":
        file = folder / "shop.sqlite3"
        with connection.cursor() as cursor:
            cursor.execute("VACUUM INTO %s", [str(file)])
        return f"sqlite:///{file}"
    said = connection.settings_dict
    host = quote(said["HOST"] or said["OPTIONS"].get("host", ""), safe="")
    user = said["USER"] or ""
    password = f":{quote(said['PASSWORD'])}" if said["PASSWORD"] else ""
    return f"postgres://{user}{password}@/{said['NAME']}?host={host}"


@dataclass
class Running:
    """A process of the shop: where it answers, and what it has written so far."""

    process: subprocess.Popen[bytes]
    log: Path
    address: str = ""

    @property
    def written(self) -> str:
        return self.log.read_text()

    def kill(self) -> None:
        """As when the power goes: the whole group at once, without a word."""
        os.killpg(self.process.pid, signal.SIGKILL)
        self.process.wait()


@contextmanager
def started(command: list[str], env: Mapping[str, str], log: Path) -> Iterator[Running]:
    """A process group of its own, gone afterwards."""
    with log.open("wb") as out:
        process = subprocess.Popen(
            [sys.executable, *command],
            cwd=HERE,
            env={**os.environ, **env},
            stdout=out,
            stderr=out,
            start_new_session=True,
        )
    running = Running(process=process, log=log)
    try:
        yield running
    finally:
        if process.poll() is None:
            running.kill()


@contextmanager
def host(name: str, folder: Path, env: Mapping[str, str]) -> Iterator[Running]:
    """One host: a gunicorn as in production, with a folder of its own."""
    with socket.socket() as free:
        free.bind(("127.0.0.1", 0))
        port = free.getsockname()[1]
    own = {"TAILORSHOP_VAR": str(folder / name), "TAILORSHOP_LOGS": "json", **env}
    command = ["-m", "gunicorn", "-c", "tailorshop/running/gunicorn.conf.py", "--workers", "1"]
    command += ["--bind", f"127.0.0.1:{port}", "tailorshop.wsgi"]
    with started(command, own, folder / f"{name}.log") as running:
        running.address = f"http://127.0.0.1:{port}"
        yield running


def collect_static(folder: Path, env: Mapping[str, str]) -> None:
    """What an installation does once on each host."""
    command = ["manage.py", "collectstatic", "--no-input", "-v0"]
    own = {"TAILORSHOP_VAR": str(folder), **env}
    with started(command, own, folder / "collectstatic.log") as running:
        if running.process.wait(120):
            raise AssertionError(running.written)


def wait_until_open(running: Running, seconds: float = 60) -> None:
    until = time.monotonic() + seconds
    while time.monotonic() < until:
        if running.process.poll() is not None:
            raise AssertionError(f"It stopped by itself:\n{running.written}")
        try:
            if requests.get(f"{running.address}/health/", timeout=5).status_code == 200:
                return
        except (requests.ConnectionError, requests.Timeout):
            pass
        time.sleep(0.2)
    raise AssertionError(f"It did not open:\n{running.written[-2000:]}")


@dataclass
class Visitor:
    """A browser without a screen; it knows both hosts by one name, as behind a front server."""

    session: requests.Session = field(default_factory=requests.Session)

    def __post_init__(self) -> None:
        self.session.headers["Host"] = "localhost"

    def get(self, at: Running, path: str) -> requests.Response:
        return self.session.get(at.address + path, timeout=30)

    def post(
        self, at: Running, path: str, data: dict[str, Any], form: str = "", **more: Any
    ) -> requests.Response:
        """Send a form that stands on the page `form` (the page itself where none is said)."""
        self.get(at, form or path)
        sent = {"csrfmiddlewaretoken": self.session.cookies.get("csrftoken", ""), **data}
        return self.session.post(at.address + path, sent, timeout=30, **more)
