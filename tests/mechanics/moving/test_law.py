"""The law of one patch beside brute force: closest points, their derivatives, and what no contact may do."""

from __future__ import annotations

import math

import numpy as np
import pytest
from scipy.optimize import minimize

from shellcheck_earth.mechanics.moving.law import respond, strip_forces

SEEDS = range(12)


def closest(y: np.ndarray, c: float) -> np.ndarray:
    """The nearest pressing forces of a strip by a general optimiser."""
    limits = [{"type": "ineq", "fun": lambda n, i=i: c * n[i] - (n[0] + n[1]) ** 2} for i in range(2)]
    found = minimize(
        lambda n: ((n - y) ** 2).sum(), np.full(2, c / 8), bounds=[(0, None)] * 2, constraints=limits, tol=1e-13
    )
    return np.asarray(found.x)


@pytest.mark.parametrize("seed", SEEDS)
def test_pressing_forces_are_the_nearest_of_the_stress_block(seed: int) -> None:
    y = np.random.default_rng(seed).normal(scale=2.0, size=2)
    out = np.zeros(6)
    strip_forces(y[0], y[1], 4.0, out)
    assert out[:2] == pytest.approx(closest(y, 4.0), abs=2e-5)
    assert (out[:2] >= 0).all()
    assert out[:2].sum() ** 2 <= 4.0 * out[:2].min() + 1e-9


@pytest.mark.parametrize("y", [(1.0, 2.0), (-1.0, 2.0), (-1.0, -2.0), (3.0, -0.5)])
def test_without_crushing_only_what_is_pressed_presses(y: tuple[float, float]) -> None:
    out = np.zeros(6)
    strip_forces(y[0], y[1], math.inf, out)
    assert tuple(out[:2]) == tuple(max(v, 0.0) for v in y)


def patch(seed: int, strength: float) -> tuple[np.ndarray, ...]:
    random = np.random.default_rng(seed)
    moved = random.normal(scale=1.0, size=(1, 4, 3))
    pressed = random.normal(loc=1.0, size=(1, 4))
    shear = random.normal(scale=0.4, size=(1, 4, 2))
    a, b = 0.5, 0.3
    arms = np.array([[[a, -b], [-a, -b], [a, b], [-a, b]]])
    limits = np.array([[0.6, 0.22, strength, strength]])
    return moved, pressed, shear, np.array([[1.0, 0.7]]), limits, arms


def answered(parts: tuple[np.ndarray, ...], moved: np.ndarray | None = None) -> tuple[np.ndarray, np.ndarray]:
    force, rate = np.zeros((1, 4, 3)), np.zeros((1, 12, 12))
    respond(parts[0] if moved is None else moved, *parts[1:], force, rate)
    return force, rate


@pytest.mark.parametrize("strength", [math.inf, 3.0])
@pytest.mark.parametrize("seed", range(24))
def test_the_rates_are_those_of_the_forces(seed: int, strength: float) -> None:
    parts = patch(seed, strength)
    force, rate = answered(parts)
    step = 1e-6
    for k in range(12):
        on, back = parts[0].copy(), parts[0].copy()
        on.reshape(-1)[k] += step
        back.reshape(-1)[k] -= step
        change = (answered(parts, on)[0] - answered(parts, back)[0]).ravel() / (2 * step)
        assert rate[0][:, k] == pytest.approx(change, abs=2e-4)
    assert np.isfinite(force).all()


@pytest.mark.parametrize("seed", range(24))
def test_shears_stay_in_their_limits_and_are_the_nearest_there(seed: int) -> None:
    parts = patch(seed, math.inf)
    moved, _, shear, stiffness, limits, arms = parts
    force = answered(parts)[0][0]
    normal, found = force[:, 0], force[:, 1:]
    mu, lever = limits[0, :2]
    assert (normal >= 0).all()
    assert (np.hypot(found[:, 0], found[:, 1]) <= mu * normal + 1e-12).all()
    cap = mu * lever * normal.sum()
    assert abs((arms[0] * found).sum()) <= cap + 1e-9
    trial = shear[0] - stiffness[0, 1] * moved[0, :, 1:]
    # No other shears within the limits are nearer: tried at random, drawn inside first.
    random = np.random.default_rng(seed)
    best = ((found - trial) ** 2).sum()
    for _ in range(300):
        other = found + random.normal(scale=0.05, size=(4, 2))
        size = np.hypot(other[:, 0], other[:, 1])
        other *= np.minimum(mu * normal / np.maximum(size, 1e-300), 1.0)[:, None]
        other *= min(cap / max(abs((arms[0] * other).sum()), 1e-300), 1.0)
        assert ((other - trial) ** 2).sum() >= best - 1e-9
