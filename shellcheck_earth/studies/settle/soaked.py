"""A sector of the finished wall soaked behind its plaster, from the ground to the crown: a leak, a gutter, wet earth.

Every block that the sector touches has the friction, strength and wire of soaked fill, and weighs what it does with
every void full, or what it weighed before, for water may have drained from fill that it leaves weak: both are asked.
Rings are no longer alike then: the blocks are asked how far all capacities may be divided, about each opening, between
each two of them and square to the widest. A study, never a verdict: nothing is proven.
"""

from __future__ import annotations

import itertools
import math
from collections.abc import Iterator
from dataclasses import dataclass, replace

import numpy as np

from shellcheck_earth.basics.progress import Progress, quiet
from shellcheck_earth.design.design import Design
from shellcheck_earth.geometry.blocks import cut_blocks
from shellcheck_earth.geometry.courses import Dome
from shellcheck_earth.geometry.layout import Layout, bearing_of
from shellcheck_earth.loads.cases import Case, case_of
from shellcheck_earth.loads.joint import PLAIN, ground_limits
from shellcheck_earth.loads.side_loads import directions_to_try, mirrored
from shellcheck_earth.mechanics.blocks.assembly import block_problem
from shellcheck_earth.mechanics.blocks.faces import Shares, WetHalf
from shellcheck_earth.mechanics.blocks.nonassociated import solve_blocks
from shellcheck_earth.mechanics.blocks.problem import BlockProblem
from shellcheck_earth.mechanics.blocks.spare import Spare, only_whether, solve_spare
from shellcheck_earth.mechanics.blocks.weights import block_weights
from shellcheck_earth.safety.blocks.cuts import ring_symmetric, still_finer
from shellcheck_earth.safety.blocks.edge import LEAST_RESERVE, find_edge
from shellcheck_earth.safety.blocks.reserve import ENOUGH, WITHOUT
from shellcheck_earth.safety.blocks.result import MOST_RESERVE, outcome
from shellcheck_earth.safety.blocks.solve import CUTS
from shellcheck_earth.safety.blocks.validity import beyond_validation

__all__ = ["LEAST_SECTOR", "Question", "Sector", "Soaked", "about", "soaked_sector"]

LEAST_SECTOR = math.radians(10.0)
"""Narrowest sector that may be stated [rad]: about a block of the coarser cut."""

STEP = math.radians(30.0)
"""Sectors are looked at from one of this width on, in steps of it, up to the whole wall [rad]."""

UNDECIDED = "the solver decided neither way"

NOT_SOAKED = ("buttress", "footing")
"""What the plaster does not cover."""


@dataclass(frozen=True)
class Sector(WetHalf):
    """The sector of a dome within `half` [rad] of a bearing on either side, in the state of another case."""

    half: float = math.pi

    def holds(self, bearing: float) -> bool:
        return abs(math.remainder(bearing - self.bearing, 2 * math.pi)) <= self.half + 1e-9


@dataclass(frozen=True)
class Soaked:
    """What a soaked sector leaves.

    width       of the sector, as stated [rad]
    reserve     what is relied on of what all capacities may be divided by, the least of states, bearings and both
                weights; None where that could not be established, with `why`
    required    of the overall reserve
    meets_to    widest of the sectors looked at, from the narrowest on, that leaves the required reserve with ordinary
                friction [rad]; 0 where the narrowest does not, None with what could not be established
    towards     bearing of the middle of the sector that decides [rad]; case_id: the state that does; water: whether
                with the water's weight
    """

    width: float
    reserve: float | None
    required: float
    meets_to: float | None
    towards: float
    case_id: str
    water: bool
    why: str = ""

    @property
    def meets(self) -> bool | None:
        return None if self.reserve is None else self.reserve >= self.required

    @property
    def stands(self) -> bool | None:
        return None if self.reserve is None else self.reserve >= 1.0


def about(design: Design) -> tuple[float, ...]:
    """Bearings of the middle of a sector [rad], none the mirror image of another: any one where rings are whole."""
    if not design.openings and not design.buttresses:
        return (0.0,)
    middles = sorted(opening.bearing % (2 * math.pi) for opening in design.openings)
    following = [*middles[1:], middles[0] + 2 * math.pi] if middles else []
    between = [(one + other) / 2 for one, other in zip(middles, following, strict=True)]
    out: list[float] = []
    for bearing in (*directions_to_try(design), *middles, *between):
        if not any(_alike(design, bearing, other) for other in out):
            out.append(bearing % (2 * math.pi))
    return tuple(out)


def _alike(design: Design, one: float, other: float) -> bool:
    same = abs(math.remainder(one - other, 2 * math.pi)) < 1e-6
    return same or mirrored(design, (one + other) / 2)


@dataclass(frozen=True)
class Question:
    """A dome in a state, a sector of it about a bearing in the state `soaked`; plain: the state without snow, whose
    weight water adds to where `water`."""

    dome: Dome
    case: Case
    plain: Case
    soaked: Case
    bearing: float
    width: float
    water: bool

    def sector(self, layout: Layout) -> Sector:
        """Of blocks cut so far apart: all that it touches."""
        widest = max(block.end - block.start for block in layout.blocks if block.kind not in NOT_SOAKED)
        return Sector(self.soaked, self.bearing, min((self.width + widest) / 2, math.pi))

    def problem(self, layout: Layout, q: float) -> BlockProblem:
        """Its dead load with every capacity divided by q; the live load is the dead load again."""
        shares = Shares.of(PLAIN, q, ground_limits(self.dome.design, PLAIN, sideways=False))
        nothing, sector = np.zeros((len(layout.blocks), 6)), self.sector(layout)
        found = block_problem(self.dome, self.case, layout, nothing, shares=shares, most=ENOUGH, wet=sector)
        if not self.water:
            return replace(found, live=found.dead)
        dead = found.dead.copy()
        (was, weight), (centre, heavy) = (block_weights(self.dome, one, layout) for one in (self.plain, self.soaked))
        for k, block in enumerate(layout.blocks):
            if block.kind not in NOT_SOAKED and sector.holds(bearing_of(was[k][0], was[k][1])):
                before, now = np.array([0.0, 0.0, -weight[k]]), np.array([0.0, 0.0, -heavy[k]])
                turning = np.cross(centre[k] - found.centre[k], now) - np.cross(was[k] - found.centre[k], before)
                dead[k] += np.concatenate([now - before, turning])
        return replace(found, dead=dead, live=dead)

    def layout(self, cuts: int) -> Layout:
        return cut_blocks(self.dome, cuts, len(self.case.states))

    def edge(self, cuts: int, before: float | None) -> float | None:
        """What a cut holds with ordinary friction, up to what the coarser one before it does; None: not decided."""
        layout = self.layout(cuts)
        rings = max(min(ring_symmetric(self.dome, self.case), MOST_RESERVE), LEAST_RESERVE)

        def ask(q: float, told: bool) -> tuple[BlockProblem, Spare]:
            problem = self.problem(layout, q)
            return problem, solve_spare(problem) if told else only_whether(problem)

        offer = rings if before is None else max(before, LEAST_RESERVE)
        return find_edge(ask, [offer], self.required if before is None else None).reserve

    def reserves(self) -> list[float] | None:
        """Of every cut, coarse to fine; they end where one holds nothing. None: not decided."""
        found: list[float] = []
        for cuts in CUTS:
            held = self.edge(cuts, found[-1] if found else None)
            if held is None:
                return None
            found.append(held)
            if held == 0.0:
                break
        return found

    @property
    def required(self) -> float:
        return self.dome.design.criteria.required["overall reserve"]

    def without_dilation(self, held: float) -> float | None:
        """What friction without dilation leaves of that, on the coarser cut; None where it does not settle."""
        layout = self.layout(CUTS[0])
        for share in WITHOUT:
            answer = solve_blocks(self.problem(layout, share * held))
            if answer.status == "solved" and (answer.associated or 0.0) > 0.0:
                return share * held
        return None

    def holds(self, q: float) -> bool:
        """Whether every cut holds so much with ordinary friction; what is not decided is not held."""
        return all(only_whether(self.problem(self.layout(cuts), q)).holds is True for cuts in CUTS)


def _questions(dome: Dome, cases: tuple[Case, ...], width: float) -> Iterator[Question]:
    soaked = case_of(dome, "soaked-through")
    for case, bearing, water in itertools.product(cases, about(dome.design), (True, False)):
        plain = next((one for one in cases if one.moisture == case.moisture and not one.snow), case)
        yield Question(dome, case, plain, soaked, bearing, width, water)


def _widest(dome: Dome, case: Case, cases: tuple[Case, ...]) -> float:
    """As `Soaked.meets_to`, of one state."""
    reached = 0.0
    for k in range(1, round(2 * math.pi / STEP) + 1):
        asked = [one for one in _questions(dome, cases, k * STEP) if one.case is case]
        if not all(one.holds(one.required) for one in asked):
            return reached
        reached = k * STEP
    return reached


def soaked_sector(dome: Dome, cases: tuple[Case, ...], width: float, progress: Progress = quiet) -> Soaked:
    """What is left of a finished dome of which a sector is soaked.

    Parameters
    ----------
    dome
        With its openings and buttresses.
    cases
        Finished states that count.
    width
        Of the sector [rad], from `LEAST_SECTOR` to the whole wall.
    progress
        Told what is being done.

    Returns
    -------
    Soaked
        The worst of all states and bearings, with the water's weight and without it.
    """
    required, asked = dome.design.criteria.required["overall reserve"], list(_questions(dome, cases, width))
    nothing = Soaked(width, None, required, None, 0.0, cases[0].id, water=True)
    beyond = beyond_validation(dome)
    if beyond:
        return replace(nothing, why="beyond the range of validation: " + "; ".join(str(one) for one in beyond))
    found: list[tuple[list[float], Question]] = []
    for done, question in enumerate(asked):
        progress("soaking a sector", done, len(asked) + 1)
        held = question.reserves()
        if held is None:
            return replace(nothing, why=UNDECIDED)
        found.append((held, question))
    by_cut, worst = min(found, key=lambda pair: min(pair[0]))
    known = replace(nothing, towards=worst.bearing, case_id=worst.case.id, water=worst.water)
    relied, why = _relied(worst, by_cut)
    progress("soaking a sector", len(asked), len(asked) + 1)
    if relied is None:
        return replace(known, why=why)
    return replace(known, reserve=relied, meets_to=_widest(dome, worst.case, cases))


def _relied(worst: Question, by_cut: list[float]) -> tuple[float | None, str]:
    """What is relied on, as of every dead load: the least of the cuts, a finer one more too, and of friction without
    dilation, less what the last refinement took; None with what could not be established."""
    if by_cut[-1] == 0.0:
        return 0.0, ""
    finest = worst.edge(still_finer(CUTS)[0], by_cut[-1])
    if finest is None:
        return None, UNDECIDED
    least = min(*by_cut, finest)
    without = worst.without_dilation(least) if least > 0.0 else 0.0
    if without is None:
        return None, "friction without dilation did not settle"
    said = outcome(least, without, [*by_cut, finest], worst.required, sideways=False)
    return said.relied, said.why
