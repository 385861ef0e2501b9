"""Customers and what is noted of their figures."""

from django.http import Http404, HttpRequest, HttpResponse


def customer_list(request: HttpRequest, **which: object) -> HttpResponse:
    raise Http404("Not built yet.")


def customer_new(request: HttpRequest, **which: object) -> HttpResponse:
    raise Http404("Not built yet.")


def customer(request: HttpRequest, **which: object) -> HttpResponse:
    raise Http404("Not built yet.")


def customer_edit(request: HttpRequest, **which: object) -> HttpResponse:
    raise Http404("Not built yet.")
