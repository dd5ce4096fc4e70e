"""The model of one design: its dome and every case it is asked about. What cannot be built is refused here."""

from __future__ import annotations

import itertools
from collections.abc import Iterator
from dataclasses import dataclass, replace

from shellcheck_earth.design.design import Design
from shellcheck_earth.geometry.buildable import check_buildable
from shellcheck_earth.geometry.courses import Dome, build_dome
from shellcheck_earth.geometry.openings import check_openings
from shellcheck_earth.loads.cases import Case, dead_cases, finished_cases, stage_cases
from shellcheck_earth.loads.crew import highest_stood_on
from shellcheck_earth.loads.rain.calendar import StageDay, fallen_pair, rain_pair, stage_days, stage_on_day

__all__ = ["Model", "build", "build_model", "counted_from_top", "needs_blocks", "needs_more_than_crew", "rain_cases"]


@dataclass(frozen=True)
class Model:
    """A dome with all its ring-symmetric cases, `finished-dry` first; of an unfinished dome the stage that stands."""

    dome: Dome
    cases: tuple[Case, ...]

    @property
    def design(self) -> Design:
        return self.dome.design

    @property
    def counted(self) -> tuple[Case, ...]:
        """The cases that the verdict relies on."""
        return tuple(case for case in self.cases if case.counts)

    @property
    def needs_blocks(self) -> bool:
        return needs_blocks(self.dome)

    def case(self, case_id: str) -> Case:
        """The case of that id; KeyError if there is none."""
        for case in self.cases:
            if case.id == case_id:
                return case
        raise KeyError(case_id)


def needs_blocks(dome: Dome) -> bool:
    """Whether the dome has what the ring-symmetric check cannot see: openings, buttresses, loads or earth from one
    side, loads at one bearing; or one person on one side of a ring that stands now or is to come."""
    return needs_more_than_crew(dome.design) or highest_stood_on(dome) is not None


def needs_more_than_crew(design: Design) -> bool:
    """Whether blocks are needed for more than one person on one side of the top ring."""
    site, earth = design.site, design.backfill
    cut = design.openings or design.buttresses or design.bearing_loads or (earth is not None and not earth.all_around)
    return bool(cut or site.wind_pressure > 0 or site.earthquake > 0 or site.snow > 0)


def _rain_days(dome: Dome) -> list[StageDay]:
    """The evenings on which something new stands; on a day of rest nothing was laid since."""
    stages = stage_days(dome)
    out: list[StageDay] = []
    for day in range(stages[0].day, stages[-1].day + 1):
        at = stage_on_day(dome, day)
        if not out or out[-1].stage != at.stage:
            out.append(at)
    return out


def _rained_on(dome: Dome, at: StageDay, *, first: bool) -> tuple[Case, ...]:
    """The whole stated rain; on the first day also what has fallen already, and no more."""
    pairs = [rain_pair(dome, at, dome.design.site.rain_hours)]
    if first and any(dome.design.building.wetted):
        pairs.insert(0, fallen_pair(dome, at))
    without = ", without the water's weight"
    return tuple(
        case
        for heavy, light in pairs
        for case in (heavy, replace(light, id=f"{light.id}-light", title=light.title + without))
    )


def rain_cases(dome: Dome) -> tuple[Case, ...]:
    """The whole stated rain in the evening of each working day, with the water's weight and without it."""
    days = _rain_days(dome)
    return tuple(case for at in days for case in _rained_on(dome, at, first=at is days[0]))


def counted_from_top(dome: Dome) -> Iterator[Case]:
    """`Model.counted`, the tallest stage first, each made when it is asked for: for questions that one no answers.

    A day's rain comes with the stage that stands on it.
    """
    yield from (case for case in finished_cases(dome) if case.counts)
    days = _rain_days(dome)
    rained = {at.stage: at for at in days}
    for stage, cases in itertools.groupby(stage_cases(dome, from_top=True), key=lambda case: case.stage):
        yield from (case for case in cases if case.counts)
        if stage in rained:
            first = rained[stage] is days[0]
            yield from (case for case in _rained_on(dome, rained[stage], first=first) if case.counts)


def build(design: Design) -> Dome:
    """The dome of a design; UnbuildableError where no such dome, or no such opening in it, can be built."""
    check_buildable(design, design.name)
    dome = build_dome(design)
    check_openings(dome, design.name)
    return dome


def build_model(design: Design) -> Model:
    """The model of a design; UnbuildableError where no such dome, or no such opening in it, can be built."""
    dome = build(design)
    return Model(dome, (*dead_cases(dome), *rain_cases(dome)))
