"""The courses of a design's wall, where every one of them lies, in whole numbers of 2^-40 m.

Part of the checker: standard library only, no code shared with the solver. STATEMENT.md, section 3, equation (1).
"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from math import floor, isqrt

from shellcheck_earth.mechanics.proof.moisture import Fill
from shellcheck_earth.mechanics.proof.reading import Design, RefusedError

__all__ = ["NEAR", "UNIT", "Course", "courses_of", "grid"]

UNIT = 1 << 40
NEAR = 1100  # 1e-9 m: planes closer than that are one plane
MOST_COURSES = 300


@dataclass(frozen=True)
class Course:
    number: int
    z_bottom: int
    z_top: int
    inner: int
    outer: int
    bed_inner: int
    bed_outer: int
    fill: Fill
    buried: bool

    @property
    def width(self) -> int:
        return self.outer - self.inner

    @property
    def height(self) -> int:
        return self.z_top - self.z_bottom


def grid(value: Fraction) -> int:
    """The nearest whole number of 2^-40."""
    return floor(value * UNIT + Fraction(1, 2))


def _root(square: Fraction) -> Fraction:
    return Fraction(isqrt(floor(square * (1 << 200))), 1 << 100)


def courses_of(d: Design) -> tuple[Course, ...]:
    """The courses of the wall, lowest first; RefusedError where they cannot be laid so."""
    width, rounding, h = grid(d["wall.filled_width"]), grid(d["wall.edge_rounding"]), d["wall.course_height"]
    height, half = 2 * grid(h / 2), grid(d["dome.inside_diameter"] / 2)
    stems = d["dome.springing_above_floor"] / h
    stem, buried = floor(stems + Fraction(1, 2)), int(d["wall.buried_courses"])
    if abs(stems - stem) > max(stems, Fraction(1)) / 10**6:
        raise RefusedError("dome.springing_above_floor: expected a whole number of courses")
    if d["dome.crown_opening"] >= d["dome.inside_diameter"] or width <= 2 * rounding or height <= 0:
        raise RefusedError("design: expected a crown opening under the diameter and beds of some width")
    radii, tops = [half] * (stem + buried) + _arc(d), dict[int, int]()
    if d["dome.profile"] == "measured":
        first = int(d["dome.measured_from"])
        if first < 1 - stem - buried:
            raise RefusedError("dome.measured_from: expected a course there is")
        radii = [half] * (first + stem + buried - 1) + [grid(radius) for radius in d["dome.inner_radii"]]
        tops = {first + at: grid(top) for at, top in enumerate(d["dome.course_tops"])}
    if len(radii) <= stem + buried or len(radii) - stem - buried > MOST_COURSES:
        raise RefusedError(f"wall.course_height: expected 1 to {MOST_COURSES} courses above the springing")
    out = []
    for index, inner in enumerate(radii):
        number, under = index - stem - buried + 1, radii[max(index - 1, 0)]
        if abs(inner - under) >= width - 2 * rounding or inner <= 0:
            raise RefusedError("wall.course_height: expected courses that overlap")
        fill = next((one for low, high, one in d.fills[1:] if low <= number <= high), d.fills[0][2])
        ends = max(inner, under) + rounding, min(inner, under) + width - rounding
        z = tops.get(number - 1, (number - 1) * height)
        top = tops.get(number, number * height)
        if tops and not UNIT // 50 <= top - z <= UNIT:
            raise RefusedError("dome.course_tops: expected courses from 20 mm to 1 m high")
        out.append(Course(number, z, top, inner, inner + width, *ends, fill, index < buried))
    return _whole(d, tuple(out))


def _whole(d: Design, courses: tuple[Course, ...]) -> tuple[Course, ...]:
    """The courses, unless they stop where one more would fit, or the work has come further than they go."""
    laid, top = d["building.laid"], courses[-1]
    if laid is not None and laid > top.number:
        raise RefusedError("building.laid: expected the number of a course")
    if max(len(d["building.laid_on"]), len(d["building.wetted"])) > len(courses):
        raise RefusedError("building: expected lists with at most one value a course")
    if len(d["building.laid_on"]) > (laid or 0) - courses[0].number + 1:
        raise RefusedError("building.laid_on: expected days of courses that stand")
    if d["building.unfinished"]:
        if laid != top.number:
            raise RefusedError("building.laid: expected the top course of an unfinished dome")
    elif d["dome.profile"] == "measured":
        radii = [course.inner for course in courses]
        radii = [radii[0]] * max(3 - len(radii), 0) + radii
        step, before = max(radii[-2] - radii[-1], 0), max(radii[-3] - radii[-2], 0)
        if top.inner - step - 2 * max(step - before, 0) >= grid(d["dome.crown_opening"] / 2):
            raise RefusedError("dome.inner_radii: expected courses up to the crown opening")
    return courses


def _arc(d: Design) -> list[int]:
    """Inner radii of the courses above the springing that a compass draws, lowest first; equation (1)."""
    if d["dome.profile"] == "measured":
        return []
    h, diameter = d["wall.course_height"], d["dome.inside_diameter"]
    a = Fraction(0) if d["dome.profile"] == "round" else diameter / 2 + d["pivot"]
    length = diameter / 2 + a
    if a < 0 or (a == 0 and d["dome.profile"] != "round"):
        raise RefusedError("dome.fixed_compass_pivot: expected a pivot past the axis")
    reach = a + d["dome.crown_opening"] / 2
    count = floor(_root(length**2 - reach**2) / h + Fraction(1, 2) + Fraction(1, 10**9))
    if count > MOST_COURSES:
        raise RefusedError(f"wall.course_height: expected at most {MOST_COURSES} courses")
    return [grid(_root(length**2 - (h * (2 * i + 1) / 2) ** 2) - a) for i in range(count)]
