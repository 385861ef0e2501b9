"""A mark of all that stands on a fitting's page: another device asks whether it has moved."""

from __future__ import annotations

from typing import Any

from django.db.models import F, Max, OuterRef, Subquery

from fittings.models import Decision, Entry, Fitting, Photograph


def mark_of(fitting: Fitting) -> str:
    """Changes whenever an entry, decision or photograph was kept, taken back or put back, or the
    fitting was signed, a ticket issued, or a consent given or withdrawn. One query."""
    newest = {
        f"newest_{kind.__name__.lower()}": _newest(kind) for kind in (Entry, Decision, Photograph)
    }
    found = (
        Fitting.objects.filter(pk=fitting.pk)
        .annotate(**newest, ticket=Max("tickets"), agreed=F("order__customer__version"))
        .values_list(*newest, "version", "ticket", "agreed")
        .get()
    )
    return "-".join(str(part or 0) for part in found)


def _newest(kind: Any) -> Subquery:
    """The newest row of history: it is written at every save of such a record."""
    rows = kind.history.filter(fitting_id=OuterRef("pk")).order_by("-history_id")
    return Subquery(rows.values("history_id")[:1])
