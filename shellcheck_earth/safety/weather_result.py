"""What the calendar of the work found, as frozen data: every stage, every day, every hour of the stated rain."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from shellcheck_earth.safety.checks import LINE
from shellcheck_earth.safety.laying import LayingRow

__all__ = ["CHECKS", "DayPoint", "HourMark", "HourPoint", "StageWeather", "Weather"]

CHECKS = tuple(check.building or check.key for check in LINE)
"""Checks followed through the calendar; those of the ground are in the cases of the dead load."""


@dataclass(frozen=True)
class HourMark:
    """The hour of rain at which a check first falls short (None: not in the stated rain; 0: short before any
    rain), and the course whose bed decides."""

    check: str
    hour: float | None
    course: int | None


@dataclass(frozen=True)
class StageWeather:
    """One stage on the day its last course is laid. Ages [days] and moistures [-] of the top and the lowest
    course.

    `dry` holds the least factor over required of each check without rain (inf: nothing needed, 0: cannot
    stand); `governs` is the check with the least of them, at the bed under `course`. `marks` are for the
    stated rain.
    """

    stage: int
    day: int
    age_lowest: int
    moisture_top: float
    moisture_lowest: float
    dry: Mapping[str, float]
    governs: str
    course: int | None
    marks: tuple[HourMark, ...]

    @property
    def meets_dry(self) -> bool:
        return all(share >= 1.0 for share in self.dry.values())

    @property
    def first_short(self) -> HourMark | None:
        """The check that the rain brings down first."""
        short = [mark for mark in self.marks if mark.hour is not None]
        return min(short, key=lambda mark: (mark.hour, CHECKS.index(mark.check)), default=None)


@dataclass(frozen=True)
class DayPoint:
    """Worst-day chart: if the rain comes in the evening of `day` with courses up to `stage` laid. Shares are
    the least factor over required of all checks, dry and after the whole rain (1: just meets; 0: no line at
    all). `hours` until the first check that was met dry falls short (None: not in this rain, or none was
    met)."""

    day: int
    stage: int
    dry: float
    after_rain: float
    check: str
    hours: float | None


@dataclass(frozen=True)
class HourPoint:
    """Factor over required of each check after `hour` hours of rain: the worst of all hours up to it."""

    hour: float
    shares: Mapping[str, float]
    deepest_band: float


@dataclass(frozen=True)
class Weather:
    """The calendar of one design. `pace`: the most courses a day of those tried at which every dry stage meets every
    check (None: not even the slowest); `pace_matters`: whether any drying or hardening is counted on. `cover_before`:
    the first hour of the stated rain at which a check that is met dry falls short (None: in none).
    """

    stages: tuple[StageWeather, ...]
    days: tuple[DayPoint, ...]
    worst_day: DayPoint
    hours: tuple[HourPoint, ...]
    laying: tuple[LayingRow, ...]
    pace: float | None
    pace_matters: bool
    cover_before: float | None
