"""For how long people's data are kept, and what is past that: the owner's pages."""

from __future__ import annotations

from typing import Any, Final

from django.contrib import messages
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.utils import timezone

from fittings.erasing.parts import destroy, keys_of_part
from fittings.forms.retention import KeptLongerForm, PeriodsForm
from fittings.models import KeptKind, KeptLonger, RetentionPeriods
from fittings.retention.due import due
from fittings.views.reach import form_page, get_customer, page_of, who

# By kind: the page that destroys it, and what its button says.
ACTS: Final = {
    KeptKind.CONTACT: ("customer-erase", "Erase the customer"),
    KeptKind.MEASURES: ("measures-erase", "Erase the measures"),
    KeptKind.PHOTOGRAPHS: ("photographs-erase", "Erase the photographs"),
}


def _kind(text: str) -> KeptKind:
    if text not in KeptKind.values:
        raise Http404("There is no such kind.")
    return KeptKind(text)


def what_is_due(request: HttpRequest) -> HttpResponse:
    kind = _kind(request.GET.get("kind", KeptKind.CONTACT))
    periods = RetentionPeriods.of_shop()
    act, words = ACTS[kind]
    context = {
        "kind": kind,
        "kinds": [(one, one.label.split(":")[0]) for one in KeptKind],
        "years": periods.years(kind),
        "page": page_of(request, due(kind, periods, timezone.localdate())),
        "act": act,
        "act_words": words,
    }
    return render(request, "what_is_due.html", context)


def periods(request: HttpRequest) -> HttpResponse:
    form = PeriodsForm(request.POST or None, instance=RetentionPeriods.of_shop())
    return form_page(
        request, form, "periods.html", said="Saved: {}.", then=lambda _: reverse("what-is-due")
    )


def keep_longer(request: HttpRequest, pk: int, kind: str) -> HttpResponse:
    """Kept until a day, for a reason."""
    customer, of_kind = get_customer(request, pk), _kind(kind)
    row = KeptLonger(
        customer=customer, kind=of_kind, said_at=timezone.now(), said_by_id=who(request)
    )
    form = KeptLongerForm(request.POST or None, instance=row, today=timezone.localdate())
    if request.method == "POST" and form.is_valid():
        kept = form.save()
        messages.success(request, f"{customer}: {kept}.")
        return redirect(_list_of(of_kind))
    context = {
        "customer": customer,
        "kind": of_kind,
        "form": form,
        "before": customer.kept_longer.filter(kind=of_kind).select_related("said_by")[:5],
        "back": _list_of(of_kind),
    }
    status = 422 if form.is_bound else 200
    return render(request, "keep_longer.html", context, status=status)


def measures_erase(request: HttpRequest, pk: int) -> HttpResponse:
    """The owner's page: says what will be destroyed, and destroys it when told so."""
    customer = get_customer(request, pk)
    if request.method == "POST":
        by: Any = request.user
        count = destroy(customer, KeptKind.MEASURES, by=by, at=timezone.now())
        messages.success(request, f"Erased: {count} measures and notes of the figure.")
        return redirect(customer)
    count = sum(map(len, keys_of_part(customer, KeptKind.MEASURES).values()))
    return render(request, "measures_erase.html", {"customer": customer, "count": count})


def _list_of(kind: KeptKind) -> str:
    return f"{reverse('what-is-due')}?kind={kind.value}"
