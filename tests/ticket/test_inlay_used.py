"""Inlay really used: carried to the order's remaining inlay once, and back with the tick."""

from decimal import Decimal

import pytest
from django.urls import reverse
from django.utils import timezone

from fittings.bench import ticks
from fittings.models import InlayUse, Order, Ticket, TicketLine
from fittings.refusals import MoreThanLeft
from fittings.ticketing.issuing import reissue
from fittings.units import Entered, parse_length
from tailorshop.models import User
from tests.conftest import Signed
from tests.ticket.worked import issued

pytestmark = pytest.mark.django_db

LONGER = [("right", {"what": "length", "amount_mm": 8})]  # takes 8 mm of the cuff's 40
CUFF = [("right", "cuff", 40)]


@pytest.fixture
def ticket() -> Ticket:
    return issued(LONGER, inlays=CUFF)


def left(ticket: Ticket) -> Decimal:
    return Order.objects.get(pk=ticket.order_id).inlays.get(side="right", place="cuff").left_mm


def done(ticket: Ticket, maker: User, typed: str = "", *, really: bool = False) -> TicketLine:
    used: dict[str, Entered] = {"cuff": parse_length(typed, "mm")} if typed else {}
    line = ticket.lines.get()
    ticks.mark_done(line, by=maker, at=timezone.now(), used=used, really=really)
    return line


def test_a_tick_without_a_word_uses_what_was_planned_and_moves_nothing(
    ticket: Ticket, maker: User
) -> None:
    line = done(ticket, maker)
    assert left(ticket) == Decimal(32)
    assert InlayUse.objects.get(line=line).used_mm == Decimal(8)


@pytest.mark.parametrize(("typed", "remains"), [("10", 30), ("5", 35), ("0", 40), ("3/8 in", 30.5)])
def test_what_was_really_used_is_taken_in_place_of_what_was_planned(
    ticket: Ticket, maker: User, typed: str, remains: float
) -> None:
    """3/8 in is 9.525 mm (exact inch of 25.4 mm), kept to the tenth: 40 - 9.5."""
    done(ticket, maker, typed)
    assert left(ticket) == Decimal(str(remains))


def test_ticked_twice_the_inlay_is_carried_once(ticket: Ticket, maker: User) -> None:
    done(ticket, maker, "10")
    done(ticket, maker, "12")
    assert left(ticket) == Decimal(30)


def test_the_tick_taken_back_takes_the_inlay_back_to_the_plan(ticket: Ticket, maker: User) -> None:
    line = done(ticket, maker, "10")
    ticks.take_back_done(line, by=maker)
    assert left(ticket) == Decimal(32)
    assert InlayUse.objects.get(line=line).used_mm is None
    done(ticket, maker, "9")
    assert left(ticket) == Decimal(31)


def test_more_than_was_left_is_refused_until_it_is_said_to_be_so(
    ticket: Ticket, maker: User
) -> None:
    with pytest.raises(MoreThanLeft, match="more than the record has left at the cuff: 40 mm"):
        done(ticket, maker, "41")
    assert ticket.lines.get().done_at is None
    assert left(ticket) == Decimal(32)
    line = done(ticket, maker, "41", really=True)
    assert left(ticket) == Decimal(0)
    assert InlayUse.objects.get(line=line).used_mm == Decimal(41)


def test_taken_back_from_more_than_was_there_no_cloth_is_made(ticket: Ticket, maker: User) -> None:
    line = done(ticket, maker, "41", really=True)
    ticks.take_back_done(line, by=maker)
    assert left(ticket) == Decimal(32)


def test_a_reissue_keeps_the_inlay_that_a_done_line_really_used(
    ticket: Ticket, maker: User
) -> None:
    done(ticket, maker, "10")
    later = reissue(ticket, by=ticket.issued_by, at=timezone.now(), reason="smudged")
    assert later.lines.get().done_by == maker
    assert left(ticket) == Decimal(30)


def test_a_reissue_gives_back_no_more_than_was_taken() -> None:
    """Only 5 mm were there: planning 8 took 5, and 5 come back to be taken again."""
    ticket = issued(LONGER, inlays=CUFF)
    inlay = ticket.order.inlays.get()
    inlay.left_mm = Decimal(5)
    inlay.save()
    InlayUse.objects.update(taken_mm=0)
    for _ in range(2):
        ticket = reissue(
            ticket,
            by=ticket.issued_by,
            at=timezone.now(),
            reason="smudged",
            reason_despite_checks="a strip is pieced on",
        )
        assert left(ticket) == Decimal(0)
    assert InlayUse.objects.get(line__ticket__revision=3).taken_mm == Decimal(5)
    assert left(ticket) == Decimal(0)


def test_a_paper_from_before_the_account_was_kept_is_carried_the_same(
    ticket: Ticket, maker: User
) -> None:
    InlayUse.objects.all().delete()
    done(ticket, maker, "10")
    assert left(ticket) == Decimal(30)


def test_an_inlay_nobody_wrote_down_is_recorded_and_limits_nothing(maker: User) -> None:
    ticket = issued(LONGER)
    line = done(ticket, maker, "41")
    use = InlayUse.objects.get(line=line)
    assert (use.used_mm, use.taken_mm) == (Decimal(41), Decimal(0))


def test_who_has_the_orders_inlays_open_must_look_again(ticket: Ticket, maker: User) -> None:
    before = Order.objects.get(pk=ticket.order_id).version
    done(ticket, maker, "10")
    assert Order.objects.get(pk=ticket.order_id).version == before + 1


def test_page_takes_the_inlay_in_the_readers_unit_and_keeps_what_was_mistyped(
    workroom: Signed, ticket: Ticket
) -> None:
    at = reverse("ticket-line", args=[ticket.number, 1, 1])
    answer = workroom[0].post(at, {"tick": "done", "used-1-cuff": "9 ells"})
    assert answer.status_code == 422
    assert 'value="9 ells"' in answer.content.decode()
    assert workroom[0].post(at, {"tick": "done", "used-1-cuff": "0.9"}).status_code == 302
    assert left(ticket) == Decimal(31)


def test_page_asks_once_more_before_it_keeps_more_than_was_left(
    workroom: Signed, ticket: Ticket
) -> None:
    at = reverse("ticket-line", args=[ticket.number, 1, 1])
    answer = workroom[0].post(at, {"tick": "done", "used-1-cuff": "5"})
    assert answer.status_code == 422
    assert 'name="really"' in answer.content.decode()
    again = workroom[0].post(at, {"tick": "done", "used-1-cuff": "5", "really": "1"})
    assert again.status_code == 302
    assert left(ticket) == Decimal(0)
