"""A customer book brought in: columns named, every row looked at, the good ones kept once each.

A few hundred rows at a time, each lot in a transaction of its own: what is done stays done, and the
page says how far it is.
"""

from __future__ import annotations

import datetime as dt
import hashlib
from collections.abc import Sequence
from typing import TYPE_CHECKING, Any, Final

from django.core.exceptions import ValidationError
from django.db import transaction
from simple_history.utils import bulk_create_with_history

from fittings.models import (
    BookOrigin,
    BookRow,
    BookStep,
    Customer,
    CustomerBook,
    FindableKind,
    RowState,
)
from fittings.models.kept import numbered_many
from fittings.refusals import Refused
from fittings.search.keeping import keep
from fittings.spreadsheets import MOST_SIGNS, TO_MEND, Table, read

if TYPE_CHECKING:
    from tailorshop.models import User

LOOKED_AT_ONCE: Final = 1_000
KEPT_AT_ONCE: Final = 250
KEPT_DAYS: Final = dt.timedelta(days=30)
OUTSIDE: Final = "outside_number"
LINES: Final = ("address", "notes")
# What a column may fill, in words, and headings it is guessed from.
FIELDS: Final[dict[str, tuple[str, tuple[str, ...]]]] = {
    "given_name": ("given name", ("given", "first", "forename", "vorname", "nome", "nombre")),
    "family_name": (
        "family name",
        ("family", "last", "surname", "nachname", "cognome", "apellido"),
    ),
    "phone": ("phone", ("phone", "tel", "mobile", "telefon")),
    "email": ("e-mail", ("mail",)),
    "address": ("address", ("address", "street", "anschrift", "adresse", "indirizzo")),
    "notes": ("notes", ("note", "remark", "comment")),
    OUTSIDE: ("number in the old book", ("number", "no.", "id", "nummer")),
}


def hand_in(data: bytes, *, name: str, by: User, at: dt.datetime) -> CustomerBook:
    """Keep a file's rows until they are looked at. Refuses (Refused) what is no table."""
    table = read(data)
    with transaction.atomic():
        book = begin_book(table, name=name, by=by, at=at)
        keep_rows(book, table.rows)
        read_whole(book)
    return book


def sweep(at: dt.datetime) -> None:
    """Forget books that were handed in long ago, with whoever stands in them."""
    lately = (at - KEPT_DAYS, at + KEPT_DAYS)
    CustomerBook.objects.exclude(made_at__range=lately).delete()


def begin_book(table: Table, *, name: str, by: User, at: dt.datetime) -> CustomerBook:
    """A book without its rows, which nobody sees before it is `read_whole`."""
    sweep(at)
    return CustomerBook.objects.create(
        name=name[:120],
        made_at=at,
        made_by=by,
        encoding=table.encoding,
        delimiter=table.delimiter,
        headings=table.headings,
        columns=guessed(table.headings),
        step=BookStep.READING,
    )


def keep_rows(book: CustomerBook, rows: Sequence[tuple[int, list[str]]]) -> None:
    kept = (BookRow(book=book, number=n, cells=cells) for n, cells in rows)
    BookRow.objects.bulk_create(kept, batch_size=500)


def read_whole(book: CustomerBook) -> None:
    """All its rows are kept: its columns can be named."""
    book.step = BookStep.COLUMNS
    book.save(update_fields=["step"])


def guessed(headings: Sequence[str]) -> list[str]:
    """For each heading the field it seems to fill, each field once; "" for none."""
    found: list[str] = []
    for heading in headings:
        fits = [
            field
            for field, (_, words) in FIELDS.items()
            if field not in found and any(word in heading.lower() for word in words)
        ]
        found.append(fits[0] if fits else "")
    return found


def name_columns(book: CustomerBook, columns: Sequence[str]) -> None:
    """Say what each column fills, and look at the rows anew. Refuses (Refused) no names, twice."""
    named = [column for column in columns if column]
    if "family_name" not in named:
        raise Refused("Say which column holds the family name: nobody is kept without one.")
    twice = next((one for one in named if named.count(one) > 1), None)
    if twice:
        raise Refused(f"Two columns are said to hold the {FIELDS[twice][0]}: choose one of them.")
    with transaction.atomic():
        locked = CustomerBook.objects.select_for_update().get(pk=book.pk)
        if locked.step in (BookStep.KEEPING, BookStep.KEPT):
            raise Refused("Rows of this book are kept already: hand the rest in as a new one.")
        book.rows.update(state=RowState.WAITING, faults=[])
        book.columns, book.step = list(columns), BookStep.TRYING
        book.save(update_fields=["columns", "step"])


def go_on(book: CustomerBook) -> None:
    """The next lot of rows: looked at, or kept."""
    with transaction.atomic():
        locked = CustomerBook.objects.select_for_update().get(pk=book.pk)
        if locked.step == BookStep.TRYING:
            _look_at_some(locked)
        elif locked.step == BookStep.KEEPING:
            _keep_some(locked)
    book.refresh_from_db()


def keep_good(book: CustomerBook) -> None:
    """Begin to keep the good rows. Does nothing where it is begun already."""
    tried = CustomerBook.objects.filter(pk=book.pk, step=BookStep.TRIED)
    tried.update(step=BookStep.KEEPING)
    book.refresh_from_db()


def _look_at_some(book: CustomerBook) -> None:
    rows = list(book.rows.waiting()[:LOOKED_AT_ONCE])
    known = _known([_key(book, row) for row in rows])
    for row in rows:
        row.faults = _faults(book, row)
        there = _key(book, row) in known
        row.state = RowState.FAULTY if row.faults else RowState.KNOWN if there else RowState.GOOD
    BookRow.objects.bulk_update(rows, ["faults", "state"], batch_size=200)
    if len(rows) < LOOKED_AT_ONCE:
        book.step = BookStep.TRIED
        book.save(update_fields=["step"])


def _keep_some(book: CustomerBook) -> None:
    rows = list(book.rows.good()[:KEPT_AT_ONCE])
    origins = {row.pk: _key(book, row) for row in rows}
    known, new = _known(list(origins.values())), dict[str, BookRow]()
    for row in rows:
        row.state = RowState.KNOWN
        if origins[row.pk] not in known and new.setdefault(origins[row.pk], row) is row:
            row.state = RowState.KEPT
    _make_customers(book, new)
    for row in rows:
        row.cells = []  # it stands in the record now
    BookRow.objects.bulk_update(rows, ["customer", "state", "cells"], batch_size=200)
    if len(rows) < KEPT_AT_ONCE:
        book.step = BookStep.KEPT
        book.save(update_fields=["step"])


def _make_customers(book: CustomerBook, new: dict[str, BookRow]) -> None:
    """A customer for each row, by its origin: numbered, with a beginning of its history, found."""
    numbers = numbered_many(Customer.KIND, Customer.PREFIX, len(new))
    said = [{k: v for k, v in _values(book, row).items() if k != OUTSIDE} for row in new.values()]
    made = [Customer(number=no, **values) for no, values in zip(numbers, said, strict=True)]
    made = bulk_create_with_history(made, Customer, batch_size=250)
    keep(FindableKind.CUSTOMER, made)
    BookOrigin.objects.bulk_create(
        BookOrigin(key=key, customer=customer) for key, customer in zip(new, made, strict=True)
    )
    for row, customer in zip(new.values(), made, strict=True):
        row.customer = customer


def _known(keys: list[str]) -> set[str]:
    return set(BookOrigin.objects.filter(key__in=keys).values_list("key", flat=True))


def _values(book: CustomerBook, row: BookRow) -> dict[str, str]:
    cells = zip(book.columns, row.cells, strict=False)
    return {column: _said(column, str(cell)) for column, cell in cells if column}


def _said(column: str, cell: str) -> str:
    """What a cell says: all but an address and notes on one line."""
    return cell.strip() if column in LINES else " ".join(cell.split())


def _key(book: CustomerBook, row: BookRow) -> str:
    """What the row is known by in a second run: its number in the old book, or all it says."""
    values = _values(book, row)
    if values.get(OUTSIDE):
        return f"number {values[OUTSIDE]}"[:80]
    text = "\x1f".join(f"{name}={values[name].casefold()}" for name in sorted(values))
    return f"row {hashlib.sha256(text.encode()).hexdigest()}"


def _faults(book: CustomerBook, row: BookRow) -> list[dict[str, str]]:
    """What is to be mended in a row, by the heading of its column."""
    if len(row.cells) > len(book.headings):
        words = f"There are {len(row.cells)} cells and {len(book.headings)} headings: quote a cell"
        return [{"column": "", "words": f"{words} that holds a “{book.delimiter}”."}]
    found, values = [], _values(book, row)
    for column, heading in zip(book.columns, book.headings, strict=True):
        words = _fault(column, values.get(column, "")) if column else ""
        if words:
            found.append({"column": heading, "words": words})
    return found


def _fault(column: str, value: str) -> str:
    if "\0" in value or len(value) > MOST_SIGNS:
        return f"Write it in {MOST_SIGNS} signs at most."
    if column == OUTSIDE:
        return "Write a number of 70 signs at most." if len(value) > 70 else ""
    field: Any = Customer._meta.get_field(column)
    if not value:
        return "Write the family name." if column == "family_name" else ""
    try:
        field.run_validators(value)
    except ValidationError as fault:
        return " ".join(fault.messages)
    return ""


def faulty_rows(book: CustomerBook) -> list[list[str]]:
    """The rows to mend as they came, with the reason in a last column, to be handed in again."""
    rows = [[*book.headings, TO_MEND]]
    for row in book.rows.faulty().iterator():
        cells = [*map(str, row.cells), *[""] * (len(book.headings) - len(row.cells))]
        said = "; ".join(f"{one['column']}: {one['words']}".strip(": ") for one in row.faults)
        rows.append([*cells, f"row {row.number}: {said}"])
    return rows
