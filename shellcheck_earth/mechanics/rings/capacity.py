"""What the admissible set says about a lune: the needed capacities, factors and thrusts, each with its governing bed.

Every quantity is the edge of one monotone yes/no question ("is there a thrust line with this capacity?"), found by
bisection on the logarithm of the capacity. All capacities not asked about stay at their available values.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from shellcheck_earth.basics.kept import compiled
from shellcheck_earth.mechanics.rings.admissible import (
    CHORDS,
    NO_COUNT,
    NOTHING,
    Scales,
    carried,
    failing_bed,
    pack,
    polygons,
    table,
)
from shellcheck_earth.mechanics.rings.lune import Floats, Lune

__all__ = ["BaseState", "Edge", "Quantities", "base_state", "friction_for_wire", "least_capacity", "quantities"]

FRICTION, STRENGTH, WIRE, HALF_WIDTH, CONTACT, FRICTION_VALUE, WIRE_VALUE, STRENGTH_VALUE = range(8)
"""Positions in the array of scales."""

VALUES = (FRICTION_VALUE, WIRE_VALUE, STRENGTH_VALUE)
"""Scales that stand for the capacities themselves; the others are shares of what is available."""

CLOSE = 1e-9
"""Relative width of the bracket at which a bisection ends."""

STEPS = 80
"""Bisection steps allowed; 15 decades shrink to CLOSE in 36, so reaching the end means a fault, never an answer."""

GREATEST_GEOMETRIC_FACTOR = 100.0


@dataclass(frozen=True)
class Edge:
    """Least capacity that leaves a thrust line. `value` None: none is enough (`bed` then fails even at the largest
    tried, and as things are), or the search did not close (`closed` False), which is no answer. `bed` is the index, top
    first, that fails just below."""

    value: float | None
    bed: int
    closed: bool = True


@compiled(takes="21nddi1d22n", gives="idi")
def _least(rows, trial, slots, low, high, steps, chords, close, t, nothing, no_count):  # type: ignore[no-untyped-def]
    """(state, value, bed): least common value of trial[slots] that leaves a line; state 0 found, 1 even `low` is
    enough, 2 not even `high` is, 3 the bracket did not close. The last three: as `admissible.carried` asks."""
    for slot in slots:
        trial[slot] = high
    bed = carried(rows, trial, chords, t, nothing, nothing, no_count)
    if bed >= 0:
        return 2, high, bed
    for slot in slots:
        trial[slot] = low
    bed = carried(rows, trial, chords, t, nothing, nothing, no_count)
    if bed < 0:
        return 1, low, -1
    for _ in range(steps):
        if high <= low * (1.0 + close):
            return 0, high, bed
        middle = np.sqrt(low * high)
        for slot in slots:
            trial[slot] = middle
        fails = carried(rows, trial, chords, t, nothing, nothing, no_count)
        if fails >= 0:
            low = middle
            bed = fails
        else:
            high = middle
    return 3, high, bed


def least_capacity(rows: Floats, slots: tuple[int, ...], low: float, high: float, base: Scales | None = None) -> Edge:
    """Least common value of the named scales in [low, high] that leaves a thrust line (0 when `low` already does).

    Limits only relax as a capacity grows. A bracket that contradicts the dome as it is, no line even at `high` where
    there is one as it is, or one at a `low` share where there is none, shows a fault of rounding: not closed.
    """
    known = base or Scales()
    trial, t = known.as_array().copy(), table(len(rows))
    slot = np.array(slots, dtype=np.int64)
    state, value, bed = _least(rows, trial, slot, low, high, STEPS, CHORDS, CLOSE, t, NOTHING, NO_COUNT)
    if state == 0:
        return Edge(float(value), int(bed))
    if state == 1:
        shares = all(slot not in VALUES for slot in slots) and low <= 1.0
        return Edge(None, -1, closed=False) if shares and failing_bed(rows, known) >= 0 else Edge(0.0, -1)
    return Edge(None, int(bed), closed=state == 2 and failing_bed(rows, known) >= 0)


@dataclass(frozen=True)
class BaseState:
    """At the lowest bed: least and greatest thrust [kN per radian], least |H|/V, and x of the middlemost line [m]."""

    least: float
    greatest: float
    friction: float
    x: float


@dataclass(frozen=True)
class Quantities:
    """All of DEVELOPERS.md, "Read from the admissible set". Edges hold the bed index, top first.

    friction, strength [kPa], wire [kN]: one value for the whole dome in place of the available ones.
    contact_share: 1/geometric factor. base: what reaches the ground, None where no thrust line does.
    """

    admissible: bool
    failing_bed: int
    friction: Edge
    friction_no_wire: Edge
    strength: Edge
    wire: Edge
    contact_share: Edge
    base: BaseState | None

    @property
    def edges(self) -> tuple[Edge, ...]:
        return (
            self.friction,
            self.friction_no_wire,
            self.strength,
            self.wire,
            self.contact_share,
        )

    @property
    def closed(self) -> bool:
        """False when any search did not close: the case is then "cannot say"."""
        return all(edge.closed for edge in self.edges)


def base_state(rows: Floats, contact: Edge | None = None) -> BaseState | None:
    """What reaches the ground; None when no thrust line does. `contact` saves a search if it is known already."""
    whole = polygons(rows)
    if whole.failing >= 0:
        return None
    edge = contact or least_capacity(rows, (CONTACT,), 1 / GREATEST_GEOMETRIC_FACTOR, 1.0)
    H = whole.H[-1]
    least, greatest = float(H.min()), float(H.max())
    V = float(rows[-1, 3])
    nearest = 0.0 if least <= 0.0 <= greatest else min(abs(least), abs(greatest))
    inner = polygons(rows, Scales(contact=min(max(edge.value or 0.0, 1 / GREATEST_GEOMETRIC_FACTOR) * (1 + 1e-6), 1.0)))
    middle = inner if inner.failing < 0 else whole
    x = (middle.G[-1] - rows[-1, 0] * middle.H[-1]) / V
    return BaseState(least, greatest, nearest / V, float((x.min() + x.max()) / 2))


def quantities(lune: Lune) -> Quantities:
    """All quantities of one lune; about 10 ms."""
    rows = pack(lune)
    failing = failing_bed(rows)
    admissible = failing < 0
    contact = least_capacity(rows, (CONTACT,), 1 / GREATEST_GEOMETRIC_FACTOR, 1.0)
    base = base_state(rows, contact)
    return Quantities(
        admissible=admissible,
        failing_bed=failing,
        friction=least_capacity(rows, (FRICTION_VALUE,), 1e-6, 1e3),
        friction_no_wire=least_capacity(rows, (FRICTION_VALUE,), 1e-6, 1e3, Scales(wire_value=0.0)),
        strength=least_capacity(rows, (STRENGTH_VALUE,), 1e-3, 1e7),
        wire=least_capacity(rows, (WIRE_VALUE,), 1e-6, 1e5),
        contact_share=contact,
        base=base,
    )


def friction_for_wire(lune: Lune, tensions: Floats) -> tuple[float | None, ...]:
    """Needed bed friction for each counted wire tension [kN]; None where no friction is enough."""
    rows = pack(lune)
    edges = (
        least_capacity(rows, (FRICTION_VALUE,), 1e-6, 1e3, Scales(wire_value=float(tension))) for tension in tensions
    )
    return tuple(None if edge.value is None or math.isinf(edge.value) else edge.value for edge in edges)
