"""What few tests of one thing allow to be counted on: the value that only one in twenty would fall below."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from functools import cache
from types import MappingProxyType

from shellcheck_earth.basics.values import default, fixed

__all__ = ["FEWEST_TESTS", "characteristic", "fractile_factor", "fractile_factors", "log_spread"]

FEWEST_TESTS = round(fixed("tests.fewest"))
"""Fewer tests of one thing say nothing of its scatter: what they give is assumed, not measured."""


@cache
def fractile_factors() -> Mapping[int, float]:
    """k_n by number of tests (EN 1990 Annex D, Table D.1, 5 % fractile, variation unknown; read in a transcription)."""
    row = default("site_tests.fractile").extra
    return MappingProxyType({int(n): float(k) for n, k in zip(row["tests"], row["factors"], strict=True)})


def fractile_factor(tests: int) -> float:
    """k_n [-]; between two rows of the table that of the fewer tests. ValueError under FEWEST_TESTS."""
    known = [n for n in fractile_factors() if n <= tests]
    if not known:
        raise ValueError(f"{tests} tests say nothing of their scatter")
    return fractile_factors()[max(known)]


def log_spread(values: Sequence[float]) -> float:
    """Standard deviation of the logarithms, with n - 1 [-]."""
    logs = [math.log(value) for value in values]
    mean = math.fsum(logs) / len(logs)
    return math.sqrt(math.fsum((one - mean) ** 2 for one in logs) / (len(logs) - 1))


def characteristic(values: Sequence[float]) -> float:
    """exp(m - k_n s), m and s mean and standard deviation of the logarithms (lognormal): EN 1990 D7.2 (memory).

    ValueError under FEWEST_TESTS values.
    """
    k = fractile_factor(len(values))
    mean = math.fsum(math.log(value) for value in values) / len(values)
    return math.exp(mean - k * log_spread(values))
