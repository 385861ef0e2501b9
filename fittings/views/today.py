"""What is due, what is on, what is open."""

from django.http import Http404, HttpRequest, HttpResponse


def today(request: HttpRequest, **which: object) -> HttpResponse:
    raise Http404("Not built yet.")
