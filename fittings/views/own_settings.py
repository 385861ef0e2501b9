"""What somebody chooses for themselves."""

from django.http import Http404, HttpRequest, HttpResponse


def own_settings(request: HttpRequest, **which: object) -> HttpResponse:
    raise Http404("Not built yet.")
