"""What share of a worked change really comes in this shop, with honest intervals.

Model, for coat c and sleeve i:  after = need - f_c * worked + noise,  f_c ~ N(f, tau^2).

The need was read with noise, and the work followed that reading: its noise would pass for work that
came (regression to the mean). So the need is first held back to what such a reading is worth in
this shop, spread^2 / (spread^2 + sigma^2) round the shop's mean: regression calibration (Carroll,
Ruppert, Stefanski, Crainiceanu, Measurement Error in Nonlinear Models, chapter 4, from memory).
Sleeves of one coat are taken together; coats by random-effects meta-analysis, tau^2 after Paule and
Mandel (1982), interval after Hartung and Knapp (2001) and Sidik and Jonkman (2002), never narrower
than without it (Roever, Knapp and Friede 2015); all from memory. Then the value is held towards
the law, f = 1, by empirical Bayes (Efron and Morris 1973, from memory).

Nothing here is rounded; mm are signed as the correction.
"""

from __future__ import annotations

import math
from collections import defaultdict
from collections.abc import Callable, Hashable, Sequence
from dataclasses import dataclass, replace
from typing import Final

from fittings.outcomes.student import t_quantile
from patterns.geometry.roots import last_where

CONFIDENCE: Final = 0.95
LAW: Final = 1.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Read:
    """A need as it was read: mm, and the noise of the reading (1 sigma, above zero)."""

    value_mm: float
    sigma_mm: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Came:
    """One worked correction and the reading after it; sleeves of one coat share `coat`."""

    coat: Hashable
    before: Read
    worked_mm: float
    after: Read


@dataclass(frozen=True, slots=True, kw_only=True)
class Spread:
    """How the shop's true needs lie: mean and spread (1 sigma), mm; `spread_error` of spread^2."""

    mean_mm: float
    mean_error_mm: float
    spread2: float
    spread2_error: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Pooled:
    """A random-effects mean of `count` values: its error (1 sigma), and tau between them."""

    value: float
    error: float
    tau: float
    count: int

    def interval(self, confidence: float = CONFIDENCE) -> tuple[float, float]:
        half = t_quantile(0.5 + confidence / 2.0, self.count - 1) * self.error
        return self.value - half, self.value + half


def pooled(values: Sequence[float], variances: Sequence[float]) -> Pooled:
    """Random-effects mean: tau^2 by Paule and Mandel, error by Hartung and Knapp.

    Variances above zero. Refuses (ValueError) fewer than two values.
    """
    if len(values) < 2:
        raise ValueError("Two values at least: from one alone nothing is known of their spread.")
    tau2 = _spread2(values, variances, None)
    weights = [1.0 / (v + tau2) for v in variances]
    total = math.fsum(weights)
    mean = _mean(values, weights)
    q = math.fsum(w * (y - mean) ** 2 for w, y in zip(weights, values, strict=True))
    adjusted = q / (len(values) - 1)
    error = math.sqrt(max(1.0, adjusted) / total)
    return Pooled(value=mean, error=error, tau=math.sqrt(tau2), count=len(values))


def _mean(values: Sequence[float], weights: Sequence[float]) -> float:
    return math.fsum(w * y for w, y in zip(weights, values, strict=True)) / math.fsum(weights)


def _spread2(values: Sequence[float], variances: Sequence[float], about: float | None) -> float:
    """tau^2 >= 0 at which the weighted squares about the mean are what chance would make them.

    `about`: a mean known beforehand (then one degree of freedom more); None: their own mean.
    """
    expected = len(values) - (1 if about is None else 0)

    def excess(tau2: float) -> float:
        weights = [1.0 / (v + tau2) for v in variances]
        mean = _mean(values, weights) if about is None else about
        squares = ((y - mean) ** 2 * w for w, y in zip(weights, values, strict=True))
        return math.fsum(squares) - expected

    return _root(excess, max(1.0, max(values) - min(values), max(map(abs, values))) ** 2 * 4.0)


def _root(falling: Callable[[float], float], high: float) -> float:
    """Where a falling function crosses zero, from 0 to `high`; 0 where it starts below."""
    return last_where(lambda at: falling(at) > 0, 0.0, high) if falling(0.0) > 0 else 0.0


def spread_of(reads: Sequence[Read]) -> Spread:
    """How the true needs lie, from all that was read at first fittings (worked or left alone).

    Two readings at least.
    """
    values, variances = [r.value_mm for r in reads], [r.sigma_mm**2 for r in reads]
    spread2 = _spread2(values, variances, None)
    weights = [1.0 / (v + spread2) for v in variances]
    return Spread(
        mean_mm=_mean(values, weights),
        mean_error_mm=1.0 / math.sqrt(math.fsum(weights)),
        spread2=spread2,
        spread2_error=math.sqrt(2.0 / math.fsum(w * w for w in weights)),
    )


def share(came: Sequence[Came], spread: Spread) -> Pooled:
    """The share of a worked change that comes. Two coats at least; no work of 0 mm.

    What is not known of the shop's own spread widens the error (to first order).
    """
    best = _share(came, spread)
    wider = replace(spread, spread2=spread.spread2 + spread.spread2_error)
    moved = replace(spread, mean_mm=spread.mean_mm + spread.mean_error_mm)
    of_spread = _share(came, wider).value - best.value
    of_mean = _share(came, moved).value - best.value
    return replace(best, error=math.hypot(best.error, of_spread, of_mean))


def _share(came: Sequence[Came], spread: Spread) -> Pooled:
    coats: defaultdict[Hashable, list[tuple[float, float]]] = defaultdict(list)
    for one in came:
        need, variance = _held_back(one.before, spread)
        ratio = (need - one.after.value_mm) / one.worked_mm
        coats[one.coat].append((ratio, (variance + one.after.sigma_mm**2) / one.worked_mm**2))
    values, variances = [], []
    for sleeves in coats.values():
        weights = [1.0 / v for _, v in sleeves]
        values.append(_mean([y for y, _ in sleeves], weights))
        variances.append(1.0 / math.fsum(weights))
    return pooled(values, variances)


def _held_back(read: Read, spread: Spread) -> tuple[float, float]:
    """The need that a reading stands for in this shop, and its variance."""
    noise2 = read.sigma_mm**2
    worth = spread.spread2 / (spread.spread2 + noise2)
    return spread.mean_mm + worth * (read.value_mm - spread.mean_mm), worth * noise2


def held_to_law(found: Sequence[Pooled], law: float = LAW) -> list[float]:
    """Each share held towards the law by as much as all of them together show no difference."""
    if not found:
        return []
    errors2 = [one.error**2 for one in found]
    between2 = _spread2([one.value for one in found], errors2, law)
    return [
        law + (one.value - law) * between2 / (between2 + error2)
        for one, error2 in zip(found, errors2, strict=True)
    ]
