"""Planned fittings for tests."""

import datetime as dt
from typing import Any

from django.utils import timezone

from fittings.models import PlannedFitting
from tests.factories import OrderFactory, UserFactory


def on(days: int, hour: int = 10, minute: int = 0) -> dt.datetime:
    """So many days from today, at this hour of the shop."""
    day = timezone.localdate() + dt.timedelta(days=days)
    return timezone.make_aware(dt.datetime.combine(day, dt.time(hour, minute)))


def planned(starts_at: dt.datetime | None = None, **facts: Any) -> PlannedFitting:
    if "order" not in facts:
        customer = {"customer": facts.pop("customer")} if "customer" in facts else {}
        facts["order"] = OrderFactory(**customer)
    if "with_whom" not in facts:
        facts["with_whom"] = UserFactory()
    return PlannedFitting.objects.create(starts_at=starts_at or on(0), **facts)
