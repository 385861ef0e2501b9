"""Where a function of one number passes 0, and as far as something holds."""

from __future__ import annotations

import math
from collections.abc import Callable
from typing import Final

_STEPS: Final = 200
_HALVINGS: Final = 60


def rising_root(over: Callable[[float], float], low: float, high: float, *, close: float) -> float:
    """Where a rising function is within `close` of 0 between two ends; nan where it nowhere is.

    By false position with Illinois' halving of the end that stays.
    """
    over_low, over_high = over(low), over(high)
    if not over_low <= 0.0 <= over_high:
        return math.nan
    at, here_before = low, 0.0
    for _ in range(_STEPS):
        if over_low == over_high:
            break
        at = (low * over_high - high * over_low) / (over_high - over_low)
        here = over(at)
        if abs(here) <= close or not low < at < high:
            break
        again = here * here_before > 0.0
        if here > 0.0:
            high, over_high = at, here
            over_low = over_low / 2.0 if again else over_low
        else:
            low, over_low = at, here
            over_high = over_high / 2.0 if again else over_high
        here_before = here
    return at


def last_where(holds: Callable[[float], bool], low: float, high: float) -> float:
    """How far from `low`, where it holds, toward `high`, where it does not, something holds.

    By halving, to 1e-18 of the way: for what holds up to a place and not beyond it.
    """
    for _ in range(_HALVINGS):
        middle = (low + high) / 2.0
        low, high = (middle, high) if holds(middle) else (low, middle)
    return low
