"""Indices of first and total order against functions whose indices are known in closed form, and against SALib."""

from __future__ import annotations

import math
from collections.abc import Callable

import numpy as np
import pytest
from SALib.analyze import sobol
from scipy.stats import qmc

from shellcheck_earth.studies.sample.orders import Exchanged, add_exchanged, exchange, exchanged_of, orders

Function = Callable[[np.ndarray], np.ndarray]


def ishigami(u: np.ndarray) -> np.ndarray:
    """sin x1 + 7 sin^2 x2 + 0.1 x3^4 sin x1, x in (-pi, pi) (Ishigami & Homma 1990, memory)."""
    x = (2 * u - 1) * math.pi
    return np.asarray(np.sin(x[..., 0]) + 7 * np.sin(x[..., 1]) ** 2 + 0.1 * x[..., 2] ** 4 * np.sin(x[..., 0]))


def ishigami_indices() -> tuple[tuple[float, ...], tuple[float, ...]]:
    """By hand, a = 7, b = 0.1: V1 = (1 + b pi^4/5)^2/2, V2 = a^2/8, V13 = b^2 pi^8 (1/18 - 1/50), V = their sum."""
    v1, v2, v13 = (1 + 0.1 * math.pi**4 / 5) ** 2 / 2, 49 / 8, 0.01 * math.pi**8 * (1 / 18 - 1 / 50)
    v = v1 + v2 + v13
    return (v1 / v, v2 / v, 0.0), ((v1 + v13) / v, v2 / v, v13 / v)


def added(u: np.ndarray) -> np.ndarray:
    """u1 + 2 u2 + 3 u3: variances 1, 4 and 9 in twelfths, so indices 1/14, 4/14, 9/14, alone and in all."""
    return np.asarray(u[..., 0] + 2 * u[..., 1] + 3 * u[..., 2])


def evaluated(function: Function, scrambling: int, points: int = 256) -> np.ndarray:
    u = qmc.Sobol(6, rng=np.random.default_rng([3, scrambling])).random(points)
    return function(exchange(u[:, :3], u[:, 3:], [[0], [1], [2]]))


def runs_of(function: Function, scramblings: int = 16) -> list[Exchanged]:
    return [exchanged_of(evaluated(function, r)[None]) for r in range(scramblings)]


def test_ishigami_by_hand() -> None:
    first, total = ishigami_indices()  # 0.314, 0.442, 0; 0.558, 0.442, 0.244, as printed in many places
    assert first == pytest.approx((0.3139, 0.4424, 0.0), abs=1e-4)
    assert total == pytest.approx((0.5576, 0.4424, 0.2437), abs=1e-4)


@pytest.mark.parametrize(
    ("function", "wanted"),
    [(ishigami, ishigami_indices()), (added, ((1 / 14, 4 / 14, 9 / 14),) * 2)],
    ids=["ishigami", "sum"],
)
def test_functions_of_known_indices(function: Function, wanted: tuple[tuple[float, ...], tuple[float, ...]]) -> None:
    found = {one.name: one for one in orders(runs_of(function), "abc", 0)}
    for name, first, total in zip("abc", *wanted, strict=True):
        one = found[name]
        assert 0 < one.first_error < 0.02 and 0 < one.total_error < 0.02
        # four standard errors: one in sixteen thousand for each of them
        assert one.first == pytest.approx(first, abs=4 * one.first_error)
        assert one.total == pytest.approx(total, abs=4 * one.total_error)


@pytest.mark.parametrize("function", [ishigami, added])
def test_the_same_domes_give_salib_the_same_indices(function: Function) -> None:
    f = np.concatenate([evaluated(function, r) for r in range(4)], axis=1)
    # Row by row: A, A with each input of B, B.
    flat = np.concatenate([f[:1], f[2:], f[1:2]]).T.ravel()
    problem = {"num_vars": 3, "names": ["a", "b", "c"], "bounds": [[0.0, 1.0]] * 3}
    theirs = sobol.analyze(problem, flat, calc_second_order=False, num_resamples=2, seed=1)
    ours = {one.name: one for one in orders([exchanged_of(f[None])], "abc", 0)}
    for i, name in enumerate("abc"):
        # Sums of a thousand products of order ten, differences left over: rounding alone.
        assert ours[name].first == pytest.approx(theirs["S1"][i], abs=1e-11)
        assert ours[name].total == pytest.approx(theirs["ST"][i], abs=1e-11)
        assert math.isnan(ours[name].total_error)  # one scrambling has no spread


def test_a_group_is_exchanged_as_one() -> None:
    """x1 x3 together with x1: the index of the group {1, 3} of Ishigami's function is what x2 leaves."""
    runs = []
    for r in range(16):
        u = qmc.Sobol(6, rng=np.random.default_rng([4, r])).random(256)
        runs.append(exchanged_of(ishigami(exchange(u[:, :3], u[:, 3:], [[1], [0, 2]]))[None]))
    found = {one.name: one for one in orders(runs, ("two", "others"), 0)}
    left = 1 - ishigami_indices()[0][1]
    assert found["others"].first == pytest.approx(left, abs=4 * found["others"].first_error)
    assert found["others"].total == pytest.approx(left, abs=4 * found["others"].total_error)


def test_an_offset_changes_nothing() -> None:
    near = orders(runs_of(ishigami, 4), "abc", 0)
    far = orders(runs_of(lambda u: ishigami(u) + 1000.0, 4), "abc", 0)
    for one, other in zip(near, far, strict=True):
        # Squares of a thousand against a variance of 14 leave some eight figures.
        assert (other.first, other.total) == pytest.approx((one.first, one.total), abs=1e-6)


def test_errors_tell_how_far_single_scramblings_scatter() -> None:
    """The jackknife over sixteen scramblings against the scatter of sixteen times sixteen others."""
    told = {one.name: one for one in orders(runs_of(ishigami), "abc", 0)}
    means = []
    for block in range(1, 17):
        runs = [exchanged_of(evaluated(ishigami, 100 * block + r)[None]) for r in range(16)]
        means.append({one.name: one.total for one in orders(runs, "abc", 0)})
    for name in "abc":
        scatter = float(np.std([one[name] for one in means], ddof=1))
        # Two standard deviations of sixteen values each, each known to a sixth: within a factor of two and a half.
        assert 0.4 < told[name].total_error / scatter < 2.5


def test_what_never_varies_has_no_index() -> None:
    assert orders(runs_of(lambda u: np.ones(u.shape[:-1])), "abc", 0) == ()


def test_sums_of_blocks_add_up() -> None:
    f = evaluated(ishigami, 0)[None]
    whole, parts = exchanged_of(f), add_exchanged([exchanged_of(f[..., :100]), exchanged_of(f[..., 100:])])
    assert parts.whole == pytest.approx(whole.whole, rel=1e-12)
    assert parts.each == pytest.approx(whole.each, rel=1e-12)
