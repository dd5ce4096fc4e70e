"""What was found of changes that make a design meet: amounts, singles, pairs, the largest diameter."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any, Literal

from shellcheck_earth.design.design import Design
from shellcheck_earth.safety.result import Doubt
from shellcheck_earth.safety.worst import Outcome
from shellcheck_earth.studies.parts import Parts
from shellcheck_earth.studies.remedies import ChangeName, remedies
from shellcheck_earth.studies.scaffold import Scaffold

__all__ = ["Amounts", "Choice", "Document", "Largest", "Pair", "Single", "written_changes"]

Document = Mapping[str, Any]
"""A design file as data."""


@dataclass(frozen=True)
class Amounts:
    """What a whole dome takes: fill [m3], tube [m], wire [m], weight finished dry [kN], courses."""

    fill: float
    tube: float
    wire: float
    weight: float
    courses: int


@dataclass(frozen=True)
class Single:
    """One change. `curve`: (amount, least share of what is required; None where it cannot be built). `least`: the
    least amount that meets, or None; `best` and `best_share`: the amount that comes closest. `cost` goes with `least`.
    `doubt`: where none meets, why an amount whose margins are all met is no answer (it takes a value past its range);
    `amount` is what is to be said: the least, else the doubtful, else the best one.
    """

    name: ChangeName
    curve: tuple[tuple[float, float | None], ...]
    least: float | None
    amount: float | None
    best: float | None
    best_share: float
    decides: str
    cost: Amounts | None
    doubt: Doubt | None = None

    @property
    def helps(self) -> Literal["enough", "cannot say", "not enough", "no help"]:
        if self.least is not None:
            return "enough"
        if self.doubt is not None:
            return "cannot say"
        return "not enough" if self.best is not None else "no help"


@dataclass(frozen=True)
class Pair:
    """Two changes that meet together where neither of them, in this amount, does alone."""

    names: tuple[ChangeName, ChangeName]
    amounts: tuple[float, float]
    effort: float  # sum of the shares of the two scales that are used up
    cost: Amounts


@dataclass(frozen=True)
class Largest:
    """`all_up_to`: every diameter looked at up to here meets; `largest`: the largest that meets at all [m]; None: not
    even the smallest.
    `capped`: nothing larger was looked at."""

    all_up_to: float | None
    largest: float | None
    tried_to: float
    capped: bool


@dataclass(frozen=True)
class Choice:
    """What would make a design meet: single changes, pairs, the largest room, and what each costs."""

    design: Design
    now: Outcome
    cost: Amounts
    singles: tuple[Single, ...]
    pairs: tuple[Pair, ...]
    largest: Largest | None
    block_model: bool  # whether an answer also needs the block model
    doubts: tuple[Doubt, ...] = ()  # values of the present design on which no verdict may rest
    sought: tuple[bool, bool] = (True, True)  # whether pairs, and the largest diameter, were looked for
    document: Document = field(default_factory=dict, compare=False, repr=False)  # of the present design's file
    scaffold: Scaffold | None = None  # None: nobody stands on a ring, or it was not asked
    with_scaffold: Outcome | None = None  # where it is needed: what is then left
    crew_alone: bool = False  # nothing but one person on one side falls short
    parts: Parts | None = field(default=None, compare=False, repr=False)  # kept until the results are written

    @property
    def meets(self) -> bool:
        """Whether no margin that was examined falls short as it stands; no verdict."""
        return not self.now.shortest

    def __repr__(self) -> str:
        enough = ", ".join(single.name for single in self.singles if single.least is not None) or "none"
        return f"<Choice for {self.design.name!r}: single changes that are enough: {enough}; {len(self.pairs)} pairs>"


def written_changes(choice: Choice, names: Sequence[ChangeName], amounts: Sequence[float]) -> tuple[Document, Document]:
    """(what a design file says with these changes, what it said and no longer says): tables of single keys each.

    The first holds the values in the very text that was examined, so that a file with them has the same answer.
    """
    known, changed = {remedy.name: remedy for remedy in remedies(choice.design)}, choice.document
    for name, amount in zip(names, amounts, strict=True):
        changed = known[name].apply(changed, amount)
    return _only_in(changed, choice.document), _only_in(choice.document, changed, keys_only=True)


def _only_in(one: Document, other: Document, *, keys_only: bool = False) -> dict[str, dict[str, Any]]:
    """Per table, what the first has and the second has not; with `keys_only` a key of another value is in both."""
    out = {}
    for table, rows in one.items():
        if isinstance(rows, Mapping):
            there = other.get(table, {})
            own = {k: v for k, v in rows.items() if k not in there or (not keys_only and there[k] != v)}
            out.update({table: own} if own else {})
    return out
