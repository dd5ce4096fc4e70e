"""One radian of a dome, cut at its beds: the data every solver of the ring-symmetric problem works on.

Arrays run from the TOP course (index 0) down to the lowest (index n - 1). Bed `i` is the one under course `i`.
The conventions (H outward, V down, G = x V + z H about the origin) are explained in DEVELOPERS.md.
"""

from __future__ import annotations

from dataclasses import dataclass, field, fields, replace
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

__all__ = ["FRICTION_BOND", "Floats", "Lune"]

Floats = NDArray[np.float64]

DEFAULT: Floats = np.empty(0)
"""Stands for "as the course's own bottom and top", and for a bond without limit."""

FRICTION_BOND = -1.0
"""Marks a bed whose wire holds by friction alone: no pull test was made."""


@dataclass(frozen=True)
class Lune:
    """All arrays have shape (n,), are float64 and read-only.

    number         course number (1 at the springing, 0 and below for stem and buried courses) [-]
    z_bottom       level of the bed under the course [m]
    z_top          level of the top of the course [m]
    weight         weight of the course and all that rests on it alone, per radian [kN]
    moment         sum of (weight times radius of its line of action), per radian [kN m]
    bed_inner      inner end of the bed under the course (after edge rounding) [m]
    bed_outer      outer end [m]
    crush_inner    stress the bed can carry in its inner (dry) part [kPa]; inf = no limit
    crush_outer    stress the bed can carry in its outer (wetted) part [kPa]; inf = no limit
    wet_from       radius at which the wetted part of the bed begins [m]; = bed_outer where nothing is wet
    friction       friction coefficient of the whole bed (a wetted share counted by area) [-]; inf = no limit
    cohesion       horizontal force the bed holds without weight, per radian [kN]
    ring_strength  compressive strength available to the closed ring [kPa]; 0 = the ring carries nothing; inf allowed
    ring_depth     radial depth t of the ring's section [m]; 0 = the ring is not closed, or may not be counted
    wire           greatest hoop tension of the wire in the bed under the course [kN]
    bond           greatest tension that the bed passes on to the wire [kN]; FRICTION_BOND: friction times the weight
                   on it; by default without limit
    ring_low       lowest level the ring's stress block may use [m]; by default z_bottom
    ring_high      highest level [m]; by default z_top
    push           thrust that something else hands into the course, outward, per radian [kN]; its level times it is in
                   `moment`; by default none
    """

    number: Floats
    z_bottom: Floats
    z_top: Floats
    weight: Floats
    moment: Floats
    bed_inner: Floats
    bed_outer: Floats
    crush_inner: Floats
    crush_outer: Floats
    wet_from: Floats
    friction: Floats
    cohesion: Floats
    ring_strength: Floats
    ring_depth: Floats
    wire: Floats
    ring_low: Floats = field(default_factory=lambda: DEFAULT)
    ring_high: Floats = field(default_factory=lambda: DEFAULT)
    bond: Floats = field(default_factory=lambda: DEFAULT)
    push: Floats = field(default_factory=lambda: DEFAULT)

    def __post_init__(self) -> None:
        n = len(self.number)
        if self.ring_low is DEFAULT:
            object.__setattr__(self, "ring_low", self.z_bottom)
        if self.ring_high is DEFAULT:
            object.__setattr__(self, "ring_high", self.z_top)
        if self.bond is DEFAULT:
            object.__setattr__(self, "bond", np.full(n, np.inf))
        if self.push is DEFAULT:
            object.__setattr__(self, "push", np.zeros(n))
        names = [entry.name for entry in fields(self)]
        table = np.empty((len(names), n))
        for row, name in enumerate(names):
            array = np.asarray(getattr(self, name), dtype=np.float64)
            if array.shape != (n,):
                raise ValueError(f"{name} has shape {array.shape}, expected ({n},)")
            table[row] = array
        wrong = np.isnan(table).any(axis=1)
        if wrong.any():
            raise ValueError(f"{names[int(wrong.argmax())]} holds a value that is not a number")
        table.setflags(write=False)
        for name, array in zip(names, table, strict=True):
            object.__setattr__(self, name, array)

    @property
    def size(self) -> int:
        return len(self.number)

    def divided(
        self,
        friction: float,
        cohesion: float,
        strength: float,
        wire: float,
        loads: tuple[Floats, Floats, Floats] | None = None,
    ) -> Lune:
        """The lune with its capacities over these factors; `loads`: (weight, moment, push) in place of its own."""
        weight, moment, push = loads or (self.weight, self.moment, self.push)
        return replace(
            self,
            weight=weight,
            moment=moment,
            push=push,
            friction=self.friction / friction,
            cohesion=self.cohesion / cohesion,
            crush_inner=self.crush_inner / strength,
            crush_outer=self.crush_outer / strength,
            ring_strength=self.ring_strength / strength,
            wire=self.wire / wire,
            bond=np.where(self.bond >= 0.0, self.bond / wire, self.bond),
        )

    @cached_property
    def vertical(self) -> Floats:
        """V at each bed: the sum of the weights above, per radian [kN], shape (n,)."""
        vertical: Floats = np.cumsum(self.weight)
        vertical.setflags(write=False)
        return vertical

    @cached_property
    def rows(self) -> Floats:
        """What the exact set is asked with: one C-ordered array of shape (n, 18), top course first; not to be written
        to, though the compiled code wants it writable. Columns as numbered in `admissible`."""
        rows = np.empty((self.size, 18))
        rows[:, 15] = 1.0
        rows[-1, 15] = 0.0  # the lowest bed rests on the ground: no wire under it
        for column, values in (
            (0, self.z_bottom),
            (1, self.ring_low),
            (2, self.ring_high),
            (3, self.vertical),
            (4, self.moment),
            (5, self.bed_inner),
            (6, self.bed_outer),
            (7, self.wet_from),
            (8, self.crush_inner),
            (9, self.crush_outer),
            (10, self.friction),
            (11, self.cohesion),
            (12, self.ring_strength),
            (13, self.ring_depth),
            (14, self.wire),
            (16, self.bond),
            (17, self.push),
        ):
            rows[:, column] = values
        return rows
