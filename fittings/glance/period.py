"""From when to when the shop is looked at."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass, replace
from typing import Final, Self

from django.db.models import Q
from django.utils import timezone

YEARS: Final = (1, 3, 0)


@dataclass(frozen=True, slots=True, kw_only=True)
class Period:
    """From `first` (None: from the beginning) to `last`, both included."""

    first: dt.date | None
    last: dt.date
    words: str

    @classmethod
    def of_years(cls, years: int, today: dt.date) -> Self:
        """The last `years` years up to today; 0: everything."""
        if years == 0:
            return cls(first=None, last=today, words="since the beginning")
        first = today - dt.timedelta(days=round(365.25 * years))
        return cls(
            first=first,
            last=today,
            words=f"the last {years} years" if years > 1 else "the last year",
        )

    @classmethod
    def of_month(cls, year: int, month: int) -> Self:
        first = dt.date(year, month, 1)
        after = dt.date(year + month // 12, month % 12 + 1, 1)
        return cls(first=first, last=after - dt.timedelta(days=1), words=f"{first:%B %Y}")

    def within(self, field: str, *, moment: bool = False) -> Q:
        """The rows whose `field` (a day; `moment`: a time) lies in the period."""
        after = self.last + dt.timedelta(days=1)
        until = Q(**{f"{field}__lt": _midnight(after) if moment else after})
        if self.first is None:
            return until
        return until & Q(**{f"{field}__gte": _midnight(self.first) if moment else self.first})

    def at_most(self, days: int) -> Self:
        """The last so many days of it."""
        first = self.last - dt.timedelta(days=days)
        return self if self.first and self.first > first else replace(self, first=first)

    def so_far(self) -> Self:
        """Everything up to the end of this period."""
        return type(self)(first=None, last=self.last, words=f"up to {self.last:%-d %b %Y}")


def _midnight(day: dt.date) -> dt.datetime:
    """When a day begins in the shop: quicker to compare with than the day of every moment."""
    return timezone.make_aware(dt.datetime.combine(day, dt.time.min))
