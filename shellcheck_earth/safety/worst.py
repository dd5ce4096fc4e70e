"""The worst counted margin of each check of a whole design: what `check` would report, without everything else of the
report.

A case is searched only where it comes out worse than the worst so far, which one question to the exact set tells. A
test holds
the result equal to the margins of the assessment.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from shellcheck_earth.design.design import Design
from shellcheck_earth.geometry.courses import Dome, build_dome
from shellcheck_earth.loads.cases import Case
from shellcheck_earth.loads.model import needs_blocks
from shellcheck_earth.mechanics.rings.admissible import Scales, failing_bed, pack
from shellcheck_earth.mechanics.rings.capacity import (
    CONTACT,
    FRICTION,
    GREATEST_GEOMETRIC_FACTOR,
    HALF_WIDTH,
    STRENGTH,
    WIRE,
    WIRE_VALUE,
    Edge,
    base_state,
    least_capacity,
)
from shellcheck_earth.mechanics.rings.discretise import cut_lune
from shellcheck_earth.mechanics.rings.lune import Floats, Lune
from shellcheck_earth.safety.assumptions import beyond_range
from shellcheck_earth.safety.ground import bearing_stress
from shellcheck_earth.safety.margins import strength_check
from shellcheck_earth.safety.requirement import counted_cases
from shellcheck_earth.safety.result import Verdict

__all__ = ["WORST_CHECKS", "Outcome", "WorstMargin", "outcome", "worst_margins"]

WORST_CHECKS = (
    "bed friction",
    "geometric factor",
    "strength",
    "strength while building",
    "wire tension",
    "overall reserve",
    "base sliding",
    "ground bearing",
)

_SEARCH: Mapping[str, tuple[tuple[int, ...], float, float]] = {
    "bed friction": ((FRICTION,), 1e-6, 1e4),
    "geometric factor": ((CONTACT,), 1 / GREATEST_GEOMETRIC_FACTOR, 1.0),
    "strength": ((STRENGTH,), 1e-6, 1e6),
    "wire tension": ((WIRE_VALUE,), 1e-6, 1e5),
    "overall reserve": ((FRICTION, STRENGTH, WIRE, HALF_WIDTH), 1e-3, 1e3),
}
"""Scales and range of each search, as in `statics.quantities`."""


@dataclass(frozen=True)
class WorstMargin:
    """The least factor of a check over all counted cases: inf where nothing is needed, 0 where nothing is enough.

    `known` False: a search did not close, which is no answer.
    """

    check: str
    factor: float
    required: float
    case_id: str
    course: int | None
    known: bool = True

    @property
    def meets(self) -> bool:
        return self.known and self.factor >= self.required

    @property
    def share(self) -> float:
        """Factor over what is required: 1 just meets."""
        return self.factor / self.required


@dataclass(frozen=True)
class Outcome:
    """The answer of the ring-symmetric check for one design. `why` is a sentence where it is "cannot say"."""

    verdict: Verdict
    why: str
    margins: tuple[WorstMargin, ...]

    @property
    def least(self) -> WorstMargin:
        """The margin that decides: the least share of what is required."""
        return min(self.margins, key=lambda margin: (margin.known, margin.share))

    @property
    def shortest(self) -> tuple[WorstMargin, ...]:
        return tuple(margin for margin in self.margins if not margin.meets)


@dataclass(frozen=True)
class _Cut:
    case: Case
    lune: Lune
    rows: Floats


def _scales(slots: tuple[int, ...], value: float) -> Scales:
    array = Scales().as_array()
    for slot in slots:
        array[slot] = value
    return Scales(*(float(one) for one in array))


def _worst_edge(cuts: Sequence[_Cut], key: str) -> tuple[_Cut, Edge]:
    """The case that needs most of a capacity, and how much."""
    slots, low, high = _SEARCH[key]
    worst: tuple[_Cut, Edge] | None = None
    for cut in cuts:
        if worst is not None:
            value = worst[1].value
            if value is None:
                break
            if value > 0.0 and failing_bed(cut.rows, _scales(slots, value)) < 0:
                continue
        edge = least_capacity(cut.rows, slots, low, high)
        if worst is None or edge.value is None or edge.value > (worst[1].value or 0.0):
            worst = cut, edge
    assert worst is not None
    return worst


def _line_margin(design: Design, cuts: Sequence[_Cut], check: str) -> WorstMargin:
    cut, edge = _worst_edge(cuts, "strength" if check.startswith("strength") else check)
    course = int(cut.lune.number[edge.bed]) if edge.bed >= 0 else None
    required = design.criteria.required[check]
    if edge.value is None:
        return WorstMargin(check, 0.0, required, cut.case.id, course, known=edge.closed)
    if edge.value == 0.0:
        return WorstMargin(check, math.inf, required, cut.case.id, None)
    available = float(cut.lune.wire.max()) if check == "wire tension" else 1.0
    return WorstMargin(check, available / edge.value, required, cut.case.id, course)


def _bound(mean: float, edge: float) -> float:
    """Contact share at which the edge stress of a resultant there is `edge` (inverse of `verdict.ground`; e = share
    b/2).
    """
    ratio = edge / mean
    return (ratio - 1) / 3 if ratio <= 2 else 1 - 4 / (3 * ratio)


def _ground_margins(design: Design, cuts: Sequence[_Cut]) -> list[WorstMargin]:
    slide, bear = design.criteria.required["base sliding"], design.criteria.required["ground bearing"]
    sliding: tuple[float, _Cut] | None = None
    pressing: tuple[float, _Cut] | None = None
    for cut in cuts:
        inner, outer = float(cut.lune.bed_inner[-1]), float(cut.lune.bed_outer[-1])
        vertical = float(cut.lune.vertical[-1])
        if sliding is not None and pressing is not None:
            contact = _bound(bearing_stress(vertical, (inner + outer) / 2, inner, outer).mean, pressing[0] * (1 - 1e-5))
            capped = cut.rows.copy()
            capped[-1, 10], capped[-1, 11] = min(capped[-1, 10], sliding[0]), 0.0
            if contact > 0.0 and failing_bed(cut.rows, Scales(contact=contact)) < 0 and failing_bed(capped) < 0:
                continue
        base = base_state(cut.rows)
        lowest = int(cut.lune.number[-1])
        if base is None:
            return [
                WorstMargin(name, 0.0, required, cut.case.id, lowest)
                for name, required in (("base sliding", slide), ("ground bearing", bear))
            ]
        stress = bearing_stress(vertical, base.x, inner, outer).edge
        if sliding is None or base.friction > sliding[0]:
            sliding = base.friction, cut
        if pressing is None or stress > pressing[0]:
            pressing = stress, cut
    assert sliding is not None and pressing is not None
    needed, cut = sliding
    factor = math.inf if needed < 1e-9 else design.site.ground_friction / needed
    lowest = int(cut.lune.number[-1])
    return [
        WorstMargin("base sliding", factor, slide, cut.case.id, None if math.isinf(factor) else lowest),
        WorstMargin("ground bearing", design.site.ground_bearing / pressing[0], bear, pressing[1].case.id, lowest),
    ]


def _cuts(dome: Dome) -> list[_Cut]:
    """Counted cases, the tallest first: they come out worst more often than not."""
    cases = sorted(counted_cases(dome), key=lambda case: (-case.stage, case.building))
    lunes = [cut_lune(dome, case) for case in cases]
    return [_Cut(case, lune, pack(lune)) for case, lune in zip(cases, lunes, strict=True)]


def worst_margins(design: Design) -> tuple[WorstMargin, ...]:
    """One margin a check, in the order of WORST_CHECKS; about 40 ms for a dome of 26 courses."""
    cuts = _cuts(build_dome(design))
    out = []
    for check in WORST_CHECKS[:-2]:
        mine = cuts if not check.startswith("strength") else [cut for cut in cuts if strength_check(cut.case) == check]
        if mine:
            out.append(_line_margin(design, mine, check))
    return (*out, *_ground_margins(design, cuts))


def outcome(design: Design) -> Outcome:
    """Margins and the verdict they allow. Where the block model has to be asked nothing "meets" here."""
    margins = worst_margins(design)
    if any(not margin.meets for margin in margins if margin.known):
        return Outcome("falls short", "", margins)
    if not all(margin.known for margin in margins):
        return Outcome("cannot say", "a search did not close", margins)
    doubtful = beyond_range(design)
    if doubtful:
        return Outcome("cannot say", doubtful[0], margins)
    if needs_blocks(design):
        return Outcome(
            "cannot say",
            "openings and sideways loads need the block model: run the command check on this design",
            margins,
        )
    return Outcome("meets", "", margins)
