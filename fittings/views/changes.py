"""Whether anything on a fitting's page has moved since a device last looked."""

from __future__ import annotations

from django.http import HttpRequest, HttpResponse, HttpResponseNotModified
from django.views.decorators.http import require_safe

from fittings.fitting_room.changes import mark_of
from fittings.views.fitting_room import get_fitting


@require_safe
def fitting_changes(request: HttpRequest, pk: int) -> HttpResponse:
    """304 to the device that has seen all; else the new mark, and it fetches the page's parts."""
    etag = f'"{mark_of(get_fitting(request, pk))}"'
    seen = request.headers.get("If-None-Match")
    answer = HttpResponseNotModified() if seen == etag else HttpResponse(content_type="text/plain")
    answer["ETag"] = etag
    return answer
