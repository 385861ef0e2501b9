"""A pattern begun for an order: drafted from measures, or branched from a version that is kept."""

from __future__ import annotations

import datetime as dt
from typing import TYPE_CHECKING, Any

from django.db import transaction

from fittings.models import Order, Stage
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


def check_can_cut(version: PatternVersion) -> None:
    """Refuse (Refused) in the sentence that stands beside the button."""
    pattern = version.pattern
    if pattern.retired_on is not None:
        raise Refused(
            f"{pattern} was retired on {pattern.retired_on:%-d %b %Y}: {pattern.retired_reason}. "
            "Nothing more is cut from it; a branch of it can be."
        )


def cut_from(order: Order, version: PatternVersion) -> None:
    """The order is to be cut from this version. Refuses (Refused) a retired pattern, and an order
    that is cut already."""
    check_can_cut(version)
    if order.stage != Stage.MEASURED:
        raise Refused(f"{order} is cut already: its pattern goes on by tickets.")
    order.pattern_version = version
    order.save_over(order.version)


def branch(
    source: PatternVersion, *, name: str, order: Order | None, by: User, at: dt.datetime
) -> PatternVersion:
    """Version 1 of a pattern that begins as `source` is; the order, if any, is cut from it.

    A retired pattern may be branched: nothing is changed in it.
    """
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
