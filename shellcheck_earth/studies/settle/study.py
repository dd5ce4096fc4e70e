"""How far each movement may go before the first margin of the finished dome falls short, and before no line is left.

Only what is asked of the ring-symmetric finished dome, in every counted state; no proofs are made: a study, never a
verdict. Each movement is stepped from nothing up, never skipped over, so that the first amount that falls short is
found even where a larger one does not; between two steps by halving.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace

import numpy as np

from shellcheck_earth.basics.errors import InputError, Problem
from shellcheck_earth.basics.progress import Progress, quiet
from shellcheck_earth.basics.units import both
from shellcheck_earth.design.design import Design
from shellcheck_earth.geometry.courses import Dome, build_dome
from shellcheck_earth.loads.cases import Case
from shellcheck_earth.loads.model import Model, build_model
from shellcheck_earth.loads.ring_loads import refuse_ring_loads
from shellcheck_earth.mechanics.rings.admissible import AVAILABLE, holds, pack
from shellcheck_earth.mechanics.rings.capacity import base_state
from shellcheck_earth.mechanics.rings.discretise import cut_lune
from shellcheck_earth.mechanics.rings.lune import Lune
from shellcheck_earth.safety.checks import GROUND, combined_questions, plain_questions, reserve_of
from shellcheck_earth.safety.ground import ground_demand, ground_of
from shellcheck_earth.safety.together import all_hold, ground_limit
from shellcheck_earth.studies.settle.lean import MOST_LEAN, Lean, lean_of_base, leaning
from shellcheck_earth.studies.settle.moved import Movement, lunes_after
from shellcheck_earth.studies.settle.soaked import Soaked, soaked_sector

__all__ = ["KINDS", "NO_HEIGHT", "Reached", "Settling", "Short", "refuse_lean", "settle_design"]

STEPS, HALVINGS = 40, 12
"""Amounts asked from nothing to the most that is looked at, and halvings of the step in which the answer changes."""

MOST_STRAIN, MOST_SPREAD, MOST_TILT, LEAST_SHARE = 0.2, 0.2, math.radians(15.0), 0.02
"""Where the looking ends: mean shortening, way over the mean radius of the base, slope of a bed, share of strength."""


@dataclass(frozen=True)
class Short:
    """What falls short first: check, case, course (None: the whole)."""

    check: str
    case_id: str
    course: int | None


@dataclass(frozen=True)
class Reached:
    """How far one movement may go. Amounts in SI; rings are counted.

    meets_to   largest amount up to which every margin is met; None: not even unmoved; `most` where none falls short
    stands_to  the same for "some line is left with capacities as designed"
    first      what falls short just past `meets_to`; None where nothing does
    curve      (amount, least overall reserve of any counted state; None where it could not be established)
    """

    kind: str
    most: float
    meets_to: float | None
    stands_to: float | None
    first: Short | None
    curve: tuple[tuple[float, float | None], ...]


@dataclass(frozen=True)
class Settling:
    """What was stated and what was found.

    stress           mean stress of the lowest bed [kPa]; mean_stress: of all courses, by height
    height, rings    of the courses above the ground they stand on [m]; how many
    lean             what a base that leans leaves, of the blocks and by itself; None where no lean was stated
    soaked           what a soaked sector leaves, likewise
    together         what falls short with all that was stated at once; None where nothing does
    stands_together  whether some line is then left in every counted state
    """

    design: Design
    stated: Movement
    stress: float
    mean_stress: float
    height: float
    rings: int
    reached: tuple[Reached, ...]
    together: Short | None
    stands_together: bool
    lean: Lean | None = None
    soaked: Soaked | None = None


@dataclass(frozen=True)
class _Wall:
    dome: Dome
    cases: tuple[tuple[Case, Lune], ...]

    @property
    def plain(self) -> Lune:
        return self.cases[0][1]

    @property
    def mean_stress(self) -> float:
        """What shortens the wall by the same as if it stood on every course [kPa]: the mean over its height."""
        lune = self.plain
        area = (lune.bed_outer**2 - lune.bed_inner**2) / 2
        heights = lune.z_top - lune.z_bottom
        return float((lune.vertical / area * heights).sum() / heights.sum())


KINDS = ("shortening", "opened rings", "spread", "spread, no wire", "beds askew", "lasting load")
"""Amounts: mean shortening [-], rings, way of the base [m] twice, slope [rad], share of the strength lost [-]."""

COUNTED = ("opened rings",)
"""Of these there are only whole amounts."""


def _most(wall: _Wall, kind: str) -> float:
    """How much of a movement is looked at."""
    base = float(wall.plain.bed_inner[-1] + wall.plain.bed_outer[-1]) / 2
    spread = MOST_SPREAD * base
    most = (MOST_STRAIN, float(wall.plain.size - 1), spread, spread, MOST_TILT, 1.0 - LEAST_SHARE)
    return most[KINDS.index(kind)]


def _movement(wall: _Wall, kind: str, amount: float) -> Movement:
    """What an amount of a movement is."""
    if kind == "shortening":
        return Movement(compliance=amount / wall.mean_stress)
    if kind == "opened rings":
        return Movement(opened=round(amount))
    if kind == "beds askew":
        return Movement(bed_tilt=amount)
    if kind == "lasting load":
        return Movement(sustained=1.0 - amount)
    return Movement(spread=amount, wire=kind == "spread")


def _wall(model: Model) -> _Wall:
    finished = [case for case in model.counted if case.kind == "finished"]
    return _Wall(model.dome, tuple((case, cut_lune(model.dome, case)) for case in finished))


def _short(dome: Dome, case: Case, own: Lune, moved: Lune) -> Short | None:
    """The first check of a moved lune that falls short. Factored loads lie where the movement has taken them."""
    required = dome.design.criteria.required
    plain = tuple(plain_questions(dome, case, moved))
    sliding, bearing = (required[check.key] for check in GROUND)
    ground = None if case.only else ground_limit(dome, case, moved, sliding, bearing)
    combined = []
    for one in combined_questions(dome, case, moved):
        shift = (moved.moment - own.moment) / own.weight
        combined.append(replace(one, lune=replace(one.lune, moment=one.lune.moment + one.lune.weight * shift)))
    met = all_hold(moved, [question.scales for question in plain], ground)
    for question in (*(() if met else plain), *combined):
        if (bed := question.failing()) >= 0:
            return Short(question.label, case.id, int(moved.number[bed]))
    if met or case.only:
        return None
    base, lowest = base_state(pack(moved)), int(moved.number[-1])
    if base is None:
        return Short(GROUND[0].key, case.id, lowest)
    asked, has = ground_demand(moved, base), ground_of(dome, case)
    if asked.friction * sliding > has.friction:
        return Short(GROUND[0].key, case.id, lowest)
    return Short(GROUND[1].key, case.id, lowest) if asked.edge_stress * bearing > has.bearing else None


NO_HEIGHT = "no height left"
"""Where a course has no height left, or no part of the dome is high enough to spread that far."""


def _after(lune: Lune, movement: Movement) -> Iterator[Lune]:
    """As `lunes_after`; none where a course would have no height left."""
    try:
        yield from lunes_after(lune, movement)
    except ValueError:
        return


def _first_short(wall: _Wall, movement: Movement) -> Short | None:
    """What falls short first: of each case the fall of the movement that leaves it the most is enough."""
    for case, lune in wall.cases:
        found: Short | None = Short(NO_HEIGHT, case.id, None)
        for moved in _after(lune, movement):
            found = _short(wall.dome, case, lune, moved)
            if found is None:
                break
        if found is not None:
            return found
    return None


def _stands(wall: _Wall, movement: Movement) -> bool:
    """Whether every counted state keeps some line with its capacities as designed."""
    scales = AVAILABLE.as_array()
    return all(
        any(holds(moved.rows, scales) for moved in _after(lune, movement)) for case, lune in wall.cases if not case.only
    )


def _reserve(wall: _Wall, movement: Movement) -> float | None:
    least = math.inf
    for case, lune in wall.cases:
        if case.only:
            continue
        found = [reserve_of(moved) for moved in _after(lune, movement)]
        known = [one for one in found if one is not None]
        if len(known) < len(found) and not known:
            return None
        least = min(least, max(known, default=0.0))
    return least


def _largest(amounts: list[float], whole: bool, holds_at: Callable[[float], bool]) -> float | None:
    """The largest amount up to which every amount asked holds; None where the first, nothing at all, does not."""
    before: float | None = None
    for amount in amounts:
        if not holds_at(amount):
            if before is None or whole:
                return before
            low, high = before, amount
            for _ in range(HALVINGS):
                middle = (low + high) / 2
                low, high = (middle, high) if holds_at(middle) else (low, middle)
            return low
        before = amount
    return before


def _reached(wall: _Wall, kind: str) -> Reached:
    most, whole = _most(wall, kind), kind in COUNTED
    count = round(most) if whole else STEPS
    amounts = [most * k / count for k in range(count + 1)]
    meets_to = _largest(amounts, whole, lambda a: _first_short(wall, _movement(wall, kind, a)) is None)
    stands_to = _largest(amounts, whole, lambda a: _stands(wall, _movement(wall, kind, a)))
    step = 1.0 if whole else most / STEPS / 2**HALVINGS
    past = 0.0 if meets_to is None else min(meets_to + step, most)
    first = None if meets_to == most else _first_short(wall, _movement(wall, kind, past))
    shown = amounts if whole else amounts[::2]
    curve = tuple((amount, _reserve(wall, _movement(wall, kind, amount))) for amount in shown)
    return Reached(kind, most, meets_to, stands_to, first, curve)


def refuse_lean(design: Design, sunk: float) -> None:
    """InputError where one side of the base is said to have sunk further than a lean of `MOST_LEAN`."""
    dome = build_dome(design)
    if lean_of_base(dome, sunk) > MOST_LEAN:
        most = 2 * dome.courses[0].outer_radius * math.sin(MOST_LEAN)
        expected = f"up to {both(most, 'length', design.unit_system)}, a lean of {math.degrees(MOST_LEAN):g} deg"
        raise InputError([Problem("--sunk", expected, both(sunk, "length", design.unit_system))])


def settle_design(
    design: Design,
    stated: Movement | None = None,
    progress: Progress = quiet,
    *,
    sunk: float = 0.0,
    soaked: float = 0.0,
) -> Settling:
    """How far each movement of the finished dome may go, and what all that was stated does together; where one side of
    the base has `sunk` [m] below the other, or a sector of `soaked` [rad] is soaked, what is left of the dome as
    blocks.

    UnbuildableError where no such dome can be built, InputError where ring loads act on it.
    """
    refuse_ring_loads(design, "the study of movements")
    wall = _wall(build_model(design))
    reached = []
    for done, kind in enumerate(KINDS):
        progress("moving the dome", done, len(KINDS))
        reached.append(_reached(wall, kind))
    progress("moving the dome", len(KINDS), len(KINDS))
    together = Movement() if stated is None else stated
    lines = tuple(case for case, _ in wall.cases if not case.only)
    lune = wall.plain
    area = float(lune.bed_outer[-1] ** 2 - lune.bed_inner[-1] ** 2) / 2
    return Settling(
        design=design,
        stated=together,
        stress=float(lune.vertical[-1]) / area,
        mean_stress=wall.mean_stress,
        rings=lune.size,
        height=float(np.sum(lune.z_top - lune.z_bottom)),
        reached=tuple(reached),
        together=_first_short(wall, together),
        stands_together=_stands(wall, together),
        lean=leaning(wall.dome, lines, sunk, progress) if sunk > 0 else None,
        soaked=soaked_sector(wall.dome, lines, soaked, progress) if soaked > 0 else None,
    )
