"""Block proofs that were forged: none is taken."""

from __future__ import annotations

import copy
import json
from collections.abc import Callable
from dataclasses import replace
from typing import Any

import pytest
from proof_domes import DOOR, LINTEL, claim, dead_proof, job_of, proof_design, proof_dome

from shellcheck_earth.design.design import Opening
from shellcheck_earth.geometry.courses import Dome, build_dome
from shellcheck_earth.loads.joint import PLAIN
from shellcheck_earth.mechanics.proof import block_places
from shellcheck_earth.mechanics.proof.blocks import check_block_proof
from shellcheck_earth.safety.blocks.proofs import proven, wall_of


@pytest.fixture(scope="module")
def dome() -> Dome:
    return proof_dome()


@pytest.fixture(scope="module")
def dead(dome: Dome) -> dict[str, Any]:
    return dead_proof(dome)


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
    "a face of a block that is not there": lambda d: d["patches"][-1].__setitem__(0, 10**6),
    "a face on a block that is not there": lambda d: d["patches"][-1].__setitem__(1, 10**6),
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
    finding = check_block_proof(forged, wall_of(dome, job_of(dome, "three-d-finished-dry")))
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
        other = build_dome(proof_design(*others, earthquake=0.1))
        finding = check_block_proof(dead, wall_of(other, job_of(other, "three-d-finished-dry")))
        assert finding.proven is None
    damp = check_block_proof(dead, wall_of(dome, job_of(dome, "three-d-finished-damp")))
    stage = check_block_proof(dead, wall_of(dome, job_of(dome, "three-d-forms-out")))
    assert damp.proven is None
    assert stage.proven is None


def test_forged_ties_and_loads_are_refused(dome: Dome) -> None:
    job = job_of(dome, "three-d-earthquake")
    wall = wall_of(dome, job, PLAIN, job.loads[0])
    data = json.loads(proven(dome, job, claim(job, 0.5)).proofs[0])
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
