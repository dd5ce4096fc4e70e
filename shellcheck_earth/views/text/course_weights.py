"""What courses weigh, part by part, with running sums: the numbers behind the weight on a bed, as they are printed.

A part is worked out from its printed digits, a course is the sum of its parts as printed, and a running sum that of
the courses as printed, from the top down.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Literal

from shellcheck_earth.safety.findings import BedWorking, PartKind, Weighed
from shellcheck_earth.views.text.arithmetic import digits, worked_out
from shellcheck_earth.views.text.below import said_below
from shellcheck_earth.views.text.language import _, mark

__all__ = ["COURSE_FORMULAS", "PARTS", "CourseRow", "CourseTable", "course_rows", "course_tables", "course_total"]

PARTS: Mapping[PartKind, str] = {
    "fill": mark("fill"),
    "soaked fill": mark("soaked fill"),
    "outside plaster": mark("outside plaster"),
    "plaster on the ledge": mark("plaster on the ledge"),
    "inside plaster": mark("inside plaster"),
    "plaster under the step-in": mark("plaster under the step-in"),
    "snow": mark("snow"),
}

COURSE_FORMULAS = mark(
    "Top course first, SI, per radian. A part: W = k gamma h (r_o^2 - r_i^2)/2, M = k gamma h (r_o^3 - r_i^3)/3, k a"
    " factor on the load. Plaster, which is the same in every case, and loads stand in tables of their own: a load of F"
    " at a radius r is W = k F, M = k F r, a thrust of F handed in at a level z is M = k F z. W' and M' are those of a"
    " whole course, its plaster and loads with it; V and M'' are their sums from the top on. Tube and wire are not"
    " weighed."
)

PLASTER = {kind for kind in PARTS if "plaster" in kind}


@dataclass(frozen=True)
class CourseRow:
    """One part of a course as printed: "" where it has no such number.

    force, place  of a load, and its radius; of a thrust that is handed in, and its level
    whole_weight, whole_moment  of the whole course, in its last row; vertical, moments: their sums from the top on
    """

    course: int
    what: str
    factor: str = ""
    unit_weight: str = ""
    height: str = ""
    inner: str = ""
    outer: str = ""
    force: str = ""
    place: str = ""
    weight: str = ""
    moment: str = ""
    whole_weight: str = ""
    whole_moment: str = ""
    vertical: str = ""
    moments: str = ""


@dataclass(frozen=True)
class CourseTable:
    """Courses of one case with one row of factors, down to the lowest bed of it that governs; the loads on them; or
    plaster, which is alike in every case: `case` is "". plastered: whether the case has it."""

    kind: Literal["courses", "loads", "plaster"]
    case: str
    combination: str
    plastered: bool
    rows: tuple[CourseRow, ...]


def _part(course: int, part: tuple[PartKind, float, float, float, float, float]) -> CourseRow:
    kind, *numbers = part
    gamma, factor, height, inner, outer = map(digits, numbers)
    return CourseRow(
        course,
        _(PARTS[kind]),
        factor,
        gamma,
        height,
        inner,
        outer,
        weight=digits(worked_out(f"{factor} x {gamma} x {height} x ({outer}^2 - {inner}^2)/2")),
        moment=digits(worked_out(f"{factor} x {gamma} x {height} x ({outer}^3 - {inner}^3)/3")),
    )


def _loads(one: Weighed) -> Iterator[CourseRow]:
    for force, factor, radius in one.loads:
        f, k, r = (digits(value) for value in (force, factor, radius))
        weight, moment = digits(worked_out(f"{k} x ({f})")), digits(worked_out(f"{k} x ({f}) x {r}"))
        yield CourseRow(one.number, _("load"), factor=k, force=f, place=r, weight=weight, moment=moment)
    for force, factor, level in one.pushes:
        f, k, z = (digits(value) for value in (force, factor, level))
        moment = digits(worked_out(f"{k} x ({f}) x ({z})"))
        yield CourseRow(one.number, _("thrust handed in"), factor=k, force=f, place=z, moment=moment)


def course_rows(one: Weighed) -> list[CourseRow]:
    """A row for each part, then for each load and each thrust handed in."""
    return [*(_part(one.number, part) for part in one.parts), *_loads(one)]


def course_total(one: Weighed) -> tuple[float, float]:
    """(weight [kN], moment [kN m]) of a course: the sums of what is printed of its parts, as printed."""
    rows = course_rows(one)
    return _sum(row.weight for row in rows), _sum(row.moment for row in rows)


def _sum(printed: Iterator[str]) -> float:
    """A sum of printed numbers as it is printed."""
    shown = [one for one in printed if one and float(one)]
    return float(digits(worked_out(" + ".join(f"({one})" for one in shown) or "0")))


def _rows(weighed: Sequence[Weighed]) -> Iterator[CourseRow]:
    """Of every course its parts but plaster; the last of them ends with the sums."""
    totals = [course_total(one) for one in weighed]
    for index, one in enumerate(weighed):
        rows = [_part(one.number, part) for part in one.parts if part[0] not in PLASTER]
        V, M = (digits(_sum(digits(total[k]) for total in totals[: index + 1])) for k in (0, 1))
        weight, moment = map(digits, totals[index])
        yield from rows[:-1]
        yield replace(rows[-1], whole_weight=weight, whole_moment=moment, vertical=V, moments=M)


def _plaster(weighed: Sequence[Weighed]) -> list[CourseRow]:
    return [_part(one.number, part) for one in weighed for part in one.parts if part[0] in PLASTER]


def course_tables(beds: Sequence[BedWorking]) -> tuple[CourseTable, ...]:
    """Of every case and row of factors that govern a check the courses down to the lowest bed that does, and what
    loads them; then plaster, once for every factor on it."""
    longest: dict[tuple[str, str], BedWorking] = {}
    for bed in beds:
        key = bed.case_title, bed.combination
        if key not in longest or len(bed.weighed) > len(longest[key].weighed):
            longest[key] = bed
    tables, plaster = [], dict[str, list[CourseRow]]()
    for (title, combination), bed in longest.items():
        rows, case = _plaster(bed.weighed), said_below(title)
        tables.append(CourseTable("courses", case, combination, bool(rows), tuple(_rows(bed.weighed))))
        if loads := tuple(row for one in bed.weighed for row in _loads(one)):
            tables.append(CourseTable("loads", case, combination, False, loads))
        if rows and len(rows) > len(plaster.get(rows[0].factor, ())):
            plaster[rows[0].factor] = rows
    return (*tables, *(CourseTable("plaster", "", "", True, tuple(rows)) for rows in plaster.values()))
