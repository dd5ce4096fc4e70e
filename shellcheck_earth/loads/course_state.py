"""One course in one case: what weighs on it, and what strength and friction its moisture leaves."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from functools import cached_property

__all__ = ["CourseState", "HandedIn", "Part", "RadialLoad"]


@dataclass(frozen=True)
class Part:
    """An annular band resting on the beds below: radii and height [m], unit weight [kN/m3]. `imposed`: snow."""

    inner: float
    outer: float
    height: float
    unit_weight: float
    imposed: bool = False

    @property
    def weight(self) -> float:
        """Per radian [kN]: gamma h (r_o^2 - r_i^2)/2."""
        return self.times(1.0)[0]

    @property
    def moment(self) -> float:
        """Weight times radius of its line of action, per radian [kN m]: gamma h (r_o^3 - r_i^3)/3."""
        return self.times(1.0)[1]

    def times(self, factor: float) -> tuple[float, float]:
        """(weight, moment) with the unit weight multiplied by a factor."""
        stress = self.unit_weight * factor * self.height
        inner, outer = self.inner, self.outer
        return stress * (outer * outer - inner * inner) / 2, stress * (outer**3 - inner**3) / 3


@dataclass(frozen=True)
class RadialLoad:
    """A load at one radius: per radian [kN] at [m]."""

    weight: float
    radius: float


@dataclass(frozen=True)
class HandedIn:
    """What something else hands into a course, per radian: weight down at a radius, thrust outward at a level [kN, m].
    `..._helps`: which of them is at the end that the least factor of a row belongs to. `at_most`: rows that multiply by
    more than 1 multiply it by at least this. `gaps`: it bears on what there is of its course beside openings. middle,
    half: the arc that it bears on [rad]; all around where nothing else is said, else only blocks can tell."""

    weight: float
    thrust: float
    radius: float
    level: float
    weight_helps: bool = False
    thrust_helps: bool = False
    middle: float = 0.0
    half: float = math.pi
    at_most: float = 1.0
    gaps: bool = False

    @property
    def all_around(self) -> bool:
        """Whether it bears on the whole ring."""
        return self.half == math.pi

    def on(self, start: float, end: float) -> tuple[float, float] | None:
        """(start, end) of what of it bears on a stretch of its course, bearings [rad]; None for nothing."""
        if self.all_around:
            return start, end
        off = math.remainder((start + end) / 2 - self.middle, 2 * math.pi)
        low, high = max(off - (end - start) / 2, -self.half), min(off + (end - start) / 2, self.half)
        return (self.middle + low, self.middle + high) if high > low else None

    def pull(self, more: float = 1.0, less: float = 1.0) -> tuple[float, float, float]:
        """(weight, moment, thrust), multiplied by `more`, or `less` where it helps; moment: W r + z T, of G."""
        counted = self.counted(more, less)
        weight, thrust = counted.weight, counted.thrust
        return weight, weight * self.radius + thrust * self.level, thrust

    def counted(self, more: float, less: float) -> HandedIn:
        """The same as rows count it: multiplied by `more`, or `less` where it helps, once."""
        weight, thrust = self.factors(more, less)
        return replace(self, weight=self.weight * weight, thrust=self.thrust * thrust)

    def factors(self, more: float, less: float) -> tuple[float, float]:
        """What its weight and its thrust are multiplied by in a row of factors."""
        more = max(more, self.at_most) if more > 1.0 else more
        return less if self.weight_helps else more, less if self.thrust_helps else more


@dataclass(frozen=True)
class CourseState:
    """One course in one case. `wet_from` is the radius at which its wetted band begins (its outer radius: none).

    `ring_to` is the radius up to which its section is dry enough to count as a ring (None: up to `wet_from`).

    strength, friction, cohesion: of the body; those with _wet: of the wetted band [kPa, -, kPa]. `age_days` is None
    where the case knows no calendar.
    """

    number: int
    parts: tuple[Part, ...]
    loads: tuple[RadialLoad, ...]
    moisture: float
    strength: float
    friction: float
    strength_wet: float
    friction_wet: float
    cohesion: float
    cohesion_wet: float
    wet_from: float
    closed: bool = True
    age_days: float | None = None
    ring_to: float | None = None
    handed: tuple[HandedIn, ...] = ()

    @property
    def dry_to(self) -> float:
        """Radius up to which its section is dry [m]."""
        return self.wet_from if self.ring_to is None else self.ring_to

    @property
    def weight(self) -> float:
        """Per radian [kN], without what is handed in."""
        return self.pull(1.0, 1.0)[0]

    @property
    def moment(self) -> float:
        """Sum of weight times radius, per radian [kN m]."""
        return self.pull(1.0, 1.0)[1]

    def pull(self, permanent: float, imposed: float) -> tuple[float, float]:
        """(weight, moment) with permanent and imposed loads multiplied by these factors."""
        found = self._pulls.get((permanent, imposed))
        if found is None:
            weight = moment = 0.0
            for part in self.parts:
                more = part.times(imposed if part.imposed else permanent)
                weight, moment = weight + more[0], moment + more[1]
            for load in self.loads:
                weight, moment = weight + load.weight * imposed, moment + load.weight * imposed * load.radius
            found = self._pulls[permanent, imposed] = weight, moment
        return found

    def carried(self, more: float = 1.0, less: float = 1.0) -> tuple[float, float, float]:
        """(weight, moment, thrust) of what is handed into the course all around, as `HandedIn.pull`."""
        pulls = [one.pull(more, less) for one in self.handed if one.all_around]
        return sum(w for w, _, _ in pulls), sum(m for _, m, _ in pulls), sum(t for _, _, t in pulls)

    @property
    def lifted(self) -> float:
        """What is lifted at single bearings, taken as if on every radian [kN], not above 0."""
        return sum(min(one.weight, 0.0) * 2 * one.half for one in self.handed if not one.all_around)

    @cached_property
    def _pulls(self) -> dict[tuple[float, float], tuple[float, float]]:
        """What was added up already: a course is the same in most stages, and asked for in each."""
        return {}

    @cached_property
    def numbers(self) -> tuple[float, ...]:
        """strength, friction, cohesion, each also wet; `wet_from`; `ring_to`, else `wet_from`; 1: closed; the
        pull with what is handed in, and its thrust."""
        weight, moment, thrust = self.carried() if self.handed else (0.0, 0.0, 0.0)
        own = self.pull(1.0, 1.0)
        return (
            self.strength,
            self.strength_wet,
            self.friction,
            self.friction_wet,
            self.cohesion,
            self.cohesion_wet,
            self.wet_from,
            self.dry_to,
            float(self.closed),
            own[0] + weight,
            own[1] + moment,
            thrust,
        )
