"""Work tickets: the list, the paper, and who did what."""

from django.http import Http404, HttpRequest, HttpResponse


def ticket_list(request: HttpRequest, **which: object) -> HttpResponse:
    raise Http404("Not built yet.")


def ticket(request: HttpRequest, **which: object) -> HttpResponse:
    raise Http404("Not built yet.")


def ticket_pdf(request: HttpRequest, **which: object) -> HttpResponse:
    raise Http404("Not built yet.")


def ticket_line(request: HttpRequest, **which: object) -> HttpResponse:
    raise Http404("Not built yet.")


def ticket_reissue(request: HttpRequest, **which: object) -> HttpResponse:
    raise Http404("Not built yet.")


def ticket_code(request: HttpRequest, **which: object) -> HttpResponse:
    raise Http404("Not built yet.")
