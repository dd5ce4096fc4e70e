"""Where the rings are cut: meridians that start from the openings, so that no answer depends on where north is.

Centre line and widest jambs of every opening, the edges of every buttress and of every load at one bearing, and where
earth on one side ends, are meridians; the fields between them are divided evenly. Finer cuts divide each field of the
coarsest further: they add joints and move none, so that a refinement has a limit.
"""

from __future__ import annotations

import itertools
import math

from shellcheck_earth.geometry.bearing_loads import bearing_half
from shellcheck_earth.geometry.courses import Dome
from shellcheck_earth.geometry.heads import head_ring
from shellcheck_earth.geometry.openings import Interval, buttress_interval, course_cuts
from shellcheck_earth.geometry.ring_loads import course_under

__all__ = ["COARSEST", "meridians", "pieces"]

COARSEST = 18
"""Cuts of a ring from which finer ones that are a multiple of it are refined."""

LEAST_PIECE = 0.4
"""A remainder beside an opening shorter than this share of a cut is joined to its neighbour: slivers spoil the
solver."""

ONE_LINE = 0.10
"""Lines of two openings or buttresses closer than this at the springing [m] are one: the one that matters more."""


def _widest(dome: Dome, index: int) -> float:
    """Half the greatest angle that an opening with its ring of bags takes out of a course [rad]."""
    opening = dome.design.openings[index]
    head = head_ring(dome, opening, len(dome.courses))
    half = [(b - a) / 2 for course in dome.courses for at, (a, b) in course_cuts(dome, course) if at == index]
    if head is not None:
        half += [reach / dome.courses[number].inner_radius for number, reach in head.outline.items()]
    return max(half, default=0.0)


def _features(dome: Dome) -> list[float]:
    """Bearings [rad, 0 to 2 pi, rising] that are meridians whatever the cuts: what matters most keeps its place."""
    openings = dome.design.openings
    wanted = [opening.bearing for opening in openings]
    for index, opening in enumerate(openings):
        half = _widest(dome, index)
        wanted += [opening.bearing - half, opening.bearing + half]
    for buttress in dome.design.buttresses:
        wanted += buttress_interval(dome, buttress)
    for load in dome.design.bearing_loads:
        course = course_under(dome, load.height)
        half = 0.0 if course is None else bearing_half(load, course)
        wanted += [load.bearing - half, load.bearing + half]
    if (earth := dome.design.backfill) is not None and not earth.all_around:
        wanted += [earth.middle - earth.half, earth.middle + earth.half]
    near = ONE_LINE / max(course.inner_radius for course in dome.courses)
    kept: list[float] = []
    for line in wanted:
        if all(abs(math.remainder(line - other, 2 * math.pi)) > near for other in kept):
            kept.append(line)
    return sorted(line % (2 * math.pi) for line in kept)


def _parts(field: float, cuts: int) -> int:
    """Into how many pieces a field [rad] is divided; an even half goes down, whatever rounding left of it."""

    def nearest(count: int) -> int:
        return max(math.floor(field * count / (2 * math.pi) + 0.5 - 1e-9), 1)

    return nearest(COARSEST) * (cuts // COARSEST) if cuts % COARSEST == 0 else nearest(cuts)


def meridians(dome: Dome, cuts: int) -> tuple[float, ...]:
    """Bearings of the cuts [rad, 0 to 2 pi, rising], about `cuts` of them."""
    features = _features(dome)
    if not features:
        return tuple(2 * math.pi * k / cuts for k in range(cuts))
    lines = []
    for a, b in itertools.pairwise([*features, features[0] + 2 * math.pi]):
        parts = _parts(b - a, cuts)
        lines += [(a + (b - a) * k / parts) % (2 * math.pi) for k in range(parts)]
    return tuple(sorted(lines))


def pieces(start: float, end: float, lines: tuple[float, ...], cuts: int) -> list[Interval]:
    """A stretch of wall [rad] cut at the meridians, without slivers at its ends."""
    inside = [line + turn for turn in (0.0, 2 * math.pi, 4 * math.pi) for line in lines]
    ends = [start, *(line for line in inside if start + 1e-12 < line < end - 1e-12), end]
    least = LEAST_PIECE * 2 * math.pi / cuts
    if len(ends) > 2 and ends[1] - ends[0] < least:
        del ends[1]
    if len(ends) > 2 and ends[-1] - ends[-2] < least:
        del ends[-2]
    return list(itertools.pairwise(ends))
