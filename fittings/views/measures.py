"""Sets of measures."""

from django.http import Http404, HttpRequest, HttpResponse


def measures_new(request: HttpRequest, **which: object) -> HttpResponse:
    raise Http404("Not built yet.")


def measures(request: HttpRequest, **which: object) -> HttpResponse:
    raise Http404("Not built yet.")


def measures_edit(request: HttpRequest, **which: object) -> HttpResponse:
    raise Http404("Not built yet.")
