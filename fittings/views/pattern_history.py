"""The patterns of a customer through the years, and a garment begun from any version of them."""

from __future__ import annotations

from typing import Any

from django.contrib import messages
from django.core.paginator import Paginator
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone

from fittings.drafting import branch, check_can_cut, cut_from
from fittings.models import Customer, GarmentOnly, Order, Stage
from fittings.pattern_history.lanes import lanes
from fittings.pattern_history.timeline import PER_PAGE, patterns_of, step, versions_of
from fittings.refusals import Refused
from fittings.views.reach import get_customer, key_said, unit_of
from patterns.models import PatternVersion

FLAGS_SHOWN = 20


def customer_patterns(request: HttpRequest, pk: int) -> HttpResponse:
    customer = get_customer(request, pk)
    patterns = list(patterns_of(customer))
    page = Paginator(versions_of(customer, patterns), PER_PAGE).get_page(request.GET.get("page"))
    unit = unit_of(request)
    context = {
        "customer": customer,
        "patterns": patterns,
        "page": page,
        "steps": [step(version, customer, unit) for version in page],
        "lanes": lanes(list(page), patterns),
        "flags": open_flags(customer),
    }
    return render(request, "customer_patterns.html", context)


def open_flags(customer: Customer) -> Any:
    """What the customer's garments know and their patterns do not, the newest of it."""
    return GarmentOnly.objects.open().filter(order__customer=customer).told()[:FLAGS_SHOWN]


def flags_before_a_cut(customer: Customer) -> Any:
    """As `open_flags`, with what is ticketed and not worked yet: the next cut would miss it."""
    return GarmentOnly.objects.unsettled().filter(order__customer=customer).told()[:FLAGS_SHOWN]


def get_version_of(customer: Customer, pk: int) -> PatternVersion:
    """A version of one of the customer's patterns."""
    rows = PatternVersion.objects.filter(pattern__in=patterns_of(customer).values("pk"))
    return get_object_or_404(rows.select_related("pattern"), pk=pk)


def pattern_start(request: HttpRequest, pk: int, version: int) -> HttpResponse:
    """Cut an order in hand from this version, or from a branch of it, or begin a new order."""
    customer = get_customer(request, pk)
    source = get_version_of(customer, version)
    context: dict[str, Any] = {"customer": customer, "version": source}
    context |= {"flags": flags_before_a_cut(customer), "orders": _uncut(customer, source)}
    try:
        check_can_cut(source)
    except Refused as refused:
        context["why_not"] = str(refused)
    if request.method != "POST":
        return render(request, "pattern_start.html", context)
    order = get_object_or_404(_uncut(customer, source), pk=key_said(request.POST.get("order", "")))
    try:
        made = _begin(order, source, request)
    except Refused as refused:
        return render(request, "pattern_start.html", context | {"refusal": refused}, status=422)
    messages.success(request, f"{order} is cut from {made}.")
    return redirect(order)


def _uncut(customer: Customer, source: PatternVersion) -> Any:
    """The customer's orders that are not cut yet, nor meant to be cut from this very version."""
    rows = Order.objects.filter(customer=customer, stage=Stage.MEASURED)
    return rows.exclude(pattern_version=source).select_related("pattern_version__pattern")


def _begin(order: Order, source: PatternVersion, request: HttpRequest) -> PatternVersion:
    if request.POST.get("how") == "branch":
        by: Any = request.user
        name = f"{order.get_garment_display()} for {order.number}"
        return branch(source, name=name, order=order, by=by, at=timezone.now())
    cut_from(order, source)
    return source
