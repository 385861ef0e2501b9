"""No table that leaves the shop holds a cell that a spreadsheet would run as a formula."""

import csv
import io
from pathlib import Path
from typing import Any

import pytest
from django.conf import settings
from django.test import Client
from django.urls import reverse

from fittings.glance.sheets import SHEETS
from fittings.models import BookRow, Customer, CustomerBook, Maker
from patterns.models import Pattern
from patterns.spreadsheets import written
from tailorshop.models import User
from tests.test_roles import addresses  # noqa: F401

# OWASP, "CSV Injection" (from memory): what begins a formula, or is skipped before one.
SIGNS = ("=", "+", "-", "@", "\t", "\r")


def test_one_module_writes_tables() -> None:
    root = Path(settings.BASE_DIR)
    writers = {
        str(path.relative_to(root))
        for app in ("tailorshop", "fittings", "patterns")
        for path in (root / app).rglob("*.py")
        if any(word in path.read_text() for word in ("csv.writer", "csv.DictWriter", "text/csv"))
    }
    # The form of a customer book names the type of file that it takes.
    assert writers == {"patterns/spreadsheets.py", "fittings/forms/carrying.py"}


@pytest.mark.parametrize("sign", ["=", "+", "-", "@"])
@pytest.mark.parametrize("parts", [";", "\t", "\n", ";  "])
def test_no_part_of_a_cell_is_a_formula_where_another_sign_parts_cells(
    parts: str, sign: str
) -> None:
    text = written([["one", f"High Street{parts}{sign}1+1"]])
    table = csv.reader(io.StringIO(text), delimiter=";", quoting=csv.QUOTE_NONE)
    cells = [cell.strip() for row in table for one in row for cell in one.split("\t")]
    assert [cell for cell in cells if cell.startswith(SIGNS)] == []
    assert "High Street; 1+1" in written([["High Street; 1+1"]])


def plant(sign: str) -> str:
    """Words that begin with this sign wherever a table takes words from."""
    words = f"{sign}HYPERLINK(1)"
    Customer.objects.update(given_name=words, family_name=words)
    Maker.objects.update(name=words)
    User.objects.update(first_name=words, last_name=words)
    Pattern.objects.update(name=words, block=words)
    CustomerBook.objects.update(headings=[words], columns=["family_name"])
    BookRow.objects.filter(number=2).delete()
    BookRow.objects.create(
        book=CustomerBook.objects.get(),
        number=2,
        cells=[words],
        faults=[{"column": words, "words": words}],
        state="faulty",
    )
    return words


def cells_of(client: Client, at: str) -> list[str] | None:
    """What stands in the table that a page answers with; None where it answers otherwise."""
    answer: Any = client.get(at)
    if not answer["Content-Type"].startswith("text/csv"):
        return None
    text = b"".join(answer).decode("utf-8-sig")
    return [cell for row in csv.reader(io.StringIO(text, newline="")) for cell in row]


@pytest.mark.django_db
def test_no_table_of_any_page_holds_a_formula(
    addresses: dict[str, str],  # noqa: F811
    owner: tuple[Client, Any],
) -> None:
    ends = {"sign-out", "account_logout"}
    drawn = ("-pdf", "-paper", "-plot", "-month", "-drawing")
    asked = [(n, at) for n, at in addresses.items() if n not in ends and not n.endswith(drawn)]
    asked += [(name, f"{at}?as=csv") for name, at in asked]
    tables = [(name, at) for name, at in asked if cells_of(owner[0], at) is not None]
    assert {name for name, _ in tables} == {"glance-csv", "book-faults", "pattern-numbers"}
    tables += [("glance-csv", reverse("glance-csv", args=[name])) for name in SHEETS]
    for sign in SIGNS:
        words = plant(sign)
        cells = [cell for _, at in tables for cell in cells_of(owner[0], at) or ()]
        assert f"'{words}" in cells
        run = [cell for cell in cells if cell[:1] in SIGNS]
        assert [cell for cell in run if not cell[1:].replace(".", "").isdigit()] == []
