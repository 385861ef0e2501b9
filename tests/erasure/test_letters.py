"""The index of the search keeps letters, not words: these too leave it with an erased customer."""

import pytest
from django.db import connection

from fittings.erasing.erase import erase
from fittings.models import Customer, FindableKind
from fittings.search.narrowing import holding
from tests.erasure.conftest import DAY
from tests.factories import CustomerFactory, OrderFactory

# Three letters in a row that no other name of the shop has.
NAME, LETTERS = "Qxvzkj", {"qxv", "xvz", "vzk", "zkj"}


def kept_letters() -> set[str]:
    """Every three letters in the index itself, as its own engine lists them."""
    with connection.cursor() as cursor:
        cursor.execute(
            "CREATE VIRTUAL TABLE IF NOT EXISTS temp.letters_kept "
            "USING fts5vocab('main', 'fittings_letters', 'row')"
        )
        cursor.execute("SELECT term FROM temp.letters_kept")
        return {row[0] for row in cursor.fetchall()}


@pytest.mark.django_db
@pytest.mark.skipif(connection.vendor != "sqlite", reason="an index of SQLite")
def test_no_three_letters_of_an_erased_name_are_left_in_the_index() -> None:
    customer = CustomerFactory(family_name=NAME)
    OrderFactory(customer=customer)
    assert kept_letters() >= LETTERS
    erase(customer, by=None, on=DAY)
    assert kept_letters() & LETTERS == set()


@pytest.mark.django_db
def test_the_search_finds_an_erased_customer_no_more() -> None:
    customer = CustomerFactory(family_name=NAME)
    assert holding(Customer.objects.all(), NAME, FindableKind.CUSTOMER)[0].get() == customer
    erase(customer, by=None, on=DAY)
    assert not holding(Customer.objects.all(), NAME, FindableKind.CUSTOMER)[0].exists()
