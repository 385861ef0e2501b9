"""What was altered on a garment and not on its pattern: noted, shown, settled."""

from __future__ import annotations

from typing import Any

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone

from fittings.forms.unsettled import GarmentOnlyForm, SettleForm
from fittings.models import GarmentOnly
from fittings.pattern_history.garment_only import (
    decide_against,
    flag_amount,
    missing,
    note_by_hand,
    take_over,
    take_over_now,
)
from fittings.refusals import Refused
from fittings.views.reach import get_order, unit_of


def garment_only_new(request: HttpRequest, pk: int) -> HttpResponse:
    order = get_order(request, pk)
    data = request.POST if request.method == "POST" else None
    form = GarmentOnlyForm(data, order=order, unit=unit_of(request))
    context = {"form": form, "order": order}
    if request.method != "POST":
        return render(request, "garment_only_new.html", context)
    if not form.is_valid():
        return render(request, "garment_only_new.html", context, status=422)
    said, by, at = form.cleaned_data, _by(request), timezone.now()
    amount_mm = said["amount"].mm if said["amount"] else None
    try:
        if said["line"] and amount_mm is not None:
            flag_amount(said["line"], amount_mm, by=by, at=at)
        else:
            words = {name: said[name] for name in ("what", "place", "side")}
            note_by_hand(order, **words, amount_mm=amount_mm, by=by, at=at)
    except Refused as refused:
        form.add_error(None, str(refused))
        return render(request, "garment_only_new.html", context, status=422)
    messages.success(request, "Noted: it is shown until somebody settles it.")
    return redirect(order)


def _by(request: HttpRequest) -> Any:
    return request.user


def get_flag(request: HttpRequest, pk: int) -> GarmentOnly:
    """A flag with its order and line, unless the customer is erased."""
    rows = GarmentOnly.objects.filter(order__customer__erased_on=None).told()
    return get_object_or_404(rows.select_related("order__pattern_version__pattern"), pk=pk)


def garment_only(request: HttpRequest, pk: int) -> HttpResponse:
    """One flag, and the ways to settle it: `how` is "now", "taken" or "against"."""
    flag = get_flag(request, pk)
    form = SettleForm(request.POST if request.method == "POST" else None, flag=flag)
    context: dict[str, Any] = {"flag": flag, "form": form, "missing": missing(flag)}
    if request.method != "POST":
        return render(request, "garment_only.html", context)
    if not form.is_valid():
        return render(request, "garment_only.html", context, status=422)
    try:
        _settle(flag, request.POST.get("how", ""), form.cleaned_data, by=_by(request))
    except Refused as refused:
        context |= {"refusal": refused, "flag": get_flag(request, pk)}
        return render(request, "garment_only.html", context, status=422)
    messages.success(request, f"Settled: {flag.get_settled_display().lower()}.")
    return redirect(flag.order)


def _settle(flag: GarmentOnly, how: str, said: dict[str, Any], *, by: Any) -> None:
    at = timezone.now()
    if how == "now":
        take_over_now(flag, by=by, at=at)
    elif how == "taken":
        if said["into"] is None:
            raise Refused("Choose the version that has it now.")
        take_over(flag, said["into"], by=by, at=at)
    else:
        decide_against(flag, said["reason"], by=by, at=at)
