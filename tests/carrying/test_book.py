"""A customer book from a spreadsheet: read as it was meant, looked at first, kept once."""

import csv
import io
from typing import Any

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.urls import reverse
from hypothesis import given, settings
from hypothesis import strategies as st

from fittings.models import BookRow, Customer, CustomerBook, FindableKind
from fittings.refusals import Refused
from fittings.search.narrowing import holding
from fittings.spreadsheets import read
from patterns.spreadsheets import written
from tests.conftest import Signed

BOOK = (
    "No.;Surname;First name;E-mail;Shoe\n"
    "11;Thörn;Ada;ada@example.test;43\n"
    "12;;Bea;bea@example.test;41\n"
    "13;Ash;Cecil;not an address;40\n"
    '14;"Dale; Sons";Dan;;44\n'
)


def hand_in(client: Any, text: str | bytes = BOOK) -> CustomerBook:
    data = text if isinstance(text, bytes) else text.encode()
    answer = client.post(reverse("book-new"), {"book": SimpleUploadedFile("old.csv", data)})
    assert answer.status_code == 302, answer.content.decode()
    return CustomerBook.objects.order_by("-pk")[0]


def looked_at(client: Any, book: CustomerBook) -> str:
    posted = {f"column-{n}": column for n, column in enumerate(book.columns)}
    client.post(book.get_absolute_url(), posted)
    return str(client.post(reverse("book-next", args=[book.pk]), follow=True).content.decode())


def kept(client: Any, book: CustomerBook) -> str:
    address = reverse("book-next", args=[book.pk])
    return str(client.post(address, {"keep": "1"}, follow=True).content.decode())


@pytest.mark.parametrize(
    ("encoding", "said"),
    [("utf-8", "utf-8"), ("utf-8-sig", "utf-8"), ("utf-16", "utf-16"), ("latin-1", "latin-1")],
)
@pytest.mark.parametrize("delimiter", [";", ",", "\t"])
def test_a_table_is_read_whatever_wrote_it(encoding: str, said: str, delimiter: str) -> None:
    table = read(f"Name{delimiter}Town\r\nThörn{delimiter}Köln\r\n".encode(encoding))
    assert (table.encoding, table.delimiter) == (said, delimiter)
    assert table.rows == [(2, ["Thörn", "Köln"])]


@pytest.mark.parametrize("data", [b"", b"only headings", b"a;b\n" + b"\0" * 9, b"\xff\xfea"])
def test_what_is_no_table_is_refused(data: bytes) -> None:
    with pytest.raises(Refused):
        read(data)


def test_nothing_is_kept_by_looking_and_each_fault_says_row_column_and_what_to_do(
    owner: Signed,
) -> None:
    page = looked_at(owner[0], hand_in(owner[0]))
    assert not Customer.objects.exists()
    assert "Keep the 2 good rows" in page
    faults = {row.number: row.faults[0] for row in BookRow.objects.faulty()}
    assert faults[3] == {"column": "Surname", "words": "Write the family name."}
    assert faults[4]["column"] == "E-mail"


def test_columns_are_guessed_from_the_headings(owner: Signed) -> None:
    columns = hand_in(owner[0]).columns
    assert columns == ["outside_number", "family_name", "given_name", "email", ""]


def test_columns_without_a_family_name_are_refused_and_kept_as_chosen(owner: Signed) -> None:
    book = hand_in(owner[0])
    answer = owner[0].post(book.get_absolute_url(), {"column-1": "notes"})
    assert answer.status_code == 422
    page = answer.content.decode()
    assert "Say which column holds the family name" in page
    assert '<option value="notes" selected>' in page


def test_good_rows_are_kept_once_however_often_the_book_is_handed_in(owner: Signed) -> None:
    for _ in range(2):
        book = hand_in(owner[0])
        looked_at(owner[0], book)
        kept(owner[0], book)
        kept(owner[0], book)
    names = {(one.family_name, one.given_name) for one in Customer.objects.all()}
    assert names == {("Thörn", "Ada"), ("Dale; Sons", "Dan")}
    assert Customer.objects.count() == 2
    assert {c.history.count() for c in Customer.objects.all()} == {1}
    assert {c.history.get().history_user for c in Customer.objects.all()} == {owner[1]}
    assert holding(Customer.objects.all(), "thorn", FindableKind.CUSTOMER)[0].count() == 1
    assert not BookRow.objects.filter(state="kept").exclude(cells=[]).exists()


def test_without_an_outside_number_the_row_itself_is_known_again(owner: Signed) -> None:
    text = "Surname,First name\nThorn,Ada\nThorn,Ada\nThorn,Bea\n"
    book = hand_in(owner[0], text)
    looked_at(owner[0], book)
    kept(owner[0], book)
    assert Customer.objects.count() == 2


def test_rows_to_mend_come_as_csv_with_the_reason_and_go_in_again(owner: Signed) -> None:
    book = hand_in(owner[0])
    looked_at(owner[0], book)
    kept(owner[0], book)
    data = owner[0].get(reverse("book-faults", args=[book.pk])).content.decode("utf-8-sig")
    rows = list(csv.reader(io.StringIO(data)))
    assert rows[0][-1] == "to mend"
    assert rows[1][-1] == "row 3: Surname: Write the family name."
    rows[1][1], rows[2][3] = "Birch", "cecil@example.test"
    again = hand_in(owner[0], written(rows))
    looked_at(owner[0], again)
    kept(owner[0], again)
    assert Customer.objects.count() == 4


def test_a_cell_that_a_spreadsheet_would_run_is_made_harmless() -> None:
    rows = list(
        csv.reader(io.StringIO(written([["=1+1", "@x", "+3", "-2+1", "\tx", " =1", "ok"]])))
    )
    assert rows == [["'=1+1", "'@x", "'+3", "'-2+1", "'\tx", "' =1", "ok"]]


def test_a_book_that_was_left_is_found_again_until_it_is_kept(owner: Signed) -> None:
    book = hand_in(owner[0])
    page = owner[0].get(reverse("in-and-out")).content.decode()
    assert book.get_absolute_url() in page
    assert "its columns are being named" in page
    looked_at(owner[0], book)
    kept(owner[0], book)
    assert book.get_absolute_url() not in owner[0].get(reverse("in-and-out")).content.decode()


def test_more_rows_than_one_lot_are_all_looked_at_and_kept(owner: Signed) -> None:
    text = "Surname\n" + "".join(f"Name{n}\n" for n in range(1, 1102))
    book = hand_in(owner[0], text)
    looked_at(owner[0], book)
    assert BookRow.objects.waiting().count() == 101
    address = reverse("book-next", args=[book.pk])
    owner[0].post(address)
    owner[0].post(address, {"keep": "1"})
    assert Customer.objects.count() == 250
    for _ in range(5):
        owner[0].post(address)
    book.refresh_from_db()
    assert (Customer.objects.count(), book.step) == (1101, "kept")


# What a book may hold: signs that part cells, that end lines, and that spreadsheets would run.
cells = st.text(alphabet=st.sampled_from('ab ö;,\t|"\n\r=+-@1'), max_size=12)
as_found = settings(max_examples=60, derandomize=True, deadline=None, database=None)


@st.composite
def tables(draw: Any) -> list[list[str]]:
    width = draw(st.integers(1, 4))
    headings = draw(st.lists(st.text("ab ö1", max_size=8), min_size=width, max_size=width))
    row = st.lists(cells, min_size=width, max_size=width).filter(lambda row: "".join(row).strip())
    return [["No.", *headings], *draw(st.lists(row.map(lambda row: ["", *row]), min_size=1))]


@as_found
@given(
    st.one_of(
        st.binary(max_size=200),
        st.lists(cells, max_size=30).map(lambda said: "".join(said).encode()),
    )
)
def test_whatever_is_handed_in_is_a_table_or_is_refused_in_words(data: bytes) -> None:
    try:
        table = read(data)
    except Refused:
        return
    assert any(table.headings)
    assert all(any(map(str.strip, row)) for _, row in table.rows)


@as_found
@given(tables())
def test_what_is_handed_out_to_be_mended_comes_back_as_it_was(rows: list[list[str]]) -> None:
    """The apostrophe that keeps a spreadsheet from running a cell is no part of what it says."""
    headings, *found = rows
    out = [[*headings, "to mend"], *([*row, "row 2: mend it"] for row in found)]
    back = read(written(out).encode("utf-8-sig"))
    assert back.headings == [heading.strip() for heading in headings]
    assert [row for _, row in back.rows] == found


def test_a_telephone_number_that_is_handed_out_comes_back_without_its_apostrophe() -> None:
    text = written([["Surname; or name; or both", "Tel"], ["Ash; Dale; Sons", "+49 30 12"]])
    assert "'+49" in text
    assert read(text.encode()).rows == [(2, ["Ash; Dale; Sons", "+49 30 12"])]


@pytest.mark.parametrize("data", [b"\r;", b"a;b\n;;\n\n", b"\n\n;\nx;y"])
def test_a_table_without_headings_or_without_rows_is_refused(data: bytes) -> None:
    with pytest.raises(Refused, match="a line of headings"):
        read(data)
