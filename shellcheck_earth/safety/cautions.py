"""Which cautions a design calls for, most important first; `views/text/cautions.py` says them."""

from __future__ import annotations

from shellcheck_earth.basics.values import criteria_set
from shellcheck_earth.design.design import Design
from shellcheck_earth.geometry.courses import Dome
from shellcheck_earth.safety.findings import Caution

__all__ = ["cautions", "loads_left_out"]


def loads_left_out(design: Design) -> tuple[str, ...]:
    """The loads that the design leaves at nothing, by name; no verdict says anything of them."""
    site = design.site
    loads = {
        "wind": site.wind_pressure,
        "earthquake": site.earthquake,
        "snow": site.snow,
        "a crew on the top ring": design.building.worker,
    }
    return tuple(name for name, value in loads.items() if value == 0)


def _lowered(design: Design) -> tuple[tuple[str, float, float], ...]:
    """(check, required by the design, required by its set) wherever the design requires less."""
    criteria = design.criteria
    return tuple(
        (check, criteria.required[check], float(row.value))
        for check, row in criteria_set(criteria.set_name).items()
        if check in criteria.overridden and criteria.required[check] < float(row.extra.get("tested", row.value))
    )


def cautions(dome: Dome) -> tuple[Caution, ...]:
    """The cautions of one design, most important first."""
    design = dome.design
    out = [Caution("engineer")]
    if missing := loads_left_out(design):
        out.append(Caution("loads left out", missing))
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
    out.append(Caution("ground"))
    return tuple(out)
