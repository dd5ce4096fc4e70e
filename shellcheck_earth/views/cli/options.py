"""Options that several commands have in common, said once."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Literal

from cyclopts import Parameter

if TYPE_CHECKING:
    from shellcheck_earth.views.report.layout import Print

__all__ = ["Cluster", "OutFolder", "Printing", "Spoken", "StrengthAside", "Work", "Workers", "printed"]

OutFolder = Annotated[
    Path | None,
    Parameter(name=["--out", "-o"], help="Folder to write the results into. Without it nothing is written, only said."),
]

Spoken = Annotated[
    str,
    Parameter(
        name=["--language"],
        help="en or es, of all that people read: pages, figures, screen (the Spanish is to be looked over by a native"
        " reader). JSON, CSV and proofs stay in English.",
    ),
]

Workers = Annotated[
    int, Parameter(help="Processes (of `chance`: threads) to use; 0 for one a core. The numbers do not depend on it.")
]

Cluster = Annotated[str, Parameter(help="Address of a dask scheduler to spread the work over (extra `cluster`).")]

StrengthAside = Annotated[
    bool,
    Parameter(
        negative="",
        help="Set the strength of the fill aside, so that shape and slenderness show. A study of geometry, never a"
        " verdict: a dome of weak fill is crushed whatever its shape.",
    ),
]


@Parameter(name="*")
@dataclass(frozen=True)
class Work:
    """Where long work is done."""

    workers: Workers = 0
    cluster: Cluster = ""


@Parameter(name="*")
@dataclass(frozen=True)
class Printing:
    """Options of every command that writes a PDF."""

    paper: Annotated[
        Literal["a4", "letter"] | None,
        Parameter(help="Paper of the PDF, whatever the units. Without it: Letter for feet and inches, else A4."),
    ] = None
    large_print: Annotated[
        bool,
        Parameter(negative="", help="Set the PDF half as large again, on the same paper turned: 12 points and more."),
    ] = False
    language: Spoken = "en"


def printed(printing: Printing | None) -> Print:
    """What the options of a command say of its PDF; InputError for a language that there is no catalogue of."""
    from shellcheck_earth.views.report.layout import Paper, Print
    from shellcheck_earth.views.text.language import words

    if printing is None:
        return Print()
    papers: dict[str, Paper] = {"a4": "a4", "letter": "us-letter"}
    paper = None if printing.paper is None else papers[printing.paper]
    return Print(paper, printing.large_print, words(printing.language).language)
