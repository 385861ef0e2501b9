"""Rows of a big shop that wait to be written, their keys given by us so that they can refer."""

from __future__ import annotations

from itertools import count
from typing import Any, Final

from django.core.management.color import no_style
from django.db import connection, models, transaction
from django.db.models import Max

from fittings.models import (
    Counter,
    Customer,
    Decision,
    Entry,
    Fitting,
    Measurement,
    MeasurementSet,
    Order,
    Ticket,
    TicketLine,
)
from patterns.models import Pattern, PatternVersion

Kind = type[models.Model]

# In the order in which they refer to each other.
KINDS: Final[tuple[Kind, ...]] = (
    Customer,
    Pattern,
    PatternVersion,
    MeasurementSet,
    Measurement,
    Order,
    Fitting,
    Entry,
    Decision,
    Ticket,
    TicketLine,
)
KEYED: Final = tuple(kind for kind in KINDS if kind not in {Entry, Decision})


class Rows:
    def __init__(self) -> None:
        self.waiting: dict[Kind, list[Any]] = {kind: [] for kind in KINDS}
        self.keys = {kind: count(key_after(kind)) for kind in KEYED}

    def next_key(self, kind: Kind) -> int:
        return next(self.keys[kind])

    def put(self, kind: Kind, pk: Any, /, **values: Any) -> Any:
        row = kind(pk=pk, **values)
        self.waiting[kind].append(row)
        return row

    def newest(self, kind: Kind) -> Any:
        return self.waiting[kind][-1]

    def write(self) -> None:
        """Keep what was cast since the last time, in one transaction."""
        with transaction.atomic():
            for kind, rows in self.waiting.items():
                kind._default_manager.bulk_create(rows)
                rows.clear()

    def finish(self) -> None:
        """Let the next numbers and keys go on after ours."""
        for kind, model in (("customer", Customer), ("order", Order), ("ticket", Ticket)):
            last = model._default_manager.aggregate(last=Max("pk"))["last"]
            Counter.objects.update_or_create(kind=kind, defaults={"last": last})
        with connection.cursor() as cursor:
            for sql in connection.ops.sequence_reset_sql(no_style(), [*KEYED]):
                cursor.execute(sql)
            # PostgreSQL does this by itself in time. SQLite never does in a shop, and must not
            # here: of columns that are nearly always empty it then expects the wrong numbers.
            if connection.vendor == "postgresql":
                cursor.execute("ANALYZE")


def key_after(kind: Kind) -> int:
    """The key of the next row."""
    return (kind._default_manager.aggregate(last=Max("pk"))["last"] or 0) + 1
