"""`shellcheck-earth compare`: many designs side by side."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

from cyclopts import Parameter

from shellcheck_earth.basics.errors import InputError, Problem
from shellcheck_earth.views.cli.options import Cluster, OutFolder, Printing, StrengthAside, Workers, printed

__all__ = ["compare"]


def compare(
    designs: list[Path],
    *,
    vary: Annotated[list[str] | None, Parameter(name=["--vary"])] = None,
    out: OutFolder = None,
    strength_aside: StrengthAside = False,
    workers: Workers = 0,
    cluster: Cluster = "",
    printing: Printing | None = None,
) -> int:
    """Compare designs: ranges of any keys, or several files side by side. Exit code 0 says it is done; it is no
    verdict.

    Parameters
    ----------
    designs
        One design file (TOML), or several.
    vary
        KEY=FIRST..LAST:HOW MANY or KEY=ONE,TWO,... for any key of the design, such as
        `fill.dry_density=1500..2000:6`; more than once
        for every combination. A number without a unit takes the unit the file writes for that key.
    out
        Folder for compare.csv, compare.xlsx and compare.pdf; until they are written, finished parts are kept in its
        compare-parts, so that an interrupted comparison carries on. Without it nothing is written, only said.
    """
    from shellcheck_earth.studies import compare as comparing
    from shellcheck_earth.views.export.output import check_folder, write_outputs
    from shellcheck_earth.views.pages.compare import (
        comparison_csv,
        comparison_document,
        comparison_lines,
        comparison_xlsx,
    )
    from shellcheck_earth.views.render.progress import progress_bar
    from shellcheck_earth.views.render.screen import say
    from shellcheck_earth.views.text.language import _, speaking, words

    if len(designs) < 2 and not vary:
        raise InputError(
            [Problem("compare", "two design files or more, or at least one --vary KEY=...", "a single design")]
        )
    how = printed(printing)
    if out is not None:
        check_folder(out, "compare.csv", "compare.xlsx", "compare.pdf")
    leftovers = None
    with progress_bar(shown=True) as progress:
        keep_in = None if out is None else out / "compare-parts"
        comparison = comparing.compare(
            designs,
            vary or (),
            workers=workers,
            cluster=cluster,
            progress=progress,
            keep_in=keep_in,
            strength_aside=strength_aside,
        )
        if out is not None:
            from shellcheck_earth.views.render.pdf import document_pdf

            progress("writing the pages", 1, 1)
            files = {"compare.csv": comparison_csv(comparison).encode(), "compare.xlsx": comparison_xlsx(comparison)}
            with speaking(words(how.language)):
                files["compare.pdf"] = document_pdf(comparison_document(comparison), how)
            leftovers = write_outputs(out, files, comparison.digest)
            if comparison.parts is not None:
                comparison.parts.clear()
    with speaking(words(how.language)):
        say(comparison_lines(comparison))
        if leftovers is not None:
            written = _("Written to {folder}:", folder=out)
            say([f"\n{written} compare.csv, compare.xlsx, compare.pdf", *leftovers.lines()])
    return 0
