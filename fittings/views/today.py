"""What is due, what is on, what is open."""

import datetime as dt
from typing import Any, Final, NamedTuple

from django.db.models import QuerySet
from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.utils import timezone

from fittings.diary.days import midnight
from fittings.diary.wanted import Near, near
from fittings.models import Fitting, Order, PlannedFitting, Question, Ticket
from fittings.views.orders import SOONEST_FIRST

AHEAD: Final = dt.timedelta(days=7)
SHOWN: Final = 10
# A whole day's fittings belong together.
DAY_SHOWN: Final = 40


class Few(NamedTuple):
    """The first rows of a list, and whether there are more."""

    rows: list[Any]
    more: bool


def few(found: QuerySet[Any, Any]) -> Few:
    rows = list(found[: SHOWN + 1])
    return Few(rows[:SHOWN], len(rows) > SHOWN)


def few_of(rows: list[Any], most: int = SHOWN) -> Few:
    return Few(rows[:most], len(rows) > most)


def today(request: HttpRequest) -> HttpResponse:
    """Nobody is shown contact data here; the workroom sees its own work and the tickets."""
    day = timezone.localdate()
    expected = near(day)
    context = {
        "today": day,
        "owed": few_of([one for one in expected if one.is_owed]),
        "workroom": _in_the_workroom(request.user.pk),
        "fitting_room": lambda: _in_the_fitting_room(day, expected),
    }
    return render(request, "today.html", context)


def _in_the_workroom(person: int | None) -> dict[str, Few]:
    orders = Order.objects.filter(customer__erased_on=None, maker=person).open()
    tickets = Ticket.objects.filter(order__customer__erased_on=None).newest()
    return {
        "in_hand": few(orders.select_related("customer").order_by(*SOONEST_FIRST)),
        "tickets": few(tickets.select_related("order")),
    }


def _in_the_fitting_room(day: dt.date, expected: list[Near]) -> dict[str, Few]:
    due = Order.objects.filter(customer__erased_on=None).select_related(
        "customer", "maker", "outside_maker"
    )
    missed = PlannedFitting.objects.reachable().waiting().filter(starts_at__lt=midnight(day))
    fittings = Fitting.objects.filter(order__customer__erased_on=None).select_related(
        "order__customer", "fitter"
    )
    return {
        "expected": few_of([one for one in expected if one.is_today], DAY_SHOWN),
        "missed": few(missed.select_related("order__customer", "with_whom").order_by("-starts_at")),
        "due": few(due.due_by(day)),
        "soon": few(due.due_by(day + AHEAD).filter(promised_on__gt=day)),
        "held_today": few(fittings.filter(held_on=day)),
        "asked": few(Question.objects.reachable().open().with_paper()),
        "unsigned": few(fittings.filter(signed_at=None).exclude(held_on=day)),
    }
