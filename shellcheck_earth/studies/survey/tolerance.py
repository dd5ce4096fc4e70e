"""How far in, and how far out, one course may stand before a margin falls short, all others as they are set."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace

from shellcheck_earth.basics.errors import InputError
from shellcheck_earth.basics.values import fixed
from shellcheck_earth.design.design import Design
from shellcheck_earth.design.write import design_document
from shellcheck_earth.geometry.settings import Setting, Step, settings
from shellcheck_earth.safety.shortfalls import meets_all
from shellcheck_earth.studies.survey.plans import before_work
from shellcheck_earth.studies.survey.ways import Way, plan_goes_on, step_limit

__all__ = ["Tolerance", "of_plan", "tolerances"]


@dataclass(frozen=True)
class Tolerance:
    """Whole steps of what a chain is read to [m]; `inward_most`, `outward_most`: nothing fell short up to the widest
    that is looked for."""

    inward: float
    outward: float
    inward_most: bool
    outward_most: bool


def _moved(steps: tuple[Step, ...], index: int, by: float) -> tuple[Step, ...]:
    """One course moved out by `by` [m] (in: negative), the next where it was."""
    out = list(steps)
    out[index] = replace(out[index], radius=out[index].radius + by, step_in=out[index].step_in - by)
    if index + 1 < len(out):
        out[index + 1] = replace(out[index + 1], step_in=out[index + 1].step_in + by)
    return tuple(out)


def _stands(way: Way, index: int, by: float) -> bool:
    steps = _moved(way.path.steps, index, by)
    planned = way.wall.planned
    for step in steps[index : index + 2]:
        if step.radius <= 0.0 or step.step_in > step_limit(planned, step) + 1e-9:
            return False
    assert way.design is not None
    shape, at = way.design.dome, len(way.wall.rings) + index
    radii = list(shape.inner_radii)
    radii[at] += by
    try:
        return meets_all(replace(way.design, dome=replace(shape, inner_radii=tuple(radii)), text=""))
    except InputError:
        return False


def _furthest(way: Way, index: int, sign: int) -> tuple[float, bool]:
    """(the furthest that stands, whether that is the widest looked for), every step on the way asked by bisection."""
    unit = fixed("survey.tolerance_step")
    low, high = 0, round(fixed("survey.tolerance_most") / unit)
    if _stands(way, index, sign * high * unit):
        return high * unit, True
    while high - low > 1:
        middle = (low + high) // 2
        low, high = (middle, high) if _stands(way, index, sign * middle * unit) else (low, middle)
    return low * unit, False


def tolerances(way: Way, count: int) -> Mapping[int, Tolerance]:
    """Tolerance of each of the next `count` courses of a way that holds, by number; empty where it does not."""
    if not way.holds:
        return {}
    out = {}
    for index, step in enumerate(way.path.steps[:count]):
        inward, outward = _furthest(way, index, -1), _furthest(way, index, 1)
        out[step.number] = Tolerance(inward[0], outward[0], inward[1], outward[1])
    return out


Plan = tuple[Way, tuple[Setting, ...], Mapping[int, Tolerance]]

_last: list[tuple[Design, Plan]] = []
"""The plan that was asked for last: a report and a build card of one design ask for the same."""


def of_plan(planned: Design) -> Plan:
    """A plan before its first course: the way it goes, its settings, and the tolerance of every one."""
    for design, plan in _last:
        if design == planned:
            return plan
    way = plan_goes_on(before_work(design_document(planned), planned))
    plan = way, settings(way.wall.planned, way.path), tolerances(way, len(way.path.steps))
    _last[:] = [(planned, plan)]
    return plan
