"""On a protected PostgreSQL the owner's page erases a person, and the shop's user nothing else."""

from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from django.core.management import call_command
from django.db import Error, ProgrammingError, connection, transaction
from django.urls import reverse

from fittings.erasing.erase import erase
from fittings.erasing.traces import columns_with
from fittings.models import Customer, Destroyed, Erasure, FigureNote
from tests.conftest import Signed
from tests.erasure.conftest import DAY, GONE, WORDS, known
from tests.factories import CustomerFactory, FigureNoteFactory
from tests.trail.test_protected import SHOP

__all__ = ["known"]

pytestmark = [
    pytest.mark.skipif(connection.vendor != "postgresql", reason="only PostgreSQL knows users"),
    pytest.mark.django_db,
]
FORGET = "SELECT shop_guard.forget(%s, %s, NULL)"


@pytest.fixture(autouse=True)
def _list_of_its_own(settings: Any, tmp_path: Path) -> None:
    settings.ERASURE_LIST = tmp_path / "erased.jsonl"


@pytest.fixture
def protected() -> Iterator[Any]:
    """Asked as the shop's own user; how to become it, and the owner again."""
    with connection.cursor() as cursor:
        cursor.execute(f"CREATE ROLE {SHOP}")
        call_command("protect_trail", SHOP, "--apply")
        yield cursor
        cursor.execute("RESET ROLE")


def become_shop(cursor: Any) -> None:
    cursor.execute(f"SET LOCAL ROLE {SHOP}")


def test_a_customer_erased_by_the_shops_own_user_is_nowhere_any_more(
    known: Customer,
    protected: Any,
    owner: Signed,
) -> None:
    other = FigureNoteFactory().customer
    become_shop(protected)
    at = reverse("customer-erase", args=[known.pk])
    answer = owner[0].post(at, {"number": known.number}, follow=True)
    assert f"{known.number} is erased" in answer.content.decode()
    protected.execute("RESET ROLE")
    assert columns_with(WORDS) == []
    gone = [m.__name__ for m in GONE if m is not FigureNote and m._default_manager.exists()]
    assert gone == []
    line = Erasure.objects.get()
    assert (line.customer_key, line.number, line.by) == (known.pk, known.number, owner[1])
    history: Any = Customer.history
    assert history.filter(id=other.pk).exists()
    assert not history.filter(id=known.pk).exists()
    history = FigureNote.history
    assert history.count() == 1


def test_photographs_and_measures_are_destroyed_by_the_shops_own_user(
    known: Customer,
    protected: Any,
    owner: Signed,
) -> None:
    become_shop(protected)
    for name in ("photographs-erase", "measures-erase"):
        answer = owner[0].post(reverse(name, args=[known.pk]))
        assert answer.status_code == 302, name
    assert {line.what for line in Destroyed.objects.all()} == {"photographs", "measures"}
    assert not FigureNote.objects.exists()
    history: Any = FigureNote.history
    assert not history.exists()


def test_whoever_forgets_a_trail_leaves_a_line_that_nobody_of_the_shop_takes_away(
    protected: Any,
) -> None:
    customer = CustomerFactory()
    become_shop(protected)
    protected.execute(FORGET, [customer.pk, "all"])
    for order in ("DELETE FROM fittings_erasure", "UPDATE fittings_erasure SET number = 'x'"):
        with pytest.raises(ProgrammingError, match="permission denied"), transaction.atomic():
            protected.execute(order)
    assert Erasure.objects.get().number == customer.number


@pytest.mark.parametrize("what", ["everything", "", None, "all'; DROP TABLE x; --"])
def test_what_is_not_known_is_not_forgotten(what: str | None, protected: Any) -> None:
    customer = CustomerFactory()
    become_shop(protected)
    with pytest.raises(Error), transaction.atomic():
        protected.execute(FORGET, [customer.pk, what])
    history: Any = Customer.history
    assert history.filter(id=customer.pk).exists()


def test_of_an_erased_customer_or_none_nothing_is_forgotten(protected: Any) -> None:
    customer = CustomerFactory()
    erase(customer, by=None, on=DAY)
    become_shop(protected)
    for key in (customer.pk, 987_654):
        with pytest.raises(Error, match="there is no customer"), transaction.atomic():
            protected.execute(FORGET, [key, "all"])


def test_tables_of_a_stranger_do_not_stand_in_for_the_shops(protected: Any) -> None:
    """A table of the same name in a schema of one's own is not what the function looks at."""
    customer = CustomerFactory()
    become_shop(protected)
    protected.execute(
        "CREATE TEMP TABLE fittings_customer (id bigint, number text, erased_on date)"
    )
    protected.execute(FORGET, [customer.pk, "all"])
    assert Erasure.objects.get().number == customer.number
    protected.execute("DROP TABLE pg_temp.fittings_customer")


def test_somebody_else_may_not_call_it(protected: Any) -> None:
    protected.execute("CREATE ROLE somebody_else")
    protected.execute("SET LOCAL ROLE somebody_else")
    with pytest.raises(ProgrammingError, match="permission denied"), transaction.atomic():
        protected.execute(FORGET, [1, "all"])
    protected.execute("RESET ROLE")


@pytest.mark.parametrize(
    "otherwise",
    [
        "DROP SCHEMA shop_guard CASCADE",
        "COMMENT ON FUNCTION shop_guard.forget IS 'for what belonged to a customer last year'",
        f"REVOKE USAGE ON SCHEMA shop_guard FROM {SHOP}",
    ],
)
def test_where_it_is_not_set_up_for_this_version_the_page_says_what_to_do(
    otherwise: str, protected: Any, owner: Signed
) -> None:
    customer = CustomerFactory()
    protected.execute(otherwise)
    become_shop(protected)
    at = reverse("customer-erase", args=[customer.pk])
    answer = owner[0].post(at, {"number": customer.number})
    assert answer.status_code == 422
    assert f"manage.py erase_customer {customer.number}" in answer.content.decode()
    assert Customer.objects.present().filter(pk=customer.pk).exists()
