"""The pages of in and out ask the database no more often because there is more: 1 against 60."""

from collections.abc import Callable
from typing import Any

import pytest
from django.db import connection
from django.test import Client
from django.test.utils import CaptureQueriesContext
from django.urls import reverse
from django.utils import timezone

from fittings.models import BookRow, BookStep, Customer, CustomerBook
from tests.conftest import Signed
from tests.factories import (
    CustomerFactory,
    FigureNoteFactory,
    MeasurementFactory,
    MeasurementSetFactory,
)


def asked(client: Client, address: str, *, press: bool = False) -> int:
    def open_it() -> Any:
        return client.post(address, follow=True) if press else client.get(address)

    open_it()  # what is asked once in a process is asked now
    with CaptureQueriesContext(connection) as queries:
        answer = open_it()
        b"".join(answer)  # what is streamed asks too
    assert answer.status_code == 200
    return len(queries)


@pytest.fixture
def book(owner: Signed) -> Callable[[int], CustomerBook]:
    """The same book with so many more rows to mend."""
    row = CustomerBook.objects.create(
        name="old book",
        made_at=timezone.now(),
        made_by=owner[1],
        encoding="utf-8",
        delimiter=";",
        headings=["Surname"],
        columns=["family_name"],
        step=BookStep.TRIED,
    )

    def filled(count: int) -> CustomerBook:
        there = row.rows.count()
        BookRow.objects.bulk_create(
            BookRow(
                book=row,
                number=2 + there + n,
                cells=[""],
                faults=[{"column": "Surname", "words": "Write the family name."}],
                state="faulty",
            )
            for n in range(count)
        )
        return row

    return filled


@pytest.mark.parametrize("name", ["in-and-out", "book", "book-faults"])
def test_a_page_of_books_asks_as_often_at_one_row_as_at_many(
    name: str, book: Callable[[int], CustomerBook], owner: Signed
) -> None:
    address = reverse(name, args=[] if name == "in-and-out" else [book(1).pk])
    one = asked(owner[0], address)
    book(60)
    assert asked(owner[0], address) == one


def filled(customer: Customer, count: int) -> None:
    words = ["erect", "stooping", "round_back", "flat_back", "flat_seat", "corpulent"]
    for n in range(count):
        taken = MeasurementSetFactory(customer=customer)
        MeasurementFactory(measurement_set=taken)
        FigureNoteFactory(customer=customer, word=words[n % len(words)], degree=1 + n % 3)


def test_a_record_is_carried_out_by_as_many_questions_however_much_it_holds(owner: Signed) -> None:
    customer = CustomerFactory()
    filled(customer, 1)
    address = reverse("customer-record", args=[customer.pk])
    one = asked(owner[0], address, press=True)
    filled(customer, 12)
    assert asked(owner[0], address, press=True) == one
