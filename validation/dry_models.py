"""Models of dry stone that were built and tried, against the block programme: an arch on piers, a dome on a wall and on
columns, a block on a tilting table; and a wall of bags that was pushed.

Arch and dome are Rondelet's, as Gwilt's Encyclopaedia of Architecture tells them (Book II, Chapter I, paragraphs 1367,
1407 to 1408 and 1478 to 1479; these pages read in stored copies, not the whole chapter). Their lengths are in lines,
twelve to the inch; unit weight 1. Of their stone's friction Rondelet says 28 to 36 degrees for the best worked ones:
the middle is asked, and the ends are told beside it. Each model is one reading, no scatter is told. Every tolerance was
written down before the first answer was computed, and no input was changed after it.
"""

from __future__ import annotations

import itertools
import math
from collections.abc import Callable, Sequence

import numpy as np
from numpy.typing import NDArray

from shellcheck_earth.basics.values import default
from shellcheck_earth.mechanics.blocks.interfaces import GROUND, Patch, join
from shellcheck_earth.mechanics.blocks.nonassociated import solve_blocks
from shellcheck_earth.mechanics.blocks.problem import BlockProblem, no_ties

from .table import Check

__all__ = ["arch_on_piers", "bag_wall", "checks", "dome_on", "least_pier", "tilted_block", "tipping_angle"]

Floats = NDArray[np.float64]
Point = tuple[float, float, float]
Edges = tuple[tuple[Point, Point], tuple[Point, Point]]

FRICTION = math.tan(math.radians(32.0))
"""Rondelet, in Gwilt, paragraph 1367: well worked stones begin to slide at 28 to 36 degrees; the middle is ours."""

SPAN, THICKNESS, PIER = 54.0, 9.0, 120.0
"""Half the opening of the models, their thickness, the height of their piers [lines]."""

RISE, JOINT = 35.0, (45.5, 24.84)
"""Rise of the arch of half an ellipse; where its joint cuts the middle of its thickness, from the centre [lines]."""

COLUMNS = 9.0
"""The eight columns together are a ninth of the wall that they stand for (paragraph 1479)."""

LUNES, FACETS, POLAR = 8, 6, 6
"""Equal parts of the dome; flat patches that stand for an eighth of a joint around, and for a piece's joint upward."""


def _problem(
    centre: Floats, weight: Floats, live: Floats, patches: Sequence[Patch], size: float, most: float = 100.0
) -> BlockProblem:
    dead = np.zeros((len(weight), 6))
    dead[:, 2] = -weight
    return BlockProblem(centre, dead, live, np.full(len(weight), size), join(patches), no_ties(), most)


def _held(problem: BlockProblem) -> float:
    """What is held of the live load; 0 where the dead load alone is not. ValueError where there is no answer."""
    answer = solve_blocks(problem)
    if answer.multiplier is None:
        raise ValueError(f"the block programme could not say: {answer.why}")
    return answer.multiplier


def _polygon(points: Floats) -> tuple[float, Floats]:
    """(area, centroid) of a polygon (n, 2)."""
    x, y = points.T
    cross = x * np.roll(y, -1) - np.roll(x, -1) * y
    area = float(cross.sum()) / 2
    centre = np.array([((x + np.roll(x, -1)) * cross).sum(), ((y + np.roll(y, -1)) * cross).sum()]) / (6 * area)
    return abs(area), centre


def _ellipse(offset: float, start: float, end: float, n: int = 60) -> Floats:
    """Points (n + 1, 2) of the half ellipse `offset` outside the inner face, between two parameters [rad]."""
    t = np.linspace(start, end, n + 1)
    return np.stack([(SPAN + offset) * np.cos(t), (RISE + offset) * np.sin(t)], axis=1)


def _joint_ends(joint: tuple[float, float]) -> tuple[float, float]:
    """Parameters [rad] of the inner and the outer face where the joint square to the middle line at `joint` meets
    them."""
    x, y = joint
    u, v = x / (SPAN + THICKNESS / 2) ** 2, y / (RISE + THICKNESS / 2) ** 2
    ends = []
    for offset in (0.0, THICKNESS):
        p, q = SPAN + offset, RISE + offset
        square, both, rest = (u / p) ** 2 + (v / q) ** 2, x * u / p**2 + y * v / q**2, (x / p) ** 2 + (y / q) ** 2 - 1
        s = (-both + math.sqrt(both**2 - square * rest)) / square  # the crossing on the side of the joint
        ends.append(math.atan2((y + s * v) / q, (x + s * u) / p))
    return ends[0], ends[1]


def _across(one: tuple[float, float], other: tuple[float, float], kept_in: float) -> Edges:
    """Edges of a joint 1 line wide, `kept_in` short of its two arrises."""
    (x, z), (u, w) = one, other
    share = kept_in / math.hypot(u - x, w - z)
    first, last = (((1 - t) * x + t * u, (1 - t) * z + t * w) for t in (share, 1 - share))
    return ((first[0], -0.5, first[1]), (first[0], 0.5, first[1])), ((last[0], -0.5, last[1]), (last[0], 0.5, last[1]))


def arch_on_piers(
    pier: float, friction: float, joint: tuple[float, float] = JOINT, kept_in: float = 0.0
) -> BlockProblem:
    """Half an ellipse in four voussoirs on two piers `pier` lines thick, inner faces flush; pushed sideways by its
    weight. `kept_in`: how far [lines] from its arrises a joint begins to bear."""
    inner, outer = _joint_ends(joint)
    quarter = math.pi / 2
    lower = np.concatenate([_ellipse(0.0, 0.0, inner), _ellipse(THICKNESS, 0.0, outer)[::-1]])
    upper = np.concatenate([_ellipse(0.0, inner, quarter), _ellipse(THICKNESS, outer, quarter)[::-1]])
    block = np.array([(SPAN, -PIER), (SPAN + pier, -PIER), (SPAN + pier, 0.0), (SPAN, 0.0)])
    shapes = [block, lower, upper]
    shapes += [shape * (-1.0, 1.0) for shape in reversed(shapes)]
    areas, centres = zip(*(_polygon(shape) for shape in shapes), strict=True)
    ends = [
        ((SPAN, -PIER), (SPAN + pier, -PIER)),
        ((SPAN, 0.0), (SPAN + THICKNESS, 0.0)),
        ((SPAN * math.cos(inner), RISE * math.sin(inner)), _outer(outer)),
        ((0.0, RISE), (0.0, RISE + THICKNESS)),
    ]
    ends += [((-x, z), (-u, w)) for (x, z), (u, w) in reversed(ends[:3])]
    centre = np.array([[x, 0.0, z] for x, z in centres])
    patches = []
    for k, (one, other) in enumerate(ends):
        above, below = (0, GROUND) if k == 0 else (k - 1, GROUND) if k == len(ends) - 1 else (k, k - 1)
        patches.append(Patch(_across(one, other, kept_in), above, below, centre[above], friction))
    weight = np.array(areas)
    live = np.zeros((len(weight), 6))
    live[:, 0] = weight
    return _problem(centre, weight, live, patches, SPAN)


def _outer(parameter: float) -> tuple[float, float]:
    return (SPAN + THICKNESS) * math.cos(parameter), (RISE + THICKNESS) * math.sin(parameter)


def least_pier(friction: float, joint: tuple[float, float] = JOINT, kept_in: float = 0.0) -> float:
    """Least thickness [lines] of the piers on which the arch stands, to a fiftieth of a line; 60 where none does."""
    low, high = THICKNESS, 60.0
    while high - low > 0.02:
        middle = (low + high) / 2
        holds = _held(arch_on_piers(middle, friction, joint, kept_in)) > 1e-5
        low, high = (low, middle) if holds else (middle, high)
    return high


def _sphere(radius: float, colatitude: float, azimuth: float) -> Point:
    s = radius * math.sin(colatitude)
    return s * math.cos(azimuth), s * math.sin(azimuth), radius * math.cos(colatitude)


def _level(radius: float, z: float, azimuth: float) -> Point:
    return radius * math.cos(azimuth), radius * math.sin(azimuth), z


def _lune_piece(start: float, end: float, width: float) -> tuple[float, float, float]:
    """(weight, radius, height) of a piece of the dome and of its centroid; colatitudes and width in rad."""
    r, big = SPAN, SPAN + THICKNESS
    third, fourth = (big**3 - r**3) / 3, (big**4 - r**4) / 4
    weight = third * (math.cos(start) - math.cos(end)) * width
    square = (end - start) / 2 - (math.sin(2 * end) - math.sin(2 * start)) / 4
    radius = fourth * square * 2 * math.sin(width / 2) / weight
    height = fourth * (math.sin(end) ** 2 - math.sin(start) ** 2) / 2 * width / weight
    return weight, radius, height


def _around(lune: int, share: float) -> float:
    return 2 * math.pi * (lune + share) / LUNES


def _faces(inner: Callable[[float], Point], outer: Callable[[float], Point], ends: Floats) -> list[Edges]:
    """Flat patches one after the other along a joint, from points of its inner and of its outer arris."""
    return [((inner(a), inner(b)), (outer(a), outer(b))) for a, b in itertools.pairwise(ends.tolist())]


def _on_sphere(radius: float, fixed: float, *, conical: bool) -> Callable[[float], Point]:
    """A point of a joint's arris: of the cone at a colatitude by its azimuth, of the meridian at an azimuth by its
    colatitude."""
    return lambda at: _sphere(radius, fixed, at) if conical else _sphere(radius, at, fixed)


def _conical(colatitude: float, lune: int) -> list[Edges]:
    ends = np.linspace(_around(lune, 0), _around(lune, 1), FACETS + 1)
    inner, outer = (_on_sphere(r, colatitude, conical=True) for r in (SPAN, SPAN + THICKNESS))
    return _faces(inner, outer, ends)


def _meridian(start: float, end: float, lune: int) -> list[Edges]:
    inner, outer = (_on_sphere(r, _around(lune, 0), conical=False) for r in (SPAN, SPAN + THICKNESS))
    return _faces(inner, outer, np.linspace(start, end, POLAR + 1))


def _bed(z: float, lune: int) -> list[Edges]:
    ends = np.linspace(_around(lune, 0), _around(lune, 1), FACETS + 1)
    return _faces(lambda a: _level(SPAN, z, a), lambda a: _level(SPAN + THICKNESS, z, a), ends)


def _column_area() -> float:
    return math.pi * ((SPAN + THICKNESS) ** 2 - SPAN**2) / COLUMNS / LUNES


def _column_bed(z: float, lune: int) -> list[Edges]:
    """Strips of a column's round section, those on the side of the lune before first: it stands under the joint where
    `lune` begins, in the middle of the thickness."""
    r, middle, angle = math.sqrt(_column_area() / math.pi), SPAN + THICKNESS / 2, _around(lune, 0)
    c, s = math.cos(angle), math.sin(angle)

    def edge(side: float) -> Callable[[float], Point]:
        def point(t: float) -> Point:
            out, along = middle + side * r * max(math.cos(t), 1e-3), r * math.sin(t)
            return c * out - s * along, s * out + c * along, z

        return point

    return _faces(edge(-1.0), edge(1.0), np.linspace(-math.pi / 2, math.pi / 2, 2 * FACETS + 1))


def dome_on(*, columns: bool, friction: float) -> BlockProblem:
    """Rondelet's half sphere in eight lunes, each cut at 45 degrees, every joint straight through, on a wall of its own
    thickness in eight parts, or on eight columns under the joints between lunes. Live load: a weight on the top, as
    much as the dome's."""
    width, cut, end, big = 2 * math.pi / LUNES, math.pi / 4, math.pi / 2, SPAN + THICKNESS
    area = _column_area() if columns else (big**2 - SPAN**2) / 2 * width
    out = SPAN + THICKNESS / 2 if columns else (big**3 - SPAN**3) / 3 * 2 * math.sin(width / 2) / area
    pieces = (_lune_piece(0.0, cut, width), _lune_piece(cut, end, width), (area * PIER, out, -PIER / 2))
    turned = (0.5, 0.5, 0.0 if columns else 0.5)
    centre = np.array(
        [_level(r, z, _around(k, share)) for (_, r, z), share in zip(pieces, turned, strict=True) for k in range(LUNES)]
    )
    weight = np.repeat([w for w, _, _ in pieces], LUNES)
    patches: list[Patch] = []

    def lay(faces: Sequence[Edges], upper: int, lower: int) -> None:
        patches.extend(Patch(face, upper, lower, centre[upper], friction) for face in faces)

    for k in range(LUNES):
        before = (k - 1) % LUNES
        low, foot = k + LUNES, k + 2 * LUNES
        lay(_conical(cut, k), k, low)
        lay(_meridian(0.0, cut, k), k, before)
        lay(_meridian(cut, end, k), low, before + LUNES)
        if columns:
            strips = _column_bed(0.0, k)
            lay(strips[:FACETS], before + LUNES, foot)
            lay(strips[FACETS:], low, foot)
            lay(_column_bed(-PIER, k), foot, GROUND)
            continue
        lay(_bed(0.0, k), low, foot)
        lay(_bed(-PIER, k), foot, GROUND)
        upright = [_level(r, z, _around(k, 0)) for r in (SPAN, big) for z in (-PIER, 0.0)]
        lay([((upright[0], upright[1]), (upright[2], upright[3]))], foot, before + 2 * LUNES)
    live = np.zeros((len(weight), 6))
    force = np.array([0.0, 0.0, -float(weight[: 2 * LUNES].sum()) / LUNES])
    live[:LUNES, :3] = force
    live[:LUNES, 3:] = np.cross(np.array([0.0, 0.0, big]) - centre[:LUNES], force)
    return _problem(centre, weight, live, patches, SPAN, most=10.0)


SLENDER = 1.0 / 3.0
"""Width over height of the block that is tilted: ours, the abstract names none. Its base is a square."""


def tilted_block(degrees: float, width: float = SLENDER) -> BlockProblem:
    """A block of height 1 and weight 1 on a table that is tilted `degrees` off one of its faces; the live load over the
    weight is the tangent of the table's tilt. Its base is eight strips, for a patch counts on the middle half of its
    length alone."""
    patches, strips, a, turn = [], 8, width / 2, math.radians(degrees)
    for k in range(strips):
        y, z = (width * (share / strips - 0.5) for share in (k, k + 1))
        face = ((-a, y, 0.0), (-a, z, 0.0)), ((a, y, 0.0), (a, z, 0.0))
        patches.append(Patch(face, 0, GROUND, (0.0, 0.0, 1.0), FRICTION))
    live = np.zeros((1, 6))
    live[0, :2] = math.cos(turn), math.sin(turn)
    return _problem(np.array([[0.0, 0.0, 0.5]]), np.array([1.0]), live, patches, 1.0)


def tipping_angle(degrees: float, width: float = SLENDER) -> float:
    """Tilt [deg] at which the block tips."""
    return math.degrees(math.atan(_held(tilted_block(degrees, width))))


ELSEWHERE = tuple(((SPAN + THICKNESS / 2) * c, (RISE + THICKNESS / 2) * math.sqrt(1 - c * c)) for c in (0.65, 0.87))
"""Where else the arch's joint might have been cut, nearer its crown and nearer its springing."""


def _arch() -> list[Check]:
    needed, kept_in = least_pier(FRICTION), least_pier(FRICTION, kept_in=1.0)
    near, far = (least_pier(FRICTION, joint) for joint in ELSEWHERE)
    return [
        Check(
            "arch of half an ellipse: least thickness of its piers [lines]",
            "Rondelet, in Gwilt, Encyclopaedia of Architecture, par. 1407-1408",
            "read",
            26.0,
            needed,
            2.6,
            "a tenth, of one model without scatter; friction 28 to 36 deg read, 32 asked; joint where he draws it",
            differs=f"ours stands on piers {1 - needed / 26:.0%} thinner than the model needed. A real joint does not"
            f" bear up to its arris: one line short of every arris ours needs {kept_in:.1f}; with the joint nearer the"
            f" crown or the springing {near:.1f} or {far:.1f}. Shape alone, with sharp edges, is favourable",
        )
    ]


def _dome() -> list[Check]:
    where = "Rondelet, in Gwilt, Encyclopaedia of Architecture, par. 1478-1479"
    wall, columns = (_held(dome_on(columns=on, friction=FRICTION)) for on in (False, True))
    why = "yes or no, one model; friction 28 to 36 deg read, 32 asked; height that of his other models, 120 lines"
    told = (
        ("half sphere in lunes, joints straight through, on a wall of its thickness: stands", wall > 0.0, ""),
        ("the same: carries a weight on its top", wall > 0.01, f"; ours {wall:.3f} of the dome's, his is not told"),
        (
            "the same on eight columns under its joints, a ninth of the wall: stands",
            columns > 0.0,
            f"; ours carries {columns:.3f} of the dome's weight on top: friction on a column ties two lunes",
        ),
    )
    return [Check(f"{name} (1 yes)", where, "read", 1.0, float(holds), 0.0, why + more) for name, holds, more in told]


TILTED = ((10.0, 0.3, 0.2, "a few tenths"), (20.0, 1.0, 0.5, "about 1"), (30.0, 2.5, 0.5, "2 to 3"))
"""Degrees between the block's face and the table's axis, by how much more it may be tilted, tolerance, the words."""


def _tilted() -> list[Check]:
    straight = tipping_angle(0.0)
    return [
        Check(
            f"block turned by {turn:g} deg on a tilting table: tips later by [deg]",
            "Gui, Alejano, Cano, Arzua & Perez-Rey 2024, abstract",
            "abstract read",
            printed,
            tipping_angle(turn) - straight,
            tolerance,
            f"{words}, of theory and models; slenderness not in the abstract, ours a third as wide as high",
        )
        for turn, printed, tolerance, words in TILTED
    ]


BAGS, COURSES, BAG_WEIGHT = (1.2, 0.38, 1.2), 10, 17.5
"""Length, thickness and height [m] of the wall of bags; its courses, and their unit weight [kN/m3], are ours."""


def bag_wall(friction: float, *, diagonal: bool) -> BlockProblem:
    """Courses of one bag each, pushed along the wall at the middle of the top course, or down along the diagonal from
    its upper corner; live load 1 kN."""
    length, thick, height = BAGS
    a, d, h = length / 2, thick / 2, height / COURSES
    centre = np.array([[0.0, 0.0, (k + 0.5) * h] for k in range(COURSES)])
    patches = []
    for k in range(COURSES):
        face = ((-a, -d, k * h), (-a, d, k * h)), ((a, -d, k * h), (a, d, k * h))
        patches.append(Patch(face, k, k - 1 if k else GROUND, centre[k], friction))
    live = np.zeros((COURSES, 6))
    force = np.array([1.0, 0.0, -1.0]) / math.sqrt(2) if diagonal else np.array([1.0, 0.0, 0.0])
    live[-1, :3] = force
    live[-1, 3:] = np.cross(np.array([-a, 0.0, height]) - centre[-1], force) if diagonal else 0.0
    return _problem(centre, np.full(COURSES, length * thick * h * BAG_WEIGHT), live, patches, h)


def _bags() -> list[Check]:
    row = default("beds.wired.friction")
    level, diagonal = (_held(bag_wall(float(row.high), diagonal=on)) for on in (False, True))
    return [
        Check(
            "wall of bags with wire, pushed along itself: ours holds no more than the 10 kN it held (1 yes)",
            "Stouter 2011, earthbag shear test, a plastered wall of 1.2 by 1.2 by 0.38 m",
            "read",
            1.0,
            float(max(level, diagonal) <= 10.0),
            0.0,
            f"yes or no, one test by simple means, direction not told: ours {level:.1f} kN level, {diagonal:.1f} kN"
            f" along the diagonal, at the upper end of friction {row.high}; plaster and bond of the fill not counted",
        )
    ]


def checks() -> list[Check]:
    return [*_arch(), *_dome(), *_tilted(), *_bags()]
