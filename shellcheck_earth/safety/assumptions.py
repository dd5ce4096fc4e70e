"""What an answer rests on that was not measured: inputs with their ranges, stated values past them, fixed numbers."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from shellcheck_earth.basics.units import Dimension, both
from shellcheck_earth.basics.values import defaults, fixed, fixed_values
from shellcheck_earth.design.backfill import SPANS as EARTH_SPANS
from shellcheck_earth.design.design import Design
from shellcheck_earth.design.handed import SPANS
from shellcheck_earth.loads.earth import asked_span
from shellcheck_earth.loads.footing import asked_weight
from shellcheck_earth.loads.model import Model
from shellcheck_earth.safety.inputs import (
    end_of,
    everywhere,
    favourable,
    inherits,
    number_at,
    place_of,
    row_of,
    shown_as,
)
from shellcheck_earth.safety.result import Assumption, FixedNumber

__all__ = ["BeyondRange", "assumptions", "beyond_range", "fixed_numbers"]

LEVEL_OF = {"site.wind_basis": "wind_pressure", "site.earthquake_basis": "earthquake"}
"""What a load is stated as, and the load."""


_ALWAYS = ("physics", "fill", "rain", "building", "crew", "laying")
"""Kinds of fixed numbers that every answer rests on."""


def fixed_numbers(model: Model) -> tuple[FixedNumber, ...]:
    """The fixed numbers that this design's answer rests on, in the order of their table."""
    design = model.design
    kinds = {*_ALWAYS}
    kinds |= {"openings", "heads", "wire", "blocks"} if model.needs_blocks else set()
    kinds |= {"backfill"} if design.earth is not None else set()
    kinds |= {"wind"} if design.site.wind_pressure else set()
    climate = f"drying.{design.building.climate.replace(' ', '_')}"
    used = [key for key in fixed_values() if key.split(".")[0] in kinds or key in (climate, "drying.thinnest")]
    return tuple(_fixed(design, key) for key in used)


def _fixed(design: Design, key: str) -> FixedNumber:
    row = fixed_values()[key]
    return FixedNumber(
        key,
        shown_as(design, fixed(key), row),
        row.known,
        row.source.text.removesuffix(", always shown as assumed"),
        row.note,
    )


def assumptions(design: Design) -> tuple[Assumption, ...]:
    """All inputs that were not measured, in the order of the design file; geometry stated by the user is left out."""
    out = []
    for path, basis in design.bases.items():
        row, group = row_of(design, path), place_of(path)[0]
        if path.startswith(("backfill.", "footing.")):
            continue  # below: it is asked at more than one value
        if row is None or basis == "measured" or (basis == "stated" and not row.low):
            continue
        if group and inherits(design, group, place_of(path)[1]):
            continue
        if path in LEVEL_OF and not getattr(design.site, LEVEL_OF[path]):
            continue  # of a load that is not there
        value = number_at(design, path)
        low, high = (
            (shown_as(design, end_of(design, end, row, path), row) if end else "") for end in (row.low, row.high)
        )
        known, source = ("stated", "the design file") if basis == "stated" else (row.known, row.source.text)
        if basis == "assumed" and row.note:
            source = f"{source}. {row.note}"
        out.append(Assumption(path, shown_as(design, value, row), low, high, basis, known, source, row.how_to_measure))
    return (*out, *_earth(design), *_footing(design), *_handed_in(design))


def _earth(design: Design) -> Iterator[Assumption]:
    """Of the earth against the wall what was not measured, each with what it is asked at."""
    earth = design.earth
    if earth is None:
        return
    for key in ("unit_weight", "friction_angle", "compacted", "surcharge"):
        path = f"backfill.{key}"
        row, basis = defaults()[path], design.bases.get(path, "assumed")
        if basis == "measured":
            continue
        if key in EARTH_SPANS:
            low, high = (shown_as(design, end, row) for end in asked_span(design, key))
            value = f"{low}; {high}"
        else:
            value = shown_as(design, getattr(earth, key), row)
            low, high = (shown_as(design, end_of(design, end, row), row) if end else "" for end in (row.low, row.high))
        source = f"{row.source.text}. {row.note}" if basis == "assumed" or key in EARTH_SPANS else "the design file"
        known = "stated" if basis == "stated" else row.known
        yield Assumption(path, value, low, high, basis, known, source, row.how_to_measure)


def _footing(design: Design) -> Iterator[Assumption]:
    """The weight of a footing that nobody weighed, with what it is asked at."""
    path = "footing.unit_weight"
    basis = design.bases.get(path, "assumed")
    if design.footing is None or basis == "measured":
        return
    row = defaults()[path]
    low, high = (shown_as(design, end, row) for end in asked_weight(design))
    source = f"{row.source.text}. {row.note}"
    yield Assumption(path, f"{low}; {high}", low, high, basis, row.known, source, row.how_to_measure)


HOW_GIVEN = "The engineer of what is handed in gives this force, with its range, and where it acts"


def _handed_in(design: Design) -> Iterator[Assumption]:
    """What is handed in, all around or at one bearing, where it was not measured: every end of it is asked."""
    rings = [(f"ring_load[{k}]", one) for k, one in enumerate(design.ring_loads, 1)]
    single = [(f"bearing_load[{k}]", one) for k, one in enumerate(design.bearing_loads, 1)]
    for table, load in (*rings, *single):
        for key in SPANS:
            path, ends = f"{table}.{key}", getattr(load, key)
            basis = design.bases.get(path, "stated")
            if basis == "measured":
                continue
            dimension: Dimension = "length" if key == "from_inner_face" else "force"
            low, high = (both(end, dimension, design.unit_system) for end in ends)
            value = high if ends[0] == ends[1] else f"{low}; {high}"
            known = "stated" if basis == "stated" else "assumed"
            yield Assumption(path, value, low, high, basis, known, "the design file", HOW_GIVEN)


@dataclass(frozen=True)
class BeyondRange:
    """A value that the design states without having measured it, past the favourable end of its range; both as shown
    to the user.
    """

    path: str
    value: str
    end: str
    above: bool


def beyond_range(design: Design) -> tuple[BeyondRange, ...]:
    """Each value that the design file states on the favourable side of its range: not measured, or nothing that a test
    could settle (`decided`), whatever it is marked."""
    return tuple(
        found
        for end, above in (("more", True), ("less", False), ("either", True), ("either", False))
        for path in everywhere(design, favourable(end, decided=True))
        if (found := _beyond(design, path, above=above)) is not None
    )


def _beyond(design: Design, path: str, *, above: bool) -> BeyondRange | None:
    row = row_of(design, path)
    text = "" if row is None else row.high if above else row.low
    settled = (None,) if row is not None and row.extra.get("decided") else (None, "measured")
    if row is None or not text or design.bases.get(path) in settled:
        return None
    stated = number_at(design, path)
    if stated is None:  # never covered: there is nothing past the favourable end
        return None
    value, end = float(stated), end_of(design, text, row, path)
    past = value > end * (1 + 1e-9) if above else value < end * (1 - 1e-9)
    return BeyondRange(path, shown_as(design, value, row), shown_as(design, end, row), above) if past else None
