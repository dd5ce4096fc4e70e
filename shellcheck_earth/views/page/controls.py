"""What can be set on the page: a few sliders, and every other key of the one declaration of keys behind a search."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Any, Literal

from shellcheck_earth.basics.units import UNITS, Dimension, unit_name
from shellcheck_earth.design.design import Design
from shellcheck_earth.design.gate import attribute_of
from shellcheck_earth.design.keys import Key, known_keys, written_value
from shellcheck_earth.views.text.language import _
from shellcheck_earth.views.text.page.words import GROUPS, LABELS

__all__ = ["SLIDERS", "Scale", "Slider", "key_rows", "slider_rows", "unit_factor", "values_of", "written_text"]

Group = Literal["shape", "tube", "soil", "beds", "building", "site"]


@dataclass(frozen=True)
class Scale:
    """One slider in one unit: its ends and its step; the ends lie within what the key may be."""

    unit: str
    low: float
    high: float
    step: float


@dataclass(frozen=True)
class Slider:
    """A key that is moved by hand, in metric and in imperial units."""

    path: str
    group: Group
    metric: Scale
    imperial: Scale


def _plain(path: str, group: Group, low: float, high: float, step: float) -> Slider:
    scale = Scale("", low, high, step)
    return Slider(path, group, scale, scale)


def _share(path: str, group: Group, low: float, high: float, step: float) -> Slider:
    scale = Scale("%", low, high, step)
    return Slider(path, group, scale, scale)


SLIDERS: tuple[Slider, ...] = (
    Slider("dome.inside_diameter", "shape", Scale("m", 1.5, 8.0, 0.05), Scale("ft", 5.0, 26.0, 0.25)),
    Slider("dome.fixed_compass_pivot", "shape", Scale("m", -0.5, 2.0, 0.01), Scale("in", -20.0, 80.0, 0.5)),
    Slider("dome.crown_opening", "shape", Scale("m", 0.0, 1.5, 0.01), Scale("in", 0.0, 60.0, 0.5)),
    Slider("wall.filled_width", "tube", Scale("mm", 150.0, 700.0, 5.0), Scale("in", 6.0, 28.0, 0.25)),
    Slider("wall.course_height", "tube", Scale("mm", 60.0, 250.0, 5.0), Scale("in", 2.5, 10.0, 0.25)),
    Slider("fill.dry_density", "soil", Scale("kg/m3", 1200.0, 2200.0, 10.0), Scale("lb/ft3", 75.0, 137.0, 1.0)),
    _share("fill.placing_moisture", "soil", 0.0, 25.0, 0.5),
    _share("fill.service_moisture", "soil", 0.0, 25.0, 0.5),
    Slider("fill.strength_dry", "soil", Scale("kPa", 50.0, 3000.0, 10.0), Scale("psi", 7.0, 435.0, 1.0)),
    Slider("fill.strength_as_placed", "soil", Scale("kPa", 0.0, 1000.0, 5.0), Scale("psi", 0.0, 145.0, 1.0)),
    _plain("beds.friction", "beds", 0.1, 1.2, 0.01),
    _plain("beds.wire_strands", "beds", 0.0, 4.0, 1.0),
    Slider("beds.wire_breaking_load", "beds", Scale("kN", 0.5, 8.0, 0.1), Scale("lbf", 100.0, 1800.0, 20.0)),
    _share("beds.wire_counted_share", "beds", 0.0, 100.0, 1.0),
    _plain("building.courses_per_day", "building", 0.5, 12.0, 0.5),
    Slider("building.worker", "building", Scale("kN", 0.0, 3.0, 0.1), Scale("lbf", 0.0, 700.0, 10.0)),
    Slider("site.rain.intensity", "site", Scale("mm/h", 0.0, 60.0, 1.0), Scale("in/h", 0.0, 2.4, 0.05)),
    _plain("site.rain.hours", "site", 0.0, 72.0, 1.0),
)


def unit_factor(path: str, unit: str) -> float:
    """SI for one unit of a key."""
    dimension = known_keys()[path].dimension
    return 1.0 if dimension is None else UNITS[dimension].get(unit, 1.0)


def _scale(path: str, scale: Scale) -> dict[str, Any]:
    return {
        "unit": scale.unit,
        "low": scale.low,
        "high": scale.high,
        "step": scale.step,
        "si": unit_factor(path, scale.unit),
    }


def slider_rows() -> list[dict[str, Any]]:
    """The sliders as data, in the order of the work."""
    return [
        {
            "path": one.path,
            "group": one.group,
            "group_label": _(GROUPS[one.group]),
            "label": _(LABELS[one.path]),
            "whole": known_keys()[one.path].whole,
            "metric": _scale(one.path, one.metric),
            "imperial": _scale(one.path, one.imperial),
        }
        for one in SLIDERS
    ]


def _number(design: Design, path: str) -> Any:
    section, attribute = attribute_of(path)
    return getattr(getattr(design, section, None), attribute, None)


def values_of(design: Design) -> dict[str, float | None]:
    """The value in SI that each slider stands at, whether the file says it or it is assumed."""
    found = {one.path: _number(design, one.path) for one in SLIDERS}
    return {path: None if value is None else float(value) for path, value in found.items()}


def _units(dimension: Dimension | None) -> list[str]:
    return [] if dimension is None else list(UNITS[dimension])


def _rows_of(path: str, document: Mapping[str, Any]) -> Iterator[str]:
    """A path with ``[]`` once for every row that the file has; others as they are."""
    name, found, rest = path.partition("[]")
    if not found:
        yield path
        return
    rows = written_value(document, name)
    for index in range(len(rows) if isinstance(rows, list) else 0):
        yield f"{name}[{index + 1}]{rest}"


def _key_row(path: str, key: Key, document: Mapping[str, Any], design: Design) -> dict[str, Any]:
    system = design.unit_system
    return {
        "path": path,
        "written": written_text(document, path),
        "basis": design.bases.get(path, "stated" if written_value(document, path) is not None else "assumed"),
        "range": key.within.span if key.within else "",
        "words": list(key.words),
        "units": _units(key.dimension),
        "unit": unit_name(key.dimension, system) if key.dimension else "",
        "used": _used(design, path, key),
    }


def _used(design: Design, path: str, key: Key) -> str:
    """The value in use, in SI as a plain text; "" for rows of lists, which hold nothing by default."""
    value = None if "[" in path else _number(design, path)
    if isinstance(value, bool):
        return str(value).lower()
    if isinstance(value, int | float) and key.dimension is not None:
        unit = unit_name(key.dimension, design.unit_system)
        return f"{value / UNITS[key.dimension].get(unit, 1.0):.6g} {unit}".strip()
    return value if isinstance(value, str) else ""


def written_text(document: Mapping[str, Any], path: str) -> str:
    """What the file says at a path, as it would be typed; "" where it says nothing or more than one value."""
    value = written_value(document, path)
    if isinstance(value, bool):
        return str(value).lower()
    return str(value) if isinstance(value, str | int | float) else ""


def key_rows(document: Mapping[str, Any], design: Design) -> list[dict[str, Any]]:
    """Every key that holds a single value, from the declaration of keys, with its range and what it says now."""
    single = ((path, key) for path, key in known_keys().items() if key.dimension is not None or key.words)
    return [_key_row(path, key, document, design) for one, key in single for path in _rows_of(one, document)]
