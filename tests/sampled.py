"""One sampled dome by hand: rings at given radii, a design as the row of values that sampled domes are, and its answers
both ways."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

import numpy as np
from samples import classroom

from shellcheck_earth.design.design import Design, Fill
from shellcheck_earth.geometry.courses import Dome, build_dome
from shellcheck_earth.loads.cases import dead_cases, moist_unit_weight
from shellcheck_earth.loads.materials import cohesion_at, friction_at, saturated_moisture, strength_at
from shellcheck_earth.mechanics.many.batch import Answers, Plan, can_sample
from shellcheck_earth.mechanics.many.lunes import WIDTH, case_rows, fill_rows
from shellcheck_earth.mechanics.rings.admissible import failing_bed, pack
from shellcheck_earth.mechanics.rings.discretise import cut_lune
from shellcheck_earth.mechanics.rings.lune import Floats
from shellcheck_earth.safety.shortfalls import case_shortfalls
from shellcheck_earth.studies.sample.study import CHECKS

__all__ = ["got", "ground_of", "random_dome", "rows_of_cases", "small", "stack_of", "state_of", "wanted"]


def stack_of(stack: Dome, radii: np.ndarray, width: float, rounding: float) -> Dome:
    """The stack with its rings at other radii, as `build_dome` would cut it."""
    courses, under = [], float(radii[0])
    for course, r in zip(stack.courses, map(float, radii), strict=True):
        courses.append(
            replace(
                course,
                inner_radius=r,
                outer_radius=r + width,
                step_in=under - r,
                bed_inner=max(r, under) + rounding,
                bed_outer=min(r, under) + width - rounding,
            )
        )
        under = r
    return replace(stack, courses=tuple(courses))


def state_of(design: Design) -> np.ndarray:
    groups = [value for group in design.groups for value in _of_fill(design, group.fill)]
    return np.array(
        [
            *_of_fill(design, design.fill),
            design.beds.wire_tension,
            design.wall.filled_width,
            design.beds.friction_without_wire,
            *groups,
        ],
        dtype=np.float64,
    )


def ground_of(design: Design) -> list[float]:
    """Friction and bearing of the ground, dry, then wet, as the shape of a plan has them."""
    site = design.site
    return [site.ground_friction, site.ground_bearing, site.ground_friction_wet, site.ground_bearing_wet]


def _of_fill(design: Design, fill: Fill) -> list[float]:
    beds = design.beds
    moistures = (fill.service_moisture, fill.placing_moisture, saturated_moisture(fill))
    return [
        *(moist_unit_weight(fill, w) for w in moistures),
        *(strength_at(fill, w, hardened=True) for w in moistures),
        strength_at(fill, fill.placing_moisture),
        *(friction_at(beds, fill, w) for w in moistures),
        *(cohesion_at(beds, fill, w) for w in moistures),
    ]


def small(**changes: object) -> Design:
    """A smaller dome, so that a hundred of them are quick on the slow path: 15 courses of 0.18 m."""
    base = classroom()
    return classroom(
        **(
            {
                "dome": replace(base.dome, inside_diameter=3.0),
                "wall": replace(base.wall, course_height=0.18),
                "site": replace(base.site, snow=0.4, left_unprotected=True),
            }
            | changes
        )
    )


def wanted(dome: Dome) -> tuple[dict[str, tuple[str, int | None]], str | None]:
    """From the slow path: the first case and course of each check, and the first case without a line."""
    found: dict[str, tuple[str, int | None]] = {}
    gone = None
    cases = [case for case in dead_cases(dome) if case.counts and can_sample(case)]
    # finished first, then the stages from the last one back, the crew before bare; what is asked one check alone is
    # found short in that alone, wherever it stands
    for case in sorted(cases, key=lambda one: (one.building, -one.stage, not one.crew)):
        for short in case_shortfalls(dome, case):
            found.setdefault(short.check.removesuffix(" while building"), (short.case_id, short.course))
        if gone is None and not case.only and failing_bed(pack(cut_lune(dome, case))) >= 0:
            gone = case.id
    return found, gone


def got(plan: Plan, answers: Answers) -> tuple[dict[str, tuple[str, int]], str | None]:
    found = {
        check: (plan.case_ids[answers.short_case[0, q]], int(answers.short_course[0, q]))
        for q, check in enumerate(CHECKS)
        if answers.short_case[0, q] >= 0
    }
    return found, plan.case_ids[answers.no_line_case[0]] if answers.no_line_case[0] >= 0 else None


def random_dome(design: Design, rng: np.random.Generator) -> tuple[Design, np.ndarray]:
    g = rng.normal
    strong = float(np.exp(0.6 * g() + rng.choice([0.0, 0.8, 1.6])))
    fill = replace(
        design.fill,
        dry_density=1750 * (1 + 0.04 * g()),
        placing_moisture=0.1 * (1 + 0.1 * g()),
        service_moisture=0.03 * (1 + 0.2 * g()),
        strength_dry=500 * strong,
        strength_as_placed=150 * strong,
        strength_wet=float(rng.choice([40.0, 120.0])) * strong,
    )
    mu = 0.55 * float(np.exp(0.3 * g()))
    share = min(0.3 * float(np.exp(0.6 * g())), 1.0)
    bare = mu * float(rng.choice([0.5, 0.8, 1.0]))
    beds = replace(design.beds, friction=mu, friction_wet=0.8 * mu, friction_no_wire=bare, wire_counted_share=share)
    bearing, friction = 80 * float(np.exp(0.25 * g())), 0.35 * float(np.exp(0.4 * g()))
    softer = float(rng.choice([0.6, 1.0]))
    site = replace(
        design.site,
        ground_bearing=bearing,
        ground_friction=friction,
        bearing_wet=softer * bearing,
        friction_wet=softer * friction,
    )
    wall = replace(design.wall, filled_width=0.385 * (1 + 0.04 * g()))
    radii = np.array([course.inner_radius for course in build_dome(design).courses])
    return replace(design, fill=fill, beds=beds, site=site, wall=wall), radii + 0.02 * g(size=len(radii))


def rows_of_cases(stack: Dome, plan: Plan, state: Floats) -> Iterator[tuple[Floats, Floats]]:
    """Of each case of a plan the kernel's rows, and those of the dome cut by itself."""
    radii = np.array([course.inner_radius for course in stack.courses])
    by_id = {case.id: case for case in dead_cases(stack)}
    rows, whole = np.zeros((len(radii), 18)), np.zeros((len(radii), 19))
    for name, (top, which, crew, *_) in zip(plan.case_ids, plan.cases, strict=True):
        fill_rows(whole, plan.courses, radii, state, plan.shape, *plan.sets[which])
        case_rows(whole, top, plan.shape[6] * crew, state[WIDTH], rows)
        yield rows[: top + 1], pack(cut_lune(stack, by_id[name]))
