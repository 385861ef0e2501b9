"""A form that is sent twice, by a double tap or a retry, is done once.

The form carries an identity of its own. What it did and that it was done are written together, in
one transaction: a second one waits for the first, and is led where the first was led. The same
identity with another body is another form: somebody went back and typed something else.
"""

from __future__ import annotations

import datetime as dt
import hashlib
from collections.abc import Callable
from typing import Final

from django.db import IntegrityError, transaction
from django.http import HttpRequest, HttpResponseBase, HttpResponseRedirect
from django.urls import Resolver404, resolve
from django.utils import timezone

from tailorshop.models import SentOnce
from tailorshop.roles import OWN

FIELD: Final = "sent_once"
NOT_SAID: Final = frozenset({"csrfmiddlewaretoken"})
KEPT_FOR: Final = dt.timedelta(days=2)
# Here wrong passwords and codes are counted, and a count is not undone with what was refused.
COUNTED: Final = frozenset({*OWN, "fitter-change"})


class SentOnceMiddleware:
    def __init__(self, get_response: Callable[[HttpRequest], HttpResponseBase]) -> None:
        self.get_response = get_response

    def __call__(self, request: HttpRequest) -> HttpResponseBase:
        if request.method != "POST" or not request.user.is_authenticated:
            return self.get_response(request)
        if not request.POST.get(FIELD) or _is_counted(request):
            return self.get_response(request)
        return self._once(request, digest_of(request))

    def _once(self, request: HttpRequest, digest: str) -> HttpResponseBase:
        try:
            with transaction.atomic():
                row = SentOnce.objects.create(digest=digest, led_to="", at=timezone.now())
                answer = self.get_response(request)
                led_to = answer.headers.get("Location", "")
                if answer.status_code >= 400:
                    transaction.set_rollback(True)
                elif not led_to:
                    row.delete()
                else:
                    SentOnce.objects.filter(pk=row.pk).update(led_to=led_to)
                    SentOnce.objects.filter(at__lt=row.at - KEPT_FOR).delete()
                return answer
        except IntegrityError:
            done = SentOnce.objects.filter(digest=digest).first()
            if done is None:
                raise
            return HttpResponseRedirect(done.led_to)


def _is_counted(request: HttpRequest) -> bool:
    try:
        return resolve(request.path_info).url_name in COUNTED
    except Resolver404:
        return False


def digest_of(request: HttpRequest) -> str:
    """What is the same for the same form, sent by the same person to the same address."""
    said = [request.path, str(request.user.pk)]
    for name in sorted(set(request.POST) - NOT_SAID):
        said += [name, *request.POST.getlist(name), ""]
    return hashlib.sha256("\0".join(said).encode()).hexdigest()
