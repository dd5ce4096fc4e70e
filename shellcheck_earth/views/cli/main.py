"""The command line: read, check, write, say it on one screen. Exit codes 0 meets, 1 falls short, 2 cannot say or input
refused; what could not run at all (3) is said by `__main__`. The solver is loaded by the commands that need it.
"""

from __future__ import annotations

import sys
from collections.abc import Sequence
from contextlib import nullcontext
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Literal

from cyclopts import App, CycloptsError, Parameter

import shellcheck_earth
from shellcheck_earth.basics.errors import InputError, Problem, RunError, ShellcheckError
from shellcheck_earth.basics.texts import clean, faulty_name
from shellcheck_earth.views.cli.card import card
from shellcheck_earth.views.cli.chance import chance
from shellcheck_earth.views.cli.choose import choose
from shellcheck_earth.views.cli.compare import compare
from shellcheck_earth.views.cli.draw import draw
from shellcheck_earth.views.cli.explain import explain
from shellcheck_earth.views.cli.joined import joined
from shellcheck_earth.views.cli.options import Printing, Spoken, printed
from shellcheck_earth.views.cli.page import page
from shellcheck_earth.views.cli.problem import problem
from shellcheck_earth.views.cli.settle import settle
from shellcheck_earth.views.cli.shake import shake
from shellcheck_earth.views.cli.survey import survey
from shellcheck_earth.views.render.screen import say

if TYPE_CHECKING:
    from shellcheck_earth.safety.result import Verdict

__all__ = ["app", "run"]

EXIT_CODES: dict[Verdict, int] = {"meets": 0, "falls short": 1, "cannot say": 2}
CANNOT_SAY, COULD_NOT_RUN = 2, 3

app = App(
    name="shellcheck-earth",
    help="Will a dome of coiled earth-filled tubes stand: at every stage of building, every moisture, every load?",
    help_epilogue=(
        "Exit codes: 0 every required margin is met; 1 some margin falls short; 2 cannot say, or the input was refused;"
        " 3 could not run. Only check gives a verdict."
    ),
    help_format="plaintext",
    version=shellcheck_earth.__version__,
    suppress_keyboard_interrupt=False,  # `__main__` says what a Ctrl-C leaves behind
)


@app.command
def check(
    design: Path,
    *,
    out: Annotated[Path | None, Parameter(name=["--out", "-o"])] = None,
    json: bool = False,
    printing: Printing | None = None,
) -> int:
    """Check a design and write its report.

    Parameters
    ----------
    design
        The design file (TOML). `shellcheck-earth new FILE` writes one to start from.
    out
        Folder for report.pdf, assessment.json, courses.csv, courses.xlsx, section.svg, the same for a phone in
        section-phone.svg, and certificate.json. Without it nothing is written, only said.
    json
        Print the assessment as JSON instead of the summary.
    """
    from shellcheck_earth.views.export.beside import Writer, writer_beside

    how, leftovers = printed(printing), None
    with nullcontext(Writer()) if out is None else writer_beside() as writer:
        from shellcheck_earth.design.digest import design_sha256
        from shellcheck_earth.geometry.reading import read_design
        from shellcheck_earth.views.export.output import NAMES, check_folder, write_outputs
        from shellcheck_earth.views.render.progress import progress_bar

        read = read_design(design)
        if out is not None:
            check_folder(out, *NAMES)
        writer.begin(read)
        with progress_bar(shown=not json) as said:
            from shellcheck_earth.safety import check as spine

            cache = None if out is None else out / "block-cases"
            assessment = spine.check(read, progress=said, cache=cache, explorer=writer.explored)
            if out is not None:
                said("writing the report", 1, 1)
                leftovers = write_outputs(out, writer.output_files(assessment, how), design_sha256(read))
    from shellcheck_earth.views.export import sheets
    from shellcheck_earth.views.render import terminal
    from shellcheck_earth.views.text.language import speaking, words

    if json:
        sys.stdout.flush()
        sys.stdout.buffer.write(sheets.assessment_json(assessment).encode())  # JSON is UTF-8, whatever the terminal
    else:
        with speaking(words(how.language)):
            terminal.print_summary(assessment, out)
            if leftovers is not None:
                say(leftovers.lines())
    return EXIT_CODES[assessment.verdict]


@app.command
def new(file: Path) -> int:
    """Write a commented design to start from, and beside it design.schema.json, from which editors complete its keys;
    an existing file is never overwritten.

    Parameters
    ----------
    file
        Where to write it.
    """
    from shellcheck_earth.design.starter import write_starter

    write_starter(file)
    print(f"Wrote {file}. Change it, then run: shellcheck-earth check {file} --out FOLDER")
    return 0


@app.command
def recheck(certificate: Path, design: Path | None = None) -> int:
    """Prove a verdict again: rebuild the dome and its cases from the design file in exact arithmetic, and check every
    proof of the certificate against them, with none of the code that found it. Exit codes as those of `check`.

    Parameters
    ----------
    certificate
        The certificate.json that `check` wrote.
    design
        The design file it is about.
    """
    from shellcheck_earth.mechanics.proof.check import recheck as prove_again

    if design is None:
        raise InputError([Problem("DESIGN", "the design file that the certificate is about", "nothing")])
    report = prove_again(certificate, design)
    say(report.lines)
    return report.code


@app.command
def soil(
    readings: Path | None = None,
    *,
    out: Annotated[Path | None, Parameter(name=["--out", "-o"])] = None,
    starter: Path | None = None,
    language: Spoken = "en",
) -> int:
    """Turn site readings (weights, crush loads, soak and tilt tests) into a [fill] and [beds] block.

    Parameters
    ----------
    readings
        The file of readings (TOML).
    out
        Write the block there, to paste into a design file; an existing file is never overwritten.
    starter
        Write a commented file of readings to start from.
    """
    from shellcheck_earth.design.starter import write_new_file
    from shellcheck_earth.views.cli.soil import soil_report, soil_starter
    from shellcheck_earth.views.text.language import _, speaking, words

    with speaking(words(language)):
        if starter is not None:
            write_new_file(starter, soil_starter())
            command = f"shellcheck-earth soil {starter}"
            print(_("Wrote {file}. Fill it in, then run: {command}", file=starter, command=command))
            return 0
        if readings is None:
            raise InputError([Problem("READINGS", "a file of readings, or --starter FILE", "neither")])
        report = soil_report(readings)
        if out is not None:
            write_new_file(out, report.toml)
        say(report.text)
    return 0


@app.command
def completion(shell: Literal["bash", "zsh", "fish"], *, out: Path | None = None) -> int:
    """Print what lets a shell complete commands, options and files at the Tab key.

    Parameters
    ----------
    shell
        For bash: `shellcheck-earth completion bash > ~/.local/share/bash-completion/completions/shellcheck-earth`.
    out
        Write it there instead; an existing file is never overwritten.
    """
    from shellcheck_earth.design.starter import write_new_file

    script = app.generate_completion(shell=shell).rstrip() + "\n"
    if out is None:
        print(script, end="")
    else:
        write_new_file(out, script)
        print(f"Wrote {out}.")
    return 0


app.command(card)
app.command(chance)
app.command(choose)
app.command(compare)
app.command(draw)
app.command(explain)
app.command(joined)
app.command(page)
app.command(problem)
app.command(settle)
app.command(shake)
app.command(survey)


def _refuse_steering(tokens: Sequence[str]) -> None:
    """Paths and options come back in messages and in the results: none may steer a terminal."""
    for token in tokens:
        found = faulty_name(token) if token else ""
        if found:
            raise InputError([Problem("the command line", "names and options in plain letters", found)])


def run(tokens: Sequence[str] | None = None) -> int:
    """Run one command and give its exit code; what is refused is said on the error stream, never as a traceback.

    Interrupts, faults of the program and of the machine are left to the caller (`shellcheck_earth.__main__`).
    """
    given = sys.argv[1:] if tokens is None else list(tokens)
    try:
        _refuse_steering(given)
        code = app(given, exit_on_error=False, print_error=True, result_action="return_value")
    except CycloptsError:
        return CANNOT_SAY
    except RunError as error:
        print(clean(f"Could not run. {error}"), file=sys.stderr)
        return COULD_NOT_RUN
    except ShellcheckError as error:
        print(clean(f"Cannot say. {error}"), file=sys.stderr)
        return CANNOT_SAY
    return code if isinstance(code, int) else 0
