"""A load that ordinary friction holds beyond the end of the search is followed without dilation all the same."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest

from shellcheck_earth.design.design import Opening
from shellcheck_earth.geometry.courses import build_dome
from shellcheck_earth.geometry.reading import read_design
from shellcheck_earth.safety.blocks.jobs import jobs
from shellcheck_earth.safety.blocks.sideways import ROOM, Asked, Question, sideways_case

SEED_BANK = Path(__file__).parents[3] / "reports" / "seed-bank" / "design.toml"
OPENINGS = (
    Opening("door", 2.744, 0.0, 0.68, 1.72, "pointed"),
    Opening("window", 1.846, 1.11, 0.5, 0.5, "pointed"),
)


@pytest.mark.parametrize("worker", [2.6, 3.7])
def test_a_worker_over_a_door_is_held_by_ordinary_friction_and_not_without_dilation(worker: float) -> None:
    """One of 3.7 kN is held more than 3.75 times, which is the end of the search, and 1.6 times without dilation."""
    design = read_design(SEED_BANK)
    building = replace(design.building, worker=worker)
    dome = build_dome(replace(design, openings=OPENINGS, building=building))
    job = next(one for one in jobs(dome) if one.id == "three-d-forms-out-worker")
    job = replace(job, loads=tuple(load for load in job.loads if "157" in load.title))
    question = Question(dome, job, (12,), job.most(dome.design), ROOM)
    asked = Asked(job.loads[0])
    question.line(question.layouts[0], asked)
    answer = question.without_dilation(asked)
    assert answer.associated == pytest.approx(ROOM * job.most(dome.design), rel=1e-5)
    assert answer.multiplier is None or answer.multiplier < 0.75 * answer.associated
    if worker > 3.0:
        found = sideways_case(dome, job, (12, 18))
        assert found.meets is False and found.relied is not None and found.relied < 1.0 < 1.25 == found.required
