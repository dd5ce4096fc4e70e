"""A bar for work that takes more than a second."""

from __future__ import annotations

import sys
from collections.abc import Iterator
from contextlib import contextmanager

from shellcheck_earth.basics.kept import nothing_compiled_yet
from shellcheck_earth.basics.progress import Progress, quiet

__all__ = ["progress_bar"]


@contextmanager
def progress_bar(*, shown: bool) -> Iterator[Progress]:
    """A progress bar on the error stream; plain silence where that is not a terminal."""
    if shown and nothing_compiled_yet():
        print("First run: compiling the solver, which takes up to a minute.", file=sys.stderr, flush=True)
    if not (shown and sys.stderr.isatty()):
        yield quiet
        return
    from rich.console import Console
    from rich.progress import BarColumn, TextColumn, TimeElapsedColumn
    from rich.progress import Progress as Bar

    with Bar(
        TextColumn("{task.description:28}"),
        BarColumn(),
        TimeElapsedColumn(),
        console=Console(stderr=True),
        transient=True,
    ) as bar:
        task = bar.add_task("reading", total=None)
        yield lambda what, done, of: bar.update(task, description=what, completed=done, total=of)
