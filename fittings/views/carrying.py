"""In and out: a customer's record as a file, and one from elsewhere brought in."""

from __future__ import annotations

import uuid
from typing import Any, Final

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils import timezone
from django.views.decorators.http import require_POST

from fittings.carrying.bringing_in import bring_in, look
from fittings.carrying.waiting import forget, put_aside, waiting
from fittings.forms.carrying import BookForm, RecordForm
from fittings.models import BookStep, CustomerBook, ErrandKind
from fittings.refusals import Refused
from fittings.views.errands import asked_for, own_errands
from fittings.views.reach import get_customer

BOOKS_SHOWN: Final = 5


def in_and_out(request: HttpRequest) -> HttpResponse:
    return both_ways(request)


def both_ways(
    request: HttpRequest,
    *,
    record_form: RecordForm | None = None,
    book_form: BookForm | None = None,
    status: int = 200,
) -> HttpResponse:
    """The page of in and out, with a form that came back, and the books that are under way."""
    context = {
        "record_form": record_form or RecordForm(),
        "book_form": book_form or BookForm(),
        "errands": own_errands(request, "in-and-out"),
        "books": CustomerBook.objects.exclude(step__in=[BookStep.READING, BookStep.KEPT])[
            :BOOKS_SHOWN
        ],
    }
    return render(request, "in_and_out.html", context, status=status)


@require_POST
def customer_record(request: HttpRequest, pk: int) -> HttpResponse:
    """All that is kept of a customer as a zip file: a second for each paper that is laid out."""
    customer = get_customer(request, pk)
    return asked_for(request, ErrandKind.RECORD, customer.number, customer=customer)


@require_POST
def record_new(request: HttpRequest) -> HttpResponse:
    form = RecordForm(request.POST, request.FILES)
    if form.is_valid():
        try:
            key = put_aside(form.cleaned_data["record"], at=timezone.now())
            return redirect("record", key)
        except Refused as refused:
            form.add_error("record", str(refused))
    return both_ways(request, record_form=form, status=422)


def record(request: HttpRequest, key: uuid.UUID) -> HttpResponse:
    """What a record would make here; brought in when told so."""
    by: Any = request.user
    with waiting(key) as opened:
        if request.method != "POST":
            seen = look(opened, by=by, at=timezone.now())
            shown = {"opened": opened, "seen": seen, "made": dict(seen.rows), "key": key}
            return render(request, "record.html", shown)
        brought = bring_in(opened, by=by, at=timezone.now())
    forget(key)
    customer = brought.customer
    messages.success(request, f"Brought in: {customer}.")
    return redirect(customer or "in-and-out")


@require_POST
def record_leave(request: HttpRequest, key: uuid.UUID) -> HttpResponse:
    forget(key)
    messages.success(request, "Nothing was brought in; the file is deleted here.")
    return redirect("in-and-out")
