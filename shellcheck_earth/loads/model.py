"""The model of one design: its dome and every case it is asked about. What cannot be built is refused here."""

from __future__ import annotations

from dataclasses import dataclass, replace

from shellcheck_earth.design.design import Design
from shellcheck_earth.geometry.buildable import check_buildable
from shellcheck_earth.geometry.courses import Dome, build_dome
from shellcheck_earth.geometry.openings import check_openings
from shellcheck_earth.loads.cases import Case, dead_cases
from shellcheck_earth.loads.rain.calendar import rain_case, stage_days, stage_on_day

__all__ = ["Model", "build_model", "needs_blocks", "rain_cases"]


@dataclass(frozen=True)
class Model:
    """A dome with all its ring-symmetric cases, `finished-dry` first."""

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
        return needs_blocks(self.design)

    def case(self, case_id: str) -> Case:
        """The case of that id; KeyError if there is none."""
        for case in self.cases:
            if case.id == case_id:
                return case
        raise KeyError(case_id)


def needs_blocks(design: Design) -> bool:
    """Whether the design has what the ring-symmetric check cannot see: openings, buttresses, loads from one side."""
    site = design.site
    return bool(design.openings or design.buttresses or site.wind_pressure > 0 or site.earthquake > 0 or site.snow > 0)


def rain_cases(dome: Dome) -> tuple[Case, ...]:
    """The whole stated rain in the evening of each working day, with the water's weight and without it."""
    stages = stage_days(dome)
    out: list[Case] = []
    for day in range(stages[0].day, stages[-1].day + 1):
        at = stage_on_day(dome, day)
        if out and out[-1].stage == at.stage:
            continue  # a day of rest: nothing was laid since
        heavy = rain_case(dome, at, dome.design.site.rain_hours, heavy=True)
        light = rain_case(dome, at, dome.design.site.rain_hours, heavy=False)
        out += [heavy, replace(light, id=f"{light.id}-light", title=f"{light.title}, without the water's weight")]
    return tuple(out)


def build_model(design: Design) -> Model:
    """The model of a design; UnbuildableError where no such dome, or no such opening in it, can be built."""
    check_buildable(design, design.name)
    dome = build_dome(design)
    check_openings(dome, design.name)
    return Model(dome, (*dead_cases(dome), *rain_cases(dome)))
