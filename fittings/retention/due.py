"""Whose period of keeping is over: years after the last order, unless somebody said longer."""

from __future__ import annotations

import datetime as dt
from typing import Any, Final

from django.db.models import Exists, OuterRef, Q, QuerySet, Subquery
from django.db.models.functions import Coalesce, TruncDate

from fittings.models import (
    ArmCarriage,
    Customer,
    FigureNote,
    KeptKind,
    KeptLonger,
    MeasurementSet,
    Order,
    Photograph,
    RetentionPeriods,
)

LONGER_THAN_ANYBODY: Final = 1900


def years_before(day: dt.date, years: int) -> dt.date:
    """The same day so many years ago; of the 29th of February the 28th."""
    year = max(day.year - years, LONGER_THAN_ANYBODY)
    try:
        return day.replace(year=year)
    except ValueError:
        return day.replace(year=year, day=28)


def due(kind: KeptKind, periods: RetentionPeriods, today: dt.date) -> QuerySet[Customer]:
    """Customers of whom this is past its period, longest past first, with `last_on`: the day of
    the last order, or where there is none, of the consent or the last change.

    Nobody with an order in hand. None where the shop has set no period.
    """
    years = periods.years(kind)
    if years is None:
        return Customer.objects.none()
    mine = {"customer": OuterRef("pk")}
    orders = Order.objects.filter(**mine)
    said = KeptLonger.objects.filter(kind=kind, **mine).order_by("-said_at", "-pk")
    rows = Customer.objects.present().annotate(
        last_on=Coalesce(
            Subquery(orders.order_by("-ordered_on").values("ordered_on")[:1]),
            "record_consent_on",
            TruncDate("changed_at"),
        ),
        kept_until=Subquery(said.values("until")[:1]),
    )
    rows = rows.filter(last_on__lte=years_before(today, years))
    rows = rows.filter(Q(kept_until=None) | Q(kept_until__lt=today))
    return rows.exclude(Exists(orders.open())).filter(_holds(kind, mine)).order_by("last_on", "pk")


def _holds(kind: KeptKind, mine: dict[str, Any]) -> Any:
    """Whether there is anything of this kind to keep."""
    if kind == KeptKind.PHOTOGRAPHS:
        return Exists(Photograph.objects.filter(fitting__order__customer=OuterRef("pk")))
    if kind == KeptKind.MEASURES:
        held = [Exists(m._default_manager.filter(**mine)) for m in MEASURES]
        return held[0] | held[1] | held[2]
    return Q()


MEASURES: Final = (MeasurementSet, ArmCarriage, FigureNote)
