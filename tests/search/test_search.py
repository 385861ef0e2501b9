"""The box over the whole record, on both databases."""

from typing import Any

import pytest
from django.db import connection
from django.test import Client
from django.urls import reverse
from django.utils import timezone

from fittings.erasing.erase import erase
from fittings.models import Findable, FindableKind
from fittings.search.keeping import reindex
from fittings.search.looking import found
from tests.factories import CustomerFactory, OrderFactory, PatternFactory, TicketFactory

pytestmark = pytest.mark.django_db


def names(typed: str, *, wrong_letter: bool = False) -> list[int]:
    rows = found(typed, wrong_letter=wrong_letter).filter(kind=FindableKind.CUSTOMER)
    return sorted(rows.values_list("object_id", flat=True))


def test_nothing_is_found_for_nothing_typed() -> None:
    CustomerFactory()
    assert not found("").exists()
    assert not found("  , ").exists()


def test_words_are_found_anywhere_in_a_word_two_letters_only_where_it_begins() -> None:
    row = CustomerFactory(family_name="Quillmarsh", given_name="Ödön")
    assert names("illma odon") == [row.pk]
    assert names("qu") == [row.pk]
    assert names("ma") == []


@pytest.mark.parametrize(
    "typed",
    [
        "quillmersh",
        "qillmarsh",
        "quilllmarsh",
        "quilmlarsh",
        "xuillmarsh",
        "quillmars",
        "Quilmarsh",
    ],
)
def test_one_wrong_letter_is_forgiven_wherever_it_stands(typed: str) -> None:
    row = CustomerFactory(family_name="Quillmarsh")
    CustomerFactory(family_name="Fenwharf")
    assert names(typed, wrong_letter=True) == [row.pk]


@pytest.mark.parametrize("typed", ["quollmersh", "uillmars", "fenw"])
def test_two_wrong_letters_are_another_name(typed: str) -> None:
    CustomerFactory(family_name="Quillmarsh")
    assert names(typed, wrong_letter=True) == []


def test_a_short_name_with_a_wrong_letter_is_found_in_the_middle_too() -> None:
    row = CustomerFactory(family_name="Rook")
    assert names("raok", wrong_letter=True) == [row.pk]


def test_a_phone_number_is_found_without_its_spaces_and_with_a_country_before_it() -> None:
    row = CustomerFactory(phone="000 555 0199")
    assert names("0005550199") == names("+99 00 555-0199") == [row.pk]


def test_a_customer_renamed_is_found_by_the_new_name_in_orders_and_tickets_and_not_the_old() -> (
    None
):
    ticket = TicketFactory()
    customer = ticket.order.customer
    customer.family_name = "Thornwillow"
    customer.save_over(customer.version)
    kinds = set(found("thornwillow").values_list("kind", flat=True))
    assert kinds == {"customer", "order", "ticket"}
    before = customer.history.order_by("history_date").first().family_name
    assert not found(before).exists()


def test_reindex_finds_again_what_was_written_past_save() -> None:
    row = CustomerFactory(family_name="Early")
    type(row).objects.filter(pk=row.pk).update(family_name="Latecomer")
    assert names("latecomer") == []
    assert dict(reindex())[FindableKind.CUSTOMER] == 1
    assert names("latecomer") == [row.pk]


def test_an_erased_customer_is_not_found_and_leaves_no_letters_in_the_index() -> None:
    customer = CustomerFactory(family_name="Zyxquor", given_name="Wexqib", phone="")
    OrderFactory(customer=customer)
    PatternFactory(name="Zyxquor, coat")
    assert found("zyxquor").count() == 3
    erase(customer, by=None, on=timezone.localdate())
    rows = found("zyxquor")
    assert set(rows.values_list("kind", flat=True)) <= {"pattern"}  # no order ties it to anybody
    assert not Findable.objects.filter(kind="order").exists()
    assert not found("wexqib").exists()
    if connection.vendor == "sqlite":
        with connection.cursor() as cursor:
            cursor.execute(
                "CREATE VIRTUAL TABLE temp.said USING fts5vocab(main, fittings_letters, 'row')"
            )
            cursor.execute("SELECT count(*) FROM temp.said WHERE term IN ('wex', 'exq', 'xqi')")
            assert cursor.fetchone() == (0,)
            cursor.execute("DROP TABLE temp.said")


def test_a_number_opens_its_page_at_once(fitter: tuple[Client, Any]) -> None:
    order = OrderFactory()
    answer = fitter[0].get(reverse("search"), {"q": order.number.lower().replace("-", " ")})
    assert answer["Location"] == order.get_absolute_url()


def test_the_workroom_finds_tickets_and_patterns_and_no_customer_or_order(
    workroom: tuple[Client, Any],
) -> None:
    ticket = TicketFactory()
    customer = ticket.order.customer
    customer.family_name, customer.phone = "Thornwillow", "000 555 0177"
    customer.save()
    answer = workroom[0].get(reverse("search"), {"q": "thornwillow"})
    assert [group.kind for group in answer.context["groups"]] == ["ticket"]
    for hidden in (customer.number, ticket.order.number, "0005550177"):
        answer = workroom[0].get(reverse("search"), {"q": hidden})
        assert answer.status_code == 200
        assert {group.kind for group in answer.context["groups"]} <= {"ticket"}
        assert "0177" not in answer.content.decode().replace("0005550177", "")


def test_as_many_queries_for_many_as_for_one(
    fitter: tuple[Client, Any], django_assert_num_queries: Any
) -> None:
    from django.test.utils import CaptureQueriesContext

    def asked() -> int:
        with CaptureQueriesContext(connection) as queries:
            fitter[0].get(reverse("search"), {"q": "sparrow"})
        return len(queries)

    TicketFactory(order=OrderFactory(customer=CustomerFactory(family_name="Sparrow")))
    one = asked()
    for _ in range(9):
        TicketFactory(order=OrderFactory(customer=CustomerFactory(family_name="Sparrow")))
    assert asked() == one
    answer = fitter[0].get(reverse("search"), {"q": "sparrow"})
    assert [(g.count, g.more) for g in answer.context["groups"]] == [(10, 2)] * 3
    assert "All 10 customers" in answer.content.decode()
