"""A classroom in a community orchard as frozen data, for tests that need no design file."""

from __future__ import annotations

from dataclasses import replace
from types import MappingProxyType
from typing import Any

from shellcheck_earth.design.criteria import Level
from shellcheck_earth.design.design import (
    Beds,
    Building,
    Criteria,
    Design,
    DomeShape,
    Fill,
    Plaster,
    Site,
    Wall,
)
from shellcheck_earth.safety.result import Result

__all__ = ["REQUIRED", "TESTED", "classroom", "redesigned", "sturdy"]

REQUIRED = MappingProxyType(
    {
        "bed friction": 1.5,
        "geometric factor": 2.0,
        "strength": 3.0,
        "strength while building": 2.0,
        "wire tension": 1.0,
        "overall reserve": 1.25,
        "ground bearing": 1.0,
        "base sliding": 1.5,
        "tipping": 1.5,
        "storm": 1.1,
        "earthquake": 1.1,
        "standing without wire": 1.0,
    }
)


LEVEL: Level = "strength level"
"""What its wind and earthquake are stated as, where it has any: the criteria are those of that."""


def classroom(**changes: Any) -> Design:
    """3.6 m inside, 385 x 135 mm courses; every section may be replaced whole."""
    parts: dict[str, Any] = {
        "name": "Orchard classroom",
        "note": "Invented.",
        "dome": DomeShape(3.6, "pointed", 0.385, 0.30, 0.0, 0.15, 0.0),
        "wall": Wall(0.45, 0.385, 0.135, 0.03, 2, "woven", 12.0, False, None),
        "fill": Fill(1750.0, 2650.0, 0.10, 0.03, "none", 0.0, 500.0, 100.0, 0.0, 0.1 / 100 / 3600, 0.21),
        "beds": Beds(0.5, 0.35, 0.0, 2, 4.2, 0.3),
        "plaster": Plaster(0.03, 0.02, 18.0),
        "building": Building(3.0, 1.5, scaffold_above=0.0),  # nobody stands on it: its rings are all that is asked
        "site": Site(0.02 / 3600, 12.0, 0.0, 0.0, 0.0, 96.0, 0.35, False, wind_basis=LEVEL, earthquake_basis=LEVEL),
        "criteria": Criteria("common practice", REQUIRED),
    }
    return Design(**(parts | changes))


TESTED = MappingProxyType(
    dict.fromkeys(
        (
            *(f"fill.{name}" for name in ("dry_density", "placing_moisture", "service_moisture", "suction_head")),
            *(f"fill.strength_{state}" for state in ("dry", "as_placed", "wet")),
            *(f"beds.{name}" for name in ("friction", "friction_wet", "friction_no_wire", "wire_breaking_load")),
            "fill.hydraulic_conductivity",
            "wall.edge_rounding",
            "plaster.unit_weight",
            "site.ground_bearing",
            "site.ground_friction",
            "site.ground_bearing_wet",
            "site.ground_friction_wet",
        ),
        "measured",
    )
)
"""Bases of a design of which every input that a test can settle has been tested."""


LESS = {"strength": 2.5, "strength while building": 1.5}
"""What the set requires of tested fill."""

NONE = tuple((name, "invented: none here") for name in ("wind_pressure", "earthquake", "snow"))


def sturdy(**changes: Any) -> Design:
    """The classroom in stabilised fill, plastered, covered after an hour of rain, everything tested: it meets."""
    base = classroom()
    parts: dict[str, Any] = {
        "fill": replace(
            base.fill, stabiliser="cement", strength_dry=1500.0, strength_as_placed=450.0, strength_wet=750.0
        ),
        "beds": replace(base.beds, friction=0.6, friction_wet=0.5, friction_no_wire=0.5),
        "building": replace(base.building, cover_after=1.0),
        "site": replace(base.site, ground_bearing=144.0, none_because=NONE),
        "criteria": Criteria("common practice", MappingProxyType(REQUIRED | LESS)),
        "bases": TESTED,
    }
    return classroom(**(parts | changes))


def redesigned(result: Result, **changes: Any) -> Result:
    """The result with sections of its design replaced, everything computed as it was: for drawings and pages alone."""
    dome = result.dome
    design = replace(dome.design, **changes)
    return replace(result, model=replace(result.model, dome=replace(dome, design=design)))
