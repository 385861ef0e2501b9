"""What stands in the diary from one day to another: planned fittings, and what is promised."""

from __future__ import annotations

import datetime as dt
from collections import defaultdict
from dataclasses import dataclass
from typing import Final

from django.utils import timezone

from fittings.bench.worklist import Due
from fittings.diary.days import Period
from fittings.diary.planning import after_promised, overlaps_among
from fittings.diary.wanted import OpenTicket, open_work
from fittings.models import Order, PlannedFitting, Stage

# More than these are not shown at once: then the diary says until which day it reaches.
MOST: Final = 300
# What is said of a promised garment: the rest of its row is left where it stands.
SAID: Final = (
    *("number", "garment", "stage", "promised_on", "maker", "outside_maker"),
    *("customer__given_name", "customer__family_name"),
    *("maker__username", "maker__first_name", "maker__last_name", "outside_maker__name"),
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Hour:
    """A planned fitting as it stands on its day."""

    row: PlannedFitting
    beside: list[PlannedFitting]
    late: str
    startable: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class Promise:
    """An order promised for a day; `due` says in words whether that day is past."""

    order: Order
    due: Due
    tickets: list[OpenTicket]

    @property
    def kept(self) -> bool:
        return self.order.stage == Stage.DELIVERED


@dataclass(frozen=True, slots=True, kw_only=True)
class Day:
    day: dt.date
    today: dt.date
    hours: list[Hour]
    promises: list[Promise]

    @property
    def is_today(self) -> bool:
        return self.day == self.today

    @property
    def is_past(self) -> bool:
        return self.day < self.today


@dataclass(frozen=True, slots=True, kw_only=True)
class Spread:
    """`until`: the last day that is shown whole, where more stands there than is shown."""

    period: Period
    days: list[Day]
    until: dt.date | None

    @property
    def is_empty(self) -> bool:
        return not any(day.hours or day.promises for day in self.days)


def spread(period: Period, *, today: dt.date, of: int | None = None) -> Spread:
    """`of`: only fittings with this person, and garments in this person's hands."""
    fittings = PlannedFitting.objects.reachable().standing().between(*period.moments)
    # Every stage by name, so that the index of stages and promised days is used.
    orders = Order.objects.filter(customer__erased_on=None, stage__in=Stage.values)
    orders = orders.filter(promised_on__range=(period.first, period.last))
    if of is not None:
        fittings, orders = fittings.filter(with_whom=of), orders.filter(maker=of)
    found = list(fittings.select_related("order__customer", "with_whom")[: MOST + 1])
    orders = orders.select_related("customer", "maker", "outside_maker").only(*SAID)
    promised = list(orders[: MOST + 1])
    cut = [
        day
        for days in ([_day(row) for row in found], [_promised(row) for row in promised])
        for day in days[MOST:]
    ]
    until = min(cut) - dt.timedelta(days=1) if cut else None
    # A month says only how many are promised on a day.
    work = {} if period.kind == "month" else _owed(promised)
    hours, promises = _hours(found, today), _promises(promised, work, today)
    return Spread(
        period=period,
        days=[
            Day(day=day, today=today, hours=hours[day], promises=promises[day])
            for day in period.days
            if until is None or day <= max(until, period.first)
        ],
        until=until,
    )


def _day(row: PlannedFitting) -> dt.date:
    return timezone.localdate(row.starts_at)


def _promised(row: Order) -> dt.date:
    return row.promised_on or dt.date.max


def _hours(rows: list[PlannedFitting], today: dt.date) -> dict[dt.date, list[Hour]]:
    overlaps = overlaps_among(rows)
    found: dict[dt.date, list[Hour]] = defaultdict(list)
    for row in rows:
        day = _day(row)
        hour = Hour(
            row=row,
            beside=overlaps.get(row.pk, []),
            late=after_promised(row) if row.is_waiting else "",
            startable=row.is_waiting and day == today,
        )
        found[day].append(hour)
    return found


def _owed(rows: list[Order]) -> dict[int, list[OpenTicket]]:
    return open_work(row.pk for row in rows if row.stage != Stage.DELIVERED)


def _promises(
    rows: list[Order], work: dict[int, list[OpenTicket]], today: dt.date
) -> dict[dt.date, list[Promise]]:
    found: dict[dt.date, list[Promise]] = defaultdict(list)
    for row in rows:
        due = Due.on(row.promised_on, today)
        found[_promised(row)].append(Promise(order=row, due=due, tickets=work.get(row.pk, [])))
    return found
