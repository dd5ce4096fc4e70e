"""Rings that are not round: pushed to one side, or oval, with every block at its own radius.

The blocks are those of the round dome with the mean radii; each is moved out or in by what its ring is off there, and
each bed is what is left where two rings lie on each other, the worst of its two ends and its middle. Loads are those
of the case, each block's in proportion to its length. It can only take a "go on" away: its forces are not proven.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass, replace

from shellcheck_earth.geometry.blocks import cut_blocks
from shellcheck_earth.geometry.courses import Dome
from shellcheck_earth.geometry.layout import Bed, Block, Face, Layout, at
from shellcheck_earth.geometry.survey import Ring
from shellcheck_earth.loads.cases import Case, moist_unit_weight
from shellcheck_earth.mechanics.blocks.weights import arc_share
from shellcheck_earth.safety.blocks.cuts import ring_symmetric
from shellcheck_earth.safety.blocks.edge import LEAST_RESERVE
from shellcheck_earth.safety.blocks.reserve import largest_reserve
from shellcheck_earth.safety.blocks.result import MOST_RESERVE

__all__ = ["OutOfRound", "moved_layout", "reserve_out_of_round"]

Point = tuple[float, float, float]

CUTS = (18, 36)
"""Blocks in a ring: a coarse cut, and a finer one on the same meridians, which can but hold less."""


@dataclass(frozen=True)
class OutOfRound:
    """What all capacities may be divided by together, with the rings as they are and with their mean radii.

    blocks  the least of the cuts; 0: nothing is held; None: not decided
    rings   of the ring-symmetric check
    """

    case_id: str
    blocks: float | None
    rings: float
    required: float

    @property
    def meets(self) -> bool:
        return self.blocks is not None and self.blocks >= self.required

    @property
    def governs(self) -> bool:
        """Whether the shape takes more than the mean shows."""
        return self.blocks is None or self.blocks < self.rings


def _off(rings: Mapping[int, Ring], number: int, bearing: float) -> float:
    ring = rings.get(number)
    return 0.0 if ring is None else ring.radius_at(bearing) - ring.mean


def _moved(point: Point, by: float) -> Point:
    """A point moved out along its own radius."""
    radius = math.hypot(point[0], point[1])
    share = (radius + by) / radius
    return point[0] * share, point[1] * share, point[2]


def _bearing(point: Point) -> float:
    return math.atan2(point[0], point[1]) % (2 * math.pi)


def _block(dome: Dome, case: Case, block: Block, rings: Mapping[int, Ring]) -> Block:
    """The block at its own radius, with the weight of its own length on its own centre; a bag of a head as it is, at
    its own."""
    course, state = dome.courses[block.course], case.states[block.course]
    if block.centre is not None:
        out = _off(rings, course.number, _bearing(block.centre))
        bag = tuple(_moved(corner, _off(rings, course.number, _bearing(corner))) for corner in block.corners)
        return replace(block, corners=bag, centre=_moved(block.centre, out))
    middle, angle = (block.start + block.end) / 2, block.end - block.start
    by = _off(rings, course.number, middle)
    corners = tuple(_moved(corner, _off(rings, course.number, _bearing(corner))) for corner in block.corners)
    radius = state.moment / state.weight
    weight = state.weight * angle * (radius + by) / radius
    gamma = moist_unit_weight(dome.design.fill_of(state.number), state.moisture)
    centre = at(radius * arc_share(angle) + by, middle, course.z_mid)
    return replace(block, corners=corners, volume=weight / gamma, centre=centre)


def _bed(dome: Dome, layout: Layout, bed: Bed, rings: Mapping[int, Ring]) -> Bed:
    upper = dome.courses[layout.blocks[bed.upper].course]
    lower = upper if bed.lower < 0 else dome.courses[layout.blocks[bed.lower].course]
    wall = dome.design.wall
    inner, outer = 0.0, math.inf
    for bearing in (bed.start, (bed.start + bed.end) / 2, bed.end):
        above = upper.inner_radius + _off(rings, upper.number, bearing)
        below = lower.inner_radius + _off(rings, lower.number, bearing)
        inner = max(inner, above, below)
        outer = min(outer, above, below)
    left = max(outer + wall.filled_width - wall.edge_rounding, inner + wall.edge_rounding)
    return replace(bed, inner=inner + wall.edge_rounding, outer=left)


def _face(dome: Dome, face: Face, rings: Mapping[int, Ring]) -> Face:
    by = _off(rings, dome.courses[face.course].number, _bearing(face.edge1[0]))
    edges = [(_moved(edge[0], by), _moved(edge[1], by)) for edge in (face.edge1, face.edge2)]
    return replace(face, edge1=edges[0], edge2=edges[1])


def moved_layout(dome: Dome, case: Case, layout: Layout, rings: Mapping[int, Ring]) -> Layout:
    """The blocks of a dome without buttresses, each ring as it was measured; an opening goes along with its rings.

    Parameters
    ----------
    dome, case
        The courses at their mean radii [m], and what stands of them under which loads.
    layout
        Their blocks, cut round.
    rings
        By number of the course; a course without one stays round.
    """
    blocks = tuple(_block(dome, case, block, rings) for block in layout.blocks)
    beds = tuple(_bed(dome, layout, bed, rings) for bed in layout.beds)
    return replace(layout, blocks=blocks, beds=beds, faces=tuple(_face(dome, face, rings) for face in layout.faces))


def reserve_out_of_round(dome: Dome, case: Case, rings: Mapping[int, Ring]) -> OutOfRound:
    """The dead load on rings as they are, beside the ring-symmetric check on their mean radii.

    Parameters
    ----------
    dome
        The courses at their mean radii [m]; without buttresses, which stand where they were built.
    case
        A dead-load case: shares of what stands.
    rings
        As measured, by number of the course.
    """
    required = dome.design.criteria.required["overall reserve"]
    round_one = ring_symmetric(dome, case)
    if round_one <= 0.0:
        return OutOfRound(case.id, 0.0, 0.0, required)
    found: float | None = None
    for cuts in CUTS:
        layout = moved_layout(dome, case, cut_blocks(dome, cuts, len(case.states)), rings)
        offer = min(round_one, MOST_RESERVE) if found is None else max(found, LEAST_RESERVE)
        edge = largest_reserve(dome, case, layout, [offer], first=required if found is None else None)
        if edge.reserve is None:
            return OutOfRound(case.id, None, round_one, required)
        found = edge.reserve
        if found < required:
            break
    return OutOfRound(case.id, found, round_one, required)
