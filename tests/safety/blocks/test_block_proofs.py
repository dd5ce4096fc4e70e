"""Proofs of block cases: what is found is confirmed exactly, and no forgery is."""

from __future__ import annotations

import json
import math
from dataclasses import replace
from fractions import Fraction
from pathlib import Path
from typing import Any

import pytest
from proof_domes import DOOR, claim, dead_proof, job_of, proof_design, proof_dome

from shellcheck_earth.basics.frozen import FrozenMap
from shellcheck_earth.design.design import Buttress, Criteria
from shellcheck_earth.geometry.blocks import cut_blocks
from shellcheck_earth.geometry.courses import Dome, build_dome
from shellcheck_earth.loads.joint import PLAIN
from shellcheck_earth.mechanics.blocks.conic import ConeAnswer
from shellcheck_earth.mechanics.blocks.problem import Forces
from shellcheck_earth.mechanics.blocks.rows import assemble
from shellcheck_earth.mechanics.blocks.weights import block_weights
from shellcheck_earth.mechanics.proof import block_data, block_faces, block_footing, block_loads, block_places, blocks
from shellcheck_earth.mechanics.proof.block_places import Wall
from shellcheck_earth.mechanics.proof.blocks import RESIDUAL, check_block_proof
from shellcheck_earth.safety.blocks import proofs
from shellcheck_earth.safety.blocks.jobs import Job, joint_job
from shellcheck_earth.safety.blocks.proofs import proof_name, proven, wall_of
from shellcheck_earth.safety.blocks.reserve import dead_problem
from shellcheck_earth.safety.blocks.sideways import Asked, Question, between


@pytest.fixture(scope="module")
def dome() -> Dome:
    return proof_dome()


@pytest.fixture(scope="module")
def dead(dome: Dome) -> dict[str, Any]:
    return dead_proof(dome)


@pytest.mark.parametrize(
    ("kind", "relied", "states"),
    [("finished-dry", 1.05, 1), ("finished-damp", 1.02, 1), ("forms-out", 1.01, 1), ("earthquake", 0.5, 6),
     ("worker", 1.0, 1), ("snow", 0.3, 3), ("wind", 0.5, 24), ("forms-out-wind", 0.5, 24),
     ("forms-out-worker", 0.4, 2)],
)  # fmt: skip
def test_every_kind_of_case_is_proven(dome: Dome, kind: str, relied: float, states: int) -> None:
    job = job_of(dome, f"three-d-{kind}")
    found = proven(dome, job, claim(job, relied))
    assert found.why == ""
    assert found.relied == pytest.approx(relied, rel=1e-5)
    assert len(found.proofs) == states
    for text in found.proofs:
        data = json.loads(text)
        finding = check_block_proof(data, _wall(dome, job, data["case"]))
        assert finding.proven is not None
        assert relied * (1 - 1e-5) < finding.proven <= relied * (1 + 1e-9)


def test_a_direction_between_those_of_the_design_has_a_proof_of_its_own(dome: Dome) -> None:
    job = job_of(dome, "three-d-earthquake")
    job = replace(job, loads=job.loads[:1])
    claimed = replace(claim(job, 0.5), between=((job.loads[0].id, "", -1),))
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
    quake, dead, known = job_of(dome, "three-d-earthquake"), job_of(dome, "three-d-finished-dry"), {}
    quake = replace(quake, loads=quake.loads[:1])
    layout = cut_blocks(dome, 12, len(quake.case.states))
    problem = Question(dome, quake, (12,), 0.8).problem(layout, Asked(quake.loads[0]))
    known[quake.loads[0], PLAIN] = layout, 1.0, problem, real(assemble(problem))
    problem = dead_problem(dome, dead.case, layout, 1.04)
    known[None, PLAIN] = layout, 1.04, problem, real(assemble(problem))
    for job, relied, shown in ((quake, 0.5, 0.8), (dead, 1.01, 1.04)):
        found = proven(dome, job, claim(job, relied), known)
        assert (found.relied, found.below, asked) == (relied, pytest.approx(shown, rel=1e-5), [])
    for key, (where, reserve, of, answer) in known.items():
        known[key] = where, reserve, of, replace(answer, forces=replace(answer.forces, shear=answer.forces.shear * 0.9))
    found = proven(dome, quake, claim(quake, 0.5), known)
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
        plain = job_of(dome, f"three-d-{kind}")
        job = joint_job(dome.design, replace(plain, loads=plain.loads[:of]))
        assert job is not None and job.required(dome.design) == 1.0
        required = dome.design.criteria.required[plain.criterion]
        found = proven(dome, job, claim(job, 0.3))
        data = json.loads(found.proofs[0])
        assert (found.why, data["reserve"]) == ("", block_places.FRICTION)
        wall = wall_of(dome, job, job.rows[0], job.loads[0])
        assert wall.layers[1].friction == pytest.approx(wall_of(dome, plain).layers[1].friction / required)
        # the same forces prove the load on whole capacities, as a weaker claim; the other way round they do not
        assert check_block_proof(data, replace(wall_of(dome, plain, PLAIN, job.loads[0]))).proven is not None
        whole = json.loads(proven(dome, replace(plain, loads=plain.loads[:of]), claim(plain, 0.3)).proofs[0])
        refused = check_block_proof(whole, wall)
        assert (refused.proven is None and "more friction" in refused.why) or "outside its" in refused.why


def test_rows_of_partial_factors_are_proven_with_their_weights() -> None:
    base = proof_design(DOOR, snow=0.3)
    required = FrozenMap(dict.fromkeys(base.criteria.required, 1.0) | {"overall reserve": 1.25})
    dome = build_dome(replace(base, criteria=Criteria("EN 1990", required)))
    job = joint_job(dome.design, job_of(dome, "three-d-finished-dry"))
    assert job is not None and [row.name for row in job.rows] == ["DA1-C1 unfavourable", "EQU unfavourable"]
    found = proven(dome, job, claim(job, 1.0))
    assert found.why == "" and len(found.proofs) == 2
    first, plain = json.loads(found.proofs[0]), block_weights(dome, job.case, cut_blocks(dome, 12))[1]
    assert first["blocks"][0][5] / block_places.FORCE == pytest.approx(1.35 * plain[0])
    assert check_block_proof(first, wall_of(dome, job, job.rows[1])).proven is None


def test_what_acts_together_is_proven_together() -> None:
    """Of ASCE 7: 1.6 S on one half with 0.5 W, 1.0 W with 0.5 S, 0.9 D with an earthquake. A proof of one row is none
    of another."""
    base = proof_design(snow=0.3, wind_pressure=0.3, earthquake=0.04)
    required = FrozenMap(dict.fromkeys(base.criteria.required, 1.0) | {"overall reserve": 1.25})
    dome = build_dome(replace(base, criteria=Criteria("ASCE 7 strength", required)))
    walls, data = [], []
    for kind, name in (
        ("snow", "1.2 D + 1.6 S + 0.5 W"),
        ("wind", "1.2 D + 1.0 W + 0.5 S"),
        ("earthquake", "0.9 D + 1.0 E"),
    ):
        job = joint_job(dome.design, job_of(dome, f"three-d-{kind}"))
        assert job is not None
        (row,) = (row for row in job.rows if row.name == name)
        load = next(load for load, other in job.asked() if other is row)
        one = replace(job, rows=(row,), loads=(load,))
        found = proven(dome, one, claim(one, 0.2))
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
    dome = build_dome(proof_design(buttresses=(Buttress(math.pi / 2, 0.6, 0.5, 0.8),)))
    job = job_of(dome, "three-d-finished-dry")
    assert len(proven(dome, job, claim(job, 1.02)).proofs) == 1


def test_what_cannot_be_held_is_never_a_pass(dome: Dome) -> None:
    for kind, too_much in (("finished-dry", 6.0), ("earthquake", 40.0)):
        job = job_of(dome, f"three-d-{kind}")
        found = proven(dome, job, claim(job, too_much))
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
    job = job_of(dome, "three-d-finished-dry")
    found = proven(dome, job, claim(job, 1.05))
    assert found.meets is None
    assert "not balanced" in found.why


def test_what_falls_short_needs_no_proof(dome: Dome) -> None:
    job = job_of(dome, "three-d-finished-dry")
    short = replace(claim(job, 1.05), required=1.25)
    assert proven(dome, job, short) is short


def test_what_is_left_is_taken_off(dome: Dome, dead: dict[str, Any]) -> None:
    """Balance by plain fractions, from the rows alone: the share left is what the finding is lowered by."""
    wall = wall_of(dome, job_of(dome, "three-d-finished-dry"))
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


def test_the_checker_stands_alone() -> None:
    for module in (blocks, block_faces, block_places, block_loads, block_footing, block_data):
        text = Path(str(module.__file__)).read_text(encoding="utf-8")
        imported = [line.split()[1] for line in text.splitlines() if line.startswith(("import ", "from "))]
        ours = [name for name in imported if name.startswith("shellcheck_earth")]
        known = ("block_faces", "block_places", "block_loads", "block_footing", "block_data")
        assert set(ours) <= {f"shellcheck_earth.mechanics.proof.{name}" for name in known}
        assert not {"numpy", "scipy", "clarabel"} & set(imported)
        assert len(text.splitlines()) < 300
