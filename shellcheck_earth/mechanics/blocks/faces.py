"""What the faces between the blocks of a dome hold in a case: contact patches, each part of a bed with its own.

`assembly` says why a bed is cut to the chord of its outer arc, and its friction and strength are those of an arc.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, replace

from shellcheck_earth.geometry.courses import Dome
from shellcheck_earth.geometry.footing import footing_ring
from shellcheck_earth.geometry.layout import Bed, Face, Layout, Point, bearing_of
from shellcheck_earth.loads.cases import Case, CourseState
from shellcheck_earth.loads.footing import pressed_more
from shellcheck_earth.loads.joint import GroundLimits, Row
from shellcheck_earth.mechanics.blocks.interfaces import GROUND, Edges, Patch, Patches, join
from shellcheck_earth.mechanics.blocks.weights import arc_share, block_weights
from shellcheck_earth.mechanics.rings.lune import Floats

__all__ = ["NO_GROUND", "WHOLE", "Shares", "WetHalf", "block_patches", "joint_arc", "patches_about"]


ON_THE_EDGE = 1e-9

NO_GROUND = GroundLimits()

NOT_CRUSHED = 1e4
"""What a footing may press on the ground with where that is not asked [kPa]: more than any ground bears."""


@dataclass(frozen=True)
class Shares:
    """What the available capacities are multiplied by; 1/q each for a reserve of q.

    `base_friction`, `base_strength` [kPa] cap the friction and the strength of the lowest bed: what the ground holds
    and bears, where it is asked. A reserve divides the first, not the second.
    """

    friction: float = 1.0
    strength: float = 1.0
    wire: float = 1.0
    half_width: float = 1.0
    base_friction: float = math.inf
    base_strength: float = math.inf

    @property
    def ground_pressure(self) -> float:
        """What a face on the ground may press with [kPa]: one thinned by a reserve as much harder as it is thinner, for
        the ground bears under the whole of it."""
        return self.base_strength / self.half_width

    @staticmethod
    def reserve(q: float) -> Shares:
        return Shares(1 / q, 1 / q, 1 / q, 1 / q)

    @staticmethod
    def of(row: Row, q: float = 1.0, ground: GroundLimits = NO_GROUND) -> Shares:
        """What a row of factors leaves, divided once more by q."""
        return Shares(
            1 / (q * row.friction),
            1 / (q * row.strength),
            1 / (q * row.wire),
            1 / (q * row.width),
            ground.friction,
            ground.bearing,
        )


WHOLE = Shares()
"""All of every capacity."""


@dataclass(frozen=True)
class WetHalf:
    """The half of a dome about `bearing` [rad] whose friction and strength are those of another case, such as the
    soaked one.
    """

    case: Case
    bearing: float

    def holds(self, bearing: float) -> bool:
        """A patch on the edge of the half counts as in it: the weaker of the two."""
        return math.cos(bearing - self.bearing) > -ON_THE_EDGE


def _narrowed(bed: Bed, share: float) -> Bed:
    """A bed with this share of its width left, about its middle."""
    mid = (bed.inner + bed.outer) / 2
    return replace(bed, inner=mid - (mid - bed.inner) * share, outer=mid + (bed.outer - mid) * share)


def _bed_patch(
    bed: Bed, layout: Layout, centre: Floats, friction: float, strength: float, shares: Shares
) -> Patch | None:
    """The patch of a level bed; None when nothing is left of its width."""
    half, middle = (bed.end - bed.start) / 2, (bed.start + bed.end) / 2
    inner, outer = bed.inner, bed.outer * math.cos(half)
    if outer - inner < 1e-4:
        return None
    s, c = math.sin(middle), math.cos(middle)
    # Within the bed's own angle at the inner edge, which is the shorter one: never more support than there is.
    reach = inner * math.tan(half)
    edge1, edge2 = (
        (
            (s * distance - c * reach, c * distance + s * reach, bed.z),
            (s * distance + c * reach, c * distance - s * reach, bed.z),
        )
        for distance in (inner, outer)
    )
    return Patch(
        (edge1, edge2),
        bed.upper,
        bed.lower,
        centre[bed.upper],
        friction * shares.friction * arc_share(2 * half),
        strength,
        _bed_kind(bed, layout),
    )


def _bed_kind(bed: Bed, layout: Layout) -> str:
    if layout.blocks[bed.upper].kind == "footing":
        return "footing"
    if bed.lower == GROUND or layout.blocks[bed.lower].kind == "footing":
        return "ground"
    kinds = {layout.blocks[bed.upper].kind, layout.blocks[bed.lower].kind}
    return "lintel" if "lintel" in kinds else "bed"


def _parts(states: tuple[CourseState, ...], upper: int, lower: int, bed: Bed) -> list[tuple[Bed, float, float]]:
    """(part of the bed between two courses, friction, strength): the dry part of it and the wetted band outside, each
    with its own; the one where nothing is wet, or all of it."""
    above, below = states[upper], states[lower]
    dry = min(above.friction, below.friction), min(above.strength, below.strength)
    wet_from = min(max(min(above.wet_from, below.wet_from), bed.inner), bed.outer)
    if wet_from >= bed.outer:
        return [(bed, *dry)]
    wet = (
        min(dry[0], above.friction_wet, below.friction_wet),
        min(dry[1], above.strength_wet, below.strength_wet),
    )
    parts = (replace(bed, outer=wet_from), *dry), (replace(bed, inner=wet_from), *wet)
    return [part for part in parts if part[0].outer > part[0].inner]


def _under_footing(dome: Dome, bed: Bed, friction: float, shares: Shares) -> tuple[Bed, float, float]:
    """(bed, friction, strength) of the ground under a footing whose bed has this friction: what tips it at its depth
    taken off its width; the ground's own friction; its pressure less what the heaviest footing presses more than the
    lightest, 0 where it turns over."""
    ring = footing_ring(dome)
    if ring is None:
        raise ValueError("there is no footing")
    holds = friction if math.isinf(shares.base_friction) else shares.base_friction
    width = ring.steady(holds)
    if width <= 0.0:
        return bed, holds, 0.0
    bed = replace(bed, inner=ring.middle - width / 2, outer=ring.middle + width / 2)
    if math.isinf(shares.base_strength):
        return bed, holds, NOT_CRUSHED
    return bed, holds, (shares.base_strength - pressed_more(dome.design, ring, width)) / shares.half_width


def patches_about(
    dome: Dome,
    case: Case,
    layout: Layout,
    centre: Floats,
    shares: Shares,
    wet: WetHalf | None,
) -> list[Patch]:
    out: list[Patch | None] = []
    for bed in layout.beds:
        states = wet.case.states if wet and wet.holds((bed.start + bed.end) / 2) else case.states
        upper = layout.blocks[bed.upper].course
        lower = upper if bed.lower == GROUND else layout.blocks[bed.lower].course
        kind, parts = _bed_kind(bed, layout), _parts(states, upper, lower, _narrowed(bed, shares.half_width))
        if kind == "footing":
            under, friction, strength = _under_footing(dome, bed, min(mu for _, mu, _ in parts), shares)
            under = _narrowed(under, shares.half_width)
            out.append(_bed_patch(under, layout, centre, friction, strength, shares) if strength > 0 else None)
            continue
        for part, friction, strength in parts:
            strength *= shares.strength
            if kind == "ground":
                friction = min(friction, shares.base_friction)
                strength = min(strength, shares.ground_pressure) if bed.lower == GROUND else strength
            out.append(_bed_patch(part, layout, centre, friction, strength, shares) if strength > 0 else None)
    out += [_face_patch(dome, case, layout, centre, shares, wet, face) for face in layout.faces]
    return [patch for patch in out if patch is not None]


def _face_patch(
    dome: Dome, case: Case, layout: Layout, centre: Floats, shares: Shares, wet: WetHalf | None, face: Face
) -> Patch | None:
    """The patch of a face that is no bed; None when nothing is left of it. What rain has wetted of the wall's section
    is not counted; of a buttress, wetted from all sides, every face is as wet as rain leaves it."""
    edges: Edges = (face.edge1, face.edge2)
    (a, b), (c, d) = edges
    x, y = (a[axis] + c[axis] + (b[axis] + d[axis]) for axis in (0, 1))
    states = wet.case.states if wet and wet.holds(bearing_of(x, y)) else case.states
    both = [layout.blocks[i].course for i in (face.upper, face.lower) if i != GROUND]
    friction, strength = min(states[k].friction for k in both), min(states[k].strength for k in both)
    if face.kind in ("head joint", "head"):
        dry_to = min(states[k].dry_to for k in both)
        if face.kind == "head joint" and not states[face.course].closed:
            return None
        dry = _cut_short(face.edge1, dry_to), _cut_short(face.edge2, dry_to)
        if dry[0] is None or dry[1] is None:
            return None
        edges = (dry[0], dry[1])
    elif any(states[k].dry_to < dome.courses[k].outer_radius for k in both):
        friction = min(friction, *(states[k].friction_wet for k in both))
        strength = min(strength, *(states[k].strength_wet for k in both))
    friction, strength = friction * shares.friction, strength * shares.strength
    if face.kind == "head joint":
        strength *= joint_arc(layout, face)
    edges = (_thinned(edges[0], shares.half_width), _thinned(edges[1], shares.half_width))
    if face.kind == "buttress bed" and face.lower == GROUND:
        friction = min(friction, shares.base_friction * shares.friction)
        strength = min(strength, shares.ground_pressure)
    if strength <= 0 or _parallelogram(edges) <= 1e-5:
        return None
    return Patch(edges, face.upper, face.lower, centre[face.upper], friction, strength, face.kind)


def joint_arc(layout: Layout, face: Face) -> float:
    """s = sin(b)/b of the longer of the two blocks at a head joint."""
    return arc_share(max(layout.blocks[i].end - layout.blocks[i].start for i in (face.upper, face.lower)))


def _thinned(edge: tuple[Point, Point], share: float) -> tuple[Point, Point]:
    """An edge with this share of its length left, about its middle: a reserve thins every face, beds or not."""
    (x, y, z), (u, v, w) = edge
    a, b, c = (x + u) / 2, (y + v) / 2, (z + w) / 2
    return (
        (a + share * (x - a), b + share * (y - b), c + share * (z - c)),
        (a + share * (u - a), b + share * (v - b), c + share * (w - c)),
    )


def _cut_short(edge: tuple[Point, Point], radius: float) -> tuple[Point, Point] | None:
    """What of an edge that runs outward lies within a radius; None for next to nothing."""
    (x, y, z), (u, v, w) = edge
    inner, outer = math.hypot(x, y), math.hypot(u, v)
    if radius >= outer - ON_THE_EDGE:
        return edge
    part = (radius - inner) / (outer - inner)
    return None if part <= 1e-3 else (edge[0], (x + part * (u - x), y + part * (v - y), z + part * (w - z)))


def _parallelogram(edges: Edges) -> float:
    """Area that the first edge and the way to the second one span [m2]."""
    (x, y, z), (u, v, w) = edges[0]
    p, q, r = edges[1][0]
    a, b, c, d, e, f = u - x, v - y, w - z, p - x, q - y, r - z
    return math.hypot(b * f - c * e, c * d - a * f, a * e - b * d)


def block_patches(
    dome: Dome,
    case: Case,
    layout: Layout,
    shares: Shares = WHOLE,
    wet: WetHalf | None = None,
) -> Patches:
    """The patches in the order that the problem and its forces have."""
    centre, _ = block_weights(dome, case, layout)
    return join(patches_about(dome, case, layout, centre, shares, wet))
