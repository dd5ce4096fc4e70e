"""`shellcheck-earth joined`: two domes joined by a passage, or a straight wall with buttresses, as blocks: a study."""

from __future__ import annotations

from pathlib import Path

from shellcheck_earth.views.cli.options import OutFolder, Printing, Workers, printed

__all__ = ["joined"]


def joined(
    file: Path,
    *,
    out: OutFolder = None,
    workers: Workers = 0,
    printing: Printing | None = None,
) -> int:
    """What two domes joined by a passage hold as blocks of one problem, and each alone; or a straight wall with
    buttresses: dead load, wind, earthquake. A study, not proven as `check` is; exit code 0 says that it is done, it is
    no verdict.

    Parameters
    ----------
    file
        Two domes and their passage, or a wall (TOML): see the guide, "Joined domes and straight walls".
    """
    from shellcheck_earth.basics.texts import wrapped
    from shellcheck_earth.studies.joined.given import Pair, digest_of, read_given
    from shellcheck_earth.studies.joined.joining import join_domes
    from shellcheck_earth.studies.joined.standing import stand_wall
    from shellcheck_earth.views.export.joined import NAMES, joined_files
    from shellcheck_earth.views.export.output import check_folder, write_outputs
    from shellcheck_earth.views.render.progress import progress_bar
    from shellcheck_earth.views.render.screen import say
    from shellcheck_earth.views.text.joined import screen_words
    from shellcheck_earth.views.text.language import _, review_sentences, speaking, words

    how, given, leftovers = printed(printing), read_given(file), None
    if out is not None:
        check_folder(out, *NAMES)
    with progress_bar(shown=True) as progress:
        if isinstance(given, Pair):
            told = join_domes(given, str(file), progress, workers)
        else:
            told = stand_wall(given, str(file), progress)
        files = {} if out is None else joined_files(told, how)
        if out is not None:
            leftovers = write_outputs(out, files, digest_of(given))
    with speaking(words(how.language)):
        before, table, after = screen_words(told)
        said = [line for text in before for line in [*wrapped(text), ""]] + [*table, ""]
        say([*said, *(line for text in (*after, *review_sentences()) for line in [*wrapped(text), ""])])
        if leftovers is None:
            say(wrapped(_("Nothing was written: add --out FOLDER for pages, picture and numbers.")))
        else:
            say([f"{_('Written to {folder}:', folder=out)} {', '.join(sorted(files))}", *leftovers.lines()])
    return 0
