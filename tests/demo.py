"""The demo shop, opened once in a test run and laid back into the database for each test."""

from __future__ import annotations

import sqlite3

from django.core.files.base import ContentFile
from django.core.files.storage import default_storage
from django.db import connection

from fittings.demo.shop import open_shop

_rows: sqlite3.Connection | None = None
_files: dict[str, bytes] = {}


def open_demo() -> None:
    """The demo shop in an empty test database; on SQLite made once and copied afterwards.

    For tests with a database of their own (live_server, transactional_db): the copy is not part
    of a transaction.
    """
    global _rows
    if connection.vendor != "sqlite" or connection.in_atomic_block:
        return open_shop()
    connection.ensure_connection()
    if _rows is None:
        open_shop()
        _rows = sqlite3.connect(":memory:", check_same_thread=False)
        connection.connection.backup(_rows)
        _files.update(_stored(""))
    else:
        _rows.backup(connection.connection)
        for name, content in _files.items():
            default_storage.save(name, ContentFile(content))
    return None


def _stored(folder: str) -> dict[str, bytes]:
    folders, names = default_storage.listdir(folder)
    found = {}
    for name in names:
        path = f"{folder}/{name}".lstrip("/")
        with default_storage.open(path) as file:
            found[path] = file.read()
    for inner in folders:
        found |= _stored(f"{folder}/{inner}".lstrip("/"))
    return found
