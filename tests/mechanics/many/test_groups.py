"""Sampled domes of more than one fill against the one-design path: drawn by hand, asked case by case."""

from __future__ import annotations

from dataclasses import replace
from statistics import NormalDist

import numpy as np
import pytest
from sampled import got, ground_of, random_dome, rows_of_cases, small, stack_of, state_of, wanted

from shellcheck_earth.design.design import CourseGroup, Design, Fill
from shellcheck_earth.geometry.courses import build_dome
from shellcheck_earth.loads.cases import dead_cases
from shellcheck_earth.loads.materials import saturated_moisture
from shellcheck_earth.loads.sampled import DENSEST, dimensions, draw
from shellcheck_earth.loads.scatter import stated_scatter
from shellcheck_earth.mechanics.many.batch import ask_domes
from shellcheck_earth.mechanics.many.lunes import WIDTH, case_rows, fill_rows
from shellcheck_earth.mechanics.many.margins import LADDER, find_margins
from shellcheck_earth.mechanics.rings.discretise import cut_lune
from shellcheck_earth.safety.checks import LINE, reserve_of
from shellcheck_earth.studies.sample.study import CHECKS, Study, make_study


def grouped(**changes: object) -> Design:
    """Courses in the ground of another kind of fill, heavier and damper; the crown's weaker, lighter, else the wall's
    own; in between the wall's own."""
    base = small(**changes)
    under = replace(
        base.fill,
        dry_density=1900.0,
        placing_moisture=0.09,
        service_moisture=0.05,
        stabiliser="cement",
        stabiliser_share=0.08,
        strength_dry=1500.0,
        strength_as_placed=450.0,
        strength_wet=750.0,
    )
    crown = replace(base.fill, dry_density=1500.0, strength_dry=380.0, strength_wet=15.0)
    return replace(
        base,
        beds=replace(base.beds, friction_no_wire=0.42),
        fill=replace(base.fill, strength_wet=20.0),
        site=replace(base.site, splash_height=0.0),
        groups=(CourseGroup(None, 0, under), CourseGroup(11, None, crown)),
    )


def random_fills(rng: np.random.Generator) -> tuple[Design, np.ndarray]:
    """A design whose three fills have values of their own, drawn freely, and radii of its rings."""
    design, radii = random_dome(grouped(), rng)
    strong = float(design.fill.strength_dry / 500)

    def other(fill: Fill) -> Fill:
        g = rng.normal
        k = strong * float(np.exp(0.4 * g()))
        return replace(
            fill,
            dry_density=min(1650 * (1 + 0.06 * g()), 1950.0),
            placing_moisture=0.09 * (1 + 0.1 * g()),
            service_moisture=0.04 * (1 + 0.2 * g()),
            strength_dry=500 * k,
            strength_as_placed=150 * k,
            strength_wet=100 * k,
        )

    return replace(design, groups=tuple(replace(one, fill=other(one.fill)) for one in design.groups)), radii


def test_domes_of_three_fills_have_the_answers_of_the_slow_path() -> None:
    rng = np.random.default_rng(17)
    base = grouped()
    stack, plan = build_dome(base), make_study(base, stated_scatter(), 1, 1).plan
    seen, none, asked = set(), 0, 0
    for _ in range(80):
        design, radii = random_fills(rng)
        shape = plan.shape.copy()
        shape[[7, 8, 11, 12]] = ground_of(design)
        answers = ask_domes(replace(plan, shape=shape), radii[None], state_of(design)[None])
        if answers.buildable[0]:
            asked += 1
            width, rounding = design.wall.filled_width, design.wall.edge_rounding
            want = wanted(stack_of(replace(stack, design=design), radii, width, rounding))
            assert got(plan, answers) == want
            seen |= set(want[0])
            none += want[1] is not None
    assert asked >= 70 and seen == set(CHECKS) and 0 < none < asked


@pytest.fixture(scope="module")
def study() -> Study:
    """Strong and sheltered enough that some checks hold in some domes."""
    base = grouped(site=replace(small().site, left_unprotected=False))
    strong = replace(base.fill, strength_dry=1500.0, strength_as_placed=500.0)
    under, crown = base.groups
    crown = replace(crown, fill=replace(crown.fill, strength_dry=1200.0, strength_as_placed=500.0))
    return make_study(replace(base, fill=strong, groups=(under, crown)), stated_scatter(), 1, 1)


def by_hand(study: Study, point: np.ndarray) -> Design:
    """The design at one point of the cube, value by value: a factor exp(s z), s^2 = ln(1 + v^2), at each coordinate."""
    value = dict(zip(study.inputs.names, point, strict=False))
    spread = {name: one.spread for name, one in stated_scatter().items()}

    def factor(name: str) -> float:
        key = name.rpartition("].")[2].partition(":")[0]
        return float(np.exp(np.sqrt(np.log(1 + spread[key] ** 2)) * NormalDist().inv_cdf(value[name])))

    def drawn(fill: Fill, of: dict[str, str]) -> Fill:
        """`of`: before the names of a value's factors stands this."""
        density = min(fill.dry_density * factor(f"{of['density']}dry_density"), DENSEST * fill.particle_density)
        full = saturated_moisture(replace(fill, dry_density=density, placing_moisture=0.01, service_moisture=0.01))
        strengths = {
            state: getattr(fill, f"strength_{state}")
            * factor(f"{of[state]}strength")
            * factor(f"{of[state]}strength_own:{state.removeprefix('as_')}")
            for state in ("dry", "as_placed", "wet")
        }
        placed = min(strengths["as_placed"], strengths["dry"])
        most = placed if fill.stabiliser == "none" else strengths["dry"]
        return replace(
            fill,
            dry_density=density,
            placing_moisture=min(fill.placing_moisture * factor(f"{of['placing']}placing_moisture"), full),
            service_moisture=min(fill.service_moisture * factor(f"{of['service']}service_moisture"), full),
            strength_dry=strengths["dry"],
            strength_as_placed=placed,
            strength_wet=min(strengths["wet"], most),
        )

    everything = ("density", "placing", "service", "dry", "as_placed", "wet")
    wall, under, crown = ({key: before for key in everything} for before in ("", "wall.courses[1].", ""))
    # the crown says its density, its dry and its wet strength; placing, service and strength as placed are the wall's
    crown |= dict.fromkeys(("density", "dry", "wet"), "wall.courses[2].")
    design = study.design
    mu = design.beds.friction * factor("friction")
    beds = replace(
        design.beds,
        friction=mu,
        friction_wet=min(design.beds.friction_wet * factor("friction") * factor("friction_wet_own"), mu),
        friction_no_wire=design.beds.friction_without_wire * factor("friction"),
        wire_breaking_load=design.beds.wire_breaking_load * factor("wire"),
    )
    return replace(
        design,
        fill=drawn(design.fill, wall),
        groups=(
            replace(design.groups[0], fill=drawn(design.groups[0].fill, under)),
            replace(design.groups[1], fill=drawn(design.groups[1].fill, crown)),
        ),
        beds=beds,
        wall=replace(design.wall, filled_width=design.wall.filled_width * factor("filled_width"), flat_width=None),
    )


def test_a_drawn_dome_is_the_design_with_its_values_and_has_its_answers(study: Study) -> None:
    """Everything by hand from the coordinates: values, then the one-design path's answer case by case."""
    points = np.random.default_rng(4).random((40, dimensions(study.inputs, len(study.dome.courses))))
    drawn = draw(study.dome, study.inputs, points)
    answers = ask_domes(study.plan, drawn.radii, drawn.states)
    found = set()
    for k, point in enumerate(points):
        design = by_hand(study, point)
        assert drawn.states[k] == pytest.approx(state_of(design), rel=1e-9)  # quantiles of two libraries
        assert answers.buildable[k]
        width, rounding = design.wall.filled_width, design.wall.edge_rounding
        want = wanted(stack_of(replace(study.dome, design=design), drawn.radii[k], width, rounding))
        one = ask_domes(study.plan, drawn.radii[k : k + 1], drawn.states[k : k + 1])
        assert got(study.plan, one) == want
        found.add(tuple(sorted(want[0])))
    assert len(found) > 2  # not all of them alike


@pytest.mark.parametrize("damp", ["under", "crown"])
def test_rows_of_three_fills_are_those_of_the_one_design_path(damp: str) -> None:
    """One of the groups is damper in service than it was placed: less friction and cohesion in the bed that it shares
    with the wall's own fill, whichever of the two lies above. The crown is stronger: its rings, not its lowest bed."""
    base = grouped()
    base = replace(base, beds=replace(base.beds, cohesion=6.0, cohesion_wet=1.0))
    under, crown = base.groups
    crown = replace(crown, fill=replace(crown.fill, strength_dry=900.0, strength_as_placed=300.0))
    wet = under if damp == "under" else crown
    wet = replace(wet, fill=replace(wet.fill, placing_moisture=0.08, service_moisture=0.10))
    design = replace(base, groups=(wet, crown) if damp == "under" else (under, wet))
    study = make_study(design, stated_scatter(), 1, 1)
    stack, plan, state = study.dome, study.plan, state_of(study.design)
    for rows, own in rows_of_cases(stack, plan, state):
        assert rows == pytest.approx(own, rel=1e-12, abs=1e-12)


def test_the_reserve_of_three_fills_is_that_of_the_one_design_path(study: Study) -> None:
    radii = np.array([course.inner_radius for course in study.dome.courses])
    slots = [check.slots for check in LINE]
    found = find_margins(study.plan, slots, 1.25, radii[None], state_of(study.design)[None])
    cases = [case for case in dead_cases(study.dome) if case.id in study.plan.case_ids]
    assert len(cases) == len(study.plan.case_ids)
    cases = [case for case in cases if not case.only]
    slow = min(value for case in cases if (value := reserve_of(cut_lune(study.dome, case))) is not None)
    step = int(found.reserve[0])
    assert 0 < step < len(LADDER) - 1
    assert LADDER[step] * (1 - 1e-8) <= slow < LADDER[step + 1] * (1 + 1e-8)


@pytest.mark.parametrize("beds", ["of one fill", "of three"])
def test_cohesion_of_a_bed_damper_than_placed_is_the_wet_one(beds: str) -> None:
    """Service moisture is drawn past the moisture as placed now and then: the tested cohesion is that of a dry bed."""
    base = grouped() if beds == "of three" else small()
    base = replace(base, beds=replace(base.beds, cohesion=6.0, cohesion_wet=1.0))
    base = replace(base, fill=replace(base.fill, service_moisture=base.fill.placing_moisture))
    study = make_study(base, stated_scatter(), 1, 1)
    points = np.random.default_rng(5).random((60, dimensions(study.inputs, len(study.dome.courses))))
    drawn = draw(study.dome, study.inputs, points)
    damper = drawn.states[:, 0] > drawn.states[:, 1] * (1 + 1e-8)
    assert 20 < damper.sum() < 40
    assert (drawn.states[damper, 10] == 1.0).all() and (drawn.states[~damper, 10] == 6.0).all()
    assert (drawn.states[:, 11] == 6.0).all() and (drawn.states[:, 12] == 1.0).all()
    rows, whole = np.zeros((len(drawn.radii[0]), 18)), np.zeros((len(drawn.radii[0]), 19))
    for k in (int(np.flatnonzero(damper)[0]), int(np.flatnonzero(~damper)[0])):
        fill_rows(whole, study.plan.courses, drawn.radii[k], drawn.states[k], study.plan.shape, 0, 1, 0, 0)
        top = len(drawn.radii[k]) - 1
        case_rows(whole, top, 0.0, drawn.states[k, WIDTH], rows)
        middle = rows[len(rows) // 2]  # of the wall's own fill
        held = 1.0 if damper[k] else 6.0
        assert middle[11] == pytest.approx(held * (middle[6] ** 2 - middle[5] ** 2) / 2, rel=1e-12)
