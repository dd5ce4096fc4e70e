"""A footing under blocks: by hand, and against the rings."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest
from footings import claim, founded
from samples import classroom

from shellcheck_earth.design.design import Footing
from shellcheck_earth.geometry.blocks import blocks_drawn, cut_blocks
from shellcheck_earth.geometry.courses import Dome, build_dome
from shellcheck_earth.geometry.footing import THIN, footing_ring
from shellcheck_earth.geometry.reading import parse_design
from shellcheck_earth.loads.cases import case_of
from shellcheck_earth.loads.joint import ON_THE_GROUND, PLAIN, Row
from shellcheck_earth.loads.side_loads import SideLoad
from shellcheck_earth.mechanics.blocks.conic import solve_cone
from shellcheck_earth.mechanics.blocks.problem import BlockProblem
from shellcheck_earth.mechanics.blocks.rows import assemble
from shellcheck_earth.mechanics.blocks.side_wrench import side_wrench
from shellcheck_earth.mechanics.blocks.weights import block_weights
from shellcheck_earth.mechanics.rings.admissible import pack
from shellcheck_earth.mechanics.rings.capacity import base_state
from shellcheck_earth.mechanics.rings.discretise import cut_lune
from shellcheck_earth.safety.blocks.jobs import jobs
from shellcheck_earth.safety.blocks.reserve import dead_problem, largest_reserve
from shellcheck_earth.safety.blocks.sideways import Asked, Question
from shellcheck_earth.safety.checks import reserve_of
from shellcheck_earth.safety.doubts import doubts_of
from shellcheck_earth.views.figures.mechanism import mechanism_svg
from shellcheck_earth.views.report import block_pages
from validation.one_ring import rings

MEASURED = """[footing]
width = "0.8 m"
depth = "0.3 m"
unit_weight = { low = "16 kN/m3", high = "20 kN/m3", source = "measured" }
"""
SITE = '[site]\nearthquake = 0.1\nground_friction = 0.6\nground_friction_wet = { value = 0.5, source = "measured" }\n'
GRAVITY = 9.80665e-3


# -- by hand ---------------------------------------------------------------------------------------------------------


def test_a_piece_under_every_block_of_the_lowest_course_and_none_under_a_door() -> None:
    """Silence widens the weight that was only stated: 15 to 25 kN/m3. A door cut down to the base leaves a gap."""
    dome = build_dome(founded())
    low = build_dome(replace(founded(), wall=replace(classroom().wall, buried_courses=0)))
    for one, gap in ((dome, False), (low, True)):
        bare, layout = cut_blocks(one, 18), cut_blocks(one, 18, founded=True)
        first = [block for block in bare.blocks if block.course == 0]
        pieces = layout.blocks[len(bare.blocks) :]
        assert layout.blocks[: len(bare.blocks)] == bare.blocks
        assert {block.kind for block in pieces} == {"footing"} and len(pieces) == len(first)
        assert [(piece.start, piece.end) for piece in pieces] == [(block.start, block.end) for block in first]
        course, ring = one.courses[0], footing_ring(one)
        assert ring is not None
        middle = (course.bed_inner + course.bed_outer) / 2
        assert ring.reach == pytest.approx(min(0.7, 0.325 + 0.3)) and ring.middle == middle
        _, weight = block_weights(one, case_of(one, "finished-dry"), layout)
        around = sum(block.end - block.start for block in first)
        assert weight[len(bare.blocks) :].sum() == pytest.approx(15.0 * 0.7 * 0.3 * middle * around)
        assert (around < 2 * math.pi - 0.1) == gap
        joined = [face for face in layout.faces if max(face.upper, face.lower) >= len(bare.blocks)]
        assert not joined and sum(bed.lower == -1 for bed in layout.beds) == len(pieces)
        assert blocks_drawn(one, 18, None, len(layout.blocks)) == layout
        assert blocks_drawn(one, 18, None, len(bare.blocks)) == bare


def _ring(more: str) -> Dome:
    return build_dome(parse_design(rings(0.9) + more + MEASURED + SITE))


PUSHED = '[[ring_load]]\nname = "Cap"\nheight = "0.5 m"\nweight = "5 kN"\nthrust = "3 kN"\nfrom_inner_face = "0.1 m"\n'


@pytest.mark.parametrize("by", [0.998, 1.002])
def test_one_ring_presses_the_ground_as_statics_say(by: float) -> None:
    """Of one ring V, H and place are known, and of a piece of its footing, 24 to the ring, with them the resultant on
    the ground: a uniform block of it between the edge and twice as far in, as long as the piece is at its inner edge.
    All that the ground holds, 0.5/1.5 of what presses, tips it at its depth."""
    dome = _ring(PUSHED)
    case = case_of(dome, "finished-dry-carrying-1")
    own = 1800 * GRAVITY * 0.5 * (1.9**2 - 1.5**2) / 2
    V, H, m, b = own + 5.0 / (2 * math.pi), 3.0 / (2 * math.pi), 1.7, math.pi / 24
    s = math.sin(b) / b
    width = 0.4 + 0.3 - 2 * 0.3 * 0.5 / 1.5
    light, more = 16 * 0.8 * 0.3 * m, (20 - 16) * 0.3 * 0.8 / width
    moment = own * 2 / 3 * (1.9**3 - 1.5**3) / (1.9**2 - 1.5**2) + 5.0 / (2 * math.pi) * 1.6
    moment += H * (0.5 + THIN) + light * (m + 0.8**2 / 12 / m)
    place, down = moment * s / (V + light), (V + light) * 2 * b
    inner, outer = m - width / 2, (m + width / 2) * math.cos(b)
    length = 2 * inner * math.tan(b)
    pressure = down / length / (2 * min(place - inner, outer - place)) + more
    row = Row(ON_THE_GROUND, sliding=1.5, bearing=2.0)
    design = replace(
        dome.design, site=replace(dome.design.site, bearing_wet=pressure * 2.0 * by, ground_bearing=pressure * 2.0 * by)
    )
    design = replace(design, bases={**design.bases, "site.ground_bearing_wet": "measured"})
    layout = cut_blocks(build_dome(design), 24, founded=True)
    problem = dead_problem(build_dome(design), case, layout, 1.0, row)
    assert _held(problem) == (by > 1.0)


def _held(problem: BlockProblem) -> bool:
    return solve_cone(assemble(replace(problem, most=1e-5))).solved


@pytest.mark.parametrize(("friction", "slides"), [(0.999, True), (1.001, False)])
def test_one_ring_slides_on_its_footing_as_on_the_ground(friction: float, slides: bool) -> None:
    """The footing weighs nothing on that bed: H <= mu V, both with sin b/b; below it there is its weight besides."""
    dome = _ring(PUSHED)
    own = 1800 * GRAVITY * 0.5 * (1.9**2 - 1.5**2) / 2
    needed = 3.0 / (2 * math.pi) / (own + 5.0 / (2 * math.pi))
    row = Row(ON_THE_GROUND, sliding=0.5 / (needed * friction), bearing=1e-3)
    problem = dead_problem(dome, case_of(dome, "finished-dry-carrying-1"), cut_blocks(dome, 24, founded=True), 1.0, row)
    assert _held(problem) != slides


@pytest.mark.parametrize("vertical", [0.3, -0.3])
@pytest.mark.parametrize("wet", [0.9, 0.3])
def test_one_ring_shaken_slides_with_its_footing_or_on_it(wet: float, vertical: float) -> None:
    """Pushed by its greatest weight, held by its least: l a (W + h) = mu s (W + w - l v a (W + h)); where its bed,
    which is soaked, holds less than that: l a W = mu s (W - l v a W)."""
    text = (rings(0.9) + MEASURED + SITE).replace("friction_wet = 0.3", f"friction_wet = {wet}")
    dome = build_dome(parse_design(text))
    job = next(job for job in jobs(dome) if job.id == "three-d-earthquake")
    load = next(one for one in job.loads if (one.vertical > 0) == (vertical > 0))
    assert load.amount == 0.1 and load.vertical == pytest.approx(vertical * 0.1)
    W, m, s = job.case.states[0].weight, 1.7, math.sin(math.pi / 18) / (math.pi / 18)
    light, heavy = (weight * 0.8 * 0.3 * m for weight in (16.0, 20.0))
    shaken, friction = 0.1 * (W + heavy), 0.5 * s
    with_it = friction * (W + light) / (shaken * (1 + vertical * friction))
    by_hand = min(with_it, wet * s / (0.1 * (1 + vertical * wet * s)))
    assert (by_hand == with_it) == (wet == 0.9)
    question = Question(dome, job, (18,), 30.0)
    answer = solve_cone(assemble(question.problem(question.layouts[0], Asked(load, PLAIN))))
    assert answer.multiplier == pytest.approx(by_hand, rel=2e-4)


def test_an_earthquake_shakes_its_greatest_weight_and_nothing_else_comes_on_it() -> None:
    dome = build_dome(founded(earthquake=0.1, wind_pressure=0.5))
    layout, case = cut_blocks(dome, 18, founded=True), case_of(dome, "finished-damp")
    _, weight = block_weights(dome, case, layout)
    pieces = [k for k, block in enumerate(layout.blocks) if block.kind == "footing"]
    push = side_wrench(dome, case, layout, SideLoad("e", "", "earthquake", math.pi / 2, 0.2, "", vertical=0.06))
    assert push[pieces, 0] == pytest.approx(0.2 * 25 / 15 * weight[pieces])
    assert push[pieces, 2] == pytest.approx(0.06 * 25 / 15 * weight[pieces])
    for kind in ("wind", "worker"):
        assert not side_wrench(dome, case, layout, SideLoad("w", "", kind, 1.0, 1.0, ""))[pieces].any()
    wet = case_of(dome, "soaked-through")
    assert not side_wrench(dome, case, layout, SideLoad("r", "", "rain", 1.0, 1.0, ""), wet)[pieces].any()


# -- against the rings -----------------------------------------------------------------------------------------------


def test_whole_rings_of_blocks_have_the_reserve_of_the_rings() -> None:
    """It is of the wall alone, for rings and blocks alike: the footing is part of what the ground is asked."""
    dome, bare = build_dome(founded(openings=())), build_dome(founded(None, openings=()))
    case = case_of(dome, "finished-damp")
    exact, same = (reserve_of(cut_lune(one, case_of(one, "finished-damp"))) for one in (dome, bare))
    assert exact is not None and exact == same
    edge = largest_reserve(dome, case, cut_blocks(dome, 36), [exact * 1.2], first=exact)
    assert edge.reserve is not None and 0.95 * exact < edge.reserve <= exact * 1.001


@pytest.mark.parametrize(("by", "held"), [(1.03, True), (0.99, False)])
def test_whole_rings_of_blocks_slide_where_the_rings_do(by: float, held: bool) -> None:
    """The least thrust of the rings over what stands on the bed: the wall slides on its footing as on the ground."""
    design = founded(openings=())
    design = replace(design, beds=replace(design.beds, wire_strands=0))
    dome = build_dome(replace(design, bases={**design.bases, "site.ground_friction_wet": "measured"}))
    case = case_of(dome, "finished-damp")
    base = base_state(pack(cut_lune(dome, case)))
    assert base is not None and base.friction > 0.01
    row = Row(ON_THE_GROUND, sliding=0.6 / (base.friction * by), bearing=0.01)
    assert _held(dead_problem(dome, case, cut_blocks(dome, 72, founded=True), 1.0, row)) == held


def test_a_wider_one_bears_more_and_a_deep_narrow_one_turns_over() -> None:
    """The pressure that blocks without openings need falls with width; no ground bears what turns over."""
    needed = []
    for footing in (Footing(0.45, 0.3), Footing(0.55, 0.3), Footing(0.62, 0.3), Footing(0.385, 1.9)):
        design = founded(footing, openings=())
        low, high = 10.0, 2000.0
        while high > 1.02 * low:
            middle = math.sqrt(low * high)
            site = replace(design.site, ground_bearing=middle, bearing_wet=middle)
            dome = build_dome(replace(design, site=site, bases={**design.bases, "site.ground_bearing_wet": "measured"}))
            row = Row(ON_THE_GROUND, sliding=1.5, bearing=1.0)
            layout = cut_blocks(dome, 18, founded=True)
            low, high = (
                (low, middle)
                if _held(dead_problem(dome, case_of(dome, "finished-damp"), layout, 1.0, row))
                else (middle, high)
            )
        needed.append(high)
    assert needed[0] > 1.05 * needed[1] > 1.1 * needed[2] and needed[3] > 3 * needed[0]


# -- what is said of it and drawn -------------------------------------------------------------------------------------


def test_it_stands_no_longer_in_the_way_of_a_meets() -> None:
    dome = build_dome(founded(wind_pressure=0.5))
    assert not [one for one in doubts_of(dome) if "footing" in one.kind]
    assert np.isfinite(block_weights(dome, case_of(dome, "finished-dry"), cut_blocks(dome, 18, founded=True))[1]).all()


def test_a_picture_with_the_footing_is_none_of_one_without(monkeypatch: pytest.MonkeyPatch) -> None:
    """Of one discretisation both are there: the ground is asked with the footing, a reserve without. Drawn to its
    lowest corner."""
    dome = build_dome(founded())
    monkeypatch.setattr(block_pages, "_towards", lambda _assessment, _result: 0.0)
    layouts = [cut_blocks(dome, 18, founded=founded) for founded in (False, True)]
    rows = [tuple((0.0, 1.0, 0.0, 0.0, 0.0, 0.0) for _ in layout.blocks) for layout in layouts]
    bare, on_it = (
        replace(claim(next(job for job in jobs(dome) if not job.loads), 1.0), motions=motions, drawn=18)
        for motions in rows
    )
    assert not block_pages._alike(None, bare, on_it) and block_pages._alike(None, on_it, on_it)  # type: ignore[arg-type]
    for layout, motions in zip(layouts, rows, strict=True):
        assert "<svg" in mechanism_svg(dome, layout, np.array(motions), 0.0, "Sliding")
