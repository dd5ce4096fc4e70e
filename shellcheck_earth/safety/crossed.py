"""Cases crossed with combinations and checks: every factor in one table, and which of them governs.

Rings and blocks stand side by side: of the rings every margin of every counted case, of the blocks every row of factors
that a case was asked at (its load from the direction that is held the least), each by its share of what is required.
"""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass, replace
from typing import Literal

from shellcheck_earth.loads.cases import Kind
from shellcheck_earth.loads.joint import ON_THE_GROUND
from shellcheck_earth.safety.blocks.result import BlockResult
from shellcheck_earth.safety.result import Result

__all__ = ["AT_ONCE", "Crossed", "crossed", "governing_line"]

AT_ONCE = "every capacity at once"
"""What a question of blocks is asked under whose row divides capacities."""


@dataclass(frozen=True)
class Crossed:
    """One factor. share: over what is required; inf where nothing is needed, 0 where nothing is enough, None where no
    answer was established. governs: no other of the same check and model, counted, has less; decides: of none.

    model        rings or blocks; case, title: what stands, how wet, under what; question: the same without the load of
                 the kind that is held the least; kind: finished, a stage, a stage rained on
    combination  the row of factors it was asked under; "" for loads as they are
    bearing      of a load from one side: where the one that is held the least comes from [rad]; loads: of how many
    check        what capacity, or the criterion of a load from one side
    """

    model: Literal["rings", "blocks"]
    case: str
    title: str
    question: str
    kind: Kind
    combination: str
    check: str
    factor: float | None
    required: float
    share: float | None
    meets: bool | None
    bearing: float | None = None
    loads: int = 1
    governs: bool = False
    decides: bool = False


def _rings(result: Result) -> Iterable[Crossed]:
    for case in result.cases:
        for margin in case.margins if case.counts else ():
            known = case.status != "cannot say" and margin.meets is not None
            yield Crossed(
                model="rings",
                case=case.id,
                title=case.title,
                question=case.title,
                kind=case.kind,
                combination=margin.combination,
                check=margin.check,
                factor=margin.factor,
                required=margin.required,
                share=margin.share if known else None,
                meets=margin.meets if known else None,
            )


def _row_of(one: BlockResult) -> str:
    if not one.id.endswith("-joint"):
        return ""
    return ON_THE_GROUND if one.title.endswith(f", {ON_THE_GROUND}") else AT_ONCE


def _blocks(one: BlockResult) -> Iterable[Crossed]:
    """A line for each row that a case was asked at; one for the case where its rows are not known."""
    whole = _block(one)
    for row in one.rows:
        held = row.relied is not None and (one.meets is not None or one.relied is None)
        yield replace(
            whole,
            title=row.title,
            question=one.question or one.title,
            combination=row.row,
            factor=row.relied,
            share=row.relied / one.required if held and row.relied is not None else None,
            meets=row.relied >= one.required if held and row.relied is not None else None,
            bearing=row.bearing,
            loads=row.loads,
        )
    if not one.rows:
        yield whole


def _block(one: BlockResult) -> Crossed:
    return Crossed(
        model="blocks",
        case=one.id,
        title=one.title,
        question=one.question or one.title,
        kind="stage" if one.building else "finished",
        combination=_row_of(one),
        check=one.criterion,
        factor=one.relied,
        required=one.required,
        share=None if one.relied is None or one.meets is None else one.relied / one.required,
        meets=one.meets,
    )


def crossed(result: Result) -> tuple[Crossed, ...]:
    """The whole table, rings first, in the order of cases and checks."""
    lines = [*_rings(result), *(line for one in result.blocks for line in _blocks(one))]
    least: dict[tuple[str, str], float] = {}
    for line in lines:
        if line.share is not None:
            key = line.model, line.check
            least[key] = min(least.get(key, math.inf), line.share)
    every = min(least.values(), default=math.inf)
    out: list[Crossed] = []
    marked: set[tuple[str, str]] = set()
    decided = False
    for line in lines:
        key = line.model, line.check
        governs = line.share is not None and key not in marked and line.share == least[key]
        decides = governs and not decided and line.share == every
        marked |= {key} if governs else set()
        decided |= decides
        out.append(replace(line, governs=governs, decides=decides))
    return tuple(out)


def governing_line(result: Result) -> Crossed | None:
    """What decides: the least share of all, rings and blocks alike; None where nothing was established."""
    return next((line for line in crossed(result) if line.decides), None)
