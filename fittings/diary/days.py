"""Days, weeks and months of the shop's own clock."""

from __future__ import annotations

import calendar
import datetime as dt
from dataclasses import dataclass
from typing import Final

from django.utils import timezone

A_DAY: Final = dt.timedelta(days=1)
KINDS: Final = ("week", "month", "day")
# What a record says of days and hours lies in these years: at a calendar's own ends (0001, 9999)
# the next day, or the same hour by another clock, is no day at all.
YEARS: Final = range(1900, 2200)
# A diary is opened within these; what is asked beyond them opens today.
FIRST, LAST = dt.date(2000, 1, 1), dt.date(2100, 12, 31)


def midnight(day: dt.date) -> dt.datetime:
    """The moment this day begins where the shop is."""
    return dt.datetime.combine(day, dt.time.min, tzinfo=timezone.get_current_timezone())


def moment(day: dt.date, hour: dt.time) -> dt.datetime | None:
    """This hour of this day where the shop is; None for one that the clocks leap over.

    An hour that comes twice, when the clocks go back, is the first of the two.
    """
    here = timezone.get_current_timezone()
    at = dt.datetime.combine(day, hour, tzinfo=here)
    back = at.astimezone(dt.UTC).astimezone(here)
    return at if back.replace(tzinfo=None) == at.replace(tzinfo=None) else None


def day_said(text: str, today: dt.date) -> dt.date:
    """A day written as 2026-11-25; today where it is none, or none a diary is opened at."""
    try:
        day = dt.date.fromisoformat(text)
    except ValueError:
        return today
    return day if FIRST <= day <= LAST else today


@dataclass(frozen=True, slots=True, kw_only=True)
class Period:
    """Days from `first` to `last`, both within."""

    kind: str
    first: dt.date
    last: dt.date

    @classmethod
    def of(cls, kind: str, day: dt.date) -> Period:
        """The week (Monday to Sunday), month or day that this day lies in."""
        if kind == "day":
            return cls(kind=kind, first=day, last=day)
        if kind == "month":
            length = calendar.monthrange(day.year, day.month)[1]
            return cls(kind=kind, first=day.replace(day=1), last=day.replace(day=length))
        monday = day - dt.timedelta(days=day.weekday())
        return cls(kind="week", first=monday, last=monday + dt.timedelta(days=6))

    @property
    def days(self) -> list[dt.date]:
        return [self.first + n * A_DAY for n in range((self.last - self.first).days + 1)]

    @property
    def earlier(self) -> dt.date:
        """A day of the period before."""
        return self.first - A_DAY

    @property
    def later(self) -> dt.date:
        return self.last + A_DAY

    @property
    def moments(self) -> tuple[dt.datetime, dt.datetime]:
        """When it begins, and when the next one does."""
        return midnight(self.first), midnight(self.later)
