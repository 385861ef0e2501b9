"""The owner's page of findings: the shop's amounts and words over the book's, and its own rows."""

from __future__ import annotations

import uuid
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Final

from django.contrib import messages
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.views.decorators.http import require_POST

from fittings.fitting_room.catalogue import as_said, own_row, sleeve_as_said
from fittings.forms.catalogue import OwnFindingForm, ShopFindingForm
from fittings.forms.findings import GROUPS
from fittings.models import Garment, ShopFinding
from fittings.views.reach import form_page, page_of, unit_of
from patterns.rules.catalogue import FINDINGS, Finding
from patterns.rules.checks import check_name
from patterns.rules.garment_catalogue import BOOK, GARMENT_FINDINGS
from patterns.rules.garment_finding import GarmentFinding

SLEEVE: Final = "sleeve"
AnyFinding = Finding | GarmentFinding


@dataclass(frozen=True, slots=True, kw_only=True)
class Listed:
    """One row as the shop has it, beside the book's, under the check it belongs to."""

    row: AnyFinding
    book: AnyFinding | None
    said: ShopFinding | None
    check: str

    @property
    def done(self) -> str:
        return done(self.row)


def done(row: AnyFinding) -> str:
    if isinstance(row, Finding):
        return row.remedy
    return ", or: ".join(remedy.words for remedy in row.remedies)


def shop_findings(request: HttpRequest) -> HttpResponse:
    """The book of one garment in the order of checks, or of its sleeves, then the shop's own rows,
    paged."""
    garment = request.GET.get("garment", Garment.COAT)
    if garment != SLEEVE and garment not in BOOK:
        raise Http404("There is no such garment.")
    said = {row.rule: row for row in ShopFinding.objects.filter(is_own=False)}
    own = page_of(request, ShopFinding.objects.filter(is_own=True, garment=garment))
    context = {
        "garment": garment,
        "label": "Sleeve" if garment == SLEEVE else Garment(garment).label,
        "garments": [*Garment.choices, (SLEEVE, "Sleeve")],
        "is_sleeve": garment == SLEEVE,
        "book": _of_sleeve(said) if garment == SLEEVE else _of_garment(garment, said),
        "own": [_listed(own_row(row), None, row, check_name(row.check_id)) for row in own],
        "page": own,
    }
    return render(request, "shop_findings.html", context)


def _listed(
    row: AnyFinding, book: AnyFinding | None, said: ShopFinding | None, check: str
) -> Listed:
    return Listed(row=row, book=book, said=said, check=check)


def _of_garment(garment: str, said: Mapping[str, ShopFinding]) -> list[Listed]:
    return [
        _listed(as_said(row, said.get(row.id)), row, said.get(row.id), check_name(row.check))
        for row in BOOK[garment]
    ]


def _of_sleeve(said: Mapping[str, ShopFinding]) -> list[Listed]:
    return [
        _listed(sleeve_as_said(FINDINGS[id_], said.get(id_)), FINDINGS[id_], said.get(id_), part)
        for part, ids in GROUPS
        for id_ in ids
    ]


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
        done=done(book) if book else "",
        row=row,
        back=_list_of(row, book),
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
        back=reverse("shop-findings"),
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


def _found(rule: str) -> tuple[AnyFinding | None, ShopFinding]:
    book = FINDINGS.get(rule) or GARMENT_FINDINGS.get(rule)
    if book is None:
        return None, get_object_or_404(ShopFinding, rule=rule, is_own=True)
    row = ShopFinding.objects.filter(rule=rule).first()
    return book, row or ShopFinding(rule=rule)


def _list_of(row: ShopFinding, book: AnyFinding | None) -> str:
    """The list that the row stands in."""
    if isinstance(book, Finding):
        return f"{reverse('shop-findings')}?garment={SLEEVE}"
    garment = row.garment or next((g for g, rows in BOOK.items() if book in rows), Garment.COAT)
    return f"{reverse('shop-findings')}?garment={garment}"
