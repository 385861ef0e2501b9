"""Orders, their facts and their inlays."""

from django.http import Http404, HttpRequest, HttpResponse


def order_list(request: HttpRequest, **which: object) -> HttpResponse:
    raise Http404("Not built yet.")


def order_new(request: HttpRequest, **which: object) -> HttpResponse:
    raise Http404("Not built yet.")


def order(request: HttpRequest, **which: object) -> HttpResponse:
    raise Http404("Not built yet.")


def order_edit(request: HttpRequest, **which: object) -> HttpResponse:
    raise Http404("Not built yet.")


def order_inlays(request: HttpRequest, **which: object) -> HttpResponse:
    raise Http404("Not built yet.")
