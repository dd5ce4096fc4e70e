"""Earth against the finished wall, all around or on one side: its states, and what each hands into every course.

At a depth y under its level surface earth of unit weight g presses with K (g y + q), q what stands on it, on the
upright outer faces of the courses, and weighs g y + q on the ledges that they leave (uniform stress states of level
ground). On a course between the depths b < a that is inward, a radian, `r K (g (a^2 - b^2)/2 + q (a - b))` at the
centroid of that trapezium (derived), r the outer radius with the plaster on it.

K is at most 1 - sin phi (Jaky 1944, memory) of the least friction angle, at least 1 where the earth may be compacted,
and at least (1 - sin phi)/(1 + sin phi) (Rankine 1857, memory) of the greatest. Whether the ledges carry the earth on
them or not (it may hang on the wall, or arch) is left open: their weight helps friction and hurts the ground. So three
corners: the greatest pressure without the ledges' weight and with it, the least pressure that goes with that weight;
with the dome without any earth, which is always asked, they hold every pressure and weight between (states of forces
are convex in loads and forces together; a lighter earth is the same made smaller). What may stand on the earth is asked
there and not there, on the heaviest earth and on the lightest. Earth that is dug away in part presses on lower courses
alone, which no such mean is: that is asked at further levels, without a load on it.

Blocks, which cost time, are asked the three corners of the whole, heaviest earth with what may stand on it; on what of
a course there is beside openings. Earth on one side, between two bearings, no ring knows of: nothing presses back from
the other side, and only blocks can say whether the dome as a whole slides or turns over. They are asked the dead load
beside the further levels too, and the whole without what may stand on it, pressing the most with bare ledges. Of any
load from one side a share is relied on, for friction without dilation may hold less than the scheme finds
(`mechanics/blocks/nonassociated.py`); so the greatest pressure on one side counts by one over that share.

Nothing is counted that the earth would do for the dome: no passive resistance, nothing of the earth or the floor
within, no friction on its face. Water is not in here (`safety/doubts.py`), nor what an earthquake does to the earth.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass

from shellcheck_earth.basics.values import default, fixed
from shellcheck_earth.design.backfill import Backfill, usual_span
from shellcheck_earth.design.design import Design
from shellcheck_earth.geometry.courses import Course, Dome
from shellcheck_earth.geometry.earth import earth_surface, pressed
from shellcheck_earth.loads.course_state import HandedIn

__all__ = ["FACTOR", "EarthState", "Soil", "asked_span", "earth_states", "soil_of"]

LEVELS = round(fixed("backfill.levels"))
COMPACTED = fixed("backfill.compacted_coefficient")
FACTOR = float(default("backfill.factor").value)
RELIED_ON = fixed("blocks.relied_on")
"""Share of a load from one side that is relied on in blocks."""

AMOUNTS = ("earth", "three quarters of the earth", "half of the earth", "a quarter of the earth")


@dataclass(frozen=True)
class Soil:
    """What the earth is asked with: unit weight, least and greatest [kN/m3]; coefficient of its horizontal pressure,
    least and greatest [-]; what stands on it [kPa]."""

    lightest: float
    heaviest: float
    least: float
    most: float
    surcharge: float


@dataclass(frozen=True)
class EarthState:
    """One state of the earth: what each course is handed by it, and the words of it. `blocks`: blocks are asked it,
    `dead`: of their dead load alone."""

    number: int
    by_course: dict[int, HandedIn]
    words: str
    blocks: bool = False
    dead: bool = False


@dataclass(frozen=True)
class _Asked:
    """Earth up to a level, of one unit weight, with a load on it, and its coefficient. `ledges`: they carry it."""

    level: float
    unit_weight: float
    surcharge: float
    coefficient: float
    ledges: bool
    least: bool


def asked_span(design: Design, key: str) -> tuple[float, float]:
    """(least, greatest) that a value of the earth is asked with: as measured, else also the ends of its usual range."""
    earth = design.earth or Backfill()
    low, high = getattr(earth, key)
    if design.bases.get(f"backfill.{key}") == "measured":
        return low, high
    usual = usual_span(key)
    return min(low, usual[0]), max(high, usual[1])


def soil_of(design: Design) -> Soil:
    """The earth of a design as it is asked; ValueError where there is none."""
    earth = design.earth
    if earth is None:
        raise ValueError("no earth lies against this wall")
    (lightest, heaviest), (loose, dense) = (asked_span(design, key) for key in ("unit_weight", "friction_angle"))
    at_rest = 1.0 - math.sin(loose)
    most = max(at_rest, COMPACTED) if earth.compacted else at_rest
    return Soil(lightest, heaviest, (1.0 - math.sin(dense)) / (1.0 + math.sin(dense)), most, earth.surcharge)


def _pressure(asked: _Asked, a: float, b: float) -> tuple[float, float]:
    """(force on a metre of wall [kN/m], depth of its resultant [m]) between the depths b < a."""
    g, q = asked.unit_weight, asked.surcharge
    force = g * (a * a - b * b) / 2 + q * (a - b)
    first = g * (a**3 - b**3) / 3 + q * (a * a - b * b) / 2
    return asked.coefficient * force, first / force


def _on_ledge(asked: _Asked, course: Course, over: Course | None, plaster: float, depth: float) -> tuple[float, float]:
    """(weight [kN], radius [m]) a radian of the earth on the ledge of a course; nothing at its outer face without ledge
    or earth."""
    if not asked.ledges or over is None or over.outer_radius >= course.outer_radius or depth <= 0.0:
        return 0.0, course.outer_radius
    stress, inner, outer = asked.unit_weight * depth + asked.surcharge, over.outer_radius, course.outer_radius + plaster
    return stress * (outer**2 - inner**2) / 2, 2 / 3 * (outer**3 - inner**3) / (outer**2 - inner**2)


def _handed(dome: Dome, asked: _Asked) -> dict[int, HandedIn]:
    """What every course is handed by the earth, by its number."""
    out, earth = {}, dome.design.earth or Backfill()
    above: tuple[Course | None, ...] = (*dome.courses[1:], None)
    plaster = dome.design.plaster.outside
    for course, over in zip(dome.courses, above, strict=True):
        found = pressed(course, asked.level)
        if found is None:
            break
        force, depth = _pressure(asked, *found)
        face = course.outer_radius + (0.0 if asked.least else plaster)
        weight, radius = _on_ledge(asked, course, over, plaster, found[1])
        out[course.number] = HandedIn(
            weight,
            -face * force * (1.0 if earth.all_around or asked.least else 1.0 / RELIED_ON),
            radius,
            asked.level - depth,
            thrust_helps=asked.least,
            at_most=FACTOR,
            gaps=True,
            middle=earth.middle,
            half=earth.half,
        )
    return out


def _corners(level: float, unit_weight: float, surcharge: float, soil: Soil) -> Iterator[tuple[_Asked, str]]:
    yield _Asked(level, unit_weight, surcharge, soil.most, False, False), "pressing the most"
    yield _Asked(level, unit_weight, surcharge, soil.most, True, False), "pressing the most and weighing on ledges"
    yield _Asked(level, unit_weight, surcharge, soil.least, True, True), "pressing the least and weighing on ledges"


def _loads(soil: Soil, part: int) -> list[tuple[float, float, str]]:
    """(unit weight, surcharge, words) that a level is asked with."""
    out = [(soil.heaviest, 0.0, "")]
    if part == 0 and soil.surcharge > 0.0:
        out.append((soil.heaviest, soil.surcharge, "loaded"))
        out += [(soil.lightest, soil.surcharge, "light and loaded")] if soil.lightest < soil.heaviest else []
    return out


def earth_states(dome: Dome) -> Iterator[EarthState]:
    """Every state of the earth against the finished wall but the one without it; none where there is no earth."""
    surface = earth_surface(dome)
    if surface is None:
        return
    soil, number, design = soil_of(dome.design), 0, dome.design
    one_side = design.earth is not None and not design.earth.all_around
    place = "one side of the wall" if one_side else "the wall"
    for part in range(LEVELS):
        level = surface - (surface - dome.base) * part / LEVELS
        for unit_weight, surcharge, load in _loads(soil, part):
            for asked, how in _corners(level, unit_weight, surcharge, soil):
                handed = _handed(dome, asked)
                if asked.ledges and not any(one.weight for one in handed.values()):
                    continue  # no ledge under it: less pressure is the same earth made smaller
                number += 1
                said = ", ".join(word for word in (load, how) if word)
                most = (unit_weight, surcharge) == (soil.heaviest, soil.surcharge)
                whole = part == 0 and most
                dead = one_side and not (whole or load or asked.ledges)
                yield EarthState(number, handed, f"{AMOUNTS[part]} against {place}: {said}", whole or dead, dead)
