"""Two people who said otherwise of one thing without having seen each other: both are shown.

What each device had on its screen comes with what it sends, as `over`: the entry or decision that
stood there, or nothing. Without `over` it counts as seen, as it does from a page without script.
"""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

from django.db.models import Q

from fittings.models import Decision, Entry, EntryKind, Fitting, Verdict


def unseen_check(entries: Iterable[Entry], check: str) -> Entry | None:
    """What another said of this check, otherwise and unseen by whoever said it last.

    `entries`: the standing ones, in their order.
    """
    said = [e for e in entries if e.kind == EntryKind.CHECK and e.data.get("check") == check]
    if len(said) < 2 or "over" not in said[-1].data:
        return None
    *earlier, last = said
    places = {str(e.pk): place for place, e in enumerate(said)}
    seen_to = places.get(last.data["over"], -1)
    unseen = (
        e
        for place, e in enumerate(earlier)
        # One that came from a device later than the last was unseen too, whenever it was made.
        if place > seen_to or (place < seen_to and e.received_at > last.received_at)
    )
    others = [e for e in unseen if _otherwise(e, last)]
    return others[-1] if others else None


def _otherwise(one: Entry, other: Entry) -> bool:
    return bool(
        one.made_by_id != other.made_by_id and one.data.get("state") != other.data.get("state")
    )


def decisions_shown(fitting: Fitting) -> list[Decision]:
    """The standing decisions, each with those made unseen of it in `unseen`. One query."""
    wanted = Q(withdrawn_at=None) | Q(beside__withdrawn_at=None, beside__isnull=False)
    rows = list(fitting.decisions.filter(wanted).select_related("decided_by", "came_of_it"))
    standing = [row for row in rows if row.withdrawn_at is None]
    for row in standing:
        row.unseen = [other for other in rows if other.beside_id == row.pk]
    return standing


def is_otherwise(standing: Decision, *, by: Any, verdict: str, amount_mm: float | None) -> bool:
    """Whether somebody else now says otherwise than stands; two refusals say the same."""
    if standing.decided_by_id == by.pk:
        return False
    if standing.verdict != verdict:
        return True
    if verdict != Verdict.AMENDED or amount_mm is None or standing.amount_mm is None:
        return False
    return bool(abs(float(standing.amount_mm) - amount_mm) >= 0.05)
