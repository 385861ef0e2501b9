"""Orders: the list, all about one, and its inlays."""

from typing import Any, Final

from django.contrib import messages
from django.db.models import F
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils import timezone

from fittings.forms.orders import InlaysForm, OrderForm
from fittings.models import (
    FindableKind,
    GarmentOnly,
    InlayPlace,
    Order,
    OrderInlay,
    Question,
    Stage,
)
from fittings.refusals import RecordChanged
from fittings.views.pattern_history import FLAGS_SHOWN, get_version_of
from fittings.views.reach import (
    form_page,
    get_customer,
    get_order,
    key_said,
    page_found,
    unit_of,
)
from patterns.models import PatternVersion

PLANS_SHOWN: Final = 12
SOONEST_FIRST: Final = (F("promised_on").asc(nulls_last=True), "pk")


def order_list(request: HttpRequest) -> HttpResponse:
    words, stage = request.GET.get("q", ""), request.GET.get("stage", "open")
    orders = Order.objects.filter(customer__erased_on=None).order_by(*SOONEST_FIRST)
    if stage in Stage:
        orders = orders.filter(stage=stage)
    elif stage != "all":
        orders = orders.open()
    if stage in {Stage.DELIVERED, "all"}:
        # Nobody waits for these: the newest first, straight off an index.
        orders = orders.order_by("-ordered_on", "-pk")
    context = {
        "page": page_found(
            request,
            orders.select_related("customer", "maker", "outside_maker"),
            words,
            FindableKind.ORDER,
        ),
        "words": words,
        "stage": stage,
        "stages": [("open", "All in hand"), *Stage.choices, ("all", "All, delivered too")],
        "today": timezone.localdate(),
    }
    return render(request, "order_list.html", context)


def order_new(request: HttpRequest, pk: int) -> HttpResponse:
    customer = get_customer(request, pk)
    row = Order(customer=customer, ordered_on=timezone.localdate())
    if version := key_said(request.GET.get("from", "")):
        begun_from(row, get_version_of(customer, version))
    form = OrderForm(request.POST or None, instance=row)
    return form_page(request, form, "order_form.html", said="Kept: {}.", customer=customer)


def begun_from(row: Order, version: PatternVersion) -> None:
    """A new order begins as the last one from that pattern was: garment and style."""
    if version.pattern.retired_on is None:
        row.pattern_version = version
    last = row.customer.orders.filter(pattern_version__pattern=version.pattern_id).last()
    if last is not None:
        row.garment, row.style = last.garment, last.style


def order_edit(request: HttpRequest, pk: int) -> HttpResponse:
    row = get_order(request, pk)
    form = OrderForm(request.POST or None, instance=row)
    return form_page(
        request,
        form,
        "order_form.html",
        said="Saved: {}.",
        customer=row.customer,
        order=get_order(request, pk),
    )


def order(request: HttpRequest, pk: int) -> HttpResponse:
    row = get_order(request, pk)
    context = {
        "order": row,
        "stages": Stage.choices,
        "inlays": inlays_of(row),
        "fittings": row.fittings.select_related("fitter"),
        "tickets": row.tickets.newest().select_related("issued_by"),
        "asked": Question.objects.of_order(row).open().with_paper(),
        "today": timezone.localdate(),
        "now": timezone.now(),
        "plans": row.planned_fittings.unkept().select_related("with_whom")[:PLANS_SHOWN],
        **garment_only_of(row),
    }
    return render(request, "order.html", context)


def garment_only_of(row: Order) -> dict[str, Any]:
    """What this garment knows and its pattern does not; and, until it is delivered, what the
    customer's other garments of its kind know; before it is cut also what they are to get."""
    rows = list(GarmentOnly.objects.filter(order__customer=row.customer_id).told())
    mine = [flag for flag in rows if flag.order_id == row.pk]
    not_cut = row.stage == Stage.MEASURED
    earlier = [
        flag
        for flag in rows
        if flag.order_id != row.pk and flag.order.garment == row.garment
        if flag.is_open or (not_cut and not flag.settled)
    ]
    return {
        "garment_only": [flag for flag in mine if flag.is_open][:FLAGS_SHOWN],
        "garment_only_settled": [flag for flag in mine if flag.settled][:FLAGS_SHOWN],
        "garment_only_before": earlier[:FLAGS_SHOWN] if row.stage != Stage.DELIVERED else [],
        "not_cut": not_cut,
    }


def inlays_of(row: Order) -> list[tuple[str, OrderInlay | None, OrderInlay | None]]:
    """Place in words, wearer's left, wearer's right; only places with a record."""
    kept = {(inlay.place, inlay.side): inlay for inlay in row.inlays.all()}
    return [
        (str(place.label), kept.get((place, "left")), kept.get((place, "right")))
        for place in InlayPlace
        if (place, "left") in kept or (place, "right") in kept
    ]


def order_inlays(request: HttpRequest, pk: int) -> HttpResponse:
    row = get_order(request, pk)
    form = InlaysForm(request.POST or None, order=row, unit=unit_of(request))
    context = {"order": row, "form": form}
    if request.method != "POST":
        return render(request, "order_inlays.html", context)
    if "usual" in request.POST:
        context |= {"form": form.with_usual(), "filled": True}
        return render(request, "order_inlays.html", context)
    if not form.is_valid():
        return render(request, "order_inlays.html", context, status=422)
    try:
        form.save()
    except RecordChanged as change:
        saved = get_order(request, pk)
        form.look_again(saved)
        context |= {"changed": change, "inlays": inlays_of(saved)}
        return render(request, "order_inlays.html", context, status=409)
    messages.success(request, f"Saved: inlays of {row}.")
    return redirect(row)
