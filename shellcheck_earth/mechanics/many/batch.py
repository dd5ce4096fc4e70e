"""Very many domes of one design: its courses, cases and questions as arrays, and the loop over sampled domes.

The design's own courses stand for all: the sampled domes differ in radii, width and wire, in the weight, strength and
friction of each of their fills and in the friction that is left without the wire; not in the number of courses, in
plaster or in loads. Only the dead-load cases are asked.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from types import MappingProxyType

import numpy as np
from numpy.typing import NDArray

from shellcheck_earth.basics.errors import UndecidedError
from shellcheck_earth.basics.kept import compiled
from shellcheck_earth.design.design import Design
from shellcheck_earth.geometry.courses import Dome
from shellcheck_earth.geometry.earth import soaked_by_the_ground
from shellcheck_earth.loads.cases import NEAR, WORKER_ARC, Case, MoistureState, plastered_heights
from shellcheck_earth.mechanics.many.kernel import CHECK_COUNT, ONLY, ask_dome
from shellcheck_earth.mechanics.many.lunes import BASE, FRESH, OF_A_FILL, PLACED, SATURATED, SERVICE
from shellcheck_earth.mechanics.rings.admissible import AVAILABLE, CHORDS, Scales, failing_bed, pack, room
from shellcheck_earth.mechanics.rings.discretise import cut_lune
from shellcheck_earth.mechanics.rings.lune import Floats, Lune
from shellcheck_earth.mechanics.rings.programme import line

__all__ = [
    "STATE",
    "Answers",
    "Plan",
    "ask_domes",
    "asking_order",
    "can_sample",
    "make_plan",
]

Counts = NDArray[np.int64]

STATE = (
    "gamma_service",
    "gamma_placed",
    "gamma_saturated",
    "strength_service",
    "strength_placed",
    "strength_saturated",
    "strength_fresh",
    "friction_service",
    "friction_placed",
    "friction_saturated",
    "cohesion_service",
    "cohesion_placed",
    "cohesion_saturated",
    "wire",
    "width",
    "friction_bare",
)
"""Columns that describe a sampled dome besides its radii: kN/m3, kPa, -, kPa, kN, m, -. The first OF_A_FILL are of the
wall's own fill, and follow again behind the last for each group of courses.
"""

MATERIALS: Mapping[MoistureState, int] = MappingProxyType(
    {"service": SERVICE, "placed": PLACED, "saturated": SATURATED, "base saturated": BASE}
)
"""Of the finished dome; of a stage it is FRESH."""

TIGHTER = 1.03
"""Profiles are taken where the common share of the capacities is this many times the least that leaves a line."""


@dataclass(frozen=True)
class Plan:
    """One design ready to be sampled. n courses lowest first, m cases in the order of `asking_order`.

    courses (n, 9), shape (13,): see `lunes.fill_rows` and `lunes.SHAPE`. cases (m, 5): top course, set, crew, wet
    ground, asked without its wire alone. sets (k, 4): material, plastered, snow, bare. asked (m, 5, 8): scales of the
    five checks that are questions to the exact set; of a case without its wire all are those of that one check.
    profiles (m, p, n, 3): ring and wire force and thrust over V, top first, along which a line is sought first.
    case_ids, numbers: names of the cases, numbers of the courses.
    """

    courses: Floats
    shape: Floats
    cases: Counts
    sets: Counts
    asked: Floats
    profiles: Floats
    case_ids: tuple[str, ...]
    numbers: tuple[int, ...]

    @property
    def without_wire(self) -> bool:
        """Whether any case asks if the dome stands without its wire."""
        return bool(self.cases[:, ONLY].any())


@dataclass(frozen=True)
class Answers:
    """Of N domes: `buildable` (N,); `short_case`, `short_course` (N, 8): first case (index) and course number in which
    each check falls short, case -1 where it never does; `no_line_case`, `no_line_course` (N,) likewise."""

    buildable: NDArray[np.bool_]
    short_case: NDArray[np.int16]
    short_course: NDArray[np.int16]
    no_line_case: NDArray[np.int16]
    no_line_course: NDArray[np.int16]

    @property
    def no_line(self) -> NDArray[np.bool_]:
        return self.no_line_case >= 0

    @property
    def short(self) -> NDArray[np.bool_]:
        """Some counted margin of a dome that can be built falls short; (N,)."""
        return np.asarray((self.short_case >= 0).any(axis=1))


def can_sample(case: Case) -> bool:
    """Whether sampled domes know this case: every course of one moisture throughout, nothing handed in, and asked
    everything or only whether it stands without its wire."""
    if case.carries or (case.only and case.wire):
        return False
    if case.kind != "finished":
        return case.kind == "stage" and case.moisture == "placed"
    return case.moisture in MATERIALS


def _set(case: Case) -> tuple[int, int, int, int]:
    """Material, plastered, snow, bare. ValueError for a case that sampled domes do not know."""
    if not can_sample(case):
        raise ValueError(f"case {case.id} is none that sampled domes know")
    material = FRESH if case.building else MATERIALS[case.moisture]
    return material, int(case.plastered), int(case.snow), int(not case.wire)


def asking_order(case: Case) -> tuple[bool, bool, int, bool]:
    """Sorts what is asked one check alone first, then the finished dome, then the stages of building from the last one
    back, with the crew before bare."""
    return not case.only, case.building, -case.stage, not case.crew


def make_plan(
    dome: Dome,
    cases: Sequence[Case],
    questions: Callable[[Case], Sequence[Scales]],
    slide_required: float,
    bearing_required: float,
) -> Plan:
    """The plan of a design for its counted dead-load cases; `questions` gives the five scales of a case, in the order
    of the checks. ValueError for a case of another kind."""
    # What mostly falls short first: whatever is known to be short need not be asked of the cases that follow.
    ordered = sorted(cases, key=asking_order)
    kinds = [_set(case) for case in ordered]
    sets = sorted(set(kinds))
    lowest = dome.courses[0].number
    table = [
        (case.stage - lowest, sets.index(kind), case.crew, case.wetting != "none", bool(case.only))
        for case, kind in zip(ordered, kinds, strict=True)
    ]
    asked = [[scales.as_array() for scales in questions(case)] for case in ordered]
    courses = [
        (
            c.z_bottom,
            c.z_top,
            float(c.has_wire),
            *plastered_heights(dome, c),
            float(c.kind == "buried"),
            float(c.z_bottom > dome.floor + NEAR),
            float(_fill_begins(dome.design, c.number)),
            float(soaked_by_the_ground(dome, c)),
        )
        for c in dome.courses
    ]
    beds = dome.design.beds
    shape = (
        dome.design.wall.edge_rounding,
        -1.0 if beds.wire_bond is None else beds.wire_strands * beds.wire_bond,
        dome.design.plaster.outside,
        dome.design.plaster.inside,
        dome.design.plaster.unit_weight,
        dome.design.site.snow,
        dome.design.building.worker / WORKER_ARC,
        dome.design.site.ground_friction,
        dome.design.site.ground_bearing,
        slide_required,
        bearing_required,
        dome.design.site.ground_friction_wet,
        dome.design.site.ground_bearing_wet,
    )
    n = len(dome.courses)
    profiles = np.stack([_profiles(cut_lune(dome, case), rows, n) for case, rows in zip(ordered, asked, strict=True)])
    return Plan(
        np.array(courses),
        np.array(shape, dtype=np.float64),
        np.array(table, dtype=np.int64),
        np.array(sets, dtype=np.int64),
        np.array(asked),
        profiles,
        tuple(case.id for case in ordered),
        tuple(c.number for c in dome.courses),
    )


def _fill_begins(design: Design, number: int) -> int:
    """The column of a state at which the fill of a course begins."""
    group = next((k for k, one in enumerate(design.groups) if one.holds(number)), None)
    return 0 if group is None else len(STATE) + OF_A_FILL * group


def _profiles(lune: Lune, asked: Sequence[Floats], n: int) -> Floats:
    """Ring, wire and thrust over V in the design's own tightest lines, shape (2, n, 3): in the middle of the beds, and
    at what all checks ask for together; zeros after a case's own beds and where no line was found.

    They only save time: an answer never depends on which profiles are tried.
    """
    together = np.minimum.reduce([AVAILABLE.as_array(), *asked])
    out = np.zeros((2, n, 3))
    for row, wanted in zip(out, (Scales(contact=0.05).as_array(), together), strict=True):
        found = _tightest(lune, wanted)
        if found is not None:
            row[: lune.size] = found
    return out


def _tightest(lune: Lune, wanted: Floats) -> Floats | None:
    """Ring force, wire force and thrust over V, (n, 3), of a line at nearly the least common share of the wanted
    capacities.
    """
    rows = pack(lune)

    def shared(share: float) -> Scales:
        return Scales(*(float(v) for v in wanted[:5] * share))

    low, high = 1e-3, 1e3
    if failing_bed(rows, shared(high)) >= 0:
        return None
    for _ in range(24):
        middle = float(np.sqrt(low * high))
        low, high = (middle, high) if failing_bed(rows, shared(middle)) >= 0 else (low, middle)
    try:
        found = line(lune, "any", shared(high * TIGHTER))
    except UndecidedError:
        return None
    return None if found is None else np.column_stack([found.ring, found.wire, found.H]) / lune.vertical[:, None]


@compiled(nogil=True)
def _ask_all(  # type: ignore[no-untyped-def]
    radii,
    states,
    courses,
    shape,
    cases,
    sets,
    asked,
    available,
    chords,
    profiles,
    buildable,
    short_case,
    short_bed,
    gone,
):
    """Every dome in turn; buffers are made once."""
    n = radii.shape[1]
    wholes = np.zeros((len(sets), n, 19))
    rows = np.zeros((n, 18))
    keep_x = np.empty((n, room(n)))
    keep_y = np.empty((n, room(n)))
    keep_n = np.zeros(n, dtype=np.int64)
    nothing = np.empty((0, 0))
    no_count = np.empty(0, dtype=np.int64)
    for d in range(len(radii)):
        buildable[d] = ask_dome(
            radii[d],
            states[d],
            courses,
            shape,
            cases,
            sets,
            asked,
            available,
            chords,
            profiles,
            wholes,
            rows,
            keep_x,
            keep_y,
            keep_n,
            nothing,
            no_count,
            short_case[d],
            short_bed[d],
            gone[d],
        )


def ask_domes(plan: Plan, radii: Floats, states: Floats) -> Answers:
    """The answers of N domes: radii (N, n) [m] lowest course first, states (N, 16 + 13 g) with the columns of
    STATE and of the g groups behind them."""
    count = len(radii)
    buildable = np.zeros(count, dtype=np.bool_)
    short_case = np.empty((count, CHECK_COUNT), dtype=np.int64)
    short_bed = np.empty((count, CHECK_COUNT), dtype=np.int64)
    gone = np.empty((count, 2), dtype=np.int64)
    _ask_all(
        np.ascontiguousarray(radii),
        np.ascontiguousarray(states),
        plan.courses,
        plan.shape,
        plan.cases,
        plan.sets,
        plan.asked,
        AVAILABLE.as_array(),
        CHORDS,
        plan.profiles,
        buildable,
        short_case,
        short_bed,
        gone,
    )
    tops = plan.cases[:, 0]
    lowest = plan.numbers[0]
    short_course = np.where(short_case >= 0, lowest + tops[short_case] - short_bed, 0)
    gone_course = np.where(gone[:, 0] >= 0, lowest + tops[gone[:, 0]] - gone[:, 1], 0)
    return Answers(
        buildable,
        short_case.astype(np.int16),
        short_course.astype(np.int16),
        gone[:, 0].astype(np.int16),
        gone_course.astype(np.int16),
    )
