"""Limit analysis of rigid blocks in three dimensions: the largest multiple of a load that friction and contact can
hold.

Every block is in equilibrium (six equations) under its dead load, lambda times the live load, the point forces of its
contact patches (`interfaces`) and bounded forces of wire or ties. Each point presses (n >= 0) and its shear stays
within mu n. The largest lambda is a second-order cone programme (`conic`). With ordinary (associated) friction it
may over-estimate what stands (Drucker 1954, memory; Livesley 1978, abstract read); `nonassociated` gives the
number for friction without dilation, and the lower one is relied on.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Literal

import numpy as np

from shellcheck_earth.mechanics.blocks.interfaces import Patches
from shellcheck_earth.mechanics.rings.lune import Floats

__all__ = ["BlockAnswer", "BlockProblem", "Forces", "Ties", "no_ties"]

SHAVE = 1e-6
"""Share of friction and strength that a proof does without where it fails at the whole."""


@dataclass(frozen=True)
class Ties:
    """Bounded forces. `wrench` (k, 6 n) holds force and moment about each block's centre for one unit of a tie [-, m];
    `most` (k,) the greatest tension [kN]. Kept as coordinates: tie, row (6 block + component), value."""

    tie: Floats
    row: Floats
    value: Floats
    most: Floats

    @property
    def size(self) -> int:
        return len(self.most)


def no_ties() -> Ties:
    """A problem without ties."""
    empty = np.empty(0)
    return Ties(empty.astype(np.int64), empty.astype(np.int64), empty, empty)


@dataclass(frozen=True)
class BlockProblem:
    """`centre` (n, 3) [m]; `dead`, `live` (n, 6): force [kN] and moment about the block's centre [kN m].

    handed   (n, 6): what of `dead` is handed in by something else and no weight of the blocks; None for nothing
    size     a length of each block (n,) [m], only to scale its moment equations
    most     largest multiplier looked for: an answer at `most` means "at least"
    torsion  cap the moment about the normal of each patch (see `interfaces`)
    """

    centre: Floats
    dead: Floats
    live: Floats
    size: Floats
    patches: Patches
    ties: Ties
    most: float = 100.0
    torsion: bool = True
    handed: Floats | None = None

    def __post_init__(self) -> None:
        n = len(self.centre)
        shapes = [("centre", (n, 3)), ("dead", (n, 6)), ("live", (n, 6)), ("size", (n,))]
        for name, shape in [*shapes, *([("handed", (n, 6))] if self.handed is not None else [])]:
            array = getattr(self, name)
            if array.shape != shape or not np.isfinite(array).all():
                raise ValueError(f"{name} of the blocks: expected finite values of shape {shape}, found {array.shape}")
            array.setflags(write=False)
        if self.patches.size and int(max(self.patches.upper.max(), self.patches.lower.max())) >= n:
            raise ValueError("a patch names a block that does not exist")

    @property
    def blocks(self) -> int:
        return len(self.centre)

    @property
    def weight(self) -> Floats:
        """Of the blocks alone (n,) [kN]."""
        out: Floats = -self.dead[:, 2] if self.handed is None else self.handed[:, 2] - self.dead[:, 2]
        return out

    def shaved(self) -> BlockProblem:
        """With SHAVE less friction and strength: what a solver leaves over at a limit is then within it."""
        patches, less = self.patches, 1.0 - SHAVE
        return replace(
            self, patches=replace(patches, friction=patches.friction * less, strength=patches.strength * less)
        )


@dataclass(frozen=True)
class Forces:
    """normal (m, 4) and shear (m, 4, 2) along and across [kN], tension (k,) [kN]."""

    normal: Floats
    shear: Floats
    tension: Floats


@dataclass(frozen=True)
class BlockAnswer:
    """status    "solved", or "cannot say" (then `why`); only "solved" carries a multiplier
    multiplier  the one relied on: the lower of the two below, less what the re-check or the scheme left open; >= 0
    associated, non_associated  as reported; None where not asked for or not established
    forces      at the multiplier `associated`, re-checked
    motions     (n, 6): translation and rotation of each block in the mechanism, the largest about 1 (the multipliers
        of the
                equilibrium equations)
    imbalance   largest force or moment/size left unbalanced on a block, over the mean dead load of a block (re-check)
    overdrawn   largest violation of a contact's limit, in the same unit (re-check)
    shaved      what the multiplier was lowered by for them
    rounds      multipliers of the sequential scheme, round by round; settled: whether they converged
    """

    status: Literal["solved", "cannot say"]
    why: str
    multiplier: float | None
    associated: float | None
    non_associated: float | None
    forces: Forces | None
    motions: Floats | None
    imbalance: float
    overdrawn: float
    shaved: float
    rounds: tuple[float, ...]
    settled: bool
    seconds: float
    at_least: bool = False
