"""Does a design meet its criteria, yes or no: the same questions as the margins, each asked once, at what is required.

The margins search for the edge of every capacity; here each check is asked only at the capacity the criteria leave. It
costs a fortieth, so ranges and sweeps over many designs can afford it, and a test holds it equal to the margins.
"""

from __future__ import annotations

from dataclasses import dataclass

from shellcheck_earth.design.design import Design
from shellcheck_earth.geometry.courses import Dome
from shellcheck_earth.loads.cases import Case
from shellcheck_earth.loads.model import build_model
from shellcheck_earth.mechanics.rings.admissible import pack
from shellcheck_earth.mechanics.rings.capacity import base_state
from shellcheck_earth.mechanics.rings.discretise import cut_lune
from shellcheck_earth.mechanics.rings.lune import Lune
from shellcheck_earth.safety.checks import GROUND, line_questions
from shellcheck_earth.safety.ground import ground_demand, ground_of

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
    required, ground, demand = dome.design.criteria.required, ground_of(dome, case), ground_demand(lune, base)
    pairs = zip(GROUND, (demand.friction, demand.edge_stress), (ground.friction, ground.bearing), strict=True)
    return [Shortfall(case.id, check.key, lowest) for check, asked, has in pairs if asked * required[check.key] > has]


def case_shortfalls(dome: Dome, case: Case, *, first: bool = False) -> list[Shortfall]:
    """The checks of one case that fall short; `first` stops at the first one."""
    lune = cut_lune(dome, case)
    out: list[Shortfall] = []
    for question in line_questions(dome, case, lune):
        bed = question.failing()
        if bed >= 0:
            out.append(Shortfall(case.id, question.label, int(lune.number[bed])))
            if first:
                return out
    return out if case.only else out + _ground_short(dome, case, lune)


def shortfalls(design: Design, *, first: bool = False) -> list[Shortfall]:
    """All shortfalls of the counted cases of a design (or the first). UnbuildableError where it cannot be built."""
    model = build_model(design)
    out: list[Shortfall] = []
    # The last stages and the finished dome fail first where anything fails: looked at first when one is enough.
    for case in sorted(model.counted, key=lambda case: -case.stage) if first else model.counted:
        out.extend(case_shortfalls(model.dome, case, first=first))
        if first and out:
            return out
    return out


def meets_all(design: Design) -> bool:
    """True when every counted margin of the ring-symmetric check meets what the criteria require."""
    return not shortfalls(design, first=True)
