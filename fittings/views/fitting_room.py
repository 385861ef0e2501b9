"""The page of a fitting and every entry on it."""

from django.http import Http404, HttpRequest, HttpResponse


def fitting_new(request: HttpRequest, **which: object) -> HttpResponse:
    raise Http404("Not built yet.")


def fitting(request: HttpRequest, **which: object) -> HttpResponse:
    raise Http404("Not built yet.")


def entry(request: HttpRequest, **which: object) -> HttpResponse:
    raise Http404("Not built yet.")


def entry_remove(request: HttpRequest, **which: object) -> HttpResponse:
    raise Http404("Not built yet.")


def decision(request: HttpRequest, **which: object) -> HttpResponse:
    raise Http404("Not built yet.")


def sign(request: HttpRequest, **which: object) -> HttpResponse:
    raise Http404("Not built yet.")


def fitting_ticket(request: HttpRequest, **which: object) -> HttpResponse:
    raise Http404("Not built yet.")
