"""A small dome of strong fill with earth against one side of it, for tests."""

from __future__ import annotations

import math
from dataclasses import replace
from typing import Any

from samples import classroom

from shellcheck_earth.design.design import Backfill, Design, Fill, Opening

__all__ = ["BANK", "DOOR", "DRAINS", "banked"]

DRAINS = "gravel and a pipe that ends in the open"
BANK = Backfill(
    height=0.4, unit_weight=(18.0, 18.0), friction_angle=(math.radians(30.0), math.radians(30.0)), compacted=False,
    surcharge=0.0, drained=DRAINS, from_bearing=math.radians(120.0), to_bearing=math.radians(240.0),
)  # fmt: skip
DOOR = Opening("door", 0.0, 0.0, 0.8, 1.5, "pointed")
MEASURED = {f"backfill.{key}": "measured" for key in ("unit_weight", "friction_angle")}


def banked(earth: Backfill | None = BANK, openings: tuple[Opening, ...] = (DOOR,), **site: Any) -> Design:
    design = classroom(openings=openings)
    fill = Fill(1750.0, 2650.0, 0.10, 0.03, "cement", 0.08, 1000.0, 600.0, 400.0, 0.1 / 100 / 3600, 0.21)
    site = {"ground_friction": 0.6, "friction_wet": 0.6, "ground_bearing": 150.0, "bearing_wet": 150.0} | site
    known = {"site.ground_friction_wet": "measured", "site.ground_bearing_wet": "measured"}
    return replace(
        design, dome=replace(design.dome, inside_diameter=2.6), fill=fill, backfill=earth,
        site=replace(design.site, **site), building=replace(design.building, worker=1.0, scaffold_above=None),
        bases={**design.bases, **MEASURED, **known},
    )  # fmt: skip
