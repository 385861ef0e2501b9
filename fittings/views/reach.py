"""How pages reach what they show: one getter per kind of record, and one way to answer a form."""

import uuid
from collections.abc import Callable
from typing import Any

from django.contrib import messages
from django.core.paginator import Page, Paginator
from django.db.models import QuerySet
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils.functional import cached_property

from fittings.forms.kept import KeptForm
from fittings.looked_at import looked_at
from fittings.models import (
    Customer,
    FindableKind,
    MeasurementSet,
    Order,
    Photograph,
    PlannedFitting,
)
from fittings.refusals import RecordChanged
from fittings.search.narrowing import holding

PER_PAGE = 50
PAGES_AHEAD = 20
LONGEST_NUMBER = 7
LONGEST_KEY = 10
# Given a number, the keys of the first so many in the order of the list.
First = Callable[[int], list[Any]]


def key_said(text: str) -> int:
    """The key of a row as a form or an address says it; 0, which is none's, for anything else."""
    return int(text) if text.isdecimal() and len(text) < LONGEST_KEY else 0


def get_customer(request: HttpRequest, pk: int) -> Customer:
    """The customer of this number, unless erased."""
    row = get_object_or_404(Customer.objects.present(), pk=pk)
    looked_at(request, row.pk)
    return row


def get_order(request: HttpRequest, pk: int) -> Order:
    """An order with its customer, maker and pattern version, unless the customer is erased."""
    orders = Order.objects.filter(customer__erased_on=None)
    row = get_object_or_404(
        orders.select_related("customer", "maker", "outside_maker", "pattern_version__pattern"),
        pk=pk,
    )
    looked_at(request, row.customer_id)
    return row


def get_planned(request: HttpRequest, pk: int) -> PlannedFitting:
    """A planned fitting with its order, customer and fitter, unless the customer is erased."""
    rows = PlannedFitting.objects.reachable()
    row = get_object_or_404(rows.select_related("order__customer", "with_whom", "fitting"), pk=pk)
    looked_at(request, row.order.customer_id)
    return row


def get_measures(request: HttpRequest, pk: int) -> MeasurementSet:
    sets = MeasurementSet.objects.filter(customer__erased_on=None)
    row = get_object_or_404(
        sets.select_related("customer", "taken_by").prefetch_related("measurements"), pk=pk
    )
    looked_at(request, row.customer_id)
    return row


def get_photograph(request: HttpRequest, pk: uuid.UUID) -> Photograph:
    """A photograph, taken back or not, as long as the customer agrees to photographs to fit by."""
    rows = Photograph.objects.consented().select_related(
        "fitting__order__customer", "made_by", "removed_by"
    )
    row = get_object_or_404(rows, pk=pk)
    looked_at(request, row.fitting.order.customer_id)
    return row


def unit_of(request: HttpRequest) -> str:
    """The unit that whoever is signed in reads and writes lengths in."""
    return request.user.units if request.user.is_authenticated else "cm"


def who(request: HttpRequest) -> int:
    """The key of whoever is signed in."""
    if request.user.pk is None:
        raise Http404("There is no such page for you.")
    return request.user.pk


def asks_for_a_part(request: HttpRequest) -> bool:
    """Whether htmx asks, for the part it will put into the page; else the whole page is wanted."""
    return request.headers.get("HX-Request") == "true"


class CountedAhead(Paginator[Any]):
    """Counts rows only so far as the pager speaks of them: a shop of 40 years has too many. One
    query for their keys says how many they are and which stand on the page."""

    def __init__(
        self, rows: QuerySet[Any, Any], per_page: int, page: str, first: First, *, ahead: int
    ) -> None:
        super().__init__(rows, per_page)
        number = int(page) if page.isdecimal() and len(page) < LONGEST_NUMBER else 1
        self.rows, self.first, self.most = rows, first, (number + ahead) * per_page

    @cached_property
    def keys(self) -> list[Any]:
        # One more than is spoken of tells that there are more.
        return self.first(self.most + 1)

    @cached_property
    def count(self) -> int:
        return len(self.keys)

    def page(self, number: Any) -> Page[Any]:
        number = self.validate_number(number)
        first = (number - 1) * self.per_page
        keys = self.keys[first : first + self.per_page]
        rows = {row.pk: row for row in self.rows.order_by().filter(pk__in=keys)}
        return Page([rows[key] for key in keys if key in rows], number, self)

    @property
    def said(self) -> str:
        return f"more than {self.most}" if self.has_more else str(self.count)

    @property
    def has_more(self) -> bool:
        return self.count > self.most


def page_of(
    request: HttpRequest,
    rows: QuerySet[Any, Any],
    first: First | None = None,
    *,
    per_page: int = PER_PAGE,
    ahead: int = PAGES_AHEAD,
) -> Page[Any]:
    """The page that is asked for, of all these rows or of those whose keys `first` says."""
    wanted = request.GET.get("page", "")
    first = first or keys_of(rows)
    return CountedAhead(rows, per_page, wanted, first, ahead=ahead).get_page(wanted)


def page_found(
    request: HttpRequest, rows: QuerySet[Any, Any], words: str, kind: FindableKind
) -> Page[Any]:
    """Of rows of this kind those that hold the words; all where nothing was typed."""
    if not words.strip():
        return page_of(request, rows)
    found, many = holding(rows, words, kind)
    return page_of(request, rows, keys_of(found), ahead=0 if many else PAGES_AHEAD)


def keys_of(rows: QuerySet[Any, Any]) -> First:
    return lambda most: list(rows.values_list("pk", flat=True)[:most])


def form_page(
    request: HttpRequest,
    form: KeptForm[Any],
    template: str,
    *,
    said: str,
    then: Callable[[Any], str] = lambda row: str(row.get_absolute_url()),
    **context: Any,
) -> HttpResponse:
    """Show the form, or save it: 422 when something is wrong in it, 409 with what is saved now
    beside what was typed when somebody else saved first."""
    context["form"] = form
    if request.method != "POST":
        return render(request, template, context)
    if not form.is_valid():
        return render(request, template, context, status=422)
    try:
        row = form.save_seen()
    except RecordChanged as change:
        context |= {"changed": change, "beside": form.compare()}
        return render(request, template, context, status=409)
    messages.success(request, said.format(row))
    return redirect(then(row))
