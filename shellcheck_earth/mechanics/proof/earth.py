"""What each state of the earth against the finished wall hands into every course.

Part of the checker: standard library only. STATEMENT.md, sections 3 and 5.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction

from shellcheck_earth.mechanics.proof.backfill import Earth
from shellcheck_earth.mechanics.proof.courses import NEAR, UNIT, Course, grid
from shellcheck_earth.mechanics.proof.quantities import RefusedError
from shellcheck_earth.mechanics.proof.states import Carried

__all__ = ["EarthState", "Pressed", "earth_states"]

LEVELS = 4
RELIED_ON = Fraction(53, 100)
"""Share of a load from one side that is relied on: by one over it the greatest pressure on one side counts."""


@dataclass(frozen=True)
class _Asked:
    """Earth up to a level, its unit weight and load, its coefficient; whether ledges carry it; the least pressure."""

    level: int
    unit_weight: Fraction
    surcharge: Fraction
    coefficient: Fraction
    ledges: bool
    least: bool
    aside: bool


@dataclass(frozen=True)
class Pressed:
    """What the earth hands into a course, a radian, in the units of `states`: its weight on the ledge and the moment of
    that, what it pushes inward and the moment of that."""

    weight: int
    weight_moment: int
    push: int
    push_moment: int

    @property
    def carried(self) -> Carried:
        """Force down, moment, thrust outward."""
        return self.weight, self.weight_moment - self.push_moment, -self.push


@dataclass(frozen=True)
class EarthState:
    """By the index of the course, as it is and as rows of factors count it; `blocks`: blocks are asked it too,
    `dead`: of their dead load alone."""

    number: int
    courses: Mapping[int, tuple[Pressed, Pressed]]
    blocks: bool
    dead: bool


def _on(
    course: Course, over: Course | None, asked: _Asked, plaster: int, factors: tuple[Fraction, Fraction]
) -> Pressed:
    """Of one course, multiplied by the factors of its weight and its pressure."""
    a, b = asked.level - course.z_bottom, max(asked.level - course.z_top, 0)
    times = asked.coefficient * factors[1] / (RELIED_ON if asked.aside and not asked.least else 1)
    g, q = (grid(times * one) for one in (asked.unit_weight, asked.surcharge))
    face = course.outer + (0 if asked.least else plaster)
    force = face * (3 * g * (a**2 - b**2) + 6 * q * (a - b) * UNIT)
    below = face * (2 * g * (a**3 - b**3) + 3 * q * (a**2 - b**2) * UNIT)  # its moment about the level of the surface
    weight = moment = 0
    if asked.ledges and over is not None and over.outer < course.outer and b > 0:
        stress = grid(asked.unit_weight * factors[0]) * b + grid(asked.surcharge * factors[0]) * UNIT
        inner, outer = over.outer, course.outer + plaster
        weight, moment = 3 * stress * (outer**2 - inner**2), 2 * stress * (outer**3 - inner**3)
    return Pressed(weight, moment, force, asked.level * force - below)


def _states(earth: Earth, surface: int, base: int) -> Iterator[_Asked]:
    """In the order of section 5."""
    for part in range(LEVELS):
        level = surface - (surface - base) * part // LEVELS
        loads = [(earth.heaviest, Fraction(0))]
        if part == 0 and earth.surcharge > 0:
            loads.append((earth.heaviest, earth.surcharge))
            loads += [(earth.lightest, earth.surcharge)] if earth.lightest < earth.heaviest else []
        for weight, load in loads:
            yield _Asked(level, weight, load, earth.most, False, False, earth.aside)
            yield _Asked(level, weight, load, earth.most, True, False, earth.aside)
            yield _Asked(level, weight, load, earth.least, True, True, earth.aside)


def earth_states(
    earth: Earth, courses: Sequence[Course], ground: int, plaster: int, factors: tuple[Fraction, Fraction]
) -> Iterator[EarthState]:
    """Every state of the earth but the one without it (`factors` of rows: the greatest, the least); RefusedError where
    it lies higher than the wall."""
    surface = ground + grid(earth.height)
    if surface > courses[-1].z_top + NEAR:
        raise RefusedError("backfill.height: expected at most the top of the wall")
    (more, less), number = factors, 0
    for asked in _states(earth, surface, courses[0].z_bottom):
        counted = more, (less if asked.least else more)
        found = {}
        for index, course in enumerate(courses):
            if asked.level <= course.z_bottom + NEAR:
                break
            over = courses[index + 1] if index + 1 < len(courses) else None
            one = Fraction(1), Fraction(1)
            plain = _on(course, over, asked, plaster, one)
            found[index] = plain, _on(course, over, asked, plaster, counted)
        if not asked.ledges or any(plain.weight for plain, _ in found.values()):
            whole = asked.level == surface and (asked.unit_weight, asked.surcharge) == (earth.heaviest, earth.surcharge)
            number += 1
            # of earth on one side blocks are asked the rest too, for no ring is
            bare = earth.aside and not whole and asked.surcharge == 0 and not asked.ledges
            yield EarthState(number, found, whole or bare, bare)
