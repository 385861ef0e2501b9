"""Who is fitting on a tablet that somebody is signed in on: a short code says the name, no more.

What is entered then carries the fitter's name. What may be opened stays with a fitter's role,
whoever it is: the owner by a code is a fitter too. Accounts and own settings need the password.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import Any, Final

from allauth.core.internal import ratelimit
from django import forms
from django.contrib import messages
from django.contrib.auth import logout
from django.contrib.auth.hashers import check_password, make_password
from django.contrib.auth.signals import user_logged_in
from django.core.validators import RegexValidator
from django.dispatch import receiver
from django.http import HttpRequest, HttpResponse, HttpResponseBase
from django.shortcuts import redirect, render
from django.utils.crypto import salted_hmac
from django.utils.http import url_has_allowed_host_and_scheme

from tailorshop.models import Role, User
from tailorshop.signing_in.confirmed import confirmed

NOW: Final = "fitting_now"
NAMED_BY: Final = "fitting_now_named_by"
FITS: Final = (Role.FITTER, Role.OWNER)
# By an account on all its devices; and at the code of one name, by whomever: a right code of one's
# own between two guesses would otherwise begin the count anew.
BY_ACCOUNT, AT_NAME = "quick_code", "quick_code_of"
TRIES = {BY_ACCOUNT: "5/12h/key", AT_NAME: "15/12h/key"}
NOT_THIS: Final = (
    "This is not the code of that name. After five wrong ones the tablet is signed out."
)
TOO_OFTEN: Final = (
    "The code of that name was said wrongly too often today: it is taken again once its owner has "
    "signed in with name and password."
)
DIGITS = RegexValidator(r"^\d{4,6}$", "Four to six digits.")


class FittingNowMiddleware:
    """Puts the fitter who gave a code in the place of the account the tablet is signed in with."""

    def __init__(self, get_response: Callable[[HttpRequest], HttpResponseBase]) -> None:
        self.get_response = get_response

    def __call__(self, request: HttpRequest) -> HttpResponseBase:
        key = request.session.get(NOW)
        if key and request.user.is_authenticated:
            signed_in = request.user
            fitter = may_stand_in().filter(pk=key).first()
            still = fitter is not None and request.session.get(NAMED_BY) == _mark(fitter)
            if not still or signed_in.role not in FITS:
                del request.session[NOW]
            else:
                fitter.signed_in_by, fitter.role = signed_in, Role.FITTER
                request.user = fitter
        return self.get_response(request)


@receiver(user_logged_in)
def _nobody_else(sender: Any, request: HttpRequest, user: Any, **kwargs: Any) -> None:
    request.session.pop(NOW, None)
    for what in TRIES:
        _forget_tries(request, what, user)


def _one_more_try(request: HttpRequest, what: str, of: User, *, only_ask: bool = False) -> bool:
    """Whether a try is left, by this account or at this name; it is counted unless `only_ask`."""
    counted = ratelimit.consume(
        request, app="shop", action=what, config=TRIES, key=str(of.pk), dry_run=only_ask
    )
    return counted is not None


def _forget_tries(request: HttpRequest, what: str, of: User) -> None:
    ratelimit.clear(request, app="shop", action=what, config=TRIES, key=str(of.pk))


def may_stand_in() -> Any:
    """Those who fit, may sign in and have a code."""
    return User.objects.filter(role__in=FITS, is_active=True).exclude(quick_code="")


class FitterForm(forms.Form):
    fitter = forms.ModelChoiceField(
        queryset=User.objects.none(),
        label="Who is fitting now?",
        widget=forms.RadioSelect,
        empty_label=None,
        error_messages={"required": "Tap your name."},
    )
    code = forms.CharField(
        label="Your code",
        widget=forms.PasswordInput(attrs={"inputmode": "numeric", "autocomplete": "off"}),
        max_length=6,
    )

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["fitter"].queryset = may_stand_in().order_by("first_name", "username")  # type: ignore[attr-defined]

    def is_right(self) -> bool:
        fitter: User = self.cleaned_data["fitter"]
        return check_password(self.cleaned_data["code"], fitter.quick_code)


def fitter_change(request: HttpRequest) -> HttpResponse:
    """The page on which the fitter changes; five wrong codes end the session."""
    form = FitterForm(request.POST or None)
    following = request.POST.get("next") or request.GET.get("next", "")
    if request.method == "POST" and form.is_valid():
        account, fitter = signed_in_account(request), form.cleaned_data["fitter"]
        guessed = not _one_more_try(request, AT_NAME, fitter, only_ask=True)
        if _one_more_try(request, BY_ACCOUNT, account) and not guessed and form.is_right():
            _forget_tries(request, BY_ACCOUNT, account)
            _name(request, fitter, account)
            return redirect(_inside(request, following))
        _one_more_try(request, AT_NAME, fitter)
        if not _one_more_try(request, BY_ACCOUNT, account, only_ask=True):
            logout(request)
            messages.error(request, "Five wrong codes: sign in with name and password.")
            return redirect("sign-in")
        form.add_error("code", TOO_OFTEN if guessed else NOT_THIS)
    context = {"form": form, "next": following, "account": signed_in_account(request)}
    status = 422 if request.method == "POST" else 200
    return render(request, "signing_in/fitter.html", context, status=status)


def _name(request: HttpRequest, fitter: User, account: User) -> None:
    """From now on it is this fitter. A fitter back on an own sign-in has the own pages again; an
    owner does not: a code never opens more than a fitter may."""
    if fitter.pk == account.pk and account.role == Role.FITTER:
        request.session.pop(NOW, None)
    else:
        request.session[NOW], request.session[NAMED_BY] = fitter.pk, _mark(fitter)


def _mark(fitter: User) -> str:
    """Another one as soon as the fitter has another code: what the old one named is over."""
    return salted_hmac(NAMED_BY, fitter.quick_code).hexdigest()


def signed_in_account(request: HttpRequest) -> User:
    """The account the device is signed in with, whoever is fitting."""
    user: Any = request.user
    account: User = user.signed_in_by or user
    return account


def _inside(request: HttpRequest, address: str) -> str:
    ours = url_has_allowed_host_and_scheme(address, {request.get_host()}, request.is_secure())
    return address if address and ours else "today"


class QuickCodeForm(forms.Form):
    code = forms.CharField(
        required=False,
        label="Quick code",
        help_text="Four to six digits, only for saying who is fitting. Empty: no code.",
        validators=[DIGITS],
        widget=forms.PasswordInput(attrs={"inputmode": "numeric", "autocomplete": "off"}),
    )

    def clean_code(self) -> str:
        code: str = self.cleaned_data["code"]
        if code and (len(set(code)) == 1 or code in "01234567890" or code in "9876543210"):
            raise forms.ValidationError("Anybody tries this one first: choose another.")
        return code


@confirmed
def quick_code(request: HttpRequest) -> HttpResponse:
    """Somebody sets their own code, after saying their password once more."""
    user: Any = request.user
    form = QuickCodeForm(request.POST or None)
    if request.method == "POST" and form.is_valid():
        code = form.cleaned_data["code"]
        user.quick_code = make_password(code) if code else ""
        user.save(update_fields=["quick_code"])
        messages.success(request, "Kept: your quick code." if code else "You have no quick code.")
        return redirect("own-settings")
    status = 422 if request.method == "POST" else 200
    return render(request, "signing_in/quick_code.html", {"form": form}, status=status)
