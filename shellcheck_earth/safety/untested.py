"""What nobody measured, asked at the ends of its range: the design there, and what comes of it."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from types import MappingProxyType
from typing import Any

from shellcheck_earth.basics.errors import InputError
from shellcheck_earth.design.design import Design, Fill
from shellcheck_earth.design.gate import attribute_of
from shellcheck_earth.geometry.courses import Dome
from shellcheck_earth.loads.crew import highest_stood_on
from shellcheck_earth.loads.materials import WET_SATURATION, saturated_moisture
from shellcheck_earth.loads.model import needs_more_than_crew
from shellcheck_earth.safety.inputs import (
    end_of,
    everywhere,
    favourable,
    inherits,
    is_measured,
    number_at,
    place_of,
    row_of,
    shown_as,
)
from shellcheck_earth.safety.result import Sensitivity, Verdict
from shellcheck_earth.safety.shortfalls import meets_all

__all__ = [
    "LEADING",
    "Trial",
    "blocks_rest_on",
    "brought_down",
    "sensitivity",
    "tried_ends",
    "unfavourable_trials",
    "with_number",
]


BELOW = {
    "beds.friction": ("friction_wet", "friction_no_wire"),
    "beds.cohesion": ("cohesion_wet",),
    "site.ground_friction": ("friction_wet",),
    "site.ground_bearing": ("bearing_wet",),
}
"""What may not be better than a value."""


LEADING = frozenset({*BELOW, "fill.strength_dry", "fill.strength_as_placed"})
"""Paths that may bring others down with them."""


def _follows(part: Any, path: str) -> dict[str, float | None]:
    """What changes with a value just changed in a section: a wet value comes down to the dry one, a young strength to
    the hardened one."""
    if path in BELOW:
        most = getattr(part, attribute_of(path)[1])
        return {name: min(most, now) for name in BELOW[path] if (now := getattr(part, name)) is not None}
    if path == "fill.strength_dry":
        placed = min(part.strength_as_placed, part.strength_dry)
        ceiling = placed if part.stabiliser == "none" else part.strength_dry
        return {"strength_as_placed": placed, "strength_wet": min(part.strength_wet, ceiling)}
    if path == "fill.strength_as_placed" and part.stabiliser == "none":
        return {"strength_wet": min(part.strength_wet, part.strength_as_placed)}
    # another width is another tube: the flat width would contradict it
    return {"flat_width": None} if path == "wall.filled_width" else {}


def with_number(design: Design, path: str, value: float) -> Design:
    """The design with one number changed and what may not be better than it brought down with it, else as it was.

    InputError where the value contradicts the rest of the design.
    """
    if path in _HELPS:
        return replace(design, building=replace(design.building, **_HELPS[path]))
    group, inside = place_of(path)
    section, attribute = attribute_of(inside)
    if section == "fill":
        return _with_fill(design, group, inside, value)
    part = replace(getattr(design, section), **{attribute: value})
    return replace(design, **{section: replace(part, **_follows(part, path))})


def _with_fill(design: Design, group: int, path: str, value: float) -> Design:
    """A value of the fill changed, of the wall with the groups of courses that inherit it, or of one group alone."""

    def changed(fill: Fill) -> Fill:
        new: dict[str, Any] = {attribute_of(path)[1]: value}
        part = replace(fill, **new)
        more: dict[str, Any] = dict(_follows(part, path))
        return replace(part, **more)

    groups = tuple(
        replace(one, fill=changed(one.fill)) if k == group or (not group and inherits(design, k, path)) else one
        for k, one in enumerate(design.groups, 1)
    )
    return replace(design, fill=design.fill if group else changed(design.fill), groups=groups)


def brought_down(design: Design, path: str, value: float) -> dict[str, float]:
    """The paths that come down with a number, as in `with_number`, and their new values; {} where none has to."""
    section, attribute = attribute_of(path)
    part = getattr(design, section)
    ground = {"friction_wet": "site.ground_friction_wet", "bearing_wet": "site.ground_bearing_wet"}
    out = {}
    for name, now in _follows(replace(part, **{attribute: value}), path).items():
        if now is not None and now != getattr(part, name):
            out[ground[name] if section == "site" else f"{section}.{name}"] = now
    return out


def _trials(design: Design) -> Iterator[tuple[str, float, str]]:
    for path in everywhere(design, favourable("more", "less", "either", decided=True)):
        row = row_of(design, path)
        if row is None or not row.low or is_measured(design, path):
            continue
        for text in (row.low, row.high):
            value = end_of(design, text, row, path)
            yield path, value, shown_as(design, value, row)


_HELPS: Mapping[str, Mapping[str, Any]] = MappingProxyType(
    {
        "building.climate": {"climate": "none", "drying": ()},
        "building.drying": {"climate": "none", "drying": ()},
        "building.count_fabric": {"count_fabric": False},
    }
)
"""What a design may count on without a test, and the building without it."""


def _untested_helps(design: Design) -> Iterator[str]:
    """Drying by a climate or by a table that nobody measured, and fabric whose strength or loss was not tested."""
    if design.building.drying:
        if not is_measured(design, "building.drying"):
            yield "building.drying"
    elif design.building.climate != "none":
        yield "building.climate"
    tested = all(is_measured(design, path) for path in ("wall.fabric_strength", "building.fabric_loss"))
    if design.building.count_fabric and not tested:
        yield "building.count_fabric"


def unfavourable_trials(design: Design) -> Iterator[tuple[str, float, Design, str]]:
    """(path, the unfavourable end of its range, the design there, the end as shown) for every input that was
    not measured. A trial that contradicts the rest of the design is left out."""
    ends = [
        (path, end == "less")
        for end in ("more", "less")
        for path in everywhere(design, favourable(end, "either", decided=False))
    ]
    for path, high in ends:
        row = row_of(design, path)
        text = "" if row is None else row.high if high else row.low
        if row is None or not text or is_measured(design, path):
            continue
        value = end_of(design, text, row, path)
        here = number_at(design, path)  # None: nothing was said, which is no better than the bad end
        if here is not None and (float(here) >= value if high else float(here) <= value):
            continue  # already as bad as its range allows
        try:
            trial = with_number(design, path, value)
        except InputError:
            continue
        yield path, value, trial, shown_as(design, value, row)
    for path in _untested_helps(design):
        yield path, 0.0, with_number(design, path, 0.0), "none"


BLOCKS_REST_ON = frozenset(
    {
        "fill.strength_dry",
        "fill.strength_as_placed",
        "fill.strength_wet",
        "beds.friction",
        "beds.friction_wet",
        "beds.friction_no_wire",
        "beds.wire_breaking_load",
        "wall.edge_rounding",
    }
)
"""What the blocks can bear: no trial asks them again at the end of a range. (Of the ground they count the low end, and
weights do not change what friction holds.)"""


OF_WIRE = frozenset({"beds.wire_breaking_load", "beds.friction_no_wire"})
"""What blocks are asked only where there is wire, which may go."""

WET_BEDS = "beds.friction_wet"
HARDENED = frozenset({"fill.strength_dry", "fill.strength_wet", "beds.friction_no_wire", WET_BEDS})
"""What they are asked only of what has hardened, has been wetted since it was placed, or has lost its wire."""


def blocks_rest_on(dome: Dome) -> tuple[tuple[str, str, str], ...]:
    """(path, value, bad end of its range, both as shown) of every value that the block model is asked with though
    nobody measured it, and that its range would make worse. Where one person on one side is all that blocks are asked,
    and a scaffold keeps him off the finished dome, nothing rests on what hardens later."""
    design, out = dome.design, []
    fresh = not needs_more_than_crew(design) and highest_stood_on(dome) != dome.top_number
    fills = (design.fill, *(group.fill for group in design.groups))
    soaked = any(fill.placing_moisture >= WET_SATURATION * saturated_moisture(fill) for fill in fills)
    spared = HARDENED - {WET_BEDS} if soaked else HARDENED
    for path, _, _, end in unfavourable_trials(design):
        inside = place_of(path)[1]
        asked = inside in BLOCKS_REST_ON and not (fresh and inside in spared)
        laid = inside not in OF_WIRE or design.beds.wire_strands > 0
        if asked and laid and (row := row_of(design, path)) is not None:
            out.append((path, shown_as(design, number_at(design, path), row), end))
    return tuple(out)


@dataclass(frozen=True)
class Trial:
    """An input that was not measured, at one end of its range as shown; whether the ring-symmetric check then meets,
    and whether it does as the design stands."""

    path: str
    shown: str
    meets: bool
    here: bool


def tried_ends(design: Design) -> tuple[Trial, ...]:
    """Each input that was not measured at the ends of its range, one at a time."""
    here = meets_all(design)
    out = []
    for path, value, shown in _trials(design):
        try:
            trial = with_number(design, path, value)
        except InputError:  # contradicts the rest of the design
            continue
        out.append(Trial(path, shown, meets_all(trial), here))
    return tuple(out)


def sensitivity(tried: Sequence[Trial], verdict: Verdict) -> tuple[Sensitivity, ...]:
    """The ring-symmetric verdict at each of those ends.

    Where the design itself cannot be decided by the ring-symmetric check, its answer alone is compared.
    """
    out = []
    for one in tried:
        there: Verdict = verdict if one.meets == one.here else ("meets" if one.meets else "falls short")
        if there == "meets" and verdict == "cannot say":
            there = "cannot say"
        out.append(Sensitivity(one.path, one.shown, there, one.meets != one.here))
    return tuple(out)
