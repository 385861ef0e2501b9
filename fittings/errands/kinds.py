"""What may be asked for: how each kind is made, and its words."""

from __future__ import annotations

import time
from collections.abc import Callable
from dataclasses import dataclass
from tempfile import TemporaryFile
from typing import Final

from django.core.files.base import ContentFile, File
from django.db import connection, transaction
from django.utils import timezone

from fittings.books import begin_book, keep_rows, read_whole
from fittings.carrying.packing import members_of, record_zip
from fittings.errands.under_way import (
    change,
    drop_beside,
    finish,
    finish_with,
    put_beside_there,
    told,
)
from fittings.glance.paper import month_pdf
from fittings.glance.period import Period
from fittings.models import Errand, ErrandKind
from fittings.refusals import Refused
from fittings.spreadsheets import read

LOT: Final = 1_000
# Whoever waits for SQLite's one lock looks again every tenth of a second: a tap goes in between.
BREATH_S: Final = 0.1
SHOP: Final = ("glance", "The shop")
IN_AND_OUT: Final = ("in-and-out", "In and out")


@dataclass(frozen=True, slots=True, kw_only=True)
class Kind:
    """`make` ends the errand itself, or raises; `page`: where it is asked for; `listed`: the page
    that lists it for a day, and its words; `shown`: opened in the browser instead of saved."""

    make: Callable[[Errand], None]
    title: Callable[[Errand], str]
    opens: str
    page: Callable[[Errand], tuple[str, list[int]]]
    listed: tuple[str, str]
    filename: Callable[[Errand], str]
    shown: bool = False


def month(errand: Errand) -> None:
    said = errand.said
    period = Period.of_month(said["year"], said["month"])
    pdf = month_pdf(period, said["unit"], timezone.localdate())
    finish_with(errand, ContentFile(pdf), "pdf")


def record(errand: Errand) -> None:
    if errand.customer is None or errand.customer.erased_on is not None:
        raise Refused("This customer was erased: there is no record any more.")
    total = members_of(errand.customer)
    with TemporaryFile() as whole:
        for done, piece in enumerate(record_zip(errand.customer, at=timezone.now()), 1):
            whole.write(piece)
            told(errand, min(done, total), total)
        whole.seek(0)
        finish_with(errand, File(whole), "zip")


def book(errand: Errand) -> None:
    """In lots, each in a transaction of its own: nobody else's entry waits for the whole book."""
    with put_beside_there(errand) as file:
        table = read(file.read())
    with transaction.atomic():
        # Half of it, where a worker was stopped in its midst.
        if errand.book is not None:
            errand.book.delete()
        row = begin_book(table, name=errand.said["name"], by=errand.asked_by, at=errand.asked_at)
        change(errand, book=row)
    for start in range(0, len(table.rows), LOT):
        keep_rows(row, table.rows[start : start + LOT])
        told(errand, min(start + LOT, len(table.rows)), len(table.rows))
        if connection.vendor == "sqlite":
            time.sleep(BREATH_S)
    with transaction.atomic():
        read_whole(row)
        finish(errand)
    drop_beside(errand)


def _month_words(errand: Errand) -> str:
    return f"{Period.of_month(errand.said['year'], errand.said['month']).words} on paper"


KINDS: Final[dict[str, Kind]] = {
    ErrandKind.MONTH: Kind(
        make=month,
        title=_month_words,
        opens="Open the sheets (PDF)",
        page=lambda errand: ("glance", []),
        listed=SHOP,
        filename=lambda errand: f"shop-{errand.said['year']}-{errand.said['month']:02d}.pdf",
        shown=True,
    ),
    ErrandKind.RECORD: Kind(
        make=record,
        title=lambda errand: f"The whole record of {errand.customer}",
        opens="Save the record (zip)",
        page=lambda errand: ("customer", [errand.customer_id or 0]),
        listed=IN_AND_OUT,
        filename=lambda errand: f"{getattr(errand.customer, 'number', 'record')}.zip",
    ),
    ErrandKind.BOOK: Kind(
        make=book,
        title=lambda errand: f"Customer book {errand.said['name']}",
        opens="Name its columns",
        page=lambda errand: ("in-and-out", []),
        listed=IN_AND_OUT,
        filename=lambda errand: "",
    ),
}
