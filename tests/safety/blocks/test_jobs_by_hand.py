"""Which states of blocks are asked, by hand: the ring that closes over a head, and water in one half."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest
from samples import classroom

from shellcheck_earth.basics.values import fixed
from shellcheck_earth.design.design import Opening
from shellcheck_earth.geometry.courses import Dome, build_dome
from shellcheck_earth.safety.blocks import jobs as three_d_jobs
from shellcheck_earth.safety.blocks.jobs import Job, forms_out, jobs, joint_job

DOOR, WINDOW = Opening("door", 0.0, 0.0, 0.8, 1.8, "lintel"), Opening("window", 2.0, 0.9, 0.5, 0.6, "lintel")


def dome(*openings: Opening, **changes: Any) -> Dome:
    building = replace(classroom().building, scaffold_above=None)
    return build_dome(classroom(**({"openings": openings, "building": building} | changes)))


def test_a_ring_closes_over_a_lintel_with_the_course_above_it() -> None:
    """Courses of 135 mm, their bottoms at 0.135 (n - 1). A lintel lies in the first course whose bottom is not under
    the top of the opening, 1.8 m: course 15 (1.89 m); the ring above it is course 16. The window, 1.5 m: 13 and 14."""
    assert forms_out(dome(DOOR, WINDOW)) == {1: 14, 0: 16}


@pytest.mark.parametrize("head", ["round", "pointed"])
def test_a_ring_closes_over_bags_with_the_course_past_their_outside(head: Any) -> None:
    """The springing of the head at the nearest bed, its outside a ring's depth further out; the last course that the
    outside reaches by the least crown still ends against a bag, and the next closes."""
    opening = replace(DOOR, head=head)
    depth, least = opening.head_depth, fixed("heads.least_crown")
    reach = 0.4 if head == "round" else 0.8
    offset = reach - 0.4
    rise = (reach**2 - offset**2) ** 0.5
    springing = 0.135 * round((1.8 - rise) / 0.135)
    apex = springing + ((reach + depth) ** 2 - offset**2) ** 0.5
    last = max(n for n in range(1, 24) if 0.135 * (n - 1) + 0.135 * least <= apex)
    assert forms_out(dome(opening)) == {0: last + 1}


def test_a_stage_is_asked_only_where_no_other_opening_is_half_built() -> None:

    def asked(*openings: Opening) -> set[str]:
        return {job.id for job in jobs(dome(*openings)) if _dry_forms_out(job)}

    assert asked(DOOR, WINDOW) == {"three-d-forms-out"}  # at course 14 the door is still a gap
    apart = asked(replace(DOOR, height=0.9), replace(WINDOW, sill=1.5))
    assert apart == {"three-d-forms-out-09", "three-d-forms-out"}


def test_water_in_one_half_is_what_the_soaked_dome_weighs_more() -> None:
    bare = classroom()
    site, plaster = replace(bare.site, left_unprotected=True), replace(bare.plaster, outside=0.0, inside=0.0)
    stack = dome(DOOR, site=site, plaster=plaster)
    job = next(one for one in jobs(stack) if one.id == "three-d-rain")
    # 1750 kg/m3 dry of 2650 kg/m3 grains: 1 - 1750/2650 of the fill is pores, all of them full; dry it holds 3 %
    more = (1750 + 1000 * (1 - 1750 / 2650)) / (1750 * 1.03) - 1
    assert [load.amount for load in job.loads] == pytest.approx([more] * len(job.loads), rel=1e-9)
    assert len(job.loads) >= 1 and job.heavier is not None
    assert job.heavier.states[3].weight / job.case.states[3].weight == pytest.approx(1 + more, rel=1e-9)


@pytest.mark.parametrize("times", [0.0, 0.5, 2.0])
def test_a_joint_answer_serves_the_whole_load_where_it_reaches_that(
    times: float, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Asked with `times` the load on whole capacities, it answers the plain question at required over times."""
    stack = dome(DOOR, site=replace(classroom().site, snow=0.5))
    plain = next(one for one in jobs(stack) if one.loads and one.loads[0].kind == "snow" and not one.joint)
    monkeypatch.setattr(three_d_jobs, "whole_load", lambda _: times)
    joint = joint_job(stack.design, plain)
    assert joint is not None
    assert joint.answers == (plain.required(stack.design) / times if times else 0.0)


@pytest.mark.parametrize(("set_name", "divided"), [("EN 1990", True), ("common practice", False)])
def test_a_joint_question_of_a_dead_load_says_that_capacities_are_divided_where_they_are(
    set_name: str, divided: bool
) -> None:
    """Rows of partial factors with one for the ground, or that of the ground alone."""
    stack = dome(DOOR, criteria=replace(classroom().criteria, set_name=set_name))
    plain = next(one for one in jobs(stack) if one.id == "three-d-finished-damp")
    joint = joint_job(stack.design, plain)
    assert joint is not None and joint.rows[-1].name == "on the ground" and (len(joint.rows) > 1) == divided
    assert joint.title == (f"{plain.title}, every capacity divided at once" if divided else plain.title)
    assert joint.joint and not plain.joint and joint.id == f"{plain.id}-joint"


def test_of_many_stages_the_lowest_and_always_the_last_are_asked() -> None:
    """Four vents one above the other, each closed before the next begins: the lowest two, and the highest."""
    vents = [Opening("vent", 0.0, 0.135 * k + 0.2, 0.3, 0.2, "lintel") for k in (0, 4, 8, 12)]
    stack = dome(*vents)
    closing = sorted(forms_out(stack).values())
    assert len(set(closing)) == 4
    asked = [job.id for job in jobs(stack) if _dry_forms_out(job)]
    assert asked == [f"three-d-forms-out-{number:02d}" for number in closing[:2]] + ["three-d-forms-out"]
    three = dome(*vents[:3])
    assert len([job for job in jobs(three) if _dry_forms_out(job)]) == 3


def _dry_forms_out(job: Job) -> bool:
    return "forms-out" in job.id and not job.loads and job.case.wetting == "none"


@pytest.mark.parametrize(("openings", "dead"), [((DOOR,), 3), ((), 0)])
def test_the_stage_with_every_course_laid_is_asked_before_anything_hardens(
    openings: tuple[Opening, ...], dead: int
) -> None:
    """Its dead load, dry and in the rain, where there are openings, else wind and a worker alone: what the rings are
    not asked. Finished it is harder, and the stages before it have less on them."""
    stack = dome(*openings, site=replace(classroom().site, wind_pressure=0.5))
    found = [job for job in jobs(stack) if job.id.startswith("three-d-all-laid")]
    assert all(job.case.stage == stack.top_number and job.case.building for job in found)
    assert len([job for job in found if not job.loads]) == dead
    assert {job.loads[0].kind for job in found if job.loads} == {"wind", "worker"}
