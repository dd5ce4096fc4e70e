"""What can be changed about a design so that it meets its criteria: each as a scale of amounts, written into the
design file.

A changed design goes through the reading and all the checks of a design file, like the user's own.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass
from typing import Any, Literal

from shellcheck_earth.design.design import Design, Fill
from shellcheck_earth.design.fills import default_strength_as_placed
from shellcheck_earth.design.keys import set_key, written_value
from shellcheck_earth.loads.materials import DRY_LIMIT

__all__ = ["MIX", "ChangeName", "Remedy", "remedies", "strength_placed_drier"]

Document = Mapping[str, Any]

ChangeName = Literal[
    "smaller diameter",
    "pivot farther out",
    "wider crown opening",
    "wider tube",
    "stabilised fill",
    "tested fill",
    "drier fill",
    "more wire",
    "slower pace",
]

STEPS = 12
"""Amounts looked at first, from a little to the most."""

WIDEST, SMALLEST, FARTHEST, WIDEST_CROWN, MOST_STRANDS, SLOWEST = 2.0, 0.4, 1.5, 0.6, 8, 0.25
"""How far each change is tried: times the width, times the diameter, pivot in diameters beyond the inner face, crown
opening in diameters, strands in a bed, courses a day."""


@dataclass(frozen=True)
class Remedy:
    """`amounts` from the smallest change to the largest tried; `apply` writes one into a document. `views/text/choose`
    says them.
    """

    name: ChangeName
    amounts: tuple[float, ...]
    apply: Callable[[Document, float], Document]


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


MIX = "6 %"
"""Cement in a mix, by dry mass (common practice, no source)."""


def _stabilised(document: Document, amount: float) -> Document:
    del amount
    plain = _without(document, "fill", "strength_dry", "strength_as_placed", "strength_wet")
    return set_key(set_key(plain, "fill.stabiliser", "cement"), "fill.stabiliser_share", MIX)


def _tested(document: Document, amount: float) -> Document:
    from shellcheck_earth.geometry.reading import design_from_document

    del amount
    fill = design_from_document(document).fill
    for key in ("strength_dry", "strength_as_placed", "strength_wet"):
        marked = {"value": f"{getattr(fill, key):.17g} kPa", "source": "measured"}
        document = set_key(_without(document, "fill", key), f"fill.{key}", marked)
    return document


def strength_placed_drier(fill: Fill, moisture: float) -> float:
    """Strength as placed [kPa] of unstabilised fill that is placed at a lower moisture [-]: by the curve that `check`
    takes where none is stated. A fill that is weaker than the curve stays so in proportion, and drier is never weaker.
    """
    curve = default_strength_as_placed(fill.strength_dry, fill.placing_moisture)
    share = min(fill.strength_as_placed / curve, 1.0)
    return max(share * default_strength_as_placed(fill.strength_dry, moisture), fill.strength_as_placed)


def _drier(design: Design) -> Callable[[Document, float], Document]:
    fill = design.fill

    def apply(document: Document, amount: float) -> Document:
        document = set_key(document, "fill.placing_moisture", f"{100 * amount:.9g} %")
        if written_value(document, "fill.service_moisture") is not None:
            service = min(fill.service_moisture, amount)
            document = set_key(document, "fill.service_moisture", f"{100 * service:.9g} %")
        if fill.stabiliser == "none" and written_value(document, "fill.strength_as_placed") is not None:
            # tested at another moisture, it has not been tested at this one
            strength = {"value": f"{strength_placed_drier(fill, amount):.17g} kPa", "source": "assumed"}
            document = set_key(document, "fill.strength_as_placed", strength)
        return document

    return apply


def _slower(document: Document, amount: float) -> Document:
    return set_key(document, "building.courses_per_day", amount)


def _shapes(design: Design) -> Iterator[Remedy]:
    """Changes of the dome's shape; a measured profile has none to vary."""
    dome = design.dome
    if dome.profile == "measured":
        return
    smaller = _scale(dome.inside_diameter, SMALLEST * dome.inside_diameter, 0.05)
    yield Remedy("smaller diameter", smaller, _length("dome.inside_diameter"))
    here = dome.pivot_beyond_inner_face if dome.profile == "pointed" else -dome.inside_diameter / 2
    yield Remedy("pivot farther out", _scale(here, FARTHEST * dome.inside_diameter, 0.05), _pivot)
    crown = _scale(dome.crown_opening, WIDEST_CROWN * dome.inside_diameter, 0.05)
    yield Remedy("wider crown opening", crown, _length("dome.crown_opening"))


def _fills(design: Design) -> Iterator[Remedy]:
    """Changes of the fill."""
    if design.fill.stabiliser == "none":
        yield Remedy("stabilised fill", (1.0,), _stabilised)
    if any(design.basis(f"fill.{key}") != "measured" for key in ("strength_dry", "strength_as_placed")):
        yield Remedy("tested fill", (1.0,), _tested)
    if design.fill.placing_moisture > DRY_LIMIT:
        yield Remedy("drier fill", _scale(design.fill.placing_moisture, DRY_LIMIT, 0.005), _drier(design))


def remedies(design: Design) -> tuple[Remedy, ...]:
    """The changes that make sense for this design, in the order of the design file."""
    wall = design.wall
    strands = tuple(float(n) for n in range(design.beds.wire_strands + 1, MOST_STRANDS + 1))
    pace = design.building.courses_per_day
    slower = tuple(value for value in (6.0, 5.0, 4.0, 3.0, 2.0, 1.0, 0.5, SLOWEST) if value < pace)
    out = (
        *_shapes(design),
        Remedy("wider tube", _scale(wall.filled_width, WIDEST * wall.filled_width, 0.005), _wider),
        *_fills(design),
        Remedy("more wire", strands, _strands),
        Remedy("slower pace", slower, _slower),
    )
    return tuple(remedy for remedy in out if remedy.amounts)
