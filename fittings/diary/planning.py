"""A planned fitting: which comes next, what speaks against its hour, how it becomes a fitting."""

from __future__ import annotations

import datetime as dt
from collections import defaultdict
from collections.abc import Iterable
from typing import TYPE_CHECKING, Final

from django.db import transaction
from django.utils import timezone

from fittings.diary.days import midnight
from fittings.models import Fitting, Order, PlannedFitting, PlanState, Stage
from fittings.refusals import Frozen

if TYPE_CHECKING:
    from tailorshop.models import User

IN_TURN: Final = (Stage.BASTE, Stage.FORWARD, Stage.FINISH)
# No fitting is planned longer than this, so nothing that began earlier can still be going on.
LONGEST: Final = dt.timedelta(minutes=480)


def next_stage(order: Order) -> Stage:
    """The first stage from where the order stands on that is neither signed nor planned yet."""
    if order.stage == Stage.DELIVERED:
        return Stage.DELIVERED
    signed = order.fittings.exclude(signed_at=None).values_list("stage", flat=True)
    taken = {*signed, *order.planned_fittings.waiting().values_list("stage", flat=True)}
    stages = list(Stage)
    reached = stages.index(Stage(order.stage))
    ahead = [s for s in IN_TURN if stages.index(s) >= reached and s not in taken]
    return ahead[0] if ahead else Stage.FINISH


def check_can_change(row: PlannedFitting) -> None:
    """Raises Frozen for a plan that was kept or cancelled."""
    if row.state == PlanState.CANCELLED:
        raise Frozen("This fitting was cancelled: plan it anew from its order.")
    if row.state == PlanState.KEPT:
        raise Frozen("This fitting was started: what is to be said of it belongs on its own page.")


def overlapping(row: PlannedFitting) -> list[PlannedFitting]:
    """Other fittings of the same fitter that are going on at the same time, the earliest first."""
    near = PlannedFitting.objects.reachable().standing().filter(with_whom=row.with_whom_id)
    near = near.between(row.starts_at - LONGEST, row.ends_at).exclude(pk=row.pk)
    rows = near.select_related("order__customer")
    return [other for other in rows if other.ends_at > row.starts_at]


def overlaps_among(rows: Iterable[PlannedFitting]) -> dict[int, list[PlannedFitting]]:
    """For rows ordered by their hour: those that run into one another, by key, one fitter each."""
    found: dict[int, list[PlannedFitting]] = defaultdict(list)
    going_on: dict[int, list[PlannedFitting]] = defaultdict(list)
    for row in rows:
        before = [one for one in going_on[row.with_whom_id] if one.ends_at > row.starts_at]
        for other in before:
            found[row.pk].append(other)
            found[other.pk].append(row)
        going_on[row.with_whom_id] = [*before, row]
    return found


def said_against(row: PlannedFitting) -> list[str]:
    """What is told and never blocks, in sentences: another fitting then, later than promised."""
    told = [
        f"{row.with_whom} has another fitting then: {timezone.localtime(other.starts_at):%H:%M} to "
        f"{timezone.localtime(other.ends_at):%H:%M}, {other.order}, {other.order.customer}."
        for other in overlapping(row)
    ]
    return [*told, *([late] if (late := after_promised(row)) else [])]


def after_promised(row: PlannedFitting) -> str:
    """A sentence where it is planned for a day after the one it is promised for, else none."""
    promised, stage = row.order.promised_on, row.stage
    days = (timezone.localdate(row.starts_at) - promised).days if promised else 0
    if promised is None or days <= 0 or stage == Stage.DELIVERED:
        return ""
    later = "the day after it is" if days == 1 else f"{days} days after it is"
    return f"This is {later} promised for ({promised:%-d %b})."


def held_on_day(row: PlannedFitting, day: dt.date) -> Fitting | None:
    """The fitting of this order and stage begun on this day already, an open one before others."""
    same = Fitting.objects.filter(order=row.order_id, stage=row.stage, held_on=day)
    return same.filter(signed_at=None).first() or same.first()


def start(plan: PlannedFitting, *, by: User, on: dt.date) -> Fitting:
    """The fitting this plan becomes; pressed again, or by two at once, it is the same one.

    Raises Frozen for a plan that was cancelled.
    """
    with transaction.atomic():
        row = PlannedFitting.objects.select_for_update().get(pk=plan.pk)
        if row.fitting is not None:
            return row.fitting
        if row.state == PlanState.CANCELLED:
            check_can_change(row)
        row.fitting = held_on_day(row, on) or Fitting.objects.create(
            order_id=row.order_id, stage=row.stage, held_on=on, fitter=by
        )
        row.state = PlanState.KEPT
        row.save_over(row.version)
        return row.fitting


def keep_plans_of(fitting: Fitting) -> None:
    """A fitting opened from its order keeps what was planned of its stage for that day."""
    day = fitting.held_on
    plans = PlannedFitting.objects.waiting().filter(order=fitting.order_id, stage=fitting.stage)
    with transaction.atomic():
        that_day = plans.between(midnight(day), midnight(day + dt.timedelta(days=1)))
        for row in that_day.select_for_update():
            row.fitting, row.state = fitting, PlanState.KEPT
            row.save_over(row.version)
