"""The build sheet: what to set the compass to, course by course, and what to cut and fill."""

from __future__ import annotations

from shellcheck_earth.basics.units import feet_inches, number_in
from shellcheck_earth.safety.result import Result
from shellcheck_earth.views.report.layout import Block, Column, heading, paragraph, small, table
from shellcheck_earth.views.text.report import compass_paragraph

__all__ = ["build_sheet_blocks"]


def _sheet_table(assessment: Result) -> Block:
    """The compass in both systems, feet and inches beside the tube to cut; everything else in the user's own."""
    imperial = assessment.design.unit_system == "imperial"
    long, narrow, force, volume = ("ft", "in", "lbf", "ft3") if imperial else ("m", "mm", "kN", "m3")
    compass = [Column("Compass, mm"), Column("Compass, ft in")]
    columns = [
        *(compass[::-1] if imperial else compass),
        Column("Course", right=False),
        Column(f"Step-in, {narrow}"),
        Column(f"Bed, {narrow}"),
        Column(f"Ring, {force}"),
        Column("Tube, m"),
        Column("Tube, ft in"),
        Column(f"Fill, {volume}"),
        Column(f"Wire, {long}"),
        Column(f"Tube so far, {long}"),
        Column(f"Fill so far, {volume}"),
    ]
    rows, tube, fill = [], 0.0, 0.0
    for course, weight in zip(assessment.dome.courses, assessment.ring_weights, strict=True):
        tube, fill = tube + course.tube_length, fill + course.fill_volume
        setting = [f"{1000 * course.compass:.0f}", feet_inches(course.compass)]
        rows.append(
            [
                *(setting[::-1] if imperial else setting),
                course.label,
                *(
                    number_in(width, "length", narrow, 2 if imperial else 0)
                    for width in (course.step_in, course.bed_width)
                ),
                number_in(weight, "force", force, 0) if imperial else f"{weight:.3g}",
                f"{course.tube_length:.2f}",
                feet_inches(course.tube_length),
                number_in(course.fill_volume, "volume", volume, 2 if imperial else 3),
                number_in(course.wire_length, "length", long, 1),
                number_in(tube, "length", long, 1),
                number_in(fill, "volume", volume, 1 if imperial else 2),
            ]
        )
    return table(columns, rows, "One line a course", 7)


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
        _sheet_table(assessment),
        small(_totals(assessment)),
    ]
