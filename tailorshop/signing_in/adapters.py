"""What the shop wants otherwise than the library that signs people in."""

from __future__ import annotations

import logging
from base64 import b32encode
from secrets import token_bytes
from typing import Any
from unicodedata import normalize

from allauth.account.adapter import DefaultAccountAdapter
from allauth.mfa.adapter import DefaultMFAAdapter
from cryptography.fernet import InvalidToken
from django.conf import settings
from django.http import HttpRequest
from django.urls import reverse

from tailorshop.logs import write
from tailorshop.models import Role
from tailorshop.signing_in.sealed import opened, seal

SILENT = {"account/messages/logged_in.txt", "account/messages/logged_out.txt"}


def home_of(user: Any) -> str:
    """The first page of whoever is signed in: the keeper has nothing to do with customers."""
    keeper = getattr(user, "role", "") == Role.KEEPER
    return reverse("staff-list" if keeper else "today")


class ShopAccounts(DefaultAccountAdapter):
    error_messages = DefaultAccountAdapter.error_messages | {
        "username_password_mismatch": (
            "This name and password do not go together. Capital and small letters differ in the "
            "password; a name is written as the owner made it."
        ),
        "too_many_login_attempts": (
            "Too many wrong tries. Wait five minutes, then try again; or ask the owner for a new "
            "password."
        ),
    }

    def _get_login_attempts_cache_key(self, request: HttpRequest, **credentials: Any) -> str:
        """By the name alone: under another port in the Host header, or with a letter that the
        database takes for the same, it would be counted anew."""
        return normalize("NFKC", credentials.get("username", "")).casefold()

    def is_open_for_signup(self, request: HttpRequest) -> bool:
        return False

    def get_login_redirect_url(self, request: HttpRequest) -> str:
        return home_of(request.user)

    def get_password_change_redirect_url(self, request: HttpRequest) -> str:
        return reverse("own-settings")

    def add_message(
        self,
        request: HttpRequest,
        level: int,
        message_template: str | None = None,
        message_context: dict[str, Any] | None = None,
        extra_tags: str = "",
        message: str | None = None,
    ) -> None:
        # Whose page it is stands at the top of it; that they have signed in or out is no news.
        if message_template not in SILENT:
            super().add_message(
                request, level, message_template, message_context, extra_tags, message
            )

    def send_notification_mail(self, *args: Any, **kwargs: Any) -> None:
        """The shop has no mail of its own."""


class ShopSecondFactor(DefaultMFAAdapter):
    error_messages = DefaultMFAAdapter.error_messages | {
        "incorrect_code": (
            "This code is not right, or was used before. Wait for the next one, and look whether "
            "the clock of the telephone is right."
        ),
    }

    def get_totp_issuer(self) -> str:
        return str(settings.SHOP_NAME)

    def _get_user_identifier(self, user: Any) -> str:
        return str(user.username)

    def encrypt(self, text: str) -> str:
        return seal(text)

    def decrypt(self, encrypted_text: str) -> str:
        """Where the key is lost no code is right: an owner or keeper takes the factor away."""
        try:
            return opened(encrypted_text)
        except InvalidToken:
            write("second factor sealed by another key", level=logging.WARNING)
            return b32encode(token_bytes(20)).decode()
