"""A small store with a door: few courses and few cuts are enough for its blocks."""

from __future__ import annotations

from dataclasses import replace

from samples import classroom

from shellcheck_earth.basics.frozen import FrozenMap
from shellcheck_earth.design.design import Design, Fill, Opening, Site
from shellcheck_earth.geometry.courses import build_dome
from shellcheck_earth.safety.blocks.jobs import Job, jobs

__all__ = ["DOOR", "quake_job", "quiet", "small_store"]

DOOR = Opening("door", 0.0, 0.0, 0.8, 1.5, "pointed")


def small_store(**changes: object) -> Design:
    """A small store with firm fill on measured ground, so that few courses and cuts are enough for a test."""
    design = classroom(openings=(DOOR,))
    dome = replace(design.dome, inside_diameter=2.6)
    fill = Fill(1750.0, 2650.0, 0.10, 0.03, "cement", 0.08, 1000.0, 600.0, 400.0, 0.1 / 100 / 3600, 0.21)
    ground = {"ground_friction": 0.35, "friction_wet": 0.35, "ground_bearing": 150.0, "bearing_wet": 150.0}
    site: Site = replace(design.site, **(ground | changes))  # type: ignore[arg-type]
    measured = {f"site.ground_{name}_wet": "measured" for name in ("friction", "bearing")}
    bases = FrozenMap({**design.bases, **measured})
    building = replace(design.building, worker=0.0)
    return replace(design, dome=dome, fill=fill, site=site, building=building, bases=bases)


def quiet(what: str, done: int, of: int) -> None:
    del what, done, of


def quake_job(design: Design) -> Job:
    return next(job for job in jobs(build_dome(design)) if job.criterion == "earthquake")
