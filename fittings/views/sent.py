"""What a device says beside what it sends: under which mark, by whom and when, and what stood on
its screen."""

from __future__ import annotations

import datetime as dt
import hashlib
import uuid
from typing import TYPE_CHECKING, Final

from django.http import Http404, HttpRequest
from django.utils import timezone
from django.utils.dateparse import parse_datetime

from fittings.diary.days import YEARS
from fittings.fitting_room.acts import Sent

if TYPE_CHECKING:
    from tailorshop.models import User

# May differ when the same is sent again.
NOT_SAID: Final = frozenset({"csrfmiddlewaretoken", "identity"})


def signed_in(request: HttpRequest) -> User:
    if not request.user.is_authenticated:
        raise Http404("There is no such page for you.")
    return request.user


def made_at(request: HttpRequest) -> dt.datetime:
    """By the device's clock, but never later than now by ours."""
    said, now = _moment(request.POST.get("made_at", "")), timezone.now()
    return min(said, now) if said else now


def _by_our_clock(request: HttpRequest) -> dt.datetime:
    """As long ago as it was on the device when it sent it: however wrong its clock stands, what is
    said on two devices is told in its order."""
    said = _moment(request.POST.get("made_at", ""))
    sent = _moment(request.headers.get("Sent-At", ""))
    if said is None or sent is None:
        return made_at(request)
    return timezone.now() - max(sent - said, dt.timedelta())


def _moment(text: str) -> dt.datetime | None:
    """None for a clock that says no moment, or one of no year that can be."""
    try:
        said = parse_datetime(text)
    except ValueError:
        return None
    return said if said is not None and said.tzinfo and said.year in YEARS else None


def sent_of(request: HttpRequest) -> Sent:
    """What was sent, for what is done once (`fittings.fitting_room.acts`)."""
    return Sent(
        identity=identity_of(request),
        digest=_digest(request),
        by=signed_in(request),
        made_at=_by_our_clock(request),
    )


def _digest(request: HttpRequest) -> str:
    said = [request.path]
    for name in sorted(set(request.POST) - NOT_SAID):
        said += [name, *request.POST.getlist(name), ""]
    return hashlib.sha256("\0".join(said).encode()).hexdigest()


def identity_of(request: HttpRequest) -> uuid.UUID | None:
    try:
        return uuid.UUID(request.POST.get("identity", ""))
    except ValueError:
        return None


def over_of(request: HttpRequest) -> uuid.UUID | str | None:
    """What stood on the screen of whoever sent this; "": nothing stood, None: not said."""
    said = request.POST.get("over")
    try:
        return uuid.UUID(said) if said else said
    except ValueError:
        return None


def seen_of(request: HttpRequest) -> dict[str, str]:
    over = over_of(request)
    return {} if over is None else {"over": str(over)}
