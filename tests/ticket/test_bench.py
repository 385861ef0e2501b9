"""Who may tick a line done, who may check it, and what is refused in which sentence."""

from typing import Any

import pytest
from django.utils import timezone

from fittings.bench import ticks
from fittings.models import Ticket, TicketLine
from fittings.refusals import Frozen, Refused
from fittings.ticketing.issuing import reissue
from tailorshop.models import Role, User
from tests.factories import UserFactory

pytestmark = pytest.mark.django_db


def test_a_line_is_done_by_the_workroom_and_checked_by_another(
    line: TicketLine, maker: User
) -> None:
    other = UserFactory(role=Role.FITTER)
    ticks.mark_done(line, by=maker, at=timezone.now())
    ticks.mark_checked(line, by=other, at=timezone.now())
    line.refresh_from_db()
    assert (line.done_by, line.checked_by) == (maker, other)


def test_who_did_a_line_cannot_check_it(line: TicketLine, maker: User) -> None:
    ticks.mark_done(line, by=maker, at=timezone.now())
    with pytest.raises(Refused, match="another pair of eyes"):
        ticks.mark_checked(line, by=maker, at=timezone.now())


def test_a_line_that_is_not_done_cannot_be_checked(line: TicketLine, maker: User) -> None:
    with pytest.raises(Refused, match="done yet"):
        ticks.mark_checked(line, by=maker, at=timezone.now())


def test_a_fitter_does_not_tick_work_as_done(line: TicketLine) -> None:
    with pytest.raises(Refused, match="workroom ticks"):
        ticks.mark_done(line, by=UserFactory(role=Role.FITTER), at=timezone.now())


def test_a_line_ticked_twice_stays_with_who_was_first(line: TicketLine, maker: User) -> None:
    first = timezone.now()
    ticks.mark_done(line, by=maker, at=first)
    ticks.mark_done(line, by=UserFactory(role=Role.WORKROOM), at=timezone.now())
    line.refresh_from_db()
    assert (line.done_by, line.done_at) == (maker, first)


def test_a_tick_is_taken_back_by_who_made_it_or_the_owner(line: TicketLine, maker: User) -> None:
    ticks.mark_done(line, by=maker, at=timezone.now())
    with pytest.raises(Refused, match="Somebody else"):
        ticks.take_back_done(line, by=UserFactory(role=Role.WORKROOM))
    ticks.take_back_done(line, by=UserFactory(role=Role.OWNER))
    line.refresh_from_db()
    assert line.done_at is None


def test_a_checked_line_is_not_undone_before_the_check_is(line: TicketLine, maker: User) -> None:
    other = UserFactory(role=Role.WORKROOM)
    ticks.mark_done(line, by=maker, at=timezone.now())
    ticks.mark_checked(line, by=other, at=timezone.now())
    with pytest.raises(Refused, match="check back first"):
        ticks.take_back_done(line, by=maker)
    ticks.take_back_check(line, by=other)
    ticks.take_back_done(line, by=maker)
    line.refresh_from_db()
    assert (line.done_at, line.checked_at) == (None, None)


def test_nothing_is_ticked_on_a_superseded_paper(
    ticket: Ticket, line: TicketLine, maker: User
) -> None:
    reissue(ticket, by=ticket.issued_by, at=timezone.now(), reason="read again")
    with pytest.raises(Frozen, match="Revision 2 supersedes"):
        ticks.mark_done(line, by=maker, at=timezone.now())


def test_every_tick_is_in_the_history(line: TicketLine, maker: User) -> None:
    ticks.mark_done(line, by=maker, at=timezone.now())
    ticks.take_back_done(line, by=maker)
    kept: Any = TicketLine.history.filter(id=line.pk)
    assert [row.done_by_id for row in kept.order_by("history_id")] == [None, maker.pk, None]
