"""The one gate: what a design may hold, asked whenever one is built, from a file, in code, or by a change to another.

Ranges come from the declaration of the design file's keys (`schema.py`), so the file and the code are held to the same
ones; then comes what only several values together can show. The parts of a design are of no type here: `design.py`
stands above this module, and what passes the gate is what has them.
"""

from __future__ import annotations

import itertools
import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, fields
from functools import cache
from typing import Any, get_args

from shellcheck_earth.basics.errors import InputError, Problem
from shellcheck_earth.basics.frozen import FrozenMap
from shellcheck_earth.basics.texts import faulty_name
from shellcheck_earth.basics.units import both, format_quantity
from shellcheck_earth.design.backfill import SPANS as EARTH_SPANS
from shellcheck_earth.design.backfill import backfill_problems
from shellcheck_earth.design.footing import footing_problems
from shellcheck_earth.design.handed import MOST_BEARING_LOADS, MOST_RING_LOADS, SPANS, handed_problems
from shellcheck_earth.design.keys import known_keys
from shellcheck_earth.design.required import criteria_problems
from shellcheck_earth.design.schema import (
    AGE,
    DAY,
    DEPTH,
    LOADS,
    LONGEST_TEXT,
    MOISTURE,
    RADIUS,
    TOP,
    Basis,
    Within,
    show,
)

__all__ = ["attribute_of", "gate", "problems_of"]

SECTIONS = {
    "dome": "DomeShape",
    "wall": "Wall",
    "fill": "Fill",
    "beds": "Beds",
    "plaster": "Plaster",
    "building": "Building",
    "site": "Site",
}

ATTRIBUTES = {
    "dome.fixed_compass_pivot": "pivot_beyond_inner_face",
    "site.rain.intensity": "rain_intensity",
    "site.rain.hours": "rain_hours",
    "site.ground_bearing_wet": "bearing_wet",
    "site.ground_friction_wet": "friction_wet",
    "wall.courses[].from": "lowest",
    "wall.courses[].to": "highest",
}
"""Where a value has another name in the design than in the file."""

ELSEWHERE = {
    "dome.inner_radii",
    "dome.course_tops",
    "building.drying",
    "building.laid_on",
    "building.wetted",
    "site.not_stated",
    "site.none_because",
    "wall.courses[].fill",
    *(f"{table}[].{key}" for table in ("ring_load", "bearing_load") for key in ("name", *SPANS)),
    *(f"backfill.{key}" for key in (*EARTH_SPANS, "drained")),
    "footing.unit_weight",
}
"""What has questions of its own below."""


def attribute_of(path: str) -> tuple[str, str]:
    """(section, attribute) of a design that holds the value of a path of the file, such as ``site.rain.hours``."""
    section, _, key = path.partition(".")
    return section, ATTRIBUTES.get(path, key)


@dataclass(frozen=True)
class _Row:
    """What one attribute may be; `within` None for a word or a yes/no."""

    path: str
    within: Within | None
    words: tuple[Any, ...]
    optional: bool

    def takes(self, value: object) -> bool:
        if value is None:
            return self.optional
        if self.within is not None:
            return self.within.holds(value)
        return type(value) in (str, bool) and value in self.words

    @property
    def expected(self) -> str:
        return self.within.span if self.within else " or ".join(show(word) for word in self.words)

    def found(self, value: Any) -> str:
        number = isinstance(value, int | float) and not isinstance(value, bool) and abs(value) < 1e300
        return format_quantity(float(value), self.within.dimension) if self.within and number else show(value)


@cache
def _rows(kind: type[Any], prefix: str) -> tuple[tuple[str, float, float, _Row], ...]:
    """(attribute, lowest and highest float it may be, what it may be at all) of a section; `prefix` is the section's
    path in the file, ``opening[].`` and so on. KeyError for an attribute that no key of the file declares."""
    known = known_keys()
    paths = {ATTRIBUTES.get(path, path.removeprefix(prefix)): path for path in known if path.startswith(prefix)}
    out = []
    for field in fields(kind):
        if prefix + field.name in ELSEWHERE:
            continue
        path, annotation = paths[field.name], str(field.type)
        key = known[path]
        words = (True, False) if annotation == "bool" else key.words
        row = _Row(path.removeprefix(prefix), key.within, words, annotation.endswith("| None"))
        decimal = key.within is not None and not key.within.whole
        low, high = (key.within.low, key.within.high) if key.within and decimal else (1.0, 0.0)
        out.append((field.name, low, high, row))
    return tuple(out)


def _section(part: Any, kind: str, path: str, prefix: str) -> list[Problem]:
    """Faults of single values of a section."""
    if type(part).__name__ != kind:
        return [Problem(path, f"a {kind}", show(part))]
    kind_of: Any = type(part)
    rows = _rows(kind_of, prefix)
    values = vars(part)
    problems = []
    for attribute, low, high, row in rows:
        value = values[attribute]
        if type(value) is float and low <= value <= high:
            continue  # most values, and soon: thousands of designs are built in a sweep
        if not row.takes(value):
            problems.append(Problem(f"{path}.{row.path}", row.expected, row.found(value)))
    return problems


def _list(items: Any, kind: str, path: str, prefix: str) -> list[Problem]:
    if not isinstance(items, tuple):
        return [Problem(path, f"a tuple of {kind}", show(items))]
    return [
        problem for index, item in enumerate(items) for problem in _section(item, kind, f"{path}[{index + 1}]", prefix)
    ]


def _lists(design: Any) -> Iterator[Problem]:
    """Faults of values that are lists."""
    radii = design.dome.inner_radii
    if not isinstance(radii, tuple) or not all(RADIUS.holds(radius) for radius in radii):
        yield Problem("dome.inner_radii", f"a tuple of radii, each {RADIUS.span}", show(radii))
    for path, values, each in (
        ("dome.course_tops", design.dome.course_tops, TOP),
        ("building.laid_on", design.building.laid_on, DAY),
        ("building.wetted", design.building.wetted, DEPTH),
    ):
        if not isinstance(values, tuple) or len(values) > 400 or not all(map(each.holds, values)):
            yield Problem(path, f"a tuple with one value a course, each {each.span}", show(values))
        elif path != "building.wetted" and any(b < a for a, b in itertools.pairwise(values)):
            yield Problem(path, "values that do not fall, lowest course first", show(values))
    within = {path: key.within for path, key in known_keys().items()}
    yield from handed_problems(design.ring_loads, "ring_load", MOST_RING_LOADS, within)
    yield from handed_problems(design.bearing_loads, "bearing_load", MOST_BEARING_LOADS, within)
    if design.backfill is not None:
        yield from backfill_problems(design.backfill, design.dome.floor_above_ground)
    if design.footing is not None:
        yield from footing_problems(design.footing, design.wall.filled_width, design.unit_system)
    drying = design.building.drying
    if not isinstance(drying, tuple) or not all(
        isinstance(pair, tuple)
        and len(pair) == 2
        and isinstance(pair[0], int | float)
        and AGE.holds(pair[0] * 24.0)
        and MOISTURE.holds(pair[1])
        for pair in drying
    ):
        yield Problem("building.drying", "pairs of age in days and moisture", show(drying))
    elif any(b[0] <= a[0] or b[1] > a[1] for a, b in itertools.pairwise(drying)):
        yield Problem("building.drying", "ages that rise and moistures that do not", show(drying))
    for name in (*design.site.not_stated, *(name for name, _ in design.site.none_because)):
        if name not in LOADS:
            yield Problem("site", f"loads among {', '.join(LOADS)}", show(name))


def _words(design: Any) -> Iterator[Problem]:
    for path, text in (("design.name", design.name), ("design.note", design.note)):
        if not isinstance(text, str) or len(text) > LONGEST_TEXT:
            yield Problem(path, f"a text of at most {LONGEST_TEXT} characters", show(text))
            continue
        # A note may be empty, and may have several lines.
        found = faulty_name(text if path == "design.name" else text.replace("\n", " ") or "-")
        if found:
            yield Problem(path, "a text in plain letters", found)
    if design.unit_system not in ("metric", "imperial"):
        yield Problem("unit_system", '"metric" or "imperial"', show(design.unit_system))
    known = get_args(Basis)
    if not isinstance(design.bases, FrozenMap):
        yield Problem("bases", "a mapping from paths to how a value is known", show(design.bases))
        return
    for path, basis in design.bases.items():
        if basis not in known:
            yield Problem(path, "known as " + " or ".join(f'"{word}"' for word in known), show(basis))


def _of_wall(wall: Any, system: str) -> Iterator[Problem]:
    if wall.flat_width is not None and wall.filled_width >= wall.flat_width:
        flat, filled = (both(width, "length", system, 4) for width in (wall.flat_width, wall.filled_width))
        yield Problem("wall.filled_width", f"less than the flat width {flat}", filled)


def _of_fill(fill: Any, path: str, system: str) -> Iterator[Problem]:
    dry, grains = fill.dry_density, fill.particle_density
    if dry >= grains:
        shown, found = (both(one, "density", system, 4) for one in (grains, dry))
        yield Problem(f"{path}.dry_density", f"less than the grains' {shown}", found)
        return
    full = 1000.0 / dry - 1000.0 / grains  # w_sat = e/G_s, written out
    for key in ("placing_moisture", "service_moisture"):
        value = getattr(fill, key)
        if value > full:
            yield Problem(
                f"{path}.{key}", f"at most {100 * full:.1f} %, which fills every void", f"{100 * value:.1f} %"
            )
    if fill.strength_dry < fill.strength_as_placed:
        most, found = (both(one, "stress", system, 4) for one in (fill.strength_dry, fill.strength_as_placed))
        yield Problem(f"{path}.strength_as_placed", f"at most strength_dry, {most}", found)
    least = fill.strength_dry if fill.stabiliser != "none" else fill.strength_as_placed
    if fill.strength_wet > least:
        most, found = (both(one, "stress", system, 4) for one in (least, fill.strength_wet))
        yield Problem(f"{path}.strength_wet", f"at most {most}, the strength when drier", found)


def _at_most(path: str, what: str, value: float | None, most: float, system: str = "") -> Iterator[Problem]:
    """`system`: of units, where they are stresses."""
    if value is not None and value > most:
        shown, found = (both(one, "stress", system, 4) if system else f"{one:g}" for one in (most, value))
        yield Problem(path, f"at most the {what} {shown}", found)


def _of_beds(beds: Any, system: str) -> Iterator[Problem]:
    yield from _at_most("beds.friction_wet", "dry friction", beds.friction_wet, beds.friction)
    yield from _at_most("beds.friction_no_wire", "friction with wire", beds.friction_no_wire, beds.friction)
    yield from _at_most("beds.cohesion_wet", "dry cohesion", beds.cohesion_wet, beds.cohesion, system)


def _of_site(site: Any, system: str) -> Iterator[Problem]:
    yield from _at_most("site.ground_friction_wet", "dry value", site.friction_wet, site.ground_friction)
    yield from _at_most("site.ground_bearing_wet", "dry value", site.bearing_wet, site.ground_bearing, system)


def _overlap(one: Any, other: Any) -> bool:
    """Whether two groups hold a course in common."""
    low = max(-math.inf if group.lowest is None else group.lowest for group in (one, other))
    high = min(math.inf if group.highest is None else group.highest for group in (one, other))
    return low <= high


def _of_groups(groups: Sequence[Any], system: str) -> Iterator[Problem]:
    for index, group in enumerate(groups):
        path = f"wall.courses[{index + 1}]"
        low, high = group.lowest, group.highest
        if low is not None and high is not None and low > high:
            yield Problem(f"{path}.to", f"at least {low}, where the group begins", f"{high}")
        if any(_overlap(group, other) for other in groups[:index]):
            yield Problem(path, "courses that no other group holds", f"courses {low} to {high}")
        yield from _of_fill(group.fill, path, system)


def _as_built(dome: Any, building: Any) -> Iterator[Problem]:
    """Keys that only a measured profile has, and that have to fit each other."""
    measured = dome.profile == "measured"
    for path, there in (
        ("dome.course_tops", bool(dome.course_tops)),
        ("building.unfinished", building.unfinished),
        # On a dome that is only planned these would leave out the stages and the haste that no wall has outlived.
        ("building.laid", building.laid is not None),
        ("building.laid_on", bool(building.laid_on)),
        ("building.wetted", bool(building.wetted)),
        ("dome.measured_from", dome.measured_from != 1),
    ):
        if there and not measured:
            yield Problem(path, 'this key only with profile = "measured"', f'profile = "{dome.profile}"')
    if dome.course_tops and measured and len(dome.course_tops) != len(dome.inner_radii):
        found = f"{len(dome.course_tops)} levels and {len(dome.inner_radii)} radii"
        yield Problem("dome.course_tops", "as many levels as there are inner_radii", found)
    top = dome.measured_from + len(dome.inner_radii) - 1
    if measured and building.laid is not None and building.laid > top:
        yield Problem("building.laid", f"the number of a course, at most {top}", f"{building.laid}")
    if measured and building.unfinished and building.laid != top:
        yield Problem("building.laid", f"{top}, the top course, where the dome is unfinished", f"{building.laid}")


def _together(design: Any) -> Iterator[Problem]:
    """What several values together show."""
    dome, system = design.dome, design.unit_system
    if (dome.profile == "measured") != bool(dome.inner_radii):
        yield Problem(
            "dome.inner_radii",
            'a list of radii when, and only when, profile is "measured"',
            "a list" if dome.inner_radii else "none",
        )
    yield from _as_built(dome, design.building)
    yield from _of_wall(design.wall, system)
    yield from _of_fill(design.fill, "fill", system)
    yield from _of_beds(design.beds, system)
    yield from _of_site(design.site, system)
    yield from _of_groups(design.groups, system)
    if design.backfill is not None and design.backfill.height <= 0.0 <= dome.floor_above_ground:
        expected = "more than 0 where the floor is not below the ground: there is no earth to lie against the wall"
        yield Problem("backfill.height", expected, both(design.backfill.height, "length", system))
    for index, opening in enumerate(design.openings):
        if opening.tie > 0.0 and opening.head != "lintel":
            yield Problem(
                f"opening[{index + 1}].tie",
                'a tie only with head = "lintel": bags in an arch press and cannot hold a tie',
                f"head = {opening.head}",
            )


def _single(design: Any) -> list[Problem]:
    """Faults of single values."""
    problems = [
        problem
        for name, kind in SECTIONS.items()
        for problem in _section(getattr(design, name), kind, name, f"{name}.")
    ]
    problems += _list(design.openings, "Opening", "opening", "opening[].")
    problems += _list(design.buttresses, "Buttress", "buttress", "buttress[].")
    problems += _list(design.ring_loads, "RingLoad", "ring_load", "ring_load[].")
    problems += _list(design.bearing_loads, "BearingLoad", "bearing_load", "bearing_load[].")
    if design.backfill is not None:
        problems += _section(design.backfill, "Backfill", "backfill", "backfill.")
    if design.footing is not None:
        problems += _section(design.footing, "Footing", "footing", "footing.")
    problems += _list(design.groups, "CourseGroup", "wall.courses", "wall.courses[].")
    if not problems:
        for index, group in enumerate(design.groups):
            problems += _section(group.fill, "Fill", f"wall.courses[{index + 1}]", "fill.")
    problems += [*criteria_problems(design.criteria), *_words(design)]
    return problems or list(_lists(design))


def problems_of(design: Any) -> list[Problem]:
    """Every fault of a design, each with its path in a design file; those of several values only where each is good."""
    return _single(design) or list(_together(design))


def gate(design: Any) -> None:
    """Let a design pass, or InputError with every fault: what was expected and what was found, by its path."""
    problems = problems_of(design)
    if problems:
        raise InputError(problems)
