"""Certificates for tests, made without the solver: of a small shelter that meets, and of variants that do not."""

from __future__ import annotations

import hashlib
import json
from functools import cache
from typing import Any

from shellcheck_earth.mechanics.proof.certify import certify_case
from shellcheck_earth.mechanics.proof.check import certificate_text, changed_cases, recheck_texts
from shellcheck_earth.mechanics.proof.doubts import trials
from shellcheck_earth.mechanics.proof.reading import read
from shellcheck_earth.mechanics.proof.rebuild import rebuild

__all__ = ["CAP", "DOOR", "ROOF", "SHELTER", "SMALL", "WINDOW", "certified", "ends", "refused", "sealed", "weaker"]

SHELTER = """[design]
name = "Seedling shelter"
note = "Invented: beside the potting bench of a community orchard, everything tested."
[dome]
inside_diameter = "2.0 m"
[wall]
filled_width = { value = "400 mm", source = "measured" }
course_height = { value = "140 mm", source = "measured" }
edge_rounding = { value = "20 mm", source = "measured" }
buried_courses = 1
[fill]
dry_density = { value = "1800 kg/m3", source = "measured" }
placing_moisture = { value = "9 %", source = "measured" }
service_moisture = { value = "4 %", source = "measured" }
stabiliser = "cement"
strength_dry = { value = "3 MPa", source = "measured" }
strength_as_placed = { value = "0.5 MPa", source = "measured" }
strength_wet = { value = "1 MPa", source = "measured" }
[beds]
friction = { value = 0.65, source = "measured" }
friction_wet = { value = 0.55, source = "measured" }
friction_no_wire = { value = 0.60, source = "measured" }
wire_breaking_load = { value = "3.0 kN", source = "measured" }
[plaster]
outside = "30 mm"
inside = "20 mm"
unit_weight = { value = "18 kN/m3", source = "measured" }
[building]
worker = "1.5 kN"
scaffold_above = "0 m"
cover_after = "2 h"
[site]
rain = { intensity = "10 mm/h", hours = 12 }
snow = { value = "none", reason = "no snow lies in this valley" }
wind_pressure = { value = "none", reason = "walled orchard, invented example" }
earthquake = { value = "none", reason = "no shaking, invented example" }
ground_bearing = { value = "250 kPa", source = "measured" }
ground_friction = { value = 0.60, source = "measured" }
ground_bearing_wet = { value = "200 kPa", source = "measured" }
ground_friction_wet = { value = 0.50, source = "measured" }
"""
SMALL = SHELTER.replace('"2.0 m"', '"1.2 m"').replace('"140 mm"', '"200 mm"').replace('"400 mm"', '"350 mm"')
"""The same, of six courses: quick enough to be forged hundreds of times."""


CAP = """[[ring_load]]
name = "Skylight"
height = "1.0 m"
weight = "0.8 kN"
thrust = { low = "-0.2 kN", high = "0.3 kN" }
from_inner_face = "0.2 m"
"""
ROOF = """[[bearing_load]]
name = "Roof beam"
bearing = "75 deg"
height = "0.9 m"
width = "0.25 m"
weight = { low = "0.2 kN", high = "0.6 kN" }
thrust = "0 kN"
from_inner_face = "0.15 m"
"""
DOOR = """[[opening]]
kind = "door"
bearing = "0 deg"
sill = "0 m"
width = "0.5 m"
height = "1.0 m"
head = "lintel"
"""
WINDOW = """[[opening]]
kind = "window"
bearing = "200 deg"
sill = "0.3 m"
width = "0.4 m"
height = "0.4 m"
head = "lintel"
"""
"""Tables that either of them may have more; SMALL is too low for the door."""


def weaker(text: str = SMALL) -> str:
    """Fill a tenth as strong and beds that slide: it falls short."""
    return text.replace('"3 MPa"', '"0.03 MPa"').replace('"0.5 MPa"', '"0.01 MPa"').replace('"1 MPa"', '"0.01 MPa"')


def sealed(data: dict[str, Any]) -> bytes:
    return certificate_text(data).encode()


@cache
def _certified(text: str, verdict: str) -> str:
    design = read(text)
    rebuilt = rebuild(design)
    cases = rebuilt.cases
    tried = (
        [
            {"trial": name, "cases": [certify_case(case) for case in changed_cases(rebuilt, trial)]}
            for name, trial in trials(design)
        ]
        if verdict == "meets"
        else []
    )
    refute = () if verdict == "meets" else [question.name for case in cases for question in case.questions]
    data = {
        "format": 2,
        "program": "test",
        "design_sha256": hashlib.sha256(text.encode()).hexdigest(),
        "design": text,
        "required": {check: str(value) for check, value in design.required.items()},
        "cases": [certify_case(case, refute) for case in cases],
        "trials": tried,
        "blocks": [],
        "verdict": verdict,
    }
    return certificate_text(data)


def certified(text: str, verdict: str) -> dict[str, Any]:
    """The certificate as data; a new copy each time."""
    return dict(json.loads(_certified(text, verdict)))


def ends(data: dict[str, Any] | bytes, text: str = SMALL) -> tuple[str, str]:
    """(verdict, the last line said)."""
    report = recheck_texts(data if isinstance(data, bytes) else sealed(data), text.encode())
    return report.verdict, report.lines[-1]


def refused(data: dict[str, Any] | bytes, text: str = SMALL) -> str:
    verdict, said = ends(data, text)
    assert verdict == "cannot say" and said.startswith("Refused: "), said
    return said
