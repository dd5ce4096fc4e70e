"""A classroom in a community orchard as frozen data, for tests that need no design file."""

from __future__ import annotations

from dataclasses import replace
from types import MappingProxyType
from typing import Any

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

__all__ = ["REQUIRED", "classroom", "redesigned"]

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
        "building": Building(3.0, 1.5),
        "site": Site(0.02 / 3600, 12.0, 0.0, 0.0, 0.0, 96.0, 0.35, False),
        "criteria": Criteria("common practice", REQUIRED),
    }
    return Design(**(parts | changes))


def redesigned(result: Result, **changes: Any) -> Result:
    """The result with sections of its design replaced, everything computed as it was: for drawings and pages alone."""
    dome = result.dome
    design = replace(dome.design, **changes)
    return replace(result, model=replace(result.model, dome=replace(dome, design=design)))
