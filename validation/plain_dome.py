"""The dome of the reference page: 4 m inside, square-edged 450 mm wide courses, strong fill, pivot on the outer face,
no plaster.
"""

from __future__ import annotations

from shellcheck_earth.basics.values import criteria_set
from shellcheck_earth.design.design import Beds, Building, Criteria, Design, DomeShape, Fill, Plaster, Site, Wall

__all__ = ["plain_dome"]


def plain_dome(course_height: float = 0.15, friction: float = 0.5, crown_opening: float = 0.3) -> Design:
    """No wire, no rounded edges, no buried courses; 50 MPa, so that only friction and contact count."""
    strong = 5e4
    required = {check: float(one.value) for check, one in criteria_set("common practice").items()}
    return Design(
        name="Plain dome",
        note="For comparison only.",
        dome=DomeShape(4.0, "pointed", 0.45, crown_opening, 0.0, 0.0, 0.0),
        wall=Wall(None, 0.45, course_height, 0.0, 0, "woven", 12.0, False, None),
        fill=Fill(1750.0, 2650.0, 0.10, 0.03, "none", 0.0, strong, strong, strong, 1e-8, 0.21),
        beds=Beds(friction, friction, 0.0, 0, 4.2, 0.3),
        plaster=Plaster(0.0, 0.0, 18.0),
        building=Building(3.0, 0.0),
        site=Site(0.0, 0.0, 0.0, 0.0, 0.0, 100.0, 0.5, False),
        criteria=Criteria("common practice", required),
    )
