"""A small dome whose block cases are proven, and claims to prove."""

from __future__ import annotations

import json
import math
from dataclasses import replace
from functools import cache
from typing import Any

from samples import classroom

from shellcheck_earth.basics.frozen import FrozenMap
from shellcheck_earth.design.design import Buttress, Design, Fill, Opening
from shellcheck_earth.geometry.courses import Dome, build_dome
from shellcheck_earth.safety.blocks.jobs import Job, jobs
from shellcheck_earth.safety.blocks.proofs import proven
from shellcheck_earth.safety.blocks.result import BlockResult, CutResult

__all__ = ["DOOR", "LINTEL", "claim", "dead_proof", "job_of", "proof_design", "proof_dome"]

DOOR = Opening("door", 0.0, 0.0, 0.8, 1.5, "pointed")
LINTEL = Opening("window", math.pi, 0.6, 0.5, 0.5, "lintel", tie=2.0)


def proof_design(*openings: Opening, buttresses: tuple[Buttress, ...] = (), **site: object) -> Design:
    design = classroom(openings=openings or (DOOR,))
    fill = Fill(1750.0, 2650.0, 0.10, 0.03, "cement", 0.08, 1000.0, 600.0, 400.0, 0.1 / 100 / 3600, 0.21)
    ground = {"ground_friction": 0.35, "friction_wet": 0.35, "ground_bearing": 150.0, "bearing_wet": 150.0}
    measured = {f"site.ground_{name}_wet": "measured" for name in ("friction", "bearing")}
    return replace(
        design, dome=replace(design.dome, inside_diameter=2.6), fill=fill, buttresses=buttresses,
        site=replace(design.site, **(ground | site)),  # type: ignore[arg-type]
        building=replace(design.building, worker=1.0, scaffold_above=None),
        bases=FrozenMap({**design.bases, **measured}),
    )  # fmt: skip


def job_of(dome: Dome, job_id: str) -> Job:
    return next(job for job in jobs(dome) if job.id.startswith(job_id))


def claim(job: Job, relied: float, cuts: int = 12) -> BlockResult:
    """As if the search had ended at a number that meets."""
    table = (CutResult(cuts, 1, relied),)
    return BlockResult(
        job.id, job.title, job.criterion, relied, relied, relied, relied, "solved", "", False, None, (), table,
        ((0.0, relied),) if job.loads else (), (), len(job.case.states),
    )  # fmt: skip


@cache
def proof_dome() -> Dome:
    """A door and a tied lintel, in wind, snow and earthquakes."""
    return build_dome(proof_design(DOOR, LINTEL, earthquake=0.1, wind_pressure=0.5, snow=0.5))


def dead_proof(dome: Dome) -> dict[str, Any]:
    """Of its dead load."""
    job = job_of(dome, "three-d-finished-dry")
    data: dict[str, Any] = json.loads(proven(dome, job, claim(job, 1.05)).proofs[0])
    return data
