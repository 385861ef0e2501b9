"""How an arm hangs, from its photograph into the customer's record."""

from __future__ import annotations

import datetime as dt
from decimal import Decimal
from typing import TYPE_CHECKING

from django.db import transaction

from fittings.models import ArmCarriage, Photograph
from fittings.photographs.measuring import Measured
from fittings.refusals import RecordChanged, Refused
from patterns.geometry.noise import Estimate

if TYPE_CHECKING:
    from tailorshop.models import User


def newest(photograph: Photograph, side: str) -> ArmCarriage | None:
    return photograph.customer.arm_carriages.filter(side=side).first()


def token(arm: ArmCarriage | None) -> str:
    """Which observation was on the page."""
    return f"{arm.pk}.{arm.version}" if arm else ""


@transaction.atomic
def carry_over(
    photograph: Photograph, side: str, measured: Measured, *, by: User, seen: str, on: dt.date
) -> ArmCarriage:
    """Write hang and bend into the record of that day; what a photograph does not show is kept.

    Refuses (Refused) a photograph that was not taken from the side, (RecordChanged) a record that
    somebody changed since it was shown.
    """
    if not measured.is_side:
        raise Refused("How far the arm hangs forward is seen from the side only.")
    last = newest(photograph, side)
    if token(last) != seen:
        raise RecordChanged("Somebody else wrote down how this arm hangs: look at it, then again.")
    arm = photograph.customer.arm_carriages.filter(side=side, observed_on=on).first()
    known = arm or ArmCarriage(
        customer=photograph.customer, side=side, observed_on=on, observed_by_id=by.pk
    )
    if arm is None and last is not None:
        known.inward_turn_deg, known.length_mm = last.inward_turn_deg, last.length_mm
    known.forward_hang_deg = _tenths(measured.arm)
    known.elbow_bend_deg = max(Decimal(0), _tenths(measured.arm_bend))
    if arm is None:
        known.save()
    else:
        known.save_over(known.version)
    return known


def _tenths(angle: Estimate) -> Decimal:
    return Decimal(f"{angle.value:.1f}")
