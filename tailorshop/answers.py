"""Domain refusals become HTTP answers here, and nowhere else."""

from collections.abc import Callable

from django.http import HttpRequest, HttpResponse, HttpResponseBase
from django.shortcuts import render

from fittings.refusals import Frozen, RecordChanged, Refused


def status_of(refusal: Refused) -> int:
    return 409 if isinstance(refusal, RecordChanged | Frozen) else 422


class AnswerMiddleware:
    def __init__(self, get_response: Callable[[HttpRequest], HttpResponseBase]) -> None:
        self.get_response = get_response

    def __call__(self, request: HttpRequest) -> HttpResponseBase:
        return self.get_response(request)

    def process_exception(self, request: HttpRequest, fault: Exception) -> HttpResponse | None:
        if not isinstance(fault, Refused):
            return None
        return render(request, "refused.html", {"refusal": fault}, status=status_of(fault))
