"""The first page: the answer, the line that decides it, the section, five numbers, the caution."""

from __future__ import annotations

from shellcheck_earth.basics.units import G, format_quantity
from shellcheck_earth.safety.blocks.result import BlockResult
from shellcheck_earth.safety.findings import CautionKey
from shellcheck_earth.safety.result import Result
from shellcheck_earth.views.report.layout import Block, caution, heading, paragraph, picture, small
from shellcheck_earth.views.text.cautions import caution_sentence
from shellcheck_earth.views.text.numbers import factor_words, lower, outcome_words, required_words
from shellcheck_earth.views.text.report import CHECKS_IN_WORDS, FACTORS, SECTION_ALT
from shellcheck_earth.views.text.verdict import VERDICT_WORDS, deciding_line, headline

__all__ = ["FIRST_CAUTIONS", "first_page"]

FIRST_CHECKS = ("bed friction", "strength", "strength while building", "overall reserve")
"""Checks whose worst case is on the first page."""

FIRST_CAUTIONS: dict[CautionKey, str] = {
    "engineer": "Caution.",
    "unstabilised": "Beyond the tests.",
    "loads left out": "Not part of the answer.",
    "loads stated none": "Not part of the answer.",
    "stages past": "Not part of the answer.",
}
"""Cautions that no reader of the first page alone may miss (whom to ask, fill that the tests do not cover, loads that
nobody examined), and their titles.
"""


def _reserve_of_blocks(assessment: Result) -> BlockResult | None:
    """The dead load as blocks, openings and all, where it leaves least; None where the rings alone leave less."""
    found = [result for result in assessment.blocks if result.relied is not None and not result.directions]
    worst = min(found, key=lambda result: (result.relied or 0.0) / result.required, default=None)
    ring = assessment.governing().get("overall reserve")
    if worst is None or (ring and ring[1].share <= (worst.relied or 0.0) / worst.required):
        return None
    return worst


def _of(factor: float, required: float) -> str:
    return f"{factor_words(factor, required)} of {required_words(required)}"


def _worst(check: str, title: str, meets: bool | None) -> str:
    return f"{check}: {outcome_words(meets)}. Worst: {lower(title)}"


def _five(assessment: Result) -> Block:
    """The weight, and the worst counted case of four checks: factor, what is required, where."""
    weight = format_quantity(assessment.totals.weight, "force", assessment.design.unit_system)
    numbers = [(f"{assessment.totals.weight / G:.3g} t", f"weight of the finished dome ({weight})")]
    worst, blocks = assessment.governing(), _reserve_of_blocks(assessment)
    for check in FIRST_CHECKS:
        if check == "overall reserve" and blocks is not None and blocks.relied is not None:
            said = _worst("all capacities together, as blocks", blocks.title, blocks.meets)
            numbers.append((_of(blocks.relied, blocks.required), said))
        elif check in worst:
            case, margin = worst[check]
            value = "no demand" if margin.meets else "not enough"
            if margin.factor is not None:
                value = _of(margin.factor, margin.required)
            numbers.append((value, _worst(CHECKS_IN_WORDS[check], case.title, margin.meets)))
    return {"kind": "figures", "numbers": [{"value": value, "what": what} for value, what in numbers]}


def first_page(assessment: Result) -> list[Block]:
    """Everything a person must know who reads no further."""
    return [
        heading(assessment.design.name),
        paragraph(headline(assessment)),
        {
            "kind": "verdict",
            "verdict": assessment.verdict,
            "word": VERDICT_WORDS[assessment.verdict],
            "sentence": deciding_line(assessment),
        },
        picture("section.svg", SECTION_ALT),
        _five(assessment),
        small(FACTORS),
        *(
            caution(caution_sentence(one), FIRST_CAUTIONS[one.key])
            for one in assessment.cautions
            if one.key in FIRST_CAUTIONS
        ),
    ]
