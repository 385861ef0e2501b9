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
from fittings.models.orders import IN_HAND

LONGER_THAN_ANYBODY: Final = 1900


def years_before(day: dt.date, years: int) -> dt.date:
    """The same day so many years ago; of the 29th of February the 28th."""
    year = max(day.year - years, LONGER_THAN_ANYBODY)
    try:
        return day.replace(year=year)
    except ValueError:
        return day.replace(year=year, day=28)


def due(kind: KeptKind, periods: RetentionPeriods, today: dt.date) -> QuerySet[Customer]:
    """Customers of whom this is past its period, those known longest first, with `last_on`: the
    day of the last order, or where there is none, of the consent or the last change.

    Nobody with an order in hand. None where the shop has set no period. Asked so that the database
    stops at the first order that is too new, and need not sort a shop of forty years.
    """
    years = periods.years(kind)
    if years is None:
        return Customer.objects.none()
    before, mine = years_before(today, years), {"customer": OuterRef("pk")}
    orders = Order.objects.filter(**mine)
    newer = orders.filter(Q(ordered_on__gt=before) | Q(stage__in=IN_HAND))
    known = Coalesce("record_consent_on", TruncDate("changed_at"))
    said = KeptLonger.objects.filter(kind=kind, **mine).order_by("-pk")
    newest = orders.order_by("-ordered_on").values("ordered_on")
    rows = Customer.objects.present().alias(known=known)
    rows = rows.filter(~Exists(newer), Exists(orders) | Q(known__lte=before), _holds(kind, mine))
    rows = rows.annotate(
        last_on=Coalesce(Subquery(newest[:1]), known),
        kept_until=Subquery(said.values("until")[:1]),
    )
    return rows.filter(Q(kept_until=None) | Q(kept_until__lt=today)).order_by("pk")


def _holds(kind: KeptKind, mine: dict[str, Any]) -> Any:
    """Whether there is anything of this kind to keep."""
    if kind == KeptKind.PHOTOGRAPHS:
        return Exists(Photograph.objects.filter(fitting__order__customer=OuterRef("pk")))
    if kind == KeptKind.MEASURES:
        held = [Exists(m._default_manager.filter(**mine)) for m in MEASURES]
        return held[0] | held[1] | held[2]
    return Q()


MEASURES: Final = (MeasurementSet, ArmCarriage, FigureNote)
