"""How far the forces of blocks stay inside their limits: a number with a sign, where yes or no says only which.

Every limit of a contact is drawn in by a force m w, with w the weight of the lighter of its two blocks, and the largest
m is looked for under the loads as they are:
    friction of every point:      |sigma| <= n - m w
    stress block of every strip:  N^2 <= 2 f l (sum of n_i d_i - m w reach)
    turning of every patch:       |M| <= mu lever (N - 4 m w)
Ties keep theirs, and an m of PLENTY is enough. With m = 0 these are the limits of `rows`, and a state that keeps them
for a larger m keeps them for a smaller one: the blocks hold the load where the largest m is not negative, and do not
where it is (derived). It has a value where nothing is held too, and changes steadily with what capacities are divided
by: two or three values point at where it passes through nothing. Its multipliers there are the mechanism.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from typing import Any

import numpy as np

from shellcheck_earth.mechanics.blocks.conic import ConeAnswer, solve_cone, solve_programme
from shellcheck_earth.mechanics.blocks.problem import BlockProblem
from shellcheck_earth.mechanics.blocks.rows import Assembled, Programme, assemble, programme, right_side
from shellcheck_earth.mechanics.rings.lune import Floats

__all__ = ["PLENTY", "Spare", "only_whether", "solve_spare"]

GAP = 1e-5
"""How near to the largest m an answer comes."""

YES_OR_NO = 1e-3
"""How near to the largest multiple of a load forces have to come that only have to be there."""

HELD = 1e-7
"""Less than this is nothing: it pays for what the solver leaves unbalanced."""

LIGHTEST = 1e-3
"""A sliver lighter than this share of the mean counts as so heavy."""

PLENTY, WIDEST = 0.02, 1e2
"""More than the first is not looked for, and the limits are widened by no more than the second."""


@dataclass(frozen=True)
class Spare:
    """By how much every limit can be drawn in, over a block's weight; negative: must be widened.

    least, most   between which the largest m lies: of a state of forces, and of a mechanism; NaN where not known
    answer        that state, as one that holds the load and no more of it; `motions`: of that mechanism
    """

    least: float
    most: float
    answer: ConeAnswer

    @property
    def holds(self) -> bool | None:
        """Whether the load is held; None where it was not decided."""
        if self.answer.solved and not self.least < HELD:
            return True
        return False if self.most < 0.0 or self.answer.infeasible else None


def solve_spare(problem: BlockProblem) -> Spare:
    """The dead load of a problem and what is handed in, whatever its live load. ValueError as `assemble`."""
    still = replace(problem, live=np.zeros_like(problem.dead))
    assembled = assemble(still)
    of = _drawn_in(assembled)
    b = _widened(assembled, of)
    answer = solve_programme(assembled, of, b, GAP)
    least, most = (answer.multiplier, answer.mechanism) if answer.solved else (math.nan, math.nan)
    return Spare(least, most, replace(answer, multiplier=0.0, mechanism=0.0))


def _last_bounds(assembled: Assembled, of: Programme) -> tuple[int, int]:
    """Rows of the upper bound of the last unknown and of its lower bound: ties lie between."""
    ties = assembled.problem.ties.size
    if assembled.fold is not None:
        ties = int(assembled.fold.ties.sum())
    return of.balance + of.bounded - ties - 2, of.balance + of.bounded - 1


def _by_patch(assembled: Assembled) -> Floats:
    """What m is worth at a point of each patch (m,): a share of the lighter of the two blocks, over the mean weight."""
    patches, weight = assembled.problem.patches, np.append(assembled.problem.weight, np.inf)
    out: Floats = np.minimum(weight[patches.upper], weight[patches.lower]) / assembled.unit
    return np.maximum(out, LIGHTEST)


def _drawn_in(assembled: Assembled) -> Programme:
    """The rows with m in place of the multiplier of the live load."""
    from scipy.sparse import csc_array, hstack

    of, worth = programme(assembled, None), _by_patch(assembled)
    above, below = _last_bounds(assembled, of)
    caps = np.tile(worth[assembled.capped], 2)
    points = np.repeat(worth, 4)
    crushed = np.concatenate([worth[assembled.crushed(strip, edge)] for strip in range(2) for edge in range(2)])
    if assembled.fold is not None:
        kept = assembled.kept
        caps, points, crushed = caps[kept.bounds[: len(caps)]], points[kept.points], crushed[kept.crushed]
    column = np.zeros(of.A.shape[0])
    column[of.balance : of.balance + len(caps)] = 4.0 * caps
    column[above], column[below] = 1.0, -1.0
    cones = of.balance + of.bounded
    ends = cones + 3 * len(points)
    column[cones:ends:3] = points
    column[ends::3], column[ends + 2 :: 3] = crushed, -crushed
    A: Any = csc_array(hstack([of.A[:, :-1], csc_array(column[:, None])], format="csc"))
    return replace(of, A=A)


def _widened(assembled: Assembled, of: Programme) -> Floats:
    b = right_side(assembled, None)
    above, below = _last_bounds(assembled, of)
    b[above], b[below] = PLENTY, WIDEST
    return b


def only_whether(problem: BlockProblem) -> Spare:
    """Whether the dead load is held, its live load the dead load again: what is to spare stays unknown."""
    answer = solve_cone(assemble(problem), gap=YES_OR_NO)
    return Spare(math.nan, math.nan, answer)
