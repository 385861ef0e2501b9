"""What stands in the invented shop's diary: yesterday's, today's, and the weeks to come."""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping
from dataclasses import dataclass
from typing import TYPE_CHECKING, Final

from fittings.diary.days import moment
from fittings.models import Fitting, Order, PlannedFitting, PlanState

if TYPE_CHECKING:
    from tailorshop.models import User


@dataclass(frozen=True, slots=True, kw_only=True)
class Plan:
    """Of the customer of this family name, `ahead` days from today at hour:minute."""

    family: str
    garment: str = "coat"
    stage: str
    ahead: int
    at: tuple[int, int]
    minutes: int = 45
    who: str = "ines"
    cancelled: str = ""


PLANS: Final = (
    Plan(family="Talverey", stage="baste", ahead=-2, at=(11, 0)),
    Plan(family="Harrowby-Lisk", stage="baste", ahead=-1, at=(16, 30)),
    Plan(
        family="Ambrelow", stage="finish", ahead=0, at=(9, 0), cancelled="The garment is not ready"
    ),
    Plan(family="Wrenfold", stage="forward", ahead=0, at=(10, 30)),
    Plan(family="Okonmoor", stage="forward", ahead=0, at=(15, 0), minutes=60),
    Plan(family="Dovermere", stage="forward", ahead=1, at=(10, 0)),
    Plan(family="Arkvale", stage="forward", ahead=1, at=(11, 0), minutes=60),
    Plan(family="Wrenfold", garment="waistcoat", stage="forward", ahead=1, at=(11, 30), minutes=30),
    Plan(family="Sollan", stage="baste", ahead=3, at=(9, 30)),
    Plan(family="Ambrelow", stage="finish", ahead=5, at=(17, 0), minutes=30),
    Plan(family="Thornwill", stage="forward", ahead=6, at=(10, 0), who="maud"),
    Plan(family="Quillmarsh", stage="baste", ahead=9, at=(14, 15)),
    Plan(family="Pellamy", stage="forward", ahead=12, at=(11, 45)),
    Plan(family="Fenwharf", stage="forward", ahead=15, at=(10, 0), minutes=60),
)


def plan(staff: Mapping[str, User], today: dt.date) -> None:
    """After all visits: a plan of a day that is past became the fitting of its stage."""
    orders = Order.objects.open().select_related("customer")
    by_name = {(order.customer.family_name, order.garment): order for order in orders}
    for told in PLANS:
        order = by_name[told.family, told.garment]
        at = moment(_open_day(today, told.ahead), dt.time(*told.at))
        row = PlannedFitting(order=order, stage=told.stage, minutes=told.minutes)
        row.with_whom, row.cancelled_because = staff[told.who], told.cancelled
        if told.cancelled:
            row.state = PlanState.CANCELLED
        if told.ahead < 0:
            row.fitting = Fitting.objects.get(order=order, stage=told.stage)
            row.state = PlanState.KEPT
        if at is not None:
            row.starts_at = at
            row.save()


def _open_day(today: dt.date, ahead: int) -> dt.date:
    """Nobody is asked to come on a Sunday further off."""
    day = today + dt.timedelta(days=ahead)
    return day + dt.timedelta(days=1) if ahead > 1 and day.isoweekday() == 7 else day
