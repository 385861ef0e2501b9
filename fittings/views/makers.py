"""Makers: those of the shop and those outside, and how their papers are written."""

from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, render
from django.urls import reverse

from fittings.forms.makers import LanguageCheckForm, MakerForm
from fittings.models import Language, LanguageCheck, Maker
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


def paper_languages(request: HttpRequest) -> HttpResponse:
    """The languages a paper may speak, and who checked the words of each."""
    checks = {check.language: check for check in LanguageCheck.objects.all()}
    rows = [(language, checks.get(language)) for language in Language]
    return render(request, "paper_languages.html", {"rows": rows})


def paper_language(request: HttpRequest, language: str) -> HttpResponse:
    if language not in Language or language == Language.ENGLISH:
        raise Http404("No paper speaks this language in translation.")
    row = LanguageCheck.objects.filter(language=language).first()
    row = row or LanguageCheck(language=language)
    form = LanguageCheckForm(request.POST or None, instance=row)
    return form_page(
        request,
        form,
        "paper_language.html",
        said="Saved: {}.",
        then=lambda _: reverse("paper-languages"),
        language=row,
    )
