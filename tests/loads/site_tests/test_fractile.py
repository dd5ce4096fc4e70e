"""Fractiles by number of tests, against the distribution they come from."""

from __future__ import annotations

import math

import numpy as np
import pytest
from scipy.stats import t

from shellcheck_earth.loads.site_tests.fractile import characteristic, fractile_factor, fractile_factors


@pytest.mark.parametrize("n", sorted(fractile_factors()))
def test_the_table_is_that_of_the_next_test(n: int) -> None:
    """k_n = t(95 %, n - 1) sqrt(1 + 1/n): one further test falls below in one of twenty cases (Student's t)."""
    assert fractile_factors()[n] == pytest.approx(float(t.ppf(0.95, n - 1)) * math.sqrt(1 + 1 / n), abs=0.015)


def test_between_rows_the_fewer_tests_count() -> None:
    assert fractile_factor(7) == fractile_factor(6) == 2.18
    assert fractile_factor(1000) == fractile_factor(20)
    with pytest.raises(ValueError, match="2 tests"):
        fractile_factor(2)


def test_by_hand() -> None:
    # Logarithms 0, 1, 2: mean 1, spread 1; exp(1 - 3.37).
    assert characteristic([1.0, math.e, math.e**2]) == pytest.approx(math.exp(-2.37))


def test_one_further_test_in_twenty_falls_below() -> None:
    rng = np.random.default_rng(2)
    samples = np.exp(0.2 * rng.normal(size=(4000, 6)))
    low = [characteristic(row[:5].tolist()) for row in samples]
    assert np.mean(samples[:, 5] < low) == pytest.approx(0.05, abs=0.012)  # three standard errors of 4000
