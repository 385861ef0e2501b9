"""Customers: the list, and all about one."""

from typing import Any

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.utils import timezone

from fittings.forms.customers import CustomerForm, FigureNoteForm
from fittings.models import Customer, FigureNote, FindableKind, Fitting, PlannedFitting
from fittings.views.measures import told_of
from fittings.views.pattern_history import open_flags
from fittings.views.reach import form_page, get_customer, page_found, unit_of

FITTINGS_SHOWN = 12


def customer_list(request: HttpRequest) -> HttpResponse:
    words = request.GET.get("q", "")
    page = page_found(request, Customer.objects.present(), words, FindableKind.CUSTOMER)
    return render(request, "customer_list.html", {"page": page, "words": words})


def customer_new(request: HttpRequest) -> HttpResponse:
    form = CustomerForm(request.POST or None)
    return form_page(request, form, "customer_form.html", said="Kept: {}.")


def customer_edit(request: HttpRequest, pk: int) -> HttpResponse:
    customer = get_customer(request, pk)
    form = CustomerForm(request.POST or None, instance=customer)
    return form_page(
        request, form, "customer_form.html", said="Saved: {}.", customer=get_customer(request, pk)
    )


def customer(request: HttpRequest, pk: int) -> HttpResponse:
    return render(request, "customer.html", all_about(request, get_customer(request, pk)))


def all_about(request: HttpRequest, customer: Customer) -> dict[str, Any]:
    """What the customer's page shows; a fixed number of queries however much there is."""
    orders = list(customer.orders.select_related("pattern_version__pattern"))
    sets = list(customer.measurement_sets.select_related("taken_by"))
    fittings = Fitting.objects.filter(order__customer=customer).select_related("order", "fitter")
    told = told_of(customer, sets, unit=unit_of(request))
    return (
        figure_of(customer)
        | told
        | {
            "measurement_sets": sets,
            "arms": arms_of(customer),
            "orders": orders,
            "versions": sorted(
                {order.pattern_version for order in orders if order.pattern_version},
                key=lambda version: (-version.pattern_id, -version.number),
            ),
            "fittings": fittings[:FITTINGS_SHOWN],
            "flags": open_flags(customer),
            "today": timezone.localdate(),
            "now": timezone.now(),
            "plans": PlannedFitting.objects.filter(order__customer=customer)
            .waiting()
            .select_related("order", "with_whom")[:FITTINGS_SHOWN],
        }
    )


def figure_of(customer: Customer) -> dict[str, Any]:
    """What the part of the page with the figure notes shows."""
    return {
        "customer": customer,
        "notes": customer.figure_notes.select_related("noted_by"),
        "note_form": FigureNoteForm(instance=FigureNote(customer=customer)),
    }


def arms_of(customer: Customer) -> dict[str, Any]:
    """The newest observation of each arm, by side."""
    arms: dict[str, Any] = {"left": None, "right": None}
    for seen in customer.arm_carriages.select_related("observed_by"):
        arms[seen.side] = arms[seen.side] or seen
    return arms
