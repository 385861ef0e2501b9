"""A pattern begun for an order: drafted from measures, or branched from a version that is kept."""

from __future__ import annotations

import datetime as dt
from typing import TYPE_CHECKING, Any

from django.db import transaction

from fittings.models import Order
from fittings.refusals import Refused
from patterns.models import Pattern, PatternVersion

if TYPE_CHECKING:
    from tailorshop.models import User


def begin_pattern(
    order: Order,
    *,
    seen: int,
    name: str,
    block: str,
    sides: dict[str, Any],
    by: User,
    at: dt.datetime,
) -> PatternVersion:
    """Version 1 of a new pattern, and the order cut from it.

    Raises RecordChanged where the order was saved since version `seen`.
    """
    with transaction.atomic():
        pattern = Pattern.objects.create(name=name, block=block, made_on=at.date())
        version = PatternVersion.objects.create(
            pattern=pattern,
            number=1,
            sides=sides,
            note=f"Drafted for {order.number}",
            made_at=at,
            made_by=by,
        )
        order.pattern_version = version
        order.save_over(seen)
    return version


def branch(
    source: PatternVersion, *, name: str, order: Order | None, by: User, at: dt.datetime
) -> PatternVersion:
    """Version 1 of a pattern that begins as `source` is; the order, if any, is cut from it.

    Refuses (Refused) a retired pattern.
    """
    if source.pattern.retired_on is not None:
        raise Refused("This pattern is retired: branch one that is in use.")
    with transaction.atomic():
        pattern = Pattern.objects.create(
            name=name, block=source.pattern.block, branched_from=source, made_on=at.date()
        )
        version = PatternVersion.objects.create(
            pattern=pattern,
            number=1,
            parent=source,
            sides=source.sides,
            note=f"Branched from {source}",
            made_at=at,
            made_by=by,
        )
        if order is not None:
            order.pattern_version = version
            order.save_over(order.version)
    return version
