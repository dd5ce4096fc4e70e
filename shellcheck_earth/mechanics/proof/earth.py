"""What each state of the earth against the finished wall hands into every course.

Part of the checker: standard library only. STATEMENT.md, sections 3 and 5.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from fractions import Fraction

from shellcheck_earth.mechanics.proof.backfill import Earth
from shellcheck_earth.mechanics.proof.quantities import RefusedError
from shellcheck_earth.mechanics.proof.states import NEAR, UNIT, Carried, Course, grid

__all__ = ["earth_states"]

LEVELS = 4


@dataclass(frozen=True)
class _Asked:
    """Earth up to a level, its unit weight and load, its coefficient; whether ledges carry it; the least pressure."""

    level: int
    unit_weight: Fraction
    surcharge: Fraction
    coefficient: Fraction
    ledges: bool
    least: bool


def _on(
    course: Course, over: Course | None, asked: _Asked, plaster: int, factors: tuple[Fraction, Fraction]
) -> Carried:
    """Of one course, per radian, multiplied by the factors of its weight and its pressure: force, moment, thrust."""
    a, b = asked.level - course.z_bottom, max(asked.level - course.z_top, 0)
    g, q = (grid(asked.coefficient * factors[1] * one) for one in (asked.unit_weight, asked.surcharge))
    face = course.outer + (0 if asked.least else plaster)
    force = face * (3 * g * (a**2 - b**2) + 6 * q * (a - b) * UNIT)
    below = face * (2 * g * (a**3 - b**3) + 3 * q * (a**2 - b**2) * UNIT)  # its moment about the level of the surface
    weight = moment = 0
    if asked.ledges and over is not None and over.outer < course.outer and b > 0:
        stress = grid(asked.unit_weight * factors[0]) * b + grid(asked.surcharge * factors[0]) * UNIT
        inner, outer = over.outer, course.outer + plaster
        weight, moment = 3 * stress * (outer**2 - inner**2), 2 * stress * (outer**3 - inner**3)
    return weight, moment - (asked.level * force - below), -force


def _states(earth: Earth, surface: int, base: int) -> Iterator[_Asked]:
    """In the order of section 5."""
    for part in range(LEVELS):
        level = surface - (surface - base) * part // LEVELS
        loads = [(earth.heaviest, Fraction(0))]
        if part == 0 and earth.surcharge > 0:
            loads.append((earth.heaviest, earth.surcharge))
            loads += [(earth.lightest, earth.surcharge)] if earth.lightest < earth.heaviest else []
        for weight, load in loads:
            yield _Asked(level, weight, load, earth.most, False, False)
            yield _Asked(level, weight, load, earth.most, True, False)
            yield _Asked(level, weight, load, earth.least, True, True)


def earth_states(
    earth: Earth, courses: Sequence[Course], ground: int, plaster: int, factors: tuple[Fraction, Fraction]
) -> Iterator[dict[int, tuple[Carried, Carried]]]:
    """By the index of the course, as it is and as rows of factors count it (`factors`: the greatest, the least), in
    every state of the earth but the one without it; RefusedError where it lies higher than the wall."""
    surface = ground + grid(earth.height)
    if surface > courses[-1].z_top + NEAR:
        raise RefusedError("backfill.height: expected at most the top of the wall")
    more, less = factors
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
        if not asked.ledges or any(plain[0] for plain, _ in found.values()):
            yield found
