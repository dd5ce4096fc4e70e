"""The whole check of the command, with the same files byte for byte."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from pathlib import Path

from shellcheck_earth.basics.progress import Progress
from shellcheck_earth.safety.result import Result, Verdict
from shellcheck_earth.views.page.job import AskedText
from shellcheck_earth.views.page.solid import Solid, of_blocks
from shellcheck_earth.views.report.layout import Print
from shellcheck_earth.views.text.below import said_below
from shellcheck_earth.views.text.doubts import doubt_sentences
from shellcheck_earth.views.text.language import _, speaking, words
from shellcheck_earth.views.text.margins import why_words
from shellcheck_earth.views.text.numbers import factor_words, outcome_words, required_words
from shellcheck_earth.views.text.page.live import state_of
from shellcheck_earth.views.text.verdict import VERDICT_WORDS, deciding_line

__all__ = ["Checked", "checked_of", "run_check"]


@dataclass(frozen=True)
class Checked:
    """What the whole check of one text found. `text`: the design file it is about; `files`: those of the command;
    `solid`: how its blocks move, where they do."""

    text: str
    verdict: Verdict
    heading: str
    sentence: str
    doubts: tuple[str, ...]
    rows: tuple[dict[str, str], ...]
    digest: str
    files: Mapping[str, bytes]
    solid: Solid | None = None


def checked_of(result: Result, asked: AskedText) -> Checked:
    """The answer as the page shows it, with every file that the command `check` would write in that language."""
    from shellcheck_earth.design.digest import design_sha256
    from shellcheck_earth.views.export.bundle import output_files

    # What programs read of the files is in English, whatever the page speaks.
    files = output_files(result, Print(language=asked.language))
    with speaking(words(asked.language)):
        return Checked(
            text=asked.text,
            verdict=result.verdict,
            heading=_(VERDICT_WORDS[result.verdict]),
            sentence=deciding_line(result),
            doubts=tuple(doubt_sentences(result.doubts)),
            rows=tuple(_rows(result)),
            digest=design_sha256(result.design),
            files=files,
            solid=of_blocks(result),
        )


def _rows(result: Result) -> Iterator[dict[str, str]]:
    """Of each check the margin that governs it."""
    for label, (case, margin) in result.governing().items():
        factor = why_words(margin) if margin.factor is None else factor_words(margin.factor, margin.required)
        yield {
            "check": said_below(label),
            "factor": factor,
            "required": required_words(margin.required),
            "state": state_of(margin.meets),
            "outcome": outcome_words(margin.meets),
            "case": said_below(case.title),
            "case_id": case.id,
        }


def run_check(asked: AskedText, cache: Path | None, progress: Progress) -> Checked:
    """Exactly what the command `check` does with a file that holds this text; errors as there."""
    from shellcheck_earth.geometry.reading import parse_design
    from shellcheck_earth.safety.check import check

    result = check(parse_design(asked.text), progress=progress, cache=cache)
    progress("writing the report", 1, 1)
    return checked_of(result, asked)
