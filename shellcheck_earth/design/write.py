"""A design as the text of a design file, so that designs put together in Python can be kept and proven."""

from __future__ import annotations

import json
import math
import re
import tomllib
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace
from typing import Any

from shellcheck_earth.basics.errors import InputError, Problem
from shellcheck_earth.basics.units import UNITS as FACTORS
from shellcheck_earth.basics.values import default
from shellcheck_earth.design.criteria import FACTORS as COLUMNS
from shellcheck_earth.design.criteria import Combination
from shellcheck_earth.design.design import BearingLoad, Criteria, Design, Opening, RingLoad
from shellcheck_earth.design.factor_set import TABLE, FactorSet
from shellcheck_earth.design.file import parse_design

__all__ = ["design_document", "design_toml", "document_toml", "source_text"]

LENGTH, STRESS = " m", " kPa"
UNITS = {
    "dome": {"inside_diameter": LENGTH, "crown_opening": LENGTH, "springing_above_floor": LENGTH,
             "floor_above_ground": LENGTH, "centre_pivot_above_springing": LENGTH},
    "wall": {"flat_width": LENGTH, "filled_width": LENGTH, "course_height": LENGTH, "edge_rounding": LENGTH,
             "buried_courses": "", "fabric_strength": " kN/m", "bag_length": LENGTH},
    "fill": {"dry_density": " kg/m3", "particle_density": " kg/m3", "placing_moisture": "", "service_moisture": "",
             "stabiliser_share": "", "strength_dry": STRESS, "strength_as_placed": STRESS, "strength_wet": STRESS,
             "hydraulic_conductivity": " m/s", "suction_head": LENGTH},
    "beds": {"friction": "", "friction_wet": "", "friction_no_wire": "", "cohesion": STRESS, "cohesion_wet": STRESS,
             "wire_strands": "", "wire_breaking_load": " kN", "wire_counted_share": "", "wire_bond": " kN/m"},
    "plaster": {"outside": LENGTH, "inside": LENGTH, "unit_weight": " kN/m3"},
    "building": {"courses_per_day": "", "worker": " kN", "rest_days": "", "cover_after": " h",
                 "scaffold_above": LENGTH, "fabric_loss": "", "wire_hold": " kN/m"},
    "site": {"snow": STRESS, "wind_pressure": STRESS, "earthquake": "", "ground_bearing": STRESS,
             "ground_friction": "", "splash_height": LENGTH},
}  # fmt: skip
LOADS = ("snow", "wind_pressure", "earthquake")
WET = {"ground_bearing_wet": ("bearing_wet", STRESS), "ground_friction_wet": ("friction_wet", "")}
WORDS = {
    "dome": ("profile",),
    "wall": ("fabric", "individual_bags"),
    "fill": ("stabiliser",),
    "building": ("climate", "count_fabric"),
    "site": ("left_unprotected", "roof", "wind_basis", "earthquake_basis"),
}


def _text(text: str) -> str:
    """A TOML string: JSON's escapes are TOML's, but that TOML wants DEL escaped too."""
    return json.dumps(text, ensure_ascii=False).replace("\x7f", "\\u007f")


def _exactly(value: float, unit: str) -> str:
    """A number with its unit that is read back as the very same; "" where no decimal number in that unit is."""
    factor = next(factors[unit] for factors in FACTORS.values() if unit in factors)
    near = value / factor
    for number in (near, math.nextafter(near, math.inf), math.nextafter(near, -math.inf)):
        if number * factor == value:
            return f"{number!r} {unit}"
    return ""


def _quantity(design: Design, value: float, unit: str) -> str:
    """A physical value; a length in the user's own system wherever that gives back every digit."""
    if unit == LENGTH and design.unit_system == "imperial":
        text = next((text for name in ("ft", "in") if (text := _exactly(value, name))), "")
        if text:
            return _text(text)
    return _text(f"{float(value)!r}{unit}")


def _value(design: Design, value: Any, unit: str = "") -> str:
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, str):
        return _text(value)
    return _quantity(design, value, unit) if unit else repr(value)


def _line(design: Design, path: str, value: Any, unit: str) -> str:
    basis = design.bases.get(path, "stated")
    key, text = path.rpartition(".")[2], _value(design, value, unit)
    if value > 0.0 and path in ("beds.cohesion", "beds.cohesion_wet", "beds.wire_bond"):
        basis = "measured"  # no other is counted, so what a design holds was
    return f"{key} = {text}" if basis == "stated" else f'{key} = {{ value = {text}, source = "{basis}" }}'


def _section(design: Design, name: str) -> Iterator[str]:
    part = design.beds if name == "beds" else getattr(design, name)
    if name == "beds":
        part = replace(part, friction_no_wire=part.friction_without_wire)
    yield f"[{name}]"
    yield from _keys(design, part, name, name)


def _by_default(design: Design, part: Any, name: str, path: str, key: str) -> bool:
    """Whether a word was left to its default, which a file says by silence."""
    found = getattr(part, key)
    word = found if isinstance(found, str) else str(found).lower()
    return design.basis(f"{path}.{key}") == "assumed" and word == default(f"{name}.{key}").value


def _keys(design: Design, part: Any, name: str, path: str) -> Iterator[str]:
    reasons = dict(design.site.none_because)
    for key, unit in UNITS[name].items():
        value = getattr(part, key)
        if name == "site" and key in LOADS and value == 0.0 and key not in part.not_stated:
            reason = reasons.get(key, "none, said in code")
            yield f'{key} = {{ value = "none", reason = {_text(reason)} }}'
        elif value is not None and not (
            name == "site" and key in part.not_stated and design.basis(f"site.{key}") == "assumed"
        ):
            yield _line(design, f"{path}.{key}", value, unit)
    for key in WORDS.get(name, ()):
        if not _by_default(design, part, name, path, key):
            yield f"{key} = {_value(design, getattr(part, key))}"


def _bearing(value: float) -> str:
    return _exactly(value, "deg") or f"{value!r} rad"


def _lists(design: Design) -> Iterator[str]:
    for index, group in enumerate(design.groups):
        yield "[[wall.courses]]"
        yield from (f"{key} = {end}" for key, end in (("from", group.lowest), ("to", group.highest)) if end is not None)
        yield from _keys(design, group.fill, "fill", f"wall.courses[{index + 1}]")
    for index, opening in enumerate(design.openings):
        yield "[[opening]]"
        for key in ("kind", "head"):
            yield f"{key} = {_value(design, getattr(opening, key))}"
        yield f'bearing = "{_bearing(opening.bearing)}"'
        for key in ("sill", "width", "height"):
            yield f"{key} = {_value(design, getattr(opening, key), LENGTH)}"
        if opening.tie:
            yield f"tie = {_value(design, opening.tie, ' kN')}"
        carried = "lintel_bearing" if opening.head == "lintel" else "head_depth"
        path = f"opening[{index + 1}].{carried}"
        if design.basis(path) != "assumed" or getattr(opening, carried) != getattr(Opening, carried):
            yield _line(design, path, getattr(opening, carried), LENGTH)
    for buttress in design.buttresses:
        yield "[[buttress]]"
        yield f'bearing = "{_bearing(buttress.bearing)}"'
        for key in ("length", "width", "height"):
            yield f"{key} = {_value(design, getattr(buttress, key), LENGTH)}"
    yield from _handed_in(design)


def _span(design: Design, path: str, ends: tuple[float, float], unit: str) -> str:
    """A value or its range, with its source where it is marked."""
    basis = design.bases.get(path, "stated")
    low, high = (_value(design, end, unit) for end in ends)
    if low == high:
        return low if basis == "stated" else f'{{ value = {low}, source = "{basis}" }}'
    return f"{{ low = {low}, high = {high}" + ("" if basis == "stated" else f', source = "{basis}"') + " }"


def _handed_in(design: Design) -> Iterator[str]:
    """What is handed in all around, and what at one bearing."""
    known: list[tuple[str, Sequence[RingLoad | BearingLoad]]] = [
        ("ring_load", design.ring_loads),
        ("bearing_load", design.bearing_loads),
    ]
    for table, loads in known:
        for index, load in enumerate(loads, 1):
            path = f"{table}[{index}]"
            yield f"[[{table}]]"
            yield f"name = {_text(load.name)}"
            if isinstance(load, BearingLoad):
                yield f'bearing = "{_bearing(load.bearing)}"'
            yield _line(design, f"{path}.height", load.height, LENGTH)
            if isinstance(load, BearingLoad):
                yield _line(design, f"{path}.width", load.width, LENGTH)
            for key, unit in (("weight", " kN"), ("thrust", " kN"), ("from_inner_face", LENGTH)):
                yield f"{key} = {_span(design, f'{path}.{key}', getattr(load, key), unit)}"


def _earth(design: Design) -> Iterator[str]:
    """The footing under the wall, and the earth against it."""
    earth, footing = design.backfill, design.footing
    if footing is not None:
        yield "[footing]"
        for key in ("width", "depth"):
            yield _line(design, f"footing.{key}", getattr(footing, key), LENGTH)
        yield f"unit_weight = {_span(design, 'footing.unit_weight', footing.unit_weight, ' kN/m3')}"
    if earth is None:
        return
    yield "[backfill]"
    yield _line(design, "backfill.height", earth.height, LENGTH)
    yield f"unit_weight = {_span(design, 'backfill.unit_weight', earth.unit_weight, ' kN/m3')}"
    yield f"friction_angle = {_span(design, 'backfill.friction_angle', earth.friction_angle, ' rad')}"
    yield f"compacted = {_value(design, earth.compacted)}"
    yield _line(design, "backfill.surcharge", earth.surcharge, STRESS)
    if earth.from_bearing is not None and earth.to_bearing is not None:
        yield f'from_bearing = "{_bearing(earth.from_bearing)}"'
        yield f'to_bearing = "{_bearing(earth.to_bearing)}"'
    if earth.drained:
        yield f"drained = {{ value = true, reason = {_text(earth.drained)} }}"


def _age(days: float) -> str:
    """An age that is read back as the very same number of days, which are kept as hours over 24."""
    near = 24.0 * days
    numbers = (near, math.nextafter(near, math.inf), math.nextafter(near, -math.inf))
    return f"{next((number for number in numbers if number / 24.0 == days), near)!r} h"


def _pivot(design: Design) -> str:
    pivot = design.dome.pivot_beyond_inner_face
    if design.bases.get("dome.fixed_compass_pivot") == "assumed" and pivot == design.wall.filled_width:
        return ""
    return f"fixed_compass_pivot = {_value(design, pivot, LENGTH)}"


def _lengths(design: Design, values: tuple[float, ...]) -> str:
    return f"[{', '.join(_value(design, one, LENGTH) for one in values)}]"


def _work(design: Design) -> Iterator[str]:
    """The lists of [building], and how far the work has come."""
    building = design.building
    if building.drying:
        rows = (f'["{_age(age)}", {moisture!r}]' for age, moisture in building.drying)
        pairs, basis = f"[{', '.join(rows)}]", design.bases.get("building.drying", "stated")
        yield f"drying = {pairs}" if basis == "stated" else f'drying = {{ value = {pairs}, source = "{basis}" }}'
    if building.laid is not None:
        yield f"laid = {building.laid}"
    if building.unfinished:
        yield "unfinished = true"
    if building.laid_on:
        yield f"laid_on = {list(building.laid_on)}"
    if building.wetted:
        yield f"wetted = {_lengths(design, building.wetted)}"


def _more(design: Design, name: str) -> Iterator[str]:
    """What a table holds beside single values and words."""
    if name == "dome":
        yield "" if design.dome.profile == "measured" else _pivot(design)
        if design.dome.inner_radii:
            yield f"inner_radii = {_lengths(design, design.dome.inner_radii)}"
            yield f"measured_from = {design.dome.measured_from}"
        if design.dome.course_tops:
            yield f"course_tops = {_lengths(design, design.dome.course_tops)}"
    if name == "building":
        yield from _work(design)
    if name == "site":
        for key, (field, unit) in WET.items():
            yield _line(design, f"site.{key}", getattr(design.site, f"ground_{field}"), unit)
        intensity = _line(design, "site.rain.intensity", design.site.rain_intensity, " m/s")
        yield f"rain = {{ {intensity}, {_line(design, 'site.rain.hours', design.site.rain_hours, '')} }}"


def _factors(criteria: Criteria, text: str) -> Iterator[str]:
    """The required factors that the rest of the file does not come to by itself, or that the user set."""
    usual = parse_design(text).criteria.required
    for check, required in criteria.required.items():
        if check in criteria.overridden or required != usual[check]:
            yield f"{check.replace(' ', '_')} = {required!r}"


def _rows(criteria: Criteria) -> Iterator[str]:
    """The rows of factors that the design brings along."""
    for row in criteria.rows:
        yield "[[criteria.combination]]"
        yield f"name = {_text(row.name)}"
        yield from _row(row)


def _row(row: Combination) -> Iterator[str]:
    yield f"clause = {_text(row.clause)}"
    if row.source != Combination.source:
        yield f"source = {_text(row.source)}"
    yield from (f"{name} = {float(getattr(row, name))!r}" for name in COLUMNS)


def _own_set(found: FactorSet | None) -> Iterator[str]:
    """The set of factors that the design brings along."""
    if found is None:
        return
    yield f"[{TABLE}]"
    yield from (f"{word} = {_text(getattr(found, word))}" for word in ("name", "title", "edition"))
    yield f"[{TABLE}.required]" if found.required else ""
    for one in found.required:
        said = f"value = {float(one.value)!r}, clause = {_text(one.clause)}, source = {_text(one.source)}"
        yield f"{one.check.replace(' ', '_')} = {{ {said} }}"
    for row in found.rows:
        yield f"[[{TABLE}.combination]]"
        yield f"name = {_text(row.name)}"
        yield from _row(row)


def design_toml(design: Design) -> str:
    """The text of a design file that reads as this design: every digit, how each value is known, and the unit system.

    What a design leaves open (``None`` for a wet value: as dry) is written as what it comes to.
    """
    lines = ["[design]", f"name = {_text(design.name)}", f"note = {_text(design.note)}"]
    for name in UNITS:
        lines += [line for line in (*_section(design, name), *_more(design, name)) if line]
    criteria = ["[criteria]", f"set = {_text(design.criteria.set_name)}"]
    lists = [*_earth(design), *_lists(design), *_own_set(design.criteria.own_set)]
    criteria += _factors(design.criteria, "\n".join((*lines, *criteria, *lists, "")))
    criteria += _rows(design.criteria)
    return "\n".join((*lines, *criteria, *lists, ""))


def design_document(design: Design) -> dict[str, Any]:
    """The design as the document (tables, keys and values) that its file is, its own or one written for it."""
    return tomllib.loads(source_text(design))


def _filled_in(design: Design) -> Design:
    """The design with what it leaves open filled in, and without what no number depends on."""
    site, beds = design.site, design.beds
    wet = replace(site, friction_wet=site.ground_friction_wet, bearing_wet=site.ground_bearing_wet, none_because=())
    bare = replace(beds, friction_no_wire=beds.friction_without_wire)
    # Not every number of days is a whole number of the least parts of an hour.
    drying = tuple((float(f"{age:.14g}"), moisture) for age, moisture in design.building.drying)
    building = replace(design.building, drying=drying)
    dome = design.dome
    if dome.profile == "measured":  # it has no pivot: what stands there is the default of other profiles
        dome = replace(dome, pivot_beyond_inner_face=0.0)
    return replace(design, unit_system="metric", site=wet, beds=bare, building=building, dome=dome)


def _says(text: str, design: Design) -> bool:
    """Whether a text reads as this design, a measured value as a measured one. Which words and which of the other
    values were assumed is not compared, for a design put together in Python need not say it."""
    found = parse_design(text)
    known = (path for path in design.bases if path in found.bases and not path.startswith("beds.cohesion"))
    if any((design.bases[path] == "measured") != (found.bases[path] == "measured") for path in known):
        return False
    return _filled_in(replace(found, bases=design.bases)) == _filled_in(design)


def source_text(design: Design) -> str:
    """The text of a design file that reads as this design: its own, or one written for it.

    InputError where no file can say it.
    """
    if design.text and _says(design.text, design):
        return design.text
    text = design_toml(design)
    if not _says(text, design):
        expected = "a design that a design file can say"
        raise InputError([Problem(design.name, expected, "values that change when they are written out")])
    return text


_BARE = re.compile(r"[A-Za-z0-9_-]+", re.ASCII)


def _inline(value: Any) -> str:
    if isinstance(value, Mapping):
        return f"{{ {', '.join(f'{_key(key)} = {_inline(one)}' for key, one in value.items())} }}"
    if isinstance(value, list):
        return f"[{', '.join(map(_inline, value))}]"
    if isinstance(value, bool):
        return "true" if value else "false"
    return _text(value) if isinstance(value, str) else repr(value)


def _key(key: str) -> str:
    return key if _BARE.fullmatch(key) else _text(key)


def document_toml(document: Mapping[str, Any]) -> str:
    """A document of tables, as TOML: single values, and inline tables and lists within."""
    lines = [f"{_key(key)} = {_inline(one)}" for key, one in document.items() if not isinstance(one, Mapping)]
    for name, table in document.items():
        if isinstance(table, Mapping):
            lines += ["", f"[{_key(name)}]", *(f"{_key(key)} = {_inline(one)}" for key, one in table.items())]
    return "\n".join((*lines, ""))
