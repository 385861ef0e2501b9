"""A new pattern for an order, or a branch of one for another garment."""

from django.http import Http404, HttpRequest, HttpResponse


def pattern_new(request: HttpRequest, **which: object) -> HttpResponse:
    raise Http404("Not built yet.")


def pattern_branch(request: HttpRequest, **which: object) -> HttpResponse:
    raise Http404("Not built yet.")
