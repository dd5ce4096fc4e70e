"""Does a design meet its criteria, yes or no: the same checks as the margins, each as one question to the exact set.

The margins search for the edge of every capacity; here each check is asked only at the capacity that the criteria
leave.
It costs a fortieth, so ranges and sweeps over many designs can afford it, and a test holds it equal to the margins.
"""

from __future__ import annotations

from dataclasses import dataclass

from shellcheck_earth.design.design import Design
from shellcheck_earth.geometry.courses import Dome, build_dome
from shellcheck_earth.loads.cases import Case, dead_cases
from shellcheck_earth.loads.model import rain_cases
from shellcheck_earth.mechanics.rings.admissible import failing_bed, pack
from shellcheck_earth.mechanics.rings.capacity import base_state
from shellcheck_earth.mechanics.rings.discretise import cut_lune
from shellcheck_earth.mechanics.rings.lune import Lune
from shellcheck_earth.safety.ground import bearing_stress
from shellcheck_earth.safety.margins import required_scales, strength_check

__all__ = ["Shortfall", "case_shortfalls", "counted_cases", "meets_all", "shortfalls"]


@dataclass(frozen=True)
class Shortfall:
    """A check of a counted case that falls short; `course` is the bed that fails first."""

    case_id: str
    check: str
    course: int | None


def _ground_short(design: Design, case: Case, lune: Lune) -> list[Shortfall]:
    rows = pack(lune)
    base = base_state(rows)
    lowest = int(lune.number[-1])
    if base is None:
        return [Shortfall(case.id, name, lowest) for name in ("base sliding", "ground bearing")]
    out = []
    slide = base.friction * design.criteria.required["base sliding"]
    if slide >= 1e-9 and slide > design.site.ground_friction:
        out.append(Shortfall(case.id, "base sliding", lowest))
    stress = bearing_stress(float(lune.vertical[-1]), base.x, float(lune.bed_inner[-1]), float(lune.bed_outer[-1]))
    if stress.edge * design.criteria.required["ground bearing"] > design.site.ground_bearing:
        out.append(Shortfall(case.id, "ground bearing", lowest))
    return out


def case_shortfalls(dome: Dome, case: Case, *, first: bool = False) -> list[Shortfall]:
    """The checks of one case that fall short; `first` stops at the first one."""
    lune = cut_lune(dome, case)
    rows = pack(lune)
    out: list[Shortfall] = []
    for check in ("bed friction", "geometric factor", strength_check(case), "wire tension", "overall reserve"):
        scales = required_scales(check, dome.design.criteria.required[check])
        if scales is None:
            continue
        bed = failing_bed(rows, scales)
        if bed >= 0:
            out.append(Shortfall(case.id, check, int(lune.number[bed])))
            if first:
                return out
    return out + _ground_short(dome.design, case, lune)


def counted_cases(dome: Dome) -> list[Case]:
    """The ring-symmetric cases that the verdict relies on; rain only where the design says when the work is covered."""
    rain = rain_cases(dome) if dome.design.building.cover_after is not None else ()
    return [case for case in (*dead_cases(dome), *rain) if case.counts]


def shortfalls(design: Design, *, first: bool = False) -> list[Shortfall]:
    """All shortfalls of the counted cases of a design (or the first)."""
    dome = build_dome(design)
    out: list[Shortfall] = []
    cases = counted_cases(dome)
    # The last stages and the finished dome fail first where anything fails: looked at first when one is enough.
    for case in sorted(cases, key=lambda case: -case.stage) if first else cases:
        out.extend(case_shortfalls(dome, case, first=first))
        if first and out:
            return out
    return out


def meets_all(design: Design) -> bool:
    """True when every counted margin of the ring-symmetric check meets what the criteria ask for."""
    return not shortfalls(design, first=True)
