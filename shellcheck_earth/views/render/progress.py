"""A bar for work that takes more than a second, with the time that is left where it can be told."""

from __future__ import annotations

import sys
import time
from collections.abc import Iterator
from contextlib import contextmanager

from shellcheck_earth.basics.kept import nothing_compiled_yet
from shellcheck_earth.basics.progress import Progress, quiet

__all__ = ["Estimate", "left_in_words", "progress_bar"]

TOO_SOON = 1.0
"""Nothing is said of the time left before this much of a part of the work has passed [s]."""


class Estimate:
    """How long one part of the work still takes, if its steps go on as they went."""

    def __init__(self) -> None:
        self.part, self.of = "", -1
        self.began = self.last = 0.0
        self.first = self.done = 0

    def step(self, what: str, done: int, of: int, now: float) -> None:
        """`done` of `of` steps of `what` at a time [s]; what follows a colon is the step, not the part."""
        part = what.partition(":")[0]
        if (part, of) != (self.part, self.of) or done < self.done:
            self.part, self.of, self.first, self.began = part, of, done, now
        self.done, self.last = done, now

    def left(self, now: float) -> float | None:
        """Seconds; None where it cannot be told: at the start, and where the number of steps is not known."""
        steps = self.done - self.first
        if steps < 1 or self.done >= self.of or now - self.began < TOO_SOON:
            return None
        whole = (self.last - self.began) * (self.of - self.first) / steps
        return max(whole - (now - self.began), 0.0)


def left_in_words(seconds: float | None) -> str:
    """Roughly, for nobody waits by the second."""
    if seconds is None:
        return ""
    if seconds >= 90.0:
        return f"about {round(seconds / 60)} min left"
    return f"about {max(5 * round(seconds / 5), 5)} s left" if seconds >= 2.5 else "nearly done"


@contextmanager
def progress_bar(*, shown: bool) -> Iterator[Progress]:
    """A progress bar on the error stream; plain silence where that is not a terminal."""
    if shown and nothing_compiled_yet():
        print("First run: compiling the solver, which takes up to a minute.", file=sys.stderr, flush=True)
    if not (shown and sys.stderr.isatty()):
        yield quiet
        return
    from rich.console import Console
    from rich.progress import BarColumn, ProgressColumn, Task, TextColumn, TimeElapsedColumn
    from rich.progress import Progress as Bar
    from rich.text import Text

    estimate = Estimate()

    class Left(ProgressColumn):
        """The time left, at every moment the bar is drawn."""

        def render(self, task: Task) -> Text:
            del task
            return Text(left_in_words(estimate.left(time.monotonic())))

    with Bar(
        TextColumn("{task.description:28}"),
        BarColumn(),
        TimeElapsedColumn(),
        Left(),
        console=Console(stderr=True),
        transient=True,
    ) as bar:
        task = bar.add_task("reading", total=None)

        def told(what: str, done: int, of: int) -> None:
            estimate.step(what, done, of, time.monotonic())
            # A last part whose steps are not known: the bar moves without an end.
            bar.update(task, description=what, completed=done, total=of if done < of else None)

        yield told
