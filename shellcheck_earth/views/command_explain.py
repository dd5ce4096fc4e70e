"""`shellcheck-earth explain`: what holds this dome, and how it gives way."""

from __future__ import annotations

import os
import textwrap
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

from cyclopts import Parameter

from shellcheck_earth.basics.errors import InputError, Problem

if TYPE_CHECKING:
    from shellcheck_earth.verdict.teaching import Teaching

__all__ = ["explain", "explain_lines"]

WIDTH = 80


def explain_lines(teaching: Teaching, out: Path | None) -> list[str]:
    """The sentences of the report for the terminal, cautions first."""
    from shellcheck_earth.verdict.cautions import ENGINEER
    from shellcheck_earth.verdict.teaching_words import section_words, shape_words, short_words, thumb_words, title, way_words

    from .teaching_pages import NO_VERDICT

    texts = [f"Caution. {ENGINEER}", NO_VERDICT, *section_words(teaching), *short_words(teaching)]
    texts += [f"{title(way)}. {way_words(teaching.design, way)}" for way in teaching.ways]
    texts += [" ".join(shape_words(teaching)), " ".join(thumb_words(teaching))]
    lines: list[str] = []
    for text in texts:
        lines += [*textwrap.wrap(text, WIDTH), ""]
    lines.append(f"Written to {out}." if out is not None else "Nothing was written: add --out FOLDER for the report and the moving picture.")
    return lines


def explain(
    design: Path,
    *,
    out: Annotated[Path | None, Parameter(name=["--out", "-o"])] = None,
    jobs: int | None = None,
) -> int:
    """Explain what holds this dome and how it would give way; no verdict.

    Parameters
    ----------
    design
        The design file (TOML).
    out
        Folder for explain.pdf, collapse.svg (a moving picture) and explain.json. Without it nothing is written, only said.
    jobs
        Processes for the map (default: one for each core); the numbers do not depend on it.
    """
    from shellcheck_earth.dome.design_file import read_design
    from shellcheck_earth.verdict.teaching import teach

    from .cli import progress_bar
    from .output import check_folder, write_outputs
    from .teaching_data import explain_files

    if jobs is not None and not 1 <= jobs <= 1024:
        raise InputError([Problem("--jobs", "a whole number from 1 to 1024", str(jobs))])
    read = read_design(design)
    if out is not None:
        check_folder(out)
    with progress_bar(shown=True) as progress:
        teaching = teach(read, progress, jobs=jobs or os.cpu_count() or 1)
        if out is not None:
            progress("writing the report", 1, 1)
            write_outputs(out, explain_files(teaching))
    print("\n".join(explain_lines(teaching, out)))
    return 0
