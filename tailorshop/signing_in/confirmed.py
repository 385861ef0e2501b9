"""What changes accounts is done by somebody who said a moment ago, once more, who they are."""

from __future__ import annotations

from collections.abc import Callable
from functools import wraps
from typing import Concatenate, ParamSpec, cast

from allauth.account.internal.flows.reauthentication import did_recently_reauthenticate
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect
from django.urls import reverse
from django.utils.http import urlencode

P = ParamSpec("P")
View = Callable[Concatenate[HttpRequest, P], HttpResponse]


def confirmed(view: View[P]) -> View[P]:
    """Ask for the password first. What was posted too late is not kept meanwhile: it may hold a
    password, and a session stands in the database."""

    @wraps(view)
    def answer(request: HttpRequest, *args: P.args, **kwargs: P.kwargs) -> HttpResponse:
        if did_recently_reauthenticate(request):
            return view(request, *args, **kwargs)
        asks = reverse("account_reauthenticate")
        return redirect(f"{asks}?{urlencode({'next': request.get_full_path()})}")

    return cast(View[P], answer)
