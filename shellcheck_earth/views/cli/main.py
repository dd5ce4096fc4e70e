"""The command line: read, assess, write, say it on one screen. Exit codes 0 meets, 1 falls short, 2 cannot say."""

from __future__ import annotations

import os
import sys
from collections.abc import Sequence
from pathlib import Path
from typing import Annotated

from cyclopts import App, CycloptsError, Parameter

import shellcheck_earth
from shellcheck_earth.basics.errors import InputError, Problem, ShellcheckError
from shellcheck_earth.safety.check import assess
from shellcheck_earth.safety.result import Verdict
from shellcheck_earth.views.cli.chance import chance
from shellcheck_earth.views.cli.choose import choose
from shellcheck_earth.views.cli.compare import compare
from shellcheck_earth.views.cli.explain import explain
from shellcheck_earth.views.render.progress import progress_bar

__all__ = ["app", "main"]

EXIT_CODES: dict[Verdict, int] = {"meets": 0, "falls short": 1, "cannot say": 2}
CANNOT_SAY = 2

app = App(
    name="shellcheck-earth",
    help="Will a dome of coiled earth-filled tubes stand: at every stage of building, every moisture, every load?",
    version=shellcheck_earth.__version__,
    suppress_keyboard_interrupt=False,  # `main` says what a Ctrl-C leaves behind
)


@app.command
def check(
    design: Path,
    *,
    out: Annotated[Path | None, Parameter(name=["--out", "-o"])] = None,
    json: bool = False,
) -> int:
    """Check a design and write its report.

    Parameters
    ----------
    design
        The design file (TOML). `shellcheck-earth new FILE` writes one to start from.
    out
        Folder for report.pdf, assessment.json, courses.csv, section.svg and certificate.json. Without it nothing is
        written, only said.
    json
        Print the assessment as JSON instead of the summary.
    """
    from shellcheck_earth.geometry.reading import read_design
    from shellcheck_earth.views.export import sheets
    from shellcheck_earth.views.export.output import check_folder, write_outputs
    from shellcheck_earth.views.render import terminal

    read = read_design(design)
    if out is not None:
        check_folder(out)
    with progress_bar(shown=not json) as progress:
        assessment = assess(read, progress, three_d=True, cache_dir=None if out is None else out / "block-cases")
        if out is not None:
            from shellcheck_earth.views.export.bundle import output_files

            progress("writing the report", 1, 1)
            write_outputs(out, output_files(assessment))
    if json:
        sys.stdout.write(sheets.assessment_json(assessment))
    else:
        terminal.print_summary(assessment, out)
    return EXIT_CODES[assessment.verdict]


@app.command
def new(file: Path) -> int:
    """Write a commented design to start from; an existing file is never overwritten.

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
def recheck(certificate: Path) -> int:
    """Check the proofs in a certificate.json in exact arithmetic, with none of the code that found them.

    Parameters
    ----------
    certificate
        The file that `check` wrote.
    """
    from shellcheck_earth.mechanics.proof.check import NOT_ESTABLISHED, check_bundle_file

    findings = check_bundle_file(certificate)
    for case, finding in findings:
        reason = f" ({'; '.join(finding.reasons)})" if finding.reasons else ""
        print(f"{finding.kind:16} {case}{reason}")
    failed = sum(finding.kind == NOT_ESTABLISHED for _, finding in findings)
    print(f"{len(findings) - failed} of {len(findings)} established")
    return CANNOT_SAY if failed or not findings else 0


@app.command
def soil(
    readings: Path | None = None,
    *,
    out: Annotated[Path | None, Parameter(name=["--out", "-o"])] = None,
    starter: Path | None = None,
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
    from shellcheck_earth.views.cli.soil import soil_report
    from shellcheck_earth.views.cli.soil_starter import STARTER

    if starter is not None:
        write_new_file(starter, STARTER)
        print(f"Wrote {starter}. Fill it in, then run: shellcheck-earth soil {starter}")
        return 0
    if readings is None:
        raise InputError([Problem("READINGS", "a file of readings, or --starter FILE", "neither")])
    report = soil_report(readings)
    if out is not None:
        write_new_file(out, report.toml)
    print(report.text)
    return 0


app.command(chance)
app.command(choose)
app.command(compare)
app.command(explain)


def main(tokens: Sequence[str] | None = None) -> None:
    """Entry point: every failure is one message and exit code 2, never a traceback."""
    try:
        code = app(tokens, exit_on_error=False, print_error=True, result_action="return_value")
    except CycloptsError:
        sys.exit(CANNOT_SAY)
    except ShellcheckError as error:
        print(f"Cannot say. {error}", file=sys.stderr)
        sys.exit(CANNOT_SAY)
    except KeyboardInterrupt:
        print(
            "Stopped; no report was written. Finished parts of long work (block cases, sampled domes) are kept in the"
            " output folder.",
            file=sys.stderr,
        )
        sys.exit(CANNOT_SAY)
    except BrokenPipeError:
        # Whoever read the output has gone away (a pager, `head`): nothing is left to say, and nobody to say it to.
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
        sys.exit(CANNOT_SAY)
    except Exception as error:
        print(
            f"Cannot say. A fault in this program, not in your design: {type(error).__name__}: {error}", file=sys.stderr
        )
        sys.exit(CANNOT_SAY)
    sys.exit(code if isinstance(code, int) else 0)
