"""The largest number by which every capacity can be divided: looked for by how much is to spare, not by yes or no.

What is to spare (`mechanics.blocks.spare`) changes steadily with that number and passes through nothing at the edge. A
line through the two values about it says where to ask next; a step of halving comes in where that line leads nowhere.
What is handed out was asked itself: forces at the edge, and a mechanism within RESERVE_STEP above it.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass

import numpy as np

from shellcheck_earth.mechanics.blocks.conic import ConeAnswer
from shellcheck_earth.mechanics.blocks.problem import BlockProblem
from shellcheck_earth.mechanics.blocks.spare import PLENTY, Spare

__all__ = ["LEAST_RESERVE", "RESERVE_STEP", "Edge", "find_edge"]

RESERVE_STEP = 0.02
"""Relative width at which the search for the reserve ends."""

CLOSE = 1.0 / (1.0 + RESERVE_STEP)
"""What a finer cut is asked first below a coarser one: where it holds so much the search is over."""

LEAST_RESERVE = 0.25
"""A dome that holds less than this is reported as holding nothing."""

STEEPNESS = 1.0
"""How much what is to spare changes with the logarithm of the reserve, until two values say it."""

CLEAR = 0.5
"""Where less than this is wanting at the end of the search, that points at the edge; else the question is put where the
search is told to begin."""

STEP_DOWN = 0.8
"""The least share of what was not held that is asked next."""


Ask = Callable[[float, bool], tuple[BlockProblem, Spare]]


@dataclass(frozen=True)
class Edge:
    """Largest reserve found held: 0 for nothing, None when not decided; at_least: not looked for further up.
    fails: the least that was proven not to be held, inf for none; failing: its mechanism, motions (n, 6).
    state: what holds at `reserve`, and how."""

    reserve: float | None
    fails: float = math.inf
    failing: np.ndarray | None = None
    at_least: bool = False
    state: tuple[BlockProblem, ConeAnswer] | None = None


@dataclass
class _Search:
    """What was asked so far.

    low, high, higher   the largest that is held (0: none) and the two least that were not; at_...: what was to spare
        there (NaN: not known)
    before              the logarithm of high over low before the last two questions
    """

    ask: Ask
    high: float = math.inf
    low: float = 0.0
    higher: float = math.inf
    at_low: float = math.nan
    at_high: float = math.nan
    at_higher: float = math.nan
    fails: float = math.inf
    failing: np.ndarray | None = None
    state: tuple[BlockProblem, ConeAnswer] | None = None
    decided: bool = True
    before: tuple[float, float] = (math.inf, math.inf)

    @property
    def width(self) -> float:
        return math.log(self.high / self.low) if self.low > 0.0 else math.inf

    def holds(self, q: float, *, told: bool = True) -> bool:
        """Whether so much is held; anything else than yes counts as no. told: with what is to spare."""
        problem, spare = self.ask(q, told)
        self.before = self.before[1], self.width
        if spare.holds:
            self.low, self.at_low, self.state = q, spare.least, (problem, spare.answer)
            return True
        if spare.holds is False and q < self.fails:
            self.fails, self.failing = q, spare.answer.motions
        self.higher, self.at_higher = self.high, self.at_high
        self.high, self.at_high, self.decided = q, spare.most, spare.holds is False
        return False

    def edge(self, at_least: bool = False) -> Edge:
        reserve = self.low or (0.0 if self.decided else None)
        return Edge(reserve, self.fails, self.failing, at_least, self.state)

    def next_down(self) -> float:
        """Where to ask while nothing is held."""
        return max(self._from_above() * math.sqrt(CLOSE), STEP_DOWN * self.high, LEAST_RESERVE)

    def next_between(self) -> tuple[float, bool]:
        """(where to ask, whether to be told how much): a little below where nothing is to spare, then a step above what
        is held; the middle where that comes on slowly."""
        at = max(self._chord(), self._from_above())
        further = self.low * (1.0 + RESERVE_STEP)
        if self.width > self.before[0] / 2 or not self.low < at < self.high:
            return math.sqrt(self.low * self.high), True
        # Where the edge is expected within a step of what is held, not to be held there ends the search.
        return (further, False) if at < further else (at * math.sqrt(CLOSE), True)

    def _chord(self) -> float:
        """Where nothing is to spare on the line between what is held and what is not, by logarithms: no more than the
        edge, for what is to spare falls the faster the further up. 0 where one of them is not known."""
        if math.isnan(self.at_low + self.at_high) or self.at_low >= PLENTY * (1.0 - 1e-6):
            return 0.0
        return self.low * math.exp(self.width * self.at_low / (self.at_low - self.at_high))

    def _from_above(self) -> float:
        """The same on the line through the two least that were not held: no less than the edge. Where one weak face
        keeps what is to spare at next to nothing all the way up to the edge, this finds it."""
        if math.isnan(self.at_high):
            return STEP_DOWN * self.high
        steep = (self.at_high - self.at_higher) / math.log(self.higher / self.high) if self.higher > self.high else 0.0
        return self.high * math.exp(self.at_high / (steep if steep > 0.0 else STEEPNESS))


def find_edge(ask: Ask, offers: Sequence[float], first: float | None = None, *, expected: bool = False) -> Edge:
    """The edge from LEAST_RESERVE on to within RESERVE_STEP.

    Parameters
    ----------
    ask
        (number, told) -> the problem with every capacity divided by that number, and what is to spare in it; not told
        how much, only whether anything is, the solver needs fewer steps where nothing is.
    offers
        Numbers, the largest first: the first of them that is held is not looked for further up.
    first
        What is asked after them.
    expected
        The offers are expected to be held: only whether is asked of them.
    """
    search = _Search(ask)
    for q in (max(offer, LEAST_RESERVE) for offer in offers):
        if search.holds(q, told=not expected):
            return search.edge(at_least=True)
    if first is not None and LEAST_RESERVE <= first < search.high and not search.at_high > -CLEAR:
        search.holds(first)
    while search.low <= 0.0 and search.high > LEAST_RESERVE:
        search.holds(search.next_down())
    while search.low > 0.0 and search.high > search.low * (1.0 + RESERVE_STEP):
        q, told = search.next_between()
        search.holds(q, told=told)
    return search.edge()
