"""Every error a user can meet, as one tree.

    ShellcheckError           anything this program refuses to do, with a message for the user
    +-- InputError            what the user gave cannot be used; holds one Problem per fault
    |   +-- UnbuildableError  the values are well formed, but no such dome can be built
    +-- OutputError           a result cannot be written where it was asked for
    +-- UndecidedError        a solver could not establish either answer ("cannot say")
    +-- RunError              the machine gave out (disk, worker, cluster), whatever the design

All end in exit code 2, `RunError` in 3 ("could not run"): none of them is ever a pass.
"""

from __future__ import annotations

from dataclasses import dataclass

__all__ = [
    "MOST_TOLD",
    "InputError",
    "OutputError",
    "Problem",
    "RunError",
    "ShellcheckError",
    "UnbuildableError",
    "UndecidedError",
]

MOST_TOLD = 20
"""Faults in one message."""


@dataclass(frozen=True)
class Problem:
    """One fault: the path into the user's file, what was expected there and what was found."""

    path: str
    expected: str
    found: str
    hint: str = ""

    def __str__(self) -> str:
        text = f"{self.path}: expected {self.expected}, found {self.found}"
        return f"{text} ({self.hint})" if self.hint else text


class ShellcheckError(Exception):
    """Base of all errors whose message is written for the user."""


class InputError(ShellcheckError):
    """What the user gave cannot be used. Carries every fault found; its message has the first 20 and a count.

    unlisted: faults found beyond those in `problems`.
    """

    def __init__(self, problems: list[Problem] | tuple[Problem, ...], where: str = "", unlisted: int = 0) -> None:
        self.problems = tuple(problems)
        self.where = where
        head = f"{where}:\n" if where else ""
        lines = [f"  {problem}" for problem in self.problems[:MOST_TOLD]]
        more = len(self.problems) - len(lines) + unlisted
        super().__init__(head + "\n".join([*lines, *([f"  and {more} more"] if more else [])]))


class UnbuildableError(InputError):
    """Well formed, but no such dome can be built; each problem names the number that would work."""


class OutputError(ShellcheckError):
    """A result cannot be written where it was asked for; nothing was written."""


class UndecidedError(ShellcheckError):
    """Neither an admissible state nor its impossibility could be established."""


class RunError(ShellcheckError):
    """The machine gave out: a full disk, a lost worker or cluster. Says nothing of the design; exit code 3."""
