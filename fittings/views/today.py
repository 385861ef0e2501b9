"""What is due, what is on, what is open."""

import datetime as dt
from typing import Final

from django.db.models import Q
from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.utils import timezone

from fittings.models import Fitting, Order, Ticket

AHEAD: Final = dt.timedelta(days=7)
SHOWN: Final = 20


def today(request: HttpRequest) -> HttpResponse:
    """Nobody is shown contact data here; the workroom sees its own work and the tickets."""
    day = timezone.localdate()
    present = Order.objects.filter(customer__erased_on=None).select_related("customer", "maker")
    fittings = Fitting.objects.filter(order__customer__erased_on=None).select_related(
        "order__customer", "fitter"
    )
    context = {
        "today": day,
        "due": present.due_by(day + AHEAD)[:SHOWN],
        "in_hand": present.open().filter(maker=request.user.pk)[:SHOWN],
        "held_today": fittings.filter(held_on=day)[:SHOWN],
        "unsigned": fittings.filter(Q(signed_at=None) & ~Q(held_on=day))[:SHOWN],
        "tickets": Ticket.objects.newest().select_related("order__customer")[:SHOWN],
    }
    return render(request, "today.html", context)
