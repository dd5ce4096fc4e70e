"""The working of the governing bed of each check: the numbers that a reader needs to repeat it by hand."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace

import numpy as np

from shellcheck_earth.geometry.courses import Dome
from shellcheck_earth.loads.cases import Case
from shellcheck_earth.loads.combinations import Combination, carried_factors, ring_rows
from shellcheck_earth.mechanics.rings.admissible import AVAILABLE, Scales
from shellcheck_earth.mechanics.rings.capacity import HALF_WIDTH, STRENGTH
from shellcheck_earth.mechanics.rings.definite_line import DefiniteLine, Start, definite_line
from shellcheck_earth.mechanics.rings.lune import Lune
from shellcheck_earth.safety.bed_weights import weighed, wet_bed
from shellcheck_earth.safety.checks import GROUND, check_of, combined_questions
from shellcheck_earth.safety.findings import Above, BedWorking
from shellcheck_earth.safety.ground import ground_of
from shellcheck_earth.safety.result import Margin

__all__ = ["Governing", "workings"]

EASED = 1e-7
"""Share by which capacities at the edge are raised, so that a state still exists there."""

Governing = tuple[Case, Lune, Margin]
"""A case, one radian of it, and the margin that governs a check there."""


def workings(dome: Dome, found: Iterable[Governing]) -> tuple[BedWorking, ...]:
    """The working of every governing margin that a bed governs and that something is needed for, in their order."""
    return tuple(_working(dome, *one) for one in found if one[2].course is not None and one[2].why != "nothing needed")


def _asked_lune(dome: Dome, case: Case, lune: Lune, margin: Margin) -> Lune:
    """The lune that the margin was asked of: under its row of factors where it has one."""
    asked = (one.lune for one in combined_questions(dome, case, lune) if one.combination == margin.combination)
    return next(asked) if margin.combination else lune


def _row(dome: Dome, case: Case, margin: Margin) -> tuple[Combination, float] | None:
    """The row of factors of a margin, with its factor on what is imposed; None where it has none."""
    if not margin.combination:
        return None
    return next(one for one in ring_rows(dome.design, case) if one[0].name == margin.combination)


def _factors(dome: Dome, case: Case, margin: Margin) -> tuple[float, float]:
    """What the row of the margin multiplies permanent and imposed loads by."""
    row = _row(dome, case, margin)
    return (1.0, 1.0) if row is None else (row[0].permanent, row[1])


def _carried_factors(dome: Dome, margin: Margin) -> tuple[float, float]:
    """What is handed in is multiplied by: where it works against the dome, and where it may help."""
    return carried_factors(dome.design.criteria) if margin.combination else (1.0, 1.0)


def _edge(lune: Lune, margin: Margin) -> tuple[DefiniteLine | None, float, Scales]:
    """The state at the edge of what the margin divides, by how much it was divided, and the capacities there."""
    check = check_of(margin.check)
    if check in GROUND:
        start: Start = "least" if check is GROUND[0] else "middle"
        return definite_line(lune, start, AVAILABLE), 1.0, AVAILABLE
    if margin.factor is None:
        return None, 1.0, AVAILABLE
    share = (1.0 + EASED) / margin.factor
    scales = check.scales(share)
    return definite_line(lune, "middle", scales), 1.0 / share, scales


def _above(lune: Lune, line: DefiniteLine | None, bed: int) -> tuple[Above, ...]:
    """Every course down to a bed, top first, with its forces in a state; without forces where there is none."""
    none = np.zeros(lune.size)
    C, K, T = (none, none, none) if line is None else (line.ring, line.ring_moment, line.wire)
    return tuple(
        Above(
            number=int(lune.number[i]),
            z=float(lune.z_bottom[i]),
            weight=float(lune.weight[i]),
            moment=float(lune.moment[i]),
            push=float(lune.push[i]),
            ring=float(C[i]),
            ring_moment=float(K[i]),
            wire=float(T[i]),
        )
        for i in range(bed + 1)
    )


def _middle(lune: Lune) -> DefiniteLine | None:
    return definite_line(lune, "middle", AVAILABLE)


def _working(dome: Dome, case: Case, whole: Lune, margin: Margin) -> BedWorking:
    lune = _asked_lune(dome, case, whole, margin)
    number = margin.course if margin.course is not None else int(lune.number[-1])
    bed = round(float(lune.number[0]) - number)
    line, divided, scales = _edge(lune, margin)
    course, row = dome.course(number), _row(dome, case, margin)
    index = next(i for i, one in enumerate(dome.courses) if one.number == number)
    below = dome.courses[max(index - 1, 0)]
    shape, arc = dome.design.dome, course.kind == "arc" and dome.design.dome.profile != "measured"
    down = (int(one) for one in lune.number[: bed + 1])
    weighs = weighed(dome, case, down, *_factors(dome, case, margin), _carried_factors(dome, margin))
    slots = check_of(margin.check).slots
    found = BedWorking(
        check=margin.check,
        combination=margin.combination,
        case_title=case.title,
        number=number,
        inner_radius=course.inner_radius,
        inner_below=below.inner_radius,
        compass=course.compass,
        fixed_compass=dome.fixed_compass if arc else None,
        pivot_radius=dome.pivot_radius if arc else None,
        centre_pivot=shape.centre_pivot_above_springing,
        z_mid=course.z_mid,
        weighed=weighs,
        width=course.width,
        edge_rounding=dome.design.wall.edge_rounding,
        wet_from=float(lune.wet_from[bed]),
        strength_in=float(lune.crush_inner[bed]),
        strength_out=float(lune.crush_outer[bed]),
        friction=float(lune.friction[bed]),
        cohesion=float(lune.cohesion[bed]),
        above=_above(lune, line, bed),
        stands=line is not None,
        divided=divided,
        divides_friction=scales.friction != 1.0,
        divides_strength=STRENGTH in slots,
        divides_width=HALF_WIDTH in slots,
        available=margin.available,
        needed=margin.needed,
        factor=margin.factor,
        required=margin.required,
        ground=0.0,
        wet=wet_bed(dome, case, whole, bed, row[0] if row else None),
    )
    if check_of(margin.check) in GROUND:
        ground = ground_of(dome, case)
        found = replace(found, ground=ground.friction if check_of(margin.check) is GROUND[0] else ground.bearing)
    middle = _middle(lune) if margin.check == "bed friction" else None
    return found if middle is None else replace(found, middlemost=_above(lune, middle, bed))
