"""What a device of the shop keeps until it is sent: under the right name, and gone at sign-out."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from django.contrib.auth.views import LogoutView
from django.http import HttpRequest, HttpResponse, HttpResponseBase

NOT_YOURS = "This was entered by somebody else: it goes up when they sign in on this device."


class MadeByMiddleware:
    """What one person entered is never kept under the name of another who signed in since."""

    def __init__(self, get_response: Callable[[HttpRequest], HttpResponseBase]) -> None:
        self.get_response = get_response

    def __call__(self, request: HttpRequest) -> HttpResponseBase:
        made_by = request.headers.get("Made-By")
        if made_by and request.user.is_authenticated and made_by != str(request.user.pk):
            return HttpResponse(NOT_YOURS, status=412, content_type="text/plain")
        return self.get_response(request)


class SignOut(LogoutView):
    """Signing out empties the device too, unless it keeps what another has yet to send."""

    def post(self, request: HttpRequest, *args: Any, **kwargs: Any) -> HttpResponse:
        answer = super().post(request, *args, **kwargs)
        if request.is_secure() and request.POST.get("keep") != "others":
            answer["Clear-Site-Data"] = '"storage"'
        return answer
