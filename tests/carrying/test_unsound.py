"""A record that says what no clock, database or page could make of it: refused before it counts."""

import json

import pytest

from fittings.models import Customer
from fittings.refusals import Refused
from tests.carrying.shop import empty_shop
from tests.carrying.test_record import brought, changed, document, opened, packed

pytestmark = [pytest.mark.django_db, pytest.mark.usefixtures("plain_papers")]


def test_a_zero_sign_which_postgresql_keeps_in_no_text_is_refused(known: Customer) -> None:
    data = packed(known)
    said = document(data)
    said["rows"]["fittings.order"][0]["cloth"] = "a\\u0000b"  # as somebody typed it: no such sign
    opened(changed(data, **{"record.json": json.dumps(said).encode()}))
    said["rows"]["fittings.order"][0]["cloth"] = "a\0b"
    with pytest.raises(Refused, match="This is not a record"):
        opened(changed(data, **{"record.json": json.dumps(said).encode()}))


@pytest.mark.parametrize("moment", ["0001-01-01T00:00:00Z", "9999-12-31T23:59:59Z"])
def test_a_moment_that_is_none_by_the_clock_of_another_place_is_refused(
    known: Customer, moment: str
) -> None:
    """These are the ends of Python's calendar: west or east of Greenwich there is no such day."""
    data = packed(known)
    said = document(data)
    said["rows"]["fittings.customer"][0]["changed_at"] = moment
    data = changed(data, **{"record.json": json.dumps(said).encode()})
    empty_shop()
    with pytest.raises(Refused, match=f"the year {int(moment[:4])}"):
        brought(data)
    assert not Customer.objects.exists()


def test_a_word_of_which_the_shop_knows_only_some_is_refused_where_it_is_another(
    known: Customer,
) -> None:
    data = packed(known)
    empty_shop()
    for kind, field in (
        ("fittings.armcarriage", "side"),
        ("fittings.photograph", "side"),
        ("fittings.photograph", "sha256"),
        ("fittings.order", "stage"),
    ):
        said = document(data)
        said["rows"][kind][0][field] = "zz"
        with pytest.raises(Refused, match=r"cannot be (kept|read)"):
            brought(changed(data, **{"record.json": json.dumps(said).encode()}))


def test_what_no_page_could_read_is_refused_and_nothing_is_written(known: Customer) -> None:
    data = packed(known)
    empty_shop()
    for kind, field in (
        ("fittings.entry", "data"),
        ("fittings.decision", "proposal"),
        ("fittings.ticket", "content"),
        ("fittings.ticketline", "content"),
        ("fittings.photographmark", "points"),
        ("patterns.patternversion", "sides"),
    ):
        said = document(data)
        said["rows"][kind][0][field] = [1]
        with pytest.raises(Refused, match="cannot be read"):
            brought(changed(data, **{"record.json": json.dumps(said).encode()}))
    assert not Customer.objects.exists()
