"""What is suggested, what is told against an hour, and how a plan becomes a fitting."""

import datetime as dt
from typing import Any
from zoneinfo import ZoneInfo

import pytest
from django.utils import timezone

from fittings.diary.days import Period, day_said, midnight, moment
from fittings.diary.planning import (
    after_promised,
    next_stage,
    overlapping,
    overlaps_among,
    said_against,
    start,
)
from fittings.diary.wanted import near
from fittings.models import Fitting, PlannedFitting, PlanState, TicketLine
from fittings.refusals import Frozen
from tests.at_once import at_once
from tests.diary.plans import on, planned
from tests.factories import FittingFactory, OrderFactory, TicketFactory, UserFactory

TODAY = dt.date(2026, 11, 25)  # a Wednesday


# Days


def test_a_week_begins_on_monday_and_a_month_ends_on_its_last_day() -> None:
    week, month = Period.of("week", TODAY), Period.of("month", dt.date(2028, 2, 10))
    assert (week.first, week.last) == (dt.date(2026, 11, 23), dt.date(2026, 11, 29))
    assert (month.first, month.last) == (dt.date(2028, 2, 1), dt.date(2028, 2, 29))
    assert (month.earlier, month.later) == (dt.date(2028, 1, 31), dt.date(2028, 3, 1))


@pytest.mark.parametrize("said", ["", "soon", "2026-02-30", "0001-01-01", "9999-12-31", "٢"])
def test_what_is_no_day_opens_today(said: str) -> None:
    assert day_said(said, TODAY) == TODAY


@pytest.mark.parametrize(
    ("day", "hours"),  # summer time in the EU from 28 March to 31 October 2027
    [((2027, 3, 27), 24), ((2027, 3, 28), 23), ((2027, 10, 31), 25), ((2027, 11, 1), 24)],
)
def test_a_day_reaches_from_midnight_to_midnight_of_the_shops_clock(
    settings: Any, day: tuple[int, int, int], hours: int
) -> None:
    settings.TIME_ZONE = "Europe/Rome"
    first, last = Period.of("day", dt.date(*day)).moments
    assert last.astimezone(dt.UTC) - first.astimezone(dt.UTC) == dt.timedelta(hours=hours)


def test_an_hour_that_the_clocks_leap_over_is_none_and_one_that_comes_twice_is_the_first(
    settings: Any,
) -> None:
    settings.TIME_ZONE = "Europe/Rome"
    assert moment(dt.date(2027, 3, 28), dt.time(2, 30)) is None
    twice = moment(dt.date(2027, 10, 31), dt.time(2, 30))
    assert twice is not None
    assert twice.astimezone(dt.UTC) == dt.datetime(2027, 10, 31, 0, 30, tzinfo=dt.UTC)


# The next stage


@pytest.mark.django_db
@pytest.mark.parametrize(
    ("stands", "signed", "waiting", "next_one"),
    [
        ("measured", (), (), "baste"),
        ("cut", (), (), "baste"),
        ("baste", ("baste",), (), "forward"),
        ("forward", ("baste",), (), "forward"),
        ("baste", ("baste",), ("forward",), "finish"),
        ("finish", ("baste", "forward", "finish"), (), "finish"),
        ("delivered", ("baste",), (), "delivered"),
    ],
)
def test_the_next_stage_is_the_first_that_is_neither_signed_nor_planned(
    stands: str, signed: tuple[str, ...], waiting: tuple[str, ...], next_one: str
) -> None:
    order = OrderFactory(stage=stands)
    for stage in signed:
        FittingFactory(order=order, stage=stage, signed_at=timezone.now())
    for stage in waiting:
        planned(order=order, stage=stage)
    planned(order=order, stage=next_one, state=PlanState.CANCELLED)  # counts for nothing
    assert next_stage(order) == next_one


# What speaks against an hour


@pytest.mark.django_db
def test_nothing_speaks_against_fittings_one_after_the_other_or_of_two_fitters() -> None:
    ines, maud = UserFactory(), UserFactory()
    row = planned(on(1, 10), minutes=45, with_whom=ines)
    planned(on(1, 10, 45), with_whom=ines)
    planned(on(1, 9, 15), minutes=45, with_whom=ines)
    planned(on(1, 10), with_whom=maud)
    planned(on(1, 10), with_whom=ines, state=PlanState.CANCELLED)
    assert said_against(row) == []


@pytest.mark.django_db
def test_another_fitting_of_the_same_fitter_at_that_time_is_said_with_its_hours() -> None:
    ines = UserFactory(first_name="Ines", last_name="Marwick")
    row = planned(on(1, 10), minutes=45, with_whom=ines)
    other = planned(on(1, 10, 30), minutes=60, with_whom=ines)
    (told,) = said_against(row)
    assert told.startswith("Ines Marwick has another fitting then: 10:30 to 11:30")
    assert str(other.order.customer) in told


@pytest.mark.django_db
def test_overlaps_of_a_list_are_those_found_one_by_one() -> None:
    ines, maud = UserFactory(), UserFactory()
    hours = [(9, 0, 120), (9, 30, 15), (10, 30, 45), (11, 0, 30), (14, 0, 45)]
    for hour, minute, minutes in hours:
        for whom in (ines, maud):
            planned(on(1, hour, minute), minutes=minutes, with_whom=whom)
    rows = list(PlannedFitting.objects.all())
    among = overlaps_among(rows)
    found = {row.pk: {other.pk for other in among.get(row.pk, [])} for row in rows}
    assert found == {row.pk: {other.pk for other in overlapping(row)} for row in rows}
    assert sum(map(len, found.values())) == 12


@pytest.mark.django_db
@pytest.mark.parametrize(("days", "told"), [(-1, ""), (0, ""), (1, "the day after"), (4, "4 days")])
def test_a_fitting_after_the_promised_day_is_told_and_one_up_to_it_is_not(
    days: int, told: str
) -> None:
    promised = timezone.localdate() + dt.timedelta(days=10)
    row = planned(on(10 + days), order=OrderFactory(promised_on=promised))
    assert (told in after_promised(row)) if told else after_promised(row) == ""


@pytest.mark.django_db
def test_a_fitting_after_delivery_is_late_for_nothing() -> None:
    order = OrderFactory(promised_on=timezone.localdate(), stage="delivered")
    assert after_promised(planned(on(20), order=order, stage="delivered")) == ""


# Starting


@pytest.mark.django_db
def test_started_twice_is_one_fitting_of_that_stage_and_day() -> None:
    row, by = planned(stage="forward"), UserFactory()
    first = start(row, by=by, on=TODAY)
    assert start(row, by=UserFactory(), on=TODAY) == first  # `row` is as it was before
    assert Fitting.objects.get() == first
    assert (first.order, first.stage, first.held_on, first.fitter) == (
        *(row.order, "forward", TODAY),
        by,
    )
    row.refresh_from_db()
    assert (row.state, row.fitting, row.version) == (PlanState.KEPT, first, 2)


@pytest.mark.django_db
def test_what_was_opened_by_hand_that_day_is_what_the_plan_becomes() -> None:
    row = planned(stage="baste")
    FittingFactory(order=row.order, stage="baste", held_on=TODAY - dt.timedelta(days=1))
    FittingFactory(order=row.order, stage="forward", held_on=TODAY)
    opened = FittingFactory(order=row.order, stage="baste", held_on=TODAY)
    assert start(row, by=UserFactory(), on=TODAY) == opened
    assert start(planned(order=row.order, stage="baste"), by=UserFactory(), on=TODAY) == opened


@pytest.mark.django_db
def test_a_cancelled_plan_is_not_started() -> None:
    with pytest.raises(Frozen, match="plan it anew"):
        start(planned(state=PlanState.CANCELLED), by=UserFactory(), on=TODAY)
    assert not Fitting.objects.exists()


@pytest.mark.django_db(transaction=True)
def test_pressed_by_four_at_once_it_is_one_fitting() -> None:
    row, by = planned(), UserFactory()
    began = at_once(4, lambda: start(PlannedFitting(pk=row.pk), by=by, on=TODAY).pk)
    assert began == [Fitting.objects.get().pk] * 4


# What the bench still owes


@pytest.mark.django_db
def test_a_fitting_with_all_lines_checked_is_owed_nothing() -> None:
    row = planned(on(1))
    ticket = TicketFactory(fitting=FittingFactory(order=row.order))
    line = TicketLine.objects.create(ticket=ticket, position=1, content={})
    line.done_at = line.checked_at = timezone.now()
    line.save()
    (found,) = near(timezone.localdate())
    assert (found.is_owed, found.when) == (False, "tomorrow at 10:00")


@pytest.mark.django_db
def test_open_lines_of_the_newest_paper_are_owed_and_those_of_an_older_one_are_not() -> None:
    row, now = planned(on(1)), timezone.now()
    old = TicketFactory(fitting=FittingFactory(order=row.order))
    new = TicketFactory(fitting=old.fitting, number=old.number, revision=2, supersedes=old)
    for position in range(1, 6):
        TicketLine.objects.create(ticket=old, position=position, content={})
        done = now if position > 3 else None
        TicketLine.objects.create(ticket=new, position=position, content={}, done_at=done)
    (found,) = near(timezone.localdate())
    (ticket,) = found.tickets
    assert (ticket.number, ticket.revision) == (old.number, 2)
    assert ticket.words == "3 lines are open and 2 lines are done and not checked"


@pytest.mark.django_db
def test_a_garment_not_yet_cut_is_owed() -> None:
    planned(on(0), order=OrderFactory(stage="measured"))
    (found,) = near(timezone.localdate())
    assert (found.is_owed, found.not_cut, found.when) == (True, True, "today at 10:00")


@pytest.mark.django_db
def test_the_next_day_with_a_fitting_is_looked_at_and_no_day_after_it() -> None:
    today, wanted = planned(on(0)), planned(on(3))
    planned(on(4))
    planned(on(3), state=PlanState.CANCELLED)
    found = near(timezone.localdate())
    assert [one.row for one in found] == [today, wanted]
    assert found[1].when == f"on {on(3):%A} at 10:00"


def test_midnight_is_where_the_shop_is(settings: Any) -> None:
    settings.TIME_ZONE = "Europe/Rome"
    assert midnight(TODAY) == dt.datetime(2026, 11, 25, tzinfo=ZoneInfo("Europe/Rome"))
    assert midnight(TODAY).astimezone(dt.UTC).hour == 23
