"""The spine of `survey`: design and readings -> wall -> three assessments -> answer, settings, tolerances, rain."""

from __future__ import annotations

import hashlib
from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from shellcheck_earth.basics.progress import Progress, quiet
from shellcheck_earth.basics.values import fixed
from shellcheck_earth.design.design import Design
from shellcheck_earth.design.write import design_document, source_text
from shellcheck_earth.geometry.courses import Dome, build_dome
from shellcheck_earth.geometry.settings import curve_radius
from shellcheck_earth.geometry.survey import Survey
from shellcheck_earth.loads.cases import case_of
from shellcheck_earth.safety.check import check
from shellcheck_earth.safety.result import Result
from shellcheck_earth.studies.survey.answer import (
    Assessed,
    Decision,
    Shape,
    decide,
    settled_by_plan,
    stopped,
    with_rings,
)
from shellcheck_earth.studies.survey.beside import Checker, meanwhile
from shellcheck_earth.studies.survey.plans import AsBuilt, as_built, built_design
from shellcheck_earth.studies.survey.rain import CoverBy, DryEnough, cover_by, dry_enough
from shellcheck_earth.studies.survey.tolerance import Tolerance, tolerances
from shellcheck_earth.studies.survey.ways import Way, corrected, plan_goes_on

if TYPE_CHECKING:
    from shellcheck_earth.safety.blocks.out_of_round import OutOfRound

__all__ = ["Deviation", "SurveyAnswer", "survey_answer"]


@dataclass(frozen=True)
class Deviation:
    """One course as it was found [m]: `off_curve` against the design at its own height, positive outside it."""

    number: int
    top: float
    planned_top: float
    mean: float
    off_curve: float
    shift: float
    oval: float


@dataclass(frozen=True)
class SurveyAnswer:
    """Everything a view may read.

    now, plan, corrected  the three assessments; `plan` follows the settings of the plan by course number
    next_courses          tolerance of the next courses of the way that the answer goes, by number
    cover                 before which hour of the site's rain rings that stand have to be covered
    dry                   when what is wet now is dry enough; None where it takes nothing away that is required
    digest                of the design file and the readings
    """

    design: Design
    planned: Dome
    wall: AsBuilt
    decision: Decision
    now: Result
    plan: Assessed
    corrected: Assessed
    next_courses: Mapping[int, Tolerance]
    cover: CoverBy
    dry: DryEnough | None
    deviations: tuple[Deviation, ...]
    shape: Shape
    digest: str

    @property
    def cover_before(self) -> float | None:
        """Hour of the site's rain before which to cover what stands; None: never. Of openings no hour is known, for
        blocks are asked all of the rain that the design's cover lets in: 0, unless it lets in all of it and that is
        met."""
        openings, cover = self.now.design.openings, self.now.design.building.cover_after
        met = cover is None and self.now.verdict == "meets"
        return 0.0 if openings and not met else self.cover.hours

    @property
    def way(self) -> Way:
        """The way on that the answer goes."""
        one = self.plan if "go on" in (self.decision.answer, self.decision.then) else self.corrected
        assert one.way is not None
        return one.way


def _deviations(wall: AsBuilt) -> tuple[Deviation, ...]:
    planned = wall.planned
    return tuple(
        Deviation(
            ring.number,
            ring.top,
            planned.course(ring.number).z_top,
            ring.mean,
            ring.mean - curve_radius(planned, ring.z_mid),
            ring.shift,
            ring.oval,
        )
        for ring in wall.rings
    )


def _same(one: Way, other: Way) -> bool:
    """Whether two ways are the same dome, to a micron."""
    if one.design is None or other.design is None:
        return False
    return one.design.dome == other.design.dome and one.design.building == other.design.building


def _unsaid(_: SurveyAnswer) -> None:
    """Nobody waits for the answer before the rest is known."""


def survey_answer(
    design: Design,
    survey: Survey,
    *,
    blocks: bool = True,
    progress: Progress = quiet,
    answered: Callable[[SurveyAnswer], None] = _unsaid,
    checker: Checker | None = None,
) -> SurveyAnswer:
    """What a survey says: may the crew go on?

    Parameters
    ----------
    design
        The dome as planned.
    survey
        Readings [m, rad] of the courses laid, and the rain that fell.
    blocks
        False leaves out the block model, which openings and loads from one side need; the answer is then never "go on"
        for such a design.
    progress
        Told what is being done.
    answered
        Called once with the answer as soon as it is known and proven: nothing that follows changes `decision`. Its
        tolerances are not there yet, nor is the check of the corrected plan where the answer does not rest on it.
    checker
        Who checks the plan as it goes on while what stands is checked here; None: here, one after the other.

    Returns
    -------
    SurveyAnswer

    Raises
    ------
    InputError, UnbuildableError
        The readings make no wall that can stand as one: courses that do not overlap, and the like.
    """
    wall = as_built(design_document(design), design, survey)
    progress("what stands now", 0, 5)
    standing = built_design(wall)
    plan_way, beside = plan_goes_on(wall), checker or Checker()
    if plan_way.design is not None:
        beside.begin(plan_way.design)
    now, back = check(standing, blocks=blocks, explore=False), corrected(wall)
    same = _same(plan_way, back)
    progress("the way back to the curve", 1, 5)
    rings = () if not blocks or stopped(now) else _standing_rings(wall, standing)
    beside.ask(blocks=blocks)
    # Begun at once where the plan is checked elsewhere; the answer waits for it only where it rests on it.
    ahead = meanwhile(lambda: _checked(back, blocks=blocks)) if beside.elsewhere and not same else None
    progress("the plan as it goes on", 2, 5)
    planned = None if plan_way.design is None else beside.result(plan_way.design, blocks=blocks)
    plan = Assessed(plan_way, planned)

    def of_the_way_back() -> Assessed:
        return Assessed(back, plan.result if same else ahead.result() if ahead else _checked(back, blocks=blocks))

    later = not same and settled_by_plan(now, plan)
    fixed_plan = Assessed(back, None) if later else of_the_way_back()
    decision = decide(now, plan, fixed_plan)
    way = plan_way if "go on" in (decision.answer, decision.then) else back
    progress("rings that are not round", 3, 5)
    shape = Shape(_counts(wall), _all_rings(way, rings) if rings and decision.answer != "stop" else ())
    known = SurveyAnswer(
        design=design,
        planned=wall.planned,
        wall=wall,
        decision=with_rings(decision, shape),
        now=now,
        plan=plan,
        corrected=fixed_plan,
        next_courses={},
        cover=cover_by(standing),
        dry=dry_enough(wall),
        deviations=_deviations(wall),
        shape=shape,
        digest=hashlib.sha256((source_text(design) + repr(survey)).encode()).hexdigest(),
    )
    answered(known)
    progress("tolerances", 4, 5)
    if later:
        fixed_plan = of_the_way_back()
    return replace(known, corrected=fixed_plan, next_courses=tolerances(way, int(fixed("survey.tolerated"))))


def _counts(wall: AsBuilt) -> bool:
    """Whether any ring is further from round than counts."""
    counts = fixed("survey.shift_counts")
    return any(ring.shift >= counts or ring.oval >= counts for ring in wall.rings)


def _standing_rings(wall: AsBuilt, standing: Design) -> tuple[OutOfRound, ...]:
    """What the block model says of rings that are not round, as they stand; () where it is not, or cannot be asked."""
    if not _counts(wall) or standing.buttresses:
        return ()
    from shellcheck_earth.safety.blocks.out_of_round import reserve_out_of_round  # the block model starts slowly

    dome = build_dome(standing)
    rings = {ring.number: ring for ring in wall.rings}
    return (reserve_out_of_round(dome, case_of(dome, f"stage-{wall.number:02d}"), rings),)


def _all_rings(way: Way, found: tuple[OutOfRound, ...]) -> tuple[OutOfRound, ...]:
    """With the finished dome, as damp as it was placed, where what stands holds."""
    if way.design is None or not found[0].meets:
        return found
    from shellcheck_earth.safety.blocks.out_of_round import reserve_out_of_round

    dome = build_dome(way.design)
    rings = {ring.number: ring for ring in way.wall.rings}
    return (*found, reserve_out_of_round(dome, case_of(dome, "finished-damp"), rings))


def _checked(way: Way, *, blocks: bool) -> Result | None:
    return None if way.design is None else check(way.design, blocks=blocks, explore=False)
