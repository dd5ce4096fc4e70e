"""The states of blocks that a design is asked, one by one, as problems that anyone can read, solve and check."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from typing import Any

from shellcheck_earth.basics.errors import InputError, Problem
from shellcheck_earth.design.digest import design_sha256
from shellcheck_earth.geometry.blocks import cut_blocks
from shellcheck_earth.geometry.courses import Dome
from shellcheck_earth.loads.joint import PLAIN, Row
from shellcheck_earth.loads.side_loads import SideLoad, each_once
from shellcheck_earth.mechanics.blocks.written import Heading, unsolved
from shellcheck_earth.safety.blocks.jobs import Job, jobs, joint_job
from shellcheck_earth.safety.blocks.proofs import proof_name
from shellcheck_earth.safety.blocks.reserve import dead_problem
from shellcheck_earth.safety.blocks.sideways import Asked, Question

__all__ = ["LEAST_CUTS", "MOST_CUTS", "State", "state_data", "states"]

MOST_MULTIPLE = 10.0
"""Multiples of the live load that are looked for, so many at most."""

LEAST_CUTS, MOST_CUTS = 8, 144
"""Blocks a ring."""


@dataclass(frozen=True)
class State:
    """One question to the blocks: a job, with one of its loads (None: the dead load), at one row of factors."""

    job: Job
    load: SideLoad | None
    row: Row

    @property
    def name(self) -> str:
        return proof_name(self.job, self.load, self.row)

    @property
    def title(self) -> str:
        return ", ".join([self.job.title, *([self.load.title] if self.load else [])])


def states(dome: Dome) -> Mapping[str, State]:
    """Every state that the block model may be asked about a design, by name, in the order of the report."""
    out = {}
    for job in jobs(dome):
        for one in (None if job.only_joint else job, joint_job(dome.design, job)):
            if one is None:
                continue
            loads = [load for load, _ in each_once(dome.design, one.loads)] if one.loads else [None]
            for load in loads:
                for row in one.rows:
                    state = State(one, load, row)
                    out[state.name] = state
    return out


def _about(state: State, reserve: float, cuts: int) -> str:
    if state.load is None:
        asked = (
            f"Friction, strength, wire and the width of every face are divided by {reserve:g}; the live load is the"
            " dead load again: a multiple of 0 or more says that the dome has this reserve."
        )
    else:
        asked = "The live load is the load from one side as the design has it: the multiple is its factor."
    row = ", ".join(
        f"{name} {getattr(state.row, name):g}"
        for name in ("permanent", "load", "friction", "strength", "wire", "width")
        if getattr(state.row, name) != getattr(PLAIN, name)
    )
    factors = f" Factors in it: {row}." if row else ""
    return (
        f"{state.title}. {cuts} blocks a ring. {asked}{factors} Ordinary (associated) friction, which may hold more"
        " than friction without dilation. A problem of the model, no verdict on a dome."
    )


def state_data(dome: Dome, state: State, cuts: int, reserve: float | None = None) -> dict[str, Any]:
    """The problem of one state as data for JSON, not yet solved.

    reserve: what capacities are divided by under the dead load; None: what is required. InputError for a number of cuts
    or a reserve that cannot be used.
    """
    if not LEAST_CUTS <= cuts <= MOST_CUTS:
        raise InputError([Problem("--cuts", f"a whole number from {LEAST_CUTS} to {MOST_CUTS}", f"{cuts}")])
    if reserve is not None and (state.load is not None or not 0.1 <= reserve <= 100):
        wanted = "a number from 0.1 to 100, and only for a dead load"
        raise InputError([Problem("--reserve", wanted, f"{reserve:g} for {state.name}")])
    asked = state.job.required(dome.design) if reserve is None else reserve
    layout = cut_blocks(dome, cuts, len(state.job.case.states), founded=state.load is not None or state.row.grounded)
    if state.load is None:
        problem = dead_problem(dome, state.job.beside(state.row), layout, asked, state.row)
    else:
        question = Question(dome, state.job, (layout.cuts,), MOST_MULTIPLE)
        problem = question.problem(layout, Asked(state.load, state.row))
    head = Heading(
        f"{dome.design.name}: {state.name}",
        _about(state, asked, cuts),
        dome.design.name,
        design_sha256(dome.design),
        dome.design.wall.filled_width,
    )
    labels = [f"{block.kind}, course {dome.courses[block.course].label}" for block in layout.blocks]
    return unsolved(replace(problem, most=MOST_MULTIPLE), head, labels)
