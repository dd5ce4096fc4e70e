"""The report as data: first the answer, then the reason, then the picture, then the numbers."""

from __future__ import annotations

from shellcheck_earth.basics.units import UNITS, Dimension, format_quantity, unit_name
from shellcheck_earth.design.digest import design_sha256
from shellcheck_earth.safety.blocks.result import BlockResult
from shellcheck_earth.safety.result import CaseResult, Margin, Result
from shellcheck_earth.views.figures import charts as figures
from shellcheck_earth.views.figures import section
from shellcheck_earth.views.report.block_pages import three_d_blocks
from shellcheck_earth.views.report.build_sheet import build_sheet_blocks
from shellcheck_earth.views.report.governing import share_of_asked, worst_by_check
from shellcheck_earth.views.report.layout import (
    Block,
    Column,
    Document,
    bullets,
    caution,
    heading,
    page_break,
    paragraph,
    picture,
    small,
    table,
)
from shellcheck_earth.views.report.weather_pages import weather_blocks
from shellcheck_earth.views.report.working_pages import appendix_blocks, assumption_blocks, working_blocks
from shellcheck_earth.views.text.cautions import caution_sentence
from shellcheck_earth.views.text.margins import why_words
from shellcheck_earth.views.text.openings import advice_sentence
from shellcheck_earth.views.text.verdict import VERDICT_WORDS, deciding_line, headline, rule_of_thumb

__all__ = ["margin_rows", "report_document"]


def _factor(value: float | None) -> str:
    return "-" if value is None else f"{value:.3g}"


NEEDED = {
    "bed friction": "bed friction",
    "strength": "strength in service",
    "strength while building": "strength while building",
    "geometric factor": "wall thickness (geometric factor)",
    "overall reserve": "all capacities together (overall reserve)",
    "wire tension": "wire",
    "base sliding": "sliding on the ground",
    "ground bearing": "pressure on the ground",
}
"""The checks in words that need no glossary."""

FIRST_PAGE = ("bed friction", "strength", "strength while building", "overall reserve")


def _met(title: str, check: str, meets: bool | None) -> str:
    return f"{check}: {'met' if meets else 'falls short'}. Worst: {title[0].lower()}{title[1:]}"


def _reserve_of_blocks(assessment: Result) -> BlockResult | None:
    """The dead load as blocks, openings and all, where it leaves least; None where the rings alone leave less."""
    found = [result for result in assessment.blocks if result.relied is not None and not result.directions]
    worst = min(found, key=lambda result: (result.relied or 0.0) / result.required, default=None)
    ring = worst_by_check(assessment).get("overall reserve")
    if worst is None or (ring and share_of_asked(ring[1]) <= (worst.relied or 0.0) / worst.required):
        return None
    return worst


def _five(assessment: Result) -> Block:
    """The weight, and the worst counted case of four checks: factor, what is asked for, where."""
    tonnes = assessment.totals.weight / 9.80665
    weight = format_quantity(assessment.totals.weight, "force", assessment.design.unit_system)
    numbers = [(f"{tonnes:.3g} t", f"weight of the finished dome ({weight})")]
    worst, blocks = worst_by_check(assessment), _reserve_of_blocks(assessment)
    for check in FIRST_PAGE:
        if check == "overall reserve" and blocks is not None:
            numbers.append(
                (
                    f"{blocks.relied:.3g} of {blocks.required:.3g}",
                    _met(blocks.title, "all capacities together, as blocks", blocks.meets),
                )
            )
        elif check in worst:
            case, margin = worst[check]
            value = "none needed" if margin.meets else "not enough"
            if margin.factor is not None:
                value = f"{margin.factor:.3g} of {margin.required:.3g}"
            numbers.append((value, _met(case.title, NEEDED[check], margin.meets)))
    return {"kind": "figures", "numbers": [{"value": value, "what": what} for value, what in numbers]}


def _first_page(assessment: Result) -> list[Block]:
    return [
        heading(assessment.design.name),
        paragraph(headline(assessment)),
        {
            "kind": "verdict",
            "verdict": assessment.verdict,
            "word": VERDICT_WORDS[assessment.verdict],
            "sentence": deciding_line(assessment),
        },
        picture(
            "section.svg",
            "Section of the dome with its courses, the band between the least and the greatest thrust line, "
            "and the bed that governs",
        ),
        _five(assessment),
        small("Factors: what there is over what is needed, of what is asked for, in the worst case that counts."),
        *(caution(text, title) for title, text in _first_cautions(assessment)),
    ]


FIRST_CAUTIONS = {
    "engineer": "Caution.",
    "unstabilised": "Beyond the tests.",
    "loads left out": "Not part of the answer.",
}
"""Cautions of the first page and their titles."""


def _first_cautions(assessment: Result) -> list[tuple[str, str]]:
    """(title, text) of those that no reader of the first page alone may miss: whom to ask, fill that the tests do not
    cover, loads
    that nobody looked at."""
    return [
        (FIRST_CAUTIONS[one.key], caution_sentence(one)) for one in assessment.cautions if one.key in FIRST_CAUTIONS
    ]


def _quantity(value: float | None, unit: str, system: str) -> str:
    """A needed or an available value in the user's own units; a dash for none."""
    if value is None:
        return "-"
    dimensions: dict[str, Dimension] = {"kPa": "stress", "kN": "force"}
    return format_quantity(value, dimensions.get(unit, "number"), system)


def margin_rows(margins: tuple[Margin, ...], system: str = "metric") -> list[list[str]]:
    """A row a margin, ready to print."""
    return [
        [
            margin.check,
            _quantity(margin.needed, margin.unit, system),
            _quantity(margin.available, margin.unit, system),
            why_words(margin) if margin.factor is None else f"{margin.factor:.3g}",
            f"{margin.required:.3g}",
            "meets" if margin.meets else "falls short",
            "-" if margin.course is None else str(margin.course),
            margin.basis,
        ]
        for margin in margins
    ]


MARGIN_COLUMNS = [
    Column("Check", right=False, wide=True),
    Column("Needed"),
    Column("There is"),
    Column("Factor"),
    Column("Asked for"),
    Column("Outcome", right=False),
    Column("Course"),
    Column("Input is", right=False),
]


def _case_blocks(case: CaseResult, system: str) -> list[Block]:
    what = {
        "admissible": "A thrust line exists.",
        "inadmissible": "No thrust line exists.",
        "cannot say": "Neither a thrust line nor its impossibility could be established: cannot say.",
    }[case.status]
    if case.failing_course is not None:
        what += f" The first bed that no force path crosses is the one under course {case.failing_course}."
    counts = "" if case.counts else " This is a what-if and does not count in the verdict."
    proof = f" Proof: {case.proof}." if case.proof else ""
    return [
        heading(case.title, 2),
        paragraph(what + counts + proof),
        table(MARGIN_COLUMNS, margin_rows(case.margins, system)),
    ]


def _pair(cases: list[CaseResult | None], quantity: str, one: float) -> list[str]:
    """A quantity of both cases in a unit that is `one` in SI; a dash for none."""
    values = [None if case is None else getattr(case, quantity) for case in cases]
    return [_factor(None if value is None else value / one) for value in values]


def _short_in(cases: list[CaseResult | None]) -> str:
    """The checks that fall short bare or with the crew, each once, in the order of the margins."""
    names: list[str] = []
    for case in cases:
        if case is not None:
            if case.status != "admissible":
                names.append("no line exists" if case.status == "inadmissible" else "cannot say")
            names += [margin.check for margin in case.margins if not margin.meets]
    return ", ".join(dict.fromkeys(names)) or "nothing"


def _stage_table(assessment: Result) -> list[Block]:
    stages = [case for case in assessment.cases if case.kind == "stage"]
    with_crew = {case.stage: case for case in stages if case.crew}
    system = assessment.design.unit_system
    stress, force = unit_name("stress", system), unit_name("force", system)
    columns = [
        Column("Courses laid", share=0.9),
        Column("Friction needed, bare", share=1.1),
        Column("crew", share=0.8),
        Column("Without wire, bare", share=1.1),
        Column("crew", share=0.8),
        Column(f"Strength needed, {stress}, bare", share=1.2),
        Column("crew", share=0.8),
        Column(f"Wire needed, {force}, bare", share=1.1),
        Column("crew", share=0.8),
        Column("Reserve, bare", share=1.0),
        Column("crew", share=0.8),
        Column("Falls short in", right=False, share=3.4),
    ]
    rows = []
    for case in stages:
        if case.crew:
            continue
        two = [case, with_crew.get(case.stage)]
        figures_of = [
            text
            for quantity, one in (
                ("needed_bed_friction", 1.0),
                ("needed_bed_friction_no_wire", 1.0),
                ("needed_strength", UNITS["stress"][stress]),
                ("needed_wire_tension", UNITS["force"][force]),
                ("overall_reserve", 1.0),
            )
            for text in _pair(two, quantity, one)
        ]
        rows.append([str(case.stage), *figures_of, _short_in(two)])
    return [
        heading("While it is being built", 1),
        paragraph(
            "Every stage with the top ring closed and nothing above it, fill as damp as placed, bare and with a crew on"
            " the top ring (one worker's weight on every radian of it; one person alone on one side is a question in"
            " three dimensions)."
        ),
        picture(
            "stages.svg", "Factors of bed friction, strength and overall reserve against the number of courses laid"
        ),
        table(columns, rows, "Margins of every stage", 7.5),
    ]


def _what_holds_it_up(assessment: Result) -> list[Block]:
    return [
        heading("What holds it up?"),
        picture("friction.svg", "Needed bed friction against counted wire tension, with this design's point on it"),
        paragraph(
            "Friction in the beds and tension of the wire share the work of holding the courses that step in. The curve"
            " is the friction needed, finished and dry, for each tension of the wire that is counted on; under it no"
            " thrust line exists. Slender means more friction or more wire, long before the line leaves the wall."
        ),
        paragraph(rule_of_thumb(assessment.design)),
    ]


def report_document(assessment: Result) -> Document:
    """The whole report."""
    finished = [case for case in assessment.cases if not case.building]
    blocks: list[Block] = [
        *_first_page(assessment),
        page_break(),
        heading("Cautions"),
        bullets([caution_sentence(one) for one in assessment.cautions]),
    ]
    if assessment.advice:
        blocks += [
            heading("Advice of the trade", 2),
            bullets([advice_sentence(assessment.design, one) for one in assessment.advice]),
        ]
    blocks += [heading("Margins of the finished dome")]
    for case in finished:
        blocks += _case_blocks(case, assessment.design.unit_system)
    blocks += [*_what_holds_it_up(assessment), *_stage_table(assessment), page_break(), *build_sheet_blocks(assessment)]
    pictures = {
        "section.svg": section.section_svg(assessment),
        "friction.svg": figures.what_holds_it_up(assessment),
        "stages.svg": figures.margins_by_stage(assessment),
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
        title=f"{assessment.design.name}: will it stand?",
        footer=f"{assessment.design.name}. A calculation, not a permit: a licensed structural engineer must check it.",
        blocks=tuple(blocks),
        pictures=pictures,
        digest=design_sha256(assessment.design),
        paper="us-letter" if assessment.design.unit_system == "imperial" else "a4",
    )
