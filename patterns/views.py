"""Patterns and their versions."""

from django.http import Http404, HttpRequest, HttpResponse


def pattern_list(request: HttpRequest, **which: object) -> HttpResponse:
    raise Http404("Not built yet.")


def pattern(request: HttpRequest, **which: object) -> HttpResponse:
    raise Http404("Not built yet.")


def pattern_version(request: HttpRequest, **which: object) -> HttpResponse:
    raise Http404("Not built yet.")


def pattern_retire(request: HttpRequest, **which: object) -> HttpResponse:
    raise Http404("Not built yet.")
