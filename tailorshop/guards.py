"""What guards every request: how much may be sent, and what a browser may do with the answer."""

from __future__ import annotations

from collections.abc import Callable
from contextlib import suppress
from typing import Final

from django.conf import settings
from django.core.exceptions import (
    RequestDataTooBig,
    TooManyFieldsSent,
    TooManyFilesSent,
)
from django.http import HttpRequest, HttpResponse, HttpResponseBase, HttpResponseNotAllowed
from django.shortcuts import render

# Photographs are taken by the device's own camera page or chosen; nothing else of a device is used.
PERMISSIONS: Final = ", ".join(
    [
        "camera=(self)",
        "publickey-credentials-get=(self)",
        "publickey-credentials-create=(self)",
        *(
            f"{feature}=()"
            for feature in (
                "accelerometer",
                "autoplay",
                "browsing-topics",
                "display-capture",
                "encrypted-media",
                "geolocation",
                "gyroscope",
                "magnetometer",
                "microphone",
                "midi",
                "payment",
                "usb",
                "xr-spatial-tracking",
            )
        ),
    ]
)
TOO_MUCH: Final = {
    RequestDataTooBig: "The words in it are longer than the shop takes at once.",
    TooManyFieldsSent: "It has more fields than any page of the shop.",
    TooManyFilesSent: "It holds more files than the shop takes at once.",
}


METHODS: Final = ("GET", "HEAD", "POST")
# What a front server lets through beyond the most, as a share of it (`running/`: 210 for 200).
BEYOND: Final = 1.1


class GuardMiddleware:
    """Refuses what is too large before any of it is kept, and ways of asking that no page knows;
    says what the page may not use."""

    def __init__(self, get_response: Callable[[HttpRequest], HttpResponseBase]) -> None:
        self.get_response = get_response

    def __call__(self, request: HttpRequest) -> HttpResponseBase:
        if request.method not in METHODS:
            response: HttpResponseBase = HttpResponseNotAllowed(METHODS)
        elif _length(request) > settings.REQUEST_MOST_BYTES:
            most = settings.REQUEST_MOST_BYTES // 1_000_000
            response = _too_much(
                request, f"It is larger than {most} million bytes, the most the shop takes at once."
            )
        else:
            response = self.get_response(request)
        response.headers.setdefault("Permissions-Policy", PERMISSIONS)
        return response


def _length(request: HttpRequest) -> int:
    try:
        return int(request.META.get("CONTENT_LENGTH") or 0)
    except ValueError:
        return 0


def not_understood(request: HttpRequest, exception: Exception) -> HttpResponse:
    """The answer to a request that is none, or is too much of one."""
    for kind, words in TOO_MUCH.items():
        if isinstance(exception, kind):
            return _too_much(request, words)
    return render(request, "400.html", status=400)


def _too_much(request: HttpRequest, words: str) -> HttpResponse:
    """The rest is read off first: a connection that ends with something unread is broken off, and
    the front server then has its own fault to tell instead of this answer."""
    if _length(request) <= settings.REQUEST_MOST_BYTES * BEYOND:
        with suppress(OSError):
            while request.read(1_000_000):
                pass
    return render(request, "413.html", {"words": words}, status=413)
