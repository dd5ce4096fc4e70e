"""What the block model found for one kind of load, and what follows from its numbers: relied on, meets, not known."""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass, field
from typing import Literal

from shellcheck_earth.basics.values import fixed
from shellcheck_earth.mechanics.blocks.nonassociated import OVERSTATED

__all__ = [
    "GROUND_SLACK",
    "MOST_FACTOR",
    "MOST_RESERVE",
    "NOT_CONVERGED",
    "BlockResult",
    "CutResult",
    "Mechanism",
    "Outcome",
    "Press",
    "RowFound",
    "Status",
    "blocks_verdict",
    "drop_of",
    "outcome",
]

Status = Literal["solved", "cannot say"]

MOST_FACTOR = 2.0
"""Multipliers are looked for up to this many times what is asked for; an answer there means "at least". A joint
question is looked for as far as the plain one, which it then answers too."""

MOST_RESERVE = 10.0
"""The largest reserve that is looked for."""

GROUND_SLACK = 1.001
"""What the ground bears is a yes or no, asked by so much more than is required that what a proof leaves unbalanced is
within it."""

NOT_CONVERGED = fixed("blocks.spread_of_cuts")
"""A finer cut may give this share less than the coarser one before the result counts as not established."""

NOT_CLOSED = (
    "the finest cut gives over a tenth less than the one before it, so that the limit is not known: a lower or narrower"
    " opening, further from the crown, or a lintel would make the answer firmer"
)


@dataclass(frozen=True)
class CutResult:
    """One line of the convergence table; multiplier None: not established. at_least: not searched further up.

    `multiplier` is the bound from below, by forces that hold it; `fails` the one from above: the least share or
    multiple that a mechanism of these blocks was found for. None where none was looked for, or none up to the end of
    the search.
    """

    cuts: int
    blocks: int
    multiplier: float | None
    at_least: bool = False
    fails: float | None = None


@dataclass(frozen=True)
class Mechanism:
    """What moves first. `courses`: numbers of the lowest and the highest course that move (None: buttresses alone);
    `span`: from and to on plan [rad] (None: all around); `ways`, with `towards` the bearing of a sideways drift [rad];
    `openings` whose head goes too, and `buttresses`, by their place in the design file counted from 0.
    """

    courses: tuple[int, int] | None
    span: tuple[float, float] | None
    ways: tuple[Literal["sideways", "outward", "inward", "sink", "lift", "tip"], ...]
    towards: float | None
    openings: tuple[int, ...]
    buttresses: tuple[int, ...]


@dataclass(frozen=True)
class Press:
    """The greatest force [kN] at one place: on a bed of the jambs or a face of the head of an opening, in the ring
    above it, or all that leans on a buttress; `index` is its place in the design file counted from 0.
    """

    place: Literal["jambs", "head", "ring above", "buttress"]
    index: int
    force: float


@dataclass(frozen=True)
class RowFound:
    """What one row of factors came to in a case: of the loads that were asked at it the one that is held the least.

    row       its name; "" for everything as it is
    title     of that load at that row; bearing: where it comes from on plan [rad], None for a load all around
    loads     how many were asked at it, mirror images once and directions between those of the design with them
    relied    as of the case, None where nothing was established; at_least: it was not searched further
    """

    row: str
    title: str
    bearing: float | None
    loads: int
    relied: float | None
    at_least: bool


@dataclass(frozen=True)
class BlockResult:
    """One kind of load on one state of the dome.

    associated, non_associated  with ordinary friction (least over the discretisations) and
        without dilation (the coarser one)
    relied, required            relied on and required; at_least: `relied` is only what was searched
    meets                       always from the numbers: None where nothing is established
    mechanism                   what moves first; forces: at jambs, over heads, on buttresses
    directions                  (bearing [rad], least multiplier with ordinary friction) of everything examined,
        the governing one first
    motions                     of the blocks (n, 6) of the discretisation that decided, for pictures
    course_top                  how many courses stand
    proofs                      states of forces at what is relied on, for the checker; none unless the case meets
    drawn                       blocks a ring of the discretisation that `motions` belong to; 0 without motions
    between                     a direction between those of the design that holds less than they do: id of the load it
        was turned from, name of its row of factors, steps turned (half the angle between directions, halved REFINED - 1
        times)
    below                       what the least of the proofs shows: ordinary friction holds at least so much
    wetting, building           what wets the state, and whether it is one of the work, as of its case
    above                       the least that a mechanism with ordinary friction was found for; None for none
    question                    what was asked: the state, the kind of load, whether capacities were divided
    rows                        every row of factors that was asked, the least first; none where the case was not solved
    """

    id: str
    title: str
    criterion: str
    associated: float | None
    non_associated: float | None
    relied: float | None
    required: float
    meets: bool | None = field(init=False)
    status: Status
    why: str
    at_least: bool
    mechanism: Mechanism | None
    forces: tuple[Press, ...]
    convergence: tuple[CutResult, ...]
    directions: tuple[tuple[float, float], ...]
    motions: tuple[tuple[float, ...], ...]
    course_top: int
    proofs: tuple[str, ...] = ()
    drawn: int = 0
    between: tuple[tuple[str, str, int], ...] = ()
    below: float | None = None
    wetting: str = "none"
    building: bool = False
    rows: tuple[RowFound, ...] = ()
    question: str = ""
    above: float | None = field(init=False)

    def __post_init__(self) -> None:
        found = [line.fails for line in self.convergence if line.fails is not None]
        object.__setattr__(self, "above", min(found, default=None))
        known = self.status == "solved" and self.relied is not None
        object.__setattr__(self, "meets", (self.relied or 0.0) >= self.required if known else None)

    @property
    def apart(self) -> float | None:
        """How far the bound from above lies over the one from below, as a share of it. Below 0 where the mechanism is
        one of a finer cut than the forces were confirmed on; None where either is missing."""
        if self.below is None or self.above is None or self.below <= 0:
            return None
        return self.above / self.below - 1


def drop_of(known: list[float]) -> float:
    """By how much the finest cut lies below the one before; inf when that is too much to be called converging.
    0 where there is one cut only."""
    if len(known) < 2:
        return 0.0
    drop = max(known[-2] - known[-1], 0.0)
    return drop if drop <= known[-2] * NOT_CONVERGED else math.inf


@dataclass(frozen=True)
class Outcome:
    """What the numbers of a case come to."""

    relied: float | None
    status: Status
    why: str
    at_least: bool


def outcome(
    associated: float | None,
    non_associated: float | None,
    known: list[float],
    required: float,
    *,
    sideways: bool,
    why: str = "",
    most: float = math.inf,
) -> Outcome:
    """The one rule from numbers to what is relied on; also used on every kept case, so that no file can say more.

    known: multipliers of the cuts, coarser first; sideways: a multiple of a load from one side, whose friction without
    dilation is counted by OVERSTATED of it. Capacities divided for a reserve are a test of their own at each share.
    most: up to where was looked; an answer there is "at least".
    """
    if associated == 0.0:
        return Outcome(0.0, "solved", why, False)
    if associated is None or non_associated is None:
        return Outcome(None, "cannot say", why or "the block model found no answer", False)
    drop = drop_of(known)
    share = OVERSTATED if sideways else 1.0
    least = min(associated, share * non_associated)
    if not math.isfinite(drop):
        # Finer cuts add joints: what one cut does not hold, finer ones do not either (but for 1 % for its arcs).
        if least < required:
            return Outcome(max(least, 0.0), "solved", "", False)
        return Outcome(None, "cannot say", NOT_CLOSED, False)
    at_least = min(associated, non_associated) >= most * (1 - 1e-4)
    return Outcome(max(least - drop, 0.0), "solved", "", at_least)


def blocks_verdict(results: Iterable[BlockResult]) -> Literal["meets", "falls short", "cannot say"]:
    """Of the block cases alone: what is established short decides, then what is not established.

    No case at all is "cannot say": only a design that needs blocks is to be asked about.
    """
    found = [result.meets for result in results]
    if any(meets is False for meets in found):
        return "falls short"
    return "meets" if found and all(found) else "cannot say"
