"""THE table of checks. A check is a row; margins, yes/no answers, sweeps, weather, proofs and pages all read it here.

A check of a thrust line divides one or more capacities by a common factor: the largest factor that still leaves a line
is the margin, and the criteria say which factor is required. The two checks of the ground ask the state at the base.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass

import numpy as np

from shellcheck_earth.geometry.courses import Dome
from shellcheck_earth.loads.cases import Case
from shellcheck_earth.loads.combinations import carried_factors, factored, ring_rows
from shellcheck_earth.mechanics.rings.admissible import Scales, failing_bed, pack
from shellcheck_earth.mechanics.rings.capacity import (
    CONTACT,
    FRICTION,
    GREATEST_GEOMETRIC_FACTOR,
    HALF_WIDTH,
    STRENGTH,
    WIRE,
    Edge,
    least_capacity,
)
from shellcheck_earth.mechanics.rings.discretise import cut_lune
from shellcheck_earth.mechanics.rings.lune import Floats, Lune

__all__ = [
    "CHECKS",
    "COMBINED",
    "GROUND",
    "LABELS",
    "LINE",
    "RESERVE",
    "WITHOUT_WIRE",
    "Check",
    "Question",
    "check_of",
    "combined_questions",
    "line_questions",
    "plain_questions",
    "reserve_of",
]

WIRE_PATHS = ("beds.wire_strands", "beds.wire_breaking_load", "beds.wire_counted_share")
JOINT = (FRICTION, STRENGTH, WIRE, HALF_WIDTH)
"""What the overall reserve divides together."""


def _nothing(lune: Lune, bed: int) -> float | None:
    del lune, bed
    return None


def _column(name: str) -> Callable[[Lune, int], float | None]:
    def at(lune: Lune, bed: int) -> float | None:
        """The capacity at the governing bed; the least one when no bed governs."""
        values = getattr(lune, name)
        return float(values[bed]) if bed >= 0 else float(values.min())

    return at


def _most_wire(lune: Lune, bed: int) -> float | None:
    del bed
    return float(lune.wire.max())


def _friction_paths(dome: Dome, case: Case) -> tuple[str, ...]:
    del dome
    return ("beds.friction", *(("beds.friction_wet",) if case.wetting != "none" else ()))


def _strength_paths(dome: Dome, case: Case) -> tuple[str, ...]:
    """The strength that the weakest course of the case has."""
    worst = min(case.states, key=lambda state: state.strength)
    fill = dome.design.fill
    if worst.strength == fill.strength_dry:
        return ("fill.strength_dry",)
    return ("fill.strength_wet",) if worst.strength == fill.strength_wet else ("fill.strength_as_placed",)


def _own(dome: Dome, case: Case) -> tuple[str, ...]:
    return (*_friction_paths(dome, case), *WIRE_PATHS, *_strength_paths(dome, case), "wall.filled_width")


@dataclass(frozen=True)
class Check:
    """key        name in tables and files
    slots      positions in `Scales` that are divided together; () for the ground
    low, high  range of the common share that is searched
    capacity   available value shown beside the demand, at the governing bed
    inputs     paths of the design file that it rests on
    building   name of its criterion, and of itself, while building, where that differs
    """

    key: str
    unit: str
    slots: tuple[int, ...]
    low: float
    high: float
    capacity: Callable[[Lune, int], float | None]
    inputs: Callable[[Dome, Case], tuple[str, ...]]
    building: str = ""

    def label(self, case: Case) -> str:
        """Under which name it is reported and its required factor found."""
        return self.building if self.building and case.building else self.key

    def scales(self, share: float) -> Scales:
        """All capacities of the check at this share, the others as they are."""
        return Scales(**{_SLOTS[slot]: share for slot in self.slots})


_SLOTS = tuple(Scales.__dataclass_fields__)
"""The capacities by their positions."""


def _ground_paths(name: str) -> Callable[[Dome, Case], tuple[str, ...]]:
    return lambda _dome, case: (f"site.{name}", *((f"site.{name}_wet",) if case.wetting != "none" else ()))


LINE = (
    Check("bed friction", "", (FRICTION,), 1e-6, 1e4, _column("friction"),
          lambda dome, case: (*_friction_paths(dome, case), *WIRE_PATHS)),
    Check("geometric factor", "", (CONTACT,), 1 / GREATEST_GEOMETRIC_FACTOR, 1.0, _nothing,
          lambda _dome, _case: ("wall.filled_width", "wall.edge_rounding")),
    Check("strength", "kPa", (STRENGTH,), 1e-6, 1e6, _column("crush_inner"), _strength_paths,
          "strength while building"),
    Check("wire tension", "kN", (WIRE,), 1e-6, 1e5, _most_wire, lambda _dome, _case: (*WIRE_PATHS, "beds.friction")),
    Check("overall reserve", "", JOINT, 1e-3, 1e3, _nothing, _own),
)  # fmt: skip
"""Checks that divide capacities of the whole dome, in the order of the report."""

RESERVE = LINE[-1]
COMBINED = Check("combined factors", "", (FRICTION, STRENGTH, WIRE), 1e-3, 1e3, _nothing, _own)
WITHOUT_WIRE = Check("standing without wire", "", JOINT, 1e-3, 1e3, _nothing, _own)
GROUND = (
    Check("base sliding", "", (), 0.0, 0.0, _nothing, _ground_paths("ground_friction")),
    Check("ground bearing", "kPa", (), 0.0, 0.0, _nothing, _ground_paths("ground_bearing")),
)
CHECKS = (*LINE, COMBINED, WITHOUT_WIRE, *GROUND)
"""Every check once."""

LABELS = tuple(label for check in CHECKS for label in (check.key, check.building) if label)
"""Every name under which a margin may be reported, in the order of the report."""


def check_of(label: str) -> Check:
    """The row that is reported under this name; KeyError if there is none."""
    for check in CHECKS:
        if label in (check.key, check.building):
            return check
    raise KeyError(label)


@dataclass(frozen=True)
class Question:
    """One check of one case, ready to be asked: the lune with the loads and capacities it is asked at."""

    check: Check
    label: str
    required: float
    lune: Lune
    combination: str = ""

    @property
    def rows(self) -> Floats:
        return pack(self.lune)

    @property
    def scales(self) -> Scales:
        """The capacities at which a line must still exist for the check to be met."""
        return self.check.scales(1.0 / self.required)

    def edge(self) -> Edge:
        """The least share of the capacities that leaves a line: factor = 1/share."""
        return least_capacity(self.rows, self.check.slots, self.check.low, self.check.high)

    def failing(self) -> int:
        """The bed that fails at the required factor, or -1 where the check is met."""
        return failing_bed(self.rows, self.scales)


def line_questions(dome: Dome, case: Case, lune: Lune | None = None) -> Iterator[Question]:
    """Every check of thrust lines that a case is asked; `lune` saves cutting it if it is there already."""
    lune = cut_lune(dome, case) if lune is None else lune
    yield from plain_questions(dome, case, lune)
    yield from combined_questions(dome, case, lune)


def plain_questions(dome: Dome, case: Case, lune: Lune) -> Iterator[Question]:
    """Those that are asked with the loads as they are."""
    required = dome.design.criteria.required
    if case.only:
        check = check_of(case.only)
        yield Question(check, check.key, required[check.key], lune)
        return
    for check in LINE:
        label = check.label(case)
        yield Question(check, label, required[label], lune)


def combined_questions(dome: Dome, case: Case, lune: Lune) -> Iterator[Question]:
    """Those with factors on loads and capacities at once."""
    if case.only:
        return
    tested = dome.design.strengths_tested(building=case.building)
    for combination, imposed in ring_rows(dome.design, case):
        factor = combination.strength_factor(building=case.building, tested=tested)
        carried = carried_factors(dome.design.criteria)
        weight, moment, push = factored(case, combination.permanent, imposed, carried)
        loads = np.array(weight[::-1]), np.array(moment[::-1]), np.array(push[::-1])
        divided = lune.divided(combination.friction, combination.cohesion, factor, combination.wire, loads)
        yield Question(COMBINED, COMBINED.key, 1.0, divided, combination.name)


def reserve_of(lune: Lune) -> float | None:
    """Overall reserve: what all capacities may be divided by together. 0: no line at all; None: not established."""
    edge = least_capacity(pack(lune), RESERVE.slots, RESERVE.low, RESERVE.high)
    if edge.value is None:
        return 0.0 if edge.closed else None
    return 1.0 / max(edge.value, RESERVE.low)
