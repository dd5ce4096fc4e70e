"""Loads that are handed in at one bearing: by hand, by symmetry, refused where no wall takes them, their proofs."""

from __future__ import annotations

import copy
import json
import math
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from certificates import ROOF, SMALL
from forged import OF_HANDED
from samples import classroom

from shellcheck_earth.basics.errors import InputError, UnbuildableError
from shellcheck_earth.design.design import BearingLoad, Design, Fill, Opening, RingLoad
from shellcheck_earth.design.write import design_toml
from shellcheck_earth.geometry.bearing_loads import bearing_half
from shellcheck_earth.geometry.blocks import cut_blocks
from shellcheck_earth.geometry.courses import Dome, build_dome
from shellcheck_earth.geometry.reading import parse_design
from shellcheck_earth.geometry.ring_loads import course_under
from shellcheck_earth.loads.cases import Case, carrying, case_of
from shellcheck_earth.loads.course_state import HandedIn
from shellcheck_earth.loads.model import build, needs_more_than_crew
from shellcheck_earth.loads.ring_loads import block_states, carried_states
from shellcheck_earth.loads.side_loads import SideLoad, each_once, side_loads
from shellcheck_earth.mechanics.blocks.assembly import wire_tensions
from shellcheck_earth.mechanics.blocks.conic import solve_cone
from shellcheck_earth.mechanics.blocks.rows import assemble
from shellcheck_earth.mechanics.blocks.side_wrench import side_wrench
from shellcheck_earth.mechanics.blocks.weights import block_weights, handed_wrench
from shellcheck_earth.mechanics.proof.block_cases import block_demands, block_faults
from shellcheck_earth.mechanics.proof.blocks import check_block_proof
from shellcheck_earth.mechanics.proof.check import certificate_text, recheck_texts
from shellcheck_earth.mechanics.proof.reading import RefusedError, read
from shellcheck_earth.mechanics.proof.rebuild import rebuild
from shellcheck_earth.safety.blocks.jobs import jobs
from shellcheck_earth.safety.blocks.proofs import proven, wall_of
from shellcheck_earth.safety.blocks.reserve import dead_problem, largest_reserve
from shellcheck_earth.safety.blocks.result import BlockResult, CutResult
from shellcheck_earth.safety.check import check
from validation.one_ring import rings

BEAM = BearingLoad("Roof beam", 1.0, 1.9, 0.3, (1.5, 1.5), (0.4, 0.4), (0.1, 0.1))
DOOR = Opening("door", 0.0, 0.0, 0.8, 1.5, "pointed")


def _design(*loads: BearingLoad, openings: tuple[Opening, ...] = (), **site: Any) -> Design:
    design = classroom(openings=openings)
    fill = Fill(1750.0, 2650.0, 0.10, 0.03, "cement", 0.08, 1000.0, 600.0, 400.0, 0.1 / 100 / 3600, 0.21)
    site = {"ground_friction": 0.6, "friction_wet": 0.6, "ground_bearing": 150.0, "bearing_wet": 150.0} | site
    return replace(
        design, dome=replace(design.dome, inside_diameter=2.6), fill=fill, bearing_loads=loads,
        site=replace(design.site, **site), building=replace(design.building, worker=1.0, scaffold_above=None),
    )  # fmt: skip


def _carrying(dome: Dome, name: str = "finished-dry") -> Case:
    *_, state = block_states(dome)
    return carrying(case_of(dome, name), state)


# -- by hand ---------------------------------------------------------------------------------------------------------


def test_a_beam_hands_in_its_weight_and_its_thrust_along_its_bearing() -> None:
    """1.5 kN down and 0.4 kN outward at 57.3 deg, whatever blocks lie under it; about the axis it turns nothing."""
    dome = build_dome(_design(BEAM, openings=(DOOR,)))
    case = _carrying(dome)
    for cuts in (8, 18, 72):
        layout = cut_blocks(dome, cuts)
        centre, _ = block_weights(dome, case, layout)
        found = handed_wrench(case, layout, centre)
        force = found[:, :3].sum(axis=0)
        assert force == pytest.approx([0.4 * math.sin(1.0), 0.4 * math.cos(1.0), -1.5])
        moment = (found[:, 3:] + np.cross(centre, found[:, :3])).sum(axis=0)
        course = course_under(dome, 1.9)
        assert course is not None
        half = bearing_half(BEAM, course)
        assert half == pytest.approx(0.15 / course.inner_radius)
        # the weight lies on an arc: its middle at sin(b)/b of the radius; the thrust acts at 1.9 m
        lever = (course.inner_radius + 0.1) * math.sin(half) / half
        over = -1.5 * lever - 0.4 * 1.9
        assert moment == pytest.approx([over * math.cos(1.0), -over * math.sin(1.0), 0.0], abs=1e-9)


RING = (
    rings(0.3)
    + """[[bearing_load]]
name = "Beam"
bearing = "40 deg"
height = "0.4 m"
width = "0.36 m"
weight = "WEIGHT kN"
thrust = "THRUST kN"
from_inner_face = "0.2 m"
"""
)


@pytest.mark.parametrize("weight", [3.0, 0.0, -0.4])
def test_the_one_block_under_it_slides_where_statics_say(weight: float) -> None:
    """A ring on the ground, whose blocks hold nothing of each other: the block between the ends of the beam, of angle
    2 b = 0.24, weighs w = 1800 x 9.80665e-3 x 0.5 x 0.24 x (1.9^2 - 1.5^2)/2 kN, and slides where P = mu s (w + W).
    """
    b = 0.36 / 2 / 1.5
    own = 1800 * 9.80665e-3 * 0.5 * b * (1.9**2 - 1.5**2)
    limit = 0.3 * math.sin(b) / b * (own + weight)
    held = []
    for thrust in (0.999 * limit, 1.001 * limit, -0.999 * limit, -1.001 * limit):
        dome = build_dome(parse_design(RING.replace("WEIGHT", f"{weight!r}").replace("THRUST", f"{thrust!r}")))
        held.append(solve_cone(assemble(dead_problem(dome, _carrying(dome), cut_blocks(dome, 18), 1.0))).solved)
    assert held == [True, False, True, False]


def test_beams_all_around_are_a_ring_load() -> None:
    """Six arcs of 60 deg, each with the same of a radian, press on every block as one ring does."""
    dome = build_dome(_design(openings=(DOOR,)))
    layout, bare = cut_blocks(dome, 18), case_of(dome, "finished-dry")
    centre, _ = block_weights(dome, bare, layout)
    ring = HandedIn(1.1, 0.3, 1.3, 1.9)
    arcs = tuple(replace(ring, middle=k * math.pi / 3 + 0.2, half=math.pi / 6) for k in range(6))
    index = next(k for k, one in enumerate(dome.courses) if one.z_bottom < 1.9 <= one.z_top)
    forces = []
    for handed in ((ring,), arcs):
        states = tuple(replace(one, handed=handed) if k == index else one for k, one in enumerate(bare.states))
        forces.append(handed_wrench(replace(bare, states=states, carries=True), layout, centre))
    assert forces[0].any() and forces[1][:, 2] == pytest.approx(forces[0][:, 2])
    # an arc that is split pushes along two bearings instead of one: of each block's own plane nothing is lost
    assert forces[1].sum(axis=0)[:3] == pytest.approx(forces[0].sum(axis=0)[:3], abs=1e-12)
    assert np.abs(forces[1][:, :2] - forces[0][:, :2]).max() < 0.01 * np.abs(forces[0][:, :2]).max()


def test_what_it_lifts_is_taken_off_the_weight_that_holds_the_wire() -> None:
    up = replace(BEAM, weight=(-1.0, -1.0), thrust=(0.0, 0.0))
    dome = build_dome(_design(up))
    bare, lifted = case_of(dome, "finished-dry"), _carrying(dome)
    below, above = (wire_tensions(dome, case) for case in (bare, lifted))
    at = next(k for k, one in enumerate(dome.courses) if one.z_bottom < 1.9 <= one.z_top)
    mu = lifted.states[0].friction
    bonded = [k for k in range(1, at + 1) if above[k] < below[k]]
    assert bonded and above[at + 1 :] == below[at + 1 :]
    assert any(below[k] - above[k] == pytest.approx(mu * 1.0) for k in bonded)
    down = build_dome(_design(replace(up, weight=(1.0, 1.0))))
    assert wire_tensions(down, _carrying(down)) == wire_tensions(down, case_of(down, "finished-dry"))


def test_an_earthquake_shakes_it_where_it_bears() -> None:
    dome = build_dome(_design(BEAM, earthquake=0.1))
    quake = SideLoad("q", "", "earthquake", 0.7, 0.1, "earthquake", vertical=0.03)
    layout = cut_blocks(dome, 18)
    bare = case_of(dome, "finished-damp")
    more = side_wrench(dome, _carrying(dome, "finished-damp"), layout, quake) - side_wrench(dome, bare, layout, quake)
    assert more[:, :3].sum(axis=0) == pytest.approx([0.15 * math.sin(0.7), 0.15 * math.cos(0.7), 0.045])


# -- what does not depend on how it is looked at ---------------------------------------------------------------------


def test_turned_or_mirrored_on_plan_it_holds_as_much() -> None:
    """The rings are cut from the ends of the load, wherever north is."""
    found = []
    heavy = replace(BEAM, thrust=(3.0, 3.0))
    for bearing in (0.0, 1.234, -1.234):
        dome = build_dome(_design(replace(heavy, bearing=bearing)))
        problem = dead_problem(dome, _carrying(dome), cut_blocks(dome, 12), 1.0)
        found.append(solve_cone(assemble(replace(problem, most=5.0))).multiplier)
    edge = largest_reserve(dome, _carrying(dome), cut_blocks(dome, 12), [8.0], first=1.2)
    without = largest_reserve(dome, case_of(dome, "finished-dry"), cut_blocks(dome, 12), [8.0], first=1.2)
    assert found == pytest.approx([found[0]] * 3, rel=1e-5)
    assert edge.reserve and without.reserve and edge.reserve < 0.95 * without.reserve


def test_directions_are_mirrored_only_in_a_plane_through_every_beam() -> None:
    for bearing, count in ((0.0, 3), (math.pi, 3), (0.4, 4)):
        design = _design(replace(BEAM, bearing=bearing), openings=(DOOR,), earthquake=0.1)
        loads = tuple(one for one in side_loads(design, 0.0) if one.kind == "earthquake" and one.vertical > 0)
        assert len(loads) == 4 and len(each_once(design, loads)) == count
    alone = side_loads(_design(replace(BEAM, bearing=0.4), earthquake=0.1), 0.0)
    assert alone[0].bearing == pytest.approx(0.4)


def test_states_of_beams_and_rings_together() -> None:
    cap = RingLoad("Cap", 1.9, (2.0, 2.0), (0.0, 0.0), (0.1, 0.1))
    design = replace(_design(replace(BEAM, weight=(0.5, 1.5), thrust=(0.0, 0.0))), ring_loads=(cap,))
    dome = build_dome(design)
    assert [state.words for state in carried_states(dome)] == ["carrying Cap"]
    assert [(state.number, state.words) for state in block_states(dome)] == [
        (1, "carrying Cap"),
        (3, "carrying Roof beam: most weight"),
        (5, "carrying Cap; carrying Roof beam: most weight"),
    ]
    assert needs_more_than_crew(_design(BEAM)) and not needs_more_than_crew(_design())
    asked = [job.id for job in jobs(dome) if "finished-dry" in job.id]
    assert asked == ["three-d-finished-dry", *(f"three-d-finished-dry-carrying-{k}" for k in (1, 3, 5))]


# -- the file --------------------------------------------------------------------------------------------------------


def test_a_file_says_it_and_is_written_again() -> None:
    for system in ("metric", "imperial"):
        load = replace(BEAM, weight=(-0.3, 2.0), from_inner_face=(0.1, 0.2))
        design = replace(_design(load), unit_system=system)
        design = replace(design, bases={**design.bases, "bearing_load[1].weight": "measured"})
        again = parse_design(design_toml(design))
        (there,) = again.bearing_loads
        assert there.weight == load.weight and again.bases["bearing_load[1].weight"] == "measured"
        assert there.bearing == pytest.approx(load.bearing, rel=1e-15) and there.width == pytest.approx(0.3)


@pytest.mark.parametrize("changes", [{"weight": (2.0, 1.0)}, {"thrust": 3.0}, {"name": ""}, {"width": 9.0},
                                     {"bearing": 9.0}])  # fmt: skip
def test_the_gate_holds_code_to_the_ranges(changes: dict[str, object]) -> None:
    with pytest.raises(InputError):
        _design(replace(BEAM, **changes))  # type: ignore[arg-type]


LINTEL = replace(DOOR, head="lintel")


@pytest.mark.parametrize(
    ("opening", "changes", "path", "said"),
    [
        (DOOR, {"bearing": 0.1, "height": 1.0}, "height", "beside door 1"),  # in it
        (DOOR, {"bearing": 0.2, "height": 1.55}, "height", "over 1."),  # in its ring of bags
        (LINTEL, {"bearing": 0.4, "height": 1.7}, "height", "what a lintel carries"),  # on its bearing
        (LINTEL, {"bearing": 0.0, "height": 1.9}, "height", "what a lintel carries"),  # over it
        (DOOR, {"height": 3.9}, "height", "a height on the wall"),  # above the crown
        (DOOR, {"height": -0.4}, "height", "a height on the wall"),
        (DOOR, {"from_inner_face": (0.0, 0.4)}, "from_inner_face", "at most the width of the wall, 0.385"),
        (DOOR, {"height": 2.0, "width": 1.9}, "width", "a sixth of course"),
        (DOOR, {"weight": (-9.0, 0.0)}, "weight", "half of their dry weight on a radian"),
    ],
)
def test_what_no_wall_takes_is_refused_with_the_number(
    opening: Opening, changes: dict[str, Any], path: str, said: str
) -> None:
    with pytest.raises(UnbuildableError) as caught:
        parse_design(design_toml(_design(replace(BEAM, **changes), openings=(opening,))))
        build(_design(replace(BEAM, **changes), openings=(opening,)))
    (problem,) = caught.value.problems
    assert problem.path == f"bearing_load[1].{path}" and said in problem.expected


@pytest.mark.parametrize(
    "changes", [{"bearing": 1.6}, {"bearing": 0.9, "height": 1.0}, {"bearing": 0.0, "height": 2.25}]
)
def test_beside_and_well_over_a_door_there_is_a_wall(changes: dict[str, float]) -> None:
    for opening in (DOOR, LINTEL):
        assert build(_design(replace(BEAM, **changes), openings=(opening,)))


# -- the checker -----------------------------------------------------------------------------------------------------

ALONE = SMALL.replace('scaffold_above = "0 m"\n', "") + ROOF


@pytest.fixture(scope="module")
def checked() -> dict[str, Any]:
    """A shelter with nothing but a beam: what the command says and its certificate."""
    found = check(parse_design(ALONE), explore=False)
    assert found.verdict == "meets", [(one.id, one.status, one.why) for one in found.blocks]
    data: dict[str, Any] = json.loads(found.certificate or "")
    assert data["design"] == ALONE
    return data


def _judged(data: dict[str, Any], text: str = ALONE) -> Any:
    rest = {key: value for key, value in data.items() if key != "digest"}
    return recheck_texts(certificate_text(rest).encode(), text.encode())


def test_a_whole_design_meets_and_its_certificate_is_confirmed(checked: dict[str, Any]) -> None:
    assert _judged(checked).verdict == "meets"
    assert {one["case"] for one in checked["blocks"]} >= {"three-d-finished-dry", "three-d-finished-dry-carrying-2"}


@pytest.mark.parametrize(
    "case", ["three-d-finished-damp-carrying-2", "three-d-worker-carrying-2-joint, worker, all capacities"]
)
def test_a_case_dropped_is_no_meets(checked: dict[str, Any], case: str) -> None:
    data = {**checked, "blocks": [one for one in checked["blocks"] if one["case"] != case]}
    assert len(data["blocks"]) == len(checked["blocks"]) - 1
    report = _judged(data)
    assert report.verdict == "cannot say" and "not proven" in report.lines[-1]


def _beam_rows(data: dict[str, Any]) -> list[int]:
    return [k for k, row in enumerate(data["handed"]) if any(row)]


def _moved(data: dict[str, Any]) -> None:
    (first, *_), other = _beam_rows(data), 0
    data["handed"][other], data["handed"][first] = data["handed"][first], data["handed"][other]


FORGERIES: dict[str, Callable[[dict[str, Any]], Any]] = OF_HANDED | {
    "on another block": _moved,
    "shared with the next block": lambda d: d["handed"].__setitem__(
        _beam_rows(d)[-1] + 1, d["handed"][_beam_rows(d)[-1]]
    ),
}  # fmt: skip


@pytest.mark.parametrize("name", FORGERIES)
def test_no_forgery_of_it_is_taken(checked: dict[str, Any], name: str) -> None:
    entries = [copy.deepcopy(one) for one in checked["blocks"]]
    forged = next(one for one in entries if one["case"] == "three-d-finished-dry-carrying-2")
    FORGERIES[name](forged)
    missing = block_faults(read(ALONE), entries, wanted=True)
    assert (
        len(missing) == 1 and "three-d-finished-dry-carrying-2 is not proven" in missing[0] and "handed" in missing[0]
    )


@pytest.mark.parametrize(
    ("old", "new"),
    [('"75 deg"', '"95 deg"'), ('"0.25 m"', '"0.3 m"'), ('"0.15 m"', '"0.25 m"'), ('"0.6 kN"', '"0.7 kN"'),
     ('"0.9 m"', '"0.7 m"'), ('thrust = "0 kN"', 'thrust = "0.1 kN"')],
)  # fmt: skip
def test_the_proof_of_another_beam_is_refused(checked: dict[str, Any], old: str, new: str) -> None:
    other = SMALL + ROOF.replace(old, new)
    demands = {one.name: one for one in block_demands(read(other))}
    entry = next(one for one in checked["blocks"] if one["case"] == "three-d-finished-dry-carrying-2")
    name = (
        "three-d-finished-dry-carrying-2"
        if "three-d-finished-dry-carrying-2" in demands
        else "three-d-finished-dry-carrying-1"
    )
    assert check_block_proof(entry, demands[name].wall).proven is None


@pytest.mark.parametrize(
    ("old", "new"),
    [('"0.9 m"', '"1.4 m"'), ('"0.15 m"', '"0.4 m"'), ('"0.25 m"', '"1.5 m"'), ('low = "0.2 kN"', 'low = "-9 kN"'),
     ('"75 deg"', '"9 rad"'), ('width = "0.25 m"\n', ""), ('name = "Roof beam"', 'name = "Roof beam"\nspan = "2 m"')],
)  # fmt: skip
def test_both_readers_refuse(old: str, new: str) -> None:
    text = SMALL + ROOF.replace(old, new)
    with pytest.raises(InputError):
        parse_design(text)
    with pytest.raises(RefusedError, match="bearing_load"):
        rebuild(read(text))


def test_the_checker_takes_none_on_a_lintel_by_itself() -> None:
    window = (
        '[[opening]]\nkind = "window"\nbearing = "75 deg"\nsill = "0.3 m"\nwidth = "0.3 m"\nheight = "0.3 m"\n'
        'head = "lintel"\nlintel_bearing = "0.2 m"\n'
    )
    for height, bearing, taken in (("0.8 m", "75 deg", False), ("0.8 m", "165 deg", True), ("0.9 m", "75 deg", False)):
        text = (
            SMALL
            + window
            + ROOF.replace('"0.9 m"', f'"{height}"').replace('bearing = "75 deg"', f'bearing = "{bearing}"')
        )
        if taken:
            assert rebuild(read(text)).cases
            continue
        with pytest.raises(RefusedError, match="lintel"):
            rebuild(read(text))
        with pytest.raises(UnbuildableError):
            build(parse_design(text))


def test_in_a_gap_or_in_a_ring_of_bags_no_proof_holds_it() -> None:
    dome = build_dome(_design(BEAM, openings=(DOOR,)))
    job = next(job for job in jobs(dome) if job.id == "three-d-finished-dry-carrying-1")
    claim = BlockResult(
        job.id, job.title, job.criterion, 1.02, 1.02, 1.02, 1.02, "solved", "", False, None, (),
        (CutResult(12, 1, 1.02),), (), (), len(job.case.states),
    )  # fmt: skip
    data = json.loads(proven(dome, job, claim).proofs[0])
    wall = wall_of(dome, job)
    assert check_block_proof(data, wall).proven is not None
    low = tuple(replace(one, course=8, middle=0.0) for one in wall.handed)
    assert "not whole there" in check_block_proof(data, replace(wall, handed=low)).why


def test_without_blocks_there_is_no_answer(tmp_path: Path) -> None:
    (tmp_path / "design.toml").write_text(ALONE)
    found = check(parse_design(ALONE), explore=False, blocks=False)
    assert found.verdict == "cannot say"
    assert any(caution.key == "bearing loads" for caution in found.cautions)
    assert [one.path for one in found.assumptions if one.path.startswith("bearing_load")]
