"""The exact perimeter of an ellipse."""

import math


def perimeter(one: float, other: float) -> float:
    """Perimeter of the ellipse with these semi-axes, by the arithmetic-geometric mean."""
    a, b = max(one, other), min(one, other)
    if b <= 0.0:
        return 4.0 * a
    total, weight, c = a * a, 0.5, math.sqrt((a - b) * (a + b))
    total -= weight * c * c
    while abs(c) > 1e-15 * a:
        a, b, c = (a + b) / 2.0, math.sqrt(a * b), (a - b) / 2.0
        weight *= 2.0
        total -= weight * c * c
    return math.tau * total / a
