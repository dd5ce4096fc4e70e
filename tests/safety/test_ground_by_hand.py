"""What the ground asks of a line: by the stress of a strip, by the state at the base, and in every shorter way."""

from __future__ import annotations

import math
from dataclasses import replace
from typing import Any

import numpy as np
import pytest
from samples import classroom, sturdy
from two_courses import one, set_off

from shellcheck_earth.design.design import Design
from shellcheck_earth.geometry.courses import build_dome
from shellcheck_earth.loads.cases import case_of, dead_cases
from shellcheck_earth.loads.model import build_model
from shellcheck_earth.mechanics.rings.admissible import Scales, pack
from shellcheck_earth.mechanics.rings.capacity import base_state
from shellcheck_earth.mechanics.rings.discretise import cut_lune
from shellcheck_earth.safety.ground import bearing_stress, ground_demand
from shellcheck_earth.safety.shortfalls import case_shortfalls, meets_all, shortfalls
from shellcheck_earth.safety.together import GroundLimit, all_hold, ground_limit
from shellcheck_earth.safety.worst import worst_margins


def on(design: Design, **site: Any) -> Design:
    return replace(design, site=replace(design.site, **site))


@pytest.mark.parametrize("ratio", [1.01, 1.5, 2.0, 2.5, 3.0, 6.0])
def test_the_contact_that_leaves_an_edge_stress(ratio: float) -> None:
    """A resultant at that share of the half-width presses the edge with just the stress that is allowed."""
    stack = build_dome(sturdy())
    case = case_of(stack, "finished-dry")
    lune = cut_lune(stack, case)
    inner, outer, vertical = (float(one[-1]) for one in (lune.bed_inner, lune.bed_outer, lune.vertical))
    mean = bearing_stress(vertical, (inner + outer) / 2, inner, outer).mean
    limit = ground_limit(build_dome(on(sturdy(), ground_bearing=2.0 * ratio * mean)), case, lune, math.inf, 2.0)
    x = (inner + outer) / 2 + limit.contact * (outer - inner) / 2
    assert bearing_stress(vertical, x, inner, outer).edge == pytest.approx(ratio * mean, rel=3e-5)
    assert limit.friction == 0.0


def test_one_question_for_all_is_no_kinder_than_the_ground() -> None:
    """Where it says yes at a contact, the line nearest to the middle keeps to it; without any contact it says no."""
    stack = build_dome(classroom())
    lune = cut_lune(stack, case_of(stack, "stage-24-worker"))
    assert all_hold(lune, [Scales()], None) and not all_hold(lune, [Scales(), Scales(strength=1e-3)], None)
    assert not all_hold(lune, [Scales()], GroundLimit(0.0, math.inf))
    low, high = 0.0, 1.0
    for _ in range(40):
        middle = (low + high) / 2
        low, high = (low, middle) if all_hold(lune, [Scales()], GroundLimit(middle, math.inf)) else (middle, high)
    base = base_state(pack(lune))
    assert base is not None
    inner, outer = float(lune.bed_inner[-1]), float(lune.bed_outer[-1])
    assert abs(base.x - (inner + outer) / 2) / ((outer - inner) / 2) <= high + 1e-6 < 1.0


POOR = [
    on(sturdy(), ground_bearing=40.0, bearing_wet=40.0),
    on(sturdy(), bearing_wet=40.0),
    on(sturdy(), ground_bearing=75.0, bearing_wet=70.0, ground_friction=0.3, friction_wet=0.15),
]


@pytest.mark.parametrize("design", POOR[:2])
def test_ground_alone_is_enough_to_fall_short(design: Design) -> None:
    assert meets_all(sturdy()) and not meets_all(design)
    assert {one.check for one in shortfalls(design)} == {"ground bearing"}


@pytest.mark.parametrize("design", [*POOR, classroom(), sturdy()])
def test_the_short_ways_agree_with_every_case(design: Design) -> None:
    """The least factors of the ground over all counted cases, each by its own base state; and who falls short."""
    model = build_model(design)
    least: dict[str, float] = {"base sliding": math.inf, "ground bearing": math.inf}
    short = set()
    for case in model.counted:
        if case.only:
            continue
        lune = cut_lune(model.dome, case)
        base = base_state(pack(lune))
        if base is None:  # no line at all: nothing holds it on any ground
            least = dict.fromkeys(least, 0.0)
            short |= {(case.id, name) for name in least}
            continue
        demand, wet = ground_demand(lune, base), case.wetting != "none"
        site = design.site
        friction = site.ground_friction_wet if wet else site.ground_friction
        bearing = site.ground_bearing_wet if wet else site.ground_bearing
        found = {
            "base sliding": friction / demand.friction if demand.friction else math.inf,
            "ground bearing": bearing / demand.edge_stress,
        }
        short |= {(case.id, name) for name, factor in found.items() if factor < design.criteria.required[name]}
        least = {name: min(least[name], factor) for name, factor in found.items()}
    margins = {one.check: one.factor for one in worst_margins(model)}
    assert {name: margins[name] for name in least} == pytest.approx(least, rel=1e-6)
    told = {(one.case_id, one.check) for case in model.counted for one in case_shortfalls(model.dome, case)}
    assert {one for one in told if one[1] in least} == short


def test_no_case_is_left_out_of_the_dead_ones() -> None:
    stack = build_dome(sturdy())
    assert {case.id for case in build_model(sturdy()).counted} >= {case.id for case in dead_cases(stack) if case.counts}


@pytest.mark.parametrize("friction", [1.0, 0.8])
def test_one_question_for_all_asks_the_ground_for_just_the_least_friction_of_any_line(friction: float) -> None:
    """An overhang of two courses that leaves a thrust at its base: no less friction of the ground than that will do."""
    lune = set_off(0.5, ring_strength=np.array([np.inf, 0.0]))
    base = base_state(pack(lune))
    assert base is not None and base.friction == pytest.approx(0.125)
    for share, holds in ((1.001, True), (0.999, False)):
        limit = GroundLimit(1.0, share * base.friction)
        assert all_hold(lune, [Scales(friction=friction)], limit) is holds
    better = replace(lune, friction=np.array([0.5, 0.1]))  # better ground than the bed on it changes nothing
    assert not all_hold(better, [Scales(friction=friction)], GroundLimit(1.0, 9.0))


def test_good_ground_lifts_no_other_limit_of_contact() -> None:
    """A resultant 0.05 m off the middle of a bed 0.4 m wide needs a quarter of its half-width."""
    lune = one(1.25)
    for contact, holds in ((0.2501, True), (0.2499, False)):
        asked = [Scales(contact=contact)]
        assert all_hold(lune, asked) is all_hold(lune, asked, GroundLimit(1.0, math.inf)) is holds
