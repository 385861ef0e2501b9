"""A consent asked and recorded where it is needed: at the fitting, or on the customer's page."""

from __future__ import annotations

import datetime as dt
from typing import Any, Final

from django.contrib import messages
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils import timezone
from django.views.decorators.http import require_POST

from fittings.consents import BY_KEY, Consent, agree, withdraw, withdrawal
from fittings.erasing.parts import PHOTOGRAPHS, destroy
from fittings.fitting_room.acts import once
from fittings.models import Customer, Photograph
from fittings.photographs.showing import shown_of
from fittings.refusals import RecordChanged, Refused
from fittings.views.fitting_room import get_fitting
from fittings.views.reach import asks_for_a_part, get_customer
from fittings.views.sent import sent_of

SAYS: Final = frozenset({"agreed", "withdrawn"})


@require_POST
def customer_consent(request: HttpRequest, pk: int) -> HttpResponse:
    customer = get_customer(request, pk)
    messages.success(request, _record(request, customer))
    return redirect(f"{customer.get_absolute_url()}#consents")


@require_POST
def fitting_consent(request: HttpRequest, pk: int) -> HttpResponse:
    row, part = get_fitting(request, pk), asks_for_a_part(request)
    refusal = said = ""
    try:
        said = _record(request, row.order.customer)
    except Refused as refused:
        if not part:
            raise
        refusal = str(refused)
    if not part:
        messages.success(request, said)
        return redirect(f"{row.get_absolute_url()}#photographs")
    context = {"fitting": row, "shown": shown_of(row), "consent_said": said or refusal}
    context |= {"refusals": [refusal] if refusal else [], "part": True}
    return render(request, "fitting_photographs.html", context, status=422 if refusal else 200)


def photographs_erase(request: HttpRequest, pk: int) -> HttpResponse:
    """The owner's page: says what will be destroyed, and destroys it when told so."""
    customer = get_customer(request, pk)
    if request.method == "POST":
        by: Any = request.user
        count = destroy(customer, PHOTOGRAPHS, by=by, at=timezone.now())
        messages.success(request, f"Erased: {count} photograph{'' if count == 1 else 's'}.")
        return redirect(customer)
    count = Photograph.objects.filter(fitting__order__customer=customer).count()
    return render(request, "photographs_erase.html", {"customer": customer, "count": count})


def _record(request: HttpRequest, customer: Customer) -> str:
    """Record what the customer said, at the time of the device, under whoever is signed in."""
    consent = BY_KEY.get(request.POST.get("consent", ""))
    says = request.POST.get("says", "")
    if consent is None or says not in SAYS:
        raise Http404("There is no such consent.")
    sent, over = sent_of(request), request.POST.get("over", "")

    def record() -> str:
        try:
            _say(customer, consent, says, sent.made_at, over)
        except RecordChanged:
            # Somebody saved the customer in between; one tap says the same over the newer state.
            _say(customer.as_saved(), consent, says, sent.made_at, over)
        day = timezone.localdate(sent.made_at)
        on = "today" if day == timezone.localdate() else f"on {day:%-d %b %Y}"
        done = f"agreed to {on}" if says == "agreed" else "taken back"
        return f"{consent.words}: {done}."

    kind = withdrawal(consent) if says == "withdrawn" else "agreed"
    said = once(customer, kind, sent, record)
    customer.refresh_from_db()
    return said


def _say(customer: Customer, consent: Consent, says: str, at: dt.datetime, over: str) -> None:
    if says == "agreed":
        agree(customer, consent, at=at, over=over)
    else:
        withdraw(customer, consent)
