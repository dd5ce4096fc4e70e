"""The worst counted margin of each check of a whole design: what `check` would report, and nothing else of it.

A case is searched only where it comes out worse than the worst so far, which one question to the exact set tells. A
test holds the result equal to the margins of `check`.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

from shellcheck_earth.basics.progress import quiet
from shellcheck_earth.design.design import Design
from shellcheck_earth.geometry.courses import Dome
from shellcheck_earth.loads.cases import Case
from shellcheck_earth.loads.model import Model, build_model, needs_more_than_crew
from shellcheck_earth.mechanics.rings.admissible import Scales, failing_bed, pack
from shellcheck_earth.mechanics.rings.capacity import Edge, base_state
from shellcheck_earth.mechanics.rings.discretise import cut_lune
from shellcheck_earth.mechanics.rings.lune import Floats, Lune
from shellcheck_earth.safety.blocks.solve import BlockResult, block_cases
from shellcheck_earth.safety.checks import GROUND, LABELS, Question, line_questions
from shellcheck_earth.safety.doubts import doubts_of, overturned
from shellcheck_earth.safety.ground import ground_demand, ground_of, spread_of
from shellcheck_earth.safety.result import Doubt, Verdict
from shellcheck_earth.safety.together import all_hold, ground_limit

__all__ = ["Outcome", "WorstMargin", "outcome", "worst_margins"]


@dataclass(frozen=True)
class WorstMargin:
    """The least factor of a check over all counted cases: inf where nothing is needed, 0 where nothing is enough.

    `known` False: a search did not close, which is no answer.
    """

    check: str
    factor: float
    required: float
    case_id: str
    course: int | None
    known: bool = True

    @property
    def meets(self) -> bool:
        return self.known and self.factor >= self.required

    @property
    def share(self) -> float:
        """Factor over what is required: 1 just meets."""
        return self.factor / self.required


@dataclass(frozen=True)
class Outcome:
    """The answer of the ring-symmetric check for one design; `doubts` say why where it is "cannot say"."""

    verdict: Verdict
    doubts: tuple[Doubt, ...]
    margins: tuple[WorstMargin, ...]

    @property
    def least(self) -> WorstMargin:
        """The margin that decides: the least share of what is required."""
        return min(self.margins, key=lambda margin: (margin.known, margin.share))

    @property
    def shortest(self) -> tuple[WorstMargin, ...]:
        return tuple(margin for margin in self.margins if not margin.meets)


@dataclass(frozen=True)
class _Asked:
    case: Case
    lune: Lune
    rows: Floats
    questions: tuple[Question, ...]


_Worst = tuple[Case, Question, Edge]


def _line_worst(asked: Sequence[_Asked]) -> dict[str, _Worst]:
    """For each label the case that needs most of a capacity, and how much. A case is searched only where one question
    says that it needs more of something than any before it.
    """
    worst: dict[str, _Worst] = {}
    for one in asked:
        plain = [question for question in one.questions if not question.combination]
        combined = [question for question in one.questions if question.combination]
        if not _needs_no_more(one.lune, plain, worst):
            _search(one.case, plain, worst)
        _search(one.case, combined, worst)
    return worst


def _needs_no_more(lune: Lune, questions: Sequence[Question], worst: Mapping[str, _Worst]) -> bool:
    so_far = [worst[q.label][2].value if q.label in worst else 0.0 for q in questions]
    known = [(q, value) for q, value in zip(questions, so_far, strict=True) if value is not None]
    if not known or any(value == 0.0 for _, value in known):
        return not known
    return all_hold(lune, [q.check.scales(value) for q, value in known])


def _search(case: Case, questions: Iterable[Question], worst: dict[str, _Worst]) -> None:
    for question in questions:
        value = worst[question.label][2].value if question.label in worst else 0.0
        if value is None or (value > 0.0 and failing_bed(question.rows, question.check.scales(value)) < 0):
            continue
        edge = question.edge()
        if question.label not in worst or edge.value is None or edge.value > value:
            worst[question.label] = case, question, edge


def _line_margin(worst: _Worst) -> WorstMargin:
    case, question, edge = worst
    course = int(question.lune.number[edge.bed]) if edge.bed >= 0 else None
    if edge.value is None:
        return WorstMargin(question.label, 0.0, question.required, case.id, course, known=edge.closed)
    if edge.value == 0.0:
        return WorstMargin(question.label, math.inf, question.required, case.id, None)
    return WorstMargin(question.label, 1.0 / edge.value, question.required, case.id, course)


@dataclass(frozen=True)
class _GroundWorst:
    """The least factor so far of sliding and of bearing, each with the case behind it."""

    sliding: float
    slides_in: _Asked
    bearing: float
    presses_in: _Asked


def _holds_no_less(dome: Dome, one: _Asked, worst: _GroundWorst) -> bool:
    """Two questions that settle, without a search, that a case is no worse than the worst so far."""
    limit = ground_limit(dome, one.case, one.lune, worst.sliding, worst.bearing)
    capped = one.rows.copy()
    capped[-1, 10], capped[-1, 11] = min(capped[-1, 10], limit.friction), 0.0
    contact = limit.contact
    return contact > 0.0 and failing_bed(one.rows, Scales(contact=contact)) < 0 and failing_bed(capped) < 0


def _ground_margins(dome: Dome, asked: Sequence[_Asked]) -> list[WorstMargin]:
    required = [dome.design.criteria.required[check.key] for check in GROUND]
    worst: _GroundWorst | None = None
    for one in asked:
        if one.case.only or (worst is not None and _holds_no_less(dome, one, worst)):
            continue
        base, lowest = base_state(one.rows), int(one.lune.number[-1])
        if base is None:
            pairs = zip(GROUND, required, strict=True)
            return [WorstMargin(check.key, 0.0, factor, one.case.id, lowest) for check, factor in pairs]
        demand = ground_demand(one.lune, base, spread_of(dome, one.case, one.lune))
        ground = ground_of(dome, one.case)
        sliding = math.inf if demand.friction == 0.0 else ground.friction / demand.friction
        bearing = ground.bearing / demand.edge_stress
        if worst is None:
            worst = _GroundWorst(sliding, one, bearing, one)
            continue
        slides = (sliding, one) if sliding < worst.sliding else (worst.sliding, worst.slides_in)
        presses = (bearing, one) if bearing < worst.bearing else (worst.bearing, worst.presses_in)
        worst = _GroundWorst(*slides, *presses)
    assert worst is not None
    lowest = int(worst.slides_in.lune.number[-1])
    at = None if math.isinf(worst.sliding) else lowest
    return [
        WorstMargin(GROUND[0].key, worst.sliding, required[0], worst.slides_in.case.id, at),
        WorstMargin(GROUND[1].key, worst.bearing, required[1], worst.presses_in.case.id, lowest),
    ]


def _asked(model: Model) -> list[_Asked]:
    """Counted cases, the tallest first: they come out worst more often than not."""
    out = []
    for case in sorted(model.counted, key=lambda case: (-case.stage, case.building)):
        lune = cut_lune(model.dome, case)
        out.append(_Asked(case, lune, pack(lune), tuple(line_questions(model.dome, case, lune))))
    return out


def worst_margins(model: Model) -> tuple[WorstMargin, ...]:
    """One margin a check, in the order of the table; about 40 ms for a dome of 26 courses."""
    asked = _asked(model)
    worst = _line_worst(asked)
    lines = [_line_margin(worst[label]) for label in LABELS if label in worst]
    return (*lines, *_ground_margins(model.dome, asked))


def _with_blocks(margins: tuple[WorstMargin, ...], found: Sequence[BlockResult]) -> tuple[WorstMargin, ...]:
    """The worst of each check, blocks asked too."""
    out = {margin.check: margin for margin in margins}
    for one in found:
        margin = WorstMargin(one.criterion, one.relied or 0.0, one.required, one.id, None, known=one.meets is not None)
        before = out.get(margin.check)
        if before is None or (margin.known, margin.share) < (before.known, before.share):
            out[margin.check] = margin
    return tuple(out.values())


def outcome(design: Design, *, trials: bool = True, crew: bool = False) -> Outcome:
    """Margins and the verdict they allow. Where the block model has to be asked nothing "meets" here.

    `trials`: untested inputs are tried at the unfavourable ends of their ranges before anything "meets". `crew`: where
    nothing but one person on one side of the top ring needs blocks, and nothing else stands in the way, they are asked.
    """
    model = build_model(design)
    margins = worst_margins(model)
    if any(not margin.meets for margin in margins if margin.known):
        return Outcome("falls short", (), margins)
    doubts = doubts_of(model.dome)
    if not all(margin.known for margin in margins):
        unknown = next(margin for margin in margins if not margin.known)
        doubts = (Doubt("not established", unknown.case_id, unknown.check), *doubts)
    if crew and not doubts and model.needs_blocks and not needs_more_than_crew(design):
        found = block_cases(model.dome, quiet)
        margins = _with_blocks(margins, found)
        if any(one.meets is False for one in found):
            return Outcome("falls short", (), margins)
        doubts = tuple(Doubt("blocks not established", one.id, one.why) for one in found if one.meets is None)
    elif model.needs_blocks:
        resting = tuple(one for one in doubts if one.kind == "blocks rest on it")
        doubts = (*(one for one in doubts if one not in resting), Doubt("blocks not asked"), *resting)
    doubts = doubts or (overturned(design, first=True) if trials else ())
    return Outcome("cannot say" if doubts else "meets", doubts, margins)
