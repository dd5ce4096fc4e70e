"""The working of one bed: the numbers that a reader needs to repeat it by hand."""

from __future__ import annotations

from dataclasses import replace

from shellcheck_earth.geometry.courses import Dome
from shellcheck_earth.loads.cases import Case
from shellcheck_earth.mechanics.rings.admissible import AVAILABLE, bed_limits, pack
from shellcheck_earth.mechanics.rings.lune import Lune
from shellcheck_earth.safety.findings import BedWorking
from shellcheck_earth.safety.result import CaseResult

__all__ = ["working_for_bed"]


def working_for_bed(dome: Dome, case: Case, lune: Lune, result: CaseResult, number: int) -> BedWorking:
    """The bed under course `number` in one case; the middlemost line is used where the result holds one."""
    index = round(float(lune.number[0]) - number)
    course, state = dome.course(number), next(s for s in case.states if s.number == number)
    body, measured = state.parts[0], dome.design.dome.profile == "measured"
    low, high, limit = bed_limits(pack(lune), index, AVAILABLE.as_array())
    found = BedWorking(
        number=number,
        stage=case.stage,
        inner_radius=course.inner_radius,
        compass=course.compass if course.kind == "arc" else None,
        fixed_compass=None if measured else dome.fixed_compass,
        pivot_radius=None if measured else dome.pivot_radius,
        centre_pivot=dome.design.dome.centre_pivot_above_springing,
        z_mid=course.z_mid,
        body_unit_weight=body.unit_weight,
        body_height=body.height,
        body_inner=body.inner,
        body_outer=body.outer,
        body_weight=body.weight,
        body_centroid=body.moment / body.weight,
        vertical=float(lune.vertical[index]),
        bed_inner=course.bed_inner,
        bed_outer=course.bed_outer,
        width=course.width,
        edge_rounding=dome.design.wall.edge_rounding,
        strength=state.strength,
        low=low,
        high=high,
        friction=float(lune.friction[index]),
        limit=limit,
    )
    line = next((one for one in result.lines if one.kind == "middlemost"), None)
    return found if line is None else replace(found, thrust=line.H[index], radius=line.x[index])
