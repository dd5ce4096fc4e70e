"""What could hurt someone, in plain words: each caution says what could happen, when, and whom to ask."""

from __future__ import annotations

from shellcheck_earth.basics.values import criteria_set
from shellcheck_earth.design.design import Design
from shellcheck_earth.geometry.courses import Dome

__all__ = ["cautions", "not_checked"]

ENGINEER = (
    "This is a calculation, not a permit. Before anyone builds or stands under this dome, have a licensed structural "
    "engineer check it and ask the local building authority. No building code read or recalled for this program rules "
    "on unstabilised earthbag domes."
)
UNSTABILISED = (
    "The fill is not stabilised. Tests support plastic limit analysis only for stabilised fill; unstabilised fill"
    " showed large plastic deformation before collapse (Pelly 2009, abstract read). The margins of this report are"
    " outside what tests support: ask the engineer to judge them by tests of this fill."
)
FRICTION = (
    "Without a test of two loaded courses the bed friction is assumed. Tilt-table values of barbed wire at almost no "
    "pressure (1.5 and more) are interlock, not a friction coefficient for a dome; do not put them in."
)
OPENINGS = (
    "Doors and windows cut the rings that hold the dome. The ring-symmetric margins do not see them: a dome can slide"
    " in over a door that the rings alone would hold. Leave forms in until the ring above is closed."
)
SIDEWAYS = "Wind, earthquake and uneven ground push sideways; an engineer has to choose these loads and check them."
RAIN = (
    "Rain on bare fill makes it heavier, weaker and slicker. Cover the work every evening and before rain; stay out"
    " from under a bare dome that has been rained on, and ask the engineer before going back in."
)
BUILDING = (
    "The top third is where courses step in most and loose lengths tip inward. Nobody stands inside below the row being"
    " laid, and nobody takes forms out before the ring above is closed."
)
NO_SETTLEMENT = (
    "Settlement, frost, slopes and groundwater are not checked: ask a ground engineer where any is in doubt."
)


def not_checked(design: Design) -> str:
    """The loads that the design leaves at nothing, in one sentence; "" when it names them all. No verdict says
    anything of them.
    """
    site = design.site
    loads = {
        "wind": site.wind_pressure,
        "earthquake": site.earthquake,
        "snow": site.snow,
        "a crew on the top ring": design.building.worker,
    }
    missing = [name for name, value in loads.items() if value == 0]
    if not missing:
        return ""
    listed = ", ".join(missing[:-1]) + " and " + missing[-1] if len(missing) > 1 else missing[0]
    return (
        f"Not checked, because the design gives none: {listed}. The answer says nothing about them; the local code and"
        " an engineer say which of them there are on this site."
    )


def cautions(dome: Dome) -> tuple[str, ...]:
    """The cautions of one design, most important first."""
    out = [ENGINEER]
    lowered = [
        f"{check} {dome.design.criteria.required[check]:g} instead of {row.value}"
        for check, row in criteria_set(dome.design.criteria.set_name).items()
        if check in dome.design.criteria.overridden
        and dome.design.criteria.required[check] < float(row.extra.get("tested", row.value))
    ]
    if not_checked(dome.design):
        out.append(not_checked(dome.design))
    if lowered:
        out.append(
            f"The design file asks for less than its set of criteria: {', '.join(lowered)}. Whoever lowered it has to"
            " answer for it."
        )
    if dome.design.wall.individual_bags:
        out.append(
            "Separate bags were drawn as a continuous tube: each bag has to be longer than the shortest piece that"
            " stands by itself, and laid in bond; the friction between bag ends is not counted."
        )
    if dome.design.fill.stabiliser == "none":
        out.append(UNSTABILISED)
    if dome.design.openings:
        out.append(OPENINGS)
    if dome.design.basis("beds.friction") != "measured":
        out.append(FRICTION)
    out.extend([RAIN, BUILDING, SIDEWAYS])
    if dome.base > dome.ground:
        out.append("The lowest course lies above the ground outside: what carries it there is not part of this check.")
    out.append(NO_SETTLEMENT)
    return tuple(out)
