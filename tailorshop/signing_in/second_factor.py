"""Where the shop says so, some roles must have a second factor before they see anything else."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any, Final

from allauth.mfa.utils import is_mfa_enabled
from django.conf import settings
from django.contrib import messages
from django.http import HttpRequest, HttpResponseBase
from django.shortcuts import redirect

# What must open without it, or nobody could ever get one.
WITHOUT: Final = frozenset(
    {
        "sign-in",
        "sign-out",
        "account_login",
        "account_logout",
        "account_reauthenticate",
        "health",
        "ready",
        "mfa_index",
        "mfa_activate_totp",
        "mfa_add_webauthn",
        "mfa_reauthenticate",
        "mfa_reauthenticate_webauthn",
    }
)


class SecondFactorMiddleware:
    def __init__(self, get_response: Callable[[HttpRequest], HttpResponseBase]) -> None:
        self.get_response = get_response

    def __call__(self, request: HttpRequest) -> HttpResponseBase:
        return self.get_response(request)

    def process_view(
        self, request: HttpRequest, view: Any, args: Any, kwargs: Any
    ) -> HttpResponseBase | None:
        user: Any = request.user
        name = request.resolver_match.url_name if request.resolver_match else None
        if not user.is_authenticated or user.role not in settings.SECOND_FACTOR_FOR:
            return None
        if name in WITHOUT or is_mfa_enabled(user):
            return None
        messages.warning(
            request, "This shop asks for a second factor for your role: set one up first."
        )
        return redirect("mfa_index")
