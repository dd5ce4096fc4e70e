"""Blocks pushed slowly from rest beside answers by hand and published walls; wrong laws are seen."""

from __future__ import annotations

import itertools
import math
from dataclasses import replace
from pathlib import Path
from types import ModuleType
from typing import Any

import numba
import numpy as np
import pytest

from shellcheck_earth.mechanics.blocks.interfaces import GROUND, Patch, join
from shellcheck_earth.mechanics.blocks.problem import BlockProblem, Ties, no_ties
from shellcheck_earth.mechanics.moving import law, step
from shellcheck_earth.mechanics.moving import push as slow
from shellcheck_earth.mechanics.moving.body import Stiffness
from shellcheck_earth.mechanics.moving.evidence import motion_of, rest_of
from shellcheck_earth.mechanics.moving.push import Pushed, push
from validation.block_shapes import PIERCED, TWICE_PIERCED, arch, bonded, one_block


def pushed(problem: BlockProblem, about: float, **given: Any) -> Pushed:
    return push(problem, piece=about / 8, fine=about / 1024, **given)


@pytest.mark.parametrize(("width", "friction"), [(1.0, 0.6), (1.0, 0.4), (0.5, 0.4), (1.4, 0.65)])
def test_one_block_slides_or_tips_where_it_does_by_hand(width: float, friction: float) -> None:
    limit = min(width / 2.0, friction)
    found = pushed(one_block(width, 2.0, friction), limit)
    assert found.held is not None
    assert found.ended == "gone"
    assert found.held <= limit * (1 + 1e-6) < found.fails * (1 + 2e-6) <= limit * 1.003


@pytest.mark.parametrize("friction", [0.3, 0.6])
@pytest.mark.parametrize("share", [0.98, 1.02])
def test_a_block_on_a_slope_stays_up_to_the_angle_of_friction(friction: float, share: float) -> None:
    """Its own weight alone, turned: rest below tan(phi), gone above."""
    slope = math.atan(share * friction)
    problem = one_block(2.0, 1.0, friction)
    dead = np.zeros((1, 6))
    dead[0, 0], dead[0, 2] = math.sin(slope), -math.cos(slope)
    tilted = BlockProblem(problem.centre, dead, problem.live, problem.size, problem.patches, no_ties())
    found = push(tilted, piece=0.1, fine=0.1, most=0.0)
    assert (found.held == 0.0) is (share < 1.0)


def stack(widths: tuple[float, ...], frictions: tuple[float, ...]) -> BlockProblem:
    """Boxes 1 m tall and 1 m deep on each other, heaviest possible 1 kN each, pushed by a share of their weight."""
    patches, n, d = [], len(widths), 0.5
    for k, (width, friction) in enumerate(zip(widths, frictions, strict=True)):
        half = min(width, widths[k - 1] if k else math.inf) / 2
        edges = (((-half, -d, float(k)), (-half, d, float(k))), ((half, -d, float(k)), (half, d, float(k))))
        patches.append(Patch(edges, k, k - 1 if k else GROUND, (0.0, 0.0, k + 0.5), friction))
    centre = np.array([[0.0, 0.0, k + 0.5] for k in range(n)])
    dead, live = np.zeros((n, 6)), np.zeros((n, 6))
    dead[:, 2], live[:, 0] = -1.0, 1.0
    return BlockProblem(centre, dead, live, np.ones(n), join(patches), no_ties())


@pytest.mark.parametrize(
    ("widths", "frictions"),
    [((1.0, 1.0), (0.9, 0.9)), ((1.0, 1.0), (0.9, 0.3)), ((1.0, 1.0), (0.2, 0.9)), ((1.0,) * 4, (0.9,) * 4)],
)
def test_stacks_go_at_the_weakest_bed(widths: tuple[float, ...], frictions: tuple[float, ...]) -> None:
    """By hand: above bed k stand n - k boxes, which tip at width over their height and slide at the friction there."""
    n = len(widths)
    limit = min(min(w / (n - k), mu) for k, (w, mu) in enumerate(zip(widths, frictions, strict=True)))
    found = pushed(stack(widths, frictions), limit)
    assert found.held == pytest.approx(limit, rel=3e-3)
    assert found.held is not None
    assert found.held <= limit * (1 + 1e-6)


def test_a_tie_adds_its_whole_strength_and_no_more() -> None:
    """A box that slides at mu W is held by a tie of 0.25 W besides; loads 0.4 + 0.25."""
    free = one_block(2.0, 1.0, 0.4)
    tie = Ties(np.zeros(1, dtype=np.int64), np.zeros(1, dtype=np.int64), np.array([-1.0]), np.array([0.25]))
    tied = BlockProblem(free.centre, free.dead, free.live, free.size, free.patches, tie)
    assert pushed(tied, 0.65).held == pytest.approx(0.65, rel=2e-3)


def test_crushing_at_the_edge_counts() -> None:
    assert pushed(one_block(1.0, 2.0, 0.6, strength=4.0), 0.375).held == pytest.approx(0.375, rel=2e-3)


@pytest.mark.parametrize(("friction", "expected"), [(0.7, 0.370), (0.4, 0.2638)])
def test_an_arch_goes_where_limit_analysis_says(friction: float, expected: float) -> None:
    found = pushed(arch(friction), expected)
    assert found.held is not None
    assert expected * 0.997 <= found.held <= expected * 1.001


@pytest.mark.parametrize(("pattern", "least"), [(PIERCED, 0.35582), (TWICE_PIERCED, 0.26374)])
def test_walls_with_windows_go_below_ordinary_friction_and_the_motion_left_is_a_mechanism(
    pattern: tuple[tuple[float, ...], ...], least: float
) -> None:
    """Least numbers of Ferris & Tin-Loi 2001 (memory); what is left behind is checked whatever was printed."""
    problem = bonded(pattern, 0.65)
    found = pushed(problem, 0.35)
    rest, motion = rest_of(problem, found), motion_of(problem, found)
    assert found.held is not None
    assert rest is not None
    assert motion is not None
    assert rest.unbalanced < 1e-5
    assert rest.overdrawn < 1e-9
    assert motion.closing < 1e-9
    assert motion.opening < 1e-9
    assert motion.friction == pytest.approx(1.0, abs=1e-6)
    assert found.held <= motion.multiplier * (1 + 1e-5)
    assert motion.multiplier == pytest.approx(least, abs=2e-5)


@pytest.mark.parametrize("give", [Stiffness(slip=0.1), Stiffness(upright=0.05), Stiffness(sinking=1e-4)])
def test_the_stiffness_of_contacts_moves_the_wall_little(give: Stiffness) -> None:
    problem = bonded(PIERCED, 0.65)
    assert pushed(problem, 0.35, give=give).held == pytest.approx(0.3558, abs=5e-4)


def test_the_same_push_gives_the_same_bits() -> None:
    one, other = (pushed(arch(0.5), 0.37) for _ in range(2))
    assert one.path == other.path
    assert (one.state.force == other.state.force).all()


def mutated(changes: tuple[tuple[str, str], ...]) -> Any:
    """`respond` of a law with some words changed, compiled anew."""
    text = Path(law.__file__).read_text(encoding="utf-8")
    for old, new in changes:
        assert text.count(old) == 1
        text = text.replace(old, new)
    module = ModuleType("mutated")
    module.__dict__["compiled"] = lambda function: function  # a few patches only: plain Python is quick enough
    source = text.replace("from shellcheck_earth.basics.kept import compiled", "")
    exec(compile(source, "mutated law", "exec"), module.__dict__)
    return module.respond


SHEARS = "trial[i, p] = shear[k, i, p] - kt * moved[k, i, 1 + p]"
WRONG = {
    "friction that pushes on": ((SHEARS, SHEARS.replace("- kt", "+ kt")),),
    "shears forgotten from step to step": ((SHEARS, SHEARS.replace("shear[k, i, p]", "0.0")),),
    "no limit on friction": (("radius = mu * press", "radius = 9.0 * press"),),
    "friction that does not know what presses": (("radius = mu * press", "radius = mu * np.ones(4)"),),
    "contacts that pull": (
        ("if N0 + d0 <= 0.0:", "if N0 + d0 <= -1e9:"),
        ("out[0], out[1] = max(y1, 0.0), max(y2, 0.0)", "out[0], out[1] = y1, y2"),
        ("(1.0 if y1 > 0.0 else 0.0), (1.0 if y2 > 0.0 else 0.0)", "1.0, 1.0"),
        ("radius = mu * press", "radius = mu * np.abs(press)"),
    ),
}


def agrees(problem: BlockProblem, expected: float) -> bool:
    found = push(problem, piece=expected / 4, fine=expected / 256, most=1.5 * expected)
    return found.held is not None and abs(found.held - expected) <= 0.01 * expected


BLOCKS = ((one_block(1.0, 2.0, 0.4), 0.4), (one_block(1.0, 2.0, 0.6), 0.5), (stack((1.0, 1.0), (0.9, 0.3)), 0.3))


def test_the_right_law_agrees() -> None:
    assert all(itertools.starmap(agrees, BLOCKS))


@pytest.mark.parametrize("name", sorted(WRONG))
def test_wrong_laws_are_seen(name: str, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(step, "respond", mutated(WRONG[name]))
    monkeypatch.setattr(step, "TRIES", 10)
    monkeypatch.setattr(slow, "MOST_STEPS", 40)
    assert not all(itertools.starmap(agrees, BLOCKS))


@numba.njit(error_model="numpy")
def dilating(moved, pressed, shear, stiffness, limits, _arms, force, rate):  # type: ignore[no-untyped-def]
    """Ordinary friction: the closest point of the cone of pressing and shear together, so that what slides rises."""
    rate[:] = 0.0
    for k in range(moved.shape[0]):
        kn, kt, mu = stiffness[k, 0], stiffness[k, 1], limits[k, 0]
        den = 1.0 / kn + mu * mu / kt
        for i in range(4):
            y = pressed[k, i] - kn * moved[k, i, 0]
            s = shear[k, i] - kt * moved[k, i, 1:]
            size = np.sqrt(s[0] ** 2 + s[1] ** 2)
            force[k, i] = 0.0
            if size <= mu * y:
                force[k, i, 0], force[k, i, 1:] = y, s
                rate[k, 3 * i, 3 * i] = -kn
                rate[k, 3 * i + 1, 3 * i + 1] = rate[k, 3 * i + 2, 3 * i + 2] = -kt
                continue
            n = (y / kn + mu * size / kt) / den
            if n <= 0.0:
                continue
            way = s / size
            force[k, i, 0], force[k, i, 1:] = n, mu * n * way
            by = np.zeros(3)  # of n by the motion
            by[0], by[1:] = -1.0 / den, -mu * way / den
            rate[k, 3 * i, 3 * i : 3 * i + 3] = by
            for p in range(2):
                rate[k, 3 * i + 1 + p, 3 * i : 3 * i + 3] = mu * way[p] * by
                for q in range(2):
                    turn = (1.0 if p == q else 0.0) - way[p] * way[q]
                    rate[k, 3 * i + 1 + p, 3 * i + 1 + q] -= kt * mu * n / size * turn


def test_friction_that_dilates_gives_the_number_of_ordinary_limit_analysis(monkeypatch: pytest.MonkeyPatch) -> None:
    """0.40369 (Ferris & Tin-Loi 2001, memory) with it, 0.35582 without: the method sees the difference, both ways."""
    problem = bonded(PIERCED, 0.65)
    ended = step.Stepper._ended

    def risen(self: Any, state: Any, dq: Any, found: Any, h: float) -> Any:
        after = ended(self, state, dq, found, h)
        pressed = np.where(after.force[:, :, 0] > 0, after.force[:, :, 0], after.pressed)
        return replace(after, pressed=pressed)

    monkeypatch.setattr(step, "respond", dilating)
    monkeypatch.setattr(step.Stepper, "_ended", risen)
    found = push(problem, piece=0.05, fine=0.001, most=0.45)
    assert found.held == pytest.approx(0.40369, rel=8e-3)
