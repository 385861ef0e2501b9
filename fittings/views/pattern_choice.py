"""A new pattern for an order, or a branch of one for another garment."""

from decimal import Decimal
from typing import Any

from django.contrib import messages
from django.db.models import Q, QuerySet
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone

from fittings.drafting import begin_pattern, branch
from fittings.forms.measures import readings_of
from fittings.forms.pattern import BranchForm, PatternForm, starts
from fittings.measures.plausible import mean_mm
from fittings.models import Customer, Order, Stage
from fittings.refusals import RecordChanged, Refused
from fittings.views.reach import get_order, unit_of
from patterns.models import PatternVersion


def pattern_new(request: HttpRequest, pk: int) -> HttpResponse:
    """Draft both sides from measures and cut the order from it."""
    order = get_order(request, pk)
    form = PatternForm(
        request.POST or None,
        order=order,
        unit=unit_of(request),
        begin=starts(_measured(order.customer)),
    )
    context = {"form": form, "order": order}
    if request.method != "POST":
        return render(request, "pattern_new.html", context)
    if not form.is_valid():
        return render(request, "pattern_new.html", context, status=422)
    said = form.cleaned_data
    by: Any = request.user
    try:
        version = begin_pattern(
            order,
            seen=said["version"],
            name=said["name"],
            block=said["block"],
            sides=form.sides,
            by=by,
            at=timezone.now(),
        )
    except RecordChanged as change:
        context |= {"changed": change, "order": get_order(request, pk)}
        return render(request, "pattern_new.html", context, status=409)
    messages.success(request, f"Drafted: {version}. {order} is cut from it.")
    return redirect(version)


def _measured(customer: Customer) -> dict[str, Decimal]:
    """The newest reading of each measure, however old its set; the mean of repeats, mm."""
    found: dict[str, Decimal] = {}
    for taken in customer.measurement_sets.prefetch_related("measurements"):
        for name, readings in readings_of(taken).items():
            found.setdefault(name, mean_mm([reading.value_mm for reading in readings]))
    return found


def pattern_branch(request: HttpRequest, pk: int, number: int) -> HttpResponse:
    """Begin a pattern for another garment as a copy of this version."""
    versions = PatternVersion.objects.select_related("pattern")
    source = get_object_or_404(versions, pattern=pk, number=number)
    form = BranchForm(request.POST or None, orders=_branchable(source), name=f"Branch of {source}")
    context: dict[str, Any] = {"form": form, "source": source}
    if request.method != "POST":
        return render(request, "pattern_branch.html", context)
    if not form.is_valid():
        return render(request, "pattern_branch.html", context, status=422)
    said = form.cleaned_data
    by: Any = request.user
    try:
        version = branch(source, name=said["name"], order=said["order"], by=by, at=timezone.now())
    except Refused as refused:
        form.add_error(None, str(refused))
        return render(request, "pattern_branch.html", context, status=422)
    messages.success(request, f"Branched: {version}.")
    return redirect(version)


def _branchable(source: PatternVersion) -> QuerySet[Order]:
    """Orders not cut yet: of the customers this pattern was cut for, and without a pattern."""
    theirs = Order.objects.filter(pattern_version__pattern=source.pattern_id).values("customer")
    orders = Order.objects.filter(stage=Stage.MEASURED, customer__erased_on=None)
    return orders.filter(Q(customer__in=theirs) | Q(pattern_version=None)).exclude(
        pattern_version__pattern=source.pattern_id
    )
