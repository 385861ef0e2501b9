"""Figure notes and how the arms hang."""

from django.http import Http404, HttpRequest, HttpResponse


def figure_note_new(request: HttpRequest, **which: object) -> HttpResponse:
    raise Http404("Not built yet.")


def figure_note_remove(request: HttpRequest, **which: object) -> HttpResponse:
    raise Http404("Not built yet.")


def carriage_edit(request: HttpRequest, **which: object) -> HttpResponse:
    raise Http404("Not built yet.")
