"""How the round dome of the same diameter and tube differs (for a round dome: the pointed one)."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from shellcheck_earth.basics.units import both
from shellcheck_earth.studies.explain.lesson import Teaching
from shellcheck_earth.studies.explain.map import WIDEST_OPENING, Shape
from shellcheck_earth.views.text.explain.shown import factor_shown, friction_shown, width_shown

__all__ = ["shape_rows", "shape_words"]


def _none_beside(teaching: Teaching) -> str:
    """Why no other dome is set beside this one."""
    design = teaching.design
    diameter, opening = (
        both(length, "length", design.unit_system)
        for length in (design.dome.inside_diameter, design.dome.crown_opening)
    )
    if design.dome.profile == "round":
        return (
            f"No pointed dome of {diameter} can be built of this tube with its pivot on the outer face and a crown"
            f" opening of {opening}: some course steps in too far for a bed."
        )
    if design.dome.crown_opening >= WIDEST_OPENING * design.dome.inside_diameter:
        return (
            f"No round dome is set beside this one: its crown opening of {opening} is over {100 * WIDEST_OPENING:.0f} %"
            " of its diameter, and the two would hardly differ."
        )
    return (
        f"No round dome of {diameter} can be built of this tube: at every crown opening tried from {opening} up to"
        f" {100 * WIDEST_OPENING:.0f} % of the diameter some course steps in too far for a bed."
    )


def _how_it_closes(teaching: Teaching, other: Shape, drawn: Shape) -> Iterator[str]:
    """How far the round dome closes, and from where on it has a line."""
    system = teaching.design.unit_system
    yield (
        "A round dome's courses step in further and further towards the top. With this tube they close no further than"
        f" an opening of {both(other.opening, 'length', system)}: one course more would find no bed, or no arc to"
        f" follow. This dome closes to {both(teaching.here.opening, 'length', system)}."
    )
    if teaching.other_standing is None:
        yield (
            "And no thrust line exists in it with this wire and friction, up to an opening of"
            f" {100 * WIDEST_OPENING:.0f} % of its diameter."
        )
    elif drawn.opening > other.opening + 1e-9:
        yield f"A thrust line exists only from an opening of {both(drawn.opening, 'length', system)} on."


def shape_words(teaching: Teaching) -> tuple[str, ...]:
    """How the other dome differs, or why none is set beside this one."""
    design, here, other = teaching.design, teaching.here, teaching.other
    if other is None:
        return (_none_beside(teaching),)
    system, round_here = design.unit_system, design.dome.profile == "round"
    drawn = teaching.other_standing or other
    return (
        *(() if round_here else _how_it_closes(teaching, other, drawn)),
        (
            f"The {'pointed' if round_here else 'round'} dome is {both(drawn.height, 'length', system)} high with"
            f" {drawn.courses} courses, against {both(here.height, 'length', system)} with {here.courses}; its largest"
            f" step-in is {width_shown(design, drawn.largest_step)}, against {width_shown(design, here.largest_step)}."
        ),
        (
            f"Without wire its demand for bed friction is {friction_shown(drawn.cell.friction_no_wire)}, that of this"
            f" dome {friction_shown(here.cell.friction_no_wire)}."
        ),
    )


def shape_rows(shapes: Sequence[tuple[str, Shape]]) -> list[list[str]]:
    """A row a number, a column a shape."""
    design = shapes[0][1].design
    system = design.unit_system

    def length(value: float) -> str:
        return both(value, "length", system)

    return [
        ["Height inside, floor to top", *(length(s.height) for _, s in shapes)],
        ["Courses above the springing", *(str(s.courses) for _, s in shapes)],
        ["Crown opening", *(length(s.opening) for _, s in shapes)],
        ["Largest step-in", *(width_shown(design, s.largest_step) for _, s in shapes)],
        ["Narrowest bed", *(width_shown(design, s.least_bed) for _, s in shapes)],
        ["Weight", *(both(s.weight, "force", system) for _, s in shapes)],
        ["Tube", *(length(s.tube) for _, s in shapes)],
        ["Friction, demand with the wire", *(friction_shown(s.cell.friction, short=True) for _, s in shapes)],
        ["Friction, demand without wire", *(friction_shown(s.cell.friction_no_wire, short=True) for _, s in shapes)],
        ["Geometric factor with the wire", *(factor_shown(s.cell.factor, short=True) for _, s in shapes)],
        ["Geometric factor without wire", *(factor_shown(s.cell.factor_no_wire, short=True) for _, s in shapes)],
        ["Thrust line, as designed", *("yes" if s.cell.state == "stands" else "none" for _, s in shapes)],
    ]
