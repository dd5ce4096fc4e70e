"""Which states and loads the block model is asked about: finished, with the forms out, and every load that comes from
one side.
"""

from __future__ import annotations

from dataclasses import dataclass

from shellcheck_earth.basics.values import fixed
from shellcheck_earth.design.design import Opening
from shellcheck_earth.geometry.courses import Dome
from shellcheck_earth.geometry.heads import head_ring, lintel_course
from shellcheck_earth.geometry.openings import levels, opening_label
from shellcheck_earth.loads.cases import Case, dead_cases
from shellcheck_earth.loads.side_loads import SideLoad, side_loads

__all__ = ["Job", "forms_out", "jobs"]

MOST_STAGES = round(fixed("blocks.stages"))
"""Stages of building that are looked at: the lowest ones, and always the one at which the last form comes out."""


@dataclass(frozen=True)
class Job:
    """One state of the dome with the loads of one kind (none: its dead load alone)."""

    id: str
    title: str
    criterion: str
    case: Case
    loads: tuple[SideLoad, ...] = ()
    heavier: Case | None = None


def jobs(dome: Dome) -> list[Job]:
    """Everything that the block model is asked about one design, in the order of the report."""
    cases = {case.id: case for case in dead_cases(dome)}
    if dome.design.building.unfinished:
        return _standing(dome, cases)
    dry, damp, soaked = cases["finished-dry"], cases["finished-damp"], cases["soaked-through"]
    out = [
        Job(f"three-d-{case.id}", f"{case.title}, with its openings", "overall reserve", case)
        for case in (dry, damp, soaked)
        if case.counts
    ]
    out += _stages(dome, cases)
    wet = soaked.states[0].weight / dry.states[0].weight - 1
    loads = side_loads(dome.design, wet)
    titles = {
        "wind": "Wind",
        "earthquake": "Earthquake",
        "snow": "Snow on one half",
        "rain": "Water in one half of the dome",
        "worker": "One worker on the top ring",
    }
    for kind, title in titles.items():
        of_kind = tuple(load for load in loads if load.kind == kind)
        if of_kind:
            # Wind lifts: the dry dome, which is lightest. Everything else finds the damp one weaker.
            case = dry if kind == "wind" else damp
            heavier = {"snow": cases.get("finished-snow"), "rain": soaked}.get(kind)
            base = dry if kind in ("snow", "rain") else case
            out.append(Job(f"three-d-{kind}", title, of_kind[0].criterion, base, of_kind, heavier))
    return out


def _standing(dome: Dome, cases: dict[str, Case]) -> list[Job]:
    """What stands of an unfinished dome: its dead load, and every load from one side that needs no finished dome."""
    case = cases[f"stage-{dome.top_number:02d}"]
    out = [Job(f"three-d-{case.id}", f"{case.title}, in three dimensions", "overall reserve", case)]
    titles = {"wind": "Wind", "earthquake": "Earthquake", "worker": "One worker on the top ring"}
    loads = side_loads(dome.design, 0.0)
    for kind, title in titles.items():
        of_kind = tuple(load for load in loads if load.kind == kind)
        if of_kind:
            out.append(Job(f"three-d-{kind}", f"{title}, {case.title.lower()}", of_kind[0].criterion, case, of_kind))
    return out


def _stages(dome: Dome, cases: dict[str, Case]) -> list[Job]:
    """The forms come out of a head as soon as a ring is closed above it; each such stage is a state of its own."""
    out = []
    for number in _stages_to_ask(dome):
        stage = cases[f"stage-{number:02d}"]
        closing = forms_out(dome)
        standing = [opening_label(dome.design, index) for index, at in closing.items() if at <= number]
        every = len(standing) == len(dome.design.openings)
        out.append(
            Job(
                "three-d-forms-out" + ("" if every else f"-{number:02d}"),
                f"{stage.title}, forms out of {'every opening' if every else ' and '.join(standing)}",
                "overall reserve",
                stage,
            )
        )
    return out


def _stages_to_ask(dome: Dome) -> list[int]:
    """Numbers of the courses that close a ring over a head while no other opening is half built: there the courses
    lean on a form,
    which the blocks do not have. The lowest few, and always the last."""
    closing = forms_out(dome)
    whole = []
    for number in sorted(set(closing.values())):
        z_top = next(course.z_top for course in dome.courses if course.number == number)
        begun = [index for index, opening in enumerate(dome.design.openings) if levels(dome, opening)[0] < z_top - 1e-6]
        if all(closing.get(index, number + 1) <= number for index in begun):
            whole.append(number)
    return whole if len(whole) <= MOST_STAGES else [*whole[: MOST_STAGES - 1], whole[-1]]


def forms_out(dome: Dome) -> dict[int, int]:
    """Opening -> number of the course that closes a ring above its head; without those that close only when the dome
    does.
    """
    out: dict[int, int] = {}
    for top in range(2, len(dome.courses)):
        number = dome.courses[top - 1].number
        for index, opening in enumerate(dome.design.openings):
            if index not in out and number >= 1 and _closed(dome, opening, top - 1):
                out[index] = number
    return out


def _closed(dome: Dome, opening: Opening, top: int) -> bool:
    if opening.head == "lintel":
        return lintel_course(dome, opening, top) is not None
    return (
        head_ring(dome, opening, top) is not None or levels(dome, opening)[1] <= dome.courses[top - 1].z_bottom + 1e-6
    )
