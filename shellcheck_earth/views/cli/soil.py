"""Site readings in, a block for the design file and its uncertainties out (`shellcheck-earth soil
READINGS.toml`)."""

from __future__ import annotations

import difflib
import math
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from shellcheck_earth.basics.errors import MOST_TOLD, InputError, Problem
from shellcheck_earth.basics.reading import read_toml
from shellcheck_earth.basics.units import Dimension, parse_quantity, system_of
from shellcheck_earth.basics.values import default
from shellcheck_earth.loads.phases import porosity, saturation_moisture
from shellcheck_earth.loads.site_tests.readings import (
    Reading,
    conductivity_from_soak,
    density_from_sample,
    moisture_from_drying,
    strength_from_crushing,
    tube_from_filling,
    wire_from_breaking,
)
from shellcheck_earth.loads.site_tests.tilting import Tilt, friction_from_tilts
from shellcheck_earth.views.cli.soil_answer import answer_text, answer_toml
from shellcheck_earth.views.cli.soil_starter import soil_starter

__all__ = ["SoilReport", "soil_report", "soil_starter", "turn_readings"]

PARTICLE_DENSITY = parse_quantity(default("fill.particle_density").value, "density")
"""kg/m3, quartz sand (Venkatramaiah, Table 3.1, read); used when the readings give none."""

SUCTION_HEAD = parse_quantity(default("fill.suction_head").value, "length")
"""m, clay loam (Rawls, Brakensiek & Miller 1983, Table 2, read in a transcription); used when the readings
give none."""

_FORM: dict[str, dict[str, Dimension]] = {
    "sample": {
        "mass": "mass",
        "mass_within": "mass",
        "volume": "volume",
        "volume_within": "volume",
        "particle_density": "density",
    },
    "drying": {"wet": "mass", "dry": "mass", "container": "mass", "mass_within": "mass"},
    "crush": {"width": "length", "length": "length", "height": "length", "load_within": "force"},
    "tilt": {
        "angle": "angle",
        "angle_within": "angle",
        "mass": "mass",
        "width": "length",
        "length": "length",
    },
    "soak": {"depth": "length", "depth_within": "length", "time": "duration", "suction_head": "length"},
    "tube": {"flat_width": "length", "filled_width": "length", "course_height": "length", "within": "length"},
    "wire": {"load_within": "force"},
}
_OPTIONAL = {
    "mass_within",
    "volume_within",
    "particle_density",
    "container",
    "load_within",
    "angle_within",
    "depth_within",
    "suction_head",
    "within",
    "angle",
    "angles",
}
_ALSO = {"crush": ("state", "loads"), "tilt": ("bed", "angles"), "wire": ("loads",)}
_MANY = ("crush", "tilt")
_STATES = {"dry": "fill.strength_dry", "as placed": "fill.strength_as_placed", "wet": "fill.strength_wet"}
_BEDS = {"dry": "beds.friction", "wet": "beds.friction_wet"}


@dataclass(frozen=True)
class SoilReport:
    """`text` for the reader, `toml` to paste into the design file, and the readings behind both."""

    text: str
    toml: str
    readings: tuple[Reading, ...]


@dataclass(frozen=True)
class _Section:
    """One section of the file: `path` for messages, SI `values`, the rest as written in `raw`."""

    path: str
    values: Mapping[str, float]
    raw: Mapping[str, Any]

    def get(self, key: str, default: float = 0.0) -> float:
        return self.values.get(key, default)


def _nearest(key: str, known: list[str], problems: list[Problem]) -> str:
    """The known key that was meant, perhaps; nothing for faults that will not be listed."""
    close = difflib.get_close_matches(key[:60], known, n=1) if len(problems) < MOST_TOLD else []
    return f"did you mean {close[0]}?" if close else ""


def _section(name: str, path: str, table: object, problems: list[Problem]) -> _Section:
    form, also = _FORM[name], _ALSO.get(name, ())
    known = [*form, *also]
    values: dict[str, float] = {}
    if not isinstance(table, dict):
        problems.append(Problem(path, "a section", f"{table!r}"))
        return _Section(path, {}, {})
    for key, given in table.items():
        if key not in known:
            problems.append(
                Problem(f"{path}.{key}", f"one of {', '.join(known)}", "an unknown key", _nearest(key, known, problems))
            )
        elif key in form:
            try:
                values[key] = parse_quantity(given, form[key])
            except ValueError as error:
                problems.append(Problem(f"{path}.{key}", str(error), f"{given!r}"))
    lacking = [
        key for key in known if key not in table and key not in _OPTIONAL and not (name == "crush" and key == "length")
    ]
    problems.extend(Problem(f"{path}.{key}", "a value", "nothing") for key in lacking)
    for key, value in values.items():
        if value < 0.0 or (value == 0.0 and key not in _OPTIONAL):
            problems.append(Problem(f"{path}.{key}", "a value over 0", f"{table[key]!r}"))
    return _Section(path, values, table)


def _list(section: _Section, key: str, dimension: Dimension, such_as: str, problems: list[Problem]) -> list[float]:
    given = section.raw.get(key, [])
    if not isinstance(given, list) or not given:
        problems.append(Problem(f"{section.path}.{key}", f"a list of {key} such as {such_as}", f"{given!r}"))
        return []
    out = []
    for index, one in enumerate(given):
        try:
            out.append(parse_quantity(one, dimension))
        except ValueError as error:
            problems.append(Problem(f"{section.path}.{key}[{index}]", str(error), f"{one!r}"))
    return out


def _loads(section: _Section, problems: list[Problem]) -> list[float]:
    return _list(section, "loads", "force", '["3.4 kN", "3.9 kN"]', problems)


def _angles(section: _Section, problems: list[Problem]) -> list[float]:
    """The angle, or the angles of repeats under the same load."""
    given = [key for key in ("angle", "angles") if key in section.raw]
    if len(given) != 1:
        found = " and ".join(given) or "neither"
        problems.append(Problem(section.path, "one angle, or a list of angles of the same load", found))
        return []
    if given == ["angle"]:
        return [section.get("angle")] if "angle" in section.values else []  # a fault in it has been reported
    return _list(section, "angles", "angle", '["33 deg", "35 deg", "34 deg"]', problems)


def _choice(section: _Section, key: str, among: Mapping[str, str], problems: list[Problem]) -> str | None:
    given = section.raw.get(key)
    if given is None:
        return None  # its absence has been reported
    if not isinstance(given, str) or given not in among:
        problems.append(Problem(f"{section.path}.{key}", " or ".join(f'"{one}"' for one in among), f"{given!r}"))
        return None
    return among[given]


def _sections(data: Mapping[str, Any], problems: list[Problem]) -> dict[str, list[_Section]]:
    out: dict[str, list[_Section]] = {}
    for name, table in data.items():
        if name not in _FORM:
            problems.append(
                Problem(
                    name,
                    f"a section among {', '.join(_FORM)}",
                    "an unknown section",
                    _nearest(name, list(_FORM), problems),
                )
            )
        elif name in _MANY:
            entries = table if isinstance(table, list) else [table]
            out[name] = [_section(name, f"{name}[{index}]", one, problems) for index, one in enumerate(entries)]
        else:
            out[name] = [_section(name, name, table, problems)]
    if not data:
        problems.append(Problem("the file", f"at least one section among {', '.join(_FORM)}", "none"))
    return out


def _crush(section: _Section, path: str, loads: list[float]) -> Reading:
    width, length = section.get("width"), section.get("length")
    area = width * length if length else math.pi * width * width / 4
    least = min(width, length) if length else width
    return strength_from_crushing(loads, area, section.get("height"), least, path, section.get("load_within"))


def _tilts(sections: list[tuple[_Section, list[float]]], path: str) -> Reading:
    tilts = [
        Tilt(angle, one.get("mass"), one.get("width") * one.get("length"))
        for one, angles in sections
        for angle in angles
    ]
    return friction_from_tilts(tilts, max(one.get("angle_within") for one, _ in sections), path)


def _soak(section: _Section, density: Reading | None, moisture: Reading | None, grains: float) -> list[Reading]:
    if density is None or moisture is None:
        raise InputError(
            [
                Problem(
                    "soak",
                    "[sample] and [drying] beside it: how much water the voids can still take",
                    "one of them or neither",
                )
            ]
        )
    full = saturation_moisture(density.best, grains)
    deficit = porosity(density.best, grains) * (1.0 - moisture.best / full)
    suction = section.get("suction_head", SUCTION_HEAD)
    return [
        conductivity_from_soak(section.get("depth"), section.get("time"), suction, deficit, section.get("depth_within"))
    ]


class _Turning:
    """Collects readings and refusals, so that every fault of the file is told at once."""

    def __init__(self) -> None:
        self.readings: list[Reading] = []
        self.problems: list[Problem] = []

    def add(self, path: str, made: Any, *arguments: Any, **named: Any) -> Reading | None:
        try:
            found = made(*arguments, **named)
        except InputError as error:
            self.problems.extend(Problem(path, one.expected, one.found, one.hint) for one in error.problems)
            return None
        several = found if isinstance(found, (list, tuple)) else [found]
        self.readings.extend(several)
        return several[0] if several else None


def _water_and_tube(turning: _Turning, sections: Mapping[str, list[_Section]]) -> None:
    """Moisture, density and conductivity, which rest on each other, and the width of the tube."""
    grains, moisture, density = PARTICLE_DENSITY, None, None
    for one in sections.get("drying", []):
        moisture = turning.add(
            "drying",
            moisture_from_drying,
            one.get("wet"),
            one.get("dry"),
            one.get("container"),
            one.get("mass_within"),
        )
    for one in sections.get("sample", []):
        grains = one.get("particle_density", PARTICLE_DENSITY)
        if moisture is None:
            turning.problems.append(
                Problem("sample", "[drying] beside it: the dry density needs the moisture", "no usable one")
            )
            continue
        density = turning.add(
            "sample",
            density_from_sample,
            one.get("mass"),
            one.get("volume"),
            moisture.best,
            grains,
            one.get("mass_within"),
            one.get("volume_within"),
            moisture.uncertainty,
        )
    for one in sections.get("soak", []):
        turning.add("soak", _soak, one, density, moisture, grains)
    for one in sections.get("tube", []):
        turning.add(
            "tube",
            tube_from_filling,
            one.get("flat_width"),
            one.get("filled_width"),
            one.get("course_height"),
            one.get("within"),
        )


def turn_readings(data: Mapping[str, Any]) -> tuple[Reading, ...]:
    """The inputs that a parsed readings file gives; InputError with every fault in it."""
    turning = _Turning()
    sections = _sections(data, turning.problems)
    crushed = [
        (one, _choice(one, "state", _STATES, turning.problems), _loads(one, turning.problems))
        for one in sections.get("crush", [])
    ]
    beds = [
        (one, _choice(one, "bed", _BEDS, turning.problems), _angles(one, turning.problems))
        for one in sections.get("tilt", [])
    ]
    wires = [(one, _loads(one, turning.problems)) for one in sections.get("wire", [])]
    if turning.problems:
        raise InputError(turning.problems)
    for one, path, loads in crushed:
        turning.add(one.path, _crush, one, path, loads)
    for path in _BEDS.values():
        of_bed = [(one, angles) for one, bed, angles in beds if bed == path]
        if of_bed:
            turning.add(of_bed[0][0].path, _tilts, of_bed, path)
    _water_and_tube(turning, sections)
    for one, loads in wires:
        turning.add("wire", wire_from_breaking, loads, one.get("load_within"))
    twice = {one.path for one in turning.readings if sum(other.path == one.path for other in turning.readings) > 1}
    turning.problems.extend(
        Problem("crush", f"one section for {path}, with all its loads", "several") for path in sorted(twice)
    )
    if turning.problems:
        raise InputError(turning.problems)
    return tuple(turning.readings)


def _written(data: Mapping[str, Any]) -> list[str]:
    """Every text of a readings file: its sections hold texts and lists of texts."""
    entries = [one for table in data.values() for one in (table if isinstance(table, list) else [table])]
    values = [value for one in entries if isinstance(one, Mapping) for value in one.values()]
    flat = [each for value in values for each in (value if isinstance(value, list) else [value])]
    return [text for text in flat if isinstance(text, str)]


def soil_report(path: Path) -> SoilReport:
    """Read a file of site readings and turn it into a report and a block for the design file, in the units that most
    of the readings are written in.

    InputError (with the file's name) for a file that cannot be read or holds impossible readings.
    """
    data = read_toml(path, "a file of readings (TOML)")
    try:
        readings = turn_readings(data)
    except InputError as error:
        raise InputError(error.problems, str(path)) from error
    system = system_of(_written(data))
    return SoilReport(answer_text(readings, system), answer_toml(readings, system), readings)
