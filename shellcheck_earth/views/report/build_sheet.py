"""The build sheet: what to set the compass to, course by course, and what to cut and fill."""

from __future__ import annotations

from shellcheck_earth.basics.units import both, feet_inches, number_in
from shellcheck_earth.basics.values import fixed
from shellcheck_earth.safety.result import Result
from shellcheck_earth.studies.survey.tolerance import of_plan
from shellcheck_earth.views.report.layout import Block, Column, heading, paragraph, small, table
from shellcheck_earth.views.text.report import compass_paragraph
from shellcheck_earth.views.text.survey.lengths import chain, height_change, tolerance_words

__all__ = ["build_sheet_blocks"]


def _heads(imperial: bool) -> list[Column]:
    more = "1/2 in higher" if imperial else "10 mm higher"
    numbers = ("Wall height", "Set chain", "Top then", more, "In by", "Out by")
    tick, blank = Column("Laid", right=False), (Column("Top as built", share=1.0), Column("Radius as built", share=1.0))
    return [Column("Course", right=False), *map(Column, numbers), tick, *blank]


def _below(value: float, system: str) -> str:
    """A level over the springing plane; under it with a sign."""
    return chain(value, system) if value > -0.0005 else "-" + chain(-value, system)


def _site_table(assessment: Result) -> Block:
    """What is set and read on site, as on the build card: by the height of the wall, with room for what was built."""
    design = assessment.design
    system, drawn = design.unit_system, design.dome.profile != "measured"
    _, listed, tolerated = of_plan(design) if drawn else (None, (), {})
    by_number = {one.number: one for one in listed}
    rows = []
    for course in assessment.dome.courses:
        one = by_number.get(course.number)
        rows.append(
            [
                course.label,
                _below(course.z_bottom, system),
                chain(course.compass, system),
                _below(course.z_top, system),
                "-" if one is None else height_change(one, system),
                *tolerance_words(tolerated.get(course.number), system),
                "[]",
                "",
                "",
            ]
        )
    return table(_heads(system == "imperial"), rows, "On site: one line a course, lowest first", 10)


def _site_words(assessment: Result) -> str:
    """How the table on site is used."""
    design = assessment.design
    floor, most = design.dome.springing_above_floor, both(fixed("survey.tolerance_most"), "length", design.unit_system)
    over = f", {both(floor, 'length', design.unit_system)} above the floor" if floor > 0.0 else ""
    text = (
        f"Measure the height of the wall above the springing plane{over} before each course, find it in the table and"
        " set the centre chain to what stands beside it; between two lines go in proportion. Settings belong to heights"
        " and not to course numbers. Higher: what the setting changes by when the wall stands so much higher than its"
        " line; the other way when lower. In by, out by: how far a course may stand off its setting, all others as they"
        f" are set, before a margin falls short; looked for up to {most},"
        " in the ring-symmetric check. A dash: not looked for."
    )
    if assessment.verdict == "falls short":
        text += " This design falls short of what is required: it has no tolerances."
    return text


def _cut_table(assessment: Result) -> Block:
    """The compass in both systems, feet and inches beside the tube to cut; everything else in the user's own."""
    imperial = assessment.design.unit_system == "imperial"
    long, narrow, volume = ("ft", "in", "ft3") if imperial else ("m", "mm", "m3")
    tube_heads = [Column("Tube, m"), Column("Tube, ft in")]
    columns = [
        Column("Course", right=False),
        Column("Compass, mm" if imperial else "Compass, ft in"),
        *(tube_heads[::-1] if imperial else tube_heads),
        Column(f"Fill, {volume}"),
        Column(f"Wire, {long}"),
        Column(f"Step-in, {narrow}"),
        Column(f"Tube so far, {long}"),
        Column(f"Fill so far, {volume}"),
    ]
    rows, tube, fill = [], 0.0, 0.0
    for course in assessment.dome.courses:
        tube, fill = tube + course.tube_length, fill + course.fill_volume
        cut = [f"{course.tube_length:.2f}", feet_inches(course.tube_length)]
        rows.append(
            [
                course.label,
                f"{1000 * course.compass:.0f}" if imperial else feet_inches(course.compass),
                *(cut[::-1] if imperial else cut),
                number_in(course.fill_volume, "volume", volume, 2 if imperial else 3),
                number_in(course.wire_length, "length", long, 1),
                number_in(course.step_in, "length", narrow, 2 if imperial else 0),
                number_in(tube, "length", long, 1),
                number_in(fill, "volume", volume, 1 if imperial else 2),
            ]
        )
    return table(columns, rows, "To cut and fill: one line a course, lowest first; the compass in the other system", 10)


def _totals(assessment: Result) -> str:
    totals = assessment.totals
    if assessment.design.unit_system == "imperial":
        return (
            f"In all: {number_in(totals.tube_length, 'length', 'ft', 0)} ft of tube,"
            f" {number_in(totals.fill_volume, 'volume', 'ft3', 0)} ft3 of tamped fill,"
            f" {number_in(totals.wire_length, 'length', 'ft', 0)} ft of wire, {totals.courses} courses."
        )
    return (
        f"In all: {totals.tube_length:.1f} m of tube, {totals.fill_volume:.2f} m3 of tamped fill,"
        f" {totals.wire_length:.0f} m of wire, {totals.courses} courses."
    )


def build_sheet_blocks(assessment: Result) -> list[Block]:
    """What to set the compass to, course by course."""
    return [
        heading("Build sheet: what to set the compass to"),
        paragraph(compass_paragraph(assessment.dome)),
        paragraph(_site_words(assessment)),
        _site_table(assessment),
        _cut_table(assessment),
        small(_totals(assessment)),
    ]
