"""The database as it stands at one moment, taken while the shop goes on working."""

from __future__ import annotations

import os
import shutil
import sqlite3
import subprocess  # PostgreSQL's own programs # nosec B404
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from django.db import connection, transaction
from psycopg.pq import Conninfo

from fittings.erasing.histories import SCHEMA
from tailorshop.keeping.manifest import DUMP_FILE, SQLITE_FILE, BadArchive
from tailorshop.keeping.rows import bring_up, carry_over, count_rows, sqlite_beside, steps_of
from tailorshop.steps import steps_waiting


class NotTaken(Exception):
    """The database could not be copied, in a sentence that says why."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Snapshot:
    file: Path
    rows: dict[str, int]
    migrations: tuple[str, ...]


def take(folder: Path, *, portable: bool = False) -> Snapshot:
    """Copy the database into `folder`.

    From SQLite a SQLite file; from PostgreSQL its own dump, or a SQLite file where `portable` is
    wanted or pg_dump is not installed. Raises NotTaken.
    """
    if connection.vendor == "sqlite":
        return _from_sqlite(folder / SQLITE_FILE)
    if portable or not shutil.which("pg_dump"):
        if steps_waiting():
            raise NotTaken(
                "Before the database has its steps only pg_dump can copy it: install it."
            )
        return _portable(folder / SQLITE_FILE)
    return _dumped(folder / DUMP_FILE)


def _from_sqlite(file: Path) -> Snapshot:
    connection.ensure_connection()
    copy = sqlite3.connect(file)
    try:
        # In one step: a copy in several begins anew whenever somebody writes.
        connection.connection.backup(copy)
        copy.execute("PRAGMA journal_mode=DELETE")
    finally:
        copy.close()
    try:
        check_sound(file)
    except BadArchive as bad:
        raise NotTaken(f"The shop's database itself is damaged: {bad}") from None
    with sqlite_beside(file) as beside:
        return Snapshot(file=file, rows=count_rows(beside), migrations=steps_of(beside))


def _dumped(file: Path) -> Snapshot:
    with one_moment() as cursor:
        cursor.execute("SELECT pg_export_snapshot()")
        (moment,) = cursor.fetchone()
        counts = count_rows("default")
        run(
            "pg_dump",
            *("--format=custom", "--no-owner", "--no-privileges"),
            # Without its rights, which no dump carries, everybody could call what is in it.
            f"--exclude-schema={SCHEMA}",
            *(f"--snapshot={moment}", f"--file={file}"),
        )
        return Snapshot(file=file, rows=counts, migrations=steps_of("default"))


def _portable(file: Path) -> Snapshot:
    """The rows in a SQLite file made by our own migrations."""
    with sqlite_beside(file) as beside:
        bring_up(beside)
        with one_moment():
            carry_over("default", beside)
        return Snapshot(file=file, rows=count_rows(beside), migrations=steps_of(beside))


@contextmanager
def one_moment() -> Iterator[Any]:
    with transaction.atomic(), connection.cursor() as cursor:
        cursor.execute("SET TRANSACTION ISOLATION LEVEL REPEATABLE READ, READ ONLY")
        yield cursor


def check_sound(file: Path) -> None:
    """Refuse (BadArchive) a SQLite file that its own engine finds damaged."""
    opened = sqlite3.connect(f"file:{file}?mode=ro&immutable=1", uri=True)
    try:
        (answer,) = opened.execute("PRAGMA quick_check").fetchone()
        broken = opened.execute("PRAGMA foreign_key_check").fetchone()
    except sqlite3.DatabaseError as bad:
        answer, broken = str(bad), None
    finally:
        opened.close()
    if answer != "ok":
        raise BadArchive(f"The database is damaged ({answer}).")
    if broken:
        raise BadArchive(f"A row of {broken[0]} names a row of {broken[2]} that is not there.")


def run(*command: str) -> None:
    """One of PostgreSQL's own programs on the shop's database, reached as the shop itself reaches
    it, with its certificates too; raises NotTaken with its words."""
    said: dict[str, Any] = connection.get_connection_params()
    where = {
        option.envvar.decode(): str(said[name])
        for option in Conninfo.get_defaults()
        if option.envvar and said.get(name := option.keyword.decode())
    }
    answer = subprocess.run(  # noqa: S603 # nosec B603
        command, env=os.environ | where, capture_output=True, text=True, check=False
    )
    if answer.returncode:
        raise NotTaken(f"{command[0]} failed: {answer.stderr.strip()[-500:]}")
