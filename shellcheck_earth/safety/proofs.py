"""Ask for a proof of each case, have it checked by code that shares nothing with the solver, and keep it for the
file.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from typing import Any, Protocol

from shellcheck_earth.geometry.courses import Dome
from shellcheck_earth.loads.cases import Case
from shellcheck_earth.mechanics.proof.certify import make_certificate
from shellcheck_earth.mechanics.proof.check import LINE
from shellcheck_earth.mechanics.rings.admissible import Scales
from shellcheck_earth.mechanics.rings.capacity import Quantities
from shellcheck_earth.mechanics.rings.lune import Lune
from shellcheck_earth.safety.checks import check_of
from shellcheck_earth.safety.result import CaseResult, Margin

__all__ = ["Proofs", "prove", "prove_margin", "prove_worst", "scaled"]


@dataclass(frozen=True)
class Proofs:
    """`said`: one sentence. `established`: True confirmed, False not confirmed, None not asked for."""

    said: str
    established: bool | None
    certificates: tuple[Mapping[str, Any], ...]


class ExaminedCase(Protocol):
    """What is known of a case once it was examined."""

    @property
    def case(self) -> Case: ...
    @property
    def result(self) -> CaseResult: ...
    @property
    def lune(self) -> Lune: ...


def scaled(lune: Lune, scales: Scales) -> Lune:
    """The lune with its capacities multiplied; a narrower contact is taken as a narrower bed (stricter, never
    laxer).
    """
    half = (lune.bed_outer - lune.bed_inner) / 2 * min(scales.half_width, scales.contact)
    middle = (lune.bed_inner + lune.bed_outer) / 2
    inner, outer = middle - half, middle + half
    wet = lune.wet_from.clip(inner, outer)
    wet[lune.wet_from >= lune.bed_outer] = outer[lune.wet_from >= lune.bed_outer]
    return replace(
        lune,
        bed_inner=inner,
        bed_outer=outer,
        wet_from=wet,
        friction=lune.friction * scales.friction,
        cohesion=lune.cohesion * scales.friction,
        crush_inner=lune.crush_inner * scales.strength,
        crush_outer=lune.crush_outer * scales.strength,
        ring_strength=lune.ring_strength * scales.strength,
        wire=lune.wire * scales.wire,
    )


def _bands(case: Case) -> list[list[tuple[float, float, float, float]]] | None:
    """The parts of every course, top first, for the checker to weigh again; None when something else rests on them."""
    if any(state.loads for state in case.states):
        return None
    return [[(p.inner, p.outer, p.height, p.unit_weight) for p in state.parts] for state in case.states[::-1]]


def prove(dome: Dome, case: Case, lune: Lune, q: Quantities) -> Proofs:
    """Prove that a line exists, or that none does, with the capacities as they are."""
    certificate = make_certificate(lune, case_id=case.id, design_name=dome.design.name, bands=_bands(case))
    if certificate is None:
        return Proofs("neither a line nor its impossibility could be proven", False, ())
    line = (
        certificate["kind"] == LINE
    )  # a certificate is only handed over once the independent check has established it
    if line and not q.admissible:
        # The exact set uses chords inside what a ring can do; the check uses the whole of it and may find a
        # little more.
        return Proofs("the set with chords leaves no line, the exact check finds one: too close to decide", False, ())
    if line != q.admissible:
        return Proofs("the independent check does not confirm the solver", False, ())
    what = "a thrust line exists" if line else "no thrust line exists"
    return Proofs(f"proven in exact arithmetic: {what}", True, (certificate,))


def prove_margin(dome: Dome, case: Case, lune: Lune, check: str, scales: Scales, meets: bool) -> Proofs:
    """Prove that a line exists (or none does) with the capacities already divided by what the check asks for."""
    name = f"{case.id}, {check} divided by what is required"
    said = f"{check}, in {case.id}"
    if not meets and scales.contact < 1.0:
        # The narrower bed stands in for a narrower contact and is stricter: that it fails proves nothing;
        # that the whole bed does, all.
        scales = Scales()
    certificate = make_certificate(scaled(lune, scales), case_id=name, design_name=dome.design.name, bands=_bands(case))
    if certificate is None:
        return Proofs(f"{said}: not proven either way", False, ())
    if (certificate["kind"] == LINE) != meets:
        return Proofs(f"{said}: not proven either way", False, ())
    return Proofs(
        f"{said}: proven in exact arithmetic that it {'meets' if meets else 'falls short'}", True, (certificate,)
    )


def prove_worst(dome: Dome, examined: Iterable[ExaminedCase]) -> tuple[Proofs, ...]:
    """For each check, the counted and established case that comes closest to what is required: proven as required."""
    worst: dict[str, tuple[Margin, Case, Lune]] = {}
    for one in examined:
        for margin in one.result.margins if one.case.counts and one.result.status != "cannot say" else ():
            if not check_of(margin.check).slots or margin.combination:
                continue
            if margin.check not in worst or margin.share < worst[margin.check][0].share:
                worst[margin.check] = (margin, one.case, one.lune)
    return tuple(
        prove_margin(dome, case, lune, label, check_of(label).scales(1.0 / margin.required), bool(margin.meets))
        for label, (margin, case, lune) in worst.items()
        if margin.meets is not None
    )
