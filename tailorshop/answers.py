"""Domain refusals become HTTP answers here, and nowhere else; caches keep no personal page."""

from collections.abc import Callable

from django.db import ProgrammingError
from django.http import HttpRequest, HttpResponse, HttpResponseBase
from django.shortcuts import render

from fittings.refusals import Frozen, RecordChanged, Refused

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
        if request.user.is_authenticated and not response.has_header("Cache-Control"):
            response["Cache-Control"] = "no-store"
        return response

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
