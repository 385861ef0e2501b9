"""A shop of its own for a test: its folder, its database, its commands, run as programs."""

from __future__ import annotations

import os
import sqlite3
import subprocess
import sys
import uuid
from collections.abc import Iterator
from contextlib import closing, contextmanager
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any
from urllib.parse import quote

import psycopg
from django.db import connection

from tests.running.processes import HERE

# What this test run is set to must not reach another shop.
_OURS = ("DATABASE_URL", "DJANGO_SETTINGS_MODULE")


@dataclass
class Installation:
    """`address` is that of a PostgreSQL database; without it SQLite in the folder."""

    folder: Path
    address: str = ""
    more: dict[str, str] = field(default_factory=dict)

    @property
    def env(self) -> dict[str, str]:
        plain = {
            name: value
            for name, value in os.environ.items()
            if name not in _OURS and not name.startswith("TAILORSHOP_")
        }
        own = {"TAILORSHOP_VAR": str(self.folder), "DJANGO_SETTINGS_MODULE": "tailorshop.settings"}
        database = {"DATABASE_URL": self.address} if self.address else {}
        return plain | own | database | self.more

    def command(self, *words: str) -> list[str]:
        return [sys.executable, "manage.py", *words]

    def manage(self, *words: str, seconds: float = 120) -> subprocess.CompletedProcess[str]:
        """One of the shop's commands, to its end."""
        return self._run(self.command(*words), seconds)

    def program(self, module: str, *words: str, seconds: float = 120) -> str:
        """`main` of a module of the tests, with the shop set up; what it printed."""
        lines = (
            f"import sys, django; django.setup(); from {module} import main; main(*sys.argv[1:])"
        )
        done = self._run([sys.executable, "-c", lines, *words], seconds)
        assert done.returncode == 0, done.stderr
        return done.stdout

    def _run(self, command: list[str], seconds: float) -> subprocess.CompletedProcess[str]:
        return subprocess.run(
            command, cwd=HERE, env=self.env, capture_output=True, text=True, timeout=seconds
        )

    def rows(self, query: str) -> list[tuple[Any, ...]]:
        """Asked from outside, by the engine's own program library."""
        if self.address:
            with psycopg.connect(self.address) as there:
                return there.execute(query.encode()).fetchall()
        with closing(sqlite3.connect(self.folder / "shop.sqlite3", timeout=20)) as here:
            return here.execute(query).fetchall()

    def change(self, order: str) -> None:
        """As somebody would who goes past the program."""
        if self.address:
            with psycopg.connect(self.address) as there:
                there.execute(order.encode())
            return
        with closing(sqlite3.connect(self.folder / "shop.sqlite3", timeout=20)) as here, here:
            here.execute(order)

    @property
    def archives(self) -> list[Path]:
        return sorted((self.folder / "backups").glob("fitting-book-*"))


@contextmanager
def installed(folder: Path) -> Iterator[Installation]:
    """A shop on the engine of this test run; needs transactional_db on PostgreSQL."""
    folder.mkdir(parents=True, exist_ok=True)
    if connection.vendor == "sqlite":
        yield Installation(folder=folder)
        return
    name = f"shop_{uuid.uuid4().hex[:12]}"
    with connection.cursor() as cursor:
        cursor.execute(f"CREATE DATABASE {name}")
    try:
        said = connection.settings_dict
        host = quote(said["OPTIONS"].get("host") or said["HOST"], safe="")
        yield Installation(folder=folder, address=f"postgres://{said['USER']}@/{name}?host={host}")
    finally:
        with connection.cursor() as cursor:
            cursor.execute(f"DROP DATABASE {name} WITH (FORCE)")
