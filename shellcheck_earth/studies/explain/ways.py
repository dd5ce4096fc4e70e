"""A dome weakened step by step until no thrust line is left: a thinner wall, less friction, less wire; and how it
then gives way.

The inner face (the compass line), the course height and the pivot's distance beyond the inner face are held while the
wall is thinned, so that only the width changes; a pivot "on the outer face" stays where it was. Friction and wire are
scaled in all beds alike.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from functools import cache, partial
from typing import Literal

from shellcheck_earth.design.design import Design
from shellcheck_earth.geometry.courses import Course, Dome, build_dome
from shellcheck_earth.loads.cases import Case, dead_cases
from shellcheck_earth.mechanics.rings.admissible import AVAILABLE, Scales, failing_bed, pack
from shellcheck_earth.mechanics.rings.collapse import Collapse, collapse
from shellcheck_earth.mechanics.rings.discretise import cut_lune
from shellcheck_earth.mechanics.rings.lune import Lune
from shellcheck_earth.mechanics.rings.thrust_band import ThrustBand, thrust_band
from shellcheck_earth.safety.untested import with_number
from shellcheck_earth.studies.parts import Parts, kept_or_made

__all__ = ["KINDS", "Kind", "Outcome", "Step", "Way", "least_width", "silent", "ways", "weakened"]

Kind = Literal["wall", "friction", "wire", "friction without wire"]
KINDS: tuple[Kind, ...] = ("wall", "friction", "wire", "friction without wire")

Outcome = Literal["falls", "never falls", "rises", "never stands"]
"""falls: a line as designed, none past an edge below; never falls: a line even with nothing left; rises: no line as
designed, one past an edge above; never stands: none however much there is."""

SCAN = 24
"""Steps of the walk that looks for the first change, before the edge between two of them is bisected."""

MOST = 8.0
"""No more than this many times the designed friction or wire is tried, and half of it for the wall."""

CLOSE = 1e-10

LAST = 2e-4
"""The last dome that stands is drawn this share of the designed value before the edge, where its band still has some
width.
"""


@dataclass(frozen=True)
class Step:
    """One dome of the series. `share`: of the designed value; `value`: wall width [m], friction [-] or wire tension
    [kN].

    `courses` top first, as many as stand in the case; `band` ends above the bed that no path crosses where there is
    no line;
    `failing_course` is then the course over that bed.
    """

    share: float
    value: float
    stands: bool
    courses: tuple[Course, ...]
    band: ThrustBand
    failing_course: int | None


@dataclass(frozen=True)
class Way:
    """One capacity taken away in one case. `edge`: (the last value with a line, the first without one), None where
    there is no edge.

    `collapse`: how it gives way at the edge (or as it is, where it does not stand as designed); `collapsed`: the
    courses it is drawn on, top first, and the value they have. `governing`: the counted case that loses its line first,
    not the finished dry dome.
    """

    kind: Kind
    case_id: str
    case_title: str
    designed: float
    outcome: Outcome
    edge: tuple[float, float] | None
    steps: tuple[Step, ...]
    collapse: Collapse | None
    collapsed: tuple[Course, ...]
    collapsed_value: float
    governing: bool

    @property
    def factor(self) -> float | None:
        """Designed value over the least that leaves a line."""
        return None if self.edge is None or self.edge[0] <= 0 else self.designed / self.edge[0]


@dataclass(frozen=True)
class _Dome:
    """One dome of a family, in one case."""

    case: Case
    dome: Dome
    lune: Lune
    scales: Scales

    @property
    def bed(self) -> int:
        return failing_bed(pack(self.lune), self.scales)


def least_width(design: Design) -> float:
    """Wall width [m] under which some bed has no width left: the largest step-in and both rounded edges."""
    steps = [abs(course.step_in) for course in build_dome(design).courses]
    return max(steps) + 2 * design.wall.edge_rounding


def weakened(design: Design, kind: Kind, share: float) -> tuple[Design, Scales]:
    """The design and the scales with a share of one capacity, everything else as designed."""
    if kind == "wall":
        return with_number(design, "wall.filled_width", share * design.wall.filled_width), AVAILABLE
    if kind == "friction":
        return design, Scales(friction=share)
    if kind == "wire":
        return design, Scales(wire=share)
    return design, Scales(friction=share, wire=0.0)


def silent(done: int, of: int) -> None:
    """Says nothing of how far the work is."""
    del done, of


class _Family:
    """All counted cases of a design at every share of one capacity."""

    def __init__(self, design: Design, kind: Kind) -> None:
        self.design, self.kind = design, kind
        self.cut = cache(self._cut)

    def _cut(self, width: float) -> dict[str, tuple[Case, Dome, Lune]]:
        design = with_number(self.design, "wall.filled_width", width)
        dome = build_dome(design)
        return {case.id: (case, dome, cut_lune(dome, case)) for case in explained_cases(dome)}

    def dome(self, share: float, case_id: str) -> _Dome:
        design, scales = weakened(self.design, self.kind, share)
        return _Dome(*self.cut(design.wall.filled_width)[case_id], scales)

    def failing(self, share: float, ids: tuple[str, ...]) -> tuple[str, ...]:
        """The cases among `ids` that have no thrust line."""
        return tuple(one for one in ids if self.dome(share, one).bed >= 0)

    def value(self, share: float, case_id: str) -> float:
        if self.kind == "wall":
            return share * self.design.wall.filled_width
        if self.kind == "wire":
            return share * self.design.beds.wire_tension
        return share * float(self.dome(1.0, case_id).lune.friction.max())

    @property
    def least(self) -> float:
        """Share under which nothing is tried: no bed left, or nothing of the capacity."""
        return least_width(self.design) / self.design.wall.filled_width * (1 + 1e-9) if self.kind == "wall" else 0.0

    @property
    def most(self) -> float:
        return MOST / 2 if self.kind == "wall" else MOST


def _walk(family: _Family, *, up: bool) -> Iterator[float]:
    for step in range(1, SCAN + 1):
        if up:
            yield family.most ** (step / SCAN)
        else:
            yield 1.0 + (family.least - 1.0) * step / SCAN


def _edge(family: _Family, ids: tuple[str, ...], *, up: bool) -> tuple[float, float] | None:
    """(share with a line, share without) next to each other, nearest to the design; None where nothing changes."""
    before = 1.0
    for share in _walk(family, up=up):
        if bool(family.failing(share, ids)) != up:
            stands, fails = (share, before) if up else (before, share)
            while abs(stands - fails) > CLOSE * max(stands, fails):
                middle = (stands + fails) / 2
                if middle in (stands, fails):
                    break
                if family.failing(middle, ids):
                    fails = middle
                else:
                    stands = middle
            return stands, fails
        before = share
    return None


def _step(family: _Family, share: float, case_id: str) -> Step:
    dome = family.dome(share, case_id)
    courses = dome.dome.up_to(dome.case.stage)[::-1]
    band = thrust_band(dome.lune, dome.scales)
    course = int(dome.lune.number[band.failing]) if band.failing >= 0 else None
    return Step(share, family.value(share, case_id), band.failing < 0, courses, band, course)


def _shares(outcome: Outcome, edge: tuple[float, float] | None, family: _Family) -> list[float]:
    """Six domes: evenly on the way to the edge, the last that stands (or the first), and the one past it."""
    if edge is None:
        top = 1.0 if outcome == "never falls" else family.most
        low = family.least if outcome == "never falls" else 1.0
        return sorted((low + (top - low) * k / 5 for k in range(6)), reverse=outcome == "never falls")
    stands, fails = edge
    if outcome == "falls":
        last = min(stands + LAST, 1.0)
        return [*(1.0 + (last - 1.0) * k / 4 for k in range(5)), max(fails - LAST, family.least)]
    return [*(1.0 + (fails - 1.0) * k / 4 for k in range(4)), stands + LAST, stands * 1.1]


def _gives_way(family: _Family, share: float, case_id: str) -> Collapse | None:
    """The mechanism just past the edge: the programme's own tolerance may call the very edge a line still."""
    for past in (0.0, 1e-9, 1e-7, 1e-5):
        dome = family.dome(max(share - past, family.least), case_id)
        found = collapse(dome.lune, dome.scales)
        if found is not None:
            return found
    return None


def _way(family: _Family, ids: tuple[str, ...], parts: Parts | None, *, governing: bool) -> Way:
    failing = family.failing(1.0, ids)
    number = 2 * KINDS.index(family.kind) + governing
    edge = kept_or_made(parts, number, tuple[float, float] | None, partial(_edge, family, ids, up=bool(failing)))
    with_edge: Outcome = "rises" if failing else "falls"
    without: Outcome = "never stands" if failing else "never falls"
    outcome = without if edge is None else with_edge
    past = edge[1] if edge is not None else family.most if failing else 1.0
    case_id = (family.failing(past, ids) or failing or ids)[0]
    at = edge[1] if outcome == "falls" and edge is not None else 1.0
    steps = tuple(_step(family, share, case_id) for share in _shares(outcome, edge, family))
    dome = family.dome(at, case_id)
    return Way(
        kind=family.kind,
        case_id=case_id,
        case_title=dome.case.title,
        designed=family.value(1.0, case_id),
        outcome=outcome,
        edge=None if edge is None else (family.value(edge[0], case_id), family.value(edge[1], case_id)),
        steps=steps,
        collapse=None if outcome == "never falls" else _gives_way(family, at, case_id),
        collapsed=dome.dome.up_to(dome.case.stage)[::-1],
        collapsed_value=family.value(at, case_id),
        governing=governing,
    )


def explained_cases(dome: Dome) -> list[Case]:
    """The cases a lesson looks at: what counts, dry and damp, with its wire. Rain, soaking and lost wire are stories of
    their own, which `check` tells."""
    return [case for case in dead_cases(dome) if case.counts and case.wetting == "none" and not case.only]


def ways(design: Design, told: Callable[[int, int], None] = silent, parts: Parts | None = None) -> tuple[Way, ...]:
    """For each capacity the finished dry dome and, where another counted case loses its line first, that case too.

    Without wire only the wall and the friction; "friction without wire" only where the dome stands with no wire at all,
    so that the last of the series always shows what gives way when the wire is gone. UndecidedError when a programme
    does not answer.
    """
    ids = tuple(case.id for case in explained_cases(build_dome(design)))
    wired = design.beds.wire_tension > 0
    out: list[Way] = []
    for index, kind in enumerate(KINDS):
        told(index, len(KINDS))
        if (kind.endswith("wire") and not wired) or (
            kind == "friction without wire" and _of(out, "wire").outcome != "never falls"
        ):
            continue
        family = _Family(design, kind)
        dry = _way(family, ("finished-dry",), parts, governing=False)
        first = _way(family, ids, parts, governing=True)
        out += [dry] if first.case_id == "finished-dry" else [dry, first]
    return tuple(out)


def _of(found: list[Way], kind: Kind) -> Way:
    return next(way for way in found if way.kind == kind)
