"""Go on, cover first, correct, or stop with nobody inside: one answer, with the margin it rests on.

What stands comes before what is to come, and a shortfall before rain. "Cannot say" is never "go on".
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from typing import TYPE_CHECKING, Literal

from shellcheck_earth.loads.rain.calendar import rain_on_ground, stage_days
from shellcheck_earth.safety.blocks.result import BlockResult
from shellcheck_earth.safety.result import CaseResult, Margin, Result
from shellcheck_earth.safety.shortfalls import case_shortfalls
from shellcheck_earth.studies.survey.ways import Way

if TYPE_CHECKING:
    from shellcheck_earth.safety.blocks.out_of_round import OutOfRound

__all__ = [
    "Answer",
    "Assessed",
    "Decision",
    "Found",
    "Reason",
    "Shape",
    "decide",
    "ground_in_rain",
    "least_of",
    "rained_on",
    "settled_by_plan",
    "shortest_of",
    "stopped",
    "with_rings",
]

Answer = Literal["go on", "cover first", "correct", "stop", "cannot say"]
Reason = Literal[
    "plan holds",
    "rain on what stands",
    "rain on the ground",
    "rain later",
    "settings lead away",
    "plan falls short",
    "what stands falls short",
    "blocks fall short",
    "out of round",
    "out of round, not asked",
    "no way holds",
    "not established",
]
Found = tuple[CaseResult, Margin]


@dataclass(frozen=True)
class Assessed:
    """One of the three: what stands now (`way` None), the plan as it goes on, the corrected plan.

    `result`: None where no such dome can be built.
    """

    way: Way | None
    result: Result | None


@dataclass(frozen=True)
class Decision:
    """`behind`: the case and margin it rests on; None where it rests on the block model, or on what is not established.

    then    what to do once the wall is covered, where that comes first
    ring    the rings that are not round, where the answer rests on them
    """

    answer: Answer
    reason: Reason
    behind: Found | None
    block: BlockResult | None = None
    then: Answer | None = None
    ring: OutOfRound | None = None


@dataclass(frozen=True)
class Shape:
    """Whether a ring is further from round than counts, and what the block model said of it: what stands first, then
    the finished dome; () where it was not asked, or cannot be."""

    out_of_round: bool
    asked: tuple[OutOfRound, ...] = ()


def rained_on(case: CaseResult | BlockResult) -> bool:
    """A case of rain that is still to come."""
    return case.wetting == "rain"


def _margins(result: Result) -> Iterable[Found]:
    for case in result.cases:
        for margin in case.margins if case.counts and case.status != "cannot say" else ():
            yield case, margin


def least_of(result: Result, *, rain: bool) -> Found | None:
    """The margin that comes closest to what is required: with the coming rain or without it."""
    found = (pair for pair in _margins(result) if rain or not rained_on(pair[0]))
    return min(found, key=lambda pair: pair[1].share, default=None)


def shortest_of(result: Result, *, rain: bool) -> Found | None:
    """The margin that falls shortest in the cases of the coming rain, or in all others; None where none does."""
    short = (pair for pair in _margins(result) if pair[1].meets is False and rained_on(pair[0]) == rain)
    return min(short, key=lambda pair: pair[1].share, default=None)


def ground_in_rain(result: Result | None) -> Found | None:
    """The margin that falls shortest in the coming rain where that falls short with the wall covered as well: the stage
    asked again with nothing wet but the ground it stands in, and what stands in it."""
    if result is None:
        return None
    dome = result.model.dome
    days = {day.stage: day for day in stage_days(dome)}
    short = [
        (case, margin) for case, margin in _margins(result) if rained_on(case) and case.counts and margin.meets is False
    ]
    for stage in sorted({case.stage for case, _ in short}):
        if any(case_shortfalls(dome, alone, first=True) for alone in rain_on_ground(dome, days[stage])):
            return min((pair for pair in short if pair[0].stage == stage), key=lambda pair: pair[1].share)
    return None


def _block_short(result: Result | None, *, rain: bool = False) -> BlockResult | None:
    """The first case of the block model that falls short, in the coming rain or without it."""
    blocks = () if result is None else result.blocks
    short = (one for one in blocks if one.status == "solved" and not one.meets)
    return next((one for one in short if rained_on(one) == rain), None)


def _in_rain(result: Result) -> tuple[Found | None, BlockResult | None] | None:
    """What falls short in the coming rain: of the rings, else of the blocks; None where nothing does."""
    found = shortest_of(result, rain=True)
    block = None if found else _block_short(result, rain=True)
    return None if found is None and block is None else (found, block)


def _only_rain(one: Assessed) -> tuple[Found | None, BlockResult | None] | None:
    """The shortfall of a way on that falls short in the coming rain and nowhere else."""
    way, result = one.way, one.result
    if way is None or result is None or not way.closes or way.over_limit or _block_short(result):
        return None
    if ground_in_rain(result) is not None:
        return None
    return None if shortest_of(result, rain=False) else _in_rain(result)


def _holds(one: Assessed) -> bool:
    way = one.way
    return (
        way is not None
        and way.closes
        and not way.over_limit
        and one.result is not None
        and (one.result.verdict == "meets")
    )


def _onward(plan: Assessed, corrected: Assessed) -> Decision:
    """The answer of the courses to come, with what stands in order."""
    assert plan.way is not None and corrected.way is not None
    if _holds(plan):
        assert plan.result is not None
        return Decision("go on", "plan holds", least_of(plan.result, rain=True))
    if _holds(corrected):
        assert corrected.result is not None
        short = (
            None if plan.result is None else shortest_of(plan.result, rain=False) or shortest_of(plan.result, rain=True)
        )
        if short is not None:
            return Decision("correct", "plan falls short", short)
        return Decision("correct", "settings lead away", least_of(corrected.result, rain=True))
    for one, then in ((plan, "go on"), (corrected, "correct")):
        wet = _only_rain(one)
        if wet is not None:
            return Decision("cover first", "rain later", *wet, then="go on" if then == "go on" else "correct")
    block = _block_short(corrected.result)
    if corrected.result is None or corrected.result.verdict == "falls short" or corrected.way.over_limit:
        found = None if corrected.result is None else shortest_of(corrected.result, rain=False)
        found = found or ground_in_rain(corrected.result)
        return Decision("stop", "no way holds", found, block)
    return Decision("cannot say", "not established", None)


def settled_by_plan(now: Result, plan: Assessed) -> bool:
    """Whether the answer is the same whatever is found of the corrected plan: what stands falls short by itself, or
    the plan holds as it goes on."""
    return stopped(now) or ground_in_rain(now) is not None or _holds(plan)


def stopped(now: Result) -> bool:
    """Whether what stands falls short by itself, without more rain."""
    return shortest_of(now, rain=False) is not None or _block_short(now) is not None


def decide(now: Result, plan: Assessed, corrected: Assessed) -> Decision:
    """The answer.

    Parameters
    ----------
    now
        What stands, by the check of an unfinished dome.
    plan, corrected
        The two ways on.

    Returns
    -------
    Decision
        "stop" where anything that stands falls short without more rain, or under any cover where rain soaks the ground;
        "cover first" where only the coming rain takes a margin; else what the ways on allow.
    """
    standing = shortest_of(now, rain=False)
    if standing is not None:
        return Decision("stop", "what stands falls short", standing)
    block = _block_short(now)
    if block is not None:
        return Decision("stop", "blocks fall short", None, block)
    drowned = ground_in_rain(now)
    if drowned is not None:
        return Decision("stop", "rain on the ground", drowned)
    onward = _onward(plan, corrected)
    wet = _in_rain(now)
    if wet is not None:
        return Decision("cover first", "rain on what stands", *wet, then=onward.then or onward.answer)
    if now.verdict != "meets":
        return Decision("cannot say", "not established", None)
    return onward


def with_rings(decision: Decision, shape: Shape) -> Decision:
    """The answer with the rings that are not round: they can take a "go on" away, and never give one."""
    if decision.answer == "stop" or not shape.out_of_round:
        return decision
    short = next((one for one in shape.asked if one.blocks is not None and not one.meets), None)
    if short is not None:
        return Decision("stop", "out of round", None, ring=short)
    undecided = not shape.asked or any(one.blocks is None for one in shape.asked)
    return Decision("cannot say", "out of round, not asked", None) if undecided else decision
