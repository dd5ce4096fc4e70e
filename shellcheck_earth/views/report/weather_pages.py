"""The pages about building in the weather: the calendar, the rain, the laying of open rings, and what to do."""

from __future__ import annotations

import math
from collections.abc import Mapping

from shellcheck_earth.basics.units import number_in
from shellcheck_earth.safety.findings import CautionKey
from shellcheck_earth.safety.laying import LayingRow
from shellcheck_earth.safety.result import Result
from shellcheck_earth.safety.weather_result import StageWeather, Weather
from shellcheck_earth.views.figures import charts as figures
from shellcheck_earth.views.report.layout import Block, Column, bullets, caution, heading, paragraph, picture, table
from shellcheck_earth.views.text.cautions import caution_sentence
from shellcheck_earth.views.text.laying import NOTHING_TIPS, laying_paragraph, tips
from shellcheck_earth.views.text.numbers import factor_words, required_words
from shellcheck_earth.views.text.weather import instructions, rain_paragraph

__all__ = ["weather_blocks"]


def _factor(share: float, required: float) -> str:
    if math.isinf(share):
        return "no demand"
    return "no line" if share == 0.0 else factor_words(share * required, required)


def _calendar(weather: Weather, required: Mapping[str, float]) -> Block:
    columns = [
        Column("Courses laid", share=0.9),
        Column("Day", share=0.6),
        Column("Age of lowest, days", share=1.0),
        Column("Moisture, top %", share=1.0),
        Column("Moisture, lowest %", share=1.1),
        Column("Governs", right=False, share=2.2),
        Column("At course", share=0.9),
        Column("Factor", share=0.9),
        Column("Required", share=0.9),
        Column("First short in this rain", right=False, share=3.2),
    ]
    rows = [_calendar_row(one, required) for one in weather.stages]
    return table(columns, rows, "The calendar: each stage on the day its last course is laid (day 1 is the first)", 7.5)


def _calendar_row(one: StageWeather, required: Mapping[str, float]) -> list[str]:
    first = one.first_short
    if first is None or first.hour is None:
        rain = "nothing"
    elif first.hour == 0.0:
        rain = f"{first.check}, before any rain"
    else:
        rain = f"{first.check}, {first.hour:.1f} h"
    return [
        str(one.stage),
        str(one.day + 1),
        str(one.age_lowest),
        f"{100 * one.moisture_top:.1f}",
        f"{100 * one.moisture_lowest:.1f}",
        one.governs,
        "-" if one.course is None else str(one.course),
        _factor(one.dry[one.governs], required[one.governs]),
        required_words(required[one.governs]),
        rain,
    ]


def _tipping(factor: float | None) -> str:
    return "none over" if factor is None else f"{factor:.2f}"


def _laying_columns(long: str, small: str, hold: str) -> list[Column]:
    return [
        Column("Course"),
        Column(f"Step-in, {small}"),
        Column("Of the width, %"),
        Column(f"Overlap, {small}"),
        Column("Tipping factor, short piece"),
        Column("With the wire's hold"),
        Column(f"Hold required, {hold}"),
        Column(f"Stands alone from, {long}"),
        Column(f"For the factor required, {long}"),
        Column(f"Under a blow, {long}"),
        Column(f"Under a worker, {long}"),
        Column("Top third", right=False),
    ]


def _laying_row(row: LayingRow, long: str, small: str, hold: str) -> list[str]:
    def length(value: float) -> str:
        return number_in(value, "length", long, 2)

    def width(value: float) -> str:
        return number_in(value, "length", small, 0 if small == "mm" else 1)

    worker = "-" if row.length_worker is None else length(row.length_worker)
    if row.length_worker is not None and row.length_worker >= row.ring_length * (1 - 1e-6):
        worker = "whole ring"
    return [
        str(row.number),
        width(row.step_in),
        f"{100 * row.step_share:.0f}",
        width(row.overlap),
        _tipping(row.factor),
        _tipping(row.factor_held),
        number_in(row.hold_needed, "force per length", hold, 2),
        length(row.length_alone),
        length(row.length_required),
        length(row.length_blow),
        worker,
        "yes" if row.top_third else "",
    ]


def _without_zeros(columns: list[Column], rows: list[list[str]]) -> Block:
    """The table of open rings; columns that hold nothing but zeros are left out, and the caption says so."""
    kept = [index for index in range(len(columns)) if any(row[index] != "0.00" for row in rows)]
    left_out = "" if len(kept) == len(columns) else "; columns that would hold only zeros are left out"
    shown = [[row[index] for index in kept] for row in rows]
    return table([columns[index] for index in kept], shown, f"Open rings, course by course{left_out}", 7.5)


def _laying(assessment: Result, weather: Weather) -> list[Block]:
    units = ("ft", "in", "lbf/in") if assessment.design.unit_system == "imperial" else ("m", "mm", "kN/m")
    columns = _laying_columns(*units)
    tipping = [row for row in weather.laying if tips(row)]
    rows = [_laying_row(row, *units) for row in tipping]
    head = [heading("Laying a ring that is not closed yet", 2), *_cautions(assessment, "building")]
    if not tipping:
        return [*head, paragraph(NOTHING_TIPS)]
    return [
        *head,
        paragraph(laying_paragraph(assessment.design.criteria.required["tipping"], len(weather.laying) - len(tipping))),
        _without_zeros(columns, rows),
    ]


def _cautions(assessment: Result, key: CautionKey) -> list[Block]:
    """The caution that acts here."""
    return [caution(caution_sentence(one)) for one in assessment.cautions if one.key == key]


def weather_blocks(assessment: Result, weather: Weather) -> tuple[list[Block], dict[str, str]]:
    """The blocks and their pictures."""
    blocks = [
        heading("Building it in the weather"),
        bullets(instructions(assessment.dome, weather)),
        *_cautions(assessment, "rain"),
        paragraph(rain_paragraph(assessment.design, weather)),
        picture("days.svg", "What is left of the least margin on each day of the work, dry and after the stated rain"),
        picture("hours.svg", "Margins against hours of rain on the worst day"),
        _calendar(weather, assessment.design.criteria.required),
        *_laying(assessment, weather),
    ]
    return blocks, {"days.svg": figures.worst_day_chart(weather), "hours.svg": figures.rain_chart(weather)}
