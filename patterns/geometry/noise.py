"""Readings with their noise: taken together, compared, and held back when they are weak.

Sleeve geometry, section 2.
"""

import itertools
import math
from collections.abc import Sequence
from dataclasses import dataclass

from patterns.geometry.refusals import BadMeasure, checked_number, checked_positive


@dataclass(frozen=True, slots=True)
class Estimate:
    """A value and its noise (one sigma, above zero), both in the same unit. Refuses BadMeasure."""

    value: float
    sigma: float

    def __post_init__(self) -> None:
        checked_number(self.value, "reading")
        checked_positive(self.sigma, "noise of a reading")


def combine(estimates: Sequence[Estimate]) -> Estimate:
    """Take independent readings of one thing together by inverse variance. Refuses an empty list.

    Whether they agree well enough for that is told by `disagreement`.
    """
    if not estimates:
        raise BadMeasure("There is no reading to take together; take one first.")
    # Weights against the best reading, so that no variance overflows.
    best = min(estimate.sigma for estimate in estimates)
    weights = [(best / estimate.sigma) ** 2 for estimate in estimates]
    total = math.fsum(weights)
    value = math.fsum(w * e.value for w, e in zip(weights, estimates, strict=True)) / total
    return Estimate(value, best / math.sqrt(total))


def disagreement(estimates: Sequence[Estimate]) -> float:
    """Largest difference between two readings over the noise of that difference; 0 for one."""
    return max(
        (
            abs(one.value - other.value) / math.hypot(one.sigma, other.sigma)
            for one, other in itertools.combinations(estimates, 2)
        ),
        default=0.0,
    )


def shrink(estimate: Estimate, spread: float) -> Estimate:
    """Hold a reading back by spread^2 / (spread^2 + sigma^2); its noise shrinks with it.

    spread: the shop's own known spread (one sigma) of true values, above zero, same unit.
    """
    ratio = estimate.sigma / checked_positive(spread, "spread of true values")
    share = 1.0 / (1.0 + ratio * ratio)
    return Estimate(estimate.value * share, estimate.sigma * math.sqrt(share))
