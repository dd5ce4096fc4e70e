"""`shellcheck-earth choose`: what would make a design meet."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

from cyclopts import Parameter

from shellcheck_earth.views.cli.options import OutFolder, Printing, Work, printed

__all__ = ["choose"]


def choose(
    design: Path,
    *,
    out: OutFolder = None,
    change: Annotated[list[str] | None, Parameter(name=["--change"], negative="")] = None,
    pairs: bool = True,
    largest: bool = True,
    work: Work | None = None,
    printing: Printing | None = None,
) -> int:
    """Find the changes, one at a time and in pairs, that would make a design meet. Exit code 0 says it is done; it is
    no verdict.

    Parameters
    ----------
    design
        The design file (TOML).
    out
        Folder for choose.pdf and choose.json; until they are written, finished parts are kept in its choose-parts, so
        that an interrupted search carries on. Without it nothing is written, only said.
    change
        Look at this change alone, such as "wider tube" or "scaffold"; more than once for several. Without it all are
        looked at.
    pairs
        Look for pairs of changes too.
    largest
        Look for the largest diameter that this tube and soil allow.
    """
    from shellcheck_earth.basics.parallel import Crew
    from shellcheck_earth.design.digest import design_sha256
    from shellcheck_earth.studies import choose as choosing
    from shellcheck_earth.views.export.output import check_folder, write_outputs
    from shellcheck_earth.views.pages.choose import choice_document, choice_json, choice_lines
    from shellcheck_earth.views.render.progress import progress_bar
    from shellcheck_earth.views.render.screen import say
    from shellcheck_earth.views.text.language import _, speaking, words

    if out is not None:
        check_folder(out, "choose.json", "choose.pdf")
    leftovers, spread, how = None, work or Work(), printed(printing)
    with progress_bar(shown=True) as progress:
        choice = choosing.choose(
            design,
            changes=change or (),
            pairs=pairs,
            largest=largest,
            crew=Crew(spread.workers, spread.cluster),
            progress=progress,
            keep_in=None if out is None else out / "choose-parts",
        )
        if out is not None:
            from shellcheck_earth.views.render.pdf import document_pdf

            progress("writing the pages", 1, 1)
            files = {"choose.json": choice_json(choice).encode()}
            with speaking(words(how.language)):
                files["choose.pdf"] = document_pdf(choice_document(choice), how)
            leftovers = write_outputs(out, files, design_sha256(choice.design))
            if choice.parts is not None:
                choice.parts.clear()
    with speaking(words(how.language)):
        say(choice_lines(choice))
        if leftovers is not None:
            written = _("Written to {folder}:", folder=out)
            say([f"\n{written} choose.pdf, choose.json", *leftovers.lines()])
    return 0
