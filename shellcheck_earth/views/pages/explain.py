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
    paper_of,
    paragraph,
    picture,
    reviewed,
    small,
    table,
)
from shellcheck_earth.views.text.below import said_below
from shellcheck_earth.views.text.cautions import ENGINEER, OPENINGS, STRENGTH_ASIDE, UNSTABILISED
from shellcheck_earth.views.text.explain.map import map_words, no_map_words
from shellcheck_earth.views.text.explain.page import (
    COLLAPSES,
    COVERS,
    HELD,
    HERE,
    MAP_ALT,
    NO_VERDICT,
    NOT_SEEN,
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
from shellcheck_earth.views.text.language import _, spoken

__all__ = ["shape_names", "teaching_document"]


def shape_names(teaching: Teaching) -> tuple[str, str]:
    """This dome and the one beside it."""
    return _(HERE), _(POINTED if teaching.design.dome.profile == "round" else ROUND)


def _name(index: int, way: Way) -> str:
    return f"steps-{index:02d}-{way.kind.replace(' ', '-')}.svg"


def _way_blocks(teaching: Teaching, kind: Kind, pictures: dict[str, str]) -> list[Block]:
    design = teaching.design
    shown = [(index, way) for index, way in enumerate(teaching.ways) if way.kind == kind]
    named = title(shown[0][1])
    blocks: list[Block] = [heading(named, 2)]
    if kind == "wall":
        blocks.append(small(_(HELD)))
    for index, way in shown:
        pictures[_name(index, way)] = steps_svg(design, way)
        blocks += [
            paragraph(way_words(design, way)),
            picture(
                _name(index, way), _("Half sections: {way}, {case}", way=title(way), case=said_below(way.case_title))
            ),
        ]
    ended = [way for _index, way in shown if way.collapse is not None]
    if ended:
        name = f"mechanism-{kind.replace(' ', '-')}.svg"
        pictures[name] = mechanisms_svg(design, ended)
        blocks.append(picture(name, _("How it collapses: {named}", named=named)))
    for way in ended:
        assert way.collapse is not None
        blocks.append(paragraph(f"{said_below(way.case_title)}: {mechanism_words(way.collapse)}"))
    return blocks


def _map_blocks(teaching: Teaching, pictures: dict[str, str]) -> list[Block]:
    blocks: list[Block] = [heading(_("Slenderness and shape: where this dome lies"))]
    if teaching.map is None:
        return [*blocks, paragraph(no_map_words(teaching.design))]
    wired = teaching.design.beds.wire_tension > 0
    left_out = uncrossed(teaching.map, wired=wired)
    blocks += [*(paragraph(text) for text in map_words(teaching)), *map(paragraph, left_out_words(left_out))]
    if len(left_out) == (4 if wired else 2):
        return blocks
    pictures["map.svg"] = map_svg(teaching.map, wired=wired)
    return [*blocks, picture("map.svg", _(MAP_ALT))]


def _shape_blocks(teaching: Teaching, pictures: dict[str, str]) -> list[Block]:
    names = shape_names(teaching)
    title = (
        _("How a pointed dome would differ")
        if teaching.design.dome.profile == "round"
        else _("How a round dome differs")
    )
    blocks: list[Block] = [heading(title), *(paragraph(text) for text in shape_words(teaching))]
    drawn = teaching.other_standing or teaching.other
    if drawn is None:
        return blocks
    pictures["shapes.svg"] = shapes_svg(teaching.here, drawn, names)
    columns = [
        Column(_("Finished, service moisture"), right=False, share=1.4),
        Column(names[0], share=1.0),
        Column(names[1], share=1.0),
    ]
    rows = shape_rows([(names[0], teaching.here), (names[1], drawn)])
    return [
        *blocks,
        picture("shapes.svg", _("Sections at one scale: {first} and {second}", first=names[0], second=names[1])),
        table(columns, rows, size=8),
    ]


def _trial_row(teaching: Teaching, trial: Trial) -> list[str]:
    design, cell = teaching.design, trial.cell
    own = abs(trial.width - design.wall.filled_width) < 1e-9
    first = f"{100 * trial.share:.1f} %" + (_(", this dome") if own else "")
    if trial.meets is None:
        return [first, width_shown(design, trial.width), "-", "-", "-", "-", _("not buildable")]
    return [
        first,
        width_shown(design, trial.width),
        friction_shown(cell.friction, short=True),
        friction_shown(cell.friction_no_wire, short=True),
        factor_shown(cell.factor, short=True),
        factor_shown(cell.factor_no_wire, short=True),
        _("nothing") if trial.meets else ", ".join(map(said_below, trial.short)),
    ]


def _thumb_blocks(teaching: Teaching) -> list[Block]:
    columns = [
        Column(_("Wall, of the diameter"), right=False, share=1.5),
        Column(_("Width"), share=1.4),
        Column(_("Demand for friction, wire"), share=1.1),
        Column(_("no wire"), share=1.1),
        Column(_("Geometric factor, wire"), share=1.1),
        Column(_("no wire"), share=0.9),
        Column(_("Falls short in"), right=False, share=2.6),
    ]
    return [
        heading(_("The rule of thumb, tried on this dome")),
        *(paragraph(text) for text in thumb_words(teaching)),
        table(columns, [_trial_row(teaching, trial) for trial in teaching.trials], size=8),
        small(_(COVERS)),
    ]


def _cautions(teaching: Teaching) -> list[Block]:
    out = [caution(_(STRENGTH_ASIDE), _("No verdict."))] if teaching.strength_aside else []
    out += [caution(_(ENGINEER)), caution(_(NO_VERDICT), _("No verdict."))]
    if teaching.design.fill.stabiliser == "none":
        out.append(caution(_(UNSTABILISED), _("Beyond the tests.")))
    if teaching.design.openings:
        out.append(caution(f"{_(OPENINGS)} {_(NOT_SEEN)}"))
    return out


def teaching_document(teaching: Teaching) -> Document:
    """The whole teaching report; its pictures are drawn from the numbers of `teaching` alone."""
    design = teaching.design
    pictures: dict[str, str] = {"section.svg": section_band_svg(teaching.here)}
    blocks: list[Block] = [
        heading(_("{name}: what holds it, and how it collapses", name=design.name)),
        *_cautions(teaching),
        *reviewed(),
        heading(_("The line inside the wall")),
        *(paragraph(text) for text in section_words(teaching)),
        picture("section.svg", _("Section of the dome with its courses and thrust lines, finished")),
        heading(_("What goes first"), 2),
        *(paragraph(text) for text in short_words(teaching)),
        page_break(),
        heading(_("Step by step, until no line is left")),
        small(_(COLLAPSES)),
    ]
    for kind in dict.fromkeys(way.kind for way in teaching.ways):
        blocks += _way_blocks(teaching, kind, pictures)
    if design.beds.wire_tension <= 0:
        blocks += [
            heading(_("Less wire"), 2),
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
        title=_("{name}: what holds it", name=design.name),
        footer=(
            _(
                "{name}. An explanation, not a verdict and not a permit: a licensed structural engineer must"
                " check the dome.",
                name=design.name,
            )
        ),
        blocks=tuple(blocks),
        pictures=drawn,
        digest=teaching.file_sha256,
        paper=paper_of(design.unit_system),
        language=spoken().language,
    )
