"""The answer on one screen, in the order of the report's first page."""

from __future__ import annotations

import sys
from pathlib import Path

from shellcheck_earth.basics.texts import clean, wrapped
from shellcheck_earth.basics.units import UNITS, Dimension, unit_name
from shellcheck_earth.safety.blocks.result import BlockResult
from shellcheck_earth.safety.cautions import loads_left_out, loads_stated_none
from shellcheck_earth.safety.result import CaseResult, Result, Verdict
from shellcheck_earth.views.render.screen import say
from shellcheck_earth.views.text.cautions import ENGINEER, left_out_sentence, stated_none_sentence
from shellcheck_earth.views.text.verdict import VERDICT_WORDS, deciding_line, headline, rule_of_thumb
from shellcheck_earth.views.text.weather import cover_sentence, pace_sentence

__all__ = ["print_summary", "summary_lines"]

MARKS: dict[Verdict, str] = {"meets": "(*)", "falls short": "/_\\", "cannot say": "[?]"}
"""Each verdict has a mark and a word of its own, so that nothing hangs on colour."""


def _figure(value: float | None) -> str:
    return "-" if value is None else f"{value:.3g}"


def _in(value: float | None, dimension: Dimension, system: str) -> str:
    """In the unit the head of the column names."""
    return _figure(None if value is None else value / UNITS[dimension][unit_name(dimension, system)])


def _case_line(case: CaseResult, system: str, note: str = "") -> str:
    short = sum(margin.meets is False for margin in case.margins)
    unsettled = case.status == "cannot say" or any(margin.meets is None for margin in case.margins)
    outcome = f"{short} short" if short and case.status != "cannot say" else "cannot say" if unsettled else "meets"
    name = f"{case.id} {note or ('' if case.counts else '(what if)')}".strip()
    return (
        f"  {name:26.26} {_figure(case.needed_bed_friction):>9} {_in(case.needed_strength, 'stress', system):>9} "
        f"{_in(case.needed_wire_tension, 'force', system):>8} {_figure(case.overall_reserve):>8}  {outcome}"
    )


def _block_line(one: BlockResult) -> str:
    """One load of the block model: what is relied on, of what is required."""
    found = one.status if one.relied is None else f"{'at least ' if one.at_least else ''}{one.relied:.3g}"
    outcome = "cannot say" if one.status == "cannot say" else ("meets" if one.meets else "falls short")
    return f"  {'blocks: ' + one.title:.58}: {found} of {one.required:.3g}, {outcome}"


def _worst_stage(cases: list[CaseResult]) -> CaseResult | None:
    return min(cases, key=lambda case: (case.overall_reserve or 0.0, case.id), default=None)


def summary_lines(assessment: Result, out: Path | None) -> list[str]:
    """At most one screen of 80 columns."""
    system = assessment.design.unit_system
    lines = [*wrapped(headline(assessment)), ""]
    lines += [
        f"{MARKS[assessment.verdict]} {VERDICT_WORDS[assessment.verdict].upper()}",
        *wrapped(deciding_line(assessment), "    "),
        "",
    ]
    lines.append(f"  {'case':26} {'friction':>9} {'strength':>9} {'wire':>8} {'overall':>8}")
    lines.append(
        f"  {'':26} {'demand':>9} {unit_name('stress', system):>9} {unit_name('force', system):>8} {'reserve':>8}"
    )
    finished = [case for case in assessment.cases if not case.building]
    lines += [_case_line(case, system) for case in finished]
    worst = _worst_stage([case for case in assessment.cases if case.kind == "stage"])
    if worst is not None:
        lines.append(_case_line(worst, system, "(worst)"))
    lines += [_block_line(one) for one in assessment.blocks]
    lines += ["", *wrapped(rule_of_thumb(assessment.design))]
    if assessment.weather is not None:
        lines += wrapped(pace_sentence(assessment.dome, assessment.weather))
        lines += wrapped(cover_sentence(assessment.dome, assessment.weather))
    deciding = sorted({one.path for one in assessment.sensitivity if one.decides})
    if deciding:
        lines += wrapped("Inputs whose range changes the answer: " + ", ".join(deciding) + ". Measure these first.")
    unchecked = left_out_sentence(loads_left_out(assessment.design))
    excused = stated_none_sentence(loads_stated_none(assessment.design))
    said = [text for text in (unchecked, excused, f"Caution. {ENGINEER}") if text]
    lines += ["", *(line for text in said for line in wrapped(text))]
    if out is not None:
        more = ", mechanism.glb (the mechanism, to turn round)" if any(one.motions for one in assessment.blocks) else ""
        lines += [
            "",
            f"Written to {out}:",
            f"report.pdf, assessment.json, courses.csv, courses.xlsx, section.svg, certificate.json{more}",
        ]
    return lines


def print_summary(assessment: Result, out: Path | None) -> None:
    """Plain text where the output is no terminal; the verdict in bold where it is."""
    lines = summary_lines(assessment, out)
    if not sys.stdout.isatty():
        say(lines)
        return
    from rich.console import Console
    from rich.text import Text

    console = Console(highlight=False)
    mark = MARKS[assessment.verdict]
    for line in lines:
        console.print(Text(clean(line), style="bold" if line.startswith(mark) else ""))
