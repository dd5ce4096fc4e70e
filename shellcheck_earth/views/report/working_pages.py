"""The back of the report: assumptions with their sources, the working, proofs and limits."""

from __future__ import annotations

from shellcheck_earth.basics.values import criteria_set, sources
from shellcheck_earth.safety.result import Assumption, Result
from shellcheck_earth.views.report.evidence_pages import evidence_blocks
from shellcheck_earth.views.report.layout import Block, Column, bullets, heading, paragraph, table
from shellcheck_earth.views.report.sameness import told_once
from shellcheck_earth.views.text.assumptions import NONE_DECIDES, deciding_input_sentence, tried_sentence
from shellcheck_earth.views.text.evidence import known_words
from shellcheck_earth.views.text.numbers import capital
from shellcheck_earth.views.text.report import ASSUMED, FIXED, LIMITS, proof_sentences, working_paragraph
from shellcheck_earth.views.text.working import working_lines

__all__ = ["appendix_blocks", "assumption_blocks", "working_blocks"]

FORMULAS = {
    "r = sqrt(R^2 - z^2) - a": "r = sqrt(R^2 - z^2) - a",
    "c = hypot(r, z - z_p)": "c = sqrt(r^2 + (z - z_p)^2)",
    "W = gamma h (r_o^2 - r_i^2)/2": "W = gamma h (r_o^2 - r_i^2)/2",
    "x_g = (2/3)(r_o^3 - r_i^3)/(r_o^2 - r_i^2)": "x_g = 2/3 (r_o^3 - r_i^3)/(r_o^2 - r_i^2)",
    "|H| <= mu V + c A": "abs(H) <= mu V + c A",
    "x = (G - z H)/V": "x = (G - z H)/V",
}
"""Formulas of the working as the typesetter's mathematics; one that is not here is printed as it stands."""


def _source(assumption: Assumption) -> str:
    """The source, ended as a sentence, then how to measure instead."""
    source = assumption.source.rstrip(". ") + "."
    return f"{source} To measure: {assumption.how_to_measure}" if assumption.how_to_measure else source


def _tried(assessment: Result) -> list[Block]:
    """Every end of a range that was tried, and the answer there."""
    columns = [
        Column("Input", right=False),
        Column("Tried at"),
        Column("Answer there", right=False),
        Column("Changes it", right=False),
    ]
    rows = [[s.path, s.at, s.verdict, "yes" if s.decides else ""] for s in assessment.sensitivity]
    return told_once(columns, rows, "One input at a time at the ends of its range")


def _fixed(assessment: Result) -> Block:
    """The numbers of the method that no design file changes."""
    columns = [
        Column("Number", right=False, share=1.4),
        Column("Value", share=1.2),
        Column("Known", right=False, share=0.8),
        Column("What it is, and its source", right=False, share=4.0),
    ]
    rows = [
        [f.key, f.value, known_words(f.known), f"{capital(f.note)}. {f.source.rstrip('. ')}."] for f in assessment.fixed
    ]
    return table(columns, rows, "Numbers of the method, and how each is known", 8.0)


def assumption_blocks(assessment: Result) -> list[Block]:
    """What was assumed, the fixed numbers, and which input decides."""
    columns = [
        Column("Input", right=False, share=1.75),
        Column("Used", share=1.15),
        Column("Range", share=1.5),
        Column("Known", right=False, share=0.8),
        Column("Source, and how to replace it by a measurement", right=False, share=3.0),
    ]
    rows = [
        [
            a.path,
            a.value,
            f"{a.low} to {a.high}" if a.low and a.high else a.low or a.high or "-",
            known_words(a.known),
            _source(a),
        ]
        for a in assessment.assumptions
    ]
    deciding = [s for s in assessment.sensitivity if s.decides]
    blocks = [
        heading("What was assumed"),
        paragraph(ASSUMED),
        table(columns, rows, "Inputs not measured, their range, and how each is known", 8.0),
        heading("Fixed numbers", 2),
        paragraph(FIXED),
        _fixed(assessment),
        heading("Which input decides", 2),
    ]
    if deciding:
        blocks.append(bullets([deciding_input_sentence(one) for one in deciding]))
    else:
        blocks.append(paragraph(NONE_DECIDES))
    if deciding:
        blocks += _tried(assessment)
    elif assessment.sensitivity:
        blocks.append(paragraph(tried_sentence(assessment.sensitivity)))
    return blocks


def working_blocks(assessment: Result) -> list[Block]:
    """The working of one bed, a line a step."""
    rows = [
        {
            "what": w.what,
            "formula": w.formula,
            "math": FORMULAS.get(w.formula, ""),
            "numbers": w.numbers,
            "result": w.result,
            "source": w.source,
        }
        for w in working_lines(assessment.working)
    ]
    return [
        heading("The working of one bed"),
        paragraph(working_paragraph(assessment.design.unit_system)),
        {"kind": "working", "rows": rows},
    ]


def appendix_blocks(assessment: Result) -> list[Block]:
    """Proofs, limits and sources."""
    names = criteria_set(assessment.design.criteria.set_name)
    required = assessment.design.criteria.required
    columns = [
        Column("Check", right=False),
        Column("Required"),
        Column("Known", right=False),
        Column("Source", right=False, wide=True),
    ]
    rows = [
        [
            check,
            f"{required[check]:.3g}",
            "set in the design file" if check in assessment.design.criteria.overridden else known_words(row.known),
            row.source.text + (f". {row.note}" if row.note else ""),
        ]
        for check, row in names.items()
    ]
    proofs = proof_sentences(assessment)
    return [
        heading("What is required, and by whom"),
        table(columns, rows, f"Criteria: {assessment.design.criteria.set_name}", 8),
        heading("Proofs"),
        bullets(proofs) if proofs else paragraph("No proof was asked for."),
        heading("Limits"),
        bullets(LIMITS),
        *evidence_blocks(assessment),
        heading("Sources"),
        bullets([f"{source.text}" for source in sources().values()]),
    ]
