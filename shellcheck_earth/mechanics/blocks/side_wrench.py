"""A sideways or one-sided load as a force and a moment on every block of a dome."""

from __future__ import annotations

import math

import numpy as np

from shellcheck_earth.basics.values import fixed
from shellcheck_earth.geometry.courses import Dome
from shellcheck_earth.geometry.layout import Block, Layout, at
from shellcheck_earth.loads.cases import Case
from shellcheck_earth.loads.footing import asked_weight
from shellcheck_earth.loads.side_loads import DRIFT, SideLoad, on_half, wind_coefficient
from shellcheck_earth.mechanics.blocks.weights import arc_share, block_weights, handed_places
from shellcheck_earth.mechanics.rings.lune import Floats

__all__ = ["WORKER_STANCE", "added_weight", "side_wrench"]

WORKER_STANCE = fixed("crew.stance")
"""Length of the top ring on which one worker stands [m]; proposed."""

NOT_WALL = ("buttress", "footing")
"""Neither wind, snow, water nor a worker comes on these."""

Placed = tuple[Floats, Floats]
"""A force [kN] and where it acts [m]."""


def side_wrench(dome: Dome, case: Case, layout: Layout, load: SideLoad, heavier: Case | None = None) -> Floats:
    """(n, 6) force [kN] and moment about the block's centre [kN m] of one unit of the load.

    `case`: as it is, without factors on its loads. `heavier`: for snow and rain, the same case with the snow or the
    water all around; what it adds to each course counts on the loaded half. ValueError without it.
    """
    centre, weight = block_weights(dome, case, layout)
    out = np.zeros((len(centre), 6))
    if load.kind == "earthquake":
        weight = _as_shaken(dome, layout, weight)
        out[:, 0] = load.amount * weight * math.sin(load.bearing)
        out[:, 1] = load.amount * weight * math.cos(load.bearing)
        out[:, 2] = load.vertical * weight
        return out + _shaken_with(case, layout, load, centre) if case.carries else out
    if load.kind == "worker":
        placed = _worker(dome, layout, load)
    elif load.kind == "wind":
        placed = {
            k: _wind(dome, block, load, layout.courses - 1)
            for k, block in enumerate(layout.blocks)
            if _in_the_wind(dome, block)
        }
    else:
        if heavier is None:
            raise ValueError(f"{load.kind} on one half needs the case with it all around")
        times = DRIFT if load.kind == "snow" else 1.0
        found = added_weight(dome, case, heavier, layout, load.bearing)
        placed = {k: (times * force, place) for k, (force, place) in found.items()}
    if placed:
        which = np.array(list(placed))
        force, place = (np.array(one) for one in zip(*placed.values(), strict=True))
        out[which, :3], out[which, 3:] = force, np.cross(place - centre[which], force)
    return out


def _as_shaken(dome: Dome, layout: Layout, weight: Floats) -> Floats:
    """The weights with the greatest of a footing that is asked: it steadies with its least."""
    if dome.design.footing is None:
        return weight
    heavy = asked_weight(dome.design)[1]
    own = [block.volume * heavy if block.kind == "footing" else 0.0 for block in layout.blocks]
    return np.where(np.array(own) > 0.0, own, weight)


def _shaken_with(case: Case, layout: Layout, load: SideLoad, centre: Floats) -> Floats:
    """What is handed in and weighs is shaken where it bears, by the same shares of its weight as the blocks."""
    out = np.zeros((len(centre), 6))
    level = at(load.amount, load.bearing, load.vertical)
    for k, one, angle, place in handed_places(case, layout):
        force = max(one.weight, 0.0) * angle * np.array(level)
        out[k] += np.concatenate([force, np.cross(place - centre[k], force)])
    return out


def _middle(block: Block) -> float:
    return (block.start + block.end) / 2


def _in_the_wind(dome: Dome, block: Block) -> bool:
    return block.kind not in NOT_WALL and dome.courses[block.course].z_top > dome.ground


def _wind(dome: Dome, block: Block, load: SideLoad, top: int) -> Placed:
    """Pressure on the outer face of a block, taken as a cone between the courses' outer edges; q c A along the normal,
    with the pressure inside taken off c (on the outer face too: a little more than it is). `top`: index of the last
    course that stands."""
    course = dome.courses[block.course]
    above = dome.courses[min(block.course + 1, top)]
    back = max(course.outer_radius - above.outer_radius, 0.0)
    if above is course:  # the ring at the top: its own top face closes the slope
        back = course.width / 2
    slope, middle = math.atan2(back, course.height), _middle(block)
    coefficient = wind_coefficient(middle - load.bearing - math.pi, slope, load.lee, load.even_to) - load.inside
    angle = block.end - block.start
    area = math.hypot(course.height, back) * angle * course.outer_radius
    inward = -load.amount * coefficient * area
    share = arc_share(angle)
    force = np.array([*at(inward * math.cos(slope) * share, middle, 0.0)[:2], inward * math.sin(slope)])
    return force, np.array(at(course.outer_radius * share, middle, course.z_mid))


def _worker(dome: Dome, layout: Layout, load: SideLoad) -> dict[int, Placed]:
    """On the inner edge of the top ring, where it does most, over WORKER_STANCE of it: the tube passes over every
    cut.
    """
    top = max(block.course for block in layout.blocks)
    course = dome.courses[top]
    stance = min(WORKER_STANCE / (course.inner_radius + course.width / 2), 2 * math.pi)
    out: dict[int, Placed] = {}
    for k, block in enumerate(layout.blocks):
        if block.course != top or block.kind in NOT_WALL:
            continue
        # Bearings of blocks run up to two whole turns and more from where the openings are counted.
        for turn in (-4 * math.pi, -2 * math.pi, 0.0, 2 * math.pi):
            start = max(block.start + turn, load.bearing - stance / 2)
            end = min(block.end + turn, load.bearing + stance / 2)
            if end > start:
                force = np.array([0.0, 0.0, -load.amount * (end - start) / stance])
                out[k] = force, np.array(at(course.inner_radius, (start + end) / 2, course.z_top))
    return out


def added_weight(dome: Dome, case: Case, heavier: Case, layout: Layout, bearing: float) -> dict[int, Placed]:
    """What a heavier case adds to the blocks of the half about a bearing."""
    out: dict[int, Placed] = {}
    for k, block in enumerate(layout.blocks):
        if block.kind in NOT_WALL or not on_half(_middle(block), bearing):
            continue
        lighter, more = case.states[block.course], heavier.states[block.course]
        weight, moment = more.weight - lighter.weight, more.moment - lighter.moment
        angle = block.end - block.start
        if weight > 0:
            radius = moment / weight * arc_share(angle)
            out[k] = (
                np.array([0.0, 0.0, -weight * angle]),
                np.array(at(radius, _middle(block), dome.courses[block.course].z_top)),
            )
    return out
