"""A consent asked and recorded where it is needed: at the fitting, or on the customer's page."""

from __future__ import annotations

from typing import Final

from django.contrib import messages
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils import timezone
from django.views.decorators.http import require_POST

from fittings.consents import BY_KEY, agree, withdraw
from fittings.models import Customer, Photograph
from fittings.photographs.erasing import erase_photographs
from fittings.photographs.showing import shown_of
from fittings.refusals import RecordChanged
from fittings.views.fitting_room import get_fitting
from fittings.views.reach import asks_for_a_part, get_customer

SAID: Final = {"agreed": "agreed to today", "withdrawn": "taken back"}


@require_POST
def customer_consent(request: HttpRequest, pk: int) -> HttpResponse:
    customer = get_customer(request, pk)
    messages.success(request, _record(request, customer))
    return redirect(f"{customer.get_absolute_url()}#consents")


@require_POST
def fitting_consent(request: HttpRequest, pk: int) -> HttpResponse:
    row = get_fitting(request, pk)
    said = _record(request, row.order.customer)
    if not asks_for_a_part(request):
        messages.success(request, said)
        return redirect(f"{row.get_absolute_url()}#photographs")
    context = {"fitting": row, "shown": shown_of(row), "consent_said": said, "part": True}
    return render(request, "fitting_photographs.html", context)


def photographs_erase(request: HttpRequest, pk: int) -> HttpResponse:
    """The owner's page: says what will be destroyed, and destroys it when told so."""
    customer = get_customer(request, pk)
    if request.method == "POST":
        count = erase_photographs(customer)
        messages.success(request, f"Erased: {count} photograph{'' if count == 1 else 's'}.")
        return redirect(customer)
    count = Photograph.objects.filter(fitting__order__customer=customer).count()
    return render(request, "photographs_erase.html", {"customer": customer, "count": count})


def _record(request: HttpRequest, customer: Customer) -> str:
    """Record what the customer said; the day is today's, who asked is whoever is signed in."""
    consent = BY_KEY.get(request.POST.get("consent", ""))
    says = request.POST.get("says", "")
    if consent is None or says not in SAID:
        raise Http404("There is no such consent.")
    try:
        _say(customer, consent.key, says)
    except RecordChanged:
        # Somebody saved the customer in between; one tap says the same over the newer state.
        _say(customer.as_saved(), consent.key, says)
        customer.refresh_from_db()
    return f"{consent.words}: {SAID[says]}."


def _say(customer: Customer, key: str, says: str) -> None:
    if says == "agreed":
        agree(customer, BY_KEY[key], day=timezone.localdate())
    else:
        withdraw(customer, BY_KEY[key])
