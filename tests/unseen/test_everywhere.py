"""Left out wherever words come in: typed, from a table, from a record, from a whole shop; and on
paper, whatever stands in the record."""

import json
from pathlib import Path
from typing import Any

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.urls import reverse

from fittings.models import Customer, CustomerBook
from fittings.paper.press import laid_out, written
from fittings.spreadsheets import read
from tailorshop.models import User
from tailorshop.moving.coming_in import _rows_of
from tests.carrying.test_record import brought, changed, document, packed
from tests.conftest import Signed
from tests.factories import CustomerFactory
from tests.signing_in.people import said_who_they_are
from tests.test_staff import NEW

# Right-to-left override (UAX #9): what follows it is read from its end.
TURNED = "Cut \u202e21 mm\u202c"
PLAIN = "Cut 21 mm"


def test_where_it_is_typed(owner: Signed) -> None:
    said = {"given_name": "A\u200bda\u200f", "family_name": TURNED, "notes": f"{TURNED}\r\ntwo"}
    owner[0].post(reverse("customer-new"), said)
    row = Customer.objects.get()
    assert (row.given_name, row.family_name) == ("Ada", PLAIN)
    assert row.notes.splitlines() == [PLAIN, "two"]


def test_a_name_of_nothing_else_is_no_name(owner: Signed) -> None:
    said = {"given_name": "Ada", "family_name": "\u3164\u200b"}
    answer = owner[0].post(reverse("customer-new"), said)
    assert answer.status_code == 422
    assert not Customer.objects.exists()


def test_a_password_stays_as_it_was_typed(owner: Signed) -> None:
    said_who_they_are(owner)
    said = {"first_name": "Na\u202edia", "password": "needle\u200b-and-thimble"}
    owner[0].post(reverse("staff-new"), NEW | said)
    row = User.objects.get(username="nadia")
    assert row.first_name == "Nadia"
    assert row.check_password("needle\u200b-and-thimble")


def test_in_a_customer_book_and_its_name(owner: Signed) -> None:
    data = f"\ufeffSurname;First\u200f name;Notes\n{TURNED};Ada;{TURNED}\n"
    table = read(data.encode())
    assert (table.headings[:2], table.rows[0][1][0]) == (["Surname", "First name"], PLAIN)
    book = SimpleUploadedFile("old\u202evsc.csv", data.encode())
    owner[0].post(reverse("book-new"), {"book": book})
    assert CustomerBook.objects.get().name == "oldvsc.csv"


@pytest.mark.django_db
def test_in_a_record_from_elsewhere(settings: Any) -> None:
    data = packed(CustomerFactory())
    said = document(data)
    said["customer"] = said["rows"]["fittings.customer"][0]["number"] = "C-9000"
    said["rows"]["fittings.customer"][0] |= {"family_name": TURNED, "notes": f"{TURNED}\ntwo"}
    row = brought(changed(data, **{"record.json": json.dumps(said).encode()})).customer
    assert (row.family_name, row.notes) == (PLAIN, f"{PLAIN}\ntwo")


def test_in_a_whole_shop(tmp_path: Path) -> None:
    class File:
        def open(self, name: str) -> Any:
            rows = tmp_path / "rows"
            rows.write_text(json.dumps({"id": 1, "family_name": TURNED}) + "\n")
            return rows.open("rb")

    rows: Any = _rows_of(Customer, File())  # type: ignore[arg-type]
    assert [row.family_name for row in rows] == [PLAIN]


def test_on_paper_no_sign_turns_what_an_older_record_holds() -> None:
    papers = {
        written(laid_out(f"<html lang=en><title>x</title><p>{t}</p>")) for t in (TURNED, PLAIN)
    }
    assert len(papers) == 1
