"""How fast the block programme is, and how its time grows: Clarabel, and HiGHS on linearised cones for the same
problem.

Run with ``python -m validation.block_speed``. The dome is 4 m inside with friction 0.6 and no limit of strength,
pushed by a share of
its weight; more blocks come from thinner courses and more cuts together, so that a block keeps its proportions. It is
its own mirror
image, so half of it says all (`mechanics.blocks.symmetry`): the time without that is printed too.
"""

from __future__ import annotations

import math
import resource
import sys
import time
from dataclasses import dataclass, replace

import numpy as np

from shellcheck_earth.geometry.blocks import cut_blocks
from shellcheck_earth.geometry.courses import build_dome
from shellcheck_earth.loads.cases import dead_cases
from shellcheck_earth.loads.side_loads import SideLoad
from shellcheck_earth.mechanics.blocks.assembly import block_problem
from shellcheck_earth.mechanics.blocks.conic import ConeAnswer, solve_cone
from shellcheck_earth.mechanics.blocks.nonassociated import solve_blocks
from shellcheck_earth.mechanics.blocks.problem import BlockProblem
from shellcheck_earth.mechanics.blocks.rows import Assembled, assemble
from shellcheck_earth.mechanics.blocks.side_wrench import side_wrench

from .plain_dome import plain_dome

__all__ = ["BLOCKS", "Speed", "exponent", "linearised", "pushed_dome", "report_lines", "speeds"]

BLOCKS = (120, 250, 500, 1000, 2000, 4000)
FACES = 8
"""Sides of the pyramid that stands inside each friction cone for HiGHS."""

HIGHS_BLOCKS = (120, 250, 500)
"""Sizes at which HiGHS is run too, each for at most HIGHS_SECONDS."""

HIGHS_SECONDS = 60.0

GROWTH_FROM = 400
"""Sizes that the exponent is taken from: below, the time is spent before the solver starts."""


@dataclass(frozen=True)
class Speed:
    """Seconds of one programme (the half that a mirror leaves, as it is used), of the same without looking for a
    mirror, of the whole answer with both kinds of friction, and of HiGHS; None: not run."""

    blocks: int
    cone: float
    multiplier: float
    whole: float
    whole_multiplier: float
    both: float | None
    both_status: str
    highs: float | None
    highs_multiplier: float | None
    memory: float  # GiB, peak of the process so far


def pushed_dome(blocks: int) -> BlockProblem:
    """About that many blocks: twenty cuts for every twenty-five courses."""
    cuts = round(math.sqrt(blocks * 20 / 25))
    design = plain_dome(course_height=3.75 / round(blocks / cuts), friction=0.6)
    stack = build_dome(design)
    case = next(case for case in dead_cases(stack) if case.id == "finished-dry")
    case = replace(case, states=tuple(replace(s, strength=math.inf, strength_wet=math.inf) for s in case.states))
    layout = cut_blocks(stack, cuts)
    load = SideLoad("push", "Sideways", "earthquake", 0.0, 1.0, "earthquake")
    return block_problem(stack, case, layout, side_wrench(stack, case, layout, load), most=10.0)


def linearised(assembled: Assembled, seconds: float = HIGHS_SECONDS) -> float | None:
    """Multiplier of the same programme with a pyramid inside every friction cone, by HiGHS; None: none within
    `seconds`.
    """
    from scipy.optimize import linprog
    from scipy.sparse import coo_array, vstack

    p = assembled.problem
    if np.isfinite(p.patches.strength).any():
        raise ValueError("only friction cones are linearised: give the patches no limit of strength")
    points = 4 * p.patches.size
    angles = 2 * math.pi * np.arange(FACES) / FACES
    row = np.arange(FACES * points)
    point, side = row // FACES, row % FACES
    inside = math.cos(math.pi / FACES)
    values = np.concatenate([np.full(len(row), -inside), np.cos(angles[side]), np.sin(angles[side])])
    columns = np.concatenate([3 * point, 3 * point + 1, 3 * point + 2])
    pyramid = coo_array((values, (np.tile(row, 3), columns)), shape=(len(row), assembled.columns)).tocsc()
    bound_A, bound_b = assembled.bounds
    bounds = np.full((assembled.columns, 2), (-np.inf, np.inf))
    bounds[: 3 * points : 3, 0] = 0.0
    cost = np.zeros(assembled.columns)
    cost[-1] = -1.0
    answer = linprog(
        cost,
        A_ub=vstack([bound_A, pyramid], format="csc"),
        b_ub=np.concatenate([bound_b, np.zeros(len(row))]),
        A_eq=assembled.equilibrium,
        b_eq=-assembled.scaled(p.dead).ravel(),
        bounds=bounds,
        method="highs",
        options={"time_limit": seconds},
    )
    return float(-answer.fun) if answer.status == 0 else None


def speeds(
    blocks: tuple[int, ...] = BLOCKS,
    *,
    highs: tuple[int, ...] = HIGHS_BLOCKS,
    both: int = 500,
    seconds: float = HIGHS_SECONDS,
) -> list[Speed]:
    """One line a size; HiGHS at the sizes `highs` for at most `seconds` each, friction without dilation up to
    `both`.
    """
    out = []
    solve_cone(assemble(pushed_dome(60)))  # does not count: it loads the libraries
    for count in blocks:
        problem = pushed_dome(count)
        cone, answer = _timed(problem, whole=False)
        unfolded, same = _timed(problem, whole=True)
        both_kinds = solve_blocks(problem) if count <= both else None
        linear, value = None, None
        if count in highs:
            start = time.perf_counter()
            value = linearised(assemble(problem), seconds)
            linear = time.perf_counter() - start
        peak = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 2**20
        out.append(
            Speed(
                problem.blocks,
                cone,
                answer.multiplier,
                unfolded,
                same.multiplier,
                both_kinds.seconds if both_kinds else None,
                both_kinds.status if both_kinds else "",
                linear,
                value,
                peak,
            )
        )
    return out


def _timed(problem: BlockProblem, *, whole: bool) -> tuple[float, ConeAnswer]:
    start = time.perf_counter()
    answer = solve_cone(assemble(problem, whole=whole))
    seconds = time.perf_counter() - start
    if not answer.solved:
        raise RuntimeError(f"{problem.blocks} blocks ended as {answer.status}")
    return seconds, answer


def exponent(found: list[Speed], which: str = "cone") -> float:
    """Of time ~ blocks^k, least squares in logarithms, from GROWTH_FROM blocks on; `which`: "cone" or "whole"."""
    large = [speed for speed in found if speed.blocks >= GROWTH_FROM]
    x, y = (np.log([getattr(speed, name) for speed in large]) for name in ("blocks", which))
    return float(np.polyfit(x, y, 1)[0])


def report_lines(found: list[Speed]) -> list[str]:
    """The table as lines of text."""
    lines = [
        f"{'blocks':>7} {'cone s':>8} {'multiplier':>11} {'unfolded s':>11} {'multiplier':>11} {'both s':>8}"
        f" {'HiGHS s':>9} {'HiGHS':>8} {'peak GiB':>9}"
    ]
    for s in found:
        both = "" if s.both is None else f"{s.both:.2f}"
        linear = "" if s.highs is None else f"{s.highs:.2f}"
        value = (
            f"{s.highs_multiplier:.4f}" if s.highs_multiplier is not None else "stopped" if s.highs is not None else ""
        )
        lines.append(
            f"{s.blocks:7d} {s.cone:8.2f} {s.multiplier:11.4f} {s.whole:11.2f} {s.whole_multiplier:11.4f} {both:>8}"
            f" {linear:>9} {value:>8} {s.memory:9.2f}"
        )
    if sum(speed.blocks >= GROWTH_FROM for speed in found) > 1:
        lines.append(
            f"time of the cone programme grows as blocks^{exponent(found):.2f}, unfolded as"
            f" blocks^{exponent(found, 'whole'):.2f}"
        )
    return lines


if __name__ == "__main__":
    sizes = tuple(int(size) for size in sys.argv[1:]) or BLOCKS
    print("\n".join(report_lines(speeds(sizes))))
