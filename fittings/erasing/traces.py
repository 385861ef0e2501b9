"""What is left of a person in the database: its own files cleared, and a search for words."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from pathlib import Path

from django.db import OperationalError, connection


def settle() -> bool:
    """Have SQLite write its log into the file and write the file anew without gaps; whether it did.

    `secure_delete` overwrites what is deleted; rows that were moved before may still stand in gaps
    of the file, and the log holds older pages. Somebody else's long write puts it off: then False.
    On PostgreSQL its own vacuuming does the same in time; at once by `VACUUM` of whoever runs it.
    """
    if connection.vendor != "sqlite" or connection.in_atomic_block:
        return True
    try:
        with connection.cursor() as cursor:
            for order in ("PRAGMA wal_checkpoint(TRUNCATE)", "VACUUM"):
                cursor.execute(order)
            cursor.execute("PRAGMA wal_checkpoint(TRUNCATE)")
            busy = cursor.fetchone()
    except OperationalError:
        return False
    return not busy[0]


def columns_with(words: Iterable[str]) -> list[str]:
    """Every "table.column" of the database in which one of these words stands, any case."""
    found = []
    with connection.cursor() as cursor:
        for table, column in _columns():
            told, named = (connection.ops.quote_name(n) for n in (table, column))
            for word in words:
                # The names come from the database itself and are quoted.
                like = f"SELECT 1 FROM {told} WHERE LOWER(CAST({named} AS TEXT)) LIKE %s LIMIT 1"  # noqa: S608
                cursor.execute(like, [f"%{word.lower()}%"])
                if cursor.fetchone():
                    found.append(f"{table}.{column}")
                    break
    return found


def _columns() -> Iterator[tuple[str, str]]:
    with connection.cursor() as cursor:
        for table in connection.introspection.table_names(cursor):
            for column in connection.introspection.get_table_description(cursor, table):
                yield table, column.name


def files_with(words: Iterable[str], folder: Path) -> list[Path]:
    """Every file under a folder in whose bytes, or in whose name, one of these words stands."""
    sought = [word.encode() for word in words]
    return [
        path
        for path in sorted(folder.rglob("*"))
        if path.is_file()
        and any(word in path.read_bytes() or word in str(path).encode() for word in sought)
    ]
