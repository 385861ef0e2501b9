"""The shop's clock as a calendar file says it (VTIMEZONE of RFC 5545, 3.6.5)."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator
from typing import NamedTuple
from zoneinfo import ZoneInfo

from icalendar import Timezone, TimezoneDaylight, TimezoneStandard

A_SECOND, A_DAY = dt.timedelta(seconds=1), dt.timedelta(days=1)


class Change(NamedTuple):
    """From this moment (UTC) the clock stands by another offset from UTC than before."""

    at: dt.datetime
    before: dt.timedelta
    after: dt.timedelta


def written_clock(zone: ZoneInfo, first: dt.datetime, last: dt.datetime) -> Timezone:
    """The offset at `first` and every change up to `last`, one observance each.

    The library's own way writes the onset of summer time by the clock after the change; it is
    said by the clock before it, like everything that is said of an onset.
    """
    clock = Timezone()
    clock.add("tzid", zone.key)
    start = first.astimezone(dt.UTC)
    offset = _offset(zone, start)
    for change in (Change(start, offset, offset), *changes(zone, start, last)):
        summer = change.at.astimezone(zone).dst()
        one = TimezoneDaylight() if summer else TimezoneStandard()
        one.add("dtstart", (change.at + change.before).replace(tzinfo=None, microsecond=0))
        one.add("tzoffsetfrom", change.before)
        one.add("tzoffsetto", change.after)
        one.add("tzname", change.at.astimezone(zone).tzname() or zone.key)
        clock.add_component(one)
    return clock


def changes(zone: ZoneInfo, first: dt.datetime, last: dt.datetime) -> Iterator[Change]:
    """Looked for day by day: no clock is changed twice in one."""
    day = first.astimezone(dt.UTC)
    while day < last:
        before, after = _offset(zone, day), _offset(zone, day + A_DAY)
        if before != after:
            yield Change(_moment(zone, day, before), before, after)
        day += A_DAY


def _moment(zone: ZoneInfo, day: dt.datetime, before: dt.timedelta) -> dt.datetime:
    """The first second of the day after `day` began that is no longer by the offset before."""
    early, late = 0, int(A_DAY / A_SECOND)
    while late - early > 1:
        middle = (early + late) // 2
        same = _offset(zone, day + middle * A_SECOND) == before
        early, late = (middle, late) if same else (early, middle)
    return day + late * A_SECOND


def _offset(zone: ZoneInfo, at: dt.datetime) -> dt.timedelta:
    return at.astimezone(zone).utcoffset() or dt.timedelta()
