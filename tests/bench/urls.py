"""The shop's addresses, and beside them a bare view of one row and Django's own lists."""

from django.contrib import admin
from django.db.models import Model
from django.http import HttpRequest, HttpResponse
from django.urls import path

from fittings.models import Customer, Order, Ticket
from patterns.models import Pattern
from tailorshop import urls


def bare(request: HttpRequest, pk: int) -> HttpResponse:
    """One indexed row as plain text."""
    return HttpResponse(Customer.objects.get(pk=pk).family_name, content_type="text/plain")


def _listed(model: type[Model], shown: tuple[str, ...], found_by: tuple[str, ...]) -> None:
    """Paging, ordering and counting are Django's own; rows that are named are fetched along."""
    along = tuple(name for name in shown if model._meta.get_field(name).is_relation)
    how = {"list_display": shown, "search_fields": found_by, "list_select_related": along}
    site.register(model, type(f"{model.__name__}List", (admin.ModelAdmin,), how))


site = admin.AdminSite("bench-admin")
NAMES = ("family_name", "given_name")
_listed(Customer, ("number", *NAMES, "phone"), ("number", *NAMES))
_listed(
    Order,
    ("number", "customer", "garment", "stage", "promised_on"),
    ("number", *(f"customer__{name}" for name in NAMES)),
)
_listed(Pattern, ("number", "name", "made_on"), ("number", "name"))
_listed(
    Ticket,
    ("number", "revision", "order", "issued_at"),
    ("number", *(f"order__customer__{name}" for name in NAMES)),
)

handler400, handler500 = urls.handler400, urls.handler500

urlpatterns = [
    # Named as a page that all may open, or the shop's own middleware would refuse it.
    path("bench/bare/<int:pk>/", bare, name="today"),
    path("bench/admin/", site.urls),
    *urls.urlpatterns,
]
