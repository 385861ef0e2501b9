"""The page on which pins, chalk lines and notes are put on a photograph."""

from __future__ import annotations

import uuid
from typing import Any

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.views.decorators.http import require_POST

from fittings.fitting_room.acts import once
from fittings.forms.touches import MarkForm
from fittings.models import Photograph
from fittings.photographs.marking import drawn, put, put_back, take_back
from fittings.refusals import Frozen, Refused
from fittings.views.reach import asks_for_a_part, get_photograph
from fittings.views.sent import made_at, sent_of, signed_in


def photograph_marks(request: HttpRequest, pk: uuid.UUID) -> HttpResponse:
    """Show the photograph with its marks, or put one more."""
    row = get_photograph(request, pk)
    if request.method != "POST":
        return _page(request, row)
    form = MarkForm(request.POST)
    if not form.is_valid():
        return _page(request, row, form=form, status=422)
    try:
        mark = put(
            row,
            kind=form.cleaned_data["kind"],
            points=form.points(),
            words=form.cleaned_data["words"],
            by=signed_in(request),
            made_at=made_at(request),
            identity=form.cleaned_data["identity"],
        )
    except Refused as refusal:
        return _page(request, row, form=form, refusal=str(refusal), status=422)
    return _done(request, row, f"Put: {mark}.")


@require_POST
def photograph_mark_remove(request: HttpRequest, pk: uuid.UUID, mark: uuid.UUID) -> HttpResponse:
    """Take a mark back, or with `back` put it back."""
    row, sent = get_photograph(request, pk), sent_of(request)
    found = get_object_or_404(row.marks.select_related("photograph__fitting"), pk=mark)

    def act() -> str:
        if "back" in request.POST:
            put_back(found)
            return f"Put back: {found}."
        take_back(found, by=sent.by, at=sent.made_at)
        return f"Taken back: {found}."

    try:
        return _done(request, row, once(row.customer, "mark", sent, act))
    except Refused as refusal:
        status = 409 if isinstance(refusal, Frozen) else 422
        return _page(request, row, refusal=str(refusal), status=status)


def _done(request: HttpRequest, row: Photograph, told: str) -> HttpResponse:
    if asks_for_a_part(request):
        return _page(request, row, told=told)
    messages.success(request, told)
    return redirect("photograph-marks", row.pk)


def _page(
    request: HttpRequest,
    row: Photograph,
    *,
    form: MarkForm | None = None,
    refusal: str = "",
    told: str = "",
    status: int = 200,
) -> HttpResponse:
    """The page, or for htmx the part with the picture, its marks and a fresh form."""
    marks = list(row.marks.select_related("made_by", "removed_by"))
    part = asks_for_a_part(request)
    context: dict[str, Any] = {
        "photograph": row,
        "fitting": row.fitting,
        "marks": [mark for mark in marks if mark.removed_at is None],
        "taken_back": [mark for mark in marks if mark.removed_at is not None],
        "drawn": drawn(row, marks),
        "form": form or MarkForm(),
        "refusal": refusal,
        "told": told,
        "part": part,
    }
    template = "photograph_marks.html#marked" if part else "photograph_marks.html"
    return render(request, template, context, status=status)
