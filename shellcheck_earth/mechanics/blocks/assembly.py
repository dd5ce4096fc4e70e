"""From the blocks of a dome and a case to a problem of limit analysis: weights, contact patches, wire.

Rigid arcs hold more than a coil does unless care is taken. With b half the angle of a bed or a block and s = sin(b)/b,
a state of the blocks that is symmetric about the axis maps onto a state of the ring-symmetric check when (derived)

- a bed can open about the tangent at its inner radius and about the chord of its outer arc: both lie in the true bed;
- friction, wire and ring strength are multiplied by s, since a force H per radian, spread along the arc 2 b, pushes the
  block with 2 b H s only;
- weights and centroids are exact, and the lowest ring takes no ring compression.

So the blocks need at least the friction that the ring-symmetric check needs, and reach it as the cuts become many.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

import numpy as np

from shellcheck_earth.basics.values import fixed
from shellcheck_earth.geometry.courses import Course, Dome
from shellcheck_earth.geometry.footing import footing_ring
from shellcheck_earth.geometry.layout import Bed, Block, Face, Layout, Point, at, bearing_of, turn
from shellcheck_earth.loads.cases import Case, CourseState, moist_unit_weight, plastered_heights
from shellcheck_earth.loads.course_state import HandedIn
from shellcheck_earth.loads.footing import asked_weight, pressed_more
from shellcheck_earth.loads.joint import GroundLimits, Row
from shellcheck_earth.mechanics.blocks.interfaces import GROUND, Edges, Patch, Patches, join
from shellcheck_earth.mechanics.blocks.problem import BlockProblem, Ties, no_ties
from shellcheck_earth.mechanics.rings.admissible import Scales, pack, wire_limit
from shellcheck_earth.mechanics.rings.discretise import cut_lune
from shellcheck_earth.mechanics.rings.lune import Floats

__all__ = [
    "ANCHORAGE",
    "Shares",
    "WetHalf",
    "arc_share",
    "block_patches",
    "block_problem",
    "block_weights",
    "handed_places",
    "handed_wrench",
    "wire_tensions",
]


ON_THE_EDGE = 1e-9

ANCHORAGE = fixed("wire.anchorage")
"""Length of wire between beds that holds its end [m]: nearer to an opening it is not counted (proposed; no test
known).
"""


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


def arc_share(angle: float) -> float:
    """sin(b)/b for an arc of angle 2 b [rad]."""
    return math.sin(angle / 2) / (angle / 2) if angle > 0 else 1.0


def _wall_centre(block: Block, course: Course, state: CourseState) -> Floats:
    """Centre of gravity of a sector with all that rests on it; at the course's mid-height."""
    radius = state.moment / state.weight * arc_share(block.end - block.start)
    return np.array(at(radius, (block.start + block.end) / 2, course.z_mid))


def block_weights(dome: Dome, case: Case, layout: Layout) -> tuple[Floats, Floats]:
    """(centre (n, 3) [m], weight (n,) [kN]) of the blocks in a case; a footing has its least
    weight, never counted more than it is."""
    centre, weight = [], []
    for block in layout.blocks:
        course, state = dome.courses[block.course], case.states[block.course]
        if block.centre is None:
            centre.append(_wall_centre(block, course, state))
            weight.append(state.weight * (block.end - block.start))
        elif block.kind == "footing":
            centre.append(np.array(block.centre))
            weight.append(block.volume * asked_weight(dome.design)[0] * min(case.permanent, 1.0))
        else:
            centre.append(np.array(block.centre))
            weight.append(_fill_of(dome, case, block) + _plaster_of(dome, case, block) * case.permanent)
    return np.array(centre), np.array(weight)


def _fill_of(dome: Dome, case: Case, block: Block) -> float:
    """Weight of the fill of a bag of a head or a course of a buttress [kN]. In the rain a bag weighs what as much of
    its course does, with the water where that counts; a buttress, which is to hold, what it weighed when placed."""
    state, fill = case.states[block.course], dome.design.fill_of(case.states[block.course].number)
    if case.kind == "rain" and block.kind == "head":
        area = sum((part.outer**2 - part.inner**2) / 2 * part.height for part in state.parts)
        return block.volume * state.weight / area
    moisture = fill.placing_moisture if case.kind == "rain" else state.moisture
    return block.volume * moist_unit_weight(fill, moisture) * case.permanent


def handed_places(case: Case, layout: Layout) -> Iterator[tuple[int, HandedIn, float, Floats]]:
    """(block, load, angle [rad], place [m]) of what is handed into the courses, block by block: each takes the load of
    the angle 2 b that bears on it, the middle of whose arc lies at sin(b)/b of the load's radius (derived)."""
    for k, block in enumerate(layout.blocks):
        if block.kind not in ("wall", "lintel"):
            continue
        for one in case.states[block.course].handed:
            arc = one.on(block.start, block.end)
            if arc is not None:
                angle, middle = arc[1] - arc[0], (arc[0] + arc[1]) / 2
                yield k, one, angle, np.array(at(one.radius * arc_share(angle), middle, one.level))


def handed_wrench(case: Case, layout: Layout, centre: Floats) -> Floats:
    """(n, 6) force [kN] and moment about its centre [kN m] of what is handed into the courses, on every block.

    Thrust acts along the middle of that angle, along which sin(b)/b of it is left (derived).
    """
    out = np.zeros((len(centre), 6))
    for k, one, angle, place in handed_places(case, layout):
        x, y, _ = at(one.thrust * angle * arc_share(angle), bearing_of(place[0], place[1]), 0.0)
        force = np.array([x, y, -one.weight * angle])
        out[k] += np.concatenate([force, np.cross(place - centre[k], force)])
    return out


def _plaster_of(dome: Dome, case: Case, block: Block) -> float:
    """Plaster on both faces of a bag of a head [kN]: its area at mid-width times the thickness of both; 0 for others.

    Taken to act at the bag's centre, as what weighs on a course is taken at its mid-height.
    """
    plaster, course = dome.design.plaster, dome.courses[block.course]
    if block.kind != "head" or not case.plastered:
        return 0.0
    outside, inside = plastered_heights(dome, course)
    thick = (plaster.outside * outside + plaster.inside * inside) / course.height
    return block.volume / course.width * thick * plaster.unit_weight


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


def _patches(
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
        strength *= _joint_arc(layout, face)
    edges = (_thinned(edges[0], shares.half_width), _thinned(edges[1], shares.half_width))
    if face.kind == "buttress bed" and face.lower == GROUND:
        friction = min(friction, shares.base_friction * shares.friction)
        strength = min(strength, shares.ground_pressure)
    if strength <= 0 or _parallelogram(edges) <= 1e-5:
        return None
    return Patch(edges, face.upper, face.lower, centre[face.upper], friction, strength, face.kind)


def _joint_arc(layout: Layout, face: Face) -> float:
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


def wire_tensions(dome: Dome, case: Case, friction: float = 1.0, wire: float = 1.0) -> list[float]:
    """Greatest tension of the wire in the bed under each course [kN], lowest course first: counted, and bonded. What is
    lifted at one bearing counts as if it lifted every radian."""
    lune = cut_lune(dome, case)
    if any(state.lifted for state in case.states):
        lune = replace(lune, weight=lune.weight + np.array([state.lifted for state in case.states[::-1]]))
    rows = pack(lune)
    scales = Scales(friction=friction, wire=wire).as_array()
    return [float(wire_limit(rows, i, scales)) for i in range(len(rows))][::-1]


def _wire(dome: Dome, layout: Layout, centre: Floats, tensions: Sequence[float]) -> Ties:
    """Wire in the bed under each course, across every head joint at least ANCHORAGE from where the wire ends."""
    pulls = []
    for joint in layout.joints:
        tension, course = tensions[joint.face.course], dome.courses[joint.face.course]
        if tension > 0.0 and joint.to_end * course.inner_radius >= ANCHORAGE:
            radius = min(max((course.bed_inner + course.bed_outer) / 2, course.inner_radius), course.outer_radius)
            pulls.append(
                (joint.face, at(radius, joint.bearing, course.z_bottom), tension * _joint_arc(layout, joint.face))
            )
    return _across(pulls, centre)


def _lintel_ties(dome: Dome, layout: Layout, centre: Floats, share: float) -> Ties:
    """The tie of each lintel that has one, across the joints at its ends and on into the wall, where it fades out
    over ANCHORAGE.

    It lies at mid-height and mid-width; there is none where the lintel's course is not laid yet.
    """
    pulls = []
    for block in layout.blocks:
        if block.kind != "lintel" or block.opening is None or dome.design.openings[block.opening].tie <= 0:
            continue
        most = dome.design.openings[block.opening].tie * share
        course = dome.courses[block.course]
        middle, half = (block.start + block.end) / 2, (block.end - block.start) / 2
        for joint in layout.joints:
            if joint.face.course != block.course:
                continue
            beyond = max(turn(joint.bearing, middle) - half, 0.0) * course.inner_radius
            if beyond < ANCHORAGE:
                radius = (course.inner_radius + course.outer_radius) / 2
                place = at(radius, joint.bearing, course.z_mid)
                pulls.append((joint.face, place, most * (1 - beyond / ANCHORAGE)))
    return _across(pulls, centre)


def _across(pulls: list[tuple[Face, Point, float]], centre: Floats) -> Ties:
    """One tie for each (face, place, greatest tension): it draws the two blocks of an upright radial face together."""
    if not pulls:
        return no_ties()
    place = np.array([place for _, place, _ in pulls])
    block = np.array([(face.upper, face.lower) for face, _, _ in pulls])
    radial = place[:, :2] / np.hypot(place[:, 0], place[:, 1])[:, None]
    pull = np.stack([radial[:, 1], -radial[:, 0], np.zeros(len(pulls))], axis=1)  # towards growing bearing
    away = ((centre[block[:, 0]] - place) * pull).sum(axis=1) < 0
    pull = np.where(away[:, None], -pull, pull)
    force = np.stack([-pull, pull], axis=1)
    wrench = np.concatenate([force, np.cross(place[:, None, :] - centre[block], force)], axis=2)
    return Ties(
        np.repeat(np.arange(len(pulls)), 12).astype(np.int64),
        (6 * block[:, :, None] + np.arange(6)).ravel().astype(np.int64),
        wrench.ravel(),
        np.array([most for _, _, most in pulls]),
    )


def _together(first: Ties, second: Ties) -> Ties:
    if not second.size:
        return first
    return Ties(
        np.concatenate([first.tie, second.tie + first.size]).astype(np.int64),
        np.concatenate([first.row, second.row]).astype(np.int64),
        np.concatenate([first.value, second.value]),
        np.concatenate([first.most, second.most]),
    )


def block_patches(
    dome: Dome,
    case: Case,
    layout: Layout,
    shares: Shares = Shares(),
    wet: WetHalf | None = None,
) -> Patches:
    """The patches in the order that the problem and its forces have."""
    centre, _ = block_weights(dome, case, layout)
    return join(_patches(dome, case, layout, centre, shares, wet))


def block_problem(
    dome: Dome,
    case: Case,
    layout: Layout,
    live: Floats,
    *,
    shares: Shares = Shares(),
    most: float = 100.0,
    wet: WetHalf | None = None,
) -> BlockProblem:
    """The problem of one case. `live` (n, 6): reference load on each block, force [kN] and moment about its centre
    [kN m].

    `wet`: a half that is weaker.
    """
    centre, weight = block_weights(dome, case, layout)
    dead = np.zeros((len(centre), 6))
    dead[:, 2] = -weight
    handed = handed_wrench(case, layout, centre) if case.carries else None
    patches = join(_patches(dome, case, layout, centre, shares, wet))
    size = np.full(len(centre), dome.courses[0].width)
    wire = _wire(dome, layout, centre, wire_tensions(dome, case, shares.friction, shares.wire))
    ties = _together(wire, _lintel_ties(dome, layout, centre, shares.wire))
    if handed is not None:
        dead += handed
    return BlockProblem(centre, dead, live, size, patches, ties, most, handed=handed)
