"""From the quantities of a case to its margins: available, needed, factor, and what the criteria ask for."""

from __future__ import annotations

from dataclasses import dataclass

from shellcheck_earth.design.design import Basis, Design
from shellcheck_earth.loads.cases import Case
from shellcheck_earth.mechanics.rings.admissible import Scales
from shellcheck_earth.mechanics.rings.capacity import Edge, Quantities
from shellcheck_earth.mechanics.rings.lune import Floats, Lune
from shellcheck_earth.safety.ground import bearing_stress
from shellcheck_earth.safety.result import Margin

__all__ = ["CHECKS", "case_margins", "required_scales", "strength_check"]

CHECKS = (
    "bed friction",
    "geometric factor",
    "strength",
    "wire tension",
    "overall reserve",
    "base sliding",
    "ground bearing",
)
"""Checks of every ring-symmetric case, in the order of the report."""


def strength_check(case: Case) -> str:
    """Which strength criterion applies: lower while building, when nobody lives under it."""
    return "strength while building" if case.building else "strength"


def required_scales(check: str, required: float) -> Scales | None:
    """The capacities at which a line must still exist for the check to be met; None where it is not of that kind."""
    share = 1.0 / required
    return {
        "bed friction": Scales(friction=share),
        "geometric factor": Scales(contact=share),
        "strength": Scales(strength=share),
        "strength while building": Scales(strength=share),
        "wire tension": Scales(wire=share),
        "overall reserve": Scales(friction=share, strength=share, wire=share, half_width=share),
    }.get(check)


@dataclass(frozen=True)
class _Row:
    check: str
    unit: str
    available: float | None
    share: Edge
    paths: tuple[str, ...]
    nothing_needed: str
    none_enough: str


def _number(lune: Lune, bed: int) -> int | None:
    return int(lune.number[bed]) if bed >= 0 else None


def _margin(design: Design, lune: Lune, row: _Row, available: float | None) -> Margin:
    """A margin from the least share of the available capacity that leaves a line: factor = 1/share."""
    required = design.criteria.required[row.check]
    basis: Basis = design.basis(*row.paths)
    share = row.share.value
    course = _number(lune, row.share.bed)
    if share is None:
        why = row.none_enough if row.share.closed else "the search did not close: cannot say"
        return Margin(row.check, available, None, row.unit, None, required, False, course, basis, why)
    if share == 0.0:
        return Margin(row.check, available, 0.0, row.unit, None, required, True, course, basis, row.nothing_needed)
    factor = 1.0 / share
    needed = None if available is None else available * share
    return Margin(row.check, available, needed, row.unit, factor, required, factor >= required, course, basis)


def _wire_margin(design: Design, lune: Lune, q: Quantities) -> Margin:
    check, required = "wire tension", design.criteria.required["wire tension"]
    available, needed = float(lune.wire.max()), q.wire.value
    basis = design.basis("beds.wire_strands", "beds.wire_breaking_load", "beds.wire_counted_share", "beds.friction")
    course = _number(lune, q.wire.bed)
    if needed is None:
        return Margin(
            check, available, None, "kN", None, required, False, course, basis, "no tension of the wire is enough"
        )
    if needed == 0.0:
        return Margin(check, available, 0.0, "kN", None, required, True, None, basis, "no wire is needed to stand")
    factor = available / needed
    return Margin(check, available, needed, "kN", factor, required, factor >= required, course, basis)


def _ground_margins(design: Design, lune: Lune, q: Quantities) -> list[Margin]:
    out = []
    lowest = int(lune.number[-1])
    slide, bear = design.criteria.required["base sliding"], design.criteria.required["ground bearing"]
    slide_basis, bear_basis = design.basis("site.ground_friction"), design.basis("site.ground_bearing")
    if q.base_friction is None or q.base_x is None:
        why = "no thrust line reaches the ground"
        return [
            Margin("base sliding", design.site.ground_friction, None, "", None, slide, False, lowest, slide_basis, why),
            Margin(
                "ground bearing", design.site.ground_bearing, None, "kPa", None, bear, False, lowest, bear_basis, why
            ),
        ]
    if q.base_friction < 1e-9:
        out.append(
            Margin(
                "base sliding",
                design.site.ground_friction,
                0.0,
                "",
                None,
                slide,
                True,
                lowest,
                slide_basis,
                "a line without sideways thrust at the base exists",
            )
        )
    else:
        factor = design.site.ground_friction / q.base_friction
        out.append(
            Margin(
                "base sliding",
                design.site.ground_friction,
                q.base_friction,
                "",
                factor,
                slide,
                factor >= slide,
                lowest,
                slide_basis,
            )
        )
    stress = bearing_stress(float(lune.vertical[-1]), q.base_x, float(lune.bed_inner[-1]), float(lune.bed_outer[-1]))
    factor = design.site.ground_bearing / stress.edge
    out.append(
        Margin(
            "ground bearing",
            design.site.ground_bearing,
            stress.edge,
            "kPa",
            factor,
            bear,
            factor >= bear,
            lowest,
            bear_basis,
            "edge stress for the middlemost line",
        )
    )
    return out


def _at(values: Floats, bed: int) -> float:
    """Available value at the governing bed; the least one when no bed governs."""
    return float(values[bed]) if bed >= 0 else float(values.min())


def _strength_path(design: Design, case: Case) -> str:
    worst = min(case.states, key=lambda state: state.strength)
    if worst.strength == design.fill.strength_dry:
        return "fill.strength_dry"
    return "fill.strength_wet" if worst.strength == design.fill.strength_wet else "fill.strength_as_placed"


def case_margins(design: Design, case: Case, lune: Lune, q: Quantities) -> tuple[Margin, ...]:
    """All margins of one case, in the order of CHECKS."""
    wire_paths = ("beds.wire_strands", "beds.wire_breaking_load", "beds.wire_counted_share")
    rows = [
        _Row(
            "bed friction",
            "",
            _at(lune.friction, q.friction_share.bed),
            q.friction_share,
            ("beds.friction", *wire_paths),
            "no friction is needed",
            "no friction is enough",
        ),
        _Row(
            "geometric factor",
            "",
            None,
            q.contact_share,
            ("wall.filled_width", "wall.edge_rounding"),
            "over 100",
            "no line stays on the beds",
        ),
        _Row(
            strength_check(case),
            "kPa",
            _at(lune.crush_inner, q.strength_share.bed),
            q.strength_share,
            (_strength_path(design, case),),
            "next to no strength is needed",
            "no multiple of this strength is enough",
        ),
    ]
    margins = [_margin(design, lune, row, row.available) for row in rows]
    margins.append(_wire_margin(design, lune, q))
    reserve = _Row(
        "overall reserve",
        "",
        None,
        q.reserve_share,
        ("beds.friction", *wire_paths, _strength_path(design, case), "wall.filled_width"),
        "over 1000",
        "no reserve: not even with more of everything",
    )
    margins.append(_margin(design, lune, reserve, None))
    margins.extend(_ground_margins(design, lune, q))
    return tuple(margins)
