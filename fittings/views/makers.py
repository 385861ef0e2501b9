"""Makers: those of the shop and those outside, and how their papers are written."""

from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, render
from django.urls import reverse

from fittings.forms.makers import MakerForm
from fittings.models import Maker
from fittings.views.reach import form_page, page_of


def maker_list(request: HttpRequest) -> HttpResponse:
    rows = Maker.objects.select_related("person").order_by("ended_on", "name", "pk")
    return render(request, "maker_list.html", {"page": page_of(request, rows)})


def maker_new(request: HttpRequest) -> HttpResponse:
    return _form_page(request, Maker())


def maker_edit(request: HttpRequest, pk: int) -> HttpResponse:
    return _form_page(request, get_object_or_404(Maker, pk=pk))


def _form_page(request: HttpRequest, row: Maker) -> HttpResponse:
    form = MakerForm(request.POST or None, instance=row)
    return form_page(
        request,
        form,
        "maker_form.html",
        said="Saved: {}.",
        then=lambda _: reverse("maker-list"),
        maker=row if row.pk else None,
    )
