"""The owner's page of the trail."""

from __future__ import annotations

import datetime as dt
from typing import Any

from django.core.paginator import Paginator
from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.utils.dateparse import parse_datetime

from fittings.diary.days import YEARS
from fittings.models import Customer
from tailorshop.models import Seen, User
from tailorshop.trail.changed import changes


def trail(request: HttpRequest) -> HttpResponse:
    """Changes (or, with `what=read`, looks), of all or of one customer, by all or by one person."""
    customer, person = _number(request, "customer"), _number(request, "person")
    context: dict[str, Any] = {
        "customer": Customer.objects.filter(pk=customer).first() if customer else None,
        "customer_key": customer,
        "person": User.objects.filter(pk=person).first() if person else None,
        "people": User.objects.order_by("first_name", "username"),
        "read": request.GET.get("what") == "read",
    }
    context |= (
        _looks(request, customer, person)
        if context["read"]
        else _changes(request, customer, person)
    )
    return render(request, "trail.html", context)


def _looks(request: HttpRequest, customer: int | None, person: int | None) -> dict[str, Any]:
    rows = Seen.objects.select_related("user", "through")
    if customer:
        rows = rows.filter(customer_key=customer)
    if person:
        rows = rows.filter(user=person)
    page = Paginator(rows, 50).get_page(request.GET.get("page"))
    named = Customer.objects.in_bulk({row.customer_key for row in page if row.customer_key})
    looks = [(row, named.get(row.customer_key or 0)) for row in page]
    return {"page": page, "looks": looks}


def _changes(request: HttpRequest, customer: int | None, person: int | None) -> dict[str, Any]:
    rows, following = changes(customer=customer, user=person, before=_moment(request))
    return {"changes": rows, "following": following.isoformat() if following else ""}


def _number(request: HttpRequest, name: str) -> int | None:
    text = request.GET.get(name, "")
    return int(text) if text.isascii() and text.isdigit() and len(text) < 18 else None


def _moment(request: HttpRequest) -> dt.datetime | None:
    try:
        found = parse_datetime(request.GET.get("before", ""))
    except ValueError:
        return None
    said = found is not None and found.tzinfo is not None and found.year in YEARS
    return found if said else None
