"""The shop's own database user cannot change the trail and the histories (PostgreSQL)."""

import pytest
from django.core.management import CommandError, call_command
from django.db import ProgrammingError, connection, transaction

from fittings.models import Customer
from tailorshop.models import Seen
from tailorshop.trail.protected import added_to_only, statements
from tailorshop.trail.seen import write_down
from tests.factories import CustomerFactory, UserFactory

SHOP = "shop_that_runs"
postgresql = pytest.mark.skipif(
    connection.vendor != "postgresql", reason="only PostgreSQL knows users"
)


def test_the_trail_and_every_history_are_added_to_only() -> None:
    tables = added_to_only()
    assert "tailorshop_seen" in tables
    assert "fittings_historicalcustomer" in tables
    assert "patterns_historicalpattern" in tables
    assert "fittings_customer" not in tables


@pytest.mark.parametrize("user", ["", "Shop", 'shop"; DROP TABLE x', "shop user", "1shop"])
def test_a_user_whose_name_would_have_to_be_quoted_is_refused(user: str) -> None:
    with pytest.raises(ValueError, match="plain name"):
        statements(user)
    with pytest.raises(CommandError, match="plain name"):
        call_command("protect_trail", user)


@pytest.mark.skipif(connection.vendor == "postgresql", reason="it is there")
def test_on_sqlite_nothing_is_pretended() -> None:
    with pytest.raises(CommandError, match="Only PostgreSQL"):
        call_command("protect_trail", SHOP, "--apply")


@postgresql
@pytest.mark.django_db
@pytest.mark.parametrize("table", ["tailorshop_seen", "fittings_historicalcustomer"])
@pytest.mark.parametrize("order", ["UPDATE {} SET id = id", "DELETE FROM {}", "TRUNCATE {}"])
def test_the_shops_user_adds_and_changes_nothing_afterwards(table: str, order: str) -> None:
    with connection.cursor() as cursor:
        cursor.execute(f"CREATE ROLE {SHOP}")
        call_command("protect_trail", SHOP, "--apply")
        cursor.execute(f"SET LOCAL ROLE {SHOP}")
        customer, user = CustomerFactory(), UserFactory()
        write_down(user, "customer", [customer.pk])
        customer.phone = "222"
        customer.save()
        assert Seen.objects.count() == 1
        assert Customer.history.count() == 2
        with pytest.raises(ProgrammingError, match="permission denied"), transaction.atomic():
            cursor.execute(order.format(table))
        cursor.execute("RESET ROLE")
