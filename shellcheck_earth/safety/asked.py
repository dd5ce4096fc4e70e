"""Of what each row of factors is asked in one design: stages, moisture, loads and their directions.

No table says it beside the program: it is drawn from what is asked, the rows of every counted case of the rings
(`ring_rows`) and the joint questions of the blocks (`joint_job`). A test holds it to what the checker demands.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from shellcheck_earth.loads.cases import Case, Kind, MoistureState
from shellcheck_earth.loads.combinations import ring_rows
from shellcheck_earth.loads.joint import Row
from shellcheck_earth.loads.model import Model
from shellcheck_earth.safety.blocks.jobs import Job, joint_job, needed_jobs

__all__ = ["RowAsked", "rows_asked"]


@dataclass(frozen=True)
class RowAsked:
    """One question that a row of factors is asked in.

    row, model  its name; of rings or of blocks
    case        id of the case, of blocks of the question
    load        what acts beside the weight: "weight" for nothing, crew, snow, or what comes from one side
    beside      what acts with that in the row: snow, wind
    stage, moisture, wetting  finished, a stage of the work, one that was rained on; how damp; what wets it
    bearings    where a load from one side comes from on plan [rad], each that stands for its mirror image with it; ()
                for one all around
    """

    row: str
    model: str
    case: str
    load: str
    beside: tuple[str, ...]
    stage: Kind
    moisture: MoistureState
    wetting: str
    bearings: tuple[float, ...] = ()


def rows_asked(model: Model) -> tuple[RowAsked, ...]:
    """Everything that rows of factors are asked of a design, rings first, in the order of cases and rows."""
    blocks = needed_jobs(model.dome) if model.needs_blocks else ()
    return (
        *(one for case in model.counted if not case.only for one in _of_rings(model, case)),
        *(one for job in blocks for one in _of_blocks(model, job)),
    )


def _of_rings(model: Model, case: Case) -> Iterator[RowAsked]:
    load = "snow" if case.snow else "crew" if case.crew else "weight"
    for row, _ in ring_rows(model.design, case):
        yield RowAsked(row.name, "rings", case.id, load, (), case.kind, case.moisture, case.wetting)


def _of_blocks(model: Model, job: Job) -> Iterator[RowAsked]:
    joint = joint_job(model.design, job)
    if joint is None:
        return
    case = joint.case
    alone = "snow" if case.snow else "weight"
    if not joint.loads:
        for row in joint.rows:
            yield RowAsked(row.name, "blocks", joint.id, alone, (), case.kind, case.moisture, case.wetting)
        return
    found: dict[tuple[Row, str], dict[float, None]] = {}
    for load, row in joint.asked():
        found.setdefault((row, load.kind), {})[load.bearing] = None
    for (row, kind), bearings in found.items():
        beside = (*(("snow",) if row.snow > 0 else ()), *(("wind",) if row.wind > 0 else ()))
        yield RowAsked(
            row.name, "blocks", joint.id, kind, beside, case.kind, case.moisture, case.wetting, tuple(bearings)
        )
