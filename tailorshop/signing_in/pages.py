"""The library's pages in our templates: a form that is not valid answers 422."""

from __future__ import annotations

from typing import Any

from allauth.account import views as account
from allauth.account.decorators import reauthentication_required
from allauth.mfa.base import views as factor
from allauth.mfa.recovery_codes import views as codes
from allauth.mfa.totp import views as app
from allauth.mfa.webauthn import views as passkeys
from allauth.usersessions import views as sessions
from allauth.usersessions.models import UserSession
from django.conf import settings
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect
from django.utils.decorators import method_decorator

from fittings.views.reach import key_said


class _Page:
    """What every page of signing in has: our 422, and whether a passkey can work here at all."""

    request: HttpRequest

    def form_invalid(self, form: Any) -> HttpResponse:
        answer: HttpResponse = super().form_invalid(form)  # type: ignore[misc]
        if answer.status_code == 200:
            answer.status_code = 422
        return answer

    def get_context_data(self, **kwargs: Any) -> dict[str, Any]:
        context: dict[str, Any] = super().get_context_data(**kwargs)  # type: ignore[misc]
        # Browsers keep passkeys for addresses with HTTPS only.
        context["passkeys"] = (
            self.request.is_secure() or settings.MFA_WEBAUTHN_ALLOW_INSECURE_ORIGIN
        )
        return context


class SignIn(_Page, account.LoginView):
    template_name = "signing_in/sign_in.html"


class Authenticate(_Page, factor.AuthenticateView):
    template_name = "signing_in/code.html"


class SignInByPasskey(_Page, passkeys.LoginWebAuthnView):
    pass


class Confirm(_Page, account.ReauthenticateView):
    template_name = "signing_in/confirm.html"


class ConfirmByCode(_Page, factor.ReauthenticateView):
    template_name = "signing_in/confirm.html"


class ConfirmByPasskey(_Page, passkeys.ReauthenticateWebAuthnView):
    template_name = "signing_in/confirm_passkey.html"


class ChangePassword(_Page, account.PasswordChangeView):
    template_name = "signing_in/password.html"


class SecondFactor(_Page, factor.IndexView):
    template_name = "signing_in/second_factor.html"


class AddApp(_Page, app.ActivateTOTPView):
    template_name = "signing_in/app.html"


class RemoveApp(_Page, app.DeactivateTOTPView):
    template_name = "signing_in/app_remove.html"


@method_decorator(reauthentication_required(app="allauth.mfa"), name="dispatch")
class Codes(_Page, codes.ViewRecoveryCodesView):
    template_name = "signing_in/codes.html"


class NewCodes(_Page, codes.GenerateRecoveryCodesView):
    template_name = "signing_in/codes_new.html"


class Passkeys(_Page, passkeys.ListWebAuthnView):
    template_name = "signing_in/passkeys.html"


class AddPasskey(_Page, passkeys.AddWebAuthnView):
    template_name = "signing_in/passkey_new.html"


class RemovePasskey(_Page, passkeys.RemoveWebAuthnView):
    template_name = "signing_in/passkey_remove.html"


class Sessions(_Page, sessions.ListUserSessionsView):
    """Where one is signed in; one of them, or all but this one, is ended."""

    template_name = "signing_in/sessions.html"

    def post(self, request: HttpRequest, *args: Any, **kwargs: Any) -> HttpResponse:
        if one := request.POST.get("end"):
            mine = UserSession.objects.filter(user=request.user)
            get_object_or_404(mine, pk=key_said(one)).end()
            return redirect("usersessions_list")
        answer: HttpResponse = super().post(request, *args, **kwargs)
        return answer
