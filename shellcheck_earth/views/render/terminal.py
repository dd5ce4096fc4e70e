"""The answer on one screen, in the order of the report's first page."""

from __future__ import annotations

import re
import sys
from collections.abc import Sequence
from pathlib import Path
from string import ascii_lowercase

from shellcheck_earth.basics.texts import clean, screen_width, wrapped
from shellcheck_earth.basics.units import UNITS, Dimension, unit_name
from shellcheck_earth.safety.blocks.result import BlockResult
from shellcheck_earth.safety.cautions import loads_left_out, loads_stated_none
from shellcheck_earth.safety.result import CaseResult, Result, Verdict
from shellcheck_earth.views.render.screen import say
from shellcheck_earth.views.text.below import said_below
from shellcheck_earth.views.text.blocks import BOUNDS, bounds_words
from shellcheck_earth.views.text.cautions import (
    ENGINEER,
    bearing_loads_sentence,
    earth_sentence,
    left_out_sentence,
    ring_loads_sentence,
    scaffold_line,
    stated_none_sentence,
)
from shellcheck_earth.views.text.language import REVIEW, _, spoken
from shellcheck_earth.views.text.numbers import outcome_words
from shellcheck_earth.views.text.verdict import VERDICT_WORDS, deciding_line, headline, rule_of_thumb
from shellcheck_earth.views.text.weather import cover_sentence, pace_sentence

__all__ = ["print_summary", "shown_blocks", "summary_lines"]

MARKS: dict[Verdict, str] = {"meets": "(*)", "falls short": "/_\\", "cannot say": "[?]"}
"""Each verdict has a mark and a word of its own, so that nothing hangs on colour."""

CARRYING = re.compile(r"(-earth-\d+)?(-carrying-\d+)|-earth-\d+")
"""Which state of what is handed in, in the name of a case of blocks."""

WRITTEN = (
    *("report.pdf", "assessment.json", "courses.csv", "courses.xlsx", "section.svg", "section-phone.svg"),
    "certificate.json",
)
"""What every check writes."""

TABLE_WIDTH = 80
"""Columns of the screen that the whole table of cases needs."""


def _figure(value: float | None) -> str:
    return "-" if value is None else f"{value:.3g}"


def _in(value: float | None, dimension: Dimension, system: str) -> str:
    """In the unit the head of the column names."""
    return _figure(None if value is None else value / UNITS[dimension][unit_name(dimension, system)])


def _case_line(case: CaseResult, system: str, name: str) -> str:
    """`name`: as the screen has it, with a mark where something is to be said of it."""
    short = sum(margin.meets is False for margin in case.margins)
    unsettled = case.status == "cannot say" or any(margin.meets is None for margin in case.margins)
    outcome = _("cannot say") if unsettled else _("meets")
    if short and case.status != "cannot say":
        outcome = _("{count} short", count=short)
    return _row(
        name,
        [
            _figure(case.needed_bed_friction),
            _in(case.needed_strength, "stress", system),
            _in(case.needed_wire_tension, "force", system),
            _figure(case.overall_reserve),
        ],
        outcome,
    )


def _row(name: str, cells: Sequence[str], outcome: str = "") -> str:
    """One line of the table of cases; a narrow screen has room for the last column alone, the others are in the
    report."""
    shown = cells if screen_width() >= TABLE_WIDTH else cells[-1:]
    return f"  {name:26.26} {' '.join(f'{cell:>9}' for cell in shown)}  {outcome}".rstrip()


def _block_lines(one: BlockResult) -> list[str]:
    """One load of the block model: what is relied on, of what is required."""
    found = said_below(one.status) if one.relied is None else f"{one.relied:.3g}"
    if one.relied is not None and one.at_least:
        found = _("at least {value}", value=found)
    outcome = outcome_words(None if one.status == "cannot say" else bool(one.meets))
    said = _(
        "blocks: {title}: {found} of {required:.3g}, {outcome}",
        title=said_below(one.title),
        found=found,
        required=one.required,
        outcome=outcome,
    )
    return wrapped("; ".join(text for text in (said, bounds_words(one)) if text), "  ", "      ")


def _finished(cases: Sequence[CaseResult]) -> tuple[list[tuple[str, CaseResult]], dict[str, str], int]:
    """Cases of the finished dome for the table, each with its name: of the states of what is handed into rings the
    worst of each case alone, with a letter; the words of each letter; and how many states there are.
    """
    groups: dict[str, list[CaseResult]] = {}
    for case in cases:
        groups.setdefault(_bare(case), []).append(case)
    bare = {name: case for name, group in groups.items() for case in group if case.id == name}
    carrying = {name: [case for case in group if case.id != name] for name, group in groups.items()}
    apart = _("(what if)")
    shown = [(name if case.counts else f"{name} {apart}", case) for name, case in bare.items()]
    letters: dict[str, str] = {}
    for name, states in carrying.items():
        if states:
            worst = min(states, key=_by_outcome)
            words = worst.title.removeprefix(bare[name].title).lstrip(", ") if name in bare else worst.title
            shown.append((f"{name} ({letters.setdefault(words, ascii_lowercase[len(letters)])})", worst))
    return shown, {letter: words for words, letter in letters.items()}, max(map(len, carrying.values()), default=0)


def _bare(case: CaseResult) -> str:
    return case.id.partition("-earth-")[0].partition("-carrying-")[0]


def shown_blocks(results: Sequence[BlockResult]) -> tuple[list[BlockResult], int]:
    """What blocks say for the screen: of the states of what is handed in the worst of each question alone; and how many
    states there are."""
    groups: dict[str, list[BlockResult]] = {}
    for one in results:
        groups.setdefault(CARRYING.sub("-carrying", one.id), []).append(one)
    worst = [min(group, key=_by_share) for group in groups.values()]
    return worst, max((len(group) for name, group in groups.items() if "-carrying" in name), default=0)


def _by_share(one: BlockResult) -> tuple[int, float]:
    """What falls short comes first, then what is not established, then the least of what is required."""
    return {False: 0, None: 1, True: 2}[one.meets], (one.relied or 0.0) / one.required


def _by_outcome(case: CaseResult) -> tuple[bool, int, float]:
    """What falls short comes first, then what is not established, then the least reserve."""
    short = sum(margin.meets is False for margin in case.margins)
    settled = case.status != "cannot say" and all(margin.meets is not None for margin in case.margins)
    return settled and not short, -short, case.overall_reserve or 0.0


def _worst_stage(cases: list[CaseResult]) -> CaseResult | None:
    return min(cases, key=lambda case: (case.overall_reserve or 0.0, case.id), default=None)


def _cautioned(assessment: Result) -> list[str]:
    """What was left out, and what was asked of what is handed in and lies against the wall."""
    design = assessment.design
    earth = next((tuple(map(str, one.values)) for one in assessment.cautions if one.key == "earth"), ("",))
    scaffold = next((tuple(map(str, one.values)) for one in assessment.cautions if one.key == "scaffold"), ("", ""))
    said = (
        scaffold_line(*scaffold),
        left_out_sentence(loads_left_out(design)),
        stated_none_sentence(loads_stated_none(design)),
        ring_loads_sentence([load.name for load in design.ring_loads]),
        bearing_loads_sentence([load.name for load in design.bearing_loads]),
        earth_sentence(*earth),
        f"{_('Caution.')} {_(ENGINEER)}",
    )
    return [text for text in said if text]


def summary_lines(assessment: Result, out: Path | None) -> list[str]:
    """At most one screen of 80 columns."""
    system = assessment.design.unit_system
    lines = [*wrapped(headline(assessment)), ""]
    lines += [
        f"{MARKS[assessment.verdict]} {_(VERDICT_WORDS[assessment.verdict]).upper()}",
        *wrapped(deciding_line(assessment), "    "),
        "",
    ]
    lines.append(_row(_("case"), [_("Friction").lower(), _("Strength").lower(), _("Wire").lower(), _("overall")]))
    lines.append(_row("", [_("demand"), unit_name("stress", system), unit_name("force", system), _("reserve")]))
    finished, letters, states = _finished([case for case in assessment.cases if not case.building])
    lines += [_case_line(case, system, name) for name, case in finished]
    worst = _worst_stage([case for case in assessment.cases if case.kind == "stage"])
    if worst is not None:
        lines.append(_case_line(worst, system, " ".join((worst.id, _("(worst)")))))
    for letter, words in letters.items():
        lines += wrapped(f"({letter}) {said_below(words)}", "  ", "      ")
    if states > 1:
        shown = _(
            "Of {states} states of what is handed into rings or lies against the wall the worst of each case is shown;"
            " the report has all.",
            states=states,
        )
        lines += wrapped(shown, "  ")
    blocks, states = shown_blocks(assessment.blocks)
    lines += [line for one in blocks for line in _block_lines(one)]
    if states > 1:
        shown = _(
            "Of {states} states of what is handed in that blocks were asked the worst of each question is shown; the"
            " report has all.",
            states=states,
        )
        lines += wrapped(shown, "  ")
    if any(one.above is not None for one in assessment.blocks):
        lines += wrapped(_(BOUNDS), "  ")
    lines += ["", *wrapped(rule_of_thumb(assessment.design))]
    if assessment.weather is not None:
        lines += wrapped(pace_sentence(assessment.dome, assessment.weather))
        lines += wrapped(cover_sentence(assessment.dome, assessment.weather))
    deciding = sorted({one.path for one in assessment.sensitivity if one.decides})
    if deciding:
        lines += wrapped(
            _("Inputs whose range changes the answer: {paths}. Measure these first.", paths=", ".join(deciding))
        )
    lines += ["", *(line for text in _cautioned(assessment) for line in wrapped(text))]
    if spoken().language != "en":
        lines += wrapped(_(REVIEW))
    if out is not None:
        turning = any(one.motions for one in assessment.blocks)
        more = _(", mechanism.glb (the mechanism, to turn round)") if turning else ""
        lines += [
            "",
            _("Written to {folder}:", folder=out),
            *wrapped(f"{', '.join(WRITTEN)}{more}"),
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
