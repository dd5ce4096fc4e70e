"""Every input that was not measured, with its range and how it is known, and which of them decides the verdict."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from types import MappingProxyType
from typing import Any

from shellcheck_earth.basics.errors import InputError
from shellcheck_earth.basics.units import Dimension, both, parse_quantity
from shellcheck_earth.basics.values import Sourced, defaults, fixed, fixed_values
from shellcheck_earth.design.design import Design, Fill, group_path
from shellcheck_earth.design.gate import attribute_of
from shellcheck_earth.design.schema import SPANS
from shellcheck_earth.loads.model import Model
from shellcheck_earth.safety.result import Assumption, FixedNumber, Sensitivity, Verdict
from shellcheck_earth.safety.shortfalls import meets_all

__all__ = [
    "LEADING",
    "BeyondRange",
    "Trial",
    "assumptions",
    "beyond_range",
    "brought_down",
    "fixed_numbers",
    "sensitivity",
    "tried_ends",
    "unfavourable_trials",
    "with_number",
]

LEVEL_OF = {"site.wind_basis": "wind_pressure", "site.earthquake_basis": "earthquake"}
"""What a load is stated as, and the load."""

OF_A_LIST, AN_OPENING = re.compile(r"\[\d+\]"), re.compile(r"opening\[(\d+)\]\.(\w+)")
"""The place of a row in a list of the file, and the path of an opening's value."""

SECTIONS = ("dome", "wall", "fill", "beds", "plaster", "building", "site")


_ALWAYS = ("physics", "fill", "rain", "building", "crew", "laying")
"""Kinds of fixed numbers that every answer rests on."""


def fixed_numbers(model: Model) -> tuple[FixedNumber, ...]:
    """The fixed numbers that this design's answer rests on, in the order of their table."""
    design = model.design
    kinds = {*_ALWAYS}
    kinds |= {"openings", "heads", "wire", "blocks"} if model.needs_blocks else set()
    kinds |= {"wind"} if design.site.wind_pressure else set()
    climate = f"drying.{design.building.climate.replace(' ', '_')}"
    used = [key for key in fixed_values() if key.split(".")[0] in kinds or key in (climate, "drying.thinnest")]
    return tuple(_fixed(design, key) for key in used)


def _fixed(design: Design, key: str) -> FixedNumber:
    row = fixed_values()[key]
    return FixedNumber(
        key,
        _shown(design, fixed(key), row),
        row.known,
        row.source.text.removesuffix(", always shown as assumed"),
        row.note,
    )


def _favourable(*ends: str, decided: bool) -> tuple[str, ...]:
    """Inputs whose favourable end is one of `ends`, as declared beside their ranges; `decided`: also those that no
    test decides."""
    return tuple(
        path
        for path, row in defaults().items()
        if row.extra.get("better") in ends and (decided or not row.extra.get("decided"))
    )


def _place(path: str) -> tuple[int, str]:
    """(group of courses, 0 for the wall's own fill; the path as in [fill])."""
    found = re.fullmatch(r"wall\.courses\[(\d+)\]\.(\w+)", path)
    return (int(found[1]), f"fill.{found[2]}") if found else (0, path)


def _fill(design: Design, group: int) -> Fill:
    return design.groups[group - 1].fill if group else design.fill


def _inherits(design: Design, group: int, path: str) -> bool:
    """Whether a group of courses has a value of [fill] for its own: the same number of the same kind of fill, known in
    the same way."""
    name, fill = attribute_of(path)[1], _fill(design, group)
    same = getattr(fill, name) == getattr(design.fill, name) and fill.stabiliser == design.fill.stabiliser
    return same and design.bases.get(group_path(group, path)) == design.bases.get(path)


def _everywhere(design: Design, paths: Iterable[str]) -> Iterator[str]:
    """The paths, and behind each of the fill the same of every group of courses that has a value of its own."""
    for path in paths:
        yield path
        if path.startswith("fill."):
            own = (k for k in range(1, len(design.groups) + 1) if not _inherits(design, k, path))
            yield from (group_path(k, path) for k in own)


def _measured(design: Design, path: str) -> bool:
    return design.bases.get(path) == "measured"


def _row(design: Design, path: str) -> Sourced | None:
    """The default that a path falls back on, in this design's circumstances."""
    group, path = _place(path)
    if path.startswith("fill.strength"):
        mixed = {"none": "", "cement": "stabilised.", "lime": "lime."}[_fill(design, group).stabiliser]
        path = path.replace("fill.", f"fill.{mixed}")
    elif path == "beds.friction" and design.wall.fabric == "open mesh":
        path = "beds.mesh.friction"
    elif path == "beds.friction" and design.beds.wire_strands:
        path = "beds.wired.friction"
    elif path == "beds.friction_wet" and design.wall.fabric == "open mesh":
        path = "beds.mesh.friction_wet"
    elif path == "beds.friction_no_wire" and design.wall.fabric == "open mesh":
        path = "beds.mesh.friction"
    return defaults().get(OF_A_LIST.sub("", path))


def _number(design: Design, path: str) -> Any:
    """The value as used, or None where the path is no number of the design."""
    if found := AN_OPENING.fullmatch(path):
        index = int(found[1]) - 1
        return getattr(design.openings[index], found[2], None) if index < len(design.openings) else None
    group, inside = _place(path)
    section, attribute = attribute_of(inside)
    return getattr(_fill(design, group) if group else getattr(design, section, None), attribute, None)


def _shown(design: Design, value: Any, row: Sourced) -> str:
    if row.dimension == "count":
        return f"{value:g}"
    if isinstance(value, bool) or value is None or isinstance(value, str | tuple):
        if isinstance(value, bool):
            return "yes" if value else "no"
        return str(value) if value else "none"
    dimension: Any = "length" if row.dimension == "text" else row.dimension
    if dimension == "share":
        return f"{100 * value:.3g} %"
    return both(float(value), dimension, design.unit_system)


def _end(design: Design, text: str, row: Sourced, path: str = "") -> float:
    if text == "as placed":
        return _fill(design, _place(path)[0]).placing_moisture
    dimension: Any = "number" if row.dimension == "count" else row.dimension
    raw: object = float(text) if dimension in ("number", "share") and "%" not in text else text
    value = parse_quantity(raw, dimension)
    return round(value) if row.dimension == "count" else value


def assumptions(design: Design) -> tuple[Assumption, ...]:
    """All inputs that were not measured, in the order of the design file; geometry stated by the user is left out."""
    out = []
    for path, basis in design.bases.items():
        row, group = _row(design, path), _place(path)[0]
        if row is None or basis == "measured" or (basis == "stated" and not row.low):
            continue
        if group and _inherits(design, group, _place(path)[1]):
            continue
        if path in LEVEL_OF and not getattr(design.site, LEVEL_OF[path]):
            continue  # of a load that is not there
        value = _number(design, path)
        low, high = ((_shown(design, _end(design, end, row, path), row) if end else "") for end in (row.low, row.high))
        known, source = ("stated", "the design file") if basis == "stated" else (row.known, row.source.text)
        if basis == "assumed" and row.note:
            source = f"{source}. {row.note}"
        out.append(Assumption(path, _shown(design, value, row), low, high, basis, known, source, row.how_to_measure))
    return (*out, *_handed_in(design))


HOW_GIVEN = "The engineer of what is handed in gives this force, with its range, and where it acts"


def _handed_in(design: Design) -> Iterator[Assumption]:
    """What is handed into a ring all around, where it was not measured: every end of it is asked."""
    for number, load in enumerate(design.ring_loads, 1):
        for key in SPANS:
            path, ends = f"ring_load[{number}].{key}", getattr(load, key)
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
        for path in _everywhere(design, _favourable(end, decided=True))
        if (found := _beyond(design, path, above=above)) is not None
    )


def _beyond(design: Design, path: str, *, above: bool) -> BeyondRange | None:
    row = _row(design, path)
    text = "" if row is None else row.high if above else row.low
    settled = (None,) if row is not None and row.extra.get("decided") else (None, "measured")
    if row is None or not text or design.bases.get(path) in settled:
        return None
    stated = _number(design, path)
    if stated is None:  # never covered: there is nothing past the favourable end
        return None
    value, end = float(stated), _end(design, text, row, path)
    past = value > end * (1 + 1e-9) if above else value < end * (1 - 1e-9)
    return BeyondRange(path, _shown(design, value, row), _shown(design, end, row), above) if past else None


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
    group, inside = _place(path)
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
        replace(one, fill=changed(one.fill)) if k == group or (not group and _inherits(design, k, path)) else one
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
    for path in _everywhere(design, _favourable("more", "less", "either", decided=True)):
        row = _row(design, path)
        if row is None or not row.low or _measured(design, path):
            continue
        for text in (row.low, row.high):
            value = _end(design, text, row, path)
            yield path, value, _shown(design, value, row)


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
        if not _measured(design, "building.drying"):
            yield "building.drying"
    elif design.building.climate != "none":
        yield "building.climate"
    tested = all(_measured(design, path) for path in ("wall.fabric_strength", "building.fabric_loss"))
    if design.building.count_fabric and not tested:
        yield "building.count_fabric"


def unfavourable_trials(design: Design) -> Iterator[tuple[str, float, Design, str]]:
    """(path, the unfavourable end of its range, the design there, the end as shown) for every input that was
    not measured. A trial that contradicts the rest of the design is left out."""
    ends = [
        (path, end == "less")
        for end in ("more", "less")
        for path in _everywhere(design, _favourable(end, "either", decided=False))
    ]
    for path, high in ends:
        row = _row(design, path)
        text = "" if row is None else row.high if high else row.low
        if row is None or not text or _measured(design, path):
            continue
        value = _end(design, text, row, path)
        here = _number(design, path)  # None: nothing was said, which is no better than the bad end
        if here is not None and (float(here) >= value if high else float(here) <= value):
            continue  # already as bad as its range allows
        try:
            trial = with_number(design, path, value)
        except InputError:
            continue
        yield path, value, trial, _shown(design, value, row)
    for path in _untested_helps(design):
        yield path, 0.0, with_number(design, path, 0.0), "none"


BLOCKS_REST_ON = frozenset(
    {
        "fill.strength_dry",
        "fill.strength_as_placed",
        "fill.strength_wet",
        "beds.friction",
        "beds.friction_wet",
        "beds.wire_breaking_load",
        "wall.edge_rounding",
    }
)
"""What the blocks can bear: no trial asks them again at the end of a range. (Of the ground they count the low end, and
weights do not change what friction holds.)"""


def blocks_rest_on(design: Design) -> tuple[tuple[str, str, str], ...]:
    """(path, value, bad end of its range, both as shown) of every value that the block model is asked with though
    nobody measured it, and that its range would make worse."""
    out = []
    for path, _, _, end in unfavourable_trials(design):
        inside = _place(path)[1]
        laid = inside != "beds.wire_breaking_load" or design.beds.wire_strands > 0
        if inside in BLOCKS_REST_ON and laid and (row := _row(design, path)) is not None:
            out.append((path, _shown(design, _number(design, path), row), end))
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
