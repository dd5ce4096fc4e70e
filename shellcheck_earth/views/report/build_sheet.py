"""The build sheet: what to set the compass to, course by course, and what to cut and fill."""

from __future__ import annotations

from shellcheck_earth.basics.units import both, feet_inches, number_in
from shellcheck_earth.geometry.courses import TUBE_END_ALLOWANCE
from shellcheck_earth.safety.result import Result
from shellcheck_earth.views.report.layout import Block, Column, heading, paragraph, small, table

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


def _setting(length: float, system: str) -> str:
    """A compass length, the user's own system first."""
    shown = [f"{1000 * length:.0f} mm", feet_inches(length)]
    first, second = shown[::-1] if system == "imperial" else shown
    return f"{first} ({second})"


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
    dome, system = assessment.dome, assessment.design.unit_system
    shape = assessment.design.dome
    closing = both(TUBE_END_ALLOWANCE, "length", system) if system == "imperial" else f"{TUBE_END_ALLOWANCE:.2f} m"
    fixed = (
        ""
        if shape.profile == "measured"
        else (
            f"The fixed compass is {_setting(dome.fixed_compass, system)} long, from its pivot on the springing plane,"
            f" {both(dome.pivot_radius, 'length', system)} beyond the axis on the far side, to the inner face. "
        )
    )
    return [
        heading("Build sheet: what to set the compass to"),
        paragraph(
            fixed + "Before each row set the centre compass, which turns on the axis of the dome"
            f" ({both(shape.centre_pivot_above_springing, 'length', system)} above the springing plane), to the first"
            f" figure; it must touch the inner face at half the course's height. The tube to cut holds {closing} for"
            " closing and overlapping its two ends (common practice, no source). Lowest course first."
        ),
        _sheet_table(assessment),
        small(_totals(assessment)),
    ]
