"""The diary's pages as plain forms and links, without any script."""

import datetime as dt
import re
from typing import Any

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.urls import reverse
from django.utils import timezone

from fittings.diary import spread
from fittings.models import Fitting, PlannedFitting, PlanState, TicketLine
from tests.conftest import Signed
from tests.diary.plans import on, planned
from tests.factories import (
    CustomerFactory,
    FittingFactory,
    OrderFactory,
    TicketFactory,
    UserFactory,
)

pytestmark = pytest.mark.django_db


def sent(signed: Signed, **other: Any) -> dict[str, Any]:
    """What the form sends for tomorrow at a quarter past ten."""
    facts = {
        "stage": "baste",
        "day": f"{on(1):%Y-%m-%d}",
        "hour": "10",
        "quarter": "15",
        "minutes": "60",
        "with_whom": signed[1].pk,
    }
    return facts | other


def page(signed: Signed, name: str, *args: Any, **asked: str) -> str:
    answer = signed[0].get(reverse(name, args=args), asked)
    assert answer.status_code == 200
    return re.sub(r"\s+", " ", answer.content.decode())


# Planning


def test_a_fitting_is_planned_from_its_order_by_a_plain_form(fitter: Signed) -> None:
    order = OrderFactory()
    first = page(fitter, "plan-new", order.pk, on=f"{on(1):%Y-%m-%d}")
    assert f'value="{on(1):%Y-%m-%d}"' in first
    answer = fitter[0].post(reverse("plan-new", args=[order.pk]), sent(fitter))
    row = PlannedFitting.objects.get()
    assert answer["Location"] == row.get_absolute_url()
    assert (row.order, row.stage, row.with_whom) == (order, "baste", fitter[1])
    assert (row.starts_at, row.minutes, row.state) == (on(1, 10, 15), 60, PlanState.PLANNED)
    assert "10:15" in page(fitter, "order", order.pk)
    assert "10:15" in page(fitter, "customer", order.customer_id)
    assert "10:15" in page(fitter, "planned-fitting", row.pk)


def test_ten_o_clock_on_either_side_of_the_change_of_time_is_ten_by_the_clock(
    fitter: Signed, settings: Any, time_machine: Any
) -> None:
    settings.TIME_ZONE = "Europe/Rome"
    time_machine.move_to(dt.datetime(2027, 3, 20, 9, tzinfo=dt.UTC), tick=True)
    fitter[0].force_login(fitter[1])  # the session of today is of another year
    order = OrderFactory()
    for day in ("2027-03-27", "2027-03-28"):  # summer time begins on the 28th (EU rule)
        fitter[0].post(reverse("plan-new", args=[order.pk]), sent(fitter, day=day, quarter="00"))
    hours = [row.starts_at.astimezone(dt.UTC).hour for row in PlannedFitting.objects.all()]
    assert hours == [9, 8]
    leapt = sent(fitter, day="2027-03-28", other_time="02:30")
    answer = fitter[0].post(reverse("plan-new", args=[order.pk]), leapt)
    assert answer.status_code == 422
    assert "clocks are put forward" in answer.content.decode()
    assert 'value="02:30"' in answer.content.decode()


@pytest.mark.parametrize(
    ("wrong", "told"),
    [
        ({"hour": "", "quarter": ""}, "Say at what time"),
        ({"hour": "25"}, "Select a valid choice"),
        ({"other_time": "soon"}, "Enter a valid time"),
        ({"day": ""}, "This field is required"),
        ({"day": "2020-01-01"}, "This day is past"),
        ({"day": "9999-12-31"}, "is the year right"),
        ({"minutes": "44"}, "Select a valid choice"),
        ({"stage": "measured"}, "Select a valid choice"),
    ],
)
def test_what_is_wrong_is_said_and_what_was_chosen_is_kept(
    fitter: Signed, wrong: dict[str, str], told: str
) -> None:
    order = OrderFactory()
    at = reverse("plan-new", args=[order.pk])
    chosen = sent(fitter, **({"stage": "forward", "minutes": "90"} | wrong))
    answer = fitter[0].post(at, chosen)
    assert answer.status_code == 422
    text = answer.content.decode()
    assert told in text
    assert not PlannedFitting.objects.exists()
    checked = {
        (found[1], found[2])
        for found in re.finditer(r'name="(\w+)" value="(\w+)"[^>]*checked', text)
    }
    kept = {(name, chosen[name]) for name in ("stage", "minutes", "hour") if name not in wrong}
    assert kept <= checked


def test_the_workroom_is_no_fitter_to_plan_with(fitter: Signed, workroom: Signed) -> None:
    at = reverse("plan-new", args=[OrderFactory().pk])
    assert fitter[0].post(at, sent(workroom)).status_code == 422
    assert not PlannedFitting.objects.exists()


def test_a_double_tap_on_plan_it_plans_one(fitter: Signed) -> None:
    at = reverse("plan-new", args=[OrderFactory().pk])
    mark = re.findall(r'name="sent_once" value="([^"]+)"', fitter[0].get(at).content.decode())[0]
    for _ in range(2):
        fitter[0].post(at, sent(fitter, sent_once=mark))
    assert PlannedFitting.objects.count() == 1


def test_an_overlap_and_a_day_after_the_promise_are_told_and_kept_all_the_same(
    fitter: Signed,
) -> None:
    other = planned(on(1, 10), with_whom=fitter[1])
    order = OrderFactory(promised_on=timezone.localdate())
    answer = fitter[0].post(reverse("plan-new", args=[order.pk]), sent(fitter), follow=True)
    text = re.sub(r"\s+", " ", answer.content.decode())
    assert PlannedFitting.objects.count() == 2
    assert "has another fitting then: 10:00 to 10:45" in text
    assert str(other.order.customer) in text
    assert "This is the day after it is promised for" in text
    week = page(fitter, "diary", on=f"{on(1):%Y-%m-%d}")
    assert f"At the same time as 10:00, {other.order.customer}" in week
    assert f"At the same time as 10:15, {order.customer}" in week


def test_the_form_shows_what_is_planned_that_day_already(fitter: Signed) -> None:
    other = planned(on(1, 16, 45))
    text = page(fitter, "plan-new", OrderFactory().pk, on=f"{on(1):%Y-%m-%d}")
    assert "16:45" in text
    assert str(other.order.customer) in text
    assert "16:45" not in page(fitter, "plan-new", OrderFactory().pk, on=f"{on(2):%Y-%m-%d}")


def test_from_the_diary_the_garment_is_looked_up_and_the_day_is_carried_along(
    fitter: Signed,
) -> None:
    mine = OrderFactory(customer=CustomerFactory(family_name="Quillmarsh"))
    other = OrderFactory(customer=CustomerFactory(family_name="Thornwill"))
    done = OrderFactory(customer=mine.customer, stage="delivered")
    text = page(fitter, "plan-choose", q="quillmarsh", on="2027-05-03")
    assert f"{reverse('plan-new', args=[mine.pk])}?on=2027-05-03" in text
    assert reverse("plan-new", args=[other.pk]) not in text
    assert reverse("plan-new", args=[done.pk]) not in text


# Changing and cancelling


def test_a_plan_is_changed_and_says_who_saved_first(fitter: Signed) -> None:
    row = planned(on(1, 10, 15), with_whom=fitter[1], minutes=60)
    at = reverse("planned-change", args=[row.pk])
    text = fitter[0].get(at).content.decode()
    assert re.search(r'name="hour" value="10"[^>]*checked', text)
    assert re.search(r'name="quarter" value="15"[^>]*checked', text)
    assert fitter[0].post(at, sent(fitter, hour="11", version=1)).status_code == 302
    late = fitter[0].post(at, sent(fitter, hour="17", version=1))
    assert late.status_code == 409
    assert "<td>11</td><td>17</td>" in late.content.decode()
    row.refresh_from_db()
    assert row.starts_at == on(1, 11, 15)
    assert fitter[0].post(at, sent(fitter, hour="17", version=2)).status_code == 302
    row.refresh_from_db()
    assert row.starts_at == on(1, 17, 15)


def test_an_hour_that_is_no_button_stands_in_its_own_field(fitter: Signed) -> None:
    row = planned(on(1, 7, 10), with_whom=fitter[1], minutes=50)
    text = fitter[0].get(reverse("planned-change", args=[row.pk])).content.decode()
    assert 'value="07:10"' in text
    assert re.search(r'name="minutes" value="50"[^>]*checked', text)


def test_a_plan_of_a_past_day_can_be_given_to_another_without_moving_it(fitter: Signed) -> None:
    row = planned(on(-2), with_whom=UserFactory())
    facts = sent(fitter, day=f"{on(-2):%Y-%m-%d}", quarter="00", version=1)
    assert fitter[0].post(reverse("planned-change", args=[row.pk]), facts).status_code == 302
    row.refresh_from_db()
    assert (row.with_whom, row.starts_at) == (fitter[1], on(-2))


def test_cancelling_asks_why_and_keeps_it(fitter: Signed) -> None:
    row = planned(on(1))
    at = reverse("planned-cancel", args=[row.pk])
    answer = fitter[0].post(at, {"version": 1, "because": "", "words": ""})
    assert answer.status_code == 422
    assert "Say why" in answer.content.decode()
    too_long = fitter[0].post(at, {"version": 1, "words": "w" * 121})
    assert too_long.status_code == 422
    assert "w" * 121 in too_long.content.decode()
    words = {"version": 1, "because": "The garment is not ready", "words": "thread <has> run out"}
    assert fitter[0].post(at, words).status_code == 302
    row.refresh_from_db()
    assert row.state == PlanState.CANCELLED
    assert row.cancelled_because == "The garment is not ready. thread <has> run out"
    told = "cancelled: The garment is not ready. thread &lt;has&gt; run out"
    assert told in page(fitter, "order", row.order_id)
    assert told in page(fitter, "planned-fitting", row.pk)
    assert str(row.order.customer) not in page(fitter, "diary", on=f"{on(1):%Y-%m-%d}")


def test_cancelling_what_was_moved_meanwhile_is_asked_once_more(fitter: Signed) -> None:
    row = planned(on(1))
    row.starts_at = on(2)
    row.save_over(1)
    why = {"because": "Planned by mistake"}
    answer = fitter[0].post(reverse("planned-cancel", args=[row.pk]), why | {"version": 1})
    assert answer.status_code == 409
    text = answer.content.decode()
    assert re.search(r'value="Planned by mistake"[^>]*checked', text)
    assert 'name="version" value="2"' in text
    row.refresh_from_db()
    assert row.state == PlanState.PLANNED
    assert (
        fitter[0].post(reverse("planned-cancel", args=[row.pk]), why | {"version": 2}).status_code
        == 302
    )


@pytest.mark.parametrize("state", [PlanState.KEPT, PlanState.CANCELLED])
@pytest.mark.parametrize("name", ["planned-change", "planned-cancel"])
def test_a_plan_that_is_over_is_not_changed(fitter: Signed, name: str, state: str) -> None:
    row = planned(on(1), state=state)
    answer = fitter[0].post(reverse(name, args=[row.pk]), sent(fitter, version=1, words="why"))
    assert answer.status_code == 409
    row.refresh_from_db()
    assert (row.state, row.version) == (state, 1)


# Starting


@pytest.mark.parametrize("name", ["today", "diary", "order", "customer", "planned-fitting"])
def test_one_tap_leads_from_the_plan_to_the_page_of_the_fitting(fitter: Signed, name: str) -> None:
    row = planned(on(0, 16), stage="forward", with_whom=fitter[1])
    args = {"order": [row.order_id], "customer": [row.order.customer_id]}
    text = page(fitter, name, *args.get(name, [row.pk] if name == "planned-fitting" else []))
    at = reverse("planned-start", args=[row.pk])
    assert f'action="{at}"' in text
    first, second = (fitter[0].post(at) for _ in range(2))
    fitting = Fitting.objects.get()
    assert first["Location"] == second["Location"] == fitting.get_absolute_url()
    assert (fitting.stage, fitting.fitter) == ("forward", fitter[1])
    assert f'action="{at}"' not in page(fitter, "today")
    assert fitter[0].get(at).status_code == 405


def test_starting_a_cancelled_one_is_refused_in_words(fitter: Signed) -> None:
    row = planned(state=PlanState.CANCELLED)
    answer = fitter[0].post(reverse("planned-start", args=[row.pk]))
    assert answer.status_code == 409
    assert "plan it anew" in answer.content.decode()
    assert not Fitting.objects.exists()


def test_a_fitting_opened_from_its_order_keeps_the_plan_of_that_day(fitter: Signed) -> None:
    row = planned(on(0, 16), stage="forward")
    later, other = planned(on(1), order=row.order, stage="forward"), planned(on(0, 16))
    facts = {"stage": "forward", "held_on": f"{timezone.localdate()}", "worn_under": ""}
    assert fitter[0].post(reverse("fitting-new", args=[row.order_id]), facts).status_code == 302
    states = [PlannedFitting.objects.get(pk=one.pk).state for one in (row, later, other)]
    assert states == [PlanState.KEPT, PlanState.PLANNED, PlanState.PLANNED]
    assert PlannedFitting.objects.get(pk=row.pk).fitting == Fitting.objects.get()


# The diary


def test_a_week_shows_what_lies_in_it_and_nothing_else(fitter: Signed) -> None:
    inside = [planned(timezone.make_aware(dt.datetime(2027, 5, day, 10))) for day in (3, 9)]
    outside = [planned(timezone.make_aware(dt.datetime(2027, 5, day, 10))) for day in (2, 10)]
    promised = OrderFactory(promised_on=dt.date(2027, 5, 9))
    late = OrderFactory(promised_on=dt.date(2027, 5, 10))
    text = page(fitter, "diary", on="2027-05-05")
    assert all(row.order.number in text for row in inside)
    assert promised.number in text
    assert not any(row.order.number in text for row in outside)
    assert late.number not in text
    month = page(fitter, "diary", view="month", on="2027-05-05")
    assert all(row.order.customer.family_name in month for row in (*inside, *outside))
    assert month.count("1 promised") == 2
    day = page(fitter, "diary", view="day", on="2027-05-09")
    assert inside[1].order.number in day
    assert inside[0].order.number not in day


def test_earlier_and_later_lead_to_the_week_before_and_after(fitter: Signed) -> None:
    text = page(fitter, "diary", on="2027-05-05", whose="mine")
    assert 'href="?whose=mine&amp;on=2027-05-02"' in text
    assert 'href="?whose=mine&amp;on=2027-05-10"' in text


def test_mine_are_fittings_with_me_and_garments_in_my_hands(fitter: Signed) -> None:
    day = timezone.localdate()
    mine = planned(on(0), with_whom=fitter[1])
    made = OrderFactory(maker=fitter[1], promised_on=day)
    other, others = planned(on(0)), OrderFactory(promised_on=day)
    every, own = page(fitter, "diary"), page(fitter, "diary", whose="mine")
    assert all(number in every for number in (mine.order.number, made.number))
    assert all(number in every for number in (other.order.number, others.number))
    assert all(number in own for number in (mine.order.number, made.number))
    assert not any(number in own for number in (other.order.number, others.number))


@pytest.mark.parametrize("asked", [{"on": "0001-01-01"}, {"on": "x", "view": "year"}])
def test_what_is_no_page_of_the_diary_opens_this_week(
    fitter: Signed, asked: dict[str, str]
) -> None:
    row = planned(on(0))
    assert row.order.number in page(fitter, "diary", **asked)


def test_a_promised_garment_says_what_is_open_on_its_ticket(workroom: Signed) -> None:
    order = OrderFactory(promised_on=timezone.localdate(), customer__phone="0777 123")
    ticket = TicketFactory(fitting=FittingFactory(order=order))
    TicketLine.objects.create(ticket=ticket, position=1, content={})
    done = OrderFactory(promised_on=timezone.localdate(), stage="delivered")
    text = page(workroom, "diary")
    assert ticket.get_absolute_url() in text
    assert "1 line is open" in text
    assert done.number in text
    assert 'done">delivered' in text
    assert "0777 123" not in text


def test_the_workroom_reads_the_diary_and_plans_nothing_in_it(workroom: Signed) -> None:
    row = planned(on(0, 15))
    OrderFactory(promised_on=timezone.localdate())
    text = page(workroom, "diary")
    assert "15:00" in text
    assert str(row.order.customer) in text
    assert "<form" not in text.split("<main")[1]
    for address in ("/orders/", "/customers/", "/diary/plan/", row.get_absolute_url()):
        assert f'href="{address}' not in text


def test_more_than_can_be_shown_is_said_with_the_day_it_reaches_to(
    fitter: Signed, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(spread, "MOST", 3)
    rows = [planned(timezone.make_aware(dt.datetime(2027, 5, day, 10))) for day in (3, 4, 5, 6, 7)]
    text = page(fitter, "diary", on="2027-05-05")
    assert "up to Wednesday 5 May" in text
    assert all(row.order.number in text for row in rows[:3])
    assert not any(row.order.number in text for row in rows[3:])


def test_nobody_erased_stands_in_the_diary(fitter: Signed) -> None:
    row = planned(on(0), order=OrderFactory(promised_on=timezone.localdate()))
    customer = row.order.customer
    customer.erased_on = timezone.localdate()
    customer.save()
    for name in ("diary", "today", "plan-choose"):
        assert row.order.number not in page(fitter, name)
    for name in ("planned-fitting", "planned-change"):
        assert fitter[0].get(reverse(name, args=[row.pk])).status_code == 404
    for name in ("planned-start", "planned-cancel"):
        assert fitter[0].post(reverse(name, args=[row.pk])).status_code == 404


# Today


def test_today_says_what_is_expected_what_is_owed_and_what_was_missed(fitter: Signed) -> None:
    row = planned(on(1), stage="baste", order=OrderFactory(garment="coat"))
    ticket = TicketFactory(fitting=FittingFactory(order=row.order))
    for position in (1, 2, 3):
        TicketLine.objects.create(ticket=ticket, position=position, content={})
    missed = planned(on(-3), stage="finish")
    text = page(fitter, "today")
    order = row.order
    told = f"The coat {order.number} of {order.customer} is promised to the baste fitting"
    assert f"{told} <strong>tomorrow at 10:00</strong>; 3 lines are open on" in text
    assert text.index("Planned before today") < text.index(missed.get_absolute_url())


def test_the_workroom_is_told_what_a_near_fitting_waits_for(workroom: Signed) -> None:
    row = planned(on(1))
    ticket = TicketFactory(fitting=FittingFactory(order=row.order))
    TicketLine.objects.create(ticket=ticket, position=1, content={})
    text = page(workroom, "today")
    assert "1 line is open on" in text
    assert ticket.get_absolute_url() in text
    assert row.get_absolute_url() not in text


def test_a_promise_for_today_is_apart_from_those_of_the_week(fitter: Signed) -> None:
    day = timezone.localdate()
    due = OrderFactory(promised_on=day)
    late = OrderFactory(promised_on=day - dt.timedelta(days=3))
    soon = OrderFactory(promised_on=day + dt.timedelta(days=2))
    text = page(fitter, "today")
    parted = text.index("Promised within a week")
    assert text.index(late.number) < text.index(due.number) < parted < text.index(soon.number)


# How often the database is asked


def test_no_page_of_the_diary_asks_more_often_when_more_is_planned(
    fitter: Signed,
) -> None:
    row = planned(on(0), with_whom=fitter[1])
    given = {"planned-fitting": [row.pk], "planned-change": [row.pk], "order": [row.order_id]}
    given |= {"plan-new": [row.order_id], "customer": [row.order.customer_id]}
    names = ["diary", "today", "plan-choose", *given]

    def fill(count: int) -> None:
        for _ in range(count):
            day = timezone.localdate()
            order = OrderFactory(promised_on=day, customer=row.order.customer)
            ticket = TicketFactory(fitting=FittingFactory(order=order))
            TicketLine.objects.create(ticket=ticket, position=1, content={})
            planned(on(0), order=order, with_whom=fitter[1])
            planned(on(0), order=row.order, with_whom=fitter[1])
            planned(on(-2), order=order)

    def asked() -> dict[str, int]:
        counts = {}
        for name in names:
            with CaptureQueriesContext(connection) as queries:
                page(fitter, name, *given.get(name, []))
            counts[name] = len(queries)
        return counts

    fill(1)
    few = asked()
    fill(25)
    assert asked() == few
