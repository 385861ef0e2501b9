"""Domain refusals become HTTP answers here, and nowhere else; caches keep no personal page."""

import sys
from collections.abc import Callable
from typing import Any

from django.core.exceptions import BadRequest
from django.db import ProgrammingError
from django.http import Http404, HttpRequest, HttpResponse, HttpResponseBase
from django.shortcuts import render
from django.template.loader import render_to_string
from django.views.defaults import server_error

from fittings.refusals import Frozen, RecordChanged, Refused
from patterns.unseen import without_unseen
from tailorshop.faults import fault_of

LARGEST_KEY = 2**63 - 1
PROTECTED = (
    "Here the trail and the histories cannot be changed from a page. Erasing a person is done on "
    "the installation's computer by its keeper: manage.py erase_customer."
)


def status_of(refusal: Refused) -> int:
    return 409 if isinstance(refusal, RecordChanged | Frozen) else 422


class AnswerMiddleware:
    def __init__(self, get_response: Callable[[HttpRequest], HttpResponseBase]) -> None:
        self.get_response = get_response

    def __call__(self, request: HttpRequest) -> HttpResponseBase:
        response = self.get_response(request)
        if response.has_header("Cache-Control"):
            return response
        # Where the record is gone nobody knows who asks.
        if response.status_code == 503 or request.user.is_authenticated:
            response["Cache-Control"] = "no-store"
        return response

    def process_view(
        self, request: HttpRequest, view: Any, args: tuple[Any, ...], kwargs: dict[str, Any]
    ) -> None:
        """Refuse (400) the one sign that no keyboard makes and that PostgreSQL keeps in no text;
        nothing is found (404) under a number larger than a database can ask for."""
        sent = (
            one
            for part in (request.GET, request.POST)
            for _, values in part.lists()
            for one in values
        )
        if any("\0" in str(one) for one in (*kwargs.values(), *sent)):
            raise BadRequest("a text with a zero sign in it")
        if any(isinstance(one, int) and one > LARGEST_KEY for one in kwargs.values()):
            raise Http404("Nothing has such a number.")
        _leave_out_unseen(request)

    def process_exception(self, request: HttpRequest, fault: Exception) -> HttpResponse | None:
        if isinstance(fault, ProgrammingError) and "permission denied" in str(fault):
            fault = Refused(PROTECTED)
        if not isinstance(fault, Refused):
            return None
        answer = render(request, "refused.html", {"refusal": fault}, status=status_of(fault))
        if request.headers.get("HX-Request") == "true":
            # Beside what was typed, never in its place.
            answer["HX-Retarget"], answer["HX-Reswap"] = "#messages", "innerHTML"
        return answer


def _leave_out_unseen(request: HttpRequest) -> None:
    """Here, for every form there is; of passwords nothing is left out."""
    posted: Any = request.POST.copy()
    for name, values in request.POST.lists():
        if "password" not in name:
            posted.setlist(name, [without_unseen(str(one)) for one in values])
    if posted != request.POST:
        posted._mutable = False
        request.POST = posted
    for _, files in request.FILES.lists():
        for file in files:
            file.name = without_unseen(file.name or "")


def broken(request: HttpRequest) -> HttpResponse:
    """Whatever was raised and not answered: 503 with what to do where the machine refused."""
    fault = fault_of(sys.exc_info()[1])
    if fault is None:
        return server_error(request)
    part = request.headers.get("HX-Request") == "true"
    context = {"fault": fault, "part": part}
    # Without the request: who is signed in stands in the record, which may be what is gone.
    answer = HttpResponse(render_to_string("fault.html", context), status=503)
    answer["Retry-After"], answer["Cache-Control"] = str(fault.retry_s), "no-store"
    if part:
        answer["HX-Retarget"], answer["HX-Reswap"] = "#messages", "innerHTML"
    return answer
