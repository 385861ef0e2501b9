"""How a customer's arms were seen to hang at rest: where the figures of a fitting start."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass

from fittings.models import Customer, Side


@dataclass(frozen=True, slots=True, kw_only=True)
class Seen:
    """Degrees as `ArmCarriage` has them, and the day they were seen."""

    degrees: float
    on: dt.date


@dataclass(frozen=True, slots=True, kw_only=True)
class AtRest:
    """One arm, the newest that was seen of each; None: nobody wrote it down.

    Positive: the hand forward of plumb, the elbow turned outward, the elbow bent.
    """

    hang: Seen | None = None
    turn: Seen | None = None
    bend: Seen | None = None


NOTHING_SEEN = AtRest()


def at_rest(customer: Customer) -> dict[str, AtRest]:
    """Both arms by side. One query."""
    found: dict[str, dict[str, Seen]] = {Side.LEFT: {}, Side.RIGHT: {}}
    for arm in customer.arm_carriages.all():
        for name, degrees in (
            ("hang", arm.forward_hang_deg),
            ("turn", arm.inward_turn_deg),
            ("bend", arm.elbow_bend_deg),
        ):
            if degrees is not None:
                seen = Seen(degrees=float(degrees), on=arm.observed_on)
                found[arm.side].setdefault(name, seen)
    return {side: AtRest(**seen) for side, seen in found.items()}
