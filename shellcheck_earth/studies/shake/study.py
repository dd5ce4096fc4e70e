"""One design on a ground that moves: which state, which blocks, what was found. A study of a model, never a verdict."""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import cached_property

import numpy as np

from shellcheck_earth.basics.errors import InputError, Problem, UndecidedError
from shellcheck_earth.basics.progress import Progress, quiet
from shellcheck_earth.design.design import Design
from shellcheck_earth.geometry.blocks import cut_blocks
from shellcheck_earth.geometry.courses import Dome, build_dome
from shellcheck_earth.geometry.layout import Layout
from shellcheck_earth.geometry.meridians import COARSEST
from shellcheck_earth.geometry.openings import check_openings
from shellcheck_earth.loads.cases import Case, case_of
from shellcheck_earth.loads.ring_loads import refuse_ring_loads
from shellcheck_earth.mechanics.blocks.assembly import block_problem
from shellcheck_earth.mechanics.blocks.faces import Shares
from shellcheck_earth.mechanics.blocks.weights import block_weights
from shellcheck_earth.mechanics.moving.body import GRAVITY
from shellcheck_earth.mechanics.moving.shaken import Limits, Shaken, shake
from shellcheck_earth.mechanics.rings.lune import Floats
from shellcheck_earth.studies.shake.ground import Told

__all__ = ["AFTER", "STATES", "Shaking", "shake_design"]

STATES = {"dry": "finished-dry", "damp": "finished-damp", "soaked": "soaked-through"}

AFTER = 1.0
"""The blocks are watched for so long after the ground has stopped [s]."""

LONGEST_STEP, STEPS_A_PULSE = 0.005, 100
"""Of time [s]; at least so many to a pulse."""

FRAMES = 48

TILT, SLID, MOVED = math.radians(15.0), 0.5, 0.5
"""Where a run stops: the tilt of a block, the slip over a face's shorter side, the way over the width of the wall."""


@dataclass(frozen=True)
class Shaking:
    """What was asked and what came of it. bearing [rad]; step [s]; limits of the run."""

    design: Design
    dome: Dome
    case: Case
    layout: Layout
    ground: Told
    bearing: float
    step: float
    limits: Limits
    found: Shaken

    @cached_property
    def left(self) -> float:
        """Largest displacement of a block at the end [m]."""
        return float(self.found.most[-1])

    @cached_property
    def largest(self) -> tuple[float, float, int]:
        """(largest displacement [m], when [s], number of the course it is in)."""
        way = np.sqrt(((self.found.centre - self.found.centre[0]) ** 2).sum(axis=2))
        frame, block = np.unravel_index(int(way.argmax()), way.shape)
        return float(way[frame, block]), float(self.found.times[frame]), self.course(int(block))

    def course(self, block: int) -> int:
        """Number of the course that a block belongs to."""
        return self.dome.courses[self.layout.blocks[block].course].number


def _inertia(layout: Layout, weight: Floats) -> Floats:
    """(n, 3): the mean of the three of a box as large as the block's corners, about every axis [t m2] (proposed)."""
    spans = []
    for block in layout.blocks:
        corners = np.array(block.corners)
        low, high = corners[:4].mean(axis=0), corners[4:].mean(axis=0)
        inner, outer = corners[[0, 3, 4, 7]].mean(axis=0), corners[[1, 2, 5, 6]].mean(axis=0)
        first, last = corners[[0, 1, 4, 5]].mean(axis=0), corners[[2, 3, 6, 7]].mean(axis=0)
        spans.append(sum(float(((a - b) ** 2).sum()) for a, b in ((low, high), (inner, outer), (first, last))))
    each = weight / GRAVITY * np.array(spans) / 18
    return np.repeat(each[:, None], 3, axis=1)


def shake_design(
    design: Design, ground: Told, bearing: float, state: str = "dry", progress: Progress = quiet
) -> Shaking:
    """The finished dome in one state on a moving ground; state: a key of STATES, bearing [rad].

    InputError for a state that the design does not have or for ring loads, UndecidedError where the steps in time find
    no answer.
    """
    refuse_ring_loads(design, "the study of a moving ground")
    dome = build_dome(design)
    check_openings(dome)
    try:
        case = case_of(dome, STATES[state])
    except KeyError:
        raise InputError([Problem("--state", "a state that this design has", state)]) from None
    layout = cut_blocks(dome, COARSEST, len(case.states))
    _, weight = block_weights(dome, case, layout)
    nothing = np.zeros((len(weight), 6))
    problem = block_problem(dome, case, layout, nothing, shares=Shares(base_friction=design.site.ground_friction))
    limits = Limits(MOVED * design.wall.filled_width, TILT, SLID)
    step = min(LONGEST_STEP, ground.seconds / STEPS_A_PULSE) if ground.kind != "record" else LONGEST_STEP

    def told(share: float) -> None:
        progress("moving the blocks", round(100 * share), 100)

    progress("letting the blocks come to rest", 0, 1)
    found = shake(
        problem,
        ground.motion,
        limits,
        inertia=_inertia(layout, weight),
        steps=(step, AFTER, FRAMES),
        progress=told,
    )
    if found.how == "no answer":
        raise UndecidedError(f"the steps in time found no answer at {found.times[-1]:.2f} s")
    return Shaking(design, dome, case, layout, ground, bearing, step, limits, found)
