"""The report as data, a part for each reader: the builder, the site, the engineer, the record."""

from __future__ import annotations

from shellcheck_earth.design.digest import design_sha256
from shellcheck_earth.safety.findings import CautionKey
from shellcheck_earth.safety.result import Result
from shellcheck_earth.views.figures import charts, section
from shellcheck_earth.views.figures.friction import what_holds_it_up
from shellcheck_earth.views.report.block_pages import three_d_blocks
from shellcheck_earth.views.report.build_sheet import build_sheet_blocks
from shellcheck_earth.views.report.factor_pages import factor_blocks
from shellcheck_earth.views.report.first_page import FIRST_CAUTIONS, builder_pages, first_section, five_numbers
from shellcheck_earth.views.report.layout import (
    Block,
    Document,
    Paper,
    bullets,
    heading,
    paper_of,
    picture,
    reader,
    small,
)
from shellcheck_earth.views.report.margin_pages import finished_blocks, holds_it_up, stage_blocks
from shellcheck_earth.views.report.weather_pages import rain_blocks, site_blocks
from shellcheck_earth.views.report.working_pages import appendix_blocks, assumption_blocks, working_blocks
from shellcheck_earth.views.text.cautions import caution_sentence
from shellcheck_earth.views.text.doubts import doubt_sentences
from shellcheck_earth.views.text.language import _, spoken
from shellcheck_earth.views.text.openings import advice_sentence
from shellcheck_earth.views.text.report import FACTORS, FOR_ENGINEER, FOR_RECORD, FOR_SITE, SECTION_ALT

__all__ = ["report_document"]

ON_SITE: tuple[CautionKey, ...] = ("rain", "building", "openings", "separate bags")
"""Cautions that act on the site, and stand there alone."""


def _site(assessment: Result) -> list[Block]:
    """What the site works from: what to do, the build sheet, how to lay."""
    on_site = [one for one in assessment.cautions if one.key in ON_SITE]
    return [reader(_(FOR_SITE), least=10.0), *site_blocks(assessment, on_site, build_sheet_blocks(assessment))]


def _first_of_engineer(assessment: Result) -> list[Block]:
    """Five numbers and the section at its full size; why there is no answer where there is none; the other cautions."""
    blocks: list[Block] = [
        reader(_(FOR_ENGINEER)),
        heading(_("Margins, cases and loads")),
        five_numbers(assessment),
        small(_(FACTORS)),
        picture("section.svg", _(SECTION_ALT)),
    ]
    if assessment.verdict == "cannot say":
        blocks += [heading(_("Why it cannot say")), bullets(doubt_sentences(assessment.doubts))]
    elsewhere = {*FIRST_CAUTIONS, *ON_SITE}
    others = [caution_sentence(one) for one in assessment.cautions if one.key not in elsewhere]
    if others:
        blocks += [heading(_("What else to look at"), 2), bullets(others)]
    if assessment.advice:
        advice = [advice_sentence(assessment.design, one) for one in assessment.advice]
        blocks += [heading(_("Advice of the trade"), 2), bullets(advice)]
    return blocks


def report_document(assessment: Result, paper: Paper | None = None, *, large: bool = False) -> Document:
    """The whole report in the language that is spoken, on the paper that goes with the units where none is asked
    for. `large`: it is to be set in large print.
    """
    design = assessment.design
    paper = paper or paper_of(design.unit_system)
    first, pictures = builder_pages(assessment)
    in_three, drawn_in_three = three_d_blocks(assessment)
    blocks = [*first, *_site(assessment), *_first_of_engineer(assessment)]
    blocks += [
        *factor_blocks(assessment),
        *finished_blocks(assessment),
        *holds_it_up(assessment),
        *stage_blocks(assessment),
        *in_three,
    ]
    pictures |= {
        "section-small.svg": section.section_svg(
            assessment, tallest=first_section(assessment.dome, paper, large=large)
        ),
        "section.svg": section.section_svg(assessment),
        "friction.svg": what_holds_it_up(assessment),
        "stages.svg": charts.margins_by_stage(assessment),
    } | drawn_in_three
    if assessment.weather is not None:
        more, drawn = rain_blocks(assessment, assessment.weather)
        blocks += more
        pictures |= drawn
    blocks += [reader(_(FOR_RECORD)), *assumption_blocks(assessment)]
    blocks += [*working_blocks(assessment), *appendix_blocks(assessment)]
    return Document(
        title=_("{name}: will it stand?", name=design.name),
        footer=_(
            "{name}. A calculation, not a permit: a licensed structural engineer must check it.", name=design.name
        ),
        blocks=tuple(blocks),
        pictures=pictures,
        digest=design_sha256(design),
        paper=paper,
        language=spoken().language,
        subject=_("Whether an earthbag dome stands: for the builder, the site, the engineer and the record"),
    )
