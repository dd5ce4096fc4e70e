"""From readings to designs: what stands now, what stands if the plan goes on, and a corrected plan.

Each is a design file like any other, with a measured profile, so that `check` judges it, proves it, and `recheck`
rebuilds it from its text alone.
"""

from __future__ import annotations

import copy
import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date
from functools import cached_property
from typing import Any

from shellcheck_earth.basics.values import fixed
from shellcheck_earth.design.design import Design
from shellcheck_earth.design.keys import set_key
from shellcheck_earth.design.write import document_toml
from shellcheck_earth.geometry.courses import Dome, build_dome
from shellcheck_earth.geometry.openings import levels
from shellcheck_earth.geometry.reading import parse_design
from shellcheck_earth.geometry.settings import Step, Top
from shellcheck_earth.geometry.survey import Ring, Survey, rings_of
from shellcheck_earth.loads.rain.fallen import WetCourse, carried, wet_courses
from shellcheck_earth.safety.blocks.jobs import forms_out

__all__ = ["AsBuilt", "as_built", "before_work", "built_design", "without_top"]


@dataclass(frozen=True)
class AsBuilt:
    """The wall as it stands, taken from a survey and its design.

    planned   the dome as designed; `document`: its design file as data
    rings     measured, lowest first
    laid_on   day of each course from the lowest of the dome on, the first is 0; () where no day was written down
    wet       how deep each course is wet, lowest of the dome first
    tilt      the greatest slope of a course's top across the wall [rad]
    height    mean height [m] of the measured courses above the springing: what the courses to come are taken to have
    """

    document: Mapping[str, Any]
    planned: Dome
    survey: Survey
    rings: tuple[Ring, ...]
    laid_on: tuple[int, ...]
    wet: tuple[WetCourse, ...]
    tilt: float
    height: float

    @property
    def number(self) -> int:
        """Number of the top course; 0 where nothing stands above the springing."""
        return self.rings[-1].number if self.rings else 0

    @property
    def top(self) -> Top:
        if not self.rings:
            return Top(0, 0.0, self.planned.design.dome.inside_diameter / 2, self.height)
        ring = self.rings[-1]
        return Top(ring.number, ring.top, ring.mean, self.height)

    @property
    def depths(self) -> tuple[float, ...]:
        return tuple(one.counted for one in self.wet)

    @cached_property
    def closed_over(self) -> frozenset[int]:
        """Indices of the openings over which a ring of the wall is closed."""
        openings = self.planned.design.openings
        if not openings:
            return frozenset()
        standing = build_dome(_design_of(self, _without_openings(self.document)))
        return frozenset(forms_out(replace(standing, design=replace(standing.design, openings=openings))))

    @property
    def half_built(self) -> tuple[int, ...]:
        """Indices of the openings that are begun and over which no ring is closed yet: their courses lean on the
        forms."""
        top = self.rings[-1].top if self.rings else 0.0
        begun = [k for k, one in enumerate(self.planned.design.openings) if levels(self.planned, one)[0] < top - 1e-6]
        return tuple(index for index in begun if index not in self.closed_over)


def _days(planned: Dome, survey: Survey) -> list[date | None]:
    """The day of each course from the lowest of the dome on; a day left out is that of the next course above that has
    one, and of the survey at the top: the youngest it can be. All None where no day was written down at all."""
    if not any(course.laid_on for course in survey.courses):
        return [None] * (survey.top.number - planned.courses[0].number + 1)
    by_number = {course.number: course.laid_on for course in survey.courses}
    out: list[date | None] = []
    day = survey.on
    for number in range(survey.top.number, planned.courses[0].number - 1, -1):
        day = by_number.get(number) or day
        out.append(day)
    return out[::-1]


def as_built(document: Mapping[str, Any], design: Design, survey: Survey) -> AsBuilt:
    """What a survey says of the wall.

    Parameters
    ----------
    document, design
        The design file as data, and the design it reads as.
    survey
        Readings [m, rad] of courses without a gap.

    Returns
    -------
    AsBuilt
        Rings, days, wetted depths; heights of the courses to come.

    Raises
    ------
    InputError
        The readings make no wall: courses that do not overlap, and the like.
    """
    planned = build_dome(design)
    rings = rings_of(survey, planned)
    days = _days(planned, survey)
    first = min((day for day in days if day is not None), default=None)
    laid_on = tuple((day - first).days for day in days if day is not None and first is not None)
    arc = [ring.height for ring in rings if ring.number >= 1]
    tilt = max((course.tilt or 0.0 for course in survey.courses), default=0.0)
    bare = AsBuilt(document, planned, survey, rings, laid_on, (), tilt, sum(arc) / len(arc))
    standing = build_dome(built_design(bare))
    computed = carried(standing, days, survey.rains, survey.on)
    return replace(bare, wet=wet_courses(standing, survey.courses, computed, int(fixed("survey.spots"))))


def _without_openings(document: Mapping[str, Any]) -> dict[str, Any]:
    return {key: value for key, value in document.items() if key != "opening"}


def before_work(document: Mapping[str, Any], design: Design) -> AsBuilt:
    """The wall before any course above the springing is laid: what a plan is followed from."""
    planned = build_dome(design)
    rings = tuple(
        Ring(c.number, c.z_bottom, c.z_top, c.inner_radius, 0.0, 0.0, 0.0, 0.0, 0.0, 1)
        for c in planned.courses
        if c.number < 1
    )
    wet = tuple(WetCourse(course.number, 0.0, None, 0, 0.0) for course in planned.courses if course.number < 1)
    return AsBuilt(document, planned, Survey(date.min, ()), rings, (), wet, 0.0, design.wall.course_height)


def without_top(wall: AsBuilt, courses: int) -> AsBuilt:
    """The wall with its top courses taken down."""
    keep = len(wall.laid_on) - courses if wall.laid_on else 0
    rings = wall.rings[: len(wall.rings) - courses]
    wet = wall.wet[: len(wall.wet) - courses]
    return replace(wall, rings=rings, laid_on=wall.laid_on[: max(keep, 0)], wet=wet)


def _length(value: float, system: str) -> str:
    """To a micron, in the system of the design file, so that most of its lengths stay in it."""
    return f"{round(value / 0.0254, 5)!r} in" if system == "imperial" else f"{round(value, 6)!r} m"


def _tilted(document: dict[str, Any], design: Design, tilt: float) -> dict[str, Any]:
    """Friction less the slope of the beds: a bed that slopes by a holds tan(atan(mu) - a) along the level (derived)."""
    beds = design.beds
    for key, value in (
        ("friction_no_wire", beds.friction_without_wire),
        ("friction_wet", beds.friction_wet),
        ("friction", beds.friction),
    ):
        left = round(max(math.tan(math.atan(value) - tilt), 0.01), 6)
        basis = design.basis(f"beds.{key}")
        said: Any = left if basis == "stated" else {"value": left, "source": basis}
        document = set_key(document, f"beds.{key}", said)
    return document


def built_design(wall: AsBuilt, steps: Sequence[Step] | None = None, depths: Sequence[float] | None = None) -> Design:
    """The design of the wall with the courses to come on it; without any (None) it is unfinished.

    `depths`: how deep each course is wet [m], in place of the wall's own. What stands has the openings over which a
    ring is closed; those half built lean on their forms (`AsBuilt.half_built`). InputError, UnbuildableError as
    `read_design`.
    """
    document = copy.deepcopy(dict(wall.document))
    if steps is None and "opening" in document:
        kept = [row for index, row in enumerate(document["opening"]) if index in wall.closed_over]
        document = _without_openings(document) | ({"opening": kept} if kept else {})
    return _design_of(wall, document, steps, depths)


def _design_of(
    wall: AsBuilt,
    document: dict[str, Any],
    steps: Sequence[Step] | None = None,
    depths: Sequence[float] | None = None,
) -> Design:
    """The document with the wall as measured, and these courses on it."""
    planned, system = wall.planned.design, wall.planned.design.unit_system
    dome = {key: value for key, value in document["dome"].items() if key != "fixed_compass_pivot"}
    above = steps or ()
    radii = [ring.mean for ring in wall.rings] + [step.radius for step in above]
    tops = [ring.top for ring in wall.rings] + [step.top for step in above]
    dome |= {
        "profile": "measured",
        "measured_from": wall.rings[0].number if wall.rings else 1,
        "inner_radii": [_length(radius, system) for radius in radii],
        "course_tops": [_length(top, system) for top in tops],
    }
    if steps is not None and 2 * radii[-1] >= planned.dome.crown_opening:
        dome["crown_opening"] = _length(2 * radii[-1] + 2e-6, system)
    building = dict(document.get("building", {})) | ({"laid": wall.number} if wall.number >= 1 else {})
    if steps is None:
        building["unfinished"] = True
    if wall.laid_on:
        building["laid_on"] = list(wall.laid_on)
    wet = wall.depths if depths is None else tuple(depths)
    if any(wet):
        building["wetted"] = [_length(depth, system) for depth in wet]
    said = dict(document.get("design", {}))
    if wall.survey.courses:
        said["name"] = f"{planned.name}, as built {wall.survey.on.isoformat()}"[:400]
    document |= {"design": said, "dome": dome, "building": building}
    if wall.tilt > 0.0:
        document = _tilted(document, planned, wall.tilt)
    made = parse_design(document_toml(document), f"{planned.name}, as built")
    return replace(made, unit_system=system)
