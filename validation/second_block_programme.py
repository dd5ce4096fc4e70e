"""Domes with openings as blocks a second time: own geometry, own contacts, own equilibrium, by linear programming.

Nothing of the tool's block code is used. The mechanical model is the one that DEVELOPERS.md states (the pieces of
`second_blocks`, two strips of two point forces a face, turning of a face capped, every face thinned by a reserve), so
that what is compared is its assembly and its solution. Friction cones are replaced by pyramids of SIDES rays: inside
the cone the programme gives a bound from below, with friction divided by cos(pi/SIDES), around it, one from above; the
tool must lie between. Crushing takes no part (the fill is made strong), nor do wire and plaster. Units: m, kN.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from functools import cache

import numpy as np

from shellcheck_earth.design.design import Design, Opening
from shellcheck_earth.geometry.blocks import cut_blocks
from shellcheck_earth.geometry.courses import build_dome
from shellcheck_earth.loads.cases import Case, dead_cases
from shellcheck_earth.loads.side_loads import SideLoad
from shellcheck_earth.mechanics.blocks.assembly import block_problem
from shellcheck_earth.mechanics.blocks.conic import solve_cone
from shellcheck_earth.mechanics.blocks.rows import assemble
from shellcheck_earth.mechanics.blocks.side_wrench import side_wrench
from shellcheck_earth.safety.blocks.reserve import dead_problem

from .plain_dome import plain_dome
from .second_blocks import BEARING, CUTS, DEPTH, Assembly, Hole, Small, Touch, Vec
from .table import Check

__all__ = [
    "BAND",
    "DESIGNS",
    "OPEN_TOPS",
    "OUTSIDE",
    "SIDES",
    "as_case",
    "as_design",
    "bounded",
    "checks",
    "held",
    "pushed",
]

SIDES = 12
OUTSIDE = 1 / math.cos(math.pi / SIDES)
BAND = 0.045
"""How far above and below the tool's reserve the second programme is asked: a little over the width of its pyramids."""


@cache
def _quadrature() -> tuple[Vec, Vec]:
    x, w = np.polynomial.legendre.leggauss(48)
    return x, w


def _lever(a: float, b: float) -> float:
    """Mean distance of the points of a rectangle from its centre, by quadrature (no formula shared with the tool)."""
    x, w = _quadrature()
    X, Y = np.meshgrid((x + 1) * a / 4, (x + 1) * b / 4)
    return float((np.hypot(X, Y) * np.outer(w, w)).sum() / 4)


@dataclass(frozen=True)
class _Frame:
    """A face's points (4, 3), middle, unit normal into the upper piece, two unit tangents, and lever."""

    points: Vec
    middle: Vec
    normal: Vec
    tangents: tuple[Vec, Vec]
    lever: float


def _frame(face: Touch, towards: Vec) -> _Frame:
    (a0, a1), (b0, b1) = face.edges
    middle, e = (a0 + a1 + b0 + b1) / 4, (a1 - a0) + (b1 - b0)
    normal = np.cross(e, (b0 + b1) - (a0 + a1))
    normal /= np.linalg.norm(normal) * (1.0 if (towards - middle) @ normal > 0 else -1.0)
    e /= np.linalg.norm(e)
    pairs = [(a0 + s * (a1 - a0), b0 + s * (b1 - b0)) for s in (0.25, 0.75)]
    wide = max(float(np.linalg.norm(np.cross(e, b - a))) for a, b in pairs)
    length = min(float(np.linalg.norm(a1 - a0)), float(np.linalg.norm(b1 - b0)))
    points = np.array([point for pair in pairs for point in pair])
    return _Frame(points, middle, normal, (e, np.cross(normal, e)), _lever(length, wide))


def bounded(model: Assembly, live: Vec, most: float, widened: float) -> float | None:
    """Largest multiple of the live load (n, 6), at most `most`; None when not even the dead load is held."""
    from scipy.optimize import linprog
    from scipy.sparse import coo_array

    turn = 2 * np.pi * np.arange(SIDES) / SIDES
    rows, columns, values, twists = [], [], [], []
    for k, face in enumerate(model.touches):
        frame, mu = _frame(face, model.pieces[face.upper].centre), face.friction * widened
        slip = mu * (np.outer(np.cos(turn), frame.tangents[0]) + np.outer(np.sin(turn), frame.tangents[1]))
        force = np.tile(frame.normal + slip, (4, 1))
        place = np.repeat(frame.points, SIDES, axis=0)
        column = 4 * SIDES * k + np.arange(4 * SIDES)
        for block, sign in ((face.upper, 1.0), (face.lower, -1.0)):
            if block >= 0:
                moment = np.cross(place - model.pieces[block].centre, force)
                values.append(sign * np.hstack([force, moment]).ravel())
                rows.append(np.tile(6 * block + np.arange(6), 4 * SIDES))
                columns.append(np.repeat(column, 6))
        twist = np.cross(place - frame.middle, np.tile(slip, (4, 1))) @ frame.normal
        twists.append(np.concatenate([twist - mu * frame.lever, -twist - mu * frame.lever]))
    n, points = len(model.pieces), 4 * SIDES * len(model.touches)
    rows.append(np.arange(6 * n))
    columns.append(np.full(6 * n, points))
    values.append(live.ravel())
    at = (np.concatenate(rows), np.concatenate(columns))
    balance = coo_array((np.concatenate(values), at), shape=(6 * n, points + 1)).tocsr()
    per_face = 4 * SIDES * np.arange(len(twists))[:, None] + np.tile(np.arange(4 * SIDES), 2)
    which = np.repeat(np.arange(2 * len(twists)), 4 * SIDES)
    turning = coo_array(
        (np.concatenate(twists), (which, per_face.ravel())), shape=(2 * len(twists), points + 1)
    ).tocsr()
    right = np.zeros((n, 6))
    right[:, 2] = [piece.weight for piece in model.pieces]
    cost = np.zeros(points + 1)
    cost[-1] = -1.0
    ranges = [(0.0, None)] * points + [(0.0, most)]
    answer = linprog(cost, turning, np.zeros(2 * len(twists)), balance, right.ravel(), ranges, method="highs-ipm")
    return float(answer.x[-1]) if answer.status == 0 else None


def pushed(dome: Small, gamma: float, share: float) -> tuple[float, float]:
    """(from below, from above): how many times a push of a share of the weight to bearing 0 is held; 0 for none."""
    found = []
    for widened in (1.0, OUTSIDE):
        model = Assembly(dome, 1.0, gamma)
        live = np.zeros((len(model.pieces), 6))
        live[:, 1] = [share * piece.weight for piece in model.pieces]
        found.append(bounded(model, live, 100.0, widened) or 0.0)
    return found[0], found[1]


def held(dome: Small, gamma: float, q: float, *, outside: bool) -> bool:
    """Whether the dead load is held with friction and beds divided by q, by pyramids in the cones or around them."""
    model = Assembly(dome, q, gamma)
    live = np.zeros((len(model.pieces), 6))
    live[:, 2] = [-piece.weight for piece in model.pieces]
    return bounded(model, live, 0.05, OUTSIDE if outside else 1.0) is not None


def _small(diameter: float, *holes: Hole, friction: float = 0.7, crown: float = 0.30, height: float = 0.20) -> Small:
    return Small(diameter, 0.40, height, friction, holes, crown)


DESIGNS: tuple[tuple[str, Small], ...] = (
    ("door 0.15 of the diameter, pointed", _small(2.0, Hole(0.0, 0.0, 0.30, 0.8, "pointed"))),
    ("door 0.25, pointed, turned by 17 deg", _small(2.0, Hole(0.3, 0.0, 0.5, 0.95, "pointed"))),
    ("door 0.30, round", _small(2.0, Hole(0.0, 0.0, 0.6, 0.9, "round"))),
    ("door 0.30, lintel", _small(2.0, Hole(0.0, 0.0, 0.6, 1.0, "lintel"))),
    ("door 0.40, pointed", _small(2.0, Hole(0.1, 0.0, 0.8, 1.0, "pointed"), friction=0.8)),
    ("high window 0.20, round", _small(2.0, Hole(2.0, 0.6, 0.4, 0.5, "round"))),
    ("high window 0.20, lintel", _small(2.0, Hole(2.0, 0.6, 0.4, 0.6, "lintel"))),
    (
        "two windows 0.20, a jamb of 0.6 m between them",
        _small(2.0, Hole(0.0, 0.6, 0.4, 0.45, "pointed"), Hole(1.21, 0.6, 0.4, 0.5, "round")),
    ),
    (
        "door 0.25 and four windows 0.15",
        _small(
            2.0,
            Hole(0.0, 0.0, 0.5, 0.9, "pointed"),
            *(Hole(2 * math.pi * k / 5, 0.6, 0.3, 0.5, "round") for k in range(1, 5)),
        ),
    ),
    (
        "door 0.25, round, and window 0.2, lintel",
        _small(2.0, Hole(0.0, 0.0, 0.5, 0.9, "round"), Hole(math.pi, 0.6, 0.4, 0.6, "lintel")),
    ),
)
"""What the range of validity (`values.toml`, blocks.range) rests on: openings up to 0.4 of the diameter, each head."""

OPEN_TOPS: tuple[tuple[str, Small], ...] = (
    (
        "open top, door 0.25, pointed, its head at 0.79 of what stands",
        _small(2.0, Hole(0.3, 0.0, 0.5, 0.95, "pointed"), crown=1.4),
    ),
    (
        "open top, door 0.30, lintel, its head at 0.83 of what stands",
        _small(2.0, Hole(0.0, 0.0, 0.6, 1.0, "lintel"), crown=1.4),
    ),
    (
        "open top, window 0.20, round, its head at 0.79 of what stands",
        _small(2.0, Hole(2.0, 0.6, 0.4, 0.5, "round"), crown=1.0),
    ),
    (
        "open top, door 0.40, lintel, its head at 0.88 of what stands",
        _small(2.0, Hole(0.0, 0.0, 0.8, 1.4, "lintel"), crown=0.7, friction=0.8),
    ),
    (
        "open top, door 0.40, round, its head at 0.85 of what stands",
        _small(2.4, Hole(0.3, 0.0, 0.96, 1.675, "round"), crown=0.9, friction=0.8, height=0.22),
    ),
    (
        "open top, door 0.34, round, its head at 0.86 of what stands",
        _small(2.8, Hole(0.3, 0.0, 0.96, 1.9, "round"), crown=0.9, friction=0.8, height=0.22),
    ),
    (
        "open top, door 0.40, pointed, its head at 0.87 of what stands",
        _small(3.2, Hole(0.3, 0.0, 1.28, 2.3, "pointed"), crown=1.1, friction=0.8, height=0.22),
    ),
    (
        "open top, two windows 0.20, a jamb of 0.6 m between them",
        _small(2.0, Hole(0.0, 0.6, 0.4, 0.45, "pointed"), Hole(1.21, 0.6, 0.4, 0.5, "round"), crown=1.2),
    ),
    (
        "open top, door 0.25 and four windows 0.15",
        _small(
            2.0,
            Hole(0.0, 0.0, 0.5, 0.9, "pointed"),
            *(Hole(2 * math.pi * k / 5, 0.6, 0.3, 0.5, "round") for k in range(1, 5)),
            crown=1.2,
        ),
    ),
)
"""As where forms come out of a dome that is being built, or what stands of it is asked: heads near the last ring. The
range of open tops (`head_over_open_top`) rests on these."""


def as_design(small: Small) -> Design:
    plain = plain_dome(small.height, small.friction, small.crown)
    openings = tuple(
        Opening(
            "door" if hole.sill == 0.0 else "window", hole.bearing, hole.sill, hole.width, hole.height, hole.head,
            head_depth=DEPTH, lintel_bearing=BEARING,
        )
        for hole in small.holes
    )  # fmt: skip
    dome = replace(plain.dome, inside_diameter=small.diameter, pivot_beyond_inner_face=small.width)
    wall = replace(plain.wall, filled_width=small.width, edge_rounding=small.rounding)
    return replace(plain, dome=dome, wall=wall, openings=openings)


def as_case(design: Design) -> Case:
    """The finished dome of fill that never crushes."""
    case = dead_cases(build_dome(design))[0]
    return replace(case, states=tuple(replace(state, strength=1e7, strength_wet=1e7) for state in case.states))


def _ours(small: Small) -> tuple[float, float, float]:
    """The tool's (multiple of a push of a tenth of the weight, overall reserve, unit weight [kN/m3])."""
    design = as_design(small)
    dome, case = build_dome(design), as_case(design)
    layout = cut_blocks(dome, CUTS)
    gamma = case.states[0].parts[0].unit_weight
    push = SideLoad("push", "push", "earthquake", 0.0, 0.1, "earthquake")
    times = solve_cone(assemble(block_problem(dome, case, layout, side_wrench(dome, case, layout, push)))).multiplier
    low, high = 0.25, 6.0
    while high > low * 1.005:
        middle = math.sqrt(low * high)
        low, high = (
            (middle, high) if solve_cone(assemble(dead_problem(dome, case, layout, middle))).solved else (low, middle)
        )
    return times, low, gamma


def checks() -> list[Check]:
    out = []
    source = f"second programme, own geometry and equilibrium, pyramids of {SIDES} rays in and around the cones"
    for name, small in (*DESIGNS, *OPEN_TOPS):
        times, reserve, gamma = _ours(small)
        low, high = pushed(small, gamma, 0.1)
        why = "between the bounds of the pyramids"
        half = (high - low) / 2 if 0.0 < low <= high else 0.0
        out.append(
            Check(
                f"{name}: push of 0.1 of the weight",
                source,
                "computed",
                None,
                times,
                half + 1e-6,
                why,
                (low + high) / 2,
            )
        )
        # The second programme holds a little less and does not hold a little more, or its number is none.
        least = reserve * (1 - BAND) if held(small, gamma, reserve * (1 - BAND), outside=False) else 0.0
        most = math.inf if held(small, gamma, reserve * (1 + BAND), outside=True) else reserve * (1 + BAND)
        why = f"held by the pyramids inside at {1 - BAND:g}, not by those outside at {1 + BAND:g} of it"
        out.append(
            Check(
                f"{name}: overall reserve",
                source,
                "computed",
                None,
                reserve,
                BAND * reserve + 1e-9,
                why,
                (least + most) / 2,
            )
        )
    return out
