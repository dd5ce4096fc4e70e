"""What can be changed about a design so that it meets its criteria: each as a scale of amounts, written into the
design file.

A changed design goes through the reading and all the checks of a design file, like the user's own.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Any

from shellcheck_earth.basics.units import both
from shellcheck_earth.design.design import Design
from shellcheck_earth.design.keys import set_key
from shellcheck_earth.loads.materials import DRY_LIMIT, strength_at

__all__ = ["Remedy", "remedies"]

Document = Mapping[str, Any]

STEPS = 12
"""Amounts looked at first, from a little to the most."""

WIDEST, SMALLEST, FARTHEST, WIDEST_CROWN, MOST_STRANDS, SLOWEST = 2.0, 0.4, 1.5, 0.6, 8, 0.25
"""How far each change is tried: times the width, times the diameter, pivot in diameters beyond the inner face, crown
opening in
diameters, strands in a bed, courses a day."""


@dataclass(frozen=True)
class Remedy:
    """`amounts` from the smallest change to the largest tried; `apply` writes one into a document; `words` says one.

    `note` is what a builder has to know about it (common practice, no source, unless it says otherwise).
    """

    name: str
    amounts: tuple[float, ...]
    apply: Callable[[Document, float], Document]
    words: Callable[[float], str]
    note: str


def _scale(start: float, end: float, step: float) -> tuple[float, ...]:
    """Multiples of `step` after `start` up to `end`, either way."""
    sign = 1.0 if end > start else -1.0
    first = math.floor(start / step + 1e-9) + 1 if sign > 0 else math.ceil(start / step - 1e-9) - 1
    out = []
    while sign * (first * step - end) <= 1e-9:
        out.append(round(first * step, 9))
        first += int(sign)
    return tuple(out)


def _without(document: Document, table: str, *keys: str) -> dict[str, Any]:
    out = dict(document)
    out[table] = {key: value for key, value in dict(out.get(table, {})).items() if key not in keys}
    return out


def _length(path: str) -> Callable[[Document, float], Document]:
    return lambda document, amount: set_key(document, path, f"{amount:.9g} m")


def _wider(document: Document, amount: float) -> Document:
    return set_key(_without(document, "wall", "flat_width"), "wall.filled_width", f"{amount:.9g} m")


def _pivot(document: Document, amount: float) -> Document:
    return set_key(set_key(document, "dome.profile", "pointed"), "dome.fixed_compass_pivot", f"{amount:.9g} m")


def _strands(document: Document, amount: float) -> Document:
    return set_key(document, "beds.wire_strands", int(amount))


def _stabilised(document: Document, amount: float) -> Document:
    del amount
    plain = _without(document, "fill", "strength_dry", "strength_as_placed", "strength_wet")
    return set_key(plain, "fill.stabiliser", "cement")


def _tested(document: Document, amount: float) -> Document:
    from shellcheck_earth.geometry.reading import design_from_document

    del amount
    fill = design_from_document(document).fill
    for key in ("strength_dry", "strength_as_placed", "strength_wet"):
        marked = {"value": f"{getattr(fill, key):.17g} kPa", "source": "measured"}
        document = set_key(_without(document, "fill", key), f"fill.{key}", marked)
    return document


def _drier(design: Design) -> Callable[[Document, float], Document]:
    def apply(document: Document, amount: float) -> Document:
        # Placed drier, the fill is as strong as the design's own curve makes it at that moisture.
        strength = strength_at(design.fill, amount)
        for path, value in (
            ("fill.placing_moisture", f"{100 * amount:.9g} %"),
            ("fill.strength_as_placed", f"{strength:.17g} kPa"),
            ("fill.service_moisture", f"{100 * min(design.fill.service_moisture, amount):.9g} %"),
        ):
            document = set_key(document, path, value)
        return document

    return apply


def _slower(document: Document, amount: float) -> Document:
    return set_key(document, "building.courses_per_day", amount)


def remedies(design: Design) -> tuple[Remedy, ...]:
    """The changes that make sense for this design, in the order of the design file."""
    dome, wall, system = design.dome, design.wall, design.unit_system

    def length(amount: float) -> str:
        return both(amount, "length", system)

    out = []
    if dome.profile != "measured":
        smaller = _scale(dome.inside_diameter, SMALLEST * dome.inside_diameter, 0.05)
        out.append(
            Remedy(
                "smaller diameter",
                smaller,
                _length("dome.inside_diameter"),
                lambda a: f"inside diameter {length(a)}",
                "A smaller room: two small domes may serve as well as a large one.",
            )
        )
        here = dome.pivot_beyond_inner_face if dome.profile == "pointed" else -dome.inside_diameter / 2
        out.append(
            Remedy(
                "pivot farther out",
                _scale(here, FARTHEST * dome.inside_diameter, 0.05),
                _pivot,
                lambda a: f"fixed compass pivot {length(a)} beyond the inner face",
                "A taller, more pointed dome with more courses.",
            )
        )
        out.append(
            Remedy(
                "wider crown opening",
                _scale(dome.crown_opening, WIDEST_CROWN * dome.inside_diameter, 0.05),
                _length("dome.crown_opening"),
                lambda a: f"crown opening {length(a)}",
                "Needs a ring to end on and a roof or skylight of its own; its weight is not counted here.",
            )
        )
    flat = (math.pi / 2 - 1) * wall.course_height
    out.append(
        Remedy(
            "wider tube",
            _scale(wall.filled_width, WIDEST * wall.filled_width, 0.005),
            _wider,
            lambda a: f"filled width {length(a)} (empty tube about {length(a + flat)} wide)",
            "More fill to carry for each metre.",
        )
    )
    if design.fill.stabiliser == "none":
        out.append(
            Remedy(
                "stabilised fill",
                (1.0,),
                _stabilised,
                lambda _: "fill stabilised with cement, strengths taken from the assumed values",
                "The strengths are assumed until samples of the mix are crushed; delay before tamping costs strength"
                " (Reddy & Prasanna Kumar 2011, abstract read).",
            )
        )
    if any(design.basis(f"fill.{key}") != "measured" for key in ("strength_dry", "strength_as_placed")):
        out.append(
            Remedy(
                "tested fill",
                (1.0,),
                _tested,
                lambda _: "the same strengths, confirmed by tests",
                "Tested fill is asked for a lower factor; it helps only if the tests confirm the strengths.",
            )
        )
    if design.fill.placing_moisture > DRY_LIMIT:
        out.append(
            Remedy(
                "drier fill",
                _scale(design.fill.placing_moisture, DRY_LIMIT, 0.005),
                _drier(design),
                lambda a: f"placed at {100 * a:.3g} % moisture",
                "Strength is read from the design's own curve against moisture: tests must confirm it; "
                "fill that is too dry does not tamp.",
            )
        )
    out.append(
        Remedy(
            "more wire",
            tuple(float(n) for n in range(design.beds.wire_strands + 1, MOST_STRANDS + 1)),
            _strands,
            lambda a: f"{a:.0f} {'strand' if a == 1 else 'strands'} of wire in each bed",
            "Strands must be lapped and kept from rust to count.",
        )
    )
    pace = design.building.courses_per_day
    slower = tuple(value for value in (6.0, 5.0, 4.0, 3.0, 2.0, 1.0, 0.5, SLOWEST) if value < pace)
    if slower:
        out.append(
            Remedy(
                "slower pace",
                slower,
                _slower,
                lambda a: f"{a:.3g} {'course' if a <= 1 else 'courses'} a day",
                "Counts only what dries between courses, in the cases that follow the calendar.",
            )
        )
    return tuple(remedy for remedy in out if remedy.amounts)
