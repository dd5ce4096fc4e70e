"""The builder's pages: the answer, what to test first, the section, what to change, the caution; and the five numbers
that the engineer's pages begin with.
"""

from __future__ import annotations

from collections.abc import Mapping

from shellcheck_earth.basics.units import format_quantity
from shellcheck_earth.geometry.courses import Dome
from shellcheck_earth.loads.model import needs_more_than_crew
from shellcheck_earth.safety.blocks.result import BlockResult
from shellcheck_earth.safety.findings import CautionKey
from shellcheck_earth.safety.result import Result
from shellcheck_earth.safety.to_test import deciding_values, first_tests
from shellcheck_earth.views.figures.letters import LINE
from shellcheck_earth.views.figures.outline import handed_in_key
from shellcheck_earth.views.figures.site_tests import site_test_svg
from shellcheck_earth.views.report.layout import (
    Block,
    Paper,
    bullets,
    heading,
    paragraph,
    picture,
    pictures_side_by_side,
    reader,
    small,
)
from shellcheck_earth.views.text.below import said_below
from shellcheck_earth.views.text.block_heads import unproven_sentence
from shellcheck_earth.views.text.cautions import caution_sentence
from shellcheck_earth.views.text.language import REVIEW, Language, _, mark, spoken
from shellcheck_earth.views.text.numbers import factor_words, lower, masses, outcome_words, required_words
from shellcheck_earth.views.text.report import CHECKS_IN_WORDS, FOR_BUILDER, SECTION_ALT
from shellcheck_earth.views.text.tests import TEST_ALT, change_sentences, how_much_was_tested, words_of_test
from shellcheck_earth.views.text.verdict import VERDICT_WORDS, deciding_line, headline

__all__ = ["FIRST_CAUTIONS", "builder_pages", "first_section", "five_numbers"]

FIRST_CHECKS = ("bed friction", "strength", "strength while building", "overall reserve")
"""Checks whose worst case is among the five numbers."""

FIRST_CAUTIONS: dict[CautionKey, str] = {
    "engineer": mark("Caution."),
    "unstabilised": mark("Beyond the tests."),
    "loads left out": mark("Not part of the answer."),
    "loads stated none": mark("Not part of the answer."),
    "scaffold": mark("What the answer rests on."),
    "stages past": mark("Not part of the answer."),
}
"""Cautions that no reader of the first page alone may miss (whom to ask, fill that the tests do not cover, loads that
nobody examined), and their titles.
"""

FIRST_SECTION: Mapping[Paper, float] = {"a4": 44.0, "us-letter": 29.0}
LONGER_WORDS: Mapping[Language, float] = {"en": 0.0, "es": 11.0}
"""By how much lower it is where a language needs more lines for the same [mm]."""


SCAFFOLD_LINES = 4
"""What is said where nobody stands on the wall above a height."""

LOWEST_SECTION = 20.0
"""Lower than this the section is not drawn [mm], whatever has to be said under it."""

LARGE_SECTION = 24.0
"""Never higher than this in large print [mm, before all grows]: else it leaves the answer alone on the first page."""


def first_section(dome: Dome, paper: Paper, *, large: bool = False) -> float:
    """Greatest height of the dome in the section of the first page [mm]: room for the tests and the caution, and for
    what is said under it of loads that are handed in; in large print, for the answer over it.
    """
    usual = FIRST_SECTION[paper] - LONGER_WORDS[spoken().language]
    wanted = min(usual, LARGE_SECTION) if large else usual
    building = dome.design.building
    lines = sum(map(len, handed_in_key(dome))) + (SCAFFOLD_LINES if building.scaffold_above is not None else 0)
    return max(wanted - LINE * lines, min(LOWEST_SECTION, wanted))


def _reserve_of_blocks(assessment: Result) -> BlockResult | None:
    """The dead load as blocks, openings and all, where it leaves least; None where the rings alone leave less."""
    found = [result for result in assessment.blocks if result.relied is not None and not result.directions]
    worst = min(found, key=lambda result: (result.relied or 0.0) / result.required, default=None)
    ring = assessment.governing().get("overall reserve")
    if worst is None or (ring and ring[1].share <= (worst.relied or 0.0) / worst.required):
        return None
    return worst


def _of(factor: float, required: float) -> str:
    return _("{factor} of {required}", factor=factor_words(factor, required), required=required_words(required))


def _worst(check: str, title: str, meets: bool | None) -> str:
    return _(
        "{check}: {outcome}. Worst: {case}", check=check, outcome=outcome_words(meets), case=lower(said_below(title))
    )


def five_numbers(assessment: Result) -> Block:
    """The weight, and the worst counted case of four checks: factor, what is required, where."""
    whole, system = assessment.totals.weight, assessment.design.unit_system
    mass, other = masses(whole, system)
    behind = other if system == "imperial" else format_quantity(whole, "force", system)
    numbers = [(mass, _("weight of the finished dome ({weight})", weight=behind))]
    worst, blocks = assessment.governing(), _reserve_of_blocks(assessment)
    for check in FIRST_CHECKS:
        if check == "overall reserve" and blocks is not None and blocks.relied is not None:
            said = _worst(_("all capacities together, as blocks"), blocks.title, blocks.meets)
            numbers.append((_of(blocks.relied, blocks.required), said))
        elif check in worst:
            case, margin = worst[check]
            value = _("no demand") if margin.meets else _("not enough")
            if margin.factor is not None:
                value = _of(margin.factor, margin.required)
            numbers.append((value, _worst(_(CHECKS_IN_WORDS[check]), case.title, margin.meets)))
    return {"kind": "figures", "numbers": [{"value": value, "what": what} for value, what in numbers]}


def _tests(assessment: Result) -> tuple[list[Block], dict[str, str]]:
    """How much of what decides was tested, and drawings of the two tests that come first."""
    values = deciding_values(assessment)
    first = first_tests(values)
    blocks: list[Block] = [heading(_("What to test first"), 2), paragraph(how_much_was_tested(values, first))]
    items, pictures = [], dict[str, str]()
    for one in first:
        assert one.test is not None
        name = f"test-{one.test}.svg"
        pictures[name] = site_test_svg(one.test)
        title, words = words_of_test(one, stabilised=assessment.design.fill.stabiliser != "none")
        items.append((name, _(TEST_ALT[one.test]), title, words))
    return ([*blocks, pictures_side_by_side(items)] if items else blocks), pictures


def _cautions(assessment: Result) -> Block:
    """All that the first page must not be read without, in one box."""
    said = [one for one in assessment.cautions if one.key in FIRST_CAUTIONS]
    items = [{"title": _(FIRST_CAUTIONS[one.key]), "text": caution_sentence(one)} for one in said]
    return {"kind": "cautions", "items": items}


def builder_pages(assessment: Result) -> tuple[list[Block], dict[str, str]]:
    """Everything a person must know who reads no further; (blocks, drawings of the tests)."""
    design, (tests, pictures) = assessment.design, _tests(assessment)
    blocks = [
        reader(_(FOR_BUILDER), one_page=True),
        heading(design.name),
        paragraph(headline(assessment)),
        {
            "kind": "verdict",
            "verdict": assessment.verdict,
            "word": _(VERDICT_WORDS[assessment.verdict]),
            "sentence": deciding_line(assessment),
        },
        picture("section-small.svg", _(SECTION_ALT)),
        *tests,
        heading(_("What to change"), 2),
        bullets(change_sentences(assessment)),
        *([paragraph(unproven_sentence(design))] if assessment.blocks and needs_more_than_crew(design) else []),
        _cautions(assessment),
        *([] if spoken().language == "en" else [small(_(REVIEW))]),
    ]
    return blocks, pictures
