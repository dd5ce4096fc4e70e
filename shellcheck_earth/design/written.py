"""A design as the text of a design file: so that designs put together in Python can be proven too."""

from __future__ import annotations

import json
import math
from collections.abc import Iterator
from dataclasses import replace
from typing import Any

from shellcheck_earth.basics.values import criteria_set
from shellcheck_earth.design.design import Design

__all__ = ["design_text"]

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
    "building": {"courses_per_day": "", "worker": " kN", "rest_days": "", "cover_after": " h", "fabric_loss": "",
                 "wire_hold": " kN/m"},
    "site": {"snow": STRESS, "wind_pressure": STRESS, "earthquake": "", "ground_bearing": STRESS,
             "ground_friction": ""},
}  # fmt: skip
LOADS = ("snow", "wind_pressure", "earthquake")
WET = {"ground_bearing_wet": ("bearing_wet", STRESS), "ground_friction_wet": ("friction_wet", "")}
WORDS = {
    "dome": ("profile",),
    "wall": ("fabric", "individual_bags"),
    "fill": ("stabiliser",),
    "building": ("climate", "count_fabric"),
    "site": ("left_unprotected", "roof"),
}


def _text(text: str) -> str:
    """As TOML quotes it: like JSON, but for letters past the first 65,536 and for the delete sign."""
    return json.dumps(text, ensure_ascii=False).replace("\x7f", "\\u007f")


def _value(value: Any, unit: str = "") -> str:
    if isinstance(value, str):
        return _text(value)
    if isinstance(value, bool) or value is None:
        return json.dumps(value)
    return json.dumps(f"{float(value)!r}{unit}") if unit else repr(value)


def _line(design: Design, path: str, value: Any, unit: str) -> str:
    basis = design.bases.get(path, "stated")
    key, text = path.rpartition(".")[2], _value(value, unit)
    if value and path in ("beds.cohesion", "beds.cohesion_wet", "beds.wire_bond"):
        basis = "measured"  # no other is counted, so what a design holds was
    return f"{key} = {text}" if basis == "stated" else f'{key} = {{ value = {text}, source = "{basis}" }}'


def _section(design: Design, name: str) -> Iterator[str]:
    part = design.beds if name == "beds" else getattr(design, name)
    if name == "beds":
        part = replace(part, friction_no_wire=part.friction_without_wire)
    yield f"[{name}]"
    yield from _keys(design, part, name, name)


def _keys(design: Design, part: Any, name: str, path: str) -> Iterator[str]:
    reasons = dict(design.site.none_because)
    for key, unit in UNITS[name].items():
        value = getattr(part, key)
        if name == "site" and key in LOADS and value == 0.0 and key not in part.not_stated:
            reason = reasons.get(key, "none, said in code")
            yield f'{key} = {{ value = "none", reason = {_text(reason)} }}'
        elif value is not None and not (name == "site" and key in part.not_stated):
            yield _line(design, f"{path}.{key}", value, unit)
    for key in WORDS.get(name, ()):
        yield f"{key} = {_value(getattr(part, key))}"


def _lists(design: Design) -> Iterator[str]:
    for index, group in enumerate(design.groups):
        yield "[[wall.courses]]"
        yield from (f"{key} = {end}" for key, end in (("from", group.lowest), ("to", group.highest)) if end is not None)
        yield from _keys(design, group.fill, "fill", f"wall.courses[{index + 1}]")
    for opening in design.openings:
        yield "[[opening]]"
        for key in ("kind", "head"):
            yield f"{key} = {_value(getattr(opening, key))}"
        yield f'bearing = "{math.degrees(opening.bearing)!r} deg"'
        for key in ("sill", "width", "height"):
            yield f"{key} = {_value(getattr(opening, key), LENGTH)}"
        if opening.tie:
            yield f"tie = {_value(opening.tie, ' kN')}"
    for buttress in design.buttresses:
        yield "[[buttress]]"
        yield f'bearing = "{math.degrees(buttress.bearing)!r} deg"'
        for key in ("length", "width", "height"):
            yield f"{key} = {_value(getattr(buttress, key), LENGTH)}"


def design_text(design: Design) -> str:
    """The text of a file that reads as this design; numbers keep every digit. Bearings may differ in the last one."""
    lines = ["[design]", f"name = {_text(design.name)}", f"note = {_text(design.note)}"]
    for name in UNITS:
        lines += _section(design, name)
        if name == "dome":
            lines.append(f"fixed_compass_pivot = {_value(design.dome.pivot_beyond_inner_face, LENGTH)}")
            if design.dome.inner_radii:
                lines.append(f"inner_radii = [{', '.join(_value(r, LENGTH) for r in design.dome.inner_radii)}]")
        if name == "building" and design.building.drying:
            rows = (f'["{age!r} days", {moisture!r}]' for age, moisture in design.building.drying)
            lines.append(f"drying = [{', '.join(rows)}]")
        if name == "site":
            for key, (field, unit) in WET.items():
                lines.append(_line(design, f"site.{key}", getattr(design.site, f"ground_{field}"), unit))
            rain = design.site.rain_intensity, design.site.rain_hours
            lines.append(f'rain = {{ intensity = "{rain[0]!r} m/s", hours = {rain[1]!r} }}')
    lines += ["[criteria]", f"set = {_text(design.criteria.set_name)}"]
    for check, row in criteria_set(design.criteria.set_name).items():
        required = design.criteria.required.get(check)
        if required is not None and required not in (float(row.value), float(row.extra.get("tested", row.value))):
            lines.append(f"{check.replace(' ', '_')} = {required!r}")
    return "\n".join((*lines, *_lists(design), ""))
