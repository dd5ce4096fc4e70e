"""Domes with openings whose outer band rain has wetted, as blocks a second time.

Geometry, equilibrium and solution are those of `second_block_programme`; the two parts of a wet bed, and how far joints
and heads reach, are derived here from STATEMENT.md, section 12. As there, friction pyramids inside and around the cones
bound the reserve; crushing and wire take no part. Units: m, kN.
"""

from __future__ import annotations

import math
from dataclasses import replace
from typing import Any

import numpy as np

from shellcheck_earth.geometry.blocks import cut_blocks
from shellcheck_earth.geometry.courses import build_dome
from shellcheck_earth.loads.cases import Case
from shellcheck_earth.mechanics.blocks.conic import solve_cone
from shellcheck_earth.mechanics.blocks.rows import assemble
from shellcheck_earth.safety.blocks.reserve import dead_problem

from .second_block_programme import BAND, DESIGNS, OPEN_TOPS, OUTSIDE, SIDES, as_case, as_design, bounded
from .second_blocks import CUTS, Assembly, Small, Touch, Vec, place
from .table import Check

__all__ = ["checks"]

WET = 0.55
"""Friction of what is wet, as a share of what is dry."""
TRIED = ((DESIGNS[1], 0.10), (DESIGNS[1], 0.18), (DESIGNS[-1], 0.14), (OPEN_TOPS[1], 0.12), (OPEN_TOPS[2], 0.15))
"""A dome, and how wide the band is that is wet on every course [m]."""


class _Wet(Assembly):
    """Dry up to so far from the outer face, slicker beyond, where no joint and no head is counted."""

    def __init__(self, dome: Small, q: float, unit_weight: float, band: float) -> None:
        self.band = band
        super().__init__(dome, q, unit_weight)

    def _upright(self, course: int, upper: int, lower: int, bearing: float) -> None:
        a, low, h = self.r[course], course * self.d.height, self.d.height
        ends = [np.array([place(x, bearing, z) for x in (a, a + self.d.width - self.band)]) for z in (low, low + h)]
        edges = [self._thin(end) for end in ends]
        self.touches.append(Touch(upper, lower, (edges[0], edges[1]), self.d.friction / self.q))

    def _leaning(
        self, course: int, bearing: float, upper: int, lower: int | None, ends: Any, radii: tuple[float, float]
    ) -> None:
        super()._leaning(course, bearing, upper, lower, ends, (radii[0], radii[1] - self.band))

    def _bed(self, course: int, i: int, j: int, start: float, end: float) -> None:
        near, t = self.r[max(course - 1, 0)], self.d.width
        a, b = max(self.r[course], near) + self.d.rounding, min(self.r[course], near) + t - self.d.rounding
        middle, wet = (a + b) / 2, min(self.r[course], near) + t - self.band
        a, b = middle - (middle - a) / self.q, middle + (b - middle) / self.q
        half, turn = (end - start) / 2, (start + end) / 2
        out, along = place(1.0, turn, 0.0), np.array([math.cos(turn), -math.sin(turn), 0.0])
        level = np.array([0.0, 0.0, course * self.d.height])
        for first, last, share in ((a, min(max(wet, a), b), 1.0), (min(max(wet, a), b), b, WET)):
            x, y, reach = first, last * math.cos(half), first * math.tan(half)
            if y - x < 1e-4:
                continue
            edges = [np.array([out * r - along * reach + level, out * r + along * reach + level]) for r in (x, y)]
            friction = share * self.d.friction / self.q * math.sin(half) / half
            self.touches.append(Touch(i, j, (edges[0], edges[1]), friction))


def _held(dome: Small, gamma: float, q: float, band: float, *, outside: bool) -> bool:
    model = _Wet(dome, q, gamma, band)
    live: Vec = np.zeros((len(model.pieces), 6))
    live[:, 2] = [-piece.weight for piece in model.pieces]
    return bounded(model, live, 0.05, OUTSIDE if outside else 1.0) is not None


def _rained(case: Case, dome: Any, band: float) -> Case:
    """The case with the band wet on every course, and no water's weight."""
    states = tuple(
        replace(
            state,
            wet_from=course.outer_radius - band,
            ring_to=course.outer_radius - band,
            friction_wet=WET * state.friction,
        )
        for course, state in zip(dome.courses, case.states, strict=True)
    )
    return replace(case, kind="rain", wetting="rain", states=states)


def checks() -> list[Check]:
    """The tool's reserve between what the second programme holds inside its pyramids and does not outside them."""
    out = []
    source = f"second programme, parts of a wet bed of its own, pyramids of {SIDES} rays in and around the cones"
    for (name, small), band in TRIED:
        design = as_design(small)
        dome, dry = build_dome(design), as_case(design)
        case, layout, gamma = _rained(dry, dome, band), cut_blocks(dome, CUTS), dry.states[0].parts[0].unit_weight
        low, high = 0.25, 6.0
        while high > low * 1.005:
            q = math.sqrt(low * high)
            low, high = (q, high) if solve_cone(assemble(dead_problem(dome, case, layout, q))).solved else (low, q)
        least = low * (1 - BAND) if _held(small, gamma, low * (1 - BAND), band, outside=False) else 0.0
        most = math.inf if _held(small, gamma, low * (1 + BAND), band, outside=True) else low * (1 + BAND)
        why = f"held by the pyramids inside at {1 - BAND:g}, not by those outside at {1 + BAND:g} of it"
        named = f"{name}, {1000 * band:.0f} mm wet: overall reserve"
        out.append(Check(named, source, "computed", None, low, BAND * low + 1e-9, why, (least + most) / 2))
    return out
