"""Lines of a calculation as they are printed: formula, the numbers put in, result, where it comes from.

A result is worked out from the digits that are printed, and the lines below it use the result as printed: whoever
repeats a line with a pocket calculator comes to the same digits.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field

from shellcheck_earth.views.text.arithmetic import digits, put_in, worked_out
from shellcheck_earth.views.text.language import _, mark

__all__ = ["BLOCK", "SHAPE", "STATICS", "Sheet", "Working", "WorkingLine"]


@dataclass(frozen=True)
class WorkingLine:
    """What is worked out, the formula, the formula with the numbers put in, the result, the source."""

    what: str
    formula: str
    numbers: str
    result: str
    source: str


@dataclass(frozen=True)
class Working:
    """All lines of one check at the bed that governs it."""

    title: str
    check: str
    course: int
    lines: tuple[WorkingLine, ...]


STATICS, SHAPE = mark("equilibrium (derived)"), mark("geometry (derived)")
BLOCK = mark("rigid-plastic stress block (derived)")


@dataclass
class Sheet:
    """Lines so far, and the digits of every name that was given or worked out."""

    known: dict[str, str] = field(default_factory=dict)
    lines: list[WorkingLine] = field(default_factory=list)

    def give(self, **values: float) -> None:
        self.known |= {name: digits(value) for name, value in values.items()}

    def line(self, what: str, formula: str, template: str, name: str, unit: str, source: str) -> None:
        """`template`: the formula with {names}; its result is known under `name` from here on."""
        numbers = put_in(template, self.known)
        self.known[name] = digits(worked_out(numbers))
        result = f"{name} = {self.known[name]}{f' {unit}' if unit else ''}"
        self.lines.append(WorkingLine(what, formula, numbers, result, _(source)))

    def total(self, what: str, formula: str, values: Sequence[float], name: str, unit: str, source: str) -> None:
        """A sum of many numbers; those that are nothing are left out."""
        shown = [digits(value) for value in values if value]
        numbers = " + ".join(f"({one})" if one.startswith("-") else one for one in shown) or "0"
        self.known[name] = digits(worked_out(numbers))
        result = f"{name} = {self.known[name]} {unit}"
        self.lines.append(WorkingLine(what, formula, numbers, result, _(source)))

    def value(self, name: str) -> float:
        return float(self.known[name])
