"""The teaching report as data: cautions first, then the section, what takes its line away, the map, the round dome,
the rule of thumb.
"""

from __future__ import annotations

from collections.abc import Mapping

from shellcheck_earth.studies.explain.lesson import Teaching
from shellcheck_earth.studies.explain.map import Trial
from shellcheck_earth.studies.explain.ways import Kind, Way
from shellcheck_earth.views.figures.explain.map import map_svg, uncrossed
from shellcheck_earth.views.figures.explain.shapes import section_band_svg, shapes_svg
from shellcheck_earth.views.figures.explain.steps import mechanisms_svg, steps_svg
from shellcheck_earth.views.report.layout import (
    Block,
    Column,
    Document,
    caution,
    heading,
    page_break,
    paragraph,
    picture,
    small,
    table,
)
from shellcheck_earth.views.text.cautions import ENGINEER, OPENINGS, STRENGTH_ASIDE, UNSTABILISED
from shellcheck_earth.views.text.explain.map import map_words, no_map_words
from shellcheck_earth.views.text.explain.page import (
    COLLAPSES,
    COVERS,
    HELD,
    HERE,
    MAP_ALT,
    NO_VERDICT,
    POINTED,
    ROUND,
    left_out_words,
    no_wire_sentence,
)
from shellcheck_earth.views.text.explain.section import section_words, short_words
from shellcheck_earth.views.text.explain.shape import shape_rows, shape_words
from shellcheck_earth.views.text.explain.shown import factor_shown, friction_shown, width_shown
from shellcheck_earth.views.text.explain.thumb import thumb_words
from shellcheck_earth.views.text.explain.ways import mechanism_words, title, way_words

__all__ = ["shape_names", "teaching_document"]


def shape_names(teaching: Teaching) -> tuple[str, str]:
    """This dome and the one beside it."""
    return HERE, POINTED if teaching.design.dome.profile == "round" else ROUND


def _name(index: int, way: Way) -> str:
    return f"steps-{index:02d}-{way.kind.replace(' ', '-')}.svg"


def _way_blocks(teaching: Teaching, kind: Kind, pictures: dict[str, str]) -> list[Block]:
    design = teaching.design
    shown = [(index, way) for index, way in enumerate(teaching.ways) if way.kind == kind]
    named = title(shown[0][1])
    blocks: list[Block] = [heading(named, 2)]
    if kind == "wall":
        blocks.append(small(HELD))
    for index, way in shown:
        pictures[_name(index, way)] = steps_svg(design, way)
        blocks += [
            paragraph(way_words(design, way)),
            picture(_name(index, way), f"Half sections: {title(way)}, {way.case_title}"),
        ]
    ended = [way for _, way in shown if way.collapse is not None]
    if ended:
        name = f"mechanism-{kind.replace(' ', '-')}.svg"
        pictures[name] = mechanisms_svg(design, ended)
        blocks.append(picture(name, f"How it collapses: {named}"))
    for way in ended:
        assert way.collapse is not None
        blocks.append(paragraph(f"{way.case_title}: {mechanism_words(way.collapse)}"))
    return blocks


def _map_blocks(teaching: Teaching, pictures: dict[str, str]) -> list[Block]:
    blocks: list[Block] = [heading("Slenderness and shape: where this dome lies")]
    if teaching.map is None:
        return [*blocks, paragraph(no_map_words(teaching.design))]
    wired = teaching.design.beds.wire_tension > 0
    left_out = uncrossed(teaching.map, wired=wired)
    blocks += [*(paragraph(text) for text in map_words(teaching)), *map(paragraph, left_out_words(left_out))]
    if len(left_out) == (4 if wired else 2):
        return blocks
    pictures["map.svg"] = map_svg(teaching.map, wired=wired)
    return [*blocks, picture("map.svg", MAP_ALT)]


def _shape_blocks(teaching: Teaching, pictures: dict[str, str]) -> list[Block]:
    names = shape_names(teaching)
    title = "How a pointed dome would differ" if names[1] == POINTED else "How a round dome differs"
    blocks: list[Block] = [heading(title), *(paragraph(text) for text in shape_words(teaching))]
    drawn = teaching.other_standing or teaching.other
    if drawn is None:
        return blocks
    pictures["shapes.svg"] = shapes_svg(teaching.here, drawn, names)
    columns = [
        Column("Finished, service moisture", right=False, share=1.4),
        Column(names[0], share=1.0),
        Column(names[1], share=1.0),
    ]
    rows = shape_rows([(names[0], teaching.here), (names[1], drawn)])
    return [
        *blocks,
        picture("shapes.svg", f"Sections at one scale: {names[0]} and {names[1]}"),
        table(columns, rows, size=8),
    ]


def _trial_row(teaching: Teaching, trial: Trial) -> list[str]:
    design, cell = teaching.design, trial.cell
    own = abs(trial.width - design.wall.filled_width) < 1e-9
    first = f"{100 * trial.share:.1f} %{', this dome' if own else ''}"
    if trial.meets is None:
        return [first, width_shown(design, trial.width), "-", "-", "-", "-", "not buildable"]
    return [
        first,
        width_shown(design, trial.width),
        friction_shown(cell.friction, short=True),
        friction_shown(cell.friction_no_wire, short=True),
        factor_shown(cell.factor, short=True),
        factor_shown(cell.factor_no_wire, short=True),
        "nothing" if trial.meets else ", ".join(trial.short),
    ]


def _thumb_blocks(teaching: Teaching) -> list[Block]:
    columns = [
        Column("Wall, of the diameter", right=False, share=1.5),
        Column("Width", share=1.4),
        Column("Demand for friction, wire", share=1.1),
        Column("no wire", share=1.1),
        Column("Geometric factor, wire", share=1.1),
        Column("no wire", share=0.9),
        Column("Falls short in", right=False, share=2.6),
    ]
    return [
        heading("The rule of thumb, tried on this dome"),
        *(paragraph(text) for text in thumb_words(teaching)),
        table(columns, [_trial_row(teaching, trial) for trial in teaching.trials], size=8),
        small(COVERS),
    ]


def _cautions(teaching: Teaching) -> list[Block]:
    out = [caution(STRENGTH_ASIDE, "No verdict.")] if teaching.strength_aside else []
    out += [caution(ENGINEER), caution(NO_VERDICT, "No verdict.")]
    if teaching.design.fill.stabiliser == "none":
        out.append(caution(UNSTABILISED, "Beyond the tests."))
    if teaching.design.openings:
        out.append(caution(f"{OPENINGS} Nothing in this report sees them."))
    return out


def teaching_document(teaching: Teaching) -> Document:
    """The whole teaching report; its pictures are drawn from the numbers of `teaching` alone."""
    design = teaching.design
    pictures: dict[str, str] = {"section.svg": section_band_svg(teaching.here)}
    blocks: list[Block] = [
        heading(f"{design.name}: what holds it, and how it collapses"),
        *_cautions(teaching),
        heading("The line inside the wall"),
        *(paragraph(text) for text in section_words(teaching)),
        picture("section.svg", "Section of the dome with its courses and thrust lines, finished"),
        heading("What goes first", 2),
        *(paragraph(text) for text in short_words(teaching)),
        page_break(),
        heading("Step by step, until no line is left"),
        small(COLLAPSES),
    ]
    for kind in dict.fromkeys(way.kind for way in teaching.ways):
        blocks += _way_blocks(teaching, kind, pictures)
    if design.beds.wire_tension <= 0:
        blocks += [
            heading("Less wire", 2),
            paragraph(no_wire_sentence(design)),
        ]
    blocks += [
        page_break(),
        *_map_blocks(teaching, pictures),
        *_shape_blocks(teaching, pictures),
        *_thumb_blocks(teaching),
    ]
    drawn: Mapping[str, str] = pictures
    return Document(
        title=f"{design.name}: what holds it",
        footer=(
            f"{design.name}. An explanation, not a verdict and not a permit: a licensed structural "
            "engineer must check the dome."
        ),
        blocks=tuple(blocks),
        pictures=drawn,
        digest=teaching.file_sha256,
        paper="us-letter" if design.unit_system == "imperial" else "a4",
    )
