"""A small dome of strong fill on a footing, and a block case as if its search had ended, for tests."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

from samples import classroom

from shellcheck_earth.design.design import Design, Fill, Footing, Opening
from shellcheck_earth.safety.blocks.jobs import Job
from shellcheck_earth.safety.blocks.result import BlockResult, CutResult

__all__ = ["DOOR", "RUBBLE", "claim", "founded"]

DOOR = Opening("door", 0.0, 0.0, 0.8, 1.5, "pointed")
RUBBLE = Footing(0.7, 0.3, (16.0, 20.0))


def founded(footing: Footing | None = RUBBLE, openings: tuple[Opening, ...] = (DOOR,), **site: Any) -> Design:
    design = classroom(openings=openings)
    fill = Fill(1750.0, 2650.0, 0.10, 0.03, "cement", 0.08, 1000.0, 600.0, 400.0, 0.1 / 100 / 3600, 0.21)
    site = {"ground_friction": 0.6, "friction_wet": 0.6, "ground_bearing": 150.0, "bearing_wet": 150.0} | site
    return replace(
        design, dome=replace(design.dome, inside_diameter=2.6), fill=fill, footing=footing,
        site=replace(design.site, **site), building=replace(design.building, worker=1.0, scaffold_above=None),
    )  # fmt: skip


def claim(job: Job, relied: float) -> BlockResult:
    """As if the search had ended at a number that meets."""
    return BlockResult(
        job.id, job.title, job.criterion, relied, relied, relied, relied, "solved", "", False, None, (),
        (CutResult(18, 1, relied),), ((0.0, relied),) if job.loads else (), (), len(job.case.states),
    )  # fmt: skip
