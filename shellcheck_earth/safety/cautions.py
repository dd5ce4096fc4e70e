"""Which cautions a design calls for, most important first; `views/text/cautions.py` says them."""

from __future__ import annotations

import math

from shellcheck_earth.basics.units import both
from shellcheck_earth.design.design import Design
from shellcheck_earth.geometry.courses import Dome
from shellcheck_earth.loads.crew import highest_stood_on
from shellcheck_earth.safety.doubts import lowered_criteria
from shellcheck_earth.safety.findings import Caution

__all__ = ["cautions", "loads_left_out", "loads_stated_none"]


NAMES = {"wind_pressure": "wind", "earthquake": "earthquake", "snow": "snow"}
"""What the loads of a site are called."""


def loads_stated_none(design: Design) -> tuple[tuple[str, str], ...]:
    """(load, reason) of every load that the design says its site has none of; no verdict says anything of them."""
    return tuple((NAMES.get(key, key), reason) for key, reason in design.site.none_because)


def loads_left_out(design: Design) -> tuple[str, ...]:
    """The loads that the design leaves at nothing without a reason, by name; no verdict says anything of them."""
    site, excused = design.site, {name for name, _ in loads_stated_none(design)}
    loads = {NAMES[key]: getattr(site, key) for key in NAMES} | {"a crew on the top ring": design.building.worker}
    return tuple(name for name, value in loads.items() if value == 0 and name not in excused)


def _lowered(design: Design) -> tuple[tuple[str, float, float], ...]:
    """(check, required by the design, required by its set) wherever the design requires less."""
    criteria, own = design.criteria, design.criteria.own_set
    said = {*criteria.overridden, *(row.name for row in criteria.said_rows)}
    said |= {one.check for one in own.required} if own else set()
    return tuple(row for row in lowered_criteria(design) if {row[0], row[0].rpartition(": ")[0]} & said)


def cautions(dome: Dome) -> tuple[Caution, ...]:
    """The cautions of one design, most important first."""
    design = dome.design
    out = [Caution("engineer")]
    if missing := loads_left_out(design):
        out.append(Caution("loads left out", missing))
    if excused := loads_stated_none(design):
        out.append(Caution("loads stated none", excused))
    if (height := design.building.scaffold_above) is not None and design.building.worker > 0:
        stood, said = highest_stood_on(dome), both(height, "length", design.unit_system)
        out.append(Caution("scaffold", (said, "" if stood is None else str(stood))))
    if design.building.laid is not None:
        finished = ("the finished dome",) if design.building.unfinished else ()
        out.append(Caution("stages past", (str(design.building.laid), *finished)))
    if design.ring_loads:
        out.append(Caution("ring loads", tuple(load.name for load in design.ring_loads)))
    if design.bearing_loads:
        out.append(Caution("bearing loads", tuple(load.name for load in design.bearing_loads)))
    if (earth := design.earth) is not None and not design.building.unfinished:
        ends = (earth.from_bearing, earth.to_bearing)
        side = [f"{math.degrees(end) % 360:.4g} deg" for end in ends if end is not None]
        out.append(Caution("earth", (both(earth.height, "length", design.unit_system), *side)))
    if design.footing is not None:
        out.append(Caution("footing"))
    if lowered := _lowered(design):
        out.append(Caution("lowered criteria", lowered))
    if design.wall.individual_bags:
        out.append(Caution("separate bags"))
    if design.fill.stabiliser == "none":
        out.append(Caution("unstabilised"))
    if design.openings:
        out.append(Caution("openings"))
    if design.basis("beds.friction") != "measured":
        out.append(Caution("friction"))
    out += [Caution("rain"), Caution("building"), Caution("sideways")]
    if dome.base > dome.ground:
        out.append(Caution("raised base"))
    out += [Caution("ground"), Caution("not looked at")]
    return tuple(out)
