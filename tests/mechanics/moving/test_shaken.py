"""One block on a moving ground beside answers by hand: sliding, overturning by a pulse, what an impact takes."""

from __future__ import annotations

import math
from functools import cache

import numpy as np
import pytest
from scipy.optimize import brentq

from shellcheck_earth.mechanics.moving.body import GRAVITY
from shellcheck_earth.mechanics.moving.shaken import GroundMotion, Limits, Shaken, shake
from validation.block_shapes import one_block

FREE = Limits(moved=50.0, tilt=math.radians(40), slid=500.0)


def inertia(width: float, height: float) -> np.ndarray:
    """Of a box 1 m deep that weighs 1 kN."""
    m = 1 / GRAVITY
    return np.array([[m * (height**2 + 1) / 12, m * (height**2 + width**2) / 12, m * (width**2 + 1) / 12]])


def along_x(times: np.ndarray, acceleration: np.ndarray) -> GroundMotion:
    return GroundMotion(times, np.stack([acceleration, 0 * acceleration, 0 * acceleration], axis=1))


def half_sine(peak: float, omega: float) -> GroundMotion:
    t = np.linspace(0.0, math.pi / omega, 200)
    return along_x(t, peak * np.sin(omega * t))


@pytest.mark.parametrize(("friction", "share"), [(0.3, 0.5), (0.2, 0.6)])
def test_a_block_slides_as_far_as_newmark_says(friction: float, share: float) -> None:
    """A ground that speeds up evenly for T, then not: v T/2 + v^2/(2 mu g), v = (a - mu g) T (Newmark 1965, memory)."""
    T = 0.4
    ground = along_x(np.array([0.0, 1e-6, T, T + 1e-6]), share * GRAVITY * np.array([0.0, 1.0, 1.0, 0.0]))
    found = shake(one_block(2.0, 0.5, friction), ground, FREE, inertia=inertia(2.0, 0.5), steps=(0.004, 0.8, 10))
    v = (share - friction) * GRAVITY * T
    expected = v * T / 2 + v**2 / (2 * friction * GRAVITY)
    assert found.how == "ended"
    assert found.speed < 1e-3  # of 2 m/s: how nearly it has come to rest differs with the machine's arithmetic
    assert found.centre[-1, 0, 0] - found.centre[0, 0, 0] == pytest.approx(-expected, rel=0.02)
    assert found.centre[-1, 0, 2] == pytest.approx(0.25, abs=1e-3)  # it did not rise


def test_under_its_friction_it_stays() -> None:
    ground = half_sine(0.27 * GRAVITY, 6.0)
    found = shake(one_block(2.0, 0.5, 0.3), ground, FREE, inertia=inertia(2.0, 0.5), steps=(0.004, 0.2, 10))
    assert found.most.max() < 1e-4


WIDTH, HEIGHT = 0.2, 2.0
ALPHA = math.atan(WIDTH / HEIGHT)
P = math.sqrt(3 * GRAVITY / (2 * math.hypot(WIDTH, HEIGHT)))


def least_peak(ratio: float) -> float:
    """Peak of a half sine of omega = ratio p that just overturns, over alpha g. Derived: the block starts when a =
    alpha g; of the linear solution the part that grows, p theta + theta', must reach p alpha as the pulse ends:
    p (cos psi + exp(-p (pi - psi)/omega)) = omega sin psi, peak = alpha g/sin psi. Without the exponential it is the
    formula of Housner 1963 (memory), which leaves out that the block still moves when the pulse is over."""

    def left(psi: float) -> float:
        return math.cos(psi) + math.exp(-(math.pi - psi) / ratio) - ratio * math.sin(psi)

    return 1 / math.sin(brentq(left, 1e-6, math.pi / 2 - 1e-9))


def test_the_derived_peak_is_housners_without_the_motion_that_is_left() -> None:
    """For very quick pulses the block gets 2 a/omega of speed against alpha g/p: peak/(alpha g) = omega/(2 p)."""
    assert least_peak(300.0) == pytest.approx(150.0, rel=0.02)


@pytest.mark.parametrize("ratio", [3.0, 6.0])
@pytest.mark.parametrize("share", [0.97, 1.03])
def test_a_half_sine_overturns_from_the_derived_peak_on(ratio: float, share: float) -> None:
    peak = share * least_peak(ratio) * math.tan(ALPHA) * GRAVITY
    found = shake(
        one_block(WIDTH, HEIGHT, 3.0),
        half_sine(peak, ratio * P),
        FREE,
        inertia=inertia(WIDTH, HEIGHT),
        steps=(0.004, 3.0, 50),
    )
    assert (found.how == "limit") is (share > 1)
    if share > 1:
        assert found.reached == ("tilt", 0)


@cache
def rocked() -> Shaken:
    """A stout block that rocks after a short pulse."""
    ground = half_sine(1.2 * GRAVITY, 20.0)
    return shake(one_block(0.5, 1.4, 3.0), ground, FREE, inertia=inertia(0.5, 1.4), steps=(0.001, 1.6, 100000))


def test_an_impact_takes_what_angular_momentum_says() -> None:
    """The energy left after the block has come down on its other edge, (1 - 3/2 sin^2 alpha)^2 of that before (Housner
    1963, memory): read from the highest points of two swings."""
    found = rocked()
    free = found.times > math.pi / 20.0
    height = found.centre[free, 0, 2] - 0.7
    peaks = [
        float(height[k])
        for k in range(1, len(height) - 1)
        if height[k - 1] <= height[k] > height[k + 1] and height[k] > 1e-3
    ]
    assert len(peaks) >= 3
    alpha = math.atan(0.5 / 1.4)
    expected = (1 - 1.5 * math.sin(alpha) ** 2) ** 2
    assert peaks[1] / peaks[0] == pytest.approx(expected, rel=0.04)
    assert peaks[2] / peaks[1] == pytest.approx(expected, rel=0.06)


def test_a_run_stops_at_its_limit_and_names_it() -> None:
    ground = half_sine(2.0 * GRAVITY, 6.0)
    limits = Limits(moved=0.05, tilt=1.0, slid=0.5)
    found = shake(one_block(2.0, 0.5, 0.3), ground, limits, steps=(0.004, 0.5, 40))
    assert found.how == "limit"
    assert found.reached == ("moved", 0)
    assert found.times[-1] < 1.0
    assert 0.05 < found.most[-1] < 0.1


def test_what_does_not_rest_at_first_is_said() -> None:
    """A block on its edge: its weight lies outside its bed."""
    from dataclasses import replace

    problem = one_block(1.0, 2.0, 0.5)
    found = shake(replace(problem, centre=problem.centre + np.array([0.6, 0.0, 0.0])), half_sine(1.0, 6.0), FREE)
    assert found.how == "not at rest"
    assert len(found.times) == 1


def test_the_same_motion_gives_the_same_bits() -> None:
    one, other = (shake(one_block(1.0, 2.0, 0.6), half_sine(6.0, 8.0), FREE, steps=(0.004, 0.2, 20)) for _ in range(2))
    assert (one.centre == other.centre).all()
