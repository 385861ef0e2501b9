"""How long a session stands: by what its role may see.

A tablet of the fitting room and the bench's machine stand a working day unused: whoever fits has
one hand busy, and an entry must not be lost to a sign-in. Who may set amounts, accounts and read
the trail is signed out after half an hour unused, and after a day in any case.
"""

from __future__ import annotations

import time
from collections.abc import Callable
from typing import Any, Final

from django.contrib.auth import logout
from django.contrib.auth.signals import user_logged_in
from django.dispatch import receiver
from django.http import HttpRequest, HttpResponseBase

from tailorshop.models import Role

BEGAN, USED = "began_at", "used_at"
HOUR: Final = 3600
IDLE: Final[dict[str, int]] = {
    Role.FITTER: 12 * HOUR,
    Role.WORKROOM: 12 * HOUR,
    Role.OWNER: HOUR // 2,
    Role.KEEPER: HOUR // 2,
}
LONGEST: Final[dict[str, int]] = {
    Role.FITTER: 7 * 24 * HOUR,
    Role.WORKROOM: 7 * 24 * HOUR,
    Role.OWNER: 24 * HOUR,
    Role.KEEPER: 24 * HOUR,
}
# Not every request writes the session: a minute more or less does not matter.
WRITE_AFTER: Final = 60
# A page that asks by itself whether something changed is nobody's hand.
BY_ITSELF: Final = frozenset({"fitting-changes", "errand-state"})


@receiver(user_logged_in)
def _begin(sender: Any, request: HttpRequest, **kwargs: Any) -> None:
    request.session[BEGAN] = request.session[USED] = time.time()


class IdleMiddleware:
    def __init__(self, get_response: Callable[[HttpRequest], HttpResponseBase]) -> None:
        self.get_response = get_response

    def __call__(self, request: HttpRequest) -> HttpResponseBase:
        if request.user.is_authenticated and ran_out(request, now := time.time()):
            logout(request)
        elif request.user.is_authenticated:
            _never_ahead(request, now)
        return self.get_response(request)

    def process_view(self, request: HttpRequest, view: Any, args: Any, kwargs: Any) -> None:
        name = request.resolver_match.url_name if request.resolver_match else None
        if not request.user.is_authenticated or name in BY_ITSELF:
            return
        if time.time() - request.session.get(USED, 0) > WRITE_AFTER:
            request.session[USED] = time.time()


def _never_ahead(request: HttpRequest, now: float) -> None:
    """A session that began by a clock set back since would stand until that time comes again."""
    said = [request.session.get(name, now) for name in (BEGAN, USED)]
    if BEGAN not in request.session or max(said) > now + WRITE_AFTER:
        request.session[BEGAN], request.session[USED] = (min(at, now) for at in said)


def ran_out(request: HttpRequest, now: float) -> bool:
    """Whether the session was unused too long, or began too long ago, for its role."""
    role = getattr(request.user, "role", Role.OWNER)
    used: float
    began: float
    used, began = request.session.get(USED, now), request.session.get(BEGAN, now)
    return now - used > IDLE[role] or now - began > LONGEST[role]
