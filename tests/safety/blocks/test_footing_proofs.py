"""A footing under blocks in proofs: what the checker demands, and that no forgery passes."""

from __future__ import annotations

import copy
import json
import math
from collections.abc import Callable
from dataclasses import replace
from typing import Any

import pytest
from footings import claim, founded

from shellcheck_earth.design.design import Footing
from shellcheck_earth.design.write import design_toml
from shellcheck_earth.geometry.blocks import cut_blocks
from shellcheck_earth.geometry.courses import Dome, build_dome
from shellcheck_earth.geometry.reading import parse_design
from shellcheck_earth.loads.cases import case_of
from shellcheck_earth.loads.joint import Row, ground_limits
from shellcheck_earth.mechanics.blocks.weights import block_weights
from shellcheck_earth.mechanics.proof.block_cases import block_demands
from shellcheck_earth.mechanics.proof.block_footing import under_footing
from shellcheck_earth.mechanics.proof.block_places import FORCE, FRICTION, KINDS, LENGTH, STRENGTH, RefusedError, Wall
from shellcheck_earth.mechanics.proof.blocks import check_block_proof
from shellcheck_earth.mechanics.proof.reading import read
from shellcheck_earth.safety.blocks.jobs import Job, jobs, joint_job
from shellcheck_earth.safety.blocks.proofs import proof_name, proven, wall_of

SHAKEN = {"earthquake": 0.06}


@pytest.fixture(scope="module")
def dome() -> Dome:
    return build_dome(parse_design(design_toml(founded(**SHAKEN))))


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
        found = proven(dome, job, replace(claim(job, relied), required=relied))
        assert found.why == "" and found.relied == pytest.approx(relied, rel=1e-4), name
        out[name] = job, row, json.loads(found.proofs[0])
    return out


def _wall(dome: Dome, proof: tuple[Job, Row, dict[str, Any]]) -> Wall:
    return wall_of(dome, proof[0], proof[1], proof[0].loads[0] if proof[0].loads else None)


def test_the_proof_holds_before_the_wall_that_the_checker_rebuilds(
    dome: Dome, proofs: dict[str, tuple[Job, Row, dict[str, Any]]]
) -> None:
    demanded = {one.name: one for one in block_demands(read(design_toml(dome.design)))}
    none = {one.name: one for one in block_demands(read(design_toml(founded(None, **SHAKEN))))}
    other = {one.name: one for one in block_demands(read(design_toml(founded(Footing(0.7, 0.31), **SHAKEN))))}
    for job, row, data in proofs.values():
        name = proof_name(job, job.loads[0] if job.loads else None, row)
        assert data["case"] == name and check_block_proof(data, demanded[name].wall).proven is not None
        assert "footing" in check_block_proof(data, none[name].wall).why
        assert "footing" in check_block_proof(data, other[name].wall).why
    plain = demanded["three-d-finished-damp"]
    assert plain.wall.footing is None and "footing" in check_block_proof(proofs["ground"][2], plain.wall).why
    # and what rests on the ground itself is no proof of a wall on a footing
    bare = build_dome(parse_design(design_toml(founded(None, **SHAKEN))))
    job = joint_job(bare.design, next(job for job in jobs(bare) if job.id == "three-d-finished-damp"))
    assert job is not None
    found = proven(bare, replace(job, rows=job.rows[-1:]), replace(claim(job, 1.0), required=1.0))
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


def _turned(data: dict[str, Any], by: float) -> None:
    """One piece by so much further round than its block [rad]."""
    piece = data["blocks"][_pieces(data)[2]]
    r, bearing = math.hypot(piece[2], piece[3]), math.atan2(piece[2], piece[3]) + by
    piece[2], piece[3] = round(r * math.sin(bearing)), round(r * math.cos(bearing))


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
    "one piece aside": lambda d: _turned(d, 0.02),
    "one piece aside the other way": lambda d: _turned(d, -0.02),
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


def test_a_face_on_a_footing_that_no_design_has_is_refused(dome: Dome) -> None:
    bare = replace(_wall(dome, _plain(dome)), footing=None)
    with pytest.raises(RefusedError, match="on a footing where there is none"):
        under_footing(4, [0, -1], [[0, KINDS.index("footing"), LENGTH, 0, 0, FORCE]], bare, 1.0)


def _plain(dome: Dome) -> tuple[Job, Row, dict[str, Any]]:
    return next(job for job in jobs(dome) if job.id == "three-d-finished-damp"), Row(), {}


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
