"""Doors, windows, vents and buttresses against the dome: how they cut the courses, what is refused, and what builders
advise.

Bearings are on plan, clockwise from the entrance. An opening is a shape in elevation, carried straight through the
wall: its half-width at a level is the same at the inner and the outer face. A course is cut by the widest part of the
opening within its height, measured at its inner face, so never by too little.
"""

from __future__ import annotations

import itertools
import math
from dataclasses import dataclass
from typing import Literal

from shellcheck_earth.basics.errors import Problem, UnbuildableError
from shellcheck_earth.basics.sums import added
from shellcheck_earth.basics.units import both
from shellcheck_earth.basics.values import fixed
from shellcheck_earth.design.design import Buttress, Design, Opening
from shellcheck_earth.geometry.bearing_loads import beside_openings
from shellcheck_earth.geometry.courses import Course, Dome
from shellcheck_earth.geometry.heads import carried as carried_by_head
from shellcheck_earth.geometry.ring_loads import course_under

__all__ = [
    "LEAST_JAMB",
    "Advice",
    "Interval",
    "apart",
    "buttress_interval",
    "check_openings",
    "course_cuts",
    "half_width",
    "head_rise",
    "levels",
    "opening_advice",
    "opening_label",
]

Interval = tuple[float, float]
"""From and to on plan [rad], to > from; may pass 2 pi."""

LEAST_JAMB = fixed("openings.least_jamb")
"""Least wall between two openings that can be built at all [m]; proposed: less is no jamb but a gap."""

ADVISED_DOOR, ADVISED_WINDOW, ADVISED_SPACING, ADVISED_JAMB = (
    fixed(f"openings.advised_{what}") for what in ("door", "window", "spacing", "jamb")
)
"""Widths, spacing along the ring and jamb that builders keep to [m]; common practice, no source."""

TINY = 1e-6


def opening_label(design: Design, index: int) -> str:
    """How an opening is called: its kind and its place in the file, counted from 1."""
    return f"{design.openings[index].kind} {index + 1}"


def levels(dome: Dome, opening: Opening) -> tuple[float, float]:
    """Sill and top of the opening [m above the springing]."""
    sill = dome.floor + opening.sill
    return sill, sill + opening.height


def head_rise(opening: Opening) -> float:
    """From where the sides begin to lean to the top [m]: round w/2, pointed w sqrt(3)/2 (both arcs of radius w),
    lintel 0.
    """
    full = {"round": 0.5, "pointed": math.sqrt(3) / 2, "lintel": 0.0}[opening.head] * opening.width
    return min(full, opening.height)


def half_width(dome: Dome, opening: Opening, z: float) -> float:
    """Half the width of the opening at a level [m]; 0 outside it."""
    sill, top = levels(dome, opening)
    if not sill - TINY <= z <= top + TINY:
        return 0.0
    rise = head_rise(opening)
    if z <= top - rise or rise == 0.0:
        return opening.width / 2
    # Where the opening is lower than its head would be, the head is flattened to the height there is.
    full = opening.width * (0.5 if opening.head == "round" else math.sqrt(3) / 2)
    up = (z - (top - rise)) * full / rise
    if opening.head == "round":
        return math.sqrt(max(full * full - up * up, 0.0))
    return max(math.sqrt(max(opening.width**2 - up * up, 0.0)) - opening.width / 2, 0.0)


def _widest(dome: Dome, opening: Opening, course: Course) -> float:
    """Half-width by which a course is cut [m]; 0 when the opening does not reach it."""
    sill, top = levels(dome, opening)
    low, high = max(course.z_bottom, sill), min(course.z_top, top)
    if high - low <= TINY:
        return 0.0
    return half_width(dome, opening, low)


def _interval(bearing: float, half: float, radius: float) -> Interval:
    angle = math.asin(min(half / radius, 1.0))
    start = (bearing - angle) % (2 * math.pi)
    return start, start + 2 * angle


def course_cuts(dome: Dome, course: Course) -> tuple[tuple[int, Interval], ...]:
    """(index of the opening, interval) for every opening that cuts a course."""
    out = []
    for index, opening in enumerate(dome.design.openings):
        half = _widest(dome, opening, course)
        if half > TINY:
            out.append((index, _interval(opening.bearing, half, course.inner_radius)))
    return tuple(out)


def buttress_interval(dome: Dome, buttress: Buttress) -> Interval:
    """Where a buttress stands against the springing course's outer face."""
    return _interval(buttress.bearing, buttress.width / 2, dome.courses[0].outer_radius)


def apart(first: Interval, second: Interval) -> float:
    """Least angle between two intervals [rad]; negative when they overlap."""
    middle_1, middle_2 = (first[0] + first[1]) / 2, (second[0] + second[1]) / 2
    between = abs((middle_1 - middle_2 + math.pi) % (2 * math.pi) - math.pi)
    return between - (first[1] - first[0]) / 2 - (second[1] - second[0]) / 2


def check_openings(dome: Dome, where: str = "design") -> None:
    """UnbuildableError with every opening and buttress that cannot be built, and the number that would work."""
    problems: list[Problem] = []
    openings = range(len(dome.design.openings))
    for index in openings:
        problems += _one(dome, index)
    if not problems:
        problems += _between(dome)
    problems += _buttresses(dome)
    if not problems and not dome.design.building.unfinished:
        problems = _ring_loads(dome) + beside_openings(
            dome, [(opening_label(dome.design, index), _bears_nothing(dome, index)) for index in openings]
        )
    if problems:
        raise UnbuildableError(problems, where)


def _length(design: Design, value: float) -> str:
    return both(value, "length", design.unit_system, 3)


def _degrees(angle: float) -> str:
    return f"{math.degrees(angle):.1f} deg"


def _one(dome: Dome, index: int) -> list[Problem]:
    opening, path = dome.design.openings[index], f"opening[{index + 1}]"
    sill, top = levels(dome, opening)
    if sill < dome.base - TINY:
        return [
            Problem(
                f"{path}.sill",
                f"a sill inside the wall, at least {_length(dome.design, dome.base - dome.floor)}",
                _length(dome.design, opening.sill),
            )
        ]
    room = dome.top - sill
    if top > dome.top + TINY:
        return [
            Problem(
                f"{path}.height",
                f"an opening lower than the dome: at most {_length(dome.design, _highest(dome) - sill)}"
                if _highest(dome) > sill
                else "a sill below the last ring",
                _length(dome.design, opening.height),
                f"the dome ends {_length(dome.design, max(room, 0.0))} above this sill",
            )
        ]
    if _widest(dome, opening, dome.courses[-1]) > TINY or top > _highest(dome) + TINY:
        return [
            Problem(
                f"{path}.height",
                "an opening that leaves the last ring whole: "
                + (
                    f"at most {_length(dome.design, _highest(dome) - sill)}"
                    if _highest(dome) > sill
                    else f"a sill under {_length(dome.design, _highest(dome) - dome.floor)}"
                ),
                _length(dome.design, opening.height),
                "it cuts the crown",
            )
        ]
    for course in dome.courses:
        half = _widest(dome, opening, course)
        # A course cut by more than a third of its circumference is no ring any more.
        limit = course.inner_radius * math.sin(math.pi / 3)
        if half >= limit:
            return [
                Problem(
                    f"{path}.width",
                    f"at most {_length(dome.design, 2 * limit)} at course {course.label}, which has "
                    f"{_length(dome.design, course.inner_radius)} inner radius",
                    _length(dome.design, 2 * half),
                    "it cuts the crown",
                )
            ]
    return []


def _highest(dome: Dome) -> float:
    """Level that an opening may reach: the bottom of the last ring."""
    return dome.courses[-1].z_bottom


def _taken(dome: Dome, index: int) -> dict[int, Interval]:
    """What an opening takes from each course (index): the opening itself, its ring of bags or its lintel."""
    opening, out = dome.design.openings[index], {}
    carried = carried_by_head(dome, opening)
    for number, course in enumerate(dome.courses):
        half = carried.get(number, 0.0) / course.inner_radius
        cut = _widest(dome, opening, course)
        if cut > TINY:
            half = max(half, math.asin(min(cut / course.inner_radius, 1.0)))
        if half > 0.0:
            start = (opening.bearing - half) % (2 * math.pi)
            out[number] = (start, start + 2 * half)
    return out


def _between(dome: Dome) -> list[Problem]:
    """Two openings whose jamb is none, or whose lintels or rings of bags lie in each other or in the other's way."""
    problems = []
    taken = [_taken(dome, index) for index in range(len(dome.design.openings))]
    for first, second in itertools.combinations(range(len(taken)), 2):
        shared = sorted(taken[first].keys() & taken[second].keys())
        gaps = [(apart(taken[first][k], taken[second][k]) * dome.courses[k].inner_radius, k) for k in shared]
        gap, worst = min(gaps, default=(math.inf, 0))
        if gap >= LEAST_JAMB - TINY:
            continue
        needed = max(
            added((end - start) / 2 for start, end in (taken[first][k], taken[second][k]))
            + LEAST_JAMB / dome.courses[k].inner_radius
            for k in shared
        )
        problems.append(_too_near(dome, (first, second), (gap, worst), needed, taken))
    return problems


def _too_near(
    dome: Dome, pair: tuple[int, int], worst: tuple[float, int], needed: float, taken: list[dict[int, Interval]]
) -> Problem:
    """The problem of two openings: the angle between them that fits, and the sill above the other that does."""
    (first, second), (gap, at_course), design = pair, worst, dome.design
    course = dome.courses[at_course]
    names = [opening_label(design, index) for index in pair]
    cuts = dict(course_cuts(dome, course))
    both = first in cuts and second in cuts and apart(cuts[first], cuts[second]) <= max(gap, 0.0)
    overlap = "the openings overlap" if both else "one of them, or what carries it, lies in what carries the other"
    what = overlap if gap <= 0 else f"a jamb of {_length(design, gap)} is no jamb"
    lower, upper = sorted(pair, key=lambda index: design.openings[index].sill)
    above = max(taken[lower]) + 1
    sill = dome.courses[above].z_bottom - dome.floor if above < len(dome.courses) - 1 else None
    text = (
        f"at least {_degrees(math.radians(math.ceil(math.degrees(needed) * 10) / 10))} between the bearings of "
        f"{names[0]} and {names[1]}, which leaves a jamb of {_length(design, LEAST_JAMB)}"
    )
    if needed >= math.pi:
        text = f"no {names[1]} in the same courses as {names[0]}"
    if sill is not None and not both:
        text += f", or a sill of {opening_label(design, upper)} of at least {_length(design, sill)}"
    bearings = [_degrees(design.openings[index].bearing) for index in pair]
    return Problem(
        f"opening[{second + 1}].bearing", text, f"{bearings[1]}, and {bearings[0]} for the other",
        f"{what} at course {course.label}",
    )  # fmt: skip


def _ring_loads(dome: Dome) -> list[Problem]:
    """Loads that are handed into a course all around where an opening, or its ring of bags, leaves no whole course."""
    design, problems = dome.design, []
    for number, load in enumerate(design.ring_loads, 1):
        course = course_under(dome, load.height)
        for index, opening in enumerate(design.openings):
            taken = [k for k in _taken(dome, index) if not _is_lintel(dome, opening, k)]
            if course is None or course.number - dome.courses[0].number not in taken:
                continue
            low, high = dome.courses[min(taken)].z_bottom, dome.courses[max(taken)].z_top
            expected = (
                f"a height off the courses that {opening_label(design, index)} and its head take, from "
                f"{_length(design, low)} to {_length(design, high)}"
            )
            problems.append(Problem(f"ring_load[{number}].height", expected, _length(design, load.height)))
    return problems


def _bears_nothing(dome: Dome, index: int) -> dict[int, Interval]:
    """Where of each course (index) nothing may bear at one bearing: what an opening takes, and over a lintel, which no
    block model bends, the wall as high as half the opening is wide (spread at 45 degrees: common practice, no source).
    """
    opening, out = dome.design.openings[index], _taken(dome, index)
    if opening.head == "lintel":
        top = max(dome.courses[k].z_top for k in out)
        for number, course in enumerate(dome.courses):
            if top - TINY <= course.z_bottom < top + opening.width / 2:
                out[number] = _interval(opening.bearing, opening.width / 2, course.inner_radius)
    return out


def _is_lintel(dome: Dome, opening: Opening, index: int) -> bool:
    """Whether an opening takes nothing of a course but the place of its lintel, which closes the ring."""
    return opening.head == "lintel" and _widest(dome, opening, dome.courses[index]) <= TINY


def _buttresses(dome: Dome) -> list[Problem]:
    problems = []
    for index, buttress in enumerate(dome.design.buttresses):
        path, place = f"buttress[{index}]", buttress_interval(dome, buttress)
        top = dome.ground + buttress.height
        if top > dome.top:
            problems.append(
                Problem(
                    f"{path}.height",
                    f"at most {_length(dome.design, dome.top - dome.ground)}, the dome's own height",
                    _length(dome.design, buttress.height),
                )
            )
        for number, opening in enumerate(dome.design.openings):
            if levels(dome, opening)[0] >= top:
                continue
            outer = dome.courses[0].outer_radius
            gap = apart(place, _interval(opening.bearing, opening.width / 2, outer))
            if gap < 0:
                needed = math.asin(min(buttress.width / 2 / outer, 1.0)) + math.asin(
                    min(opening.width / 2 / outer, 1.0)
                )
                problems.append(
                    Problem(
                        f"{path}.bearing",
                        f"at least {_degrees(needed)} from the bearing of {opening_label(dome.design, number)}, "
                        f"{_degrees(opening.bearing)}",
                        _degrees(buttress.bearing),
                        f"a buttress cannot stand in the {opening.kind}way"
                        if opening.kind == "door"
                        else f"a buttress cannot stand before the {opening.kind}",
                    )
                )
        for other in range(index):
            gap = apart(place, buttress_interval(dome, dome.design.buttresses[other]))
            if gap < 0:
                problems.append(
                    Problem(
                        f"{path}.bearing",
                        f"a place of its own, {_degrees(-gap)} further from buttress {other + 1}",
                        _degrees(buttress.bearing),
                    )
                )
    return problems


@dataclass(frozen=True)
class Advice:
    """A rule of trade that openings leave: how wide one is, or what lies between two [m]. The views say it."""

    kind: Literal["wide", "jamb", "spacing", "opposite"]
    openings: tuple[int, ...]
    found: float = 0.0
    advised: float = 0.0


def opening_advice(dome: Dome) -> tuple[Advice, ...]:
    """Where the openings leave the rules of trade (common practice, no source)."""
    out = []
    for index, opening in enumerate(dome.design.openings):
        most = ADVISED_DOOR if opening.kind == "door" else ADVISED_WINDOW
        if opening.width > most + TINY:
            out.append(Advice("wide", (index,), opening.width, most))
    for first, second in itertools.combinations(range(len(dome.design.openings)), 2):
        out += _pair_advice(dome, first, second)
    return tuple(out)


def _pair_advice(dome: Dome, first: int, second: int) -> list[Advice]:
    gaps = []
    for course in dome.courses:
        cuts = dict(course_cuts(dome, course))
        if first in cuts and second in cuts:
            gaps.append(apart(cuts[first], cuts[second]) * course.inner_radius)
    out = []
    if gaps and min(gaps) < ADVISED_JAMB - TINY:
        out.append(Advice("jamb", (first, second), min(gaps), ADVISED_JAMB))
    elif gaps and min(gaps) < ADVISED_SPACING - TINY:
        out.append(Advice("spacing", (first, second), min(gaps), ADVISED_SPACING))
    turn = dome.design.openings[first].bearing - dome.design.openings[second].bearing
    facing = abs((turn + math.pi) % (2 * math.pi) - math.pi)
    if gaps and facing > math.radians(165):
        out.append(Advice("opposite", (first, second)))
    return out
