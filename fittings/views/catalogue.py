"""The owner's page of findings: the shop's amounts and words over the book's, and its own rows."""

from __future__ import annotations

import uuid
from dataclasses import dataclass

from django.contrib import messages
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.views.decorators.http import require_POST

from fittings.catalogue import as_said, own_row
from fittings.forms.catalogue import OwnFindingForm, ShopFindingForm
from fittings.models import Garment, ShopFinding
from fittings.views.reach import form_page, page_of, unit_of
from patterns.rules.checks import check_name
from patterns.rules.garment_catalogue import BOOK, GARMENT_FINDINGS
from patterns.rules.garment_finding import GarmentFinding


@dataclass(frozen=True, slots=True, kw_only=True)
class Listed:
    """One row as the shop has it, beside the book's."""

    row: GarmentFinding
    book: GarmentFinding | None
    said: ShopFinding | None

    @property
    def check(self) -> str:
        return check_name(self.row.check)


def shop_findings(request: HttpRequest) -> HttpResponse:
    """The book of one garment in the order of checks, then the shop's own rows, paged."""
    garment = request.GET.get("garment", Garment.COAT)
    if garment not in BOOK:
        raise Http404("There is no such garment.")
    said = {row.rule: row for row in ShopFinding.objects.filter(is_own=False)}
    own = page_of(request, ShopFinding.objects.filter(is_own=True, garment=garment))
    context = {
        "garment": Garment(garment),
        "garments": Garment,
        "book": [
            Listed(row=as_said(row, said.get(row.id)), book=row, said=said.get(row.id))
            for row in BOOK[garment]
        ],
        "own": [Listed(row=own_row(row), book=None, said=row) for row in own],
        "page": own,
    }
    return render(request, "shop_findings.html", context)


def shop_finding_edit(request: HttpRequest, rule: str) -> HttpResponse:
    """What the shop says of one row; of the book's, empty means as the book has it."""
    book, row = _found(rule)
    kind = ShopFindingForm if book else OwnFindingForm
    form = kind(request.POST or None, instance=row, unit=unit_of(request))
    return form_page(
        request,
        form,
        "shop_finding_form.html",
        said="Saved: {}.",
        then=lambda row: _list_of(row, book),
        book=book,
        row=row,
    )


def shop_finding_new(request: HttpRequest) -> HttpResponse:
    row = ShopFinding(rule=f"own_{uuid.uuid4().hex[:12]}", is_own=True)
    form = OwnFindingForm(request.POST or None, instance=row, unit=unit_of(request))
    return form_page(
        request,
        form,
        "shop_finding_form.html",
        said="Saved: {}.",
        then=lambda row: _list_of(row, None),
        row=row,
    )


@require_POST
def shop_finding_reset(request: HttpRequest, rule: str) -> HttpResponse:
    """Back to what the book says; the history keeps what was said."""
    book, row = _found(rule)
    if book is None:
        raise Http404("A finding of the shop's own has no book to go back to: switch it off.")
    if row.pk:
        row.delete()
    messages.success(request, f"As the book says again: {book.name}.")
    return redirect(_list_of(row, book))


def _found(rule: str) -> tuple[GarmentFinding | None, ShopFinding]:
    book = GARMENT_FINDINGS.get(rule)
    if book is None:
        return None, get_object_or_404(ShopFinding, rule=rule, is_own=True)
    row = ShopFinding.objects.filter(rule=rule).first()
    return book, row or ShopFinding(rule=rule)


def _list_of(row: ShopFinding, book: GarmentFinding | None) -> str:
    garment = row.garment or next(g for g, rows in BOOK.items() if book in rows)
    return f"{reverse('shop-findings')}?garment={garment}"
