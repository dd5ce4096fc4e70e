"""Building in the weather: what the site does, and for the engineer the calendar, the rain and the open rings."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence

from shellcheck_earth.basics.units import number_in
from shellcheck_earth.safety.findings import Caution
from shellcheck_earth.safety.laying import LayingRow
from shellcheck_earth.safety.result import Result
from shellcheck_earth.safety.weather_result import StageWeather, Weather
from shellcheck_earth.views.figures import charts as figures
from shellcheck_earth.views.report.layout import Block, Column, bullets, caution, heading, paragraph, picture
from shellcheck_earth.views.report.sameness import told_once
from shellcheck_earth.views.text.below import said_below
from shellcheck_earth.views.text.cautions import caution_sentence
from shellcheck_earth.views.text.language import _
from shellcheck_earth.views.text.laying import NOTHING_TIPS, SITE_LENGTHS, laying_paragraph, tips
from shellcheck_earth.views.text.numbers import factor_words, required_words
from shellcheck_earth.views.text.survey.lengths import at_least, chain
from shellcheck_earth.views.text.weather import NOT_ASKED, RAIN_CHANGES_NOTHING, instructions, rain_paragraph

__all__ = ["rain_blocks", "site_blocks"]


def _factor(share: float, required: float) -> str:
    if math.isinf(share):
        return _("no demand")
    return _("no line") if share == 0.0 else factor_words(share * required, required)


def _calendar(weather: Weather, required: Mapping[str, float]) -> list[Block]:
    columns = [
        Column(_("Courses laid"), share=0.9),
        Column(_("Day"), share=0.6),
        Column(_("Age of lowest, days"), share=1.0),
        Column(_("Moisture, top %"), share=1.0),
        Column(_("Moisture, lowest %"), share=1.1),
        Column(_("Governs"), right=False, share=2.2),
        Column(_("At course"), share=0.9),
        Column(_("Factor"), share=0.9),
        Column(_("Required"), share=0.9),
        Column(_("First short in this rain"), right=False, share=3.2),
    ]
    rows = [_calendar_row(one, required) for one in weather.stages]
    return told_once(
        columns, rows, _("The calendar: each stage on the day its last course is laid (day 1 is the first)")
    )


def _calendar_row(one: StageWeather, required: Mapping[str, float]) -> list[str]:
    first = one.first_short
    if first is None or first.hour is None:
        rain = _("nothing")
    elif first.hour == 0.0:
        rain = _("{check}, before any rain", check=said_below(first.check))
    else:
        rain = f"{said_below(first.check)}, {first.hour:.1f} h"
    return [
        str(one.stage),
        str(one.day + 1),
        str(one.age_lowest),
        f"{100 * one.moisture_top:.1f}",
        f"{100 * one.moisture_lowest:.1f}",
        said_below(one.governs),
        "-" if one.course is None else str(one.course),
        _factor(one.dry[one.governs], required[one.governs]),
        required_words(required[one.governs]),
        rain,
    ]


def _tipping(factor: float | None) -> str:
    return _("none over") if factor is None else f"{factor:.2f}"


def _laying_columns(long: str, small: str, hold: str) -> list[Column]:
    return [
        Column(_("Course")),
        Column(_("Step-in, {unit}", unit=small)),
        Column(_("Of the width, %")),
        Column(_("Overlap, {unit}", unit=small)),
        Column(_("Tipping factor, short piece")),
        Column(_("With the wire's hold")),
        Column(_("Hold required, {unit}", unit=hold)),
        Column(_("Stands alone from, {unit}", unit=long)),
        Column(_("For the factor required, {unit}", unit=long)),
        Column(_("Under a blow, {unit}", unit=long)),
        Column(_("Under a worker, {unit}", unit=long)),
        Column(_("Top third"), right=False),
    ]


def _laying_row(row: LayingRow, long: str, small: str, hold: str) -> list[str]:
    def length(value: float) -> str:
        return number_in(value, "length", long, 2)

    def width(value: float) -> str:
        return number_in(value, "length", small, 0 if small == "mm" else 1)

    worker = "-" if row.length_worker is None else length(row.length_worker)
    if _whole_ring(row):
        worker = _("whole ring")
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
        _("yes") if row.top_third else "",
    ]


def _whole_ring(row: LayingRow) -> bool:
    """Whether a worker may stand on nothing less than the closed ring."""
    return row.length_worker is not None and row.length_worker >= row.ring_length * (1 - 1e-6)


def _site_columns() -> list[Column]:
    """What the site needs of the open rings: how long a piece must be before it is let go."""
    return [
        Column(_("Course")),
        Column(_("Step-in")),
        Column(_("Needed for the factor required")),
        Column(_("Needed under a blow")),
        Column(_("Needed under a worker")),
        Column(_("Top third"), right=False),
    ]


def _site_row(row: LayingRow, system: str) -> list[str]:
    def needed(value: float) -> str:
        return at_least(value, system) if value > 0.0 else _("none")

    worker = "-" if row.length_worker is None else needed(row.length_worker)
    return [
        str(row.number),
        chain(row.step_in, system),
        needed(row.length_required),
        needed(row.length_blow),
        _("whole ring") if _whole_ring(row) else worker,
        _("yes") if row.top_third else "",
    ]


def _rings(assessment: Result, weather: Weather) -> tuple[list[Column], list[list[str]], int]:
    """(columns, rows, courses left out because no piece of them tips) of the open rings."""
    units = ("ft", "in", "lbf/in") if assessment.design.unit_system == "imperial" else ("m", "mm", "kN/m")
    rows = [_laying_row(row, *units) for row in weather.laying if tips(row)]
    return _laying_columns(*units), rows, len(weather.laying) - len(rows)


def _laying_on_site(assessment: Result, weather: Weather) -> list[Block]:
    rows = [_site_row(row, assessment.design.unit_system) for row in weather.laying if tips(row)]
    if not rows:
        return [paragraph(_(NOTHING_TIPS))]
    caption = _("Open rings: least length of a piece")
    return [paragraph(_(SITE_LENGTHS)), *told_once(_site_columns(), rows, caption, 10.0)]


def _laying(assessment: Result, weather: Weather) -> list[Block]:
    columns, rows, left_out = _rings(assessment, weather)
    if not rows:
        return []
    required = assessment.design.criteria.required["tipping"]
    return [
        heading(_("Rings that are not closed yet"), 2),
        paragraph(laying_paragraph(required, left_out)),
        *told_once(columns, rows, _("Open rings, course by course")),
    ]


def site_blocks(assessment: Result, cautions: Sequence[Caution], build_sheet: Sequence[Block]) -> list[Block]:
    """What the site does: the instructions with the cautions that act there, the build sheet, the open rings."""
    weather = assessment.weather
    boxes = [caution(caution_sentence(one)) for one in cautions]
    if weather is None:
        return [heading(_("On the site")), paragraph(_(NOT_ASKED)), *boxes, *build_sheet]
    return [
        heading(_("On the site")),
        bullets(instructions(assessment.dome, weather)),
        *boxes,
        *build_sheet,
        heading(_("Laying a ring that is not closed yet")),
        *_laying_on_site(assessment, weather),
    ]


def _rain_matters(weather: Weather) -> bool:
    """Whether any margin changes by more than a hair in the hours of the stated rain."""
    first, last = weather.hours[0].shares, weather.hours[-1].shares
    return any(last[check] < 0.995 * share for check, share in first.items() if not math.isinf(share)) or any(
        math.isinf(share) and not math.isinf(last[check]) for check, share in first.items()
    )


def rain_blocks(assessment: Result, weather: Weather) -> tuple[list[Block], dict[str, str]]:
    """The blocks and their pictures: the calendar and the rain behind what the site is told."""
    blocks = [
        heading(_("Weather during the work")),
        paragraph(rain_paragraph(assessment.design, weather)),
        picture(
            "days.svg", _("What is left of the least margin on each day of the work, dry and after the stated rain")
        ),
    ]
    pictures = {"days.svg": figures.worst_day_chart(weather)}
    if _rain_matters(weather):
        blocks.append(picture("hours.svg", _("Margins against hours of rain on the worst day")))
        pictures["hours.svg"] = figures.rain_chart(weather)
    else:
        blocks.append(paragraph(_(RAIN_CHANGES_NOTHING)))
    blocks += _calendar(weather, assessment.design.criteria.required)
    return blocks + _laying(assessment, weather), pictures
