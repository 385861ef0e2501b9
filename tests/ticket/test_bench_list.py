"""The bench list: what is in work, by promised day, and how its links narrow it."""

import datetime as dt

import pytest
from django.test import Client
from django.urls import reverse
from django.utils import timezone

from fittings.bench import ticks
from fittings.bench.worklist import Due
from fittings.models import Customer, Maker, OperationTime, Order, Ticket
from fittings.ticketing.issuing import reissue
from tailorshop.models import Role
from tests.asked import queries
from tests.conftest import Signed
from tests.factories import UserFactory
from tests.ticket.worked import LEFT_FORWARD, RIGHT_BACK, issued

pytestmark = pytest.mark.django_db

BENCH = "/bench/"


def promised(ticket: Ticket, days: int | None) -> Ticket:
    day = None if days is None else timezone.localdate() + dt.timedelta(days=days)
    Order.objects.filter(pk=ticket.order_id).update(promised_on=day)
    return ticket


def shown(client: Client, **wanted: str) -> list[str]:
    answer = client.get(BENCH, wanted)
    assert answer.status_code == 200
    return [row.ticket.number for row in answer.context["rows"]]


@pytest.mark.parametrize(
    ("days", "words", "late"),
    [
        (None, "no day promised", False),
        (0, "due today", False),
        (1, "due tomorrow", False),
        (9, "due in 9 days", False),
        (-1, "late by a day", True),
        (-3, "late by 3 days", True),
    ],
)
def test_a_promised_day_is_said_in_words(days: int | None, words: str, late: bool) -> None:
    today = dt.date(2026, 3, 6)
    day = None if days is None else today + dt.timedelta(days=days)
    due = Due.on(day, today)
    assert (due.words, due.is_late) == (words, late)


def test_an_empty_bench_says_so(workroom: Signed) -> None:
    assert "No ticket waits" in workroom[0].get(BENCH).content.decode()


def test_soonest_promised_first_and_the_unpromised_last(workroom: Signed) -> None:
    later, never, late = (promised(issued(LEFT_FORWARD), days) for days in (5, None, -2))
    assert shown(workroom[0]) == [late.number, later.number, never.number]
    assert "late by 2 days" in workroom[0].get(BENCH).content.decode()


def test_a_ticket_leaves_the_bench_when_all_its_lines_are_checked(workroom: Signed) -> None:
    ticket, by = issued(LEFT_FORWARD), UserFactory(role=Role.WORKROOM)
    assert shown(workroom[0], work="to-do") == [ticket.number]
    ticks.mark_done(ticket.lines.get(), by=by, at=timezone.now())
    assert shown(workroom[0], work="to-do") == []
    assert shown(workroom[0], work="to-check") == [ticket.number]
    ticks.mark_checked(ticket.lines.get(), by=workroom[1], at=timezone.now())
    assert shown(workroom[0]) == []


def test_a_superseded_paper_is_not_on_the_bench(workroom: Signed) -> None:
    ticket = issued(LEFT_FORWARD)
    reissue(ticket, by=ticket.issued_by, at=timezone.now(), reason="smudged")
    assert shown(workroom[0]) == [ticket.number]


def test_links_narrow_by_day_stage_and_maker(workroom: Signed) -> None:
    client, me = workroom
    mine, outside = promised(issued(LEFT_FORWARD), -1), promised(issued(LEFT_FORWARD), 30)
    Order.objects.filter(pk=mine.order_id).update(maker=me)
    hand = Maker.objects.create(name="Outside hand")
    Order.objects.filter(pk=outside.order_id).update(maker=None, outside_maker=hand)
    nobodys = promised(issued(LEFT_FORWARD), 3)
    Order.objects.filter(pk=nobodys.order_id).update(maker=None)
    assert shown(client, due="late") == [mine.number]
    assert shown(client, due="week") == [mine.number, nobodys.number]
    assert shown(client, maker=f"person-{me.pk}") == [mine.number]
    assert shown(client, maker=f"outside-{hand.pk}") == [outside.number]
    assert shown(client, maker="nobody") == [nobodys.number]
    assert shown(client, stage="finish") == []
    assert len(shown(client, stage="baste")) == 3
    assert len(shown(client, due="x", stage="y", maker="person-abc", work="z")) == 3


def test_minutes_are_summed_by_ticket_and_by_maker(workroom: Signed) -> None:
    """Two sleeves to pitch at 50 minutes each; one done leaves 50 (by hand)."""
    OperationTime.objects.create(operation="pitch", minutes=50)
    ticket = issued([*LEFT_FORWARD, *RIGHT_BACK])
    answer = workroom[0].get(BENCH)
    assert [row.minutes for row in answer.context["rows"]] == [100]
    assert [(load.name, load.lines, load.minutes) for load in answer.context["loads"]] == [
        (str(ticket.order.maker), 2, 100)
    ]
    assert "1 h 40 min" in answer.content.decode()
    first = ticket.lines.first()
    assert first is not None
    ticks.mark_done(first, by=workroom[1], at=timezone.now())
    answer = workroom[0].get(BENCH)
    assert [row.minutes for row in answer.context["rows"]] == [50]
    assert [(load.lines, load.minutes) for load in answer.context["loads"]] == [(1, 50)]


def test_no_contact_data_and_no_erased_customer_on_the_bench(workroom: Signed) -> None:
    issued(LEFT_FORWARD)
    Customer.objects.update(phone="555 0142", email="jan@example.org", address="Harbour 3")
    page = workroom[0].get(BENCH).content
    for told in (b"555 0142", b"jan@example.org", b"Harbour 3"):
        assert told not in page
    Customer.objects.update(erased_on=timezone.localdate())
    assert shown(workroom[0]) == []


def test_bench_asks_the_database_equally_often_for_one_ticket_and_many(workroom: Signed) -> None:
    def asked() -> int:
        return queries(lambda: workroom[0].get(BENCH))

    issued(LEFT_FORWARD)
    workroom[0].get(BENCH)  # Sums up what was recorded, which is then kept for some minutes.
    one = asked()
    for _ in range(4):
        issued([*LEFT_FORWARD, *RIGHT_BACK])
    assert asked() == one


def test_an_order_has_one_maker_in_the_shop_or_outside(fitter: Signed) -> None:
    ticket = issued(LEFT_FORWARD)
    order = Order.objects.get(pk=ticket.order_id)
    hand = Maker.objects.create(name="Outside hand")
    typed = {
        "garment": "coat",
        "cloth": order.cloth,
        "stage": order.stage,
        "ordered_on": "2026-01-05",
        "maker": str(order.maker_id),
        "outside_maker": str(hand.pk),
        "pattern_version": str(order.pattern_version_id),
        "version": str(order.version),
    }
    at = reverse("order-edit", args=[order.pk])
    answer = fitter[0].post(at, typed)
    assert answer.status_code == 422
    assert "One makes it" in answer.content.decode()
    assert fitter[0].post(at, typed | {"maker": ""}).status_code == 302
    assert Order.objects.get(pk=order.pk).made_by == "Outside hand"


def test_owner_writes_down_how_the_papers_of_a_maker_are_written(owner: Signed) -> None:
    at = reverse("maker-new")
    typed = {"name": "Outside hand", "language": "it", "units": "both", "paper": "A5"}
    assert owner[0].post(at, typed).status_code == 302
    made = Maker.objects.get()
    assert (made.person, made.language, made.units, made.paper) == (None, "it", "both", "A5")
    again = owner[0].post(at, typed | {"name": "outside HAND"})
    assert again.status_code == 422
    assert "has this name already" in again.content.decode()
