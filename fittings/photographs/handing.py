"""A kept file handed to the browser: only after the page's own access check, never by its name."""

from __future__ import annotations

from typing import Final

from django.conf import settings
from django.http import Http404, HttpResponse

from fittings.photographs.keeping import Size, load, name_of

# The front server maps this address, closed to everybody else, to the folder of kept files.
FRONT_SERVER: Final = "/handed-over/"


def handed_over(sha256: str, filename: str, size: Size = "master") -> HttpResponse:
    """The file, by ourselves or by the front server.

    No browser keeps it: every look asks again, so that a consent taken back is taken back at once,
    and a tablet that is lost holds nobody's photograph.
    """
    answer = _file(sha256, size)
    answer["Cache-Control"] = "private, no-store"
    answer["Content-Disposition"] = f'inline; filename="{filename}"'
    answer["Content-Security-Policy"] = "default-src 'none'; sandbox"
    answer["X-Content-Type-Options"] = "nosniff"
    answer["Cross-Origin-Resource-Policy"] = "same-origin"
    return answer


def _file(sha256: str, size: Size) -> HttpResponse:
    if settings.HAND_OVER_FILES == "x-accel-redirect":
        answer = HttpResponse(content_type="image/jpeg")
        answer["X-Accel-Redirect"] = FRONT_SERVER + name_of(sha256, size)
        return answer
    data = load(sha256, size)
    if data is None:
        raise Http404("The file of this photograph is no longer kept.")
    return HttpResponse(data, content_type="image/jpeg")
