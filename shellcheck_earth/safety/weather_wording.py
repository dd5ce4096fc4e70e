"""Plain instructions for the crew, each with the margin it comes from."""

from __future__ import annotations

import math
from collections.abc import Iterator
from itertools import groupby
from typing import TYPE_CHECKING

from shellcheck_earth.basics.units import FOOT, UNITS, unit_name
from shellcheck_earth.design.design import Design
from shellcheck_earth.safety.laying import LayingRow, first_needing_hand

if TYPE_CHECKING:
    from shellcheck_earth.safety.weather import HourMark, StageWeather, Weather

__all__ = ["FASTEST", "cover_sentence", "instructions", "laying_sentences", "pace_sentence"]


FASTEST = 8.0
"""Courses a day: the fastest pace that is tried."""


def _courses(numbers: list[int]) -> str:
    return f"Course {numbers[0]}" if len(numbers) == 1 else f"Courses {numbers[0]} to {numbers[-1]}"


def _bed(number: int | None) -> str:
    below = " (below the springing)" if number is not None and number < 1 else ""
    return f"the bed under course {number}{below}"


def _worst_dry(stages: tuple[StageWeather, ...]) -> StageWeather:
    return min(stages, key=lambda one: (one.dry[one.governs], one.stage))


def _dry_trace(one: StageWeather) -> str:
    share = one.dry[one.governs]
    found = "nothing that is asked for is lacking" if math.isinf(share) else f"{share:.2f} of what is asked for"
    at = "" if one.course is None else f" at {_bed(one.course)}"
    return f"{one.governs}{at}, courses up to {one.stage} laid: {found}"


def pace_sentence(design: Design, weather: Weather) -> str:
    """ "No more than N courses a day", or why the pace decides nothing."""
    trace = _dry_trace(_worst_dry(weather.stages))
    if weather.pace is None:
        return (
            "No pace that was tried, down to half a course a day, meets every margin while building, "
            "even without rain "
            f"({trace})."
        )
    if not weather.pace_matters:
        return (
            "The pace changes no margin here: no drying and no hardening is counted on, every course "
            "counts as damp as "
            f"it was placed ({trace})."
        )
    if weather.pace >= FASTEST:
        return f"Up to {FASTEST:g} courses a day, the most that was tried, every margin is met without rain ({trace})."
    given = (
        ""
        if design.building.courses_per_day <= weather.pace
        else (f" The {design.building.courses_per_day:g} a day of this design are too many.")
    )
    return f"Lay no more than {weather.pace:g} courses a day ({trace} at the pace of this design).{given}"


def _first_mark(weather: Weather) -> tuple[StageWeather, HourMark] | None:
    marks = [(one, mark) for one in weather.stages for mark in one.marks if mark.hour]
    return min(marks, key=lambda pair: (pair[1].hour or 0.0, pair[0].stage), default=None)


def _clock(hours: float) -> str:
    # rounded down: the instruction must not be later than the margin allows
    minutes = int(hours * 60.0 / 5.0) * 5
    if minutes < 60:
        return f"{minutes} minutes"
    return f"{minutes // 60} h {minutes % 60:02d} min" if minutes % 60 else f"{minutes // 60} h"


def _rain(design: Design) -> str:
    unit = unit_name("speed", design.unit_system)
    return f"{design.site.rain_intensity / UNITS['speed'][unit]:.3g} {unit}"


def cover_sentence(design: Design, weather: Weather) -> str:
    """ "Cover before H hours of this rain"."""
    rain = f"{_rain(design)} for {design.site.rain_hours:g} h"
    first = _first_mark(weather)
    covered = design.building.cover_after
    if first is None:
        until = "" if covered is None else f", covered from hour {covered:g} on"
        return f"The stated rain ({rain}{until}) brings down no margin of any stage that is met without rain."
    stage, mark = first
    trace = f"{mark.check}, courses up to {stage.stage} laid, {_bed(mark.course)}, falls short after {mark.hour:.2f} h"
    late = "" if covered is None else f" The cover at hour {covered:g} of this design comes too late."
    return f"Cover the whole dome before {_clock(mark.hour or 0.0)} of this rain ({rain}; {trace}).{late}"


QUARTER = {"metric": 0.25, "imperial": 0.5 * FOOT}
"""Steps that lengths of a piece are rounded up to [m]: a quarter of a metre, half a foot."""


def _rounded(length: float, system: str) -> float:
    step = QUARTER[system]
    return math.ceil(length / step - 1e-9) * step


def _long(length: float, system: str) -> str:
    return f"{length / UNITS['length'][unit_name('length', system)]:.2f} {unit_name('length', system)}"


def _piece_sentence(same: list[LayingRow], length: float, required: float, system: str) -> str:
    """The longer of what the factor and what a tamper's blow ask for, rounded up."""
    whole = any(length >= row.ring_length for row in same)
    say = "close the whole ring before letting go" if whole else f"lay at least {_long(length, system)} in one piece"
    least = min(same, key=lambda row: math.inf if row.factor is None else row.factor)
    alone = "nothing hangs over" if least.factor is None else f"a short piece has {least.factor:.2f}"
    longest = max(same, key=lambda row: max(row.length_required, row.length_blow))
    return (
        f"{_courses([row.number for row in same])}: {say} before it is tamped (tipping: {alone}, "
        f"{required:g} is asked for; "
        f"course {longest.number} needs {_long(longest.length_required, system)} for that and "
        f"{_long(longest.length_blow, system)} under a "
        "tamper's blow)."
    )


def laying_sentences(rows: tuple[LayingRow, ...], required: float, system: str) -> Iterator[str]:
    """The courses of which a short piece tips, and how long a piece must be; runs of equal length
    together."""
    first = first_needing_hand(rows)
    if first is not None:
        yield (
            f"From course {first} on, a short piece tips inward by itself: hold it by hand or prop it "
            "until the ring is "
            "closed (its step-in is over about half of the width)."
        )
    for length, group in groupby(rows, key=lambda row: _rounded(max(row.length_required, row.length_blow), system)):
        if length > 0.0:
            yield _piece_sentence(list(group), length, required, system)


def instructions(design: Design, weather: Weather) -> tuple[str, ...]:
    """All of them, the pace first. Fresh fill must not be loaded at all: the tables have what a blow or a
    worker needs."""
    return (
        pace_sentence(design, weather),
        cover_sentence(design, weather),
        *laying_sentences(weather.laying, design.criteria.required["tipping"], design.unit_system),
    )
