"""A footing under blocks: by hand, against the rings, and in proofs that no forgery passes."""

from __future__ import annotations

import copy
import json
import math
from collections.abc import Callable
from dataclasses import replace
from typing import Any

import numpy as np
import pytest
from samples import classroom

from shellcheck_earth.design.design import Design, Fill, Footing, Opening
from shellcheck_earth.design.write import design_toml
from shellcheck_earth.geometry.blocks import blocks_drawn, cut_blocks
from shellcheck_earth.geometry.courses import Dome, build_dome
from shellcheck_earth.geometry.footing import THIN, footing_ring
from shellcheck_earth.geometry.reading import parse_design
from shellcheck_earth.loads.cases import case_of
from shellcheck_earth.loads.joint import ON_THE_GROUND, PLAIN, Row, ground_limits
from shellcheck_earth.loads.side_loads import SideLoad
from shellcheck_earth.mechanics.blocks.conic import solve_cone
from shellcheck_earth.mechanics.blocks.problem import BlockProblem
from shellcheck_earth.mechanics.blocks.rows import assemble
from shellcheck_earth.mechanics.blocks.side_wrench import side_wrench
from shellcheck_earth.mechanics.blocks.weights import block_weights
from shellcheck_earth.mechanics.proof.block_cases import block_demands
from shellcheck_earth.mechanics.proof.block_places import FORCE, FRICTION, KINDS, LENGTH, STRENGTH, Wall
from shellcheck_earth.mechanics.proof.blocks import check_block_proof
from shellcheck_earth.mechanics.proof.reading import read
from shellcheck_earth.mechanics.rings.admissible import pack
from shellcheck_earth.mechanics.rings.capacity import base_state
from shellcheck_earth.mechanics.rings.discretise import cut_lune
from shellcheck_earth.safety.blocks.jobs import Job, jobs, joint_job
from shellcheck_earth.safety.blocks.proofs import proof_name, proven, wall_of
from shellcheck_earth.safety.blocks.reserve import dead_problem, largest_reserve
from shellcheck_earth.safety.blocks.result import BlockResult, CutResult
from shellcheck_earth.safety.blocks.sideways import Asked, Question
from shellcheck_earth.safety.checks import reserve_of
from shellcheck_earth.safety.doubts import doubts_of
from shellcheck_earth.views.figures.mechanism import mechanism_svg
from shellcheck_earth.views.report import block_pages
from validation.one_ring import rings

DOOR = Opening("door", 0.0, 0.0, 0.8, 1.5, "pointed")
RUBBLE = Footing(0.7, 0.3, (16.0, 20.0))
MEASURED = """[footing]
width = "0.8 m"
depth = "0.3 m"
unit_weight = { low = "16 kN/m3", high = "20 kN/m3", source = "measured" }
"""
GRAVITY = 9.80665e-3


def _design(footing: Footing | None = RUBBLE, openings: tuple[Opening, ...] = (DOOR,), **site: Any) -> Design:
    design = classroom(openings=openings)
    fill = Fill(1750.0, 2650.0, 0.10, 0.03, "cement", 0.08, 1000.0, 600.0, 400.0, 0.1 / 100 / 3600, 0.21)
    site = {"ground_friction": 0.6, "friction_wet": 0.6, "ground_bearing": 150.0, "bearing_wet": 150.0} | site
    return replace(
        design, dome=replace(design.dome, inside_diameter=2.6), fill=fill, footing=footing,
        site=replace(design.site, **site), building=replace(design.building, worker=1.0),
    )  # fmt: skip


# -- by hand ---------------------------------------------------------------------------------------------------------


def test_a_piece_under_every_block_of_the_lowest_course_and_none_under_a_door() -> None:
    """Silence widens the weight that was only stated: 15 to 25 kN/m3. A door cut down to the base leaves a gap."""
    dome = build_dome(_design())
    low = build_dome(replace(_design(), wall=replace(classroom().wall, buried_courses=0)))
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
    site = (
        '[site]\nearthquake = 0.1\nground_friction = 0.6\nground_friction_wet = { value = 0.5, source = "measured" }\n'
    )
    return build_dome(parse_design(rings(0.9) + more + MEASURED + site))


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
def test_one_ring_shaken_slides_with_its_footing(vertical: float) -> None:
    """Pushed by its greatest weight, held by its least: l a (W + h) = mu s (W + w - l v a (W + h))."""
    dome = _ring("")
    job = next(job for job in jobs(dome) if job.id == "three-d-earthquake")
    load = next(one for one in job.loads if (one.vertical > 0) == (vertical > 0))
    assert load.amount == 0.1 and load.vertical == pytest.approx(vertical * 0.1)
    W, m, s = job.case.states[0].weight, 1.7, math.sin(math.pi / 18) / (math.pi / 18)
    light, heavy = (weight * 0.8 * 0.3 * m for weight in (16.0, 20.0))
    shaken, friction = 0.1 * (W + heavy), 0.5 * s
    by_hand = friction * (W + light) / (shaken * (1 + vertical * friction))
    question = Question(dome, job, (18,), 30.0)
    answer = solve_cone(assemble(question.problem(question.layouts[0], Asked(load, PLAIN))))
    assert answer.multiplier == pytest.approx(by_hand, rel=2e-4)


def test_an_earthquake_shakes_its_greatest_weight_and_nothing_else_comes_on_it() -> None:
    dome = build_dome(_design(earthquake=0.1, wind_pressure=0.5))
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
    dome, bare = build_dome(_design(openings=())), build_dome(_design(None, openings=()))
    case = case_of(dome, "finished-damp")
    exact, same = (reserve_of(cut_lune(one, case_of(one, "finished-damp"))) for one in (dome, bare))
    assert exact is not None and exact == same
    edge = largest_reserve(dome, case, cut_blocks(dome, 36), exact, exact * 1.2, near=False)
    assert edge.reserve is not None and 0.95 * exact < edge.reserve <= exact * 1.001


@pytest.mark.parametrize(("by", "held"), [(1.03, True), (0.99, False)])
def test_whole_rings_of_blocks_slide_where_the_rings_do(by: float, held: bool) -> None:
    """The least thrust of the rings over what stands on the bed: the wall slides on its footing as on the ground."""
    design = _design(openings=())
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
        design = _design(footing, openings=())
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


# -- proofs ----------------------------------------------------------------------------------------------------------


def _claim(job: Job, relied: float) -> BlockResult:
    """As if the search had ended at a number that meets."""
    return BlockResult(
        job.id, job.title, job.criterion, relied, relied, relied, relied, "solved", "", False, None, (),
        (CutResult(18, 1, relied),), ((0.0, relied),) if job.loads else (), (), len(job.case.states),
    )  # fmt: skip


SHAKEN = {"earthquake": 0.06}


@pytest.fixture(scope="module")
def dome() -> Dome:
    return build_dome(parse_design(design_toml(_design(**SHAKEN))))


@pytest.fixture(scope="module")
def proofs(dome: Dome) -> dict[str, tuple[Job, Row, dict[str, Any]]]:
    """Of the ground under the damp dome; of one direction of an earthquake, without the ground's bearing and with."""
    out = {}
    shaken = next(job for job in jobs(dome) if job.id == "three-d-earthquake")
    damp = next(job for job in jobs(dome) if job.id == "three-d-finished-damp")
    for name, job, relied in (
        ("ground", joint_job(dome.design, damp), 1.0),
        ("shaken", shaken, 0.5),
        ("at once", joint_job(dome.design, shaken), 0.5),
    ):
        assert job is not None
        row = job.rows[-1]
        job = replace(job, loads=job.loads[:1], rows=(row,))
        found = proven(dome, job, replace(_claim(job, relied), required=relied))
        assert found.why == "" and found.relied == pytest.approx(relied, rel=1e-4), name
        out[name] = job, row, json.loads(found.proofs[0])
    return out


def _wall(dome: Dome, proof: tuple[Job, Row, dict[str, Any]]) -> Wall:
    return wall_of(dome, proof[0], proof[1], proof[0].loads[0] if proof[0].loads else None)


def test_the_proof_holds_before_the_wall_that_the_checker_rebuilds(
    dome: Dome, proofs: dict[str, tuple[Job, Row, dict[str, Any]]]
) -> None:
    demanded = {one.name: one for one in block_demands(read(design_toml(dome.design)))}
    none = {one.name: one for one in block_demands(read(design_toml(_design(None, **SHAKEN))))}
    other = {one.name: one for one in block_demands(read(design_toml(_design(Footing(0.7, 0.31), **SHAKEN))))}
    for job, row, data in proofs.values():
        name = proof_name(job, job.loads[0] if job.loads else None, row)
        assert data["case"] == name and check_block_proof(data, demanded[name].wall).proven is not None
        assert "footing" in check_block_proof(data, none[name].wall).why
        assert "footing" in check_block_proof(data, other[name].wall).why
    plain = demanded["three-d-finished-damp"]
    assert plain.wall.footing is None and "footing" in check_block_proof(proofs["ground"][2], plain.wall).why
    # and what rests on the ground itself is no proof of a wall on a footing
    bare = build_dome(parse_design(design_toml(_design(None, **SHAKEN))))
    job = joint_job(bare.design, next(job for job in jobs(bare) if job.id == "three-d-finished-damp"))
    assert job is not None
    found = proven(bare, replace(job, rows=job.rows[-1:]), replace(_claim(job, 1.0), required=1.0))
    assert found.why == ""
    lifted = json.loads(found.proofs[0])
    _lifted(lifted)
    assert "above the lowest bed" in check_block_proof(lifted, wall_of(bare, job, job.rows[-1])).why
    refused = check_block_proof(json.loads(found.proofs[0]), _wall(dome, proofs["ground"]))
    assert "a wall beside its footing" in refused.why


def test_both_walls_have_the_same_footing(dome: Dome) -> None:
    """Of every case, row and load that the checker demands; rows that count more of permanent weight do not add any."""
    layout, bare = (cut_blocks(dome, 18, founded=founded) for founded in (True, False))
    plain = case_of(dome, "finished-damp")
    for permanent, counted in ((1.35, 1.0), (0.9, 0.9)):
        found, own = (block_weights(dome, case, layout)[1][len(bare.blocks) :] for case in
                      (replace(plain, permanent=permanent), plain))  # fmt: skip
        assert found == pytest.approx(counted * own)
    partial = replace(dome.design, criteria=replace(dome.design.criteria, set_name="EN 1990"))
    seen = 0
    for design in (dome.design, partial):
        demanded = {one.name: one.wall.footing for one in block_demands(read(design_toml(design)))}
        one = build_dome(parse_design(design_toml(design)))
        for job in [each for plain in jobs(one) for each in (plain, joint_job(one.design, plain)) if each]:
            asked = job.asked() if job.loads else tuple((None, row) for row in job.rows)
            for load, row in asked:
                name = proof_name(job, load, row)
                if name not in demanded:
                    continue
                mine, theirs = wall_of(one, job, row, load).footing, demanded[name]
                assert (mine is None) == (theirs is None) == (load is None and not row.grounded)
                if mine is not None and theirs is not None:
                    assert [*vars(mine).values()] == pytest.approx([*vars(theirs).values()], rel=1e-9)
                    seen += 1
    assert seen > 20


def _pieces(data: dict[str, Any]) -> list[int]:
    return [k for k, block in enumerate(data["blocks"]) if KINDS[block[1]] == "footing"]


def _underside(data: dict[str, Any]) -> list[int]:
    return next(patch for patch in data["patches"] if patch[1] == -1)


def _merged(data: dict[str, Any]) -> None:
    """Two pieces made one, which would bend across their joint."""
    a, b = _pieces(data)[:2]
    for patch in data["patches"]:
        patch[1] = a if patch[1] == b else patch[1]


def _heavier(data: dict[str, Any], times: float) -> None:
    for k in _pieces(data):
        data["blocks"][k][5] = round(data["blocks"][k][5] * times)


def _bridged(data: dict[str, Any]) -> None:
    """The last piece gone, and what stood on it laid on the first one."""
    first, last = _pieces(data)[0], _pieces(data)[-1]
    assert last == len(data["blocks"]) - 1
    rows = list(zip(data["patches"], data["forces"], strict=True))
    rows = [row for row in rows if row[0][0] != last]
    rows.sort(key=lambda row: row[0][1] != last)
    for patch, _force in rows:
        patch[1] = first if patch[1] == last else patch[1]
    data["patches"], data["forces"] = ([row[k] for row in rows] for k in (0, 1))
    for key in ("blocks", "live"):
        data[key] = data[key][:-1]


def _joined(data: dict[str, Any]) -> None:
    """A joint between two pieces, which nothing in the design says."""
    a, b = _pieces(data)[:2]
    data["patches"].append([a, b, *_underside(data)[2:]])
    data["forces"].append([0] * 12)


def _tied(data: dict[str, Any]) -> None:
    a, b = _pieces(data)[:2]
    x, y, z = data["blocks"][a][2:5]
    pull = [round((data["blocks"][a][i] - data["blocks"][b][i]) / LENGTH * FRICTION / 10) for i in (2, 3)]
    data["ties"].append([a, b, x, y, z, *pull, 0, 0])
    data["tensions"].append(0)


def _moved(data: dict[str, Any], axis: int, by: float) -> None:
    """Every underside up, or out."""
    for patch in data["patches"]:
        if patch[1] == -1:
            for i in range(2, 14, 3):
                if axis == 2:
                    patch[i + 2] += round(by * LENGTH)
                else:
                    r = math.hypot(patch[i], patch[i + 1])
                    patch[i], patch[i + 1] = (round(v * (1 + by * LENGTH / r)) for v in patch[i : i + 2])


def _wider(data: dict[str, Any]) -> None:
    """Every underside stretched about its middle by a tenth."""
    for patch in data["patches"]:
        if patch[1] == -1:
            for j in (0, 1, 2):
                for i, k in ((2, 5), (8, 11)):
                    middle, half = (patch[i + j] + patch[k + j]) / 2, (patch[k + j] - patch[i + j]) / 2 * 1.1
                    patch[i + j], patch[k + j] = round(middle - half), round(middle + half)


def _lifted(data: dict[str, Any]) -> None:
    """A bed further up laid on the ground, in mid-air."""
    patch = next(p for p in data["patches"] if p[1] >= 0 and data["blocks"][p[0]][0] == 5 and p[4] == p[7] == p[10])
    patch[1] = -1


FORGERIES: dict[str, Callable[[dict[str, Any]], Any]] = {
    "heavier": lambda d: _heavier(d, 1.001),
    "lighter": lambda d: _heavier(d, 0.999),
    "one piece lower": lambda d: d["blocks"][_pieces(d)[0]].__setitem__(4, d["blocks"][0][4] - LENGTH // 5),
    "two pieces as one": _merged,
    "two blocks on one piece": _bridged,
    "joined": _joined,
    "on a block of the wall": lambda d: _underside(d).__setitem__(1, 40),
    "tied": _tied,
    "the underside higher": lambda d: _moved(d, 2, 0.01),
    "the underside further out": lambda d: _moved(d, 0, 0.04),
    "the underside wider": _wider,
    "more friction on the ground": lambda d: _underside(d).__setitem__(14, round(0.6 * FRICTION)),
    "more pressure on the ground": lambda d: _underside(d).__setitem__(15, round(2e4 * STRENGTH)),
    "called a wall": lambda d: d["blocks"][_pieces(d)[0]].__setitem__(1, 0),
    "called a buttress": lambda d: d["blocks"][_pieces(d)[0]].__setitem__(1, KINDS.index("buttress")),
    "of another course": lambda d: d["blocks"][_pieces(d)[0]].__setitem__(0, 1),
    "a bed on the ground in mid-air": _lifted,
}  # fmt: skip


@pytest.mark.parametrize("which", ["ground", "shaken", "at once"])
@pytest.mark.parametrize("name", FORGERIES)
def test_no_forgery_of_it_is_taken(
    dome: Dome, proofs: dict[str, tuple[Job, Row, dict[str, Any]]], name: str, which: str
) -> None:
    data, wall = proofs[which][2], _wall(dome, proofs[which])
    assert check_block_proof(data, wall).proven is not None
    forged = copy.deepcopy(data)
    FORGERIES[name](forged)
    assert forged != data
    finding = check_block_proof(forged, wall)
    assert finding.proven is None and finding.why
    assert "balanced" not in finding.why and "crushed" not in finding.why and "beyond friction" not in finding.why


def test_a_footing_shaken_less_is_refused(dome: Dome, proofs: dict[str, tuple[Job, Row, dict[str, Any]]]) -> None:
    """By its least weight, or not at all: it is said before the forces are looked at."""
    data = proofs["shaken"][2]
    for times in (0.0, 0.6, 0.999):
        forged = copy.deepcopy(data)
        k = _pieces(data)[3]
        forged["live"][k] = [round(v * times) for v in forged["live"][k]]
        assert f"live[{k}]: not the design's load" in check_block_proof(forged, _wall(dome, proofs["shaken"])).why


def _ground(dome: Dome, row: Row) -> float:
    return ground_limits(dome.design, row, sideways=False).friction


def test_what_it_may_press_is_less_by_what_it_may_weigh_more(
    dome: Dome, proofs: dict[str, tuple[Job, Row, dict[str, Any]]]
) -> None:
    """What the ground bears less 10 kN/m3 of 0.3 m over what tipping leaves of the reach; a tenth more is refused."""
    _job, row, data = proofs["ground"]
    low = ground_limits(dome.design, row, sideways=False).bearing
    allowed = low - 10.0 * 0.3 * 0.7 / (0.625 - 2 * 0.3 * _ground(dome, row))
    assert _underside(data)[15] / STRENGTH == pytest.approx(allowed, rel=1e-6)
    for more, taken in ((-1.0, True), (0.1, False)):
        forged = copy.deepcopy(data)
        for patch in forged["patches"]:
            if patch[1] == -1:
                patch[15] = round((allowed + more) * STRENGTH)
        assert ("more strength" not in check_block_proof(forged, _wall(dome, proofs["ground"])).why) == taken
    down = sum(sum(force[2::3]) for patch, force in zip(data["patches"], data["forces"], strict=True) if patch[1] == -1)
    assert down / FORCE == pytest.approx(sum(block[5] for block in data["blocks"]) / FORCE, rel=1e-6)


def test_it_stands_no_longer_in_the_way_of_a_meets() -> None:
    dome = build_dome(_design(wind_pressure=0.5))
    assert not [one for one in doubts_of(dome) if "footing" in one.kind]
    assert np.isfinite(block_weights(dome, case_of(dome, "finished-dry"), cut_blocks(dome, 18, founded=True))[1]).all()


def test_a_picture_with_the_footing_is_none_of_one_without(monkeypatch: pytest.MonkeyPatch) -> None:
    """Of one discretisation both are there: the ground is asked with the footing, a reserve without. Drawn to its
    lowest corner."""
    dome = build_dome(_design())
    monkeypatch.setattr(block_pages, "_towards", lambda _assessment, _result: 0.0)
    layouts = [cut_blocks(dome, 18, founded=founded) for founded in (False, True)]
    rows = [tuple((0.0, 1.0, 0.0, 0.0, 0.0, 0.0) for _ in layout.blocks) for layout in layouts]
    bare, on_it = (
        replace(_claim(next(job for job in jobs(dome) if not job.loads), 1.0), motions=motions, drawn=18)
        for motions in rows
    )
    assert not block_pages._alike(None, bare, on_it) and block_pages._alike(None, on_it, on_it)  # type: ignore[arg-type]
    for layout, motions in zip(layouts, rows, strict=True):
        assert "<svg" in mechanism_svg(dome, layout, np.array(motions), 0.0, "Sliding")
