"""A stage of building in the rain, as the block model is asked it.

No trial asks the blocks again, so what decides how far rain wets the fill, and how dry it was, counts at the bad end of
its range, all at once, wherever nobody measured it (a convention, as for the ground under blocks).
"""

from __future__ import annotations

from dataclasses import replace
from functools import lru_cache

from shellcheck_earth.basics.errors import InputError
from shellcheck_earth.design.design import Design
from shellcheck_earth.geometry.courses import Dome
from shellcheck_earth.loads.cases import Case
from shellcheck_earth.loads.rain.calendar import fallen_pair, rain_pair, stage_day
from shellcheck_earth.safety.inputs import number_at, place_of
from shellcheck_earth.safety.untested import unfavourable_trials, with_number

__all__ = ["rained_stage", "wetted_the_most"]

WETS = frozenset(
    {
        "fill.dry_density",
        "fill.placing_moisture",
        "fill.hydraulic_conductivity",
        "fill.suction_head",
        "building.climate",
        "building.drying",
        "building.count_fabric",
    }
)
"""More of these wets the fill deeper; the last three are what a design may count on without a test."""

DENSE = "fill.particle_density"
"""Less of it leaves less room for water."""


@lru_cache(maxsize=8)  # asked for with every list of what the blocks of one design are asked
def wetted_the_most(design: Design) -> Design:
    """The design with all of that which nobody measured at its bad end; values that contradict it there are left."""
    for path, value, _, _ in tuple(unfavourable_trials(design)):
        inside = place_of(path)[1]
        if inside in WETS or (inside == DENSE and value < number_at(design, path)):
            try:
                design = with_number(design, path, value)
            except InputError:
                continue
    return design


def rained_stage(dome: Dome, stage: Case) -> tuple[tuple[str, Case], ...]:
    """(suffix of its name, case) of a stage in all of the site's rain on the day its last course is laid: with the
    water's weight, then without it; before them, of an unfinished dome, as wet as the rain so far left it.

    Nothing where no rain makes it weaker than the stage itself; once where the water weighs nothing.
    """
    wet = replace(dome, design=wetted_the_most(dome.design))
    at = stage_day(wet, stage.stage)
    fallen = dome.design.building.unfinished and any(dome.design.building.wetted)
    pairs = [("-wetted", fallen_pair(wet, at))] if fallen else []
    pairs += [("-rain", rain_pair(wet, at, dome.design.site.rain_hours))]
    out: list[tuple[str, Case]] = []
    for suffix, (heavy, light) in pairs:
        if not _weaker(dome, heavy, stage):
            continue
        out.append((suffix, heavy))
        if heavy.states != light.states:
            out.append((f"{suffix}-light", replace(light, title=f"{light.title}, without the water's weight")))
    return tuple(out)


def _weaker(dome: Dome, rained: Case, stage: Case) -> bool:
    """Whether any course is wet in part, or holds less than it does just laid."""
    return any(
        wet.dry_to < course.outer_radius or wet.strength < laid.strength or wet.friction < laid.friction
        for course, wet, laid in zip(dome.courses, rained.states, stage.states, strict=False)
    )
