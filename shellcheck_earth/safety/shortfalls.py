"""Does a design meet its criteria, yes or no: the same questions as the margins, each asked once, at what is required.

The margins search for the edge of every capacity; here each check is asked only at the capacity the criteria leave. It
costs a fortieth, so ranges and sweeps over many designs can afford it, and a test holds it equal to the margins.
"""

from __future__ import annotations

import itertools
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass

from shellcheck_earth.design.design import Design
from shellcheck_earth.geometry.courses import Dome
from shellcheck_earth.loads.cases import Case
from shellcheck_earth.loads.model import build, build_model, counted_from_top
from shellcheck_earth.mechanics.rings.admissible import pack
from shellcheck_earth.mechanics.rings.capacity import base_state
from shellcheck_earth.mechanics.rings.discretise import cut_lune
from shellcheck_earth.mechanics.rings.lune import Lune
from shellcheck_earth.safety.checks import GROUND, Question, combined_questions, plain_questions
from shellcheck_earth.safety.ground import ground_demand, ground_of, spread_of
from shellcheck_earth.safety.together import all_hold, ground_limit

__all__ = ["Shortfall", "case_shortfalls", "meets_all", "shortfalls"]


@dataclass(frozen=True)
class Shortfall:
    """A check of a counted case that falls short; `course` is the bed that fails first."""

    case_id: str
    check: str
    course: int | None


def _ground_short(dome: Dome, case: Case, lune: Lune) -> list[Shortfall]:
    base = base_state(pack(lune))
    lowest = int(lune.number[-1])
    if base is None:
        return [Shortfall(case.id, check.key, lowest) for check in GROUND]
    required, ground, demand = (
        dome.design.criteria.required,
        ground_of(dome, case),
        ground_demand(lune, base, spread_of(dome, case, lune)),
    )
    pairs = zip(GROUND, (demand.friction, demand.edge_stress), (ground.friction, ground.bearing), strict=True)
    return [Shortfall(case.id, check.key, lowest) for check, asked, has in pairs if asked * required[check.key] > has]


def _short(case: Case, questions: Iterable[Question]) -> Iterator[Shortfall]:
    for question in questions:
        bed = question.failing()
        if bed >= 0:
            yield Shortfall(case.id, question.label, int(question.lune.number[bed]))


def _all_met(dome: Dome, case: Case, lune: Lune, plain: Sequence[Question]) -> bool:
    """One question that says yes where every check with the loads as they are is met, the ground's too."""
    required = dome.design.criteria.required
    sliding, bearing = (required[check.key] for check in GROUND)
    ground = None if case.only else ground_limit(dome, case, lune, sliding, bearing)
    return all_hold(lune, [question.scales for question in plain], ground)


def case_shortfalls(dome: Dome, case: Case, *, first: bool = False) -> list[Shortfall]:
    """The checks of one case that fall short; `first` stops at the first one."""
    lune = cut_lune(dome, case)
    plain = tuple(plain_questions(dome, case, lune))
    met = _all_met(dome, case, lune, plain)
    asked = itertools.chain(() if met else plain, combined_questions(dome, case, lune))
    out = list(itertools.islice(_short(case, asked), 1 if first else None))
    if met or case.only or (first and out):
        return out
    return out + _ground_short(dome, case, lune)


def shortfalls(design: Design, *, first: bool = False) -> list[Shortfall]:
    """All shortfalls of the counted cases of a design (or the first). UnbuildableError where it cannot be built."""
    if not first:
        model = build_model(design)
        return [one for case in model.counted for one in case_shortfalls(model.dome, case)]
    # The last stages and the finished dome fail first where anything fails: looked at first when one is enough.
    dome = build(design)
    for case in counted_from_top(dome):
        short = case_shortfalls(dome, case, first=True)
        if short:
            return short
    return []


def meets_all(design: Design) -> bool:
    """True when every counted margin of the ring-symmetric check meets what the criteria require."""
    return not shortfalls(design, first=True)
