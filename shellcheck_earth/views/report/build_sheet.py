"""The build sheet: what to set the compass to, course by course, and what to cut and fill."""

from __future__ import annotations

from shellcheck_earth.basics.units import feet_inches, number_in
from shellcheck_earth.basics.values import fixed
from shellcheck_earth.safety.result import Result
from shellcheck_earth.studies.survey.tolerance import of_plan
from shellcheck_earth.views.report.layout import Block, Column, heading, paragraph, small, table
from shellcheck_earth.views.text.below import said_below
from shellcheck_earth.views.text.language import _
from shellcheck_earth.views.text.report import compass_paragraph
from shellcheck_earth.views.text.survey.lengths import chain, height_change, measured_off, on_tape, tolerance_words

__all__ = ["build_sheet_blocks"]


def _heads(imperial: bool) -> list[Column]:
    more = _("1/2 in\nhigher") if imperial else _("10 mm\nhigher")
    numbers = (_("Wall\nheight"), _("Set\nchain"), _("Top\nthen"), more, _("In by"), _("Out by"))
    blank = Column(_("Top\nas built"), share=1.0), Column(_("Radius\nas built"), share=1.0)
    return [Column(_("Course"), right=False), *map(Column, numbers), Column(_("Laid"), right=False), *blank]


def _below(value: float, system: str) -> str:
    """A level over the springing plane; under it with a sign."""
    return chain(value, system) if value > -0.0005 else "-" + chain(-value, system)


def _site_table(assessment: Result) -> Block:
    """What is set and read on site, as on the build card: by the height of the wall, with room for what was built."""
    design = assessment.design
    system, drawn = design.unit_system, design.dome.profile != "measured"
    _way, listed, tolerated = of_plan(design) if drawn else (None, (), {})
    by_number = {one.number: one for one in listed}
    rows = []
    for course in assessment.dome.courses:
        one = by_number.get(course.number)
        rows.append(
            [
                said_below(course.label),
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
    return table(_heads(system == "imperial"), rows, _("On site: one line a course, lowest first"), 10)


def _site_words(assessment: Result) -> str:
    """How the table on site is used."""
    design = assessment.design
    floor, system = design.dome.springing_above_floor, design.unit_system
    text = _(
        "Measure the height of the wall above the springing plane{over} before each course, find it in the table and"
        " set the centre chain to what stands beside it; between two lines go in proportion. Settings belong to heights"
        " and not to course numbers. Higher: what the setting changes by when the wall stands so much higher than its"
        " line; the other way when lower. In by, out by: how far a course may stand off its setting, all others as they"
        " are set, before a margin falls short; looked for up to {most}, in the ring-symmetric check. A dash: not"
        " looked for.",
        over=_(", {floor} above the floor", floor=on_tape(floor, system)) if floor > 0.0 else "",
        most=on_tape(fixed("survey.tolerance_most"), system),
    )
    if assessment.verdict != "falls short":
        return text
    none = _("This design falls short of what is required: it has no tolerances.")
    return f"{text} {none}"


def _cut_table(assessment: Result) -> Block:
    """The compass in both systems, feet and inches beside the tube to cut; everything else in the user's own, of a
    design in feet as a tape reads, to the quarter of an inch.
    """
    system = assessment.design.unit_system
    imperial = system == "imperial"
    tube_heads = [Column(_("Tube,\nm")), Column(_("Tube,\nft in"))]
    columns = [
        Column(_("Course"), right=False),
        Column(_("Compass,\nmm") if imperial else _("Compass,\nft in")),
        *(tube_heads[::-1] if imperial else tube_heads),
        Column(_("Fill,\n{unit}", unit="ft3" if imperial else "m3")),
        Column(_("Wire")),
        Column(_("Step-in")),
        Column(_("Tube\nso far")),
        Column(_("Fill so\nfar, {unit}", unit="ft3" if imperial else "m3")),
    ]
    rows, tube, fill, volume = [], 0.0, 0.0, "ft3" if imperial else "m3"
    for course in assessment.dome.courses:
        tube, fill = tube + course.tube_length, fill + course.fill_volume
        cut = [f"{course.tube_length:.2f}", measured_off(course.tube_length, "imperial")]
        rows.append(
            [
                said_below(course.label),
                f"{1000 * course.compass:.0f}" if imperial else feet_inches(course.compass),
                *(cut[::-1] if imperial else cut),
                number_in(course.fill_volume, "volume", volume, 2 if imperial else 3),
                _long(course.wire_length, system),
                measured_off(course.step_in, system) if imperial else chain(course.step_in, system),
                _long(tube, system),
                number_in(fill, "volume", volume, 1 if imperial else 2),
            ]
        )
    caption = _("To cut and fill: one line a course, lowest first; the compass in the other system")
    return table(columns, rows, caption, 10)


def _long(length: float, system: str) -> str:
    """A length of tube or wire, of which a tenth of a metre is enough."""
    return measured_off(length, system) if system == "imperial" else f"{length:.1f} m"


def _totals(assessment: Result) -> str:
    totals = assessment.totals
    tube, fill = f"{totals.tube_length:.1f} m", f"{totals.fill_volume:.2f} m3"
    wire = f"{totals.wire_length:.0f} m"
    if assessment.design.unit_system == "imperial":
        tube = f"{number_in(totals.tube_length, 'length', 'ft', 0)} ft"
        fill = f"{number_in(totals.fill_volume, 'volume', 'ft3', 0)} ft3"
        wire = f"{number_in(totals.wire_length, 'length', 'ft', 0)} ft"
    return _(
        "In all: {tube} of tube, {fill} of tamped fill, {wire} of wire, {courses} courses.",
        tube=tube,
        fill=fill,
        wire=wire,
        courses=totals.courses,
    )


def build_sheet_blocks(assessment: Result) -> list[Block]:
    """What to set the compass to, course by course."""
    return [
        heading(_("Build sheet: what to set the compass to")),
        paragraph(compass_paragraph(assessment.dome)),
        paragraph(_site_words(assessment)),
        _site_table(assessment),
        _cut_table(assessment),
        small(_totals(assessment)),
    ]
