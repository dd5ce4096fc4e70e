"""The ways on from a wall as it stands: the plan's own settings, back to the curve, courses taken down first."""

from __future__ import annotations

import math
from dataclasses import dataclass

from shellcheck_earth.basics.errors import InputError
from shellcheck_earth.basics.values import fixed
from shellcheck_earth.design.design import Design
from shellcheck_earth.geometry.courses import Dome
from shellcheck_earth.geometry.settings import Path, Step, by_height, by_number, curve_radius, return_path
from shellcheck_earth.safety.laying import tipping_factor
from shellcheck_earth.safety.worst import Outcome, outcome
from shellcheck_earth.studies.survey.plans import AsBuilt, built_design, without_top

__all__ = ["Way", "corrected", "plan_goes_on", "step_limit"]


@dataclass(frozen=True)
class Way:
    """One way on.

    wall         what it starts from, `taken_down` courses lower than what stands
    path         the courses to come
    design       None where no such dome can be built; `why` then says what the reader of designs found
    outcome      the ring-symmetric answer; None without a design
    over_limit   numbers of courses that step in further than laying allows
    """

    wall: AsBuilt
    path: Path
    design: Design | None
    outcome: Outcome | None
    over_limit: tuple[int, ...] = ()
    taken_down: int = 0
    why: str = ""

    @property
    def closes(self) -> bool:
        """Whether it ends at the crown opening that was designed: one more course would leave less than that."""
        if self.design is None or self.path.out_of_reach is not None or not self.path.steps:
            return False
        if self.path.returns_at is not None:
            return True  # on the curve, whose courses end where the next one would be narrower than the opening
        steps, opening = self.path.steps, self.wall.planned.design.dome.crown_opening
        last, before = (max(step.step_in, 0.0) for step in (steps[-1], steps[max(len(steps) - 2, 0)]))
        return steps[-1].radius - last - 2 * max(last - before, 0.0) < opening / 2

    @property
    def holds(self) -> bool:
        """Closed, with nothing short of what is required; the block model, where it is needed, is asked apart."""
        found = self.outcome
        return self.closes and not self.over_limit and found is not None and found.verdict != "falls short"


def step_limit(planned: Dome, step: Step) -> float:
    """Greatest step-in [m] that laying allows for a course to come: a short piece keeps the required factor against
    tipping by its own weight; or that of the design curve at the same height, which its crew has accepted."""
    wall, required = planned.design.wall, planned.design.criteria.required["tipping"]
    low, high = 0.0, wall.filled_width - 2 * wall.edge_rounding
    for _ in range(40):
        middle = (low + high) / 2
        factor = tipping_factor(step.radius, step.radius + wall.filled_width, step.radius + middle + wall.edge_rounding)
        low, high = (middle, high) if factor >= required else (low, middle)
    drawn = curve_radius(planned, step.z_mid - (step.top - step.bottom)) - curve_radius(planned, step.z_mid)
    return low if math.isnan(drawn) else max(low, drawn)


def _over(planned: Dome, steps: tuple[Step, ...]) -> tuple[int, ...]:
    slack = 0.5e-3  # what nobody reads on a chain
    return tuple(step.number for step in steps if step.step_in > step_limit(planned, step) + slack)


def _way(wall: AsBuilt, path: Path, taken_down: int = 0) -> Way:
    over = _over(wall.planned, path.steps)
    if not path.steps:
        return Way(wall, path, None, None, over, taken_down, "no course to come")
    try:
        design = built_design(wall, path.steps)
        found = outcome(design)
    except InputError as error:
        return Way(wall, path, None, None, over, taken_down, str(error.problems[0]))
    return Way(wall, path, design, found, over, taken_down)


def plan_goes_on(wall: AsBuilt) -> Way:
    """The crew goes on with the settings of the plan: by the height of the wall where it does so already, else course
    number by course number."""
    follow = by_height if wall.survey.by_height else by_number
    return _way(wall, follow(wall.planned, wall.top))


def _share(way: Way) -> float:
    return way.outcome.least.share if way.outcome is not None else -math.inf


def _better(one: Way | None, other: Way) -> Way:
    """The way that holds; else the one whose least margin is larger."""
    if one is None or (other.holds and not one.holds):
        return other
    return other if not one.holds and _share(other) > _share(one) else one


def corrected(wall: AsBuilt) -> Way:
    """The way back to the design curve: over as few courses as laying and margins allow; where no way holds, with as
    few courses taken down first as it takes. The best that was found where none holds."""
    most, best = int(fixed("survey.returns")), None
    for down in range(min(int(fixed("survey.taken_down")), wall.number - 1) + 1):
        lower = without_top(wall, down) if down else wall
        for returns in range(1, most + 1):
            path = return_path(wall.planned, lower.top, returns)
            if _over(wall.planned, path.steps) and returns < most:
                continue
            way = _way(lower, path, down)
            best = _better(best, way)
            if way.holds:
                return way
    assert best is not None
    return best
