"""The box over the whole record, on both databases."""

from typing import Any

import pytest
from django.db import connection
from django.test import Client
from django.urls import reverse
from django.utils import timezone

from fittings.erasing.erase import erase
from fittings.models import Findable, FindableKind
from fittings.search import narrowing
from fittings.search.keeping import reindex
from fittings.search.looking import asked, best_first
from tests.asked import queries
from tests.factories import CustomerFactory, OrderFactory, PatternFactory, TicketFactory

pytestmark = pytest.mark.django_db


def names(typed: str, *, wrong_letter: bool = False) -> list[int]:
    return sorted(asked(FindableKind.CUSTOMER, typed, wrong_letter=wrong_letter).keys(100))


def kinds(typed: str) -> set[str]:
    return {kind for kind in FindableKind if asked(kind, typed).keys(1)}


def test_nothing_is_found_for_nothing_typed() -> None:
    CustomerFactory()
    for typed in ("", "  , "):
        assert names(typed) == []
        assert asked(FindableKind.CUSTOMER, typed).best(8) == []
        assert not asked(FindableKind.CUSTOMER, typed).rows().exists()


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
    assert kinds("thornwillow") == {"customer", "order", "ticket"}
    before = customer.history.order_by("history_date").first().family_name
    assert kinds(before) == set()


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
    assert kinds("zyxquor") == {"customer", "order", "pattern"}
    erase(customer, by=None, on=timezone.localdate())
    assert kinds("zyxquor") <= {"pattern"}  # no order ties it to anybody
    assert not Findable.objects.filter(kind="order").exists()
    assert kinds("wexqib") == set()
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

    def asked() -> int:
        return queries(lambda: fitter[0].get(reverse("search"), {"q": "sparrow"}))

    TicketFactory(order=OrderFactory(customer=CustomerFactory(family_name="Sparrow")))
    one = asked()
    for _ in range(9):
        TicketFactory(order=OrderFactory(customer=CustomerFactory(family_name="Sparrow")))
    assert asked() == one
    answer = fitter[0].get(reverse("search"), {"q": "sparrow"})
    assert [(g.count, g.more) for g in answer.context["groups"]] == [(10, 2)] * 3
    assert "All 10 customers" in answer.content.decode()


NAMES = ("Oat", "Oatfield", "Stoat", "Oatmoor", "Groats", "Oat", "Moatoat", "Ostler", "Aot")
ANYTHING_TYPED = ("oat", "oa", "oat gill", "gill oat", "oatfeild", "oatmor gill", "gil", "c000")


@pytest.mark.parametrize("wrong_letter", [False, True])
def test_the_quick_ways_find_what_reading_every_row_finds_and_in_that_order(
    monkeypatch: pytest.MonkeyPatch, wrong_letter: bool
) -> None:
    """By the letters, rung after rung, among the first rows and among all of them."""
    for place, name in enumerate(NAMES):
        CustomerFactory(family_name=name, given_name=("Gill", "Ada")[place % 2])
    OrderFactory(customer__family_name="Oatley")
    for typed in ANYTHING_TYPED:
        looked_for = asked(FindableKind.CUSTOMER, typed, wrong_letter=wrong_letter)
        rows = best_first(looked_for.rows(), looked_for.words)
        plain = list(rows.values_list("object_id", flat=True))
        assert plain or wrong_letter or typed in {"oatfeild", "oatmor gill"}, typed
        assert sorted(looked_for.keys(100)) == sorted(plain), typed
        assert looked_for.best(100, plain) == plain, typed
        for peek in (1, 50):
            monkeypatch.setattr("fittings.search.looking.PEEK", peek)
            for most in (1, 3, 100):
                assert looked_for.best(most) == plain[:most], (typed, peek, most)


def test_a_list_holds_the_same_customers_whether_they_are_gathered_or_each_is_asked(
    fitter: tuple[Client, Any], monkeypatch: pytest.MonkeyPatch
) -> None:
    for name in NAMES:
        CustomerFactory(family_name=name, given_name="Gill")
    lists = []
    for most in (100, 0):
        monkeypatch.setitem(narrowing.GATHERED, FindableKind.CUSTOMER, most)
        for typed in ("oat", "gill oat", "oatfeild"):
            page = fitter[0].get(reverse("customer-list"), {"q": typed}).context["page"]
            lists.append([row.family_name for row in page])
    gathered, each_asked = lists[:3], lists[3:]
    found = sorted(name for name in NAMES if "oat" in name.lower())
    assert gathered == each_asked == [found, found, ["Oatfield"]]


def test_of_very_many_the_search_says_no_number_and_their_pages_go_on(
    fitter: tuple[Client, Any], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("fittings.search.groups.COUNTED", 50)
    for place in range(52):
        CustomerFactory(family_name=f"Sparrow{place:02}")
    page = fitter[0].get(reverse("search"), {"q": "sparrow"}).content.decode()
    assert "Customers: more than 50" in page
    for number, names_shown in ((1, range(50)), (2, range(50, 52))):
        asked_for = {"q": "sparrow", "kind": "customer", "page": number}
        answer = fitter[0].get(reverse("search"), asked_for)
        shown = [row.family_name for row in answer.context["page"]]
        assert shown == [f"Sparrow{place:02}" for place in names_shown]
        assert "Page 1 of 2 or more" in answer.content.decode() or number == 2
