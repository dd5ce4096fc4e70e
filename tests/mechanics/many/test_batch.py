"""Sampled domes against the one-design path: the same numbers give the same answers, case and course."""

from __future__ import annotations

import json
import os
import subprocess
import sys
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
from sampled import got, ground_of, random_dome, rows_of_cases, small, stack_of, state_of, wanted

from shellcheck_earth.design.design import Design
from shellcheck_earth.geometry.courses import build_dome
from shellcheck_earth.loads.cases import dead_cases
from shellcheck_earth.loads.scatter import stated_scatter
from shellcheck_earth.mechanics.many.batch import ask_domes, can_sample
from shellcheck_earth.mechanics.many.followed import follow, narrower
from shellcheck_earth.mechanics.many.ground import largest_contact
from shellcheck_earth.mechanics.rings.admissible import CHORDS, Scales, carry, pack
from shellcheck_earth.mechanics.rings.discretise import cut_lune
from shellcheck_earth.safety.ground import bearing_stress
from shellcheck_earth.studies.sample.study import CHECKS, make_study

ROOT = Path(__file__).parents[3]


def test_a_hundred_random_domes_have_the_answers_of_the_slow_path() -> None:
    rng = np.random.default_rng(7)
    base = small()
    stack, plan = build_dome(base), make_study(base, stated_scatter(), 1, 1).plan
    assert {"base-soaked", "wire-gone", "soaked-through"} <= set(plan.case_ids)
    seen, first, none, buildable = set(), set(), 0, 0
    for _ in range(110):
        design, radii = random_dome(base, rng)
        shape = plan.shape.copy()
        shape[[7, 8, 11, 12]] = ground_of(design)
        answers = ask_domes(replace(plan, shape=shape), radii[None], state_of(design)[None])
        usable = design.wall.filled_width - 2 * design.wall.edge_rounding
        assert bool(answers.buildable[0]) is bool((np.abs(np.diff(radii)) < usable).all())
        if answers.buildable[0]:
            buildable += 1
            want = wanted(
                stack_of(replace(stack, design=design), radii, design.wall.filled_width, design.wall.edge_rounding)
            )
            assert got(plan, answers) == want
            seen |= set(want[0])
            first |= {(check, case) for check, (case, _) in want[0].items()}
            none += want[1] is not None
    assert buildable >= 100
    # on wet ground, with another moisture above than below, and in no other case before
    assert {("ground bearing", "base-soaked"), ("base sliding", "base-soaked")} & first
    assert seen == set(CHECKS)  # every check falls short somewhere among them, so each was compared both ways
    assert 0 < none < buildable


def test_borderline_domes_fall_on_the_same_side() -> None:
    """Strength at the edge of the verdict, by bisection on the slow path, then a billionth to either side."""
    base = small(site=replace(small().site, left_unprotected=False))
    stack, plan = build_dome(base), make_study(base, stated_scatter(), 1, 1).plan

    def at(k: float) -> Design:
        fill = replace(base.fill, strength_dry=500 * k, strength_as_placed=100 * k, strength_wet=80 * k)
        return replace(base, fill=fill)

    low, high = 0.2, 20.0
    for _ in range(45):
        middle = (low * high) ** 0.5
        if "strength" in wanted(replace(stack, design=at(middle)))[0]:
            low = middle
        else:
            high = middle
    radii = np.array([course.inner_radius for course in stack.courses])
    for k, short in ((high * (1 - 1e-9), True), (high * (1 + 1e-9), False)):
        answers = ask_domes(plan, radii[None], state_of(at(k))[None])
        assert ("strength" in got(plan, answers)[0]) is short


def test_rows_are_those_of_the_one_design_path() -> None:
    base = small()
    stack = build_dome(base)
    study = make_study(base, stated_scatter(), 1, 1)
    plan, state = study.plan, state_of(base)
    for rows, own in rows_of_cases(stack, plan, state):
        # A dozen sums and products of doubles, cubes taken as r r r in place of r**3.
        assert rows == pytest.approx(own, rel=1e-12, abs=1e-12)


def test_a_profile_that_holds_is_never_where_the_polygon_is_empty() -> None:
    rng = np.random.default_rng(3)
    base = small()
    stack, plan = build_dome(base), make_study(base, stated_scatter(), 1, 1).plan
    held = empty = 0
    for _ in range(30):
        design, radii = random_dome(base, rng)
        moved = stack_of(stack, radii, design.wall.filled_width, design.wall.edge_rounding)
        for index, case in enumerate(
            sorted(
                (c for c in dead_cases(replace(moved, design=design)) if c.counts and can_sample(c)),
                key=lambda one: not one.building,
            )
        ):
            rows = pack(cut_lune(replace(moved, design=design), case))
            if (rows[:, 6] <= rows[:, 5]).any():
                continue
            scales = Scales(*np.exp(rng.uniform(-1.5, 0.0, 5))).as_array()
            full = carry(rows, scales, CHORDS, np.empty((0, 0)), np.empty((0, 0)), np.empty(0, dtype=np.int64)) < 0
            holds = any(follow(rows, scales, CHORDS, profile[: len(rows)], 0.15)[0] for profile in plan.profiles[index])
            assert full or not holds
            held += holds
            empty += not full
    assert held > 50 and empty > 50


def test_the_narrower_bed_lies_within_the_stress_blocks() -> None:
    from shellcheck_earth.mechanics.rings.admissible import bed_limits

    rng = np.random.default_rng(1)
    rows = np.zeros((1, 18))
    tried = 0
    for _ in range(500):
        a = rng.uniform(0.1, 3.0)
        b = a + rng.uniform(0.05, 0.6)
        f = 10 ** rng.uniform(1, 3)
        rows[0, 3], rows[0, 5], rows[0, 6], rows[0, 7] = rng.uniform(0.01, 1.0) * f * (b * b - a * a) / 2, a, b, b
        rows[0, 8] = rows[0, 9] = f
        low, high = narrower(rows, 0, Scales().as_array())
        if low <= high:
            x_low, x_high, _ = bed_limits(rows, 0, Scales().as_array())
            assert x_low <= low * (1 + 1e-12) and high <= x_high * (1 + 1e-12)
            tried += 1
    assert tried > 100


@pytest.mark.parametrize("ratio", [1.01, 1.3, 1.9, 2.1, 4.0])
def test_the_largest_contact_gives_just_the_allowable_stress(ratio: float) -> None:
    # Mean 30 kN/1.5 m/0.4 m = 50 kPa; the resultant at s b/2 off the middle must give ratio times that.
    share = largest_contact(50.0, 1.0, 50.0 * ratio)
    assert bearing_stress(30.0, 1.5 + share * 0.2, 1.3, 1.7).edge == pytest.approx(50.0 * ratio, rel=1e-12)


SCRIPT = """
import json, sys
sys.path[:0] = [{root!r}, {tests!r}, {here!r}]
import numpy as np
from test_batch import build_dome, make_study, random_dome, small, state_of, stated_scatter
from shellcheck_earth.mechanics.many.batch import ask_domes
base = small()
plan = make_study(base, stated_scatter(), 1, 1).plan
rng = np.random.default_rng(5)
out = []
for _ in range(4):
    design, radii = random_dome(base, rng)
    answers = ask_domes(plan, radii[None], state_of(design)[None])
    found = (answers.short_case, answers.short_course, answers.no_line_case)
    out.append([bool(answers.buildable[0]), *(one.tolist() for one in found)])
print(json.dumps(out))
"""


def test_compiled_and_interpreted_agree() -> None:
    script = SCRIPT.format(root=str(ROOT), tests=str(ROOT / "tests"), here=str(ROOT / "tests" / "mechanics" / "many"))
    runs = []
    for disabled in ("0", "1"):
        environment = {**os.environ, "NUMBA_DISABLE_JIT": disabled}
        runs.append(
            json.loads(
                subprocess.run(
                    [sys.executable, "-c", script], env=environment, capture_output=True, text=True, check=True
                ).stdout
            )
        )
    assert runs[0] == runs[1]
