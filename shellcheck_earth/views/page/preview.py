"""What a drag shows: one case of the ring-symmetric check, by the exact set. Never a verdict.

The margins are those that `check` finds for the same case; a test holds them equal.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from shellcheck_earth.basics.errors import UndecidedError
from shellcheck_earth.design.design import Design
from shellcheck_earth.geometry.courses import Dome, build_dome
from shellcheck_earth.loads.cases import Case, case_of
from shellcheck_earth.loads.rain.calendar import rain_case, stage_days, wetted_bands
from shellcheck_earth.mechanics.rings.admissible import Scales, failing_bed, pack
from shellcheck_earth.mechanics.rings.capacity import base_state
from shellcheck_earth.mechanics.rings.collapse import Collapse, collapse
from shellcheck_earth.mechanics.rings.discretise import cut_lune
from shellcheck_earth.mechanics.rings.lune import Lune
from shellcheck_earth.mechanics.rings.thrust_band import ThrustBand, thrust_band
from shellcheck_earth.safety.checks import reserve_of
from shellcheck_earth.safety.laying import tipping_factor
from shellcheck_earth.safety.margins import case_margins
from shellcheck_earth.safety.result import Margin

__all__ = ["FIRST_CASE", "Preview", "Shown", "preview", "shown_case"]

FIRST_CASE = "finished-dry"
"""A case that every design has."""

MORE: Mapping[str, Scales] = {
    "friction": Scales(friction=1e4),
    "wire": Scales(wire=1e4),
    "strength": Scales(strength=1e6),
}
"""One capacity far past any that could be had: what it brings back was lost for want of it."""


@dataclass(frozen=True)
class Shown:
    """What of a dome is looked at.

    stage  number of the course laid last; None: finished
    case   id of the case of the finished dome
    hours  of the site's rain on the bare work; 0: none
    crew   workers stand on the top ring
    """

    stage: int | None = None
    case: str = FIRST_CASE
    hours: float = 0.0
    crew: bool = True


@dataclass(frozen=True)
class Preview:
    """One case, looked at.

    laid      number of the course laid last while building; None: finished
    band      where thrust lines run; ends above the bed that none crosses
    margins   of this case alone, in the order of the table of checks
    collapse  how it gives way where no line is left; None: a line is left, or the programme does not say
    would     capacities of which more alone would bring a line back
    tips      numbers of the courses of which a short piece tips inward by itself while it is laid
    wetted    depth of the wetted outer band of each course that rain has reached [m]
    """

    dome: Dome
    case: Case
    laid: int | None
    lune: Lune
    band: ThrustBand
    margins: tuple[Margin, ...]
    collapse: Collapse | None
    would: tuple[str, ...]
    tips: tuple[int, ...]
    wetted: Mapping[int, float]

    @property
    def stands(self) -> bool:
        """Whether a thrust line is left."""
        return self.band.failing < 0

    @property
    def failing_course(self) -> int | None:
        """The course over the bed that no line crosses."""
        return None if self.stands else int(self.lune.number[self.band.failing])

    @property
    def least(self) -> Margin | None:
        """The margin that comes shortest of what is required."""
        return min(self.margins, key=lambda margin: (margin.meets is not None, margin.share), default=None)


def _in_rain(dome: Dome, stage: int, hours: float) -> tuple[Case, dict[int, float]]:
    """The worse of the rain with its water's weight and without, and the wetted bands."""
    at = next(day for day in stage_days(dome) if day.stage == stage)
    cases = [rain_case(dome, at, hours, heavy=heavy) for heavy in (False, True)]
    reserves = [reserve_of(cut_lune(dome, case)) for case in cases]
    worse = min(range(2), key=lambda index: -1.0 if reserves[index] is None else float(reserves[index] or 0.0))
    bands = wetted_bands(dome, at, hours)
    wet = {c.number: min(b.section, c.width) for c, b in zip(dome.up_to(stage), bands, strict=True) if b.section > 0}
    return cases[worse], wet


def shown_case(dome: Dome, shown: Shown) -> tuple[Case, int | None, dict[int, float]]:
    """(case, course laid last while building, wetted bands); what the dome does not have falls back on the nearest."""
    stage = None if shown.stage is None else min(max(shown.stage, 1), dome.top_number)
    hours = min(shown.hours, dome.design.site.rain_hours)
    if hours > 0.0:
        laid = dome.top_number if stage is None else stage
        case, wet = _in_rain(dome, laid, hours)
        return case, laid, wet
    if stage is not None:
        crew = "-worker" if shown.crew and dome.design.building.worker > 0 else ""
        return case_of(dome, f"stage-{stage:02d}{crew}"), stage, {}
    try:
        return case_of(dome, shown.case), None, {}
    except KeyError:
        return case_of(dome, FIRST_CASE), None, {}


def _tipping(dome: Dome) -> tuple[int, ...]:
    return tuple(
        course.number
        for course in dome.courses[1:]
        if tipping_factor(course.inner_radius, course.outer_radius, course.bed_inner) < 1.0
    )


def preview(design: Design, shown: Shown) -> Preview:
    """Look at one case of a design that can be built; about 30 ms for a dome of 4 m.

    Parameters
    ----------
    design
        Checked as buildable.
    shown
        The case, the stage, the hours of rain [h].

    Returns
    -------
    Preview
        Levels and radii in m, forces in kN per radian, factors without unit.
    """
    dome = build_dome(design)
    case, laid, wet = shown_case(dome, shown)
    lune = cut_lune(dome, case)
    rows = pack(lune)
    band = thrust_band(lune)
    moving: Collapse | None = None
    would: tuple[str, ...] = ()
    if band.failing >= 0:
        would = tuple(name for name, scales in MORE.items() if failing_bed(rows, scales) < 0)
        try:
            moving = collapse(lune)
        except UndecidedError:
            moving = None
    margins = case_margins(dome, case, lune, base_state(rows))
    return Preview(dome, case, laid, lune, band, margins, moving, would, _tipping(dome), wet)
