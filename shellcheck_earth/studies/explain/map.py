"""What width and shape do to a dome: a map over slenderness and pivot, the round dome beside it, and the rule of
thumb tried out.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from functools import partial
from typing import Literal

import numpy as np

from shellcheck_earth.basics.errors import InputError
from shellcheck_earth.basics.parallel import ALONE, Crew
from shellcheck_earth.basics.sums import added
from shellcheck_earth.design.design import Design
from shellcheck_earth.geometry.buildable import check_buildable
from shellcheck_earth.geometry.courses import Dome, build_dome
from shellcheck_earth.loads.cases import dead_cases, ring_weight
from shellcheck_earth.mechanics.rings.admissible import AVAILABLE, Scales, failing_bed, pack
from shellcheck_earth.mechanics.rings.capacity import CONTACT, FRICTION_VALUE, GREATEST_GEOMETRIC_FACTOR, least_capacity
from shellcheck_earth.mechanics.rings.discretise import cut_lune
from shellcheck_earth.mechanics.rings.lune import Floats, Lune
from shellcheck_earth.mechanics.rings.thrust_band import ThrustBand, thrust_band
from shellcheck_earth.safety.shortfalls import meets_all, shortfalls
from shellcheck_earth.studies.explain.ways import silent
from shellcheck_earth.studies.parts import Parts, spread_kept

__all__ = [
    "WIDEST",
    "Cell",
    "DomeMap",
    "Shape",
    "Trial",
    "dome_map",
    "dome_shape",
    "least_meeting",
    "other_shape",
    "thumb_trials",
]

State = Literal["stands", "no line", "not buildable"]

PIVOTS = (-0.35, 0.45)
"""Pivot beyond the inner face, as shares of the inside diameter, between which the map runs; -0.5 would be the round
dome.
"""

WIDTHS = (0.03, 0.16)
"""Wall width as a share of the inside diameter, likewise."""

COLUMNS, ROWS = 27, 17

FIRST_PART = 100
"""Number of the first row among the kept parts of a lesson; before it come the edges of `ways`."""

WIDEST = 0.25
"""Walls up to this share of the inside diameter are tried for the least that meets all that is asked for."""

WIDEST_OPENING = 0.7
"""A round dome with an opening wider than this share of its diameter is a ring wall: none such is shown beside the
dome.
"""

THUMB = (0.10, 0.09, 0.08)
"""The rule of thumb and what practised builders go to (common practice, no source)."""


@dataclass(frozen=True)
class Cell:
    """The finished dry dome at one point of the map. `friction`: needed, with the wire as designed and without any
    (None: no friction is enough); `factor`: geometric factor, likewise (None: no line stays on the beds;
    GREATEST_GEOMETRIC_FACTOR: that or more)."""

    state: State
    state_no_wire: State
    friction: float | None
    friction_no_wire: float | None
    factor: float | None
    factor_no_wire: float | None


NOT_BUILDABLE = Cell("not buildable", "not buildable", None, None, None, None)


@dataclass(frozen=True)
class DomeMap:
    """`widths` (columns) and `pivots` (rows) as shares of the inside diameter, ascending; `cells[row][column]`."""

    widths: tuple[float, ...]
    pivots: tuple[float, ...]
    cells: tuple[tuple[Cell, ...], ...]
    here: tuple[float, float]
    most_friction: float
    least_factor: float

    def grid(self, name: str) -> Floats:
        """One quantity of the cells, shape (rows, columns); nan where it is None."""
        return np.array(
            [[np.nan if getattr(cell, name) is None else getattr(cell, name) for cell in row] for row in self.cells]
        )


@dataclass(frozen=True)
class Shape:
    """Numbers of one dome, finished and dry. Lengths in m, weight of all of it in kN, thrust per radian at the lowest
    bed [kN].
    """

    design: Design
    dome: Dome
    cell: Cell
    band: ThrustBand
    height: float
    courses: int
    opening: float
    weight: float
    tube: float
    largest_step: float
    least_bed: float
    thrust: float | None


@dataclass(frozen=True)
class Trial:
    """One width of the rule of thumb: the finished dry dome, and the first checks that fall short in any counted
    case.
    """

    share: float
    width: float
    cell: Cell
    meets: bool | None
    short: tuple[str, ...]


def _dry(design: Design) -> Lune:
    dome = build_dome(design)
    return cut_lune(dome, dead_cases(dome)[0])


def _factor(share: float | None) -> float | None:
    if share is None:
        return None
    return GREATEST_GEOMETRIC_FACTOR if share <= 1 / GREATEST_GEOMETRIC_FACTOR else 1.0 / share


def cell_of(design: Design) -> Cell:
    """The finished dry dome of a design, or NOT_BUILDABLE."""
    try:
        check_buildable(design)
    except InputError:
        return NOT_BUILDABLE
    rows = pack(_dry(design))
    states: list[State] = []
    numbers: list[float | None] = []
    for base in (AVAILABLE, Scales(wire=0.0)):
        states.append("stands" if failing_bed(rows, base) < 0 else "no line")
        numbers.append(least_capacity(rows, (FRICTION_VALUE,), 1e-6, 1e3, base).value)
        numbers.append(_factor(least_capacity(rows, (CONTACT,), 1 / GREATEST_GEOMETRIC_FACTOR, 1.0, base).value))
    return Cell(states[0], states[1], numbers[0], numbers[2], numbers[1], numbers[3])


def shaped(design: Design, width: float, pivot: float) -> Design:
    """The design with another wall width and pivot distance [m], the inner diameter, course height and fill as they
    are. InputError where no tube is so wide or no pivot so far.
    """
    return replace(
        design,
        wall=replace(design.wall, filled_width=width, flat_width=None),
        dome=replace(design.dome, pivot_beyond_inner_face=pivot),
    )


def _row(design: Design, widths: tuple[float, ...], pivot: float) -> tuple[Cell, ...]:
    D = design.dome.inside_diameter
    cells = []
    for width in widths:
        try:
            cells.append(cell_of(shaped(design, width * D, pivot * D)))
        except InputError:
            cells.append(NOT_BUILDABLE)
    return tuple(cells)


def _places(low: float, high: float, count: int, here: float) -> tuple[float, ...]:
    """Even places that also hold this dome: the range is widened past it, and its nearest place moved onto it."""
    past = 0.15 * (high - low)
    places = np.linspace(low if here > low else here - past, high if here < high - past else here + past, count)
    places[int(np.abs(places - here).argmin())] = here
    return tuple(float(place) for place in places)


def dome_map(
    design: Design,
    told: Callable[[int, int], None] = silent,
    crew: Crew = ALONE,
    parts: Parts | None = None,
) -> DomeMap | None:
    """The map, whose numbers do not depend on who computes them; None unless the profile is pointed: a round dome
    and a measured profile have no fixed-compass pivot to move."""
    if design.dome.profile != "pointed":
        return None
    D = design.dome.inside_diameter
    here = design.wall.filled_width / D, design.dome.pivot_beyond_inner_face / D
    widths, pivots = _places(*WIDTHS, COLUMNS, here[0]), _places(*PIVOTS, ROWS, here[1])
    told(0, len(pivots))
    done = partial(_told, told, len(pivots))
    rows = spread_kept(partial(_row, design, widths), pivots, crew, done, (parts, FIRST_PART, tuple[Cell, ...]))
    required = design.criteria.required
    available = float(_dry(design).friction.max())
    return DomeMap(
        widths, pivots, tuple(rows), here, available / required["bed friction"], required["geometric factor"]
    )


def _told(told: Callable[[int, int], None], of: int, done: int) -> None:
    told(done, of)


def dome_shape(design: Design) -> Shape:
    """The numbers of one buildable dome."""
    dome = build_dome(design)
    case = dead_cases(dome)[0]
    band = thrust_band(cut_lune(dome, case))
    arcs = [course for course in dome.courses if course.kind == "arc"]
    thrust = None
    if band.failing < 0:
        low, high = float(band.H_low[-1]), float(band.H_high[-1])
        thrust = 0.0 if low <= 0.0 <= high else min(low, high, key=abs)
    return Shape(
        design=design,
        dome=dome,
        cell=cell_of(design),
        band=band,
        height=dome.top - dome.floor,
        courses=len(arcs),
        opening=2 * dome.courses[-1].inner_radius,
        weight=added(ring_weight(state) for state in case.states),
        tube=added(course.tube_length for course in dome.courses),
        largest_step=max(abs(course.step_in) for course in dome.courses),
        least_bed=min(course.bed_width for course in dome.courses),
        thrust=thrust,
    )


def _as_round(design: Design, opening: float) -> Design:
    bare = replace(design.dome, inner_radii=(), course_tops=(), measured_from=1)
    work = replace(design.building, laid=None, unfinished=False, laid_on=(), wetted=())  # it is built from the ground
    return replace(design, dome=replace(bare, profile="round", crown_opening=opening), building=work)


def _least_opening(design: Design, good: Callable[[Cell], bool]) -> Design | None:
    """The round dome with the smallest crown opening that is good; tried in steps of a hundredth of the diameter."""
    D = design.dome.inside_diameter
    start = design.dome.crown_opening
    for step in range(100):
        trial = _as_round(design, start + step * D / 100)
        if trial.dome.crown_opening < WIDEST_OPENING * D and good(cell_of(trial)):
            return trial
    return None


def other_shape(design: Design) -> tuple[Design, Design | None] | None:
    """For a round dome the pointed one with its pivot on the outer face, twice; else the round dome of the same
    diameter and tube whose courses still overlap, and the one that also has a thrust line (None: none has), each with
    the smallest crown opening for it. None when no such dome can be built."""
    if design.dome.profile == "round":
        pointed = replace(
            design, dome=replace(design.dome, profile="pointed", pivot_beyond_inner_face=design.wall.filled_width)
        )
        return None if cell_of(pointed).state == "not buildable" else (pointed, pointed)
    overlapping = _least_opening(design, lambda cell: cell.state != "not buildable")
    if overlapping is None:
        return None
    return overlapping, _least_opening(design, lambda cell: cell.state == "stands")


def thumb_trials(design: Design) -> tuple[Trial, ...]:
    """The dome with walls of 10, 9 and 8 % of its inside diameter and as it is, widest first; pivot distance held."""
    D = design.dome.inside_diameter
    shares = sorted({*THUMB, design.wall.filled_width / D}, reverse=True)
    out = []
    for share in shares:
        trial = shaped(design, share * D, design.dome.pivot_beyond_inner_face)
        cell = cell_of(trial)
        if cell.state == "not buildable":
            out.append(Trial(share, share * D, cell, None, ()))
            continue
        short = shortfalls(trial)
        names = dict.fromkeys(one.check for one in short)
        out.append(Trial(share, share * D, cell, not short, tuple(names)))
    return tuple(out)


def least_meeting(design: Design) -> float | None:
    """The least wall width, in half per cents of the inside diameter up to WIDEST, from which on every wider one tried
    meets all that is asked for in the finished dome and every stage, without rain [share]; None where WIDEST does
    not."""
    D = design.dome.inside_diameter
    found = None
    for half_per_cent in range(round(200 * WIDEST), 0, -1):
        share = half_per_cent / 200
        trial = shaped(design, share * D, design.dome.pivot_beyond_inner_face)
        try:
            check_buildable(trial)
        except InputError:
            break
        if not meets_all(trial):
            break
        found = share
    return found
