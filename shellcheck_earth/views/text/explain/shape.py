"""How the round dome of the same diameter and tube differs (for a round dome: the pointed one)."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from shellcheck_earth.basics.units import both
from shellcheck_earth.studies.explain.lesson import Teaching
from shellcheck_earth.studies.explain.map import WIDEST_OPENING, Shape
from shellcheck_earth.views.text.explain.shown import factor_shown, friction_shown, width_shown
from shellcheck_earth.views.text.language import _, mark

__all__ = ["shape_rows", "shape_words"]


def _none_beside(teaching: Teaching) -> str:
    """Why no other dome is set beside this one."""
    design = teaching.design
    diameter, opening = (
        both(length, "length", design.unit_system)
        for length in (design.dome.inside_diameter, design.dome.crown_opening)
    )
    if design.dome.profile == "round":
        return _(
            "No pointed dome of {diameter} can be built of this tube with its pivot on the outer face"
            " and a crown opening of {opening}: some course steps in too far for a bed.",
            diameter=diameter,
            opening=opening,
        )
    if design.dome.crown_opening >= WIDEST_OPENING * design.dome.inside_diameter:
        return _(
            "No round dome is set beside this one: its crown opening of {opening} is over"
            " {most:.0f} % of its diameter, and the two would hardly differ.",
            opening=opening,
            most=100 * WIDEST_OPENING,
        )
    return _(
        "No round dome of {diameter} can be built of this tube: at every crown opening tried from"
        " {opening} up to {most:.0f} % of the diameter some course steps in too far for a"
        " bed.",
        diameter=diameter,
        opening=opening,
        most=100 * WIDEST_OPENING,
    )


def _how_it_closes(teaching: Teaching, other: Shape, drawn: Shape) -> Iterator[str]:
    """How far the round dome closes, and from where on it has a line."""
    system = teaching.design.unit_system
    yield (
        _(
            "A round dome's courses step in further and further towards the top. With this tube they"
            " close no further than an opening of {opening}: one course more would find no bed, or no"
            " arc to follow. This dome closes to {own}.",
            opening=both(other.opening, "length", system),
            own=both(teaching.here.opening, "length", system),
        )
    )
    if teaching.other_standing is None:
        yield (
            _(
                "And no thrust line exists in it with this wire and friction, up to an opening of"
                " {most:.0f} % of its diameter.",
                most=100 * WIDEST_OPENING,
            )
        )
    elif drawn.opening > other.opening + 1e-9:
        yield _(
            "A thrust line exists only from an opening of {opening} on.", opening=both(drawn.opening, "length", system)
        )


def shape_words(teaching: Teaching) -> tuple[str, ...]:
    """How the other dome differs, or why none is set beside this one."""
    design, here, other = teaching.design, teaching.here, teaching.other
    if other is None:
        return (_none_beside(teaching),)
    system, round_here = design.unit_system, design.dome.profile == "round"
    drawn = teaching.other_standing or other
    return (
        *(() if round_here else _how_it_closes(teaching, other, drawn)),
        _(
            POINTED_BESIDE if round_here else ROUND_BESIDE,
            height=both(drawn.height, "length", system),
            courses=drawn.courses,
            own_height=both(here.height, "length", system),
            own_courses=here.courses,
            step=width_shown(design, drawn.largest_step),
            own_step=width_shown(design, here.largest_step),
        ),
        (
            _(
                "Without wire its demand for bed friction is {friction_no_wire}, that of this dome {own}.",
                friction_no_wire=friction_shown(drawn.cell.friction_no_wire),
                own=friction_shown(here.cell.friction_no_wire),
            )
        ),
    )


ROUND_BESIDE = mark(
    "The round dome is {height} high with {courses} courses, against {own_height} with {own_courses}; its largest"
    " step-in is {step}, against {own_step}."
)
POINTED_BESIDE = mark(
    "The pointed dome is {height} high with {courses} courses, against {own_height} with {own_courses}; its largest"
    " step-in is {step}, against {own_step}."
)


def shape_rows(shapes: Sequence[tuple[str, Shape]]) -> list[list[str]]:
    """A row a number, a column a shape."""
    design = shapes[0][1].design
    system = design.unit_system

    def length(value: float) -> str:
        return both(value, "length", system)

    return [
        [_("Height inside, floor to top"), *(length(s.height) for _n, s in shapes)],
        [_("Courses above the springing"), *(str(s.courses) for _n, s in shapes)],
        [_("Crown opening"), *(length(s.opening) for _n, s in shapes)],
        [_("Largest step-in"), *(width_shown(design, s.largest_step) for _n, s in shapes)],
        [_("Narrowest bed"), *(width_shown(design, s.least_bed) for _n, s in shapes)],
        [_("Weight"), *(both(s.weight, "force", system) for _n, s in shapes)],
        [_("Tube"), *(length(s.tube) for _n, s in shapes)],
        [_("Friction, demand with the wire"), *(friction_shown(s.cell.friction, short=True) for _n, s in shapes)],
        [
            _("Friction, demand without wire"),
            *(friction_shown(s.cell.friction_no_wire, short=True) for _n, s in shapes),
        ],
        [_("Geometric factor with the wire"), *(factor_shown(s.cell.factor, short=True) for _n, s in shapes)],
        [_("Geometric factor without wire"), *(factor_shown(s.cell.factor_no_wire, short=True) for _n, s in shapes)],
        [_("Thrust line, as designed"), *(_("yes") if s.cell.state == "stands" else _("none") for _n, s in shapes)],
    ]
