"""Building in the weather, in sentences: how fast, when to cover, each with the margin it comes from."""

from __future__ import annotations

import math

from shellcheck_earth.basics.units import UNITS, both, unit_name
from shellcheck_earth.design.design import Design
from shellcheck_earth.geometry.courses import Dome
from shellcheck_earth.safety.weather import FASTEST
from shellcheck_earth.safety.weather_result import HourMark, StageWeather, Weather
from shellcheck_earth.views.text.below import said_below
from shellcheck_earth.views.text.language import _, mark
from shellcheck_earth.views.text.laying import laying_sentences
from shellcheck_earth.views.text.numbers import bed_named, factor_words, required_words

__all__ = [
    "NOT_ASKED",
    "RAIN_CHANGES_NOTHING",
    "cover_sentence",
    "instructions",
    "pace_sentence",
    "rain_paragraph",
]

NOT_ASKED = mark(
    "The calendar of the work was not asked for: nothing is said here of pace, rain or pieces of open rings."
)
RAIN_CHANGES_NOTHING = mark(
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
    where = _(
        "{check} governs{at}, with courses up to {stage} laid",
        check=said_below(one.governs),
        at="" if one.course is None else _(" at {bed}", bed=bed_named(dome, one.course)),
        stage=one.stage,
    )
    if share == 0.0:
        return _("{where}: no thrust line is left", where=where)
    factor = _("no demand")
    if not math.isinf(share):
        factor = _("a safety factor of {factor}", factor=factor_words(share * required, required))
    return _("{where}: {factor}, {required} required", where=where, factor=factor, required=required_words(required))


def pace_sentence(dome: Dome, weather: Weather) -> str:
    """ "No more than N courses a day", or why the pace decides nothing."""
    trace = _dry_trace(dome, _worst_dry(weather.stages))
    if weather.pace is None:
        return _(
            "No pace that was tried, down to half a course a day, meets every margin while building, even without rain"
            " ({trace}).",
            trace=trace,
        )
    if not weather.pace_matters:
        return _(
            "The pace changes no margin here: no drying and no hardening is counted on, every course counts as damp as"
            " it was placed ({trace}).",
            trace=trace,
        )
    if weather.pace >= FASTEST:
        return _(
            "Up to {pace:g} courses a day, the most that was tried, every margin is met without rain ({trace}).",
            pace=FASTEST,
            trace=trace,
        )
    stated = dome.design.building.courses_per_day
    most = _(
        "Lay no more than {pace:g} courses a day ({trace}, at the pace of this design).", pace=weather.pace, trace=trace
    )
    if stated <= weather.pace:
        return most
    too_many = _("The {stated:g} a day of this design are too many.", stated=stated)
    return f"{most} {too_many}"


def _first_mark(weather: Weather) -> tuple[StageWeather, HourMark] | None:
    marks = [(one, mark) for one in weather.stages for mark in one.marks if mark.hour]
    return min(marks, key=lambda pair: (pair[1].hour or 0.0, pair[0].stage), default=None)


def _minutes(hours: float) -> int:
    # rounded down: the instruction must not be later than the margin allows
    return int(hours * 60.0 / 5.0) * 5


def _clock(minutes: int) -> str:
    if minutes < 60:
        return _("{minutes} minutes", minutes=minutes)
    return f"{minutes // 60} h {minutes % 60:02d} min" if minutes % 60 else f"{minutes // 60} h"


def _rain(design: Design) -> str:
    unit = unit_name("speed", design.unit_system)
    return _(
        "{rate:.3g} {unit} for {hours:g} h",
        rate=design.site.rain_intensity / UNITS["speed"][unit],
        unit=unit,
        hours=design.site.rain_hours,
    )


def cover_sentence(dome: Dome, weather: Weather) -> str:
    """ "Cover before H hours of this rain", or never let it come so far; of a dome with openings no hour but that of
    the design's cover is known."""
    said, covered = _cover_rings(dome, weather), dome.design.building.cover_after
    if not dome.design.openings:
        return said
    if covered is None:
        beside = _("That is of its rings alone: with its openings it is asked all of this rain, by the block model.")
    else:
        beside = _(
            "That is of its rings alone: with its openings it is asked this rain until hour {covered:g}, by the block"
            " model. Cover it no later, and before it rains wherever you can.",
            covered=covered,
        )
    return f"{said} {beside}"


def _cover_rings(dome: Dome, weather: Weather) -> str:
    design = dome.design
    first, covered = _first_mark(weather), design.building.cover_after
    if first is None:
        return _(
            "The stated rain ({rain}{until}) takes no margin away by falling on the wall; wet ground is in the cases.",
            rain=_rain(design),
            until="" if covered is None else _(", covered from hour {covered:g} on", covered=covered),
        )
    stage, short = first
    hours = short.hour or 0.0
    minutes = _minutes(hours)
    after = f"{hours:.2f} h" if minutes >= LEAST_MINUTES else f"{max(math.floor(60 * hours), 1)} min"
    trace = _(
        "{check}{at} falls short after {after} of it, with courses up to {stage} laid",
        check=said_below(short.check),
        at="" if short.course is None else _(" at {bed}", bed=bed_named(dome, short.course)),
        after=after,
        stage=stage.stage,
    )
    if minutes < LEAST_MINUTES:
        said = _("Never let rain reach the dome bare ({rain}: {trace}).", rain=_rain(design), trace=trace)
    else:
        said = _(
            "Cover the whole dome before {clock} of this rain ({rain}: {trace}).",
            clock=_clock(minutes),
            rain=_rain(design),
            trace=trace,
        )
    if covered is None:
        return said
    late = _("The cover at hour {covered:g} of this design comes too late.", covered=covered)
    return f"{said} {late}"


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
    worst = weather.worst_day
    rain = _(
        "The rain of this design is {rate} for {hours:g} h. It falls on the ledges and the outer faces, wets an outer"
        " band of every course (Green & Ampt 1911 as in Chow, Maidment & Mays 1988, recalled), and makes it heavier,"
        " weaker and slicker.",
        rate=both(design.site.rain_intensity, "speed", design.unit_system),
        hours=design.site.rain_hours,
    )
    if worst.after_rain == 0.0:
        day = _(
            "On day {day} it leaves no thrust line, with courses up to {stage} laid.",
            day=worst.day + 1,
            stage=worst.stage,
        )
    else:
        day = _(
            "On day {day} it hurts {check} most, with courses up to {stage} laid.",
            day=worst.day + 1,
            check=said_below(worst.check),
            stage=worst.stage,
        )
    ground = _(
        "Here and in the charts rain wets the wall alone; the cases of rain that count find the courses that stand in"
        " the ground soaked through as well, under any cover."
    )
    return f"{rain} {day} {ground}"
