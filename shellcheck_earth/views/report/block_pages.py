"""The pages about doors, windows and sideways loads: the answers of the block model."""

from __future__ import annotations

import math

import numpy as np

from shellcheck_earth.basics.units import format_quantity
from shellcheck_earth.geometry.blocks import cut_blocks
from shellcheck_earth.geometry.courses import Dome
from shellcheck_earth.geometry.openings import opening_label
from shellcheck_earth.loads.side_loads import INSIDE_OPEN, inside_coefficient
from shellcheck_earth.mechanics.blocks.assembly import ANCHORAGE, block_weights
from shellcheck_earth.mechanics.blocks.nonassociated import OVERSTATED
from shellcheck_earth.safety.blocks.result import BlockResult
from shellcheck_earth.safety.result import Result
from shellcheck_earth.views.report.layout import Block, Column, heading, paragraph, picture, table
from shellcheck_earth.views.text.blocks import mechanism_sentence, press_named
from shellcheck_earth.views.text.numbers import lower

__all__ = ["three_d_blocks", "three_d_files"]

COLUMNS = [
    Column("Load", right=False, wide=True),
    Column("Ordinary friction"),
    Column("No dilation"),
    Column("Relied on"),
    Column("Asked for"),
    Column("Outcome", right=False),
]

THEORY = (
    "Rings are cut into blocks that press, slide and turn on each other. With ordinary friction a block that slides"
    " must also rise, which real beds do not do, so the number can be too high (Drucker 1954, memory; Livesley 1978,"
    " abstract read); it is therefore also found for friction without dilation by a sequential scheme (Gilbert,"
    " Casapulla & Ahmed 2006, memory), whose answer need not be the least of several that are possible: on published"
    " walls with windows it lies up to 13 % above the least known (Ferris & Tin-Loi 2001, memory), so {share:.0%} of it"
    " is relied on under loads from one side. The lower number is relied on, less what a finer cut takes, never more"
    " than the ring-symmetric check gives, and forces are re-checked by plain arithmetic."
)
WIND = (
    "Wind is an envelope: pressure coefficients +0.8 to windward, -1.2 over the crown, 0 or -0.5 on the lee (memory),"
    " and inside {inside} of either sign{why} (memory). Published charts stop at a rise of half the diameter; a dome as"
    " tall as it is wide lies outside them. What the wind does to the leaf of a door or a window is left out."
)
RAIN = (
    "Water in one half weighs there, and that half has the friction and strength of soaked fill from the start"
    " (proposed); the other half stays as it is in service."
)
FORMS = (
    "Forms come out of a head once a ring is closed above it: each such stage at which no other opening is half built"
    " is a row of its own. Where an opening is half built the courses lean on its form, which the blocks do not have:"
    " keep it in."
)


def _wind_text(assessment: Result) -> str:
    inside = inside_coefficient(assessment.design)
    why = ", as with the door open" if inside == INSIDE_OPEN else ", as with everything shut"
    return WIND.format(inside=f"{inside:g}", why=why)


def _ties(assessment: Result) -> list[Block]:
    design = assessment.design
    tied = [
        f"{opening_label(design, index)} ({format_quantity(opening.tie, 'force', design.unit_system)})"
        for index, opening in enumerate(design.openings)
        if opening.tie > 0
    ]
    if not tied:
        return []
    return [
        paragraph(
            f"Lintels that are tied into the wall: {', '.join(tied)}. The pull is counted across both ends of the"
            f" lintel and fades out over {ANCHORAGE:g} m of wall (proposed; no test known). Whether lintel, bars and"
            " anchors can hold it is for an engineer to show; dividing capacities for the reserve divides the tie too."
        )
    ]


def _figure(value: float | None, at_least: bool = False) -> str:
    return "-" if value is None else f"{'at least ' if at_least else ''}{value:.3g}"


def _row(result: BlockResult) -> list[str]:
    outcome = "cannot say" if result.status == "cannot say" else "meets" if result.meets else "falls short"
    return [
        result.title,
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


def _case(dome: Dome, result: BlockResult) -> list[Block]:
    out: list[Block] = [heading(result.title, 2)]
    said = [f"Why: {result.why}."] if result.why else []
    if result.at_least:
        said.append(f"Nothing moves up to {_figure(result.associated)} times the load, the most that was looked for.")
    if result.mechanism is not None:
        said.append(f"First to move: {lower(mechanism_sentence(dome, result.mechanism))}")
    if result.directions:
        least: dict[float, float] = {}
        for b, m in result.directions:
            least[b] = min(m, least.get(b, math.inf))
        tried = ", ".join(f"{math.degrees(b) % 360:.0f} deg {m:.3g}" for b, m in least.items())
        said.append(f"Directions tried, the least of each with ordinary friction: {tried}.")
    if result.convergence:
        lines = ", ".join(
            f"{line.cuts} a ring ({line.blocks} blocks) {_figure(line.multiplier, line.at_least)}"
            for line in result.convergence
        )
        said.append(f"Convergence with the number of blocks: {lines}.")
    out.append(paragraph(" ".join(said)))
    if result.motions:
        out.append(picture(_name(result), f"What moves first under: {result.title}", width=90))
    return out


def _forces(assessment: Result) -> list[Block]:
    """One row a place, one column a case: the press that an engineer sizes jambs, heads and buttresses for."""
    pressed = [result for result in assessment.blocks if any(press.force > 0 for press in result.forces)]
    if not pressed:
        return []
    system = assessment.design.unit_system
    design = assessment.design
    by_case = [{press_named(design, press): press.force for press in result.forces} for result in pressed]
    places = list(dict.fromkeys(place for forces in by_case for place in forces))
    columns = [Column("Place", right=False, share=2), *(Column(result.title, share=1) for result in pressed)]
    rows = [[place, *(_press(forces.get(place), system) for forces in by_case)] for place in places]
    return [
        heading("What presses on jambs, heads and buttresses", 2),
        paragraph("Greatest press in the state that was found for each case; other states may carry the load too."),
        table(columns, rows, "Greatest press by place and case", size=7.5),
    ]


def _press(force: float | None, system: str) -> str:
    return "-" if not force else format_quantity(force, "force", system)


def three_d_blocks(assessment: Result) -> tuple[list[Block], dict[str, str]]:
    """(blocks, pictures) of the block model; nothing where the design did not need it."""
    from shellcheck_earth.views.figures.mechanism import mechanism_svg

    results, dome = assessment.blocks, assessment.dome
    if not results:
        return [], {}
    blocks: list[Block] = [
        heading("Doors, windows and sideways loads"),
        table(
            COLUMNS,
            [_row(result) for result in results],
            "Overall reserve of the dead load, or how many times each load is held",
        ),
        paragraph(THEORY.format(share=OVERSTATED)),
    ]
    if any(result.criterion == "storm" for result in results):
        blocks.append(paragraph(_wind_text(assessment)))
    if any(result.id == "three-d-rain" for result in results):
        blocks.append(paragraph(RAIN))
    if any(result.id.startswith("three-d-forms-out") for result in results):
        blocks.append(paragraph(FORMS))
    blocks += _ties(assessment)
    pictures = {}
    for result in results:
        blocks += _case(dome, result)
        if result.motions:
            layout = cut_blocks(dome, result.convergence[0].cuts, result.course_top)
            pictures[_name(result)] = mechanism_svg(
                dome, layout, np.array(result.motions), _towards(assessment, result), result.title
            )
    return blocks + _forces(assessment), pictures


def three_d_files(assessment: Result) -> dict[str, bytes]:
    """mechanism.glb: the motions of the case that comes shortest; {} where there is none."""
    from shellcheck_earth.loads.cases import dead_cases
    from shellcheck_earth.views.export.gltf import blocks_glb

    drawn = [result for result in assessment.blocks if result.motions]
    if not drawn:
        return {}
    worst = min(drawn, key=lambda result: (result.relied or 0.0) / result.required)
    dome = assessment.dome
    layout = cut_blocks(dome, worst.convergence[0].cuts, worst.course_top)
    centre, _ = block_weights(dome, dead_cases(dome)[0], layout)
    return {"mechanism.glb": blocks_glb(dome, layout, centre, np.array(worst.motions), worst.title)}
