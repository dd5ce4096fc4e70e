"""Margins of the finished dome, what holds it up, and every stage of building."""

from __future__ import annotations

from shellcheck_earth.basics.units import UNITS, unit_name
from shellcheck_earth.safety.result import CaseResult, Margin, Result
from shellcheck_earth.views.report.layout import Block, Column, heading, paragraph, picture, table
from shellcheck_earth.views.report.sameness import told_once
from shellcheck_earth.views.text.below import said_below
from shellcheck_earth.views.text.language import _
from shellcheck_earth.views.text.margins import why_words
from shellcheck_earth.views.text.numbers import factor_words, outcome_words, quantity_in, required_words
from shellcheck_earth.views.text.report import HOLDS_IT_UP, STAGES, WHAT_IFS, case_paragraph
from shellcheck_earth.views.text.verdict import rule_of_thumb

__all__ = ["finished_blocks", "holds_it_up", "margin_rows", "stage_blocks"]


def _margin_columns() -> list[Column]:
    return [
        Column(_("Check"), right=False, share=1.3),
        Column(_("Demand")),
        Column(_("Capacity")),
        Column(_("Factor"), share=1.5),
        Column(_("Required")),
        Column(_("Outcome"), right=False),
        Column(_("Course")),
        Column(_("Input is"), right=False),
    ]


def margin_rows(margins: tuple[Margin, ...], system: str = "metric") -> list[list[str]]:
    """A row a margin, ready to print."""
    return [
        [
            said_below(f"{margin.check}, {margin.combination}" if margin.combination else margin.check),
            quantity_in(margin.needed, margin.unit, system),
            quantity_in(margin.available, margin.unit, system),
            why_words(margin) if margin.factor is None else factor_words(margin.factor, margin.required),
            required_words(margin.required),
            outcome_words(margin.meets),
            "-" if margin.course is None else str(margin.course),
            said_below(margin.basis),
        ]
        for margin in margins
    ]


def _case_blocks(case: CaseResult, system: str) -> list[Block]:
    """One case with its margins."""
    return [
        heading(said_below(case.title), 2),
        paragraph(case_paragraph(case)),
        table(_margin_columns(), margin_rows(case.margins, system)),
    ]


def finished_blocks(assessment: Result) -> list[Block]:
    """Every case of the finished dome with its margins; what does not count apart from what does."""
    system = assessment.design.unit_system
    finished = [case for case in assessment.cases if not case.building]
    counted = [block for case in finished if case.counts for block in _case_blocks(case, system)]
    what_ifs = [block for case in finished if not case.counts for block in _case_blocks(case, system)]
    blocks = [heading(_("Margins of the finished dome")), *counted]
    return (
        [*blocks, heading(_("What-ifs that do not count")), paragraph(_(WHAT_IFS)), *what_ifs] if what_ifs else blocks
    )


def _pair(cases: list[CaseResult | None], quantity: str, one: float) -> list[str]:
    """A quantity of both cases in a unit that is `one` in SI; a dash for none."""
    values = [None if case is None else getattr(case, quantity) for case in cases]
    return ["-" if value is None else f"{value / one:.3g}" for value in values]


def _short_in(cases: list[CaseResult | None]) -> str:
    """The checks that fall short or cannot be established, bare or with the crew, each once, in the order of the
    margins.
    """
    names: list[str] = []
    for case in cases:
        if case is not None:
            if case.status != "admissible":
                names.append(_("no line exists") if case.status == "inadmissible" else _("cannot say"))
            names += [_unmet(margin) for margin in case.margins if not margin.meets]
    return ", ".join(dict.fromkeys(names)) or _("nothing")


def _unmet(margin: Margin) -> str:
    check = said_below(margin.check)
    return check if margin.meets is False else _("{check} (cannot say)", check=check)


def _stage_columns(stress: str, force: str, *, wired: bool) -> list[tuple[tuple[str, str], str, float]]:
    """(heads bare and with the crew, quantity, what one of its unit is in SI) of each pair of columns."""
    wire = [
        ((_("Without wire, bare"), _("Without wire, crew")), "needed_bed_friction_no_wire", 1.0),
        ((_("Wire, {unit}, bare", unit=force), _("Wire, crew")), "needed_wire_tension", UNITS["force"][force]),
    ]
    pressed = _("Strength, {unit}, bare", unit=stress), _("Strength, crew")
    return [
        ((_("Friction, bare"), _("Friction, crew")), "needed_bed_friction", 1.0),
        *wire[: 1 if wired else 0],
        (pressed, "needed_strength", UNITS["stress"][stress]),
        *wire[1 if wired else 2 :],
        ((_("Reserve, bare"), _("Reserve, crew")), "overall_reserve", 1.0),
    ]


def stage_blocks(assessment: Result) -> list[Block]:
    """Demand at every stage of building, bare and with a crew on the top ring."""
    stages = [case for case in assessment.cases if case.kind == "stage"]
    with_crew = {case.stage: case for case in stages if case.crew}
    system, wired = assessment.design.unit_system, assessment.design.beds.wire_tension > 0
    shown = _stage_columns(unit_name("stress", system), unit_name("force", system), wired=wired)
    pairs = [(Column(bare, share=1.1), Column(crew, share=1.0)) for (bare, crew), *_rest in shown]
    columns = [
        Column(_("Courses laid"), share=0.9),
        *(column for pair in pairs for column in pair),
        Column(_("Falls short in"), right=False, share=3.4),
    ]
    rows = []
    for case in stages:
        if case.crew:
            continue
        two = [case, with_crew.get(case.stage)]
        found = [text for _heads, quantity, one in shown for text in _pair(two, quantity, one)]
        rows.append([str(case.stage), *found, _short_in(two)])
    no_wire = [] if wired else [paragraph(_("No wire is counted on in the beds: its columns are left out."))]
    return [
        heading(_("While it is being built"), 1),
        paragraph(_(STAGES)),
        *no_wire,
        picture(
            "stages.svg", _("Factors of bed friction, strength and overall reserve against the number of courses laid")
        ),
        *told_once(columns, rows, _("Demand and reserve of every stage")),
    ]


def holds_it_up(assessment: Result) -> list[Block]:
    """Friction or wire: the curve, and the rule of thumb."""
    return [
        heading(_("What holds it up?")),
        picture(
            "friction.svg", _("Demand for bed friction against counted wire tension, with this design's point on it")
        ),
        paragraph(_(HOLDS_IT_UP)),
        paragraph(rule_of_thumb(assessment.design)),
    ]
