"""Openings of a design, and what each takes out of every course: the cut, and the ring of bags laid back over it.

Part of the checker: standard library only, in doubles. STATEMENT.md, section 12.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import asin, pi, remainder, sqrt

from shellcheck_earth.mechanics.proof.block_places import Clear

__all__ = ["Opening", "Ring"]

LEAN = 0.05
"""Metres that a ring of bags may reach beyond its depth beside the opening, where its joints lean."""
CROWN = 0.35
"""A ring of bags closes in the last course that it reaches into by this share of its height."""
TINY = 1e-6
Place = tuple[float, float]


@dataclass(frozen=True)
class Ring:
    """Levels and inner radius of a course [m]."""

    bottom: float
    top: float
    inner: float


@dataclass(frozen=True)
class _Arch:
    """A ring of bags in elevation: how far the centres of its two arcs lie beyond the middle, inside and outside
    radius, level of the centres [m]; index of the first and the last course it lies in."""

    off: float
    inside: float
    outside: float
    spring: float
    first: int
    last: int

    def joint(self, z: float) -> tuple[Place, Place]:
        """(along the wall from the middle, up) of the inner and the outer end of the joint whose outer end lies at a
        level [m]; past the point of a pointed head its inner end lies on the middle line."""
        up = z - self.spring
        run = sqrt(self.outside**2 - up**2)
        u = self.inside * run / self.outside - self.off
        inner = (u, self.spring + self.inside * up / self.outside)
        return (inner if u >= 0 else (0.0, self.spring + up * self.off / run)), (run - self.off, z)

    def takes(self, index: int, ring: Ring) -> tuple[float, float]:
        """(half the length it takes out of a course [m], area of its bags there [m2])."""
        a, b = self.joint(ring.bottom)
        if index < self.last:
            c, d = self.joint(ring.top)
            outline = [a, b, d, c]
            half = (b[0] + d[0]) / 2
        else:
            half = b[0]
            outline = [a, b, (half, ring.top), (0.0, ring.top)]
            if a[0] > TINY:
                outline.append((0.0, self.spring + sqrt(self.inside**2 - self.off**2)))
        pairs = zip(outline, outline[1:] + outline[:1], strict=True)
        return half, abs(sum(p[0] * q[1] - q[0] * p[1] for p, q in pairs))  # twice the area of one side: both sides


@dataclass(frozen=True)
class Opening:
    """Levels above the springing [m], bearing [rad], width [m], head and tie [kN] of a row of the design file."""

    bearing: float
    sill: float
    top: float
    width: float
    height: float
    head: str
    tie: float
    depth: float
    bearing_length: float

    @property
    def beside(self) -> float:
        """How far what carries it reaches beside it [m]."""
        return self.bearing_length if self.head == "lintel" else self.depth + LEAN

    def clear(self, wire: float, rings: Sequence[Ring]) -> Clear:
        spring, bearing = self.top - self.rise, remainder(self.bearing, 2 * pi)
        takes = self.cuts_and_bags(rings)
        cuts, bags = tuple(cut for cut, _ in takes), tuple(area for _, area in takes)
        return Clear(bearing, self.sill, spring, self.top, self.width, self.tie / wire, self.beside, cuts, bags)

    @property
    def full_rise(self) -> float:
        return {"round": 0.5, "pointed": sqrt(3) / 2, "lintel": 0.0}[self.head] * self.width

    @property
    def rise(self) -> float:
        return min(self.full_rise, self.height)

    def half_width(self, z: float) -> float:
        """At a level within it [m]; a head that is lower than its arcs is flattened."""
        above = z - (self.top - self.rise)
        if above <= 0 or self.rise == 0:
            return self.width / 2
        up = above * self.full_rise / self.rise
        if self.head == "round":
            return sqrt(max((self.width / 2) ** 2 - up * up, 0.0))
        return max(sqrt(max(self.width**2 - up * up, 0.0)) - self.width / 2, 0.0)

    def half_angle(self, ring: Ring) -> float:
        """Half the angle by which it cuts a course on its inner face [rad]; 0 where it does not."""
        low, high = max(ring.bottom, self.sill), min(ring.top, self.top)
        return asin(min(self.half_width(low) / ring.inner, 1.0)) if high - low > TINY else 0.0

    def arch(self, rings: Sequence[Ring]) -> _Arch | None:
        """The ring of bags over it, its springing at the nearest bed; None for a lintel, and where it does not close
        under the last course."""
        if self.head == "lintel":
            return None
        off = 0.0 if self.head == "round" else self.width / 2
        inside, height = self.width / 2 + off, rings[0].top - rings[0].bottom
        first = max(round((self.top - sqrt(inside**2 - off**2) - rings[0].bottom) / height), 1)
        if first >= len(rings):
            return None
        spring, outside = rings[first].bottom, inside + self.depth
        apex = spring + sqrt(outside**2 - off**2)
        last = max((k for k, ring in enumerate(rings) if ring.bottom + CROWN * height <= apex), default=first)
        return _Arch(off, inside, outside, spring, first, last) if first < last < len(rings) - 1 else None

    def cuts_and_bags(self, rings: Sequence[Ring]) -> list[tuple[float, float]]:
        """Of each course: half the angle that is cut out of it [rad], and the area of the bags counted with it [m2]."""
        arch, out = self.arch(rings), []
        for index, ring in enumerate(rings):
            if arch is not None and arch.first <= index <= arch.last:
                half, area = arch.takes(index, ring)
                out.append((half / ring.inner, area))
            else:
                out.append((self.half_angle(ring), 0.0))
        return out
