"""What is planned as an iCalendar (RFC 5545): initials and order numbers only, by its clock."""

from __future__ import annotations

import datetime as dt
import hashlib
import secrets
from collections.abc import Iterator
from typing import TYPE_CHECKING, Final
from zoneinfo import ZoneInfo

from django.utils import timezone
from icalendar import Calendar, Event

from fittings.diary.clock import A_DAY, written_clock
from fittings.diary.days import LAST
from fittings.models import CalendarFeed, Customer, Order, PlannedFitting, PlanState

if TYPE_CHECKING:
    from tailorshop.models import User

# How far back a calendar is told; a cancelled fitting must stay in it long enough to be seen.
BACK: Final = dt.timedelta(days=60)


def digest(token: str) -> str:
    """The token is 256 random bits: a plain digest cannot be turned back or guessed."""
    return hashlib.sha256(token.encode()).hexdigest()


def renew(user: User, *, at: dt.datetime) -> str:
    """A new secret for this person's address; the one before opens nothing any more."""
    token = secrets.token_urlsafe(32)
    CalendarFeed.objects.update_or_create(
        user=user, defaults={"digest": digest(token), "made_at": at}
    )
    return token


def revoke(user: User) -> None:
    CalendarFeed.objects.filter(user=user).update(digest=None, made_at=None)


def written(feed: CalendarFeed, *, now: dt.datetime) -> bytes:
    calendar = Calendar()
    calendar.add("prodid", "-//Fitting book//Calendar//EN")
    calendar.add("version", "2.0")
    calendar.add("method", "PUBLISH")
    zone, fittings = timezone.get_default_timezone(), _fittings(feed, now)
    if isinstance(zone, ZoneInfo) and zone.key != "UTC":
        last = max((row.ends_at for row in fittings), default=now)
        calendar.add_component(written_clock(zone, now - BACK - A_DAY, last + A_DAY))
    for row in fittings:
        calendar.add_component(_fitting(row, feed, zone))
    for event in _promised(feed, now):
        calendar.add_component(event)
    return bytes(calendar.to_ical())


def _fittings(feed: CalendarFeed, now: dt.datetime) -> list[PlannedFitting]:
    """The owner's calendar has everybody's, a fitter's and the workroom's those with themselves."""
    rows = PlannedFitting.objects.reachable().filter(starts_at__gte=now - BACK)
    if feed.user.role != "owner":
        rows = rows.filter(with_whom=feed.user)
    return list(rows.select_related("order__customer"))


def _fitting(row: PlannedFitting, feed: CalendarFeed, zone: dt.tzinfo) -> Event:
    event = _event(f"fitting-{row.pk}@{feed.name}", row.version, row.changed_at)
    event.add("summary", f"{row.get_stage_display()}, {_short(row.order)}")
    event.add("dtstart", _by_clock(row.starts_at, zone))
    event.add("dtend", _by_clock(row.ends_at, zone))
    event.add("status", "CANCELLED" if row.state == PlanState.CANCELLED else "CONFIRMED")
    return event


def _by_clock(at: dt.datetime, zone: dt.tzinfo) -> dt.datetime:
    """In UTC the second time an hour comes, when clocks go back: else the first is understood."""
    said = at.astimezone(zone)
    return at.astimezone(dt.UTC) if said.fold else said


def _promised(feed: CalendarFeed, now: dt.datetime) -> Iterator[Event]:
    """The workroom is told of what it makes itself."""
    told = ((now - BACK).date(), LAST)
    rows = Order.objects.filter(customer__erased_on=None, promised_on__range=told)
    if feed.user.role == "workroom":
        rows = rows.filter(maker=feed.user)
    for row in rows.select_related("customer"):
        event = _event(f"promised-{row.pk}@{feed.name}", row.version, row.changed_at)
        event.add("summary", f"Promised: {_short(row)}")
        if row.promised_on is not None:
            event.add("dtstart", row.promised_on)
            event.add("dtend", row.promised_on + dt.timedelta(days=1))
        event.add("transp", "TRANSPARENT")
        yield event


def _event(uid: str, version: int, changed_at: dt.datetime) -> Event:
    """In a published calendar DTSTAMP says when the event was last changed (RFC 5545, 3.8.7.2)."""
    event = Event()
    event.add("uid", uid)
    event.add("sequence", version - 1)
    event.add("dtstamp", changed_at.astimezone(dt.UTC))
    return event


def _short(order: Order) -> str:
    return f"{order.number} {order.get_garment_display().lower()}, {initials(order.customer)}"


def initials(customer: Customer) -> str:
    parts = f"{customer.given_name} {customer.family_name}".split()
    return " ".join(f"{part[0]}." for part in parts)
