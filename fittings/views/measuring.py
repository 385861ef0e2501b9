"""The page on which a photograph is measured by touching it."""

from __future__ import annotations

import uuid
from typing import Any

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.views.decorators.http import require_POST

from fittings.forms.touches import MeasureForm
from fittings.models import Photograph, Side
from fittings.photographs.carrying import carry_over, newest, token
from fittings.photographs.measuring import (
    NOT_OF_A_DETAIL,
    Measured,
    keep,
    measure,
    newest_id,
    said,
    touched_on,
)
from fittings.photographs.touching import seen_from, side_of
from fittings.refusals import Frozen, RecordChanged, Refused
from fittings.views.reach import get_photograph, unit_of
from fittings.views.sent import made_at, over_of, signed_in
from patterns.geometry.touches import way


def photograph_measure(request: HttpRequest, pk: uuid.UUID) -> HttpResponse:
    """Show the photograph with its touches, or keep what was touched as readings."""
    row = get_photograph(request, pk)
    side = side_of(row, request.POST.get("side") or request.GET.get("side", ""))
    if seen_from(row) is None:
        raise Refused(NOT_OF_A_DETAIL)
    if request.method != "POST":
        return _page(request, row, side)
    form = MeasureForm(request.POST, side=side, unit=unit_of(request))
    if not form.is_valid():
        return _page(request, row, side, form=form, status=422)
    try:
        entry = keep(
            row,
            form.touched(),
            by=signed_in(request),
            made_at=made_at(request),
            identity=form.cleaned_data["identity"],
            over=over_of(request),
        )
    except Refused as refusal:
        status = 409 if isinstance(refusal, Frozen) else 422
        return _page(request, row, side, form=form, refusal=str(refusal), status=status)
    messages.success(request, f"Kept. {entry.data['text']}.")
    return redirect(_address(row, side))


@require_POST
def photograph_carriage(request: HttpRequest, pk: uuid.UUID) -> HttpResponse:
    """Write what was measured into the customer's record of how the arms hang."""
    row = get_photograph(request, pk)
    side = side_of(row, request.POST.get("side", ""))
    known = _measured(row, side)
    if known is None:
        raise Refused("Nothing is measured on this photograph yet: touch the arm and save first.")
    try:
        carry_over(
            row,
            side,
            known,
            by=signed_in(request),
            seen=request.POST.get("seen", ""),
            on=row.fitting.held_on,
        )
    except RecordChanged as change:
        return _page(request, row, side, refusal=str(change), status=409)
    messages.success(request, f"Written down: how the {Side(side).label} arm hangs.")
    return redirect(_address(row, side))


def _address(row: Photograph, side: str) -> str:
    return f"{reverse('photograph-measure', args=[row.pk])}?side={side}"


def _measured(row: Photograph, side: str) -> Measured | None:
    touched = touched_on(row, side)
    try:
        return measure(row, touched) if touched else None
    except Refused:  # its view was changed since
        return None


def _page(
    request: HttpRequest,
    row: Photograph,
    side: str,
    *,
    form: MeasureForm | None = None,
    refusal: str = "",
    status: int = 200,
) -> HttpResponse:
    touched, unit, view = touched_on(row, side), unit_of(request), seen_from(row)
    known, ahead = _measured(row, side), way(view, side) if view else 0
    context: dict[str, Any] = {
        "photograph": row,
        "fitting": row.fitting,
        "side": Side(side),
        "sides": [] if row.side else [Side.LEFT, Side.RIGHT],
        "form": form or MeasureForm(side=side, unit=unit, touched=touched),
        "known": known,
        "said": said(row, known) if known else "",
        "way": ahead,
        "ahead": "right" if ahead > 0 else "left",
        "ahead_word": "Front" if view and view.is_side else "Out from the body",
        "seen": token(newest(row, side)),
        "over": newest_id(row, side),
        "refusal": refusal,
    }
    return render(request, "photograph_measure.html", context, status=status)
