"""The back of the report: assumptions with their sources, the working, proofs and limits."""

from __future__ import annotations

from shellcheck_earth.basics.values import Sourced, criteria_set, sources
from shellcheck_earth.design.design import Criteria
from shellcheck_earth.safety.result import Assumption, Result
from shellcheck_earth.views.report.evidence_pages import evidence_blocks
from shellcheck_earth.views.report.factor_pages import own_set_words
from shellcheck_earth.views.report.layout import Block, Column, bullets, heading, paragraph, table
from shellcheck_earth.views.report.sameness import told_once
from shellcheck_earth.views.text.assumptions import NONE_DECIDES, deciding_input_sentence, tried_sentence
from shellcheck_earth.views.text.below import said_below, said_source, source_named
from shellcheck_earth.views.text.block_working import BLOCKS_GIVEN, block_workings
from shellcheck_earth.views.text.course_weights import COURSE_FORMULAS, CourseTable, course_tables
from shellcheck_earth.views.text.evidence import known_words
from shellcheck_earth.views.text.language import _
from shellcheck_earth.views.text.numbers import capital
from shellcheck_earth.views.text.report import (
    ASSUMED,
    FIXED,
    LIMITS,
    fill_paragraph,
    proof_sentences,
    working_paragraph,
)
from shellcheck_earth.views.text.working import printed_workings
from shellcheck_earth.views.text.worksheet import Working

__all__ = ["appendix_blocks", "assumption_blocks", "working_blocks"]

FORMULAS = {
    "r_i = sqrt(R^2 - z_m^2) - a_p": "r_i = sqrt(R^2 - z_m^2) - a_p",
    "W = k gamma h (r_o^2 - r_i^2)/2": "W = k gamma h (r_o^2 - r_i^2)/2",
    "M = k gamma h (r_o^3 - r_i^3)/3": "M = k gamma h (r_o^3 - r_i^3)/3",
    "L = mu V + c": "L = mu V + c",
    "c_i = sqrt(a^2 + 2 V/f)": "c_i = sqrt(a^2 + 2 V/f)",
    "c_o = sqrt(b^2 - 2 V/f)": "c_o = sqrt(b^2 - 2 V/f)",
    "x = (G - z H)/V": "x = (G - z H)/V",
    "m = |H|/V": "m = abs(H)/V",
}
"""Formulas of the working as the typesetter's mathematics; one that is not here is printed as it stands."""


def _source(assumption: Assumption) -> str:
    """The source, ended as a sentence, then how to measure instead."""
    source = said_source(assumption.source)
    if not assumption.how_to_measure:
        return source
    return _("{source} To measure: {how}", source=source, how=said_below(assumption.how_to_measure))


def _tried(assessment: Result) -> list[Block]:
    """Every end of a range that was tried, and the answer there."""
    columns = [
        Column(_("Input"), right=False),
        Column(_("Tried at")),
        Column(_("Answer there"), right=False),
        Column(_("Changes it"), right=False),
    ]
    rows = [[s.path, said_below(s.at), _(s.verdict), _("yes") if s.decides else ""] for s in assessment.sensitivity]
    return told_once(columns, rows, _("One input at a time at the ends of its range"))


def _fixed(assessment: Result) -> Block:
    """The numbers of the method that no design file changes."""
    columns = [
        Column(_("Number"), right=False, share=1.4),
        Column(_("Value"), share=1.2),
        Column(_("Known"), right=False, share=0.8),
        Column(_("What it is, and its source"), right=False, share=4.0),
    ]
    rows = [
        [f.key, f.value, known_words(f.known), f"{capital(said_below(f.note))}. {said_source(f.source)}"]
        for f in assessment.fixed
    ]
    return table(columns, rows, _("Numbers of the method, and how each is known"), 8.0)


def assumption_blocks(assessment: Result) -> list[Block]:
    """What was assumed, the fixed numbers, and which input decides."""
    columns = [
        Column(_("Input"), right=False, share=1.75),
        Column(_("Used"), share=1.15),
        Column(_("Range"), share=1.5),
        Column(_("Known"), right=False, share=0.8),
        Column(_("Source, and how to replace it by a measurement"), right=False, share=3.0),
    ]
    rows = [
        [
            a.path,
            said_below(a.value),
            _("{low} to {high}", low=a.low, high=a.high) if a.low and a.high else a.low or a.high or "-",
            known_words(a.known),
            _source(a),
        ]
        for a in assessment.assumptions
    ]
    deciding = [s for s in assessment.sensitivity if s.decides]
    blocks = [
        heading(_("What was assumed")),
        paragraph(_(ASSUMED)),
        table(columns, rows, _("Inputs not measured, their range, and how each is known"), 8.0),
        heading(_("Fixed numbers"), 2),
        paragraph(_(FIXED)),
        _fixed(assessment),
        heading(_("Which input decides"), 2),
    ]
    if deciding:
        blocks.append(bullets([deciding_input_sentence(one) for one in deciding]))
    else:
        blocks.append(paragraph(_(NONE_DECIDES)))
    if deciding:
        blocks += _tried(assessment)
    elif assessment.sensitivity:
        blocks.append(paragraph(tried_sentence(assessment.sensitivity)))
    return blocks


def working_blocks(assessment: Result) -> list[Block]:
    """The working of the governing bed of each check, and of the governing case of blocks, a line a step."""
    said = working_paragraph(assessment.design.unit_system), fill_paragraph()
    blocks = [heading(_("The working")), *map(paragraph, said)]
    for working in printed_workings(assessment.workings):
        blocks += _lines(working)
    blocks += _weights(assessment)
    of_blocks = list(block_workings(assessment.blocks))
    if of_blocks:
        blocks += [heading(_("From what blocks hold to what is relied on")), paragraph(_(BLOCKS_GIVEN))]
    for working in of_blocks:
        blocks += _lines(working)
    return blocks


def _weights(assessment: Result) -> list[Block]:
    """What the courses weigh in every case of the working, part by part, with running sums."""
    tables = course_tables(assessment.workings)
    names = ("k", "gamma", "h", "r_i", "r_o", "F", "r, z", "W", "M", "W'", "M'", "V", "M''")
    columns = [Column(_("Course")), Column(_("Part"), right=False, wide=True), *map(Column, names)]
    blocks = [heading(_("What the courses weigh"), 2), paragraph(_(COURSE_FORMULAS))] if tables else []
    for one in tables:
        cells = [[str(row.course), *list(vars(row).values())[1:]] for row in one.rows]
        used = [k for k in range(len(columns)) if any(row[k] for row in cells)]
        rows = [[row[k] for k in used] for row in cells]
        blocks += told_once([columns[k] for k in used], rows, capital(_caption(one)), 8.0)
    return blocks


def _caption(one: CourseTable) -> str:
    if one.kind == "plaster":
        return _("Plaster, part by part")
    case = f"{one.case}, {one.combination}" if one.combination else one.case
    if one.kind == "loads":
        return _("{case}: what loads the courses", case=case)
    return _("{case}, with plaster", case=case) if one.plastered else case


def _lines(working: Working) -> list[Block]:
    rows = [
        {
            "what": w.what,
            "formula": w.formula,
            "math": FORMULAS.get(w.formula, ""),
            "numbers": w.numbers,
            "result": w.result,
            "source": w.source,
        }
        for w in working.lines
    ]
    return [heading(capital(working.title), 2), {"kind": "working", "rows": rows}]


def _who_requires(criteria: Criteria, check: str, row: Sourced) -> tuple[str, str]:
    """How what is required of a check is known, and where it stands: in the design file, a set of a file, or the named
    set."""
    where = source_named(row.source.text) + (f". {said_below(row.note)}" if row.note else "")
    if check in criteria.overridden:
        return _("set in the design file"), where
    own = criteria.own_set
    stated = next((one for one in own.required if one.check == check), None) if own else None
    if own is None or stated is None:
        return known_words(row.known), where
    return stated.source, f"{own.name}, {stated.clause}"


def appendix_blocks(assessment: Result) -> list[Block]:
    """Proofs, limits and sources."""
    criteria = assessment.design.criteria
    columns = [
        Column(_("Check"), right=False),
        Column(_("Required")),
        Column(_("Known"), right=False),
        Column(_("Source"), right=False, wide=True),
    ]
    rows = [
        [said_below(check), f"{criteria.required[check]:.3g}", *_who_requires(criteria, check, row)]
        for check, row in criteria_set(criteria.set_name).items()
    ]
    proofs = proof_sentences(assessment)
    return [
        heading(_("What is required, and by whom")),
        *own_set_words(criteria),
        table(columns, rows, _("Criteria: {name}", name=said_below(criteria.set_name)), 8),
        heading(_("Proofs")),
        bullets(proofs) if proofs else paragraph(_("No proof was asked for.")),
        heading(_("Limits")),
        bullets([_(one) for one in LIMITS]),
        *evidence_blocks(assessment),
        heading(_("Sources")),
        bullets([source_named(source.text) for source in sources().values()]),
    ]
