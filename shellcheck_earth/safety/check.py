"""The spine: design -> courses -> cases -> states of equilibrium -> proof -> margins -> assessment."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path
from types import MappingProxyType

import numpy as np

from shellcheck_earth.basics.progress import Progress, quiet
from shellcheck_earth.design.design import Design
from shellcheck_earth.geometry.courses import Dome
from shellcheck_earth.geometry.openings import opening_advice
from shellcheck_earth.loads.cases import Case, ring_weight
from shellcheck_earth.loads.model import build_model, needs_blocks
from shellcheck_earth.mechanics.rings.capacity import Quantities, friction_for_wire, quantities
from shellcheck_earth.mechanics.rings.discretise import cut_lune
from shellcheck_earth.mechanics.rings.lune import Lune
from shellcheck_earth.safety.assumptions import assumptions, beyond_range, sensitivity
from shellcheck_earth.safety.blocks.solve import ThreeDResult, processors, three_d_cases
from shellcheck_earth.safety.cautions import cautions
from shellcheck_earth.safety.margins import case_margins, required_scales
from shellcheck_earth.safety.proofs import Proofs, prove, prove_margin
from shellcheck_earth.safety.result import Assessment, CaseResult, ChartPoint, Margin, Status, Totals, Verdict
from shellcheck_earth.safety.thrust_lines import thrust_lines
from shellcheck_earth.safety.weather import weather
from shellcheck_earth.safety.wording import decisive_sentence, rule_of_thumb, three_d_sentence
from shellcheck_earth.safety.working import working_for_bed

__all__ = ["Examined", "assess", "examine", "overall_verdict"]

CHART_TENSIONS = np.linspace(0.0, 4.0, 33)
"""Counted wire tensions of the chart "what holds it up" [kN]."""


def assess(
    design: Design,
    progress: Progress = quiet,
    *,
    prove_cases: bool = True,
    explore: bool = True,
    three_d: bool = False,
    cache_dir: Path | None = None,
) -> Assessment:
    """The whole calculation for one design; the design must have been read and checked.

    `prove_cases=False` leaves the proofs out, `explore=False` the search through the ranges of assumed inputs: for
    sweeps over many designs, which never end in a report. `three_d=True` solves the block model where the design
    needs it
    (a minute and more); `cache_dir` keeps its finished cases. Without it such a design is "cannot say" at best.
    """
    model = build_model(design)
    dome, cases = model.dome, model.cases
    examined: list[Examined] = []
    for index, case in enumerate(cases):
        progress("force paths", index, len(cases))
        examined.append(examine(dome, case, prove_it=prove_cases))
    results = tuple(one.result for one in examined)
    blocks = three_d_cases(dome, progress, cache_dir, processors()) if three_d else ()
    verdict = overall_verdict(design, results, blocks)
    progress("proofs of the margins", len(cases), len(cases))
    margin_proofs = prove_worst(design, tuple(zip(cases, examined, strict=True))) if prove_cases else ()
    dry = examined[0]
    progress("building calendar", len(cases), len(cases))
    calendar = weather(dome) if explore else None
    progress("ranges of assumed inputs", len(cases), len(cases))
    return Assessment(
        design=design,
        dome=dome,
        ring_weights=tuple(ring_weight(state) for state in cases[0].states),
        totals=_totals(dome, cases[0]),
        cases=results,
        verdict=verdict,
        decisive=_decisive(design, verdict, results, blocks),
        rule_of_thumb=rule_of_thumb(design),
        assumptions=assumptions(design),
        sensitivity=sensitivity(design, verdict) if explore else (),
        friction_chart=_friction_chart(dry.lune),
        working=working_for_bed(dome, cases[0], dry.lune, dry.result, _governing(dry.result, dome)),
        cautions=(*beyond_range(design), *cautions(dome)),
        advice=opening_advice(dome),
        three_d=blocks,
        weather=calendar,
        certificates=tuple(
            certificate
            for proofs in (*(one.proofs for one in examined), *margin_proofs)
            for certificate in proofs.certificates
        ),
        proofs=tuple(proofs.said for proofs in margin_proofs),
    )


@dataclass(frozen=True)
class Examined:
    """A case with what was computed on the way to its result."""

    result: CaseResult
    lune: Lune
    proofs: Proofs


def examine(dome: Dome, case: Case, *, prove_it: bool = True) -> Examined:
    """One case: its admissible set, margins and proof."""
    lune = cut_lune(dome, case)
    q = quantities(lune)
    proofs = prove(dome.design, case, lune, q) if prove_it else Proofs("", None, ())
    result = CaseResult(
        id=case.id,
        title=case.title,
        stage=case.stage,
        wetting=case.wetting,
        counts=case.counts,
        building=case.building,
        status=_status(q, proofs),
        failing_course=int(lune.number[q.failing_bed]) if q.failing_bed >= 0 else None,
        least_thrust=q.thrust[0] if q.thrust else None,
        greatest_thrust=q.thrust[1] if q.thrust else None,
        needed_bed_friction=q.friction.value,
        needed_bed_friction_no_wire=q.friction_no_wire.value,
        needed_strength=q.strength.value,
        needed_wire_tension=q.wire.value,
        geometric_factor=_inverse(q.contact_share.value, 100.0),
        overall_reserve=_inverse(q.reserve_share.value, 1000.0),
        vertical=float(lune.vertical[-1]),
        margins=case_margins(dome.design, case, lune, q),
        governs=MappingProxyType(_governs(lune, q)),
        why=MappingProxyType(_why(q)),
        lines=thrust_lines(lune, q) if not case.building else (),
        proof=proofs.said,
    )
    return Examined(result, lune, proofs)


def prove_worst(design: Design, examined: tuple[tuple[Case, Examined], ...]) -> tuple[Proofs, ...]:
    """For each check, the counted and established case that comes closest to what is asked for (or falls shortest):
    proven as asked.
    """
    worst: dict[str, tuple[float, Case, Examined, Margin]] = {}
    for case, one in examined:
        for margin in one.result.margins if case.counts and one.result.status != "cannot say" else ():
            if required_scales(margin.check, margin.required) is None:
                continue
            share = margin.factor / margin.required if margin.factor else (np.inf if margin.meets else 0.0)
            if margin.check not in worst or share < worst[margin.check][0]:
                worst[margin.check] = (share, case, one, margin)
    out = []
    for check, (_, case, one, margin) in worst.items():
        scales = required_scales(check, margin.required)
        if scales is not None:
            out.append(prove_margin(design, case, one.lune, check, scales, margin.meets))
    return tuple(out)


def _status(q: Quantities, proofs: Proofs) -> Status:
    """The solver's answer, unless a search did not close or the independent check does not confirm it."""
    if not q.closed or proofs.established is False:
        return "cannot say"
    return "admissible" if q.admissible else "inadmissible"


def overall_verdict(design: Design, cases: tuple[CaseResult, ...], three_d: tuple[ThreeDResult, ...] = ()) -> Verdict:
    """Any counted margin short: falls short. Anything not established, or not looked at: cannot say."""
    counted = [case for case in cases if case.counts]
    if any(not margin.meets for case in counted if case.status != "cannot say" for margin in case.margins):
        return "falls short"
    if any(result.status == "solved" and not result.meets for result in three_d):
        return "falls short"
    if any(result.status == "cannot say" for result in three_d) or (needs_blocks(design) and not three_d):
        return "cannot say"
    if not counted or any(case.status == "cannot say" for case in counted) or beyond_range(design):
        return "cannot say"
    return "meets"


def _decisive(design: Design, verdict: Verdict, cases: tuple[CaseResult, ...], blocks: tuple[ThreeDResult, ...]) -> str:
    """What decides: a value that no verdict may rest on, else the case that comes shortest."""
    doubtful = beyond_range(design) if verdict == "cannot say" else ()
    return doubtful[0] if doubtful else three_d_sentence(blocks, cases) or decisive_sentence(cases, design.unit_system)


def _inverse(share: float | None, most: float) -> float | None:
    if share is None:
        return None
    return most if share == 0.0 else min(1.0 / share, most)


def _governs(lune: Lune, q: Quantities) -> dict[str, int]:
    edges = {
        "needed_bed_friction": q.friction,
        "needed_bed_friction_no_wire": q.friction_no_wire,
        "needed_strength": q.strength,
        "needed_wire_tension": q.wire,
        "geometric_factor": q.contact_share,
        "overall_reserve": q.reserve_share,
    }
    return {name: int(lune.number[edge.bed]) for name, edge in edges.items() if edge.bed >= 0}


def _why(q: Quantities) -> dict[str, str]:
    reasons = {
        "needed_bed_friction": (q.friction, "no friction is enough with the other capacities as they are"),
        "needed_bed_friction_no_wire": (q.friction_no_wire, "no friction is enough without wire"),
        "needed_strength": (q.strength, "no strength is enough with the other capacities as they are"),
        "needed_wire_tension": (q.wire, "no wire tension is enough with the other capacities as they are"),
        "geometric_factor": (q.contact_share, "no thrust line stays on the beds as they are"),
        "overall_reserve": (q.reserve_share, "no line exists even with every capacity many times larger"),
    }
    why = {name: reason for name, (edge, reason) in reasons.items() if edge.value is None}
    if q.thrust is None:
        why["least_thrust"] = why["greatest_thrust"] = "no thrust line reaches the ground"
    if q.contact_share.value == 0.0:
        why["geometric_factor"] = "over 100"
    return why


def _totals(dome: Dome, dry: Case) -> Totals:
    return Totals(
        weight=sum(ring_weight(state) for state in dry.states),
        tube_length=sum(course.tube_length for course in dome.courses),
        fill_volume=sum(course.fill_volume for course in dome.courses),
        wire_length=sum(course.wire_length for course in dome.courses),
        courses=len(dome.courses),
    )


def _governing(result: CaseResult, dome: Dome) -> int:
    """The bed whose working is shown: the one that governs friction, else the one that fails, else the springing."""
    for name in ("needed_bed_friction_no_wire", "needed_bed_friction", "needed_strength"):
        if name in result.governs:
            return result.governs[name]
    return result.failing_course or dome.courses[0].number


def _friction_chart(lune: Lune) -> tuple[ChartPoint, ...]:
    needed = friction_for_wire(lune, CHART_TENSIONS)
    return tuple(ChartPoint(float(T), mu) for T, mu in zip(CHART_TENSIONS, needed, strict=True))
