"""The joint question of blocks a second time: wind, one worker, a beam at one bearing and earth on one side, every
capacity divided at once, on two domes.

Geometry, equilibrium and solution are those of `second_block_programme`; the loads on every piece are derived here from
STATEMENT.md, equations (20), (22) and (23), with nothing of the tool's `side_wrench` and `handed_wrench`. As there,
friction pyramids inside and around the cones bound what is held, and the tool must lie between; crushing and wire take
no part. Units: m, kN, kPa.
"""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np

from shellcheck_earth.design.design import Backfill, BearingLoad
from shellcheck_earth.geometry.blocks import cut_blocks
from shellcheck_earth.geometry.courses import Dome, build_dome
from shellcheck_earth.geometry.layout import Layout
from shellcheck_earth.loads.cases import Case, carrying
from shellcheck_earth.loads.joint import GroundLimits, Row
from shellcheck_earth.loads.ring_loads import block_states
from shellcheck_earth.loads.side_loads import SideLoad
from shellcheck_earth.mechanics.blocks.assembly import block_problem
from shellcheck_earth.mechanics.blocks.conic import solve_cone
from shellcheck_earth.mechanics.blocks.faces import Shares
from shellcheck_earth.mechanics.blocks.rows import assemble
from shellcheck_earth.mechanics.blocks.side_wrench import side_wrench
from shellcheck_earth.mechanics.blocks.weights import block_weights, handed_wrench

from .second_block_programme import DESIGNS, OUTSIDE, SIDES, as_case, as_design, bounded
from .second_blocks import CUTS, Assembly, Small, Vec, place
from .table import Check

__all__ = ["checks"]

PRESSURE, LEE, INSIDE = 0.6, -0.5, 0.55
WORKER, STANCE = 1.5, 0.6
BEAM, PUSH, BEARS, PLACE, COURSE = 1.2, 0.5, 0.3, 0.25, -4
"""Weight and thrust outward [kN] of a beam, its width, how far from the inner face it bears [m], and the course on top
of which it bears, counted from the top."""
EARTH, SIDE, DEPTH, RELIED_ON = 18.0, 1.1, 0.5, 0.53
"""Unit weight of earth on one side [kN/m3], half its angle [rad], its height [m], the share of it that is relied on."""
GROUND = 0.5
MOST = 200.0
TRIED = (DESIGNS[1], DESIGNS[-1])
LOADS = (
    ("wind", 0.0, 1.1),
    ("wind, even to 25 deg", math.pi / 2, 1.1),
    ("worker", 0.3, 1.25),
    ("beam", 1.7, 1.25),
    ("earth on one side", 2.4, 1.25),
)
"""Kind, bearing it pushes to or is over [rad], what every capacity is divided by."""


class _Loaded(Assembly):
    """With the ground's friction under the lowest course, and how far round each bag reaches."""

    def __init__(self, dome: Small, q: float, unit_weight: float) -> None:
        super().__init__(dome, q, unit_weight)
        least = min(GROUND / dome.friction, 1.0)
        self.touches = [
            replace(touch, friction=touch.friction * (least if touch.lower < 0 else 1.0)) for touch in self.touches
        ]

    def _bag(self, course: int, bearing: float, outline: list[tuple[float, float]]) -> int:
        number = super()._bag(course, bearing, outline)
        along = [u / self.r[course] for u, _ in outline]
        self.pieces[number].start, self.pieces[number].end = bearing + min(along), bearing + max(along)
        return number

    def wind(self, towards: float, even: float) -> Vec:
        """The pressure on the cone between the outer edges of a course and the next, on each of its pieces; the push
        to windward falls off from a slope on."""
        live, h, t = np.zeros((len(self.pieces), 6)), self.d.height, self.d.width
        for k, piece in enumerate(self.pieces):
            outer = self.r[piece.course] + t
            back = t / 2
            if piece.course + 1 < len(self.r):
                back = max(self.r[piece.course] - self.r[piece.course + 1], 0.0)
            lean, half, middle = math.atan2(back, h), (piece.end - piece.start) / 2, (piece.start + piece.end) / 2
            facing = -math.cos(middle - towards)  # 1: square to where the wind comes from
            up, ahead = math.sin(lean) ** 2, math.sin(lean) ** 2
            if facing >= 0:
                ahead = max(up - math.sin(even) ** 2, 0.0) / math.cos(even) ** 2
            front = (0.8 if facing >= 0 else LEE) * (1 - ahead) - 1.2 * ahead
            pressed = front * facing**2 + (-0.6 * (1 - up) - 1.2 * up) * (1 - facing**2) - INSIDE
            force = PRESSURE * pressed * math.hypot(h, back) * 2 * half * outer
            arc = math.sin(half) / half
            push = force * (-place(math.cos(lean) * arc, middle, 0.0) - np.array([0.0, 0.0, math.sin(lean)]))
            where = place(outer * arc, middle, (piece.course + 0.5) * h)
            live[k] = [*push, *np.cross(where - piece.centre, push)]
        return live

    def worker(self, over: float) -> Vec:
        """His weight over the inner edge of the top ring, spread over 0.6 m of its middle."""
        live, top = np.zeros((len(self.pieces), 6)), len(self.r) - 1
        stance = STANCE / (self.r[top] + self.d.width / 2)
        for k, piece in enumerate(self.pieces):
            if piece.course != top:
                continue
            for turn in (-2 * math.pi, 0.0, 2 * math.pi):
                low, high = max(piece.start + turn, over - stance / 2), min(piece.end + turn, over + stance / 2)
                if high > low:
                    push = np.array([0.0, 0.0, -WORKER * (high - low) / stance])
                    where = place(self.r[top], (low + high) / 2, len(self.r) * self.d.height)
                    live[k] += np.array([*push, *np.cross(where - piece.centre, push)])
        return live

    def beam(self, bearing: float) -> Vec:
        """Its weight and its thrust over its width at the inner face of its course, on top of it; the thrust so that it
        adds up along the bearing."""
        live, on = np.zeros((len(self.pieces), 6)), len(self.r) + COURSE
        half = BEARS / 2 / self.r[on]
        for k, piece in enumerate(self.pieces):
            for turn in (-2 * math.pi, 0.0, 2 * math.pi) if piece.course == on else ():
                low, high = max(piece.start + turn, bearing - half), min(piece.end + turn, bearing + half)
                if high > low:
                    angle, middle = high - low, (low + high) / 2
                    arc = math.sin(angle / 2) / (angle / 2)
                    push = place(PUSH * angle * arc / (2 * math.sin(half)), middle, -BEAM * angle / (2 * half))
                    where = place((self.r[on] + PLACE) * arc, middle, (on + 1) * self.d.height)
                    live[k] += np.array([*push, *np.cross(where - piece.centre, push)])
        return live

    def earth(self, bearing: float) -> Vec:
        """Loose earth of 30 degrees, bare ledges: half of g z over what of each outer face lies behind it."""
        live, h = np.zeros((len(self.pieces), 6)), self.d.height
        for k, piece in enumerate(self.pieces):
            below, above = DEPTH - piece.course * h, max(DEPTH - (piece.course + 1) * h, 0.0)
            for turn in (-2 * math.pi, 0.0, 2 * math.pi) if below > 1e-9 else ():
                low, high = max(piece.start + turn, bearing - SIDE), min(piece.end + turn, bearing + SIDE)
                if high > low:
                    angle, outer = high - low, self.r[piece.course] + self.d.width
                    arc = math.sin(angle / 2) / (angle / 2)
                    force = 0.5 / RELIED_ON * EARTH * (below**2 - above**2) / 2 * outer * angle * arc
                    down = 2 / 3 * (below**3 - above**3) / (below**2 - above**2)
                    push = -place(force, (low + high) / 2, 0.0)
                    where = place(outer * arc, (low + high) / 2, DEPTH - down)
                    live[k] += np.array([*push, *np.cross(where - piece.centre, push)])
        return live


def _even(kind: str) -> float:
    """Slope up to which the windward push does not fall off [rad]."""
    return math.radians(25.0) if "even" in kind else 0.0


def _second(small: Small, gamma: float, kind: str, bearing: float, divided: float) -> tuple[float, float]:
    """(from below, from above): how many times the load is held."""
    found = []
    for widened in (1.0, OUTSIDE):
        model = _Loaded(small, divided, gamma)
        of = {"worker": model.worker, "beam": model.beam, "earth on one side": model.earth}.get(kind)
        live = model.wind(bearing, _even(kind)) if of is None else of(bearing)
        found.append(bounded(model, live, MOST, widened) or 0.0)
    return found[0], found[1]


def _beam(dome: Dome, case: Case, layout: Layout, bearing: float) -> Vec:
    """What the tool hands in of it: as a load of its own, so that the rings are cut as without it."""
    on = len(dome.courses) + COURSE
    height, space = dome.courses[on].z_top, (PLACE, PLACE)
    load = BearingLoad("Beam", bearing, height, BEARS, (BEAM, BEAM), (PUSH, PUSH), space)
    (state,) = block_states(replace(dome, design=replace(dome.design, bearing_loads=(load,))))
    centre, _ = block_weights(dome, case, layout)
    return handed_wrench(carrying(case, state), layout, centre)


def _earth(dome: Dome, case: Case, layout: Layout, bearing: float) -> Vec:
    """What the tool hands in of it, pressing the most with bare ledges; the rings are cut as without it."""
    thirty = math.radians(30.0)
    bank = Backfill(
        DEPTH + dome.base - dome.ground,
        (EARTH, EARTH),
        (thirty, thirty),
        False,
        0.0,
        "",
        bearing - SIDE,
        bearing + SIDE,
    )
    bases = {f"backfill.{key}": "measured" for key in ("unit_weight", "friction_angle")}
    design = replace(dome.design, backfill=bank, bases={**dome.design.bases, **bases})
    centre, _ = block_weights(dome, case, layout)
    return handed_wrench(carrying(case, next(block_states(replace(dome, design=design)))), layout, centre)


def _ours(small: Small, kind: str, bearing: float, divided: float) -> tuple[float, float]:
    """The tool's multiple of the load, and the unit weight of the fill [kN/m3]."""
    design = as_design(small)
    dome, case = build_dome(replace(design, site=replace(design.site, ground_friction=GROUND))), as_case(design)
    # the solver is helped by leaving crushing out at all
    case = replace(case, states=tuple(replace(one, strength=math.inf, strength_wet=math.inf) for one in case.states))
    layout, r = cut_blocks(dome, CUTS), divided
    load = SideLoad("wind", kind, "wind", bearing, PRESSURE, "storm", LEE, INSIDE, _even(kind))
    if kind == "worker":
        load = SideLoad("worker", kind, "worker", bearing, WORKER, "overall reserve")
    handed = {"beam": _beam, "earth on one side": _earth}.get(kind)
    live = side_wrench(dome, case, layout, load) if handed is None else handed(dome, case, layout, bearing)
    shares = Shares.of(Row("", friction=r, strength=r, wire=r, width=r), ground=GroundLimits(GROUND))
    problem = block_problem(dome, case, layout, live, shares=shares, most=MOST)
    return solve_cone(assemble(problem)).multiplier, case.states[0].parts[0].unit_weight


def checks() -> list[Check]:
    out = []
    source = f"second programme, own geometry, loads and equilibrium, pyramids of {SIDES} rays in and around the cones"
    for name, small in TRIED:
        for kind, bearing, divided in LOADS:
            times, gamma = _ours(small, kind, bearing, divided)
            low, high = _second(small, gamma, kind, bearing, divided)
            half = (high - low) / 2 if 0.0 < low <= high else 0.0
            what = f"{name}: {kind} at {math.degrees(bearing):.0f} deg, every capacity divided by {divided:g}"
            why = "between the bounds of the pyramids"
            out.append(Check(what, source, "computed", None, times, half + 1e-6, why, (low + high) / 2))
    return out
