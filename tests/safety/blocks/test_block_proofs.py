"""Proofs of block cases: what is found is confirmed exactly, and no forgery is."""

from __future__ import annotations

import copy
import json
import math
from collections.abc import Callable
from dataclasses import replace
from fractions import Fraction
from pathlib import Path
from typing import Any

import pytest
from samples import classroom

from shellcheck_earth.basics.frozen import FrozenMap
from shellcheck_earth.design.design import Buttress, Criteria, Design, Fill, Opening
from shellcheck_earth.geometry.blocks import cut_blocks
from shellcheck_earth.geometry.courses import Dome, build_dome
from shellcheck_earth.loads.joint import PLAIN
from shellcheck_earth.mechanics.blocks.assembly import block_weights
from shellcheck_earth.mechanics.blocks.conic import ConeAnswer
from shellcheck_earth.mechanics.blocks.problem import Forces
from shellcheck_earth.mechanics.blocks.rows import assemble
from shellcheck_earth.mechanics.proof import block_data, block_footing, block_loads, block_places, blocks
from shellcheck_earth.mechanics.proof.block_places import Wall
from shellcheck_earth.mechanics.proof.blocks import RESIDUAL, check_block_proof
from shellcheck_earth.safety.blocks import proofs
from shellcheck_earth.safety.blocks.jobs import Job, jobs, joint_job
from shellcheck_earth.safety.blocks.proofs import proof_name, proven, wall_of
from shellcheck_earth.safety.blocks.reserve import dead_problem
from shellcheck_earth.safety.blocks.result import BlockResult, CutResult
from shellcheck_earth.safety.blocks.sideways import Asked, Question, between

DOOR = Opening("door", 0.0, 0.0, 0.8, 1.5, "pointed")
LINTEL = Opening("window", math.pi, 0.6, 0.5, 0.5, "lintel", tie=2.0)


def _design(*openings: Opening, buttresses: tuple[Buttress, ...] = (), **site: object) -> Design:
    design = classroom(openings=openings or (DOOR,))
    fill = Fill(1750.0, 2650.0, 0.10, 0.03, "cement", 0.08, 1000.0, 600.0, 400.0, 0.1 / 100 / 3600, 0.21)
    ground = {"ground_friction": 0.35, "friction_wet": 0.35, "ground_bearing": 150.0, "bearing_wet": 150.0}
    measured = {f"site.ground_{name}_wet": "measured" for name in ("friction", "bearing")}
    return replace(
        design, dome=replace(design.dome, inside_diameter=2.6), fill=fill, buttresses=buttresses,
        site=replace(design.site, **(ground | site)),  # type: ignore[arg-type]
        building=replace(design.building, worker=1.0), bases=FrozenMap({**design.bases, **measured}),
    )  # fmt: skip


def _job(dome: Dome, job_id: str) -> Job:
    return next(job for job in jobs(dome) if job.id.startswith(job_id))


def _claim(job: Job, relied: float, cuts: int = 12) -> BlockResult:
    """As if the search had ended at a number that meets."""
    table = (CutResult(cuts, 1, relied),)
    return BlockResult(
        job.id, job.title, job.criterion, relied, relied, relied, relied, "solved", "", False, None, (), table,
        ((0.0, relied),) if job.loads else (), (), len(job.case.states),
    )  # fmt: skip


@pytest.fixture(scope="module")
def dome() -> Dome:
    return build_dome(_design(DOOR, LINTEL, earthquake=0.1, wind_pressure=0.5, snow=0.5))


@pytest.fixture(scope="module")
def dead(dome: Dome) -> dict[str, Any]:
    data: dict[str, Any] = json.loads(
        proven(dome, _job(dome, "three-d-finished-dry"), _claim(_job(dome, "three-d-finished-dry"), 1.05)).proofs[0]
    )
    return data


@pytest.mark.parametrize(
    ("kind", "relied", "states"),
    [("finished-dry", 1.05, 1), ("finished-damp", 1.02, 1), ("forms-out", 1.01, 1), ("earthquake", 0.5, 6),
     ("worker", 1.0, 1), ("snow", 0.3, 3), ("wind", 0.5, 24), ("forms-out-wind", 0.5, 24),
     ("forms-out-worker", 0.4, 2)],
)  # fmt: skip
def test_every_kind_of_case_is_proven(dome: Dome, kind: str, relied: float, states: int) -> None:
    job = _job(dome, f"three-d-{kind}")
    found = proven(dome, job, _claim(job, relied))
    assert found.why == ""
    assert found.relied == pytest.approx(relied, rel=1e-5)
    assert len(found.proofs) == states
    for text in found.proofs:
        data = json.loads(text)
        finding = check_block_proof(data, _wall(dome, job, data["case"]))
        assert finding.proven is not None
        assert relied * (1 - 1e-5) < finding.proven <= relied * (1 + 1e-9)


def test_a_direction_between_those_of_the_design_has_a_proof_of_its_own(dome: Dome) -> None:
    job = _job(dome, "three-d-earthquake")
    job = replace(job, loads=job.loads[:1])
    claimed = replace(_claim(job, 0.5), between=((job.loads[0].id, "", -1),))
    found = proven(dome, job, claimed)
    data = json.loads(found.proofs[1])
    assert (found.why, len(found.proofs)) == ("", 2)
    assert data["case"] == f"{job.id}, {job.loads[0].id} turned -22.5 deg"
    turned = between(job.loads[0], -1)
    assert check_block_proof(data, wall_of(dome, job, PLAIN, turned)).proven is not None
    assert "live" in check_block_proof(data, wall_of(dome, job, PLAIN, job.loads[0])).why
    # without it the case does not meet
    beyond = proven(dome, job, replace(claimed, between=((job.loads[0].id, "", 1),) * 2, relied=40.0))
    assert (beyond.meets, beyond.proofs) == (None, ())


def test_what_held_while_it_was_looked_for_is_the_proof(dome: Dome, monkeypatch: pytest.MonkeyPatch) -> None:
    """No programme is solved again, and more is shown than is relied on; where it cannot be confirmed one is."""
    asked: list[object] = []
    real = proofs.solve_cone
    monkeypatch.setattr(proofs, "solve_cone", lambda *of: (asked.append(of), real(*of))[1])
    quake, dead, known = _job(dome, "three-d-earthquake"), _job(dome, "three-d-finished-dry"), {}
    quake = replace(quake, loads=quake.loads[:1])
    layout = cut_blocks(dome, 12, len(quake.case.states))
    problem = Question(dome, quake, (12,), 0.8).problem(layout, Asked(quake.loads[0]))
    known[quake.loads[0], PLAIN] = layout, 1.0, problem, real(assemble(problem))
    problem = dead_problem(dome, dead.case, layout, 1.04)
    known[None, PLAIN] = layout, 1.04, problem, real(assemble(problem))
    for job, relied, shown in ((quake, 0.5, 0.8), (dead, 1.01, 1.04)):
        found = proven(dome, job, _claim(job, relied), known)
        assert (found.relied, found.below, asked) == (relied, pytest.approx(shown, rel=1e-5), [])
    for key, (where, reserve, of, answer) in known.items():
        known[key] = where, reserve, of, replace(answer, forces=replace(answer.forces, shear=answer.forces.shear * 0.9))
    found = proven(dome, quake, _claim(quake, 0.5), known)
    assert (found.relied, found.below) == (pytest.approx(0.5, rel=1e-5),) * 2 and len(asked) == 1


def _wall(dome: Dome, job: Job, name: str) -> Wall:
    """The wall of the load and row that a proof is called by."""
    for row in job.rows:
        for load in [*job.loads, None]:
            if proof_name(job, load, row) == name:
                return wall_of(dome, job, row, load)
    raise KeyError(name)


def test_every_capacity_at_once_is_proven_and_in_no_other_wall(dome: Dome) -> None:
    """One load of each of three kinds with all capacities divided: the wall it is proven in is the weaker one."""
    for kind, of in (("earthquake", 1), ("worker", 1), ("forms-out-wind", 1)):
        plain = _job(dome, f"three-d-{kind}")
        job = joint_job(dome.design, replace(plain, loads=plain.loads[:of]))
        assert job is not None and job.required(dome.design) == 1.0
        required = dome.design.criteria.required[plain.criterion]
        found = proven(dome, job, _claim(job, 0.3))
        data = json.loads(found.proofs[0])
        assert (found.why, data["reserve"]) == ("", block_places.FRICTION)
        wall = wall_of(dome, job, job.rows[0], job.loads[0])
        assert wall.layers[1].friction == pytest.approx(wall_of(dome, plain).layers[1].friction / required)
        # the same forces prove the load on whole capacities, as a weaker claim; the other way round they do not
        assert check_block_proof(data, replace(wall_of(dome, plain, PLAIN, job.loads[0]))).proven is not None
        whole = json.loads(proven(dome, replace(plain, loads=plain.loads[:of]), _claim(plain, 0.3)).proofs[0])
        refused = check_block_proof(whole, wall)
        assert (refused.proven is None and "more friction" in refused.why) or "outside its" in refused.why


def test_rows_of_partial_factors_are_proven_with_their_weights() -> None:
    base = _design(DOOR, snow=0.3)
    required = FrozenMap(dict.fromkeys(base.criteria.required, 1.0) | {"overall reserve": 1.25})
    dome = build_dome(replace(base, criteria=Criteria("EN 1990", required)))
    job = joint_job(dome.design, _job(dome, "three-d-finished-dry"))
    assert job is not None and [row.name for row in job.rows] == ["DA1-C1 unfavourable", "EQU unfavourable"]
    found = proven(dome, job, _claim(job, 1.0))
    assert found.why == "" and len(found.proofs) == 2
    first, plain = json.loads(found.proofs[0]), block_weights(dome, job.case, cut_blocks(dome, 12))[1]
    assert first["blocks"][0][5] / block_places.FORCE == pytest.approx(1.35 * plain[0])
    assert check_block_proof(first, wall_of(dome, job, job.rows[1])).proven is None


def test_what_acts_together_is_proven_together() -> None:
    """Of ASCE 7: 1.6 S on one half with 0.5 W, 1.0 W with 0.5 S, 0.9 D with an earthquake. A proof of one row is none
    of another."""
    base = _design(snow=0.3, wind_pressure=0.3, earthquake=0.04)
    required = FrozenMap(dict.fromkeys(base.criteria.required, 1.0) | {"overall reserve": 1.25})
    dome = build_dome(replace(base, criteria=Criteria("ASCE 7 strength", required)))
    walls, data = [], []
    for kind, name in (
        ("snow", "1.2 D + 1.6 S + 0.5 W"),
        ("wind", "1.2 D + 1.0 W + 0.5 S"),
        ("earthquake", "0.9 D + 1.0 E"),
    ):
        job = joint_job(dome.design, _job(dome, f"three-d-{kind}"))
        assert job is not None
        (row,) = (row for row in job.rows if row.name == name)
        load = next(load for load, other in job.asked() if other is row)
        one = replace(job, rows=(row,), loads=(load,))
        found = proven(dome, one, _claim(one, 0.2))
        assert (found.why, len(found.proofs)) == ("", 1)
        data.append(json.loads(found.proofs[0]))
        walls.append(wall_of(dome, one, row, load))
        finding = check_block_proof(data[-1], walls[-1])
        assert finding.proven is not None and float(finding.proven) == pytest.approx(0.2 * row.load, rel=1e-5)
    for entry, wall in ((data[0], walls[1]), (data[1], walls[0]), (data[2], walls[1])):
        assert check_block_proof(entry, wall).proven is None
    # the wind beside the snow left out of the design, or more of it: not the design's load
    load = walls[0].load
    assert load is not None
    for other in (replace(load, beside=None, share=0.0), replace(load, share=load.share * 1.01)):
        assert "not the design's load" in check_block_proof(data[0], replace(walls[0], load=other)).why


def test_a_buttress_beside_a_door_is_proven() -> None:
    dome = build_dome(_design(buttresses=(Buttress(math.pi / 2, 0.6, 0.5, 0.8),)))
    job = _job(dome, "three-d-finished-dry")
    assert len(proven(dome, job, _claim(job, 1.02)).proofs) == 1


def test_what_cannot_be_held_is_never_a_pass(dome: Dome) -> None:
    for kind, too_much in (("finished-dry", 6.0), ("earthquake", 40.0)):
        job = _job(dome, f"three-d-{kind}")
        found = proven(dome, job, _claim(job, too_much))
        assert (found.meets, found.relied, found.proofs, found.status) == (None, None, (), "cannot say")
        assert "could not be confirmed" in found.why


def test_forces_that_do_not_balance_are_no_answer(dome: Dome, monkeypatch: pytest.MonkeyPatch) -> None:
    """A solver that says "Solved" is not believed."""
    real = proofs.solve_cone

    def sloppy(assembled: Any) -> ConeAnswer:
        answer = real(assembled)
        forces = answer.forces
        return replace(answer, forces=Forces(forces.normal * (1 + 1e-4), forces.shear, forces.tension))

    monkeypatch.setattr(proofs, "solve_cone", sloppy)
    job = _job(dome, "three-d-finished-dry")
    found = proven(dome, job, _claim(job, 1.05))
    assert found.meets is None
    assert "not balanced" in found.why


def test_what_falls_short_needs_no_proof(dome: Dome) -> None:
    job = _job(dome, "three-d-finished-dry")
    short = replace(_claim(job, 1.05), required=1.25)
    assert proven(dome, job, short) is short


def test_what_is_left_is_taken_off(dome: Dome, dead: dict[str, Any]) -> None:
    """Balance by plain fractions, from the rows alone: the share left is what the finding is lowered by."""
    wall = wall_of(dome, _job(dome, "three-d-finished-dry"))
    units = [Fraction(1, block_places.LENGTH), Fraction(1, block_places.FORCE)]
    left = [[Fraction(0), Fraction(0), -b[5] * units[1], Fraction(0), Fraction(0), Fraction(0)] for b in dead["blocks"]]
    for patch, force in zip(dead["patches"], dead["forces"], strict=True):
        for i in range(0, 12, 3):
            F = [v * units[1] for v in force[i : i + 3]]
            for block, sign in ((patch[0], 1), (patch[1], -1)):
                if block >= 0:
                    a = [
                        (p - c) * units[0]
                        for p, c in zip(patch[2 + i : 5 + i], dead["blocks"][block][2:5], strict=True)
                    ]
                    M = [a[1] * F[2] - a[2] * F[1], a[2] * F[0] - a[0] * F[2], a[0] * F[1] - a[1] * F[0]]
                    left[block] = [x + sign * y for x, y in zip(left[block], [*F, *M], strict=True)]
    worst = 0.0
    for row, block in zip(left, dead["blocks"], strict=True):
        weight, width = block[5] / block_places.FORCE, wall.layers[0].outer - wall.layers[0].inner
        worst = max(
            worst, *(float(abs(v)) / weight for v in row[:3]), *(float(abs(v)) / weight / width for v in row[3:])
        )
    finding = check_block_proof(dead, wall)
    assert finding.proven is not None
    reserve = Fraction(dead["reserve"], block_places.FRICTION)
    if not any(dead["tensions"]):
        assert float(1 - finding.proven / reserve) == pytest.approx(worst, rel=1e-6)
    assert 0 < float(1 - finding.proven / reserve) <= RESIDUAL


def _first(data: dict[str, Any], kind: str) -> int:
    return next(k for k, b in enumerate(data["blocks"]) if block_places.KINDS[b[1]] == kind)


def _scale(rows: list[list[int]], at: slice, by: float) -> None:
    for row in rows:
        row[at] = [round(v * by) for v in row[at]]


def _loaded(data: dict[str, Any]) -> int:
    return max(range(len(data["forces"])), key=lambda k: sum(map(abs, data["forces"][k])))


def _drop_block(data: dict[str, Any]) -> None:
    """The highest block is left out, with all its faces and ties."""
    gone = max(range(len(data["blocks"])), key=lambda k: data["blocks"][k][4])
    keep = [k for k, p in enumerate(data["patches"]) if gone not in p[:2]]
    data["patches"], data["forces"] = ([data[name][k] for k in keep] for name in ("patches", "forces"))
    ties = [k for k, t in enumerate(data["ties"]) if gone not in t[:2]]
    data["ties"], data["tensions"] = ([data[name][k] for k in ties] for name in ("ties", "tensions"))
    for name in ("blocks", "live"):
        del data[name][gone]
    for row in (*data["patches"], *data["ties"]):
        row[:2] = [k - (k > gone) for k in row[:2]]


def _turn_into_a_pull(data: dict[str, Any]) -> None:
    k = _loaded(data)
    data["forces"][k] = [-v for v in data["forces"][k]]


def _one_force(data: dict[str, Any], place: int, value: int) -> None:
    data["forces"][_loaded(data)][place] += value


FORGERIES: dict[str, Callable[[dict[str, Any]], object]] = {
    "a greater reserve": lambda d: d.update(reserve=d["reserve"] * 2),
    "a little greater reserve": lambda d: d.update(reserve=round(d["reserve"] * 1.001)),
    "a reserve as a word": lambda d: d.update(reserve="1"),
    "a reserve that is true": lambda d: d.update(reserve=True),
    "a reserve of nothing": lambda d: d.update(reserve=0),
    "a factor out of nowhere": lambda d: d.update(factor=block_places.FRICTION * 2, reserve=block_places.FRICTION // 2),
    "lighter blocks": lambda d: _scale(d["blocks"], slice(5, 6), 0.5),
    "lighter blocks, lighter forces": lambda d: (
        _scale(d["blocks"], slice(5, 6), 0.5), _scale(d["forces"], slice(0, 12), 0.5)),
    "a lighter dome on the other side": lambda d: _scale(d["blocks"][:4], slice(5, 6), 0.9),
    "more friction": lambda d: _scale(d["patches"], slice(14, 15), 1.01),
    "more strength": lambda d: _scale(d["patches"], slice(15, 16), 1.01),
    "no strength": lambda d: _scale(d["patches"], slice(15, 16), 0),
    "wider beds": lambda d: [p.__setitem__(slice(2, 4), [round(v * 0.97) for v in p[2:4]]) for p in d["patches"]],
    "a bed elsewhere": lambda d: d["patches"][0].__setitem__(slice(2, 14), d["patches"][6][2:14]),
    "a face used twice": lambda d: (d["patches"].append(d["patches"][0]), d["forces"].append(d["forces"][0])),
    "a face left out": lambda d: (d["patches"].pop(_loaded(d)), d["forces"].pop(_loaded(d))),
    "a force left out": lambda d: d["forces"].pop(),
    "a block left out": _drop_block,
    "a block on its neighbour's place": lambda d: d["blocks"][1].__setitem__(slice(2, 5), d["blocks"][0][2:5]),
    "a block in the air": lambda d: d["blocks"][-1].__setitem__(4, d["blocks"][-1][4] + block_places.LENGTH),
    "a block of another kind": lambda d: d["blocks"][0].__setitem__(1, 3),
    "a course that is none": lambda d: d["blocks"][0].__setitem__(0, 99),
    "a negative course": lambda d: d["blocks"][0].__setitem__(0, -1),
    "a block on itself": lambda d: d["patches"][-1].__setitem__(1, d["patches"][-1][0]),
    "a block on none": lambda d: d["patches"][-1].__setitem__(1, -2),
    "all blocks on the ground": lambda d: [p.__setitem__(1, -1) for p in d["patches"]],
    "a pull": _turn_into_a_pull,
    "a force that slides": lambda d: _one_force(d, 0, block_places.FORCE),
    "a digit of a force": lambda d: _one_force(d, 0, block_places.FORCE // 10**5),
    "no forces": lambda d: _scale(d["forces"], slice(0, 12), 0),
    "a load that lifts": lambda d: [row.__setitem__(2, b[5]) for row, b in zip(d["live"], d["blocks"], strict=True)],
    "a number that is none": lambda d: d["forces"][0].__setitem__(0, float("nan")),
    "a fraction": lambda d: d["forces"][0].__setitem__(0, 0.5),
    "a number without end": lambda d: d["forces"][0].__setitem__(0, 10**4000),
    "a key too many": lambda d: d.update(trust="me"),
    "a key left out": lambda d: d.pop("ties"),
    "another kind of proof": lambda d: d.update(kind="block state 0"),
    "rows that are none": lambda d: d.update(blocks={}),
}  # fmt: skip


@pytest.mark.parametrize("name", FORGERIES)
def test_no_forgery_is_taken(dome: Dome, dead: dict[str, Any], name: str) -> None:
    forged = copy.deepcopy(dead)
    FORGERIES[name](forged)
    assert forged != dead
    finding = check_block_proof(forged, wall_of(dome, _job(dome, "three-d-finished-dry")))
    assert finding.proven is None
    assert finding.why


def test_a_proof_of_another_dome_is_refused(dome: Dome, dead: dict[str, Any]) -> None:
    """A window turned, a wider door, a window (and its tie) left out; and other cases of the same dome."""
    openings: tuple[tuple[Opening, ...], ...] = (
        (DOOR, replace(LINTEL, bearing=2.0)),
        (replace(DOOR, width=1.4), LINTEL),
        (DOOR,),
    )
    for others in openings:
        other = build_dome(_design(*others, earthquake=0.1))
        finding = check_block_proof(dead, wall_of(other, _job(other, "three-d-finished-dry")))
        assert finding.proven is None
    damp = check_block_proof(dead, wall_of(dome, _job(dome, "three-d-finished-damp")))
    stage = check_block_proof(dead, wall_of(dome, _job(dome, "three-d-forms-out")))
    assert damp.proven is None
    assert stage.proven is None


def test_forged_ties_and_loads_are_refused(dome: Dome) -> None:
    job = _job(dome, "three-d-earthquake")
    wall = wall_of(dome, job, PLAIN, job.loads[0])
    data = json.loads(proven(dome, job, _claim(job, 0.5)).proofs[0])
    assert any(data["tensions"])
    forged = copy.deepcopy(data)
    forged["factor"] *= 2
    assert check_block_proof(forged, wall).proven is None
    for change in (
        lambda d: [tie.__setitem__(8, tie[8] * 2) for tie in d["ties"]],
        lambda d: [tie.__setitem__(slice(5, 7), [-tie[5], -tie[6]]) for tie in d["ties"]],
        lambda d: [tie.__setitem__(slice(5, 7), [2 * tie[5], 2 * tie[6]]) for tie in d["ties"]],
        lambda d: d["tensions"].__setitem__(slice(None), [-t for t in d["tensions"]]),
        lambda d: d["ties"][0].__setitem__(1, d["ties"][0][0]),
        lambda d: (d["ties"].append(d["ties"][0]), d["tensions"].append(d["tensions"][0])),
        lambda d: d.update(reserve=d["reserve"] // 2),
        lambda d: _scale(d["live"], slice(0, 6), 0.5),
        lambda d: [row.__setitem__(1, -row[1]) for row in d["live"][::2]],
        lambda d: [row.__setitem__(2, -row[2]) for row in d["live"]],
        lambda d: [row.__setitem__(2, 0) for row in d["live"]],
        lambda d: d["live"][0].__setitem__(3, d["live"][0][3] + d["blocks"][0][5] * block_places.LENGTH // 1000),
    ):
        forged = copy.deepcopy(data)
        change(forged)
        assert forged != data
        assert check_block_proof(forged, wall).proven is None


def test_the_checker_stands_alone() -> None:
    for module in (blocks, block_places, block_loads, block_footing, block_data):
        text = Path(str(module.__file__)).read_text(encoding="utf-8")
        imported = [line.split()[1] for line in text.splitlines() if line.startswith(("import ", "from "))]
        ours = [name for name in imported if name.startswith("shellcheck_earth")]
        known = ("block_places", "block_loads", "block_footing", "block_data")
        assert set(ours) <= {f"shellcheck_earth.mechanics.proof.{name}" for name in known}
        assert not {"numpy", "scipy", "clarabel"} & set(imported)
        assert len(text.splitlines()) < 300
