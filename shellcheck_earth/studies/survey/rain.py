"""Before how many hours of the coming rain a wall has to be covered, and when it is dry enough to go on."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from shellcheck_earth.basics.values import fixed
from shellcheck_earth.design.design import Design
from shellcheck_earth.geometry.courses import build_dome
from shellcheck_earth.loads.rain.calendar import fallen_pair, rain_on_wall, stage_days
from shellcheck_earth.loads.rain.fallen import dried_for
from shellcheck_earth.safety.shortfalls import Shortfall, case_shortfalls
from shellcheck_earth.studies.survey.plans import AsBuilt, built_design

__all__ = ["CoverBy", "DryEnough", "cover_by", "dry_enough"]

HOUR_STEPS = 24
"""Hours of the stated rain that are looked at; the hour of the first shortfall is bisected to a minute."""


@dataclass(frozen=True)
class CoverBy:
    """hours   of the stated rain after which a check falls short, with no cover; None: not in the whole of it
    short   the check and the course; None where nothing falls short
    """

    hours: float | None
    short: Shortfall | None


@dataclass(frozen=True)
class DryEnough:
    """When a wall that has been rained on holds again.

    share  of the depths that are wet now, up to which it holds
    days   of dry weather until then in the stated climate; None: no drying is counted, or not within `most`
    """

    share: float
    days: int | None
    most: int


def _short(design: Design, hours: float) -> Shortfall | None:
    dome = build_dome(design)
    at = stage_days(dome)[0]
    for case in rain_on_wall(dome, at, hours):
        found = case_shortfalls(dome, case, first=True)
        if found:
            return found[0]
    return None


def cover_by(standing: Design) -> CoverBy:
    """The hour of the site's rain on the wall, uncovered, at which what stands first falls short (`standing`:
    unfinished). What the ground does that rain soaks no cover changes."""
    bare = replace(standing, building=replace(standing.building, cover_after=None))
    met = 0.0
    for step in range(HOUR_STEPS + 1):
        hour = bare.site.rain_hours * step / HOUR_STEPS
        short = _short(bare, hour)
        if short is not None:
            high = hour
            while high - met > 1 / 60:
                middle = (met + high) / 2
                found = _short(bare, middle)
                met, high, short = (met, middle, found) if found else (middle, high, short)
            return CoverBy(high if step else 0.0, short)
        met = hour
    return CoverBy(None, None)


def _holds(wall: AsBuilt, depths: Sequence[float]) -> bool:
    dome = build_dome(built_design(wall, depths=depths))
    at = stage_days(dome)[0]
    return not any(case_shortfalls(dome, case, first=True) for case in fallen_pair(dome, at))


def dry_enough(wall: AsBuilt) -> DryEnough | None:
    """When the wall is dry enough; None where what is wet now takes nothing away that is required."""
    if not any(wall.depths) or _holds(wall, wall.depths):
        return None
    low, high = 0.0, 1.0
    for _ in range(8):
        middle = (low + high) / 2
        low, high = (middle, high) if _holds(wall, [middle * depth for depth in wall.depths]) else (low, middle)
    dome, most = build_dome(built_design(wall)), int(fixed("survey.dry_days"))
    days = next((day for day in range(1, most + 1) if _holds(wall, dried_for(dome, wall.depths, day))), None)
    return DryEnough(low, days, most)
