"""Options that several commands have in common, said once."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

from cyclopts import Parameter

__all__ = ["Cluster", "OutFolder", "StrengthAside", "Workers"]

OutFolder = Annotated[
    Path | None,
    Parameter(name=["--out", "-o"], help="Folder to write the results into. Without it nothing is written, only said."),
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
