"""A customer's record out and in elsewhere: equal in every field, or refused in a sentence."""

import copy
import datetime as dt
import io
import json
import re
import zipfile
from typing import Any

import jsonschema
import pytest
from django.contrib.auth import get_user_model
from django.core.files.storage import default_storage

from fittings.carrying.bringing_in import bring_in, look
from fittings.carrying.opening import Opened, schema
from fittings.carrying.packing import record_zip
from fittings.carrying.record import carried_models
from fittings.models import CarriedIn, Counter, Customer, Order, Ticket
from fittings.photographs.keeping import load
from fittings.refusals import Refused
from patterns.models import Pattern
from tests.carrying.shop import Told, empty_shop, told
from tests.factories import (
    CustomerFactory,
    OrderFactory,
    PatternVersionFactory,
    TicketFactory,
    UserFactory,
)

pytestmark = [pytest.mark.django_db, pytest.mark.usefixtures("plain_papers")]
AT = dt.datetime(2026, 5, 4, 9, 0, tzinfo=dt.UTC)

# Nothing of these is kept of the customer that is carried.
UNFILLED: set[str] = set()


def packed(customer: Customer) -> bytes:
    return b"".join(record_zip(customer, at=AT))


def opened(data: bytes) -> Opened:
    return Opened.of(io.BytesIO(data))


def document(data: bytes) -> Any:
    with zipfile.ZipFile(io.BytesIO(data)) as file:
        return json.loads(file.read("record.json"))


def changed(data: bytes, *, without: str = "", **members: bytes) -> bytes:
    """The same zip file with other content in some of its members."""
    out = io.BytesIO()
    with zipfile.ZipFile(io.BytesIO(data)) as old, zipfile.ZipFile(out, "w") as new:
        for name in old.namelist():
            if name != without:
                new.writestr(name, members.get(name, old.read(name)))
    return out.getvalue()


def brought(data: bytes) -> Any:
    return bring_in(opened(data), by=None, at=AT)


def without_other(now: Told, before: Told) -> Told:
    """What came on top of the rows that another shop had already."""
    return {name: rows[len(before[name]) :] for name, rows in now.items()}


def test_a_record_that_is_here_already_is_not_made_twice(known: Customer) -> None:
    data, before = packed(known), told()
    with pytest.raises(Refused, match=f"is here already: {known.number} Ottilia"):
        brought(data)
    assert told() == before


def test_a_round_trip_into_an_empty_shop_is_equal_field_by_field(known: Customer) -> None:
    data, before = packed(known), told()
    assert {m.__name__ for m in carried_models() if not before[m.__name__]} == UNFILLED
    empty_shop()
    brought(data)
    # Of rows deleted long ago there is nothing that their history could belong to.
    gone = [row for row in before["HistoricalFigureNote"] if row["id"] is None]
    before["HistoricalFigureNote"] = [r for r in before["HistoricalFigureNote"] if r not in gone]
    assert len(gone) == 2
    now = told()
    for name, rows in before.items():
        assert now[name] == rows, name


def test_a_round_trip_into_a_shop_in_use_gives_new_numbers_and_notes_the_old(
    known: Customer,
) -> None:
    data, before = packed(known), told()
    there = {"C": known.number, "O": known.orders.get().number, "P": Pattern.objects.get().number}
    empty_shop()
    other = OrderFactory(pattern_version=PatternVersionFactory(), customer__number=there["C"])
    TicketFactory(fitting__order=other, number="T-0001")
    Order.objects.filter(pk=other.pk).update(number=there["O"])
    Pattern.objects.update(number=there["P"])
    was = told()
    result = brought(data)
    now = without_other(told(), was)
    row = Customer.objects.exclude(pk=other.customer_id).get()
    assert result.old_numbers[there["C"]] == row.number != there["C"]
    assert set(result.old_numbers) == {there["C"], there["O"], there["P"], "T-0001"}
    assert CarriedIn.objects.get(customer=row).old_numbers == result.old_numbers
    assert {t.number for t in Ticket.objects.filter(order__customer=row)} == {
        result.old_numbers["T-0001"]
    }
    assert len(now["Entry"]) == len(before["Entry"])
    assert now["Measurement"][0]["value_mm"] == before["Measurement"][0]["value_mm"]


def test_the_counter_does_not_give_a_number_that_came_with_a_record(known: Customer) -> None:
    Customer.objects.filter(pk=known.pk).update(number="C-0412")
    data = packed(Customer.objects.get(pk=known.pk))
    empty_shop()
    brought(data)
    assert CustomerFactory().number == "C-0413"
    assert Counter.objects.get(kind="customer").last == 413


def test_photographs_and_papers_go_with_the_record(known: Customer) -> None:
    data = packed(known)
    files = document(data)["files"]
    kept = {one["name"]: load(one["sha256"]) for one in files if "-small" not in one["name"]}
    assert len(files) == 4
    with zipfile.ZipFile(io.BytesIO(data)) as file:
        papers = [name for name in file.namelist() if name.startswith("tickets/")]
        assert len(papers) == 2
        assert all(file.read(name).startswith(b"%PDF") for name in papers)
    empty_shop()
    for name in kept:
        default_storage.delete(name)
    assert brought(data).photographs == 2
    for name, content in kept.items():
        assert default_storage.open(name).read() == content


def test_looking_writes_nothing_and_says_what_would_be_made(known: Customer) -> None:
    data = packed(known)
    empty_shop()
    before = told()
    seen = look(opened(data), by=None, at=AT)
    assert told() == before
    assert not get_user_model().objects.exists()
    assert seen.rows["orders"] == 1
    assert (seen.photographs, seen.left_out) == (2, 2)
    assert seen.people


def test_whoever_is_named_comes_as_an_account_that_opens_nothing(known: Customer) -> None:
    data, names = packed(known), set(get_user_model().objects.values_list("username", flat=True))
    empty_shop()
    brought(data)
    made = list(get_user_model().objects.all())
    assert {one.username for one in made} <= names
    assert not any(one.is_active or one.has_usable_password() for one in made)


def test_the_same_person_here_is_not_made_again(known: Customer) -> None:
    data, named = packed(known), document(packed(known))["people"]
    empty_shop()
    for one in named:
        UserFactory(**{k: one[k] for k in ("username", "first_name", "last_name", "role")})
    assert brought(data).people == []


def test_a_record_holds_what_its_schema_says_and_every_field_of_every_row(known: Customer) -> None:
    said = document(packed(known))
    jsonschema.Draft202012Validator.check_schema(schema())
    jsonschema.validate(said, schema())
    for model in carried_models():
        for row in said["rows"][model._meta.label_lower]:
            kept = {field.name for field in model._meta.concrete_fields if not field.generated}
            assert set(row) == kept


def test_a_record_names_nothing_to_sign_in_with(known: Customer) -> None:
    for one in document(packed(known))["people"]:
        assert set(one) == {"id", "username", "first_name", "last_name", "role"}


@pytest.mark.parametrize("data", [b"", b"PK\x03\x04", b"not a zip at all" * 99])
def test_no_zip_file_is_refused_in_a_sentence(data: bytes) -> None:
    with pytest.raises(Refused, match="This is not a record"):
        opened(data)


def test_a_newer_form_is_refused_before_anything_is_written(known: Customer) -> None:
    data = packed(known)
    said = document(data) | {"version": 2}
    with pytest.raises(Refused, match="at most form 1 is known here"):
        opened(changed(data, **{"record.json": json.dumps(said).encode()}))


def test_a_field_nobody_knows_is_refused_and_nothing_is_written(known: Customer) -> None:
    data = packed(known)
    said = document(data)
    said["rows"]["fittings.order"][0]["lining_colour"] = "plum"
    data = changed(data, **{"record.json": json.dumps(said).encode()})
    empty_shop()
    with pytest.raises(Refused, match="lining_colour"):
        brought(data)
    assert not Customer.objects.exists()


@pytest.mark.parametrize("number", ["T/1", "", "T-0001\r\n", "../x"])
def test_a_number_that_is_none_of_ours_is_given_anew(known: Customer, number: str) -> None:
    """It stands in addresses: no list that shows the ticket would open any more."""
    data = packed(known)
    said = document(data)
    said["rows"]["fittings.ticket"][0]["number"] = number
    empty_shop()
    brought(changed(data, **{"record.json": json.dumps(said).encode()}))
    assert all(re.fullmatch(r"T-[0-9]{4}", one.number) for one in Ticket.objects.all())


@pytest.mark.parametrize(
    ("kind", "odd", "words"),
    [
        ("customer", {"erased_on": "2026-01-01"}, "was erased"),
        ("ticket", {"content": []}, "cannot be read"),
        ("ticket", {"content": {"photographs": [{"sha256": "../x"}]}}, "cannot be read"),
        ("ticket", {"content": {"photographs": "all"}}, "cannot be read"),
    ],
)
def test_what_could_never_be_erased_again_is_not_brought_in(
    known: Customer, kind: str, odd: dict[str, Any], words: str
) -> None:
    data = packed(known)
    said = document(data)
    said["rows"][f"fittings.{kind}"][0].update(odd)
    empty_shop()
    with pytest.raises(Refused, match=words):
        brought(changed(data, **{"record.json": json.dumps(said).encode()}))


def test_a_damaged_or_missing_photograph_is_refused(known: Customer) -> None:
    data = packed(known)
    name = document(data)["files"][0]["name"]
    empty_shop()
    with pytest.raises(Refused, match="is damaged: Its content is another one"):
        brought(changed(data, **{name: b"\xff\xd8 another picture"}))
    with pytest.raises(Refused, match="is damaged"):
        brought(changed(data, without=name))
    assert not Customer.objects.exists()


def test_a_row_that_points_to_nothing_is_refused(known: Customer) -> None:
    data = packed(known)
    said = copy.deepcopy(document(data))
    said["rows"]["fittings.fitting"][0]["order"] = 987_654
    empty_shop()
    with pytest.raises(Refused, match="does not fit together"):
        brought(changed(data, **{"record.json": json.dumps(said).encode()}))
    assert not Customer.objects.exists()
