"""A planned fitting: made from an order, changed, cancelled, started."""

import datetime as dt
from typing import Any

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils import timezone
from django.views.decorators.http import require_POST

from fittings.diary.days import Period, day_said
from fittings.diary.planning import check_can_change, next_stage, said_against, start
from fittings.diary.wanted import open_work
from fittings.forms.planning import CancelForm, PlanForm
from fittings.models import FindableKind, Order, PlannedFitting, PlanState
from fittings.refusals import RecordChanged
from fittings.views.orders import SOONEST_FIRST
from fittings.views.reach import form_page, get_order, get_planned, page_found, who
from fittings.views.sent import signed_in

DAY_SHOWN = 20


def plan_choose(request: HttpRequest) -> HttpResponse:
    """From the diary: whose garment? The orders in hand, the soonest promised first."""
    words = request.GET.get("q", "")
    orders = Order.objects.filter(customer__erased_on=None).open()
    orders = orders.select_related("customer").order_by(*SOONEST_FIRST)
    day = day_said(request.GET.get("on", ""), timezone.localdate())
    page = page_found(request, orders, words, FindableKind.ORDER)
    context = {"page": page, "words": words, "day": day}
    return render(request, "plan_choose.html", context)


def plan_new(request: HttpRequest, pk: int) -> HttpResponse:
    order = get_order(request, pk)
    row = PlannedFitting(order=order, stage=next_stage(order), with_whom_id=who(request))
    asked = request.GET.get("on", "")
    day = day_said(asked, timezone.localdate())
    form = PlanForm(request.POST or None, instance=row, initial={"day": day} if asked else None)
    return form_page(
        request, form, "plan_form.html", said="Planned: {}.", order=order, beside_it=that_day(form)
    )


def planned_change(request: HttpRequest, pk: int) -> HttpResponse:
    row = get_planned(request, pk)
    check_can_change(row)
    form = PlanForm(request.POST or None, instance=row)
    return form_page(
        request,
        form,
        "plan_form.html",
        said="Saved: {}.",
        order=row.order,
        planned=get_planned(request, pk),
        beside_it=that_day(form),
    )


def that_day(form: PlanForm) -> list[PlannedFitting]:
    """What is planned already on the day the form speaks of, so that the hour fits in."""
    said = form["day"].value()
    if not said:
        return []
    day = said if isinstance(said, dt.date) else day_said(said, timezone.localdate())
    rows = PlannedFitting.objects.reachable().standing().between(*Period.of("day", day).moments)
    rows = rows.exclude(pk=form.instance.pk).select_related("order__customer", "with_whom")
    return list(rows[:DAY_SHOWN])


def planned_fitting(request: HttpRequest, pk: int) -> HttpResponse:
    row = get_planned(request, pk)
    return render(request, "planned.html", about(row))


def about(row: PlannedFitting, cancel: CancelForm | None = None) -> dict[str, Any]:
    return {
        "planned": row,
        "told": said_against(row) if row.is_waiting else [],
        "tickets": open_work([row.order_id]).get(row.order_id, []) if row.is_waiting else [],
        "cancel": cancel or CancelForm(instance=row),
        "today": timezone.localdate(),
    }


@require_POST
def planned_cancel(request: HttpRequest, pk: int) -> HttpResponse:
    row = get_planned(request, pk)
    check_can_change(row)
    form = CancelForm(request.POST, instance=get_planned(request, pk))
    if not form.is_valid():
        return render(request, "planned.html", about(row, form), status=422)
    try:
        form.save_seen()
    except RecordChanged as change:
        form.compare()  # takes the newer version as seen: cancelling once more is a choice
        context = about(get_planned(request, pk), form) | {"changed": change}
        return render(request, "planned.html", context, status=409)
    messages.success(request, f"Cancelled: {row}. The reason is kept.")
    return redirect(row)


@require_POST
def planned_start(request: HttpRequest, pk: int) -> HttpResponse:
    """One tap from the plan to the fitting's page; a second tap leads to the same page."""
    row = get_planned(request, pk)
    fresh = row.state == PlanState.PLANNED
    fitting = start(row, by=signed_in(request), on=timezone.localdate())
    if fresh:
        messages.success(request, f"Started: {row}.")
    return redirect(fitting)
