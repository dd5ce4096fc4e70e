"""When each course is laid, how old it is at a stage, and how far it has dried by then.

By default nothing is counted as drying: without a measurement the fill counts as damp as it was placed
(proposed). The model offered instead is a plane wall drying from both faces by diffusion (Crank, The
Mathematics of Diffusion, 1975, eq. 4.18, memory), and never faster than the air takes water from its faces.
Its diffusivities are proposals; a user's own table of moisture against age replaces it.
"""

from __future__ import annotations

import math
from bisect import bisect_right
from dataclasses import dataclass

from shellcheck_earth.basics.errors import InputError, Problem
from shellcheck_earth.basics.sums import added
from shellcheck_earth.basics.values import fixed, fixed_values
from shellcheck_earth.design.design import Climate
from shellcheck_earth.loads.phases import WATER_DENSITY

__all__ = [
    "CLIMATES",
    "WORK_WEEK",
    "Drying",
    "DryingTable",
    "age_on_stage",
    "dried_moisture",
    "laying_day",
    "remaining_share",
    "table_moisture",
]

WORK_WEEK = round(fixed("building.work_week"))
"""Days of work before the rest days of the design."""

THICKNESS_LIMITS = (fixed("drying.thinnest"), fixed("drying.thickest"))
"""Wall widths [m] the diffusion model is offered for."""


@dataclass(frozen=True)
class Drying:
    """`diffusivity` of moisture [m2/s]; `evaporation` from one face [m/day]; `balance`: moisture it ends at
    [-]."""

    diffusivity: float
    evaporation: float
    balance: float


def _climate(key: str) -> Drying:
    row = fixed_values()[key]
    return Drying(float(row.extra["diffusivity"]), fixed(key), float(row.extra["balance"]))


CLIMATES: dict[Climate, Drying] = {
    "none": Drying(0.0, 0.0, 0.0),
    "cool and damp": _climate("drying.cool_and_damp"),
    "temperate": _climate("drying.temperate"),
    "hot and dry": _climate("drying.hot_and_dry"),
}
"""Proposed, low confidence; no source read. Any rain on the wall makes them worthless until it has dried
again."""


@dataclass(frozen=True)
class DryingTable:
    """The user's own: ages [days], rising from 0, and the moisture of a course of that age, never rising."""

    ages: tuple[float, ...]
    moistures: tuple[float, ...]

    def __post_init__(self) -> None:
        pairs_fit = len(self.ages) == len(self.moistures) >= 1 and self.ages[0] == 0.0
        rising = all(a < b for a, b in zip(self.ages, self.ages[1:], strict=False))
        falling = all(a >= b >= 0.0 for a, b in zip(self.moistures, self.moistures[1:], strict=False))
        if not (pairs_fit and rising and falling):
            raise InputError(
                [
                    Problem(
                        "building.drying",
                        "pairs of age and moisture, ages rising from 0 days and moisture never rising",
                        f"{list(self.ages)} and {list(self.moistures)}",
                    )
                ]
            )


def laying_day(index: int, courses_per_day: float, rest_days: int = 0) -> int:
    """Calendar day (the first is 0) on which course `index` (0 is the first one laid) is laid.

    `rest_days` days without laying follow each WORK_WEEK days of work.
    """
    # a hair is added so that 0.1 + 0.1 + ... of a course a day does not fall one day short of the whole
    # number
    working = math.floor(index / courses_per_day + 1e-9)
    return working + rest_days * (working // WORK_WEEK)


def age_on_stage(index: int, stage_index: int, courses_per_day: float, rest_days: int = 0) -> int:
    """Age [days] of course `index` on the day course `stage_index` is laid; 0 on the day of its own
    laying."""
    return laying_day(stage_index, courses_per_day, rest_days) - laying_day(index, courses_per_day, rest_days)


def remaining_share(diffusivity: float, thickness: float, seconds: float) -> float:
    """Mean share of water left in a plane sheet whose faces are kept dry (Crank eq. 4.18, memory):
    (8/pi^2) sum over m >= 0 of exp(-D (2m+1)^2 pi^2 t/l^2)/(2m+1)^2."""
    x = diffusivity * seconds / (thickness * thickness)
    if x <= 0.0:
        return 1.0
    if x < 0.02:  # short times: 1 - 4 sqrt(x/pi), where the series would need many terms (Crank eq. 4.20, memory)
        return 1.0 - 4.0 * math.sqrt(x / math.pi)
    total = added(math.exp(-((2 * m + 1) ** 2) * math.pi**2 * x) / (2 * m + 1) ** 2 for m in range(12))
    return 8.0 / math.pi**2 * total


def dried_moisture(climate: Drying, placing: float, age_days: float, thickness: float, dry_density: float) -> float:
    """Mean moisture [-] of a course `age_days` after laying; never rises with age, never under the climate's
    balance.

    InputError outside THICKNESS_LIMITS, unless nothing is counted as drying.
    """
    if climate.diffusivity <= 0.0 or age_days <= 0.0 or placing <= climate.balance:
        return placing
    low, high = THICKNESS_LIMITS
    if not low <= thickness <= high:
        raise InputError(
            [
                Problem(
                    "building.climate",
                    f'"none" or a table of your own: the drying model is for walls of {low:g} to {high:g} m',
                    f"a wall of {thickness:g} m",
                )
            ]
        )
    excess = placing - climate.balance
    by_diffusion = excess * (1.0 - remaining_share(climate.diffusivity, thickness, 86400.0 * age_days))
    by_air = 2.0 * climate.evaporation * age_days * WATER_DENSITY / (dry_density * thickness)
    return placing - min(by_diffusion, by_air, excess)


def table_moisture(table: DryingTable, age_days: float) -> float:
    """Moisture of the user's table at an age: straight lines between its rows, its last value after them."""
    at = bisect_right(table.ages, age_days)
    if at == 0:
        return table.moistures[0]
    if at == len(table.ages):
        return table.moistures[-1]
    a0, a1 = table.ages[at - 1], table.ages[at]
    share = (age_days - a0) / (a1 - a0)
    return (1 - share) * table.moistures[at - 1] + share * table.moistures[at]
