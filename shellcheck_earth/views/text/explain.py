"""The teaching report's sentences: short, each with a number of this dome in it."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import replace

import numpy as np

from shellcheck_earth.basics.units import POUND, G, both, format_quantity
from shellcheck_earth.design.design import Design
from shellcheck_earth.geometry.profile import arc_course_count
from shellcheck_earth.mechanics.rings.capacity import GREATEST_GEOMETRIC_FACTOR
from shellcheck_earth.mechanics.rings.collapse import Collapse
from shellcheck_earth.studies.explain.lesson import Teaching
from shellcheck_earth.studies.explain.map import WIDEST, WIDEST_OPENING, Shape
from shellcheck_earth.studies.explain.ways import Kind, Way
from shellcheck_earth.views.text.doubts import beyond_range_doubts
from shellcheck_earth.views.text.numbers import course_named

__all__ = [
    "NOUNS",
    "factor_shown",
    "friction_shown",
    "map_words",
    "mechanism_words",
    "no_map_words",
    "section_words",
    "shape_rows",
    "shape_words",
    "short_words",
    "thumb_words",
    "title",
    "value_shown",
    "way_words",
    "width_shown",
]

LESS: dict[Kind, str] = {
    "wall": "A thinner wall",
    "friction": "Less friction in the beds",
    "wire": "Less wire",
    "friction without wire": "No wire, and less friction",
}
MORE: dict[Kind, str] = {
    "wall": "A thicker wall",
    "friction": "More friction in the beds",
    "wire": "More wire",
    "friction without wire": "No wire, but more friction",
}
NOUNS: dict[Kind, str] = {
    "wall": "wall",
    "friction": "bed friction",
    "wire": "wire",
    "friction without wire": "bed friction without any wire",
}

SEEN = 0.05
"""Hinges and slips under this share of the largest are too small to be seen and are not named."""


def title(way: Way) -> str:
    """What is done to the dome: taken away until no line is left, or added where there is none."""
    return (MORE if way.outcome in ("rises", "never stands") else LESS)[way.kind]


def width_shown(design: Design, value: float) -> str:
    """Millimetres and inches, the user's own first."""
    shown = [format_quantity(value, "length", unit=unit) for unit in ("mm", "in")]
    first, second = shown[::-1] if design.unit_system == "imperial" else shown
    return f"{first} ({second})"


def value_shown(design: Design, kind: Kind, value: float, *, short: bool = False) -> str:
    """A width, a friction or a wire tension; `short` in the user's own units alone."""
    if kind == "wall":
        return (
            format_quantity(value, "length", unit="in" if design.unit_system == "imperial" else "mm")
            if short
            else width_shown(design, value)
        )
    if kind == "wire":
        return (
            format_quantity(value, "force", design.unit_system) if short else both(value, "force", design.unit_system)
        )
    return f"{value:.3g}"


def _mass(design: Design, weight: float) -> str:
    """A weight [kN] as a mass in tonnes and pounds, the user's own first."""
    tonnes = weight / G
    pounds = 1000 * tonnes / POUND
    pounds = round(pounds, 2 - math.floor(math.log10(pounds)))
    both_ways = (f"{tonnes:.3g} t", f"{pounds:.0f} lb")
    first, second = both_ways[::-1] if design.unit_system == "imperial" else both_ways
    return f"{first} ({second})"


def factor_shown(value: float | None, *, short: bool = False) -> str:
    """A geometric factor in a sentence or (`short`) in a table."""
    if value is None:
        return "no line" if short else "none (no line)"
    return f"over {GREATEST_GEOMETRIC_FACTOR:.0f}" if value >= GREATEST_GEOMETRIC_FACTOR else f"{value:.3g}"


def _share(design: Design, width: float) -> str:
    return f"{100 * width / design.dome.inside_diameter:.1f} %"


def section_words(teaching: Teaching) -> tuple[str, ...]:
    """What the band of thrust lines is, and how wide it is in this dome."""
    design, here = teaching.design, teaching.here
    band, cell, system = here.band, here.cell, design.unit_system
    size = (
        f"{design.name} is {both(design.dome.inside_diameter, 'length', system)} wide inside and"
        f" {both(here.height, 'length', system)} high, of {here.courses} courses above the springing; its wall of"
        f" {width_shown(design, design.wall.filled_width)} is {_share(design, design.wall.filled_width)} of the"
        " diameter."
    )
    weight = (
        f"Finished, at its service moisture of {100 * design.fill.service_moisture:.3g} %, it weighs"
        f" {_mass(design, here.weight)}, and this weight has to find a way down inside the wall: a thrust line."
    )
    if band.failing >= 0:
        return (
            size,
            weight,
            f"In this dome it finds none: no path crosses the bed under course {here.dome.top_number - band.failing}.",
        )
    wide = band.x_high - band.x_low
    at = int(np.argmin(wide))
    course = here.dome.courses[::-1][at]
    room = (
        "The dark band of the section holds every thrust line there is in the finished dome. It is narrowest in the"
        f" bed under {course_named(course)}: {width_shown(design, float(wide[at]))} of the bed's"
        f" {width_shown(design, course.bed_width)}."
    )
    beds = design.beds
    if beds.wire_tension > 0:
        held = (
            f"What holds it is friction and wire: with {both(beds.wire_tension, 'force', system)} of wire counted in"
            f" each bed it needs a bed friction of {friction_shown(cell.friction)}, without any wire"
            f" {friction_shown(cell.friction_no_wire)}; the beds have {float(beds.friction):.3g}."
        )
    else:
        none = "No wire is counted on" if beds.wire_strands else "It has no wire"
        held = (
            f"{none}: friction alone holds it. It needs {friction_shown(cell.friction)}; the beds have"
            f" {float(beds.friction):.3g}."
        )
    return size, weight, room, held


def friction_shown(value: float | None, *, short: bool = False) -> str:
    """A needed friction in a sentence or (`short`) in a table."""
    return (
        ("none is enough" if short else "more than there can be")
        if value is None
        else "0 (none)"
        if value == 0.0
        else f"{value:.3g}"
    )


def short_words(teaching: Teaching) -> tuple[str, ...]:
    """What goes first: each capacity's own reserve, alone, in the case where it is least."""
    enough, missing = [], []
    for kind in ("wall", "friction", "wire"):
        found = [way for way in teaching.ways if way.kind == kind]
        if not found:
            continue
        way = found[-1]  # the governing case follows the finished dome where it is another
        noun, where = NOUNS[way.kind], way.case_title[0].lower() + way.case_title[1:]
        if way.outcome == "falls" and way.edge is not None:
            enough.append(f"the {noun} may be divided by {way.designed / way.edge[0]:.3g} ({where})")
        elif way.outcome == "never falls":
            enough.append(f"the {noun} may go from {value_shown(teaching.design, way.kind, way.designed)} to nothing")
        elif way.edge is not None:
            missing.append(f"{way.edge[0] / way.designed:.3g} times the {noun} ({where})")
        else:
            missing.append(
                f"no {noun} up to {value_shown(teaching.design, way.kind, way.steps[-1].value)} is enough ({where})"
            )
    out = []
    if enough:
        out.append(f"Alone, before the last thrust line is gone in any case looked at: {'; '.join(enough)}.")
    if missing:
        out.append(
            "Some case has no thrust line as designed. With one thing changed alone, a line would take:"
            f" {'; '.join(missing)}."
        )
    return tuple(out)


def way_words(design: Design, way: Way) -> str:
    """Where the line is lost (or won), in one or two sentences."""
    noun, designed = NOUNS[way.kind], value_shown(design, way.kind, way.designed)
    where = way.case_title[0].lower() + way.case_title[1:]
    extra = f" ({_share(design, way.designed)} of the inside diameter)" if way.kind == "wall" else ""
    if way.outcome == "never falls":
        return f"{_up(where)}: a thrust line is left even when the {noun} goes from {designed} down to 0."
    if way.edge is None:
        most = value_shown(design, way.kind, way.steps[-1].value)
        return (
            f"{_up(where)}: there is no thrust line with a {noun} of {designed}{extra}, and none up to {most}: more of"
            " it alone does not help."
        )
    edge = value_shown(design, way.kind, way.edge[0])
    percent = f", {_share(design, way.edge[0])} of the diameter" if way.kind == "wall" else ""
    if way.outcome == "rises":
        return (
            f"{_up(where)}: with the {noun} as designed, {designed}{extra}, there is no thrust line. Adding to it, the"
            f" first appears at {edge}{percent}, {way.edge[0] / way.designed:.3g} times as much."
        )
    return (
        f"{_up(where)}: from {designed}{extra} the {noun} can go down to {edge}{percent},"
        f" {way.designed / way.edge[0]:.3g} times less, before the last thrust line is gone."
    )


def _up(text: str) -> str:
    return text[0].upper() + text[1:]


def _runs(numbers: Sequence[int]) -> str:
    """Course numbers as runs: "10 to 21, 24"."""
    runs: list[list[int]] = []
    for number in sorted(numbers):
        if runs and number == runs[-1][1] + 1:
            runs[-1][1] = number
        else:
            runs.append([number, number])
    return ", ".join(str(a) if a == b else f"{a} and {b}" if b == a + 1 else f"{a} to {b}" for a, b in runs)


def _many(numbers: Sequence[int], one: str, more: str) -> str:
    return f"{one if len(numbers) == 1 else more} {_runs(numbers)}"


def mechanism_words(found: Collapse) -> str:
    """What opens, slides, crushes and yields, course by course; one sentence a kind."""
    numbers = [int(number) for number in found.number]

    def where(values: Sequence[float]) -> list[int]:
        most = max(values, default=0.0)
        return [n for n, value in zip(numbers, values, strict=True) if most > 1e-6 and value > SEEN * most]

    said = []
    squashed = where([float(v) for v in found.squash])
    if squashed:
        said.append(f"The bed under course {_runs(squashed)} is crushed whole; everything above it comes down.")
    turns = [float(v) for v in found.hinge_inner], [float(v) for v in found.hinge_outer]
    most = max(*turns[0], *turns[1])
    for values, side, edge in ((turns[0], "outside", "inner"), (turns[1], "inside", "outer")):
        hinges = [n for n, value in zip(numbers, values, strict=True) if most > 1e-6 and value > SEEN * most]
        if hinges:
            said.append(
                f"{_up(_many(hinges, 'the bed under course', 'the beds under courses'))} "
                f"{'opens' if len(hinges) == 1 else 'open'} on the {side}: a hinge at the {edge} edge."
            )
    for slips, way in ((found.slip_outward, "outward"), (found.slip_inward, "inward")):
        sliding = [n for n, value in zip(numbers, slips, strict=True) if value > max(SEEN * max(slips), 0.005)]
        if sliding:
            said.append(
                f"{_many(sliding, 'Course', 'Courses')} {'slides' if len(sliding) == 1 else 'slide'} {way} over what is"
                " below."
            )
    opening = [n for n, name in zip(numbers, found.ring, strict=True) if name.startswith("opens")]
    crushing = [n for n, name in zip(numbers, found.ring, strict=True) if name == "crushes"]
    if opening:
        said.append(
            f"{_many(opening, 'Ring', 'Rings')} {'opens' if len(opening) == 1 else 'open'}: the circle grows and its"
            " fill parts."
        )
    if crushing:
        said.append(
            f"{_many(crushing, 'Ring', 'Rings')} {'is' if len(crushing) == 1 else 'are'} crushed: the circle shrinks."
        )
    wires = [n for n, yields in zip(numbers, found.wire_yields, strict=True) if yields]
    if wires:
        said.append(f"The wire under {_many(wires, 'course', 'courses')} is stretched past what is counted on.")
    return " ".join(said)


def no_map_words(design: Design) -> str:
    """Why there is no map; "" where there is one."""
    if design.dome.profile == "round":
        return (
            f"This dome is round: its compass of {both(design.dome.inside_diameter / 2, 'length', design.unit_system)}"
            " turns about the centre, and there is no fixed-compass pivot to move. So no map over the pivot is drawn."
        )
    if design.dome.profile == "measured":
        return (
            f"This dome was measured: its {len(design.dome.inner_radii)} inner radii are given course by course, and no"
            " fixed-compass pivot belongs to them. So no map over the pivot is drawn."
        )
    return ""


def map_words(teaching: Teaching) -> tuple[str, ...]:
    """What the map shows and where this dome lies on it; () where there is none."""
    found, design = teaching.map, teaching.design
    if found is None:
        return ()
    required = design.criteria.required
    wired = design.beds.wire_tension > 0
    cells = [cell for row in found.cells for cell in row]
    states = [cell.state for cell in cells]
    within = sum(
        cell.friction is not None
        and cell.friction <= found.most_friction
        and cell.factor is not None
        and cell.factor >= found.least_factor
        for cell in cells
    )
    here = teaching.here.cell
    lost = states.count("no line")
    factors = (
        f"{factor_shown(here.factor)} with its wire and {factor_shown(here.factor_no_wire)} without"
        if wired
        else factor_shown(here.factor)
    )
    frictions = (
        f"{friction_shown(here.friction)} with its wire and {friction_shown(here.friction_no_wire)} without"
        if wired
        else friction_shown(here.friction)
    )
    said = [
        (
            f"Each point is this dome, finished, with another wall width and another pivot: {len(cells)} domes. The dot"
            f" is this one: {100 * found.here[0]:.1f} % wide, pivot"
            f" {both(design.dome.pivot_beyond_inner_face, 'length', design.unit_system)} ({100 * found.here[1]:.1f} %)"
            f" beyond the inner face. It needs a bed friction of {frictions}; its geometric factor is {factors}."
        ),
        (
            f"The thick lines are limits: friction needed {found.most_friction:.3g} (this dome's"
            f" {found.most_friction * required['bed friction']:.3g} over the {required['bed friction']:.3g} asked for),"
            f" geometric factor {found.least_factor:.3g}. Of the {len(cells)} domes, {states.count('not buildable')}"
            f" cannot be built (some bed has no width), {lost} {'has' if lost == 1 else 'have'} no thrust"
            f" line{' even with the wire' if wired else ''}, and {within} keep both limits."
        ),
    ]
    column = found.widths.index(found.here[0])
    known = [
        (pivot, row[column].friction_no_wire)
        for pivot, row in zip(found.pivots, found.cells, strict=True)
        if row[column].friction_no_wire is not None
    ]
    if len(known) > 1:
        (near, first), (far, last) = known[0], known[-1]
        said.append(
            f"At this wall width the friction needed{' without wire' if wired else ''} goes from"
            f" {friction_shown(first)} with the pivot at {100 * near:.0f} % to {friction_shown(last)} with it at"
            f" {100 * far:.0f} %: the farther out the pivot, the steeper the dome."
        )
    counts = [
        arc_course_count(
            replace(design.dome, pivot_beyond_inner_face=share * design.dome.inside_diameter), design.wall.course_height
        )
        for share in (found.pivots[0], found.pivots[-1])
    ]
    said.append(
        f"From the lowest pivot of the map to the highest the courses go from {counts[0]} to {counts[1]}, one at a"
        " time: hence the corners in the lines."
    )
    return tuple(said)


def shape_words(teaching: Teaching) -> tuple[str, ...]:
    """How the round dome of the same diameter and tube differs (for a round dome: the pointed one)."""
    design, here, other = teaching.design, teaching.here, teaching.other
    system = design.unit_system
    round_here = design.dome.profile == "round"
    name = "pointed" if round_here else "round"
    if other is None:
        diameter, opening = (
            both(design.dome.inside_diameter, "length", system),
            both(design.dome.crown_opening, "length", system),
        )
        if round_here:
            return (
                (
                    f"No pointed dome of {diameter} can be built of this tube with its pivot on the outer face and a"
                    f" crown opening of {opening}: some course steps in too far for a bed."
                ),
            )
        if design.dome.crown_opening >= WIDEST_OPENING * design.dome.inside_diameter:
            return (
                (
                    f"No round dome is set beside this one: its crown opening of {opening} is over"
                    f" {100 * WIDEST_OPENING:.0f} % of its diameter, and the two would hardly differ."
                ),
            )
        return (
            (
                f"No round dome of {diameter} can be built of this tube: at every crown opening tried from {opening} up"
                f" to {100 * WIDEST_OPENING:.0f} % of the diameter some course steps in too far for a bed."
            ),
        )
    drawn = teaching.other_standing or other
    said = []
    if not round_here:
        said.append(
            "A round dome's courses step in further and further towards the top. With this tube they close no further"
            f" than an opening of {both(other.opening, 'length', system)}: one course more would find no bed, or no arc"
            f" to follow. This dome closes to {both(here.opening, 'length', system)}."
        )
        if teaching.other_standing is None:
            said.append(
                "And no thrust line exists in it with this wire and friction, up to an opening of"
                f" {100 * WIDEST_OPENING:.0f} % of its diameter."
            )
        elif drawn.opening > other.opening + 1e-9:
            said.append(f"A thrust line exists only from an opening of {both(drawn.opening, 'length', system)} on.")
    said.append(
        f"The {name} dome is {both(drawn.height, 'length', system)} high with {drawn.courses} courses, against "
        f"{both(here.height, 'length', system)} with {here.courses}; its largest step-in is "
        f"{width_shown(design, drawn.largest_step)}, against {width_shown(design, here.largest_step)}."
    )
    said.append(
        f"Without wire it needs a bed friction of {friction_shown(drawn.cell.friction_no_wire)}, this dome "
        f"{friction_shown(here.cell.friction_no_wire)}."
    )
    return tuple(said)


def thumb_words(teaching: Teaching) -> tuple[str, ...]:
    """The rule of thumb beside what is computed for this dome."""
    design = teaching.design
    share = design.wall.filled_width / design.dome.inside_diameter
    tenth = next(trial for trial in teaching.trials if abs(trial.share - 0.10) < 1e-9)
    said = [
        "The trade's rule: a filled width of at least 10 % of the inside diameter, 8 to 9 % where practised (common"
        f" practice, no source). Here 10 % is {width_shown(design, tenth.width)}; this wall is {100 * share:.1f} %."
    ]
    cell, doubts = tenth.cell, beyond_range_doubts(design)
    if cell.state == "not buildable":
        said.append("At 10 % this shape cannot be built of courses this high: some bed has no width left.")
    elif design.beds.wire_tension > 0:
        said.append(
            f"At 10 % the finished dome needs a bed friction of {friction_shown(cell.friction)} with its wire and"
            f" {friction_shown(cell.friction_no_wire)} without; its geometric factor is {factor_shown(cell.factor)}"
            f" with wire, {factor_shown(cell.factor_no_wire)} without."
        )
    else:
        said.append(
            f"At 10 % the finished dome needs a bed friction of {friction_shown(cell.friction)}; its geometric factor"
            f" is {factor_shown(cell.factor)}."
        )
    if tenth.short:
        said.append(
            "At 10 % the finished dome or a stage of building falls short of what is asked for in:"
            f" {', '.join(tenth.short)}."
        )
    elif tenth.meets:
        said.append(
            "At 10 % it meets what is asked for in the finished dome and every stage of building, without rain,"
            " openings or sideways loads."
            if not doubts
            else "At 10 % no margin of the finished dome or of a stage of building falls short, but this is no answer."
        )
    wanted = teaching.least_meeting
    said.append(
        f"Of the widths tried, in half per cents up to {100 * WIDEST:.0f} %, "
        + (
            "none keeps every margin of the finished dome and of each stage."
            if wanted is None
            else (
                f"all from {100 * wanted:.1f} % on ({width_shown(design, wanted * design.dome.inside_diameter)}) keep"
                " every margin of the finished dome and of each stage."
            )
        )
    )
    said += doubts
    edge = next(
        (way.edge for way in teaching.ways if way.kind == "wall" and way.outcome == "falls" and way.edge is not None),
        None,
    )
    if edge is not None:
        said.append(
            f"The last thrust line of the finished dome is gone at {_share(design, edge[0])}: the rule is"
            f" {0.10 * design.dome.inside_diameter / edge[0]:.3g} times that. It knows neither the fill nor the wire"
            " nor the shape; the next dome has another number."
        )
    return tuple(said)


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
        ["Friction needed, with the wire", *(friction_shown(s.cell.friction, short=True) for _, s in shapes)],
        ["Friction needed, no wire", *(friction_shown(s.cell.friction_no_wire, short=True) for _, s in shapes)],
        ["Geometric factor, with the wire", *(factor_shown(s.cell.factor, short=True) for _, s in shapes)],
        ["Geometric factor, no wire", *(factor_shown(s.cell.factor_no_wire, short=True) for _, s in shapes)],
        ["Thrust line, as designed", *("yes" if s.cell.state == "stands" else "none" for _, s in shapes)],
    ]
