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

from collections.abc import Sequence
from dataclasses import replace

import numpy as np

from shellcheck_earth.basics.values import fixed
from shellcheck_earth.geometry.courses import Dome
from shellcheck_earth.geometry.layout import Face, Layout, Point, at, turn
from shellcheck_earth.loads.cases import Case
from shellcheck_earth.mechanics.blocks.faces import WHOLE, Shares, WetHalf, joint_arc, patches_about
from shellcheck_earth.mechanics.blocks.interfaces import join
from shellcheck_earth.mechanics.blocks.problem import BlockProblem, Ties, no_ties
from shellcheck_earth.mechanics.blocks.weights import block_weights, handed_wrench
from shellcheck_earth.mechanics.rings.admissible import Scales, pack, wire_limit
from shellcheck_earth.mechanics.rings.discretise import cut_lune
from shellcheck_earth.mechanics.rings.lune import Floats

__all__ = ["ANCHORAGE", "block_problem", "soaked_tensions", "wire_tensions"]

ANCHORAGE = fixed("wire.anchorage")
"""Length of wire between beds that holds its end [m]: nearer to an opening it is not counted (proposed; no test
known).
"""


def wire_tensions(dome: Dome, case: Case, friction: float = 1.0, wire: float = 1.0) -> list[float]:
    """Greatest tension of the wire in the bed under each course [kN], lowest course first: counted, and bonded. What is
    lifted at one bearing counts as if it lifted every radian."""
    lune = cut_lune(dome, case)
    if any(state.lifted for state in case.states):
        lune = replace(lune, weight=lune.weight + np.array([state.lifted for state in case.states[::-1]]))
    rows = pack(lune)
    scales = Scales(friction=friction, wire=wire).as_array()
    return [float(wire_limit(rows, i, scales)) for i in range(len(rows))][::-1]


def soaked_tensions(dome: Dome, case: Case, soaked: Case, friction: float = 1.0, wire: float = 1.0) -> list[float]:
    """The same where the beds are soaked: with the weight of the case, for there is as much there before the water
    comes, and the friction of soaked beds."""
    both = zip(case.states, soaked.states, strict=True)
    slick = tuple(replace(state, friction=min(state.friction, wet.friction)) for state, wet in both)
    return wire_tensions(dome, replace(case, states=slick), friction, wire)


def _wire(
    dome: Dome,
    layout: Layout,
    centre: Floats,
    tensions: Sequence[float],
    wet: WetHalf | None = None,
    where_wet: Sequence[float] = (),
) -> Ties:
    """Wire in the bed under each course, across every head joint at least ANCHORAGE from where the wire ends;
    where_wet: its tensions in the part of the dome that is wet."""
    pulls = []
    for joint in layout.joints:
        tension, course = tensions[joint.face.course], dome.courses[joint.face.course]
        if wet is not None and wet.holds(joint.bearing):
            tension = min(tension, where_wet[joint.face.course])
        if tension > 0.0 and joint.to_end * course.inner_radius >= ANCHORAGE:
            radius = min(max((course.bed_inner + course.bed_outer) / 2, course.inner_radius), course.outer_radius)
            pulls.append(
                (joint.face, at(radius, joint.bearing, course.z_bottom), tension * joint_arc(layout, joint.face))
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


def block_problem(
    dome: Dome,
    case: Case,
    layout: Layout,
    live: Floats,
    *,
    shares: Shares = WHOLE,
    most: float = 100.0,
    wet: WetHalf | None = None,
) -> BlockProblem:
    """The problem of one case. `live` (n, 6): reference load on each block, force [kN] and moment about its centre
    [kN m].

    `wet`: a half that is weaker, its wire too.
    """
    centre, weight = block_weights(dome, case, layout)
    dead = np.zeros((len(centre), 6))
    dead[:, 2] = -weight
    handed = handed_wrench(case, layout, centre) if case.carries else None
    patches = join(patches_about(dome, case, layout, centre, shares, wet))
    size = np.full(len(centre), dome.courses[0].width)
    where_wet = [] if wet is None else soaked_tensions(dome, case, wet.case, shares.friction, shares.wire)
    wire = _wire(dome, layout, centre, wire_tensions(dome, case, shares.friction, shares.wire), wet, where_wet)
    ties = _together(wire, _lintel_ties(dome, layout, centre, shares.wire))
    if handed is not None:
        dead += handed
    return BlockProblem(centre, dead, live, size, patches, ties, most, handed=handed)
