"""Roots by false position and by halving, against scipy's Brent (R. P. Brent, 1973, ch. 4)."""

import math

import pytest
from scipy.optimize import brentq

from patterns.geometry.roots import last_where, rising_root


def test_a_function_that_nowhere_passes_0_has_no_root() -> None:
    assert math.isnan(rising_root(lambda x: x + 1.0, 0.0, 1.0, close=1e-12))


@pytest.mark.parametrize("end", [0.0, 2.0])
def test_a_root_at_an_end_is_found(end: float) -> None:
    assert rising_root(lambda x: x - end, 0.0, 2.0, close=1e-12) == pytest.approx(end, abs=1e-11)


def hollow(x: float) -> float:
    return x**9 - 0.3


def test_both_find_what_brent_finds_also_where_one_end_hardly_moves() -> None:
    found = brentq(hollow, 0.0, 2.0, xtol=1e-14)
    assert rising_root(hollow, 0.0, 2.0, close=1e-12) == pytest.approx(found, abs=1e-11)
    assert last_where(lambda x: hollow(x) <= 0.0, 0.0, 2.0) == pytest.approx(found, abs=1e-13)
