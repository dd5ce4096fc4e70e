"""All drawings of a design, as bytes, before any of them is written."""

from __future__ import annotations

from shellcheck_earth.geometry.courses import Dome
from shellcheck_earth.views.export.drawings.elevation import elevations_drawing
from shellcheck_earth.views.export.drawings.plan import plan_drawing
from shellcheck_earth.views.export.drawings.section import section_drawing
from shellcheck_earth.views.export.drawings.solid import dome_3mf, dome_stl

__all__ = ["drawing_files"]


def drawing_files(dome: Dome, what: str, scale: float) -> dict[str, bytes]:
    """Name -> content. `what`: all, dxf, solid, or ifc, which is not in all; `scale`: 1 to so many, of the solid
    bodies. ModuleNotFoundError for ifc without its library."""
    out: dict[str, bytes] = {}
    if what == "ifc":
        from shellcheck_earth.views.export.drawings.ifc import dome_ifc

        return {"dome.ifc": dome_ifc(dome)}
    if what != "solid":
        out["section.dxf"] = section_drawing(dome)
        out["plan.dxf"] = plan_drawing(dome)
        out["elevations.dxf"] = elevations_drawing(dome)
    if what != "dxf":
        out["dome.stl"] = dome_stl(dome, scale)
        out["dome.3mf"] = dome_3mf(dome, scale)
    return out
