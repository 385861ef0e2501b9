"""The forms of signing in, in the shop's words and without text inside the fields."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from typing import Any

from allauth.account.forms import ChangePasswordForm, LoginForm, ReauthenticateForm
from allauth.mfa.adapter import get_adapter
from allauth.mfa.base.forms import AuthenticateForm
from allauth.mfa.base.forms import ReauthenticateForm as ReauthenticateByCodeForm
from allauth.mfa.totp.forms import ActivateTOTPForm
from allauth.mfa.webauthn.forms import (
    AddWebAuthnForm,
    AuthenticateWebAuthnForm,
    LoginWebAuthnForm,
    ReauthenticateWebAuthnForm,
)
from cryptography.exceptions import InvalidSignature
from django import forms
from django.core.cache import cache


class _Plain(forms.Form):
    """Labels stand above the fields, where they stay while one types."""

    WORDS: dict[str, tuple[str, str]] = {}

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        for name, field in self.fields.items():
            field.widget.attrs.pop("placeholder", None)
            if name in self.WORDS:
                field.label, field.help_text = self.WORDS[name]


class SignInForm(_Plain, LoginForm):
    WORDS = {"login": ("Username", ""), "password": ("Password", "")}


class ConfirmForm(_Plain, ReauthenticateForm):
    WORDS = {"password": ("Your password", "")}


class OwnPasswordForm(_Plain, ChangePasswordForm):
    WORDS = {
        "oldpassword": ("The password until now", ""),
        "password1": (
            "New password",
            "At least twelve characters; a few words in a row are good. No other rules.",
        ),
        "password2": ("New password, once more", ""),
    }


# A code is taken for ninety seconds (a step to either side); it is remembered longer than that.
REMEMBERED_S = 120


class _OnceOnly(forms.Form):
    """A code somebody has looked over the shoulder for is not good a second time."""

    def clean_code(self) -> str:
        code: str = super().clean_code()  # type: ignore[misc]
        key = f"code-used-{self.user.pk}-{code}"  # type: ignore[attr-defined]
        if not cache.add(key, 1, REMEMBERED_S):
            raise get_adapter().validation_error("incorrect_code")
        return code


CODE = ("Code", "Six digits from the app on your telephone, or one of your recovery codes.")


class CodeForm(_Plain, _OnceOnly, AuthenticateForm):
    WORDS = {"code": CODE}


class ConfirmByCodeForm(_Plain, _OnceOnly, ReauthenticateByCodeForm):
    WORDS = {"code": CODE}


class AppForm(_Plain, ActivateTOTPForm):
    WORDS = {"code": ("Code", "The six digits that the app shows now.")}


@contextmanager
def _read() -> Iterator[None]:
    """The libraries take the shape of what is sent as a passkey for granted: of another shape it
    is wrong, like a wrong code."""
    shapeless = (TypeError, ValueError, LookupError, AttributeError, RecursionError)
    try:
        yield
    except (*shapeless, InvalidSignature):
        raise get_adapter().validation_error("incorrect_code") from None


class _ReadPasskey(forms.Form):
    def clean_credential(self) -> Any:
        with _read():
            return super().clean_credential()  # type: ignore[misc]


class PasskeyCodeForm(_ReadPasskey, AuthenticateWebAuthnForm):
    pass


class SignInByPasskeyForm(_ReadPasskey, LoginWebAuthnForm):
    pass


class ConfirmByPasskeyForm(_ReadPasskey, ReauthenticateWebAuthnForm):
    pass


class PasskeyForm(_Plain, AddWebAuthnForm):
    WORDS = {
        "name": ("Name of this device or key", "So that you know which one it is later."),
        "passwordless": (
            "Sign in with it alone, without name and password",
            "The device then asks for your finger, face or its own code.",
        ),
    }

    def clean_credential(self) -> Any:
        """Nothing (0, false) would be kept unread, and break every page that reads it later."""
        if not self.cleaned_data["credential"]:
            raise get_adapter().validation_error("incorrect_code")
        return self.cleaned_data["credential"]

    def clean(self) -> dict[str, Any]:
        with _read():
            cleaned: dict[str, Any] = super().clean()
        return cleaned
