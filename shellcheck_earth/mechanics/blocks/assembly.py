"""From the blocks of a dome and a case to a problem of limit analysis: weights, contact patches, wire.

Rigid arcs hold more than a coil does unless care is taken. With b half the angle of a bed or a block and s =
sin(b)/b, a
state of the blocks that is symmetric about the axis maps onto a state of the ring-symmetric check when (derived)

- a bed can open about the tangent at its inner radius and about the chord of its outer arc: both lie in the true bed;
- friction, wire and ring strength are multiplied by s, since a force H per radian, spread along the arc 2 b, pushes the
  block with 2 b H s only;
- weights and centroids are exact, and the lowest ring takes no ring compression.

So the blocks need at least the friction that the ring-symmetric check needs, and reach it as the cuts become many.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from shellcheck_earth.basics.values import fixed
from shellcheck_earth.geometry.blocks import Bed, Block, Face, Layout, at
from shellcheck_earth.geometry.courses import Course, Dome
from shellcheck_earth.loads.cases import Case, CourseState, moist_unit_weight
from shellcheck_earth.mechanics.blocks.interfaces import GROUND, Patch, Patches, join, quadrilateral
from shellcheck_earth.mechanics.blocks.problem import BlockProblem, Ties, no_ties
from shellcheck_earth.mechanics.rings.admissible import Scales, pack, wire_limit
from shellcheck_earth.mechanics.rings.discretise import cut_lune
from shellcheck_earth.mechanics.rings.lune import Floats

__all__ = ["ANCHORAGE", "Shares", "WetHalf", "arc_share", "block_patches", "block_problem", "block_weights"]


ON_THE_EDGE = 1e-9

ANCHORAGE = fixed("wire.anchorage")
"""Length of wire between beds that holds its end [m]: nearer to an opening it is not counted (proposed; no test
known).
"""


@dataclass(frozen=True)
class Shares:
    """What the available capacities are multiplied by; 1/q each for a reserve of q.

    `base_friction` caps the friction of the lowest bed: the ground's, for sideways loads.
    """

    friction: float = 1.0
    strength: float = 1.0
    wire: float = 1.0
    half_width: float = 1.0
    base_friction: float = math.inf

    @staticmethod
    def reserve(q: float) -> Shares:
        return Shares(1 / q, 1 / q, 1 / q, 1 / q)


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
    """(centre (n, 3) [m], weight (n,) [kN]) of the blocks in a case."""
    centre, weight = [], []
    for block in layout.blocks:
        course, state = dome.courses[block.course], case.states[block.course]
        if block.centre is None:
            centre.append(_wall_centre(block, course, state))
            weight.append(state.weight * (block.end - block.start))
        else:
            centre.append(np.array(block.centre))
            weight.append(block.volume * moist_unit_weight(dome.design.fill_of(state.number), state.moisture))
    return np.array(centre), np.array(weight)


def _bed_patch(
    bed: Bed, layout: Layout, centre: Floats, friction: float, strength: float, shares: Shares
) -> Patch | None:
    """The patch of a level bed; None when nothing is left of its width."""
    half, middle = (bed.end - bed.start) / 2, (bed.start + bed.end) / 2
    mid = (bed.inner + bed.outer) / 2
    inner = mid - (mid - bed.inner) * shares.half_width
    outer = (mid + (bed.outer - mid) * shares.half_width) * math.cos(half)
    if outer - inner < 1e-4:
        return None
    radial = np.array([math.sin(middle), math.cos(middle), 0.0])
    along = np.array([math.cos(middle), -math.sin(middle), 0.0])
    level = np.array([0.0, 0.0, bed.z])
    edges = []
    for distance in (inner, outer):
        # Within the bed's own angle at the inner edge, which is the shorter one: never more support than there is.
        reach = inner * math.tan(half)
        edges.append(np.array([radial * distance - along * reach + level, radial * distance + along * reach + level]))
    return quadrilateral(
        (edges[0], edges[1]),
        bed.upper,
        bed.lower,
        centre[bed.upper],
        friction * shares.friction * arc_share(2 * half),
        strength,
        _bed_kind(bed, layout),
    )


def _bed_kind(bed: Bed, layout: Layout) -> str:
    if bed.lower == GROUND:
        return "ground"
    kinds = {layout.blocks[bed.upper].kind, layout.blocks[bed.lower].kind}
    return "lintel" if "lintel" in kinds else "bed"


def _between(states: tuple[CourseState, ...], upper: int, lower: int, bed: Bed) -> tuple[float, float]:
    """(friction, strength) of the bed between two courses; a wetted band counts by its share of the area."""
    above, below = states[upper], states[lower]
    dry, wet = min(above.friction, below.friction), min(above.friction_wet, below.friction_wet)
    wet_from = min(max(min(above.wet_from, below.wet_from), bed.inner), bed.outer)
    strength = min(above.strength, below.strength)
    if wet_from >= bed.outer:
        return dry, strength
    share = (bed.outer**2 - wet_from**2) / (bed.outer**2 - bed.inner**2)
    # The whole bed gets the weaker strength: a patch has one.
    return dry + min(wet - dry, 0.0) * share, min(strength, above.strength_wet, below.strength_wet)


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
        friction, strength = _between(states, upper, lower, bed)
        if bed.lower == GROUND:
            friction = min(friction, shares.base_friction)
        out.append(
            _bed_patch(bed, layout, centre, friction, strength * shares.strength, shares) if strength > 0 else None
        )
    for face in layout.faces:
        edge1, edge2 = np.array(face.edge1), np.array(face.edge2)
        x, y, _ = (edge1 + edge2).mean(axis=0)
        states = wet.case.states if wet and wet.holds(_bearing(float(x), float(y))) else case.states
        state, course = states[face.course], dome.courses[face.course]
        friction, strength = state.friction * shares.friction, state.strength * shares.strength
        if face.kind == "head joint":
            ring_to = state.wet_from if state.ring_to is None else state.ring_to
            part = min(max((ring_to - course.inner_radius) / course.width, 0.0), 1.0)
            if not state.closed or part <= 1e-3:
                continue
            edge1, edge2 = (np.array([edge[0], edge[0] + part * (edge[1] - edge[0])]) for edge in (edge1, edge2))
            strength *= _joint_arc(layout, face)
        edge1, edge2 = (_thinned(edge, shares.half_width) for edge in (edge1, edge2))
        if face.kind == "buttress bed" and face.lower == GROUND:
            friction = min(friction, shares.base_friction * shares.friction)
        if strength > 0 and float(np.linalg.norm(np.cross(edge1[1] - edge1[0], edge2[0] - edge1[0]))) > 1e-5:
            out.append(
                quadrilateral((edge1, edge2), face.upper, face.lower, centre[face.upper], friction, strength, face.kind)
            )
    return [patch for patch in out if patch is not None]


def _joint_arc(layout: Layout, face: Face) -> float:
    """s = sin(b)/b of the longer of the two blocks at a head joint."""
    return arc_share(max(layout.blocks[i].end - layout.blocks[i].start for i in (face.upper, face.lower)))


def _thinned(edge: Floats, share: float) -> Floats:
    """An edge (2, 3) with this share of its length left, about its middle: a reserve thins every face, beds or not."""
    middle = edge.mean(axis=0)
    return np.asarray(middle + share * (edge - middle))


def _bearing(x: float, y: float) -> float:
    return math.atan2(x, y) % (2 * math.pi)


def _wire_ends(layout: Layout) -> dict[int, list[float]]:
    """Bearings at which the ring of a course (index) is cut by an opening or by the ring of bags over it."""
    joined: dict[int, list[float]] = {}
    for face in layout.faces:
        if face.kind == "head joint":
            joined.setdefault(face.course, []).append(_bearing(face.edge1[1][0], face.edge1[1][1]))
    ends: dict[int, list[float]] = {}
    for block in layout.blocks:
        if block.kind in ("wall", "lintel"):
            for end in (block.start, block.end):
                if all(_turn(end, other) > 1e-6 for other in joined.get(block.course, [])):
                    ends.setdefault(block.course, []).append(end)
    return ends


def _turn(first: float, second: float) -> float:
    """Least angle between two bearings [rad]."""
    return abs((first - second + math.pi) % (2 * math.pi) - math.pi)


def _to_next_end(dome: Dome, face: Face, ends: dict[int, list[float]]) -> float:
    """Length of wire from a head joint to where it ends [m]; inf in a whole ring."""
    bearing = _bearing(face.edge1[1][0], face.edge1[1][1])
    radius = dome.courses[face.course].inner_radius
    return min((_turn(bearing, end) * radius for end in ends.get(face.course, [])), default=math.inf)


def _wire_tensions(dome: Dome, case: Case, shares: Shares) -> list[float]:
    """Greatest tension of the wire in the bed under each course [kN], lowest course first: counted, and bonded."""
    rows = pack(cut_lune(dome, case))
    scales = Scales(friction=shares.friction, wire=shares.wire).as_array()
    return [float(wire_limit(rows, i, scales)) for i in range(len(rows))][::-1]


def _wire(dome: Dome, layout: Layout, centre: Floats, tensions: Sequence[float]) -> Ties:
    """Wire in the bed under each course, across every head joint at least ANCHORAGE from where the wire ends."""
    joints = [face for face in layout.faces if face.kind == "head joint" and tensions[face.course] > 0.0]
    if not joints:
        return no_ties()
    ends = _wire_ends(layout)
    pulls = []
    for face in joints:
        if _to_next_end(dome, face, ends) >= ANCHORAGE:
            course = dome.courses[face.course]
            radius = min(max((course.bed_inner + course.bed_outer) / 2, course.inner_radius), course.outer_radius)
            place = np.array(at(radius, _bearing(face.edge1[1][0], face.edge1[1][1]), course.z_bottom))
            pulls.append((face, place, tensions[face.course] * _joint_arc(layout, face)))
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
        for face in layout.faces:
            if face.kind != "head joint" or face.course != block.course:
                continue
            bearing = _bearing(face.edge1[1][0], face.edge1[1][1])
            beyond = max(_turn(bearing, middle) - half, 0.0) * course.inner_radius
            if beyond < ANCHORAGE:
                radius = (course.inner_radius + course.outer_radius) / 2
                pulls.append((face, np.array(at(radius, bearing, course.z_mid)), most * (1 - beyond / ANCHORAGE)))
    return _across(pulls, centre)


def _across(pulls: list[tuple[Face, Floats, float]], centre: Floats) -> Ties:
    """One tie for each (face, place, greatest tension): it draws the two blocks of an upright radial face together."""
    tie, row, value = [], [], []
    for count, (face, place, _) in enumerate(pulls):
        radial = place * [1.0, 1.0, 0.0] / math.hypot(place[0], place[1])
        pull = np.array([radial[1], -radial[0], 0.0])  # towards growing bearing
        if float((centre[face.upper] - place) @ pull) < 0:
            pull = -pull
        for block, sign in ((face.upper, -1.0), (face.lower, 1.0)):
            force = sign * pull
            wrench = np.concatenate([force, np.cross(place - centre[block], force)])
            tie += [count] * 6
            row += [6 * block + k for k in range(6)]
            value += wrench.tolist()
    if not pulls:
        return no_ties()
    return Ties(
        np.array(tie, dtype=np.int64),
        np.array(row, dtype=np.int64),
        np.array(value),
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
    patches = join(_patches(dome, case, layout, centre, shares, wet))
    size = np.full(len(centre), dome.courses[0].width)
    wire = _wire(dome, layout, centre, _wire_tensions(dome, case, shares))
    ties = _together(wire, _lintel_ties(dome, layout, centre, shares.wire))
    return BlockProblem(centre, dead, live, size, patches, ties, most)
