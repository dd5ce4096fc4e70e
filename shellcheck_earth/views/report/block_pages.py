"""The pages about openings, buttresses and loads from one side: the answers of the block model."""

from __future__ import annotations

import math

import numpy as np

from shellcheck_earth.basics.units import format_quantity
from shellcheck_earth.geometry.blocks import blocks_drawn
from shellcheck_earth.geometry.courses import Dome
from shellcheck_earth.loads.joint import Row, ground_limits
from shellcheck_earth.mechanics.blocks.weights import block_weights
from shellcheck_earth.safety.blocks.buttress_ground import footprints, worst_footprints
from shellcheck_earth.safety.blocks.result import BlockResult
from shellcheck_earth.safety.result import Result
from shellcheck_earth.views.report.layout import Block, Column, heading, paragraph, picture, table
from shellcheck_earth.views.report.sameness import told_once
from shellcheck_earth.views.text.below import said_below
from shellcheck_earth.views.text.block_heads import blocks_heading
from shellcheck_earth.views.text.blocks import (
    BOUNDS,
    FOOTPRINT,
    NO_FOOTPRINT,
    PRESS,
    apart_words,
    block_paragraphs,
    buttress_named,
    load_paragraph,
    press_named,
)
from shellcheck_earth.views.text.language import _
from shellcheck_earth.views.text.numbers import outcome_words

__all__ = ["three_d_blocks", "three_d_files"]

ALIKE = 0.98
"""Cosine between the motions of all blocks of two cases from which one picture says both."""


def _columns() -> list[Column]:
    return [
        Column(_("Load"), right=False, wide=True),
        Column(_("Ordinary friction")),
        Column(_("No dilation")),
        Column(_("Relied on")),
        Column(_("Required")),
        Column(_("Outcome"), right=False),
    ]


def _figure(value: float | None, at_least: bool = False) -> str:
    if value is None:
        return "-"
    return _("at least {value}", value=format(value, ".3g")) if at_least else f"{value:.3g}"


def _row(result: BlockResult) -> list[str]:
    outcome = outcome_words(None if result.status == "cannot say" else result.meets)
    return [
        said_below(result.title),
        _figure(result.associated),
        _figure(result.non_associated),
        _figure(result.relied, result.at_least),
        f"{result.required:.3g}",
        outcome,
    ]


def _name(result: BlockResult) -> str:
    return f"{result.id}.svg"


def _towards(assessment: Result, result: BlockResult) -> float:
    """Bearing to look from: the loaded side, else the widest opening."""
    if result.directions:
        return result.directions[0][0]
    openings = assessment.design.openings
    return max(openings, key=lambda opening: opening.width).bearing if openings else 0.0


def _bounds(results: tuple[BlockResult, ...]) -> list[Block]:
    """Both bounds of every case that has one, side by side."""
    rows = [
        [said_below(one.title), _figure(one.below), _figure(one.above), apart_words(one)]
        for one in results
        if one.below is not None or one.above is not None
    ]
    if not rows:
        return []
    columns = [
        Column(_("Load"), right=False, wide=True),
        Column(_("Held, confirmed")),
        Column(_("Mechanism at")),
        Column(_("Apart")),
    ]
    return [
        heading(_("From below and from above"), 2),
        paragraph(_(BOUNDS)),
        table(
            columns,
            rows,
            _('Bounds of the block model; "-": none was found up to the end of the search, or none needed'),
        ),
    ]


def _case(dome: Dome, result: BlockResult, shown: BlockResult | None) -> list[Block]:
    """The words of a case, and its picture or the title of the one that `shown` it."""
    out: list[Block] = [heading(said_below(result.title), 2)]
    out.append(paragraph(load_paragraph(dome, result)))
    if shown is result:
        out.append(picture(_name(result), _("What moves first under: {title}", title=said_below(result.title))))
    elif shown is not None:
        out.append(paragraph(_("What moves first is drawn under: {title}.", title=said_below(shown.title))))
    return out


def _shown(assessment: Result) -> dict[str, BlockResult]:
    """By the id of each case that moves, the first case that moves like it and is looked at from the same side."""
    out: dict[str, BlockResult] = {}
    first: list[BlockResult] = []
    for result in (result for result in assessment.blocks if result.motions):
        same = next((one for one in first if _alike(assessment, one, result)), result)
        out[result.id] = same
        if same is result:
            first.append(result)
    return out


def _alike(assessment: Result, one: BlockResult, other: BlockResult) -> bool:
    """Whether two cases move the same blocks the same ways: one picture says both."""
    if (one.drawn, one.course_top) != (other.drawn, other.course_top):
        return False
    if _towards(assessment, one) != _towards(assessment, other):
        return False
    if len(one.motions) != len(other.motions):  # the ground is asked with the footing, a reserve without
        return False
    a, b = (np.array(result.motions)[:, :3].ravel() for result in (one, other))
    return bool(a @ b >= ALIKE * np.linalg.norm(a) * np.linalg.norm(b))


MOST_NAMED, MOST_PLACES = 4, 8
"""Places that the heads of a table name by their words, and columns of one table where they are numbered."""


def _forces(assessment: Result) -> list[Block]:
    """One row a case, one column a place: the press that an engineer sizes jambs, heads and buttresses for."""
    pressed = [result for result in assessment.blocks if any(press.force > 0 for press in result.forces)]
    if not pressed:
        return []
    design, system = assessment.design, assessment.design.unit_system
    by_case = [{press_named(design, press): press.force for press in result.forces} for result in pressed]
    places = list(dict.fromkeys(place for forces in by_case for place, force in forces.items() if force > 0))
    out = [heading(_("What presses on jambs, heads and buttresses"), 2), paragraph(_(PRESS))]
    named = len(places) <= MOST_NAMED
    if not named:
        said = "; ".join(f"{number} {place}" for number, place in enumerate(places, 1))
        out.append(paragraph(_("Columns of the tables: {places}.", places=said)))
    for first in range(0, len(places), MOST_PLACES):
        part = places[first : first + MOST_PLACES]
        heads = part if named else [str(first + k + 1) for k in range(len(part))]
        columns = [Column(_("Case"), right=False, share=3), *(Column(head, share=1) for head in heads)]
        cells = [[_press(forces.get(place), system) for place in part] for forces in by_case]
        rows = [[said_below(result.title), *row] for result, row in zip(pressed, cells, strict=True) if {*row} != {"-"}]
        out += told_once(
            columns, rows, _("Greatest press by case and place; a place that nothing presses on is left out")
        )
    return out


def _on_the_ground(assessment: Result) -> list[Block]:
    """Bearing, sliding and overturning of every buttress on its own ground, in the proven states."""
    design = assessment.design
    if not design.buttresses:
        return []
    worst = worst_footprints(footprints(design, assessment.blocks))
    head = heading(_("What buttresses ask of the ground"), 2)
    if not worst:
        return [head, paragraph(_(NO_FOOTPRINT))]
    limits = ground_limits(design, Row(bearing=1.0), sideways=True)
    has = format_quantity(limits.bearing, "stress", design.unit_system)
    rows = []
    for index, (pressed, slid, turned) in worst.items():
        edge = "-" if math.isinf(pressed.edge) else format_quantity(pressed.edge, "stress", design.unit_system)
        over = "-" if math.isinf(turned.overturning) else f"{turned.overturning:.3g}"
        name = buttress_named(design, index)
        rows += [
            [name, _("bearing, at its edge"), edge, has, said_below(pressed.title)],
            [name, _("sliding, as friction"), f"{slid.sliding:.3g}", f"{limits.friction:.3g}", said_below(slid.title)],
            [name, _("overturning, as a factor"), over, "1", said_below(turned.title)],
        ]
    columns = [
        Column(_("Buttress"), right=False),
        Column(_("On the ground"), right=False),
        Column(_("Found")),
        Column(_("Bound")),
        Column(_("Worst in"), right=False, wide=True),
    ]
    return [head, paragraph(_(FOOTPRINT)), table(columns, rows, _("Each buttress on its own ground"))]


def _press(force: float | None, system: str) -> str:
    return "-" if not force else format_quantity(force, "force", system)


def three_d_blocks(assessment: Result) -> tuple[list[Block], dict[str, str]]:
    """(blocks, pictures) of the block model; nothing where the design did not need it."""
    from shellcheck_earth.views.figures.mechanism import mechanism_svg

    results, dome = assessment.blocks, assessment.dome
    if not results:
        return [], {}
    blocks: list[Block] = [
        heading(blocks_heading(assessment.design, results)),
        table(
            _columns(),
            [_row(result) for result in results],
            _("Overall reserve of the dead load, or how many times each load is held"),
        ),
        *(paragraph(text) for text in block_paragraphs(assessment.design, results)),
        *_bounds(results),
    ]
    pictures, shown = {}, _shown(assessment)
    for result in results:
        blocks += _case(dome, result, shown.get(result.id))
        if shown.get(result.id) is result:
            layout = blocks_drawn(dome, result.drawn, result.course_top, len(result.motions))
            pictures[_name(result)] = mechanism_svg(
                dome, layout, np.array(result.motions), _towards(assessment, result), said_below(result.title)
            )
    return blocks + _forces(assessment) + _on_the_ground(assessment), pictures


def three_d_files(assessment: Result) -> dict[str, bytes]:
    """mechanism.glb: the motions of the case that comes shortest; {} where there is none."""
    from shellcheck_earth.loads.cases import dead_cases
    from shellcheck_earth.views.export.gltf import blocks_glb

    drawn = [result for result in assessment.blocks if result.motions]
    if not drawn:
        return {}
    worst = min(drawn, key=lambda result: (result.relied or 0.0) / result.required)
    dome = assessment.dome
    layout = blocks_drawn(dome, worst.drawn, worst.course_top, len(worst.motions))
    centre, _weights = block_weights(dome, dead_cases(dome)[0], layout)
    return {"mechanism.glb": blocks_glb(dome, layout, centre, np.array(worst.motions), worst.title)}
