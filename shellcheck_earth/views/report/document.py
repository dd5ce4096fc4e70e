"""The report as data: first the answer, then the reason, then the picture, then the numbers."""

from __future__ import annotations

from shellcheck_earth.design.digest import design_sha256
from shellcheck_earth.safety.findings import CautionKey
from shellcheck_earth.safety.result import Result
from shellcheck_earth.views.figures import charts, section
from shellcheck_earth.views.figures.friction import what_holds_it_up
from shellcheck_earth.views.report.block_pages import three_d_blocks
from shellcheck_earth.views.report.build_sheet import build_sheet_blocks
from shellcheck_earth.views.report.first_page import FIRST_CAUTIONS, first_page
from shellcheck_earth.views.report.layout import Block, Document, bullets, heading, page_break
from shellcheck_earth.views.report.margin_pages import case_blocks, holds_it_up, stage_blocks
from shellcheck_earth.views.report.weather_pages import weather_blocks
from shellcheck_earth.views.report.working_pages import appendix_blocks, assumption_blocks, working_blocks
from shellcheck_earth.views.text.cautions import caution_sentence
from shellcheck_earth.views.text.doubts import doubt_sentences
from shellcheck_earth.views.text.openings import advice_sentence

__all__ = ["report_document"]


def _elsewhere(assessment: Result) -> frozenset[CautionKey]:
    """Cautions that stand where they act: on the first page, or with the openings, the rain and the laying."""
    found: set[CautionKey] = set(FIRST_CAUTIONS)
    if assessment.weather is not None:
        found |= {"rain", "building"}
    if assessment.blocks:
        found |= {"openings"}
    return frozenset(found)


def _second_page(assessment: Result) -> list[Block]:
    """Why there is no answer where there is none; the other cautions; the trade's advice."""
    elsewhere, blocks = _elsewhere(assessment), list[Block]()
    if assessment.verdict == "cannot say":
        blocks += [heading("Why it cannot say"), bullets(doubt_sentences(assessment.doubts))]
    others = [caution_sentence(one) for one in assessment.cautions if one.key not in elsewhere]
    if others:
        blocks += [heading("More cautions"), bullets(others)]
    if assessment.advice:
        advice = [advice_sentence(assessment.design, one) for one in assessment.advice]
        blocks += [heading("Advice of the trade", 2), bullets(advice)]
    return blocks


def report_document(assessment: Result) -> Document:
    """The whole report."""
    design = assessment.design
    blocks: list[Block] = [*first_page(assessment), page_break(), *_second_page(assessment)]
    blocks += [heading("Margins of the finished dome")]
    for case in assessment.cases:
        blocks += [] if case.building else case_blocks(case, design.unit_system)
    blocks += [*holds_it_up(assessment), *stage_blocks(assessment), page_break(), *build_sheet_blocks(assessment)]
    pictures = {
        "section.svg": section.section_svg(assessment),
        "friction.svg": what_holds_it_up(assessment),
        "stages.svg": charts.margins_by_stage(assessment),
    }
    in_three, drawn_in_three = three_d_blocks(assessment)
    if in_three:
        blocks += [page_break(), *in_three]
        pictures |= drawn_in_three
    if assessment.weather is not None:
        more, drawn = weather_blocks(assessment, assessment.weather)
        blocks += [page_break(), *more]
        pictures |= drawn
    blocks += [page_break(), *assumption_blocks(assessment), *working_blocks(assessment), *appendix_blocks(assessment)]
    return Document(
        title=f"{design.name}: will it stand?",
        footer=f"{design.name}. A calculation, not a permit: a licensed structural engineer must check it.",
        blocks=tuple(blocks),
        pictures=pictures,
        digest=design_sha256(design),
        paper="us-letter" if design.unit_system == "imperial" else "a4",
    )
