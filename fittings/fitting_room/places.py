"""Where an entry or a decision stands among those of its fitting, however clocks jump."""

from __future__ import annotations

import datetime as dt
from typing import Any

from django.db.models import Max
from django.utils import timezone

from fittings.models import Entry, Fitting


def is_signed_now(fitting: Fitting) -> bool:
    """Whether it is signed, whatever the page knew; until the transaction ends nobody signs it or
    adds to it."""
    rows = Fitting.objects.select_for_update().values_list("signed_at", flat=True)
    return rows.get(pk=fitting.pk) is not None


def next_place(fitting: Fitting) -> int:
    """After everything kept so far."""
    kept: tuple[Any, ...] = (fitting.entries, fitting.decisions)
    newest: list[int] = [rows.aggregate(most=Max("place", default=0))["most"] for rows in kept]
    return max(newest) + 1


def place_of_entry(fitting: Fitting, made_at: dt.datetime) -> int:
    """After everything kept so far; but one that waited on its device stands before what was made
    after it and came meanwhile. Of one place, what was made earlier stands first.

    `made_at` by the clock of the device. What came after now by the shop's own clock was kept under
    a clock set back since, and is not weighed.
    """
    place, now = next_place(fitting), timezone.now()
    newest_first = fitting.entries.order_by(*(f"-{field}" for field in Entry.ORDER))
    for there, made, received in newest_first.values_list("place", "made_at", "received_at"):
        came_meanwhile = made_at < received <= now
        if not (made_at < made and came_meanwhile):
            break
        place = there
    return place
