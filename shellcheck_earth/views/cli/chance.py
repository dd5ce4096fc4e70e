"""`shellcheck-earth chance`: very many domes of one design with uncertain inputs."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

from shellcheck_earth.views.cli.options import OutFolder, Printing, Work, printed

if TYPE_CHECKING:
    from shellcheck_earth.studies.sample.study import Chance
    from shellcheck_earth.views.report.layout import Print

__all__ = ["chance"]


def _files(found: Chance, on: Print) -> dict[str, bytes]:
    """Name -> content of everything that is written."""
    from shellcheck_earth.views.pages.sample import chance_csv, chance_document, chance_json
    from shellcheck_earth.views.render.pdf import document_pdf
    from shellcheck_earth.views.text.language import speaking, words

    files = {"chance.json": chance_json(found).encode(), "chance.csv": chance_csv(found).encode()}
    with speaking(words(on.language)):
        return files | {"chance.pdf": document_pdf(chance_document(found), on)}


def chance(
    design: Path,
    *,
    samples: int,
    seed: int = 1,
    out: OutFolder = None,
    work: Work | None = None,
    scatter: Path | None = None,
    printing: Printing | None = None,
) -> int:
    """Sample uncertain inputs: how often a margin falls short, and which input matters most. A study of the model, no
    failure probability of a building. Exit code 0 says the study is done; it is no verdict.

    Parameters
    ----------
    design
        The design file (TOML).
    samples
        How many domes at least, 1 to 10,000,000; rounded up so that 16 to 32 scramblings are of one power of two.
    seed
        The same seed gives the same numbers.
    out
        Folder for chance.json, chance.csv and chance.pdf; finished blocks are kept in its chance-blocks, so that an
        interrupted study carries on. Without it nothing is written, only said.
    scatter
        File (TOML) of your own spreads, such as `[dry_density]` with `spread = 0.05`.
    """
    from shellcheck_earth.basics.parallel import Crew
    from shellcheck_earth.design.digest import design_sha256
    from shellcheck_earth.geometry.reading import read_design
    from shellcheck_earth.loads.scatter import read_scatter, stated_scatter
    from shellcheck_earth.studies.sample.study import make_study, run_study
    from shellcheck_earth.views.export.output import check_folder, write_outputs
    from shellcheck_earth.views.pages.sample import chance_lines
    from shellcheck_earth.views.render.progress import progress_bar
    from shellcheck_earth.views.render.screen import say
    from shellcheck_earth.views.text.language import _, speaking, words

    how = printed(printing)
    spread = work or Work()
    crew = Crew(spread.workers, spread.cluster)
    read = read_design(design)
    spreads = stated_scatter() if scatter is None else read_scatter(scatter)
    if out is not None:
        check_folder(out, "chance.json", "chance.csv", "chance.pdf")
    leftovers = None
    with progress_bar(shown=True) as progress:
        study = make_study(read, spreads, samples, seed)
        found = run_study(study, progress, crew, keep_in=None if out is None else out / "chance-blocks")
        if out is not None:
            progress("writing the pages", 1, 1)
            leftovers = write_outputs(out, _files(found, how), design_sha256(read))
    with speaking(words(how.language)):
        say(chance_lines(found))
        if leftovers is not None:
            written = _("Written to {folder}:", folder=out)
            say([f"\n{written} chance.json, chance.csv, chance.pdf", *leftovers.lines()])
    return 0
