"""What a device says beside what it sends: under which mark, and what stood on its screen."""

from __future__ import annotations

import uuid

from django.http import HttpRequest


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
