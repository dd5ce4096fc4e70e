"""The spine: design -> model -> states of equilibrium -> margins -> proofs -> verdict -> result."""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import cached_property
from pathlib import Path
from types import MappingProxyType

import numpy as np

from shellcheck_earth.basics.progress import Progress, quiet
from shellcheck_earth.basics.sums import added
from shellcheck_earth.design.design import Design
from shellcheck_earth.geometry.courses import Dome
from shellcheck_earth.geometry.openings import opening_advice
from shellcheck_earth.loads.cases import Case, ring_weight
from shellcheck_earth.loads.model import Model, build_model
from shellcheck_earth.mechanics.rings.capacity import Quantities, friction_for_wire, quantities
from shellcheck_earth.mechanics.rings.discretise import cut_lune
from shellcheck_earth.mechanics.rings.lune import Lune
from shellcheck_earth.safety.assumptions import assumptions, fixed_numbers
from shellcheck_earth.safety.blocks.solve import BlockResult, block_cases, processors
from shellcheck_earth.safety.cautions import cautions
from shellcheck_earth.safety.checks import LABELS, RESERVE
from shellcheck_earth.safety.doubts import doubts_of, overturned
from shellcheck_earth.safety.explore import Explored, Explorer, explored
from shellcheck_earth.safety.margins import case_margins
from shellcheck_earth.safety.proofs import CaseProof, Prover, prove_worst, question_of
from shellcheck_earth.safety.result import CaseResult, ChartPoint, Doubt, Margin, Result, Status, Totals, Verdict
from shellcheck_earth.safety.thrust_lines import thrust_lines
from shellcheck_earth.safety.untested import sensitivity
from shellcheck_earth.safety.working import Governing, workings

__all__ = ["Begun", "Examined", "begin_check", "check", "end_check", "examine", "verdict_of"]

CHART_TENSIONS = np.linspace(0.0, 4.0, 33)
"""Counted wire tensions of the chart "what holds it up" [kN]."""


def check(
    design: Design,
    *,
    cache: Path | None = None,
    progress: Progress = quiet,
    blocks: bool = True,
    proofs: bool = True,
    explore: bool = True,
    explorer: Explorer = explored,
) -> Result:
    """The whole calculation for one design: what the command `check` says.

    Parameters
    ----------
    design
        A design, read or made in code; it is refused where it cannot be built.
    cache
        Folder in which finished cases of the block model are kept; None keeps none.
    progress
        Called with what is being done, how many steps are done, and how many there are.
    blocks, proofs, explore
        Leave out the block model (a minute and more where the design needs it), the proofs, or the calendar and the
        search through the ranges of assumed inputs. Without blocks that are needed, or without proofs, nothing "meets".
    explorer
        Who looks at that calendar and those ranges.

    Returns
    -------
    Result
        Complete: verdict, doubts, every case with its margins (capacities and demands in the margin's own unit: kPa,
        kN or none; factors without unit), proofs, assumptions, cautions.

    Raises
    ------
    UnbuildableError
        No such dome, or no such opening in it, can be built.

    References
    ----------
    The exact set of thrust lines is derived in DEVELOPERS.md, "Equilibrium of a lune"; the theorem it rests on is
    Heyman's (1966, from memory).

    Examples
    --------
    >>> from shellcheck_earth.geometry.reading import read_design
    >>> design = read_design(Path("reports/examples/narrow-store.toml"))
    >>> check(design, proofs=False, explore=False).verdict
    'falls short'
    """
    begun = begin_check(design, progress=progress, proofs=proofs)
    found = block_cases(begun.model.dome, progress, cache, processors()) if blocks and begun.model.needs_blocks else ()
    return end_check(begun, found, blocks=blocks, progress=progress, explorer=explorer if explore else None)


@dataclass(frozen=True)
class Begun:
    """A check as far as it goes before the block model has answered; what is asked of it is found once."""

    model: Model
    prover: Prover | None
    examined: tuple[Examined, ...]

    @cached_property
    def overturned(self) -> tuple[Doubt, ...]:
        """The values that were not measured and whose range takes a "meets" away."""
        return overturned(self.model.design)

    @cached_property
    def missing(self) -> tuple[str, ...]:
        """What the checker would miss of the rings."""
        return self.prover.missing() if self.prover else ()

    def doubts(self, found: tuple[BlockResult, ...], *, blocks: bool) -> tuple[Doubt, ...]:
        """Everything that stands between this design and a "meets", most important first."""
        return _doubts(self.model, self.examined, self.prover, found, blocks=blocks)

    def verdict(self, found: tuple[BlockResult, ...], doubts: tuple[Doubt, ...]) -> Verdict:
        """Of the cases, those of blocks and the doubts, as `verdict_of` has it."""
        return verdict_of(tuple(one.result for one in self.examined), found, doubts)

    def look_ahead(self) -> None:
        """Find what is asked of a "meets", where nothing but blocks can still take that away."""
        if self.verdict((), self.doubts((), blocks=True)) == "meets" and not self.overturned:
            self.missing  # noqa: B018, found once and kept


def begin_check(design: Design, *, progress: Progress = quiet, proofs: bool = True) -> Begun:
    """The rings of a design and their proofs: what `check` does before it asks blocks. Arguments, errors: as there."""
    model = build_model(design)
    prover = Prover(design) if proofs else None
    return Begun(model, prover, _examine_all(model, progress, prover))


def end_check(
    begun: Begun,
    found: tuple[BlockResult, ...],
    *,
    blocks: bool = True,
    progress: Progress = quiet,
    explorer: Explorer | None = None,
) -> Result:
    """The result of `check`, with what the block model has found of this design. `explorer` None explores nothing."""
    model, prover, examined = begun.model, begun.prover, begun.examined
    progress("proofs of the margins", len(model.cases), len(model.cases))
    said = prove_worst(prover, examined) if prover else ()
    doubts = begun.doubts(found, blocks=blocks)
    verdict = begun.verdict(found, doubts)
    if verdict == "meets":
        progress("ranges of inputs that were not measured", len(model.cases), len(model.cases))
        doubts = begun.overturned or _unshown(begun, found)
        verdict = "cannot say" if doubts else verdict
    result = _result(model, examined, found, verdict, doubts, explorer(model.design) if explorer else None)
    return replace(result, proofs=said, certificate=prover.certificate(verdict) if prover else None)


@dataclass(frozen=True)
class Examined:
    """A case with what was computed on the way to its result."""

    case: Case
    result: CaseResult
    lune: Lune
    proof: CaseProof


def _examine_all(model: Model, progress: Progress, prover: Prover | None) -> tuple[Examined, ...]:
    out = []
    for index, case in enumerate(model.cases):
        progress("force paths", index, len(model.cases))
        out.append(examine(model.dome, case, prover))
    return tuple(out)


def examine(dome: Dome, case: Case, prover: Prover | None = None) -> Examined:
    """One case: its admissible set, its margins and, where a prover is handed over, their proof.

    Parameters
    ----------
    dome
        The courses [m] and the design they come from.
    case
        Stage, moisture and loads of each course; per radian [kN].
    prover
        None leaves out the proofs.

    Returns
    -------
    Examined
        The result with the lune it was computed on.
    """
    lune = cut_lune(dome, case)
    q = quantities(lune)
    proof = prover.case(case.id, q.admissible) if prover else CaseProof("", None)
    margins = case_margins(dome, case, lune, q.base)
    reserve = next((m for m in margins if m.check in (RESERVE.key, case.only)), None)
    result = CaseResult(
        id=case.id,
        title=case.title,
        stage=case.stage,
        kind=case.kind,
        crew=case.crew,
        wetting=case.wetting,
        counts=case.counts,
        status=_status(q, proof),
        failing_course=int(lune.number[q.failing_bed]) if q.failing_bed >= 0 else None,
        least_thrust=q.base.least if q.base else None,
        greatest_thrust=q.base.greatest if q.base else None,
        needed_bed_friction=q.friction.value,
        needed_bed_friction_no_wire=q.friction_no_wire.value,
        needed_strength=q.strength.value,
        needed_wire_tension=q.wire.value,
        geometric_factor=_inverse(q.contact_share.value, 100.0),
        overall_reserve=None if reserve is None else reserve.factor or (1 / RESERVE.low if reserve.meets else None),
        vertical=float(lune.vertical[-1]),
        margins=margins,
        governs=MappingProxyType(_governs(lune, q) | _reserve_bed(reserve)),
        why=MappingProxyType(_why(q, reserve)),
        lines=thrust_lines(lune, q) if not case.building else (),
        proof=proof.said,
    )
    return Examined(case, result, lune, proof)


def _status(q: Quantities, proof: CaseProof) -> Status:
    """The solver's answer, unless a search did not close or the independent check does not confirm it."""
    if not q.closed or proof.established is False:
        return "cannot say"
    return "admissible" if q.admissible else "inadmissible"


def verdict_of(
    cases: tuple[CaseResult, ...], blocks: tuple[BlockResult, ...] = (), doubts: tuple[Doubt, ...] = ()
) -> Verdict:
    """Any counted margin short: falls short. Anything not established, not looked at or in doubt: cannot say.

    Parameters
    ----------
    cases
        Results of all ring-symmetric cases; those that do not count are left out.
    blocks
        Results of the block model, where it was asked.
    doubts
        What stands between the design and a "meets".

    Returns
    -------
    Verdict
        "meets", "falls short" or "cannot say".

    Examples
    --------
    >>> verdict_of(())  # nothing was looked at
    'cannot say'
    """
    counted = [case for case in cases if case.counts]
    if any(margin.meets is False for case in counted if case.status != "cannot say" for margin in case.margins):
        return "falls short"
    if any(result.status == "solved" and not result.meets for result in blocks):
        return "falls short"
    margins = [margin for case in counted for margin in case.margins]
    settled = all(case.status != "cannot say" for case in counted) and all(m.meets is True for m in margins)
    return "meets" if counted and settled and not doubts else "cannot say"


def _doubts(
    model: Model,
    examined: tuple[Examined, ...],
    prover: Prover | None,
    found: tuple[BlockResult, ...],
    *,
    blocks: bool,
) -> tuple[Doubt, ...]:
    """As `Begun.doubts`."""
    out = list(doubts_of(model.dome))
    for one in examined:
        if not one.case.counts:
            continue
        if one.result.status == "cannot say":
            out.append(Doubt("not established", one.case.id, one.proof.said))
        out += [Doubt("not established", one.case.id, m.check) for m in one.result.margins if m.meets is None]
        if prover and not prover.why:
            shown = prover.found(one.case.id).met
            names = [question_of(m) for m in one.result.margins if m.meets]
            out += [Doubt("not proven", f"{name}, in {one.case.id}") for name in names if name not in shown]
    if prover and prover.why:
        out.append(Doubt("not proven", prover.why))
    if model.needs_blocks:
        out += [Doubt("blocks not asked")] if not blocks else []
        out += [Doubt("blocks not established", one.id, one.why) for one in found if one.status == "cannot say"]
    return (*out, *(() if prover else (Doubt("proofs not asked"),)))


def _unshown(begun: Begun, found: tuple[BlockResult, ...]) -> tuple[Doubt, ...]:
    """What the checker, which reads the design file by itself, still misses when everything here says "meets"."""
    said = (begun.prover.hold_blocks(found) or begun.missing) if begun.prover else ()
    return tuple(Doubt("not proven", one) for one in said)


def _result(
    model: Model,
    examined: tuple[Examined, ...],
    found: tuple[BlockResult, ...],
    verdict: Verdict,
    doubts: tuple[Doubt, ...],
    beside: Explored | None,
) -> Result:
    dry, design = examined[0], model.design
    governing = _governing(examined)
    drawn = min(governing, key=lambda found: found[2].share, default=None)
    cases = tuple(
        _drawn(one) if drawn is not None and one.case is drawn[0] and not one.result.lines else one.result
        for one in examined
    )
    return Result(
        model=model,
        ring_weights=tuple(ring_weight(state) for state in dry.case.states),
        totals=_totals(model.dome, dry.case),
        cases=cases,
        verdict=verdict,
        doubts=doubts,
        assumptions=assumptions(design),
        fixed=fixed_numbers(model),
        sensitivity=sensitivity(beside.tried, verdict) if beside else (),
        friction_chart=_friction_chart(dry.lune),
        workings=workings(model.dome, governing),
        cautions=cautions(model.dome),
        advice=opening_advice(model.dome),
        blocks=found,
        weather=beside.weather if beside else None,
    )


def _inverse(share: float | None, most: float) -> float | None:
    if share is None:
        return None
    return most if share == 0.0 else min(1.0 / share, most)


def _reserve_bed(reserve: Margin | None) -> dict[str, int]:
    return {"overall_reserve": reserve.course} if reserve is not None and reserve.course is not None else {}


def _governs(lune: Lune, q: Quantities) -> dict[str, int]:
    edges = {
        "needed_bed_friction": q.friction,
        "needed_bed_friction_no_wire": q.friction_no_wire,
        "needed_strength": q.strength,
        "needed_wire_tension": q.wire,
        "geometric_factor": q.contact_share,
    }
    return {name: int(lune.number[edge.bed]) for name, edge in edges.items() if edge.bed >= 0}


def _why(q: Quantities, reserve: Margin | None) -> dict[str, str]:
    reasons = {
        "needed_bed_friction": (q.friction, "no friction is enough with the other capacities as they are"),
        "needed_bed_friction_no_wire": (q.friction_no_wire, "no friction is enough without wire"),
        "needed_strength": (q.strength, "no strength is enough with the other capacities as they are"),
        "needed_wire_tension": (q.wire, "no wire tension is enough with the other capacities as they are"),
        "geometric_factor": (q.contact_share, "no thrust line stays on the beds as they are"),
    }
    why = {name: reason for name, (edge, reason) in reasons.items() if edge.value is None}
    if reserve is not None and reserve.factor is None and not reserve.meets:
        why["overall_reserve"] = "no line exists even with every capacity many times larger"
    if q.base is None:
        why["least_thrust"] = why["greatest_thrust"] = "no thrust line reaches the ground"
    if q.contact_share.value == 0.0:
        why["geometric_factor"] = "over 100"
    return why


def _totals(dome: Dome, dry: Case) -> Totals:
    return Totals(
        weight=added(ring_weight(state) for state in dry.states),
        tube_length=added(course.tube_length for course in dome.courses),
        fill_volume=added(course.fill_volume for course in dome.courses),
        wire_length=added(course.wire_length for course in dome.courses),
        courses=len(dome.courses),
    )


def _governing(examined: tuple[Examined, ...]) -> tuple[Governing, ...]:
    """Of each check the counted and established case with the least share of what is required, in the table's order."""
    worst: dict[str, Governing] = {}
    for one in examined:
        for margin in one.result.margins if one.case.counts and one.result.status != "cannot say" else ():
            if margin.check not in worst or margin.share < worst[margin.check][2].share:
                worst[margin.check] = one.case, one.lune, margin
    return tuple(worst[label] for label in LABELS if label in worst)


def _drawn(one: Examined) -> CaseResult:
    """A stage that decides, with its thrust lines: they are drawn on the first page."""
    return replace(one.result, lines=thrust_lines(one.lune, quantities(one.lune)))


def _friction_chart(lune: Lune) -> tuple[ChartPoint, ...]:
    needed = friction_for_wire(lune, CHART_TENSIONS)
    return tuple(ChartPoint(float(T), mu) for T, mu in zip(CHART_TENSIONS, needed, strict=True))
