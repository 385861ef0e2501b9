"""Two intervals that need no statistics library: Student's t, and Wilson's for a share.

The t quantile inverts the distribution function, a finite sum for whole degrees of freedom
(Abramowitz and Stegun 26.7.3 and 26.7.4, from memory).
"""

from __future__ import annotations

import math
from functools import cache
from statistics import NormalDist

from patterns.geometry.roots import last_where


def t_distribution(t: float, freedom: int) -> float:
    """P(T <= t) for `freedom` >= 1 degrees of freedom."""
    theta = math.atan2(t, math.sqrt(freedom))
    cos2 = math.cos(theta) ** 2
    odd = freedom % 2 == 1
    term = math.cos(theta) if odd else 1.0
    total = term if freedom > 1 else 0.0
    for k in range(3 if odd else 2, freedom - 1, 2):
        term *= cos2 * (k - 1) / k
        total += term
    inside = math.sin(theta) * total
    return 0.5 + ((theta + inside) * 2.0 / math.pi if odd else inside) / 2.0


@cache
def t_quantile(probability: float, freedom: int) -> float:
    """The t below which lies `probability` (0.5 to below 1); `freedom` >= 1."""
    high = 1.0
    while t_distribution(high, freedom) < probability:
        high *= 2.0
    return last_where(lambda t: t_distribution(t, freedom) < probability, 0.0, high)


def wilson(share: float, count: float, confidence: float = 0.95) -> tuple[float, float]:
    """Wilson's score interval of a share seen in `count` independent cases (Wilson, Probable
    Inference, the Law of Succession, and Statistical Inference, 1927, from memory)."""
    z2 = NormalDist().inv_cdf(0.5 + confidence / 2.0) ** 2
    middle = (share + z2 / (2.0 * count)) / (1.0 + z2 / count)
    half = math.sqrt(z2 * (share * (1.0 - share) / count + z2 / (4.0 * count**2)))
    half /= 1.0 + z2 / count
    return max(0.0, middle - half), min(1.0, middle + half)
