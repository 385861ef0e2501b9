"""Rows of one database counted, and carried over into another of another kind."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from contextlib import contextmanager
from itertools import islice
from pathlib import Path
from typing import Any, Final

from django.apps import apps
from django.core.management import call_command
from django.core.management.color import no_style
from django.db import connections, models, router, transaction
from django.db.backends.sqlite3.base import DatabaseWrapper

BESIDE: Final = "beside"
STEPS: Final = "django_migrations"
_AT_ONCE: Final = 500


@contextmanager
def sqlite_beside(path: Path) -> Iterator[str]:
    """A SQLite file opened beside the shop's own database, under the alias that is yielded."""
    settings = connections.settings["default"] | {"NAME": str(path), "OPTIONS": {}}
    connections[BESIDE] = DatabaseWrapper(settings, BESIDE)
    try:
        yield BESIDE
    finally:
        connections[BESIDE].close()
        del connections[BESIDE]


class _OneDatabase:
    """Every row is read from and written into this one."""

    def __init__(self, alias: str) -> None:
        self.alias = alias

    def db_for_read(self, model: type[models.Model], **hints: Any) -> str:
        return self.alias

    db_for_write = db_for_read


def bring_up(alias: str) -> None:
    """Give a database beside the shop's own the steps it lacks.

    A step that moves rows without saying in which database would move those of the shop's own.
    """
    usual = router.routers
    router.routers = [_OneDatabase(alias)]
    try:
        call_command("migrate", database=alias, verbosity=0)
    finally:
        router.routers = usual


def tables_of(alias: str) -> list[str]:
    with connections[alias].cursor() as cursor:
        return sorted(connections[alias].introspection.table_names(cursor))


def count_rows(alias: str, tables: Iterable[str] | None = None) -> dict[str, int]:
    """How many rows each table has."""
    connection = connections[alias]
    counts = {}
    with connection.cursor() as cursor:
        for table in tables_of(alias) if tables is None else tables:
            # The name comes from the database itself, or from an archive that was verified.
            cursor.execute(f"SELECT COUNT(*) FROM {connection.ops.quote_name(table)}")  # noqa: S608
            counts[table] = int(cursor.fetchone()[0])
    return counts


def steps_of(alias: str) -> tuple[str, ...]:
    """The migrations that this database has had, as `app.name`."""
    with connections[alias].cursor() as cursor:
        cursor.execute(f"SELECT app, name FROM {STEPS} ORDER BY app, name")  # noqa: S608
        return tuple(f"{app}.{name}" for app, name in cursor.fetchall())


def own_models() -> list[type[models.Model]]:
    """Those that have a table of their own; what has a table without (a cache) is not carried."""
    every = apps.get_models(include_auto_created=True)
    return [m for m in every if m._meta.managed and not m._meta.proxy]


def carry_over(source: str, target: str) -> None:
    """Put all rows of `source` in the place of those of `target`; both have the same tables.

    One transaction: afterwards all is there, or nothing has changed.
    """
    ours = own_models()
    connection = connections[target]
    with transaction.atomic(using=target):
        tables = [model._meta.db_table for model in ours]
        flush = connection.ops.sql_flush(no_style(), tables, allow_cascade=True)
        with connection.cursor() as cursor:
            for statement in flush:
                cursor.execute(statement)
        for model in ours:
            _carry(model, source, target)
        with connection.cursor() as cursor:
            for statement in connection.ops.sequence_reset_sql(no_style(), ours):
                cursor.execute(statement)


def _carry(model: type[models.Model], source: str, target: str) -> None:
    manager: Any = model._base_manager
    fields = [field for field in model._meta.local_concrete_fields if not field.generated]
    stored = iter(manager.using(source).order_by("pk").iterator(chunk_size=_AT_ONCE))
    while batch := list(islice(stored, _AT_ONCE)):
        # raw: what a field would make anew at saving (times of receipt) stays as it was.
        manager.using(target)._insert(batch, fields=fields, using=target, raw=True)
