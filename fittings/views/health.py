"""Notes of health: opened by a tap of their own, each look written in the trail."""

from __future__ import annotations

from typing import Any

from django.contrib import messages
from django.db import transaction
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.utils import timezone
from django.views.decorators.http import require_POST

from fittings.consents import HEALTH, agree, standing_of, withdraw
from fittings.errands.under_way import forget_packed
from fittings.forms.health import HealthNoteForm
from fittings.models import Customer, HealthNote
from fittings.refusals import Refused
from fittings.views.reach import form_page, get_customer, page_of, who


def get_health_note(request: HttpRequest, pk: int) -> HealthNote:
    """A note, as long as the customer agrees to notes of health."""
    row = get_object_or_404(HealthNote.objects.consented().select_related("customer"), pk=pk)
    get_customer(request, row.customer_id)
    return row


def health_notes(request: HttpRequest, pk: int) -> HttpResponse:
    customer = get_customer(request, pk)
    rows = customer.health_notes.consented().select_related("noted_by")
    context: dict[str, Any] = {
        "customer": customer,
        "page": page_of(request, rows),
        "consent": standing_of(customer, HEALTH),
    }
    if not customer.health_consent_on:
        context["hidden"] = customer.health_notes.count()
    return render(request, "health_notes.html", context)


def health_note_new(request: HttpRequest, pk: int) -> HttpResponse:
    customer = get_customer(request, pk)
    if not customer.health_consent_on:
        raise Refused("Ask first: notes of health are written only once the customer agrees.")
    note = HealthNote(customer=customer, noted_on=timezone.localdate(), noted_by_id=who(request))
    return _form(request, note)


def health_note_edit(request: HttpRequest, pk: int) -> HttpResponse:
    return _form(request, get_health_note(request, pk))


def _form(request: HttpRequest, note: HealthNote) -> HttpResponse:
    form = HealthNoteForm(request.POST or None, instance=note)
    return form_page(
        request,
        form,
        "health_note_form.html",
        said="Saved: {}.",
        then=lambda row: address(row.customer),
        customer=note.customer,
        note=note if note.pk else None,
    )


@require_POST
def health_note_delete(request: HttpRequest, pk: int) -> HttpResponse:
    """Gone for good: the history knows that there was a note, and not what it said."""
    note = get_health_note(request, pk)
    with transaction.atomic():
        note.delete()
        forget_packed(note.customer)
    messages.success(request, "Deleted: one note of health.")
    return redirect(address(note.customer))


@require_POST
def health_consent(request: HttpRequest, pk: int) -> HttpResponse:
    """Agreed to, taken back, or, once it is taken back, all notes deleted."""
    customer, says = get_customer(request, pk), request.POST.get("says", "")
    if says == "agreed":
        agree(customer, HEALTH, at=timezone.now())
        messages.success(request, "Notes of health: agreed to today.")
    elif says == "withdrawn":
        withdraw(customer, HEALTH)
        messages.success(request, "Notes of health: taken back. They are shown to nobody now.")
    elif says == "delete" and not customer.health_consent_on:
        count = customer.health_notes.count()
        with transaction.atomic():
            customer.health_notes.all().delete()
            forget_packed(customer)
        messages.success(request, f"Deleted: {count} note{'' if count == 1 else 's'} of health.")
    else:
        raise Http404("There is no such answer.")
    return redirect(address(customer))


def address(customer: Customer) -> str:
    return reverse("health-notes", args=[customer.pk])
