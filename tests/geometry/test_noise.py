"""Readings taken together, against scipy's weighted fit and against plain chance."""

import math

import numpy as np
import pytest
from scipy import optimize

from patterns.geometry.noise import Estimate, combine, disagreement, shrink
from patterns.geometry.refusals import BadMeasure

READINGS = [Estimate(6.0, 4.0), Estimate(9.2, 0.64), Estimate(8.1, 1.5)]


def test_one_reading_alone_stays_as_it_is() -> None:
    assert combine([Estimate(6.0, 4.0)]) == Estimate(6.0, 4.0)
    assert disagreement([Estimate(6.0, 4.0)]) == 0.0


def test_readings_combine_as_scipys_weighted_fit_of_a_constant() -> None:
    fit, covariance = optimize.curve_fit(
        lambda x, c: np.full_like(x, c),
        np.arange(3.0),
        [reading.value for reading in READINGS],
        p0=[5.0],
        sigma=[reading.sigma for reading in READINGS],
        absolute_sigma=True,
    )
    together = combine(READINGS)
    assert together.value == pytest.approx(float(fit[0]), abs=1e-6)
    assert together.sigma == pytest.approx(math.sqrt(float(covariance[0, 0])), rel=1e-5)


def test_noise_of_combined_readings_is_what_chance_gives() -> None:
    """40,000 fittings drawn by numpy's generator, true shift 8 mm."""
    rng = np.random.default_rng(7)
    sigmas = [4.0, 1.5, 2.0]
    drawn = 8.0 + rng.standard_normal((40_000, 3)) * sigmas
    values = [
        combine([Estimate(float(v), s) for v, s in zip(row, sigmas, strict=True)]).value
        for row in drawn[:4000]
    ]
    claimed = combine([Estimate(8.0, s) for s in sigmas]).sigma
    assert np.std(values) == pytest.approx(claimed, rel=0.04)
    assert np.mean(values) == pytest.approx(8.0, abs=0.1)


def test_worst_pair_tells_the_disagreement() -> None:
    """Two readings 10 mm apart with noise 3 and 4 mm: two sigma of their difference (5 mm)."""
    pair = [Estimate(0.0, 3.0), Estimate(10.0, 4.0)]
    assert disagreement(pair) == pytest.approx(2.0)
    assert disagreement([*pair, Estimate(5.0, 30.0)]) == pytest.approx(2.0)
    assert disagreement([Estimate(5.0, 3.0), Estimate(5.0, 4.0)]) == 0.0


def test_shrinking_by_the_shops_spread_beats_correcting_in_full_or_not_at_all() -> None:
    """Sleeve geometry, section 2: it "always wins"; 50,000 coats drawn by numpy's generator."""
    rng = np.random.default_rng(8)
    for spread, sigma in ((6.0, 4.0), (2.0, 4.0), (8.0, 0.64)):
        true = spread * rng.standard_normal(50_000)
        read = true + sigma * rng.standard_normal(50_000)
        unit = shrink(Estimate(1.0, sigma), spread)
        left = np.mean((true - unit.value * read) ** 2)
        assert left < np.mean((true - read) ** 2)
        assert left < np.mean(true**2)
        assert math.sqrt(left) == pytest.approx(unit.sigma, rel=0.02)


def test_full_correction_helps_only_beyond_its_own_noise() -> None:
    """Sleeve geometry, section 2, by chance: at one sigma the error left equals the fault."""
    rng = np.random.default_rng(9)
    sigma = combine([Estimate(0.0, 4.0), Estimate(0.0, 4.0)]).sigma
    for true, helps in ((0.5 * sigma, False), (2.0 * sigma, True)):
        left = np.mean((true - (true + sigma * rng.standard_normal(50_000))) ** 2)
        assert bool(left < true**2) is helps


def test_shrinking_hardly_touches_a_sure_reading() -> None:
    assert shrink(Estimate(8.0, 0.01), 5.0).value == pytest.approx(8.0, rel=1e-5)
    assert abs(shrink(Estimate(8.0, 50.0), 1.0).value) < 0.01


def test_readings_without_noise_or_number_are_refused() -> None:
    for value, sigma in ((1.0, 0.0), (1.0, -1.0), (math.nan, 1.0), (1.0, math.inf)):
        with pytest.raises(BadMeasure, match="measure it again"):
            Estimate(value, sigma)
    with pytest.raises(BadMeasure, match="take one first"):
        combine([])
    with pytest.raises(BadMeasure, match="measure it again"):
        shrink(Estimate(1.0, 1.0), 0.0)
