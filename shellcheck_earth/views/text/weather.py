"""Building in the weather, in sentences: how fast, when to cover, each with the margin it comes from."""

from __future__ import annotations

import math

from shellcheck_earth.basics.units import UNITS, both, unit_name
from shellcheck_earth.design.design import Design
from shellcheck_earth.geometry.courses import Dome
from shellcheck_earth.safety.weather import FASTEST
from shellcheck_earth.safety.weather_result import HourMark, StageWeather, Weather
from shellcheck_earth.views.text.laying import laying_sentences
from shellcheck_earth.views.text.numbers import bed_named, capital, factor_words, required_words

__all__ = [
    "NOT_ASKED",
    "RAIN_CHANGES_NOTHING",
    "cover_sentence",
    "instructions",
    "pace_sentence",
    "rain_paragraph",
]

NOT_ASKED = "The calendar of the work was not asked for: nothing is said here of pace, rain or pieces of open rings."
RAIN_CHANGES_NOTHING = (
    "On that day no margin changes by as much as half a percent in any hour of this rain; the chart of margins against"
    " hours of rain would hold only level lines and is left out."
)

LEAST_MINUTES = 5
"""Nobody covers a dome in less: a margin that lasts no longer means that rain may never reach it bare."""


def _worst_dry(stages: tuple[StageWeather, ...]) -> StageWeather:
    return min(stages, key=lambda one: (one.dry[one.governs], one.stage))


def _dry_trace(dome: Dome, one: StageWeather) -> str:
    """The margin that the pace comes from."""
    required = dome.design.criteria.required[one.governs]
    share = one.dry[one.governs]
    at = "" if one.course is None else f" at {bed_named(dome, one.course)}"
    where = f"{one.governs} governs{at}, with courses up to {one.stage} laid"
    if share == 0.0:
        return f"{where}: no thrust line is left"
    factor = "no demand" if math.isinf(share) else f"a safety factor of {factor_words(share * required, required)}"
    return f"{where}: {factor}, {required_words(required)} required"


def pace_sentence(dome: Dome, weather: Weather) -> str:
    """ "No more than N courses a day", or why the pace decides nothing."""
    trace = _dry_trace(dome, _worst_dry(weather.stages))
    if weather.pace is None:
        return (
            "No pace that was tried, down to half a course a day, meets every margin while building, even without rain"
            f" ({trace})."
        )
    if not weather.pace_matters:
        return (
            "The pace changes no margin here: no drying and no hardening is counted on, every course counts as damp as"
            f" it was placed ({trace})."
        )
    if weather.pace >= FASTEST:
        return f"Up to {FASTEST:g} courses a day, the most that was tried, every margin is met without rain ({trace})."
    stated = dome.design.building.courses_per_day
    too_many = "" if stated <= weather.pace else f" The {stated:g} a day of this design are too many."
    return f"Lay no more than {weather.pace:g} courses a day ({trace}, at the pace of this design).{too_many}"


def _first_mark(weather: Weather) -> tuple[StageWeather, HourMark] | None:
    marks = [(one, mark) for one in weather.stages for mark in one.marks if mark.hour]
    return min(marks, key=lambda pair: (pair[1].hour or 0.0, pair[0].stage), default=None)


def _minutes(hours: float) -> int:
    # rounded down: the instruction must not be later than the margin allows
    return int(hours * 60.0 / 5.0) * 5


def _clock(minutes: int) -> str:
    if minutes < 60:
        return f"{minutes} minutes"
    return f"{minutes // 60} h {minutes % 60:02d} min" if minutes % 60 else f"{minutes // 60} h"


def _rain(design: Design) -> str:
    unit = unit_name("speed", design.unit_system)
    return f"{design.site.rain_intensity / UNITS['speed'][unit]:.3g} {unit} for {design.site.rain_hours:g} h"


def cover_sentence(dome: Dome, weather: Weather) -> str:
    """ "Cover before H hours of this rain", or never let it come so far."""
    design = dome.design
    first, covered = _first_mark(weather), design.building.cover_after
    if first is None:
        until = "" if covered is None else f", covered from hour {covered:g} on"
        return f"The stated rain ({_rain(design)}{until}) takes no margin away that any stage meets without rain."
    stage, mark = first
    bed = "" if mark.course is None else f" at {bed_named(dome, mark.course)}"
    hours = mark.hour or 0.0
    minutes = _minutes(hours)
    after = f"{hours:.2f} h" if minutes >= LEAST_MINUTES else f"{max(math.floor(60 * hours), 1)} min"
    trace = f"{mark.check}{bed} falls short after {after} of it, with courses up to {stage.stage} laid"
    late = "" if covered is None else f" The cover at hour {covered:g} of this design comes too late."
    if minutes < LEAST_MINUTES:
        return f"Never let rain reach the dome bare ({_rain(design)}: {trace}).{late}"
    return f"Cover the whole dome before {_clock(minutes)} of this rain ({_rain(design)}: {trace}).{late}"


def instructions(dome: Dome, weather: Weather) -> tuple[str, ...]:
    """All of them, the pace first. Fresh fill must not be loaded at all: the tables have what a blow or a worker
    needs.
    """
    design = dome.design
    return (
        pace_sentence(dome, weather),
        cover_sentence(dome, weather),
        *laying_sentences(weather.laying, design.criteria.required["tipping"], design.unit_system),
    )


def rain_paragraph(design: Design, weather: Weather) -> str:
    """What the rain of the design does, and on which day it hurts most."""
    rain = f"{both(design.site.rain_intensity, 'speed', design.unit_system)} for {design.site.rain_hours:g} h"
    worst = weather.worst_day
    return (
        f"The rain of this design is {rain}. It falls on the ledges and the outer faces, wets an outer band of every"
        " course (Green & Ampt 1911 as in Chow, Maidment & Mays 1988, recalled), and makes it heavier, weaker and"
        f" slicker. {_worst_day(weather)} with courses up to {worst.stage} laid."
    )


def _worst_day(weather: Weather) -> str:
    """The worst day with its one reason."""
    worst = weather.worst_day
    left = "leaves no thrust line" if worst.after_rain == 0.0 else f"hurts {worst.check} most"
    return capital(f"on day {worst.day + 1} it {left},")
