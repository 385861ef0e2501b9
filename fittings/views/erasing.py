"""A customer erased for good, by the owner."""

from typing import Any, Final

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils import timezone

from fittings.erasing.erase import erase
from fittings.erasing.listed import write_down
from fittings.erasing.traces import settle
from fittings.forms.erasing import EraseForm
from fittings.models import Order, Photograph, Ticket
from fittings.views.reach import get_customer

PUT_OFF: Final = (
    "The database was busy, and its file may still hold what was erased until it is cleared: run "
    "“manage.py reapply_erasures” at a quiet moment."
)


def customer_erase(request: HttpRequest, pk: int) -> HttpResponse:
    """Says what will be destroyed and what stays; destroys once the number is typed."""
    customer = get_customer(request, pk)
    form = EraseForm(request.POST or None, wanted=customer.number)
    if request.method == "POST" and form.is_valid():
        by: Any = request.user
        erase(customer, by=by, on=timezone.localdate())
        write_down()
        messages.success(request, f"{customer.number} is erased.")
        if not settle():
            messages.warning(request, PUT_OFF)
        return redirect("customer-list")
    orders = Order.objects.filter(customer=customer)
    context = {
        "customer": customer,
        "form": form,
        "orders": orders.count(),
        "open_orders": orders.open().count(),
        "photographs": Photograph.objects.filter(fitting__order__customer=customer).count(),
        "tickets": Ticket.objects.filter(order__customer=customer).count(),
    }
    status = 422 if form.is_bound else 200
    return render(request, "customer_erase.html", context, status=status)
