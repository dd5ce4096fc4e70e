"""What is to spare of one block on a bed, by hand; its sign is what the plain programme says."""

from __future__ import annotations

import math
from dataclasses import replace
from typing import Any

import numpy as np
import pytest
from small_store import small_store

from shellcheck_earth.geometry.blocks import cut_blocks
from shellcheck_earth.geometry.courses import build_dome
from shellcheck_earth.loads.cases import dead_cases
from shellcheck_earth.mechanics.blocks import rows, spare
from shellcheck_earth.mechanics.blocks.conic import solve_cone
from shellcheck_earth.mechanics.blocks.problem import BlockProblem
from shellcheck_earth.mechanics.blocks.rows import assemble
from shellcheck_earth.mechanics.blocks.spare import PLENTY, Spare, only_whether, solve_spare
from shellcheck_earth.safety.blocks.reserve import dead_problem
from validation.block_shapes import arch, one_block


def pushed(weight: float, sideways: float, mu: float, strength: float = math.inf) -> BlockProblem:
    """A block on its bed, pushed at the level of the bed."""
    problem = one_block(weight, 1.0, mu)
    dead = np.zeros((1, 6))
    bed = float(problem.patches.points[0, :, 2].mean())
    dead[0, 0], dead[0, 2] = sideways, -weight
    dead[0, 4] = sideways * (bed - problem.centre[0, 2])
    return replace(problem, dead=dead, patches=replace(problem.patches, strength=np.full(1, strength)))


@pytest.mark.parametrize(("weight", "sideways", "mu"), [(3.0, 2.0, 0.5), (3.0, 1.6, 0.5), (7.0, 5.0, 0.6)])
def test_what_is_wanting_of_friction(weight: float, sideways: float, mu: float) -> None:
    """Four points press with W/4 and take H/4: W/4 - m W = H/(4 mu), so m = (1 - H/(mu W))/4."""
    found = solve_spare(pushed(weight, sideways, mu))
    by_hand = (1.0 - sideways / (mu * weight)) / 4.0
    assert found.least == pytest.approx(by_hand, abs=2e-5) and found.most == pytest.approx(by_hand, abs=2e-5)
    assert found.holds is False and by_hand < 0.0


def test_what_is_wanting_of_strength() -> None:
    """Each strip carries N = W/2, half on either edge: N^2 = g (N/2 - m W) with g = 2 f l reach."""
    weight, strength = 3.0, 0.8
    problem = pushed(weight, 0.0, 0.5, strength)
    patches = problem.patches
    reach = float(patches.edge_distance[0, 0, 1])
    g = 2.0 * strength * float(patches.strips[0, 0]) * reach
    by_hand = (weight / 4.0 - (weight / 2.0) ** 2 / g) / weight
    assert by_hand < 0.0
    assert solve_spare(problem).least == pytest.approx(by_hand, rel=1e-3)


def test_no_more_than_ample_is_looked_for_and_the_state_keeps_its_distance() -> None:
    found = solve_spare(pushed(3.0, 0.5, 0.5))
    assert found.holds is True and found.least == pytest.approx(PLENTY, abs=1e-5)
    normal, shear = found.answer.forces.normal, found.answer.forces.shear / 0.5
    assert (np.hypot(shear[..., 0], shear[..., 1]) <= normal - PLENTY * 3.0 + 1e-6).all()
    assert found.answer.solved and found.answer.multiplier == 0.0


@pytest.mark.parametrize("share", [0.9, 0.99, 1.01, 1.1])
@pytest.mark.parametrize("whole", [False, True])
def test_its_sign_is_what_the_plain_programme_says(share: float, whole: bool, monkeypatch: pytest.MonkeyPatch) -> None:
    """An arch whose friction is a share of what it needs, found by halving; all of it, and the half that says all."""
    if whole:
        monkeypatch.setattr(rows, "find_fold", lambda *_: None)

    def with_friction(mu: float) -> BlockProblem:
        problem = arch(mu)
        return replace(problem, live=problem.dead, most=0.05)

    low, high = 0.05, 2.0
    while high > low * 1.001:
        mu = math.sqrt(low * high)
        low, high = (low, mu) if solve_cone(assemble(with_friction(mu)), gap=1e-3).solved else (mu, high)
    found = solve_spare(with_friction(high * share))
    assert found.holds is (share > 1.0)
    assert found.least <= found.most + 1e-9 and (found.least > 0.0) is (share > 1.0)
    assert only_whether(with_friction(high * share)).holds is (share > 1.0)


@pytest.mark.parametrize("q", [1.6, 1.9])
def test_half_says_what_the_whole_says(q: float, monkeypatch: pytest.MonkeyPatch) -> None:
    """A store with a door, its wire and blocks of many sizes, past its edge."""
    dome = build_dome(small_store())
    problem = dead_problem(dome, dead_cases(dome)[0], cut_blocks(dome, 8), q)
    assert assemble(problem).fold is not None and problem.ties.size
    half = solve_spare(problem)
    monkeypatch.setattr(rows, "find_fold", lambda *_: None)
    whole = solve_spare(problem)
    assert half.holds is whole.holds is False
    assert half.least == pytest.approx(whole.least, abs=3e-5) and half.most == pytest.approx(whole.most, abs=3e-5)


def test_what_is_surely_to_spare_is_what_forces_show_and_the_most_what_a_mechanism_does(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    real = spare.solve_programme

    def apart(*given: Any) -> Any:
        return replace(real(*given), multiplier=-0.003, mechanism=0.002)

    monkeypatch.setattr(spare, "solve_programme", apart)
    found = solve_spare(pushed(3.0, 1.0, 0.5))
    assert (found.least, found.most) == (-0.003, 0.002) and found.holds is None


def test_what_is_not_decided_is_neither_yes_nor_no() -> None:
    answer: Any = solve_cone(assemble(one_block(3.0, 1.0, 0.5)))
    lost = replace(answer, solved=False, status="NumericalError")
    assert Spare(math.nan, math.nan, lost).holds is None
    assert Spare(1e-9, 1e-6, answer).holds is None  # next to nothing, and no mechanism
    assert Spare(math.nan, math.nan, replace(lost, status="PrimalInfeasible")).holds is False
    assert Spare(math.nan, math.nan, answer).holds is True


def test_what_is_wanting_of_turning() -> None:
    """A block that is twisted on its bed: |M| <= mu lever (N - 4 m), and its points lie further out than the lever."""
    problem = pushed(3.0, 0.0, 0.5)
    lever, more = float(problem.patches.lever[0]), 1.2
    dead = problem.dead.copy()
    dead[0, 5] = more * 0.5 * lever * 3.0
    found = solve_spare(replace(problem, dead=dead))
    assert found.least == pytest.approx((1.0 - more) / 4.0, abs=1e-3) and found.holds is False
