"""Earth against one side of the wall: what a file says of it, and proofs that no forgery passes."""

from __future__ import annotations

import copy
import json
import math
from collections.abc import Callable
from dataclasses import replace
from typing import Any

import pytest
from footings import claim
from forged import OF_HANDED, scaled
from one_side import BANK, DRAINS, banked
from samples import sturdy

from shellcheck_earth.basics.errors import InputError
from shellcheck_earth.design.design import Backfill, Design
from shellcheck_earth.design.digest import design_sha256
from shellcheck_earth.design.write import design_toml
from shellcheck_earth.geometry.courses import Dome, build_dome
from shellcheck_earth.geometry.reading import parse_design
from shellcheck_earth.loads.joint import PLAIN, Row
from shellcheck_earth.mechanics.proof.block_cases import block_demands
from shellcheck_earth.mechanics.proof.blocks import check_block_proof
from shellcheck_earth.mechanics.proof.reading import RefusedError, read
from shellcheck_earth.safety.blocks.jobs import Job, jobs, joint_job
from shellcheck_earth.safety.blocks.proofs import proof_name, proven, wall_of

# -- the file --------------------------------------------------------------------------------------------------------


def test_a_file_says_it_and_earth_all_around_keeps_its_digest() -> None:
    again = parse_design(design_toml(banked()))
    assert again.backfill is not None and BANK.from_bearing is not None
    assert again.backfill.from_bearing == pytest.approx(BANK.from_bearing)
    assert (again.backfill.middle, again.backfill.half) == pytest.approx((math.pi, math.pi / 3))
    around = replace(BANK, from_bearing=None, to_bearing=None)
    assert design_sha256(banked(around)) != design_sha256(banked()) and around.all_around
    pinned = replace(sturdy(), backfill=Backfill(height=0.5, drained=DRAINS))
    assert '_bearing"' not in json.dumps(json.loads(_content(pinned))["backfill"])
    over = replace(BANK, from_bearing=math.radians(300.0), to_bearing=math.radians(60.0))
    assert (over.middle % (2 * math.pi), over.half) == pytest.approx((0.0, math.pi / 3), abs=1e-9)
    assert over.covers(0.2) and over.covers(-1.0) and not over.covers(math.pi)


def _content(design: Design) -> str:
    from shellcheck_earth.design.digest import design_content

    return design_content(design)


@pytest.mark.parametrize(
    ("old", "new", "path"),
    [
        ('to_bearing = "240 deg"\n', "", "backfill.to_bearing"),
        ('from_bearing = "120 deg"\n', "", "backfill.from_bearing"),
        ('"240 deg"', '"125 deg"', "backfill.to_bearing"),
        ('"240 deg"', '"95 deg"', "backfill.to_bearing"),
        ('"240 deg"', '"120 deg"', "backfill.to_bearing"),
        ('"240 deg"', '"2 m"', "backfill.to_bearing"),
        ("to_bearing", "until", "backfill.until"),
        ("floor_above_ground = 0.15", "floor_above_ground = -0.2", "backfill.from_bearing"),
    ],
)
def test_both_readers_refuse(old: str, new: str, path: str) -> None:
    text = design_toml(banked())
    text = text.replace('"120.0 deg"', '"120 deg"')
    for line in text.splitlines():
        if line.startswith(("from_bearing", "to_bearing")):
            text = text.replace(
                line, line.split(" = ")[0] + (' = "120 deg"' if line.startswith("from") else ' = "240 deg"')
            )
        if line.startswith("floor_above_ground"):
            text = text.replace(line, "floor_above_ground = 0.15")
    text = text.replace(old, new).replace("floor_above_ground = 0.15", 'floor_above_ground = "0.15 m"')
    text = text.replace("floor_above_ground = -0.2", 'floor_above_ground = "-0.2 m"')
    with pytest.raises(InputError) as caught:
        parse_design(text)
    assert path in [problem.path for problem in caught.value.problems]
    with pytest.raises(RefusedError):
        read(text)


# -- proofs ----------------------------------------------------------------------------------------------------------


@pytest.fixture(scope="module")
def dome() -> Dome:
    return build_dome(parse_design(design_toml(banked(wind_pressure=0.5))))


@pytest.fixture(scope="module")
def proofs(dome: Dome) -> dict[str, tuple[Job, Row, dict[str, Any]]]:
    """Of the dead load beside it and its weight on ledges, of the ground under it, and of a wind beside it."""
    known = {job.id.removeprefix("three-d-"): job for job in jobs(dome)}
    out = {}
    for name, job, row, relied in (
        ("reserve", known["finished-dry-earth-2"], PLAIN, 1.02),
        ("ground", joint_job(dome.design, known["finished-dry-earth-1"]), None, 1.0),
        ("wind", known["wind-earth-1"], PLAIN, 0.3),
    ):
        assert job is not None
        row = job.rows[-1] if row is None else row
        job = replace(job, loads=job.loads[:1], rows=(row,))
        found = proven(dome, job, replace(claim(job, relied), required=relied))
        assert found.why == "" and found.relied == pytest.approx(relied, rel=1e-4), name
        out[name] = job, row, json.loads(found.proofs[0])
    return out


def _pressed_back(data: dict[str, Any]) -> None:
    """Pressed from the other side too, where nothing lies."""
    rows = data["handed"]
    there, free = (next(k for k, row in enumerate(rows) if any(row) == pressed) for pressed in (True, False))
    rows[free] = [-v for v in rows[there]]


FORGERIES: dict[str, Callable[[dict[str, Any]], Any]] = {
    **OF_HANDED,
    "as if all of it were relied on": lambda d: scaled(d, 0.53),
    "from the other side too": _pressed_back,
    "turned to the other side": lambda d: [row.__setitem__(slice(0, 2), [-row[0], -row[1]]) for row in d["handed"]],
}  # fmt: skip


@pytest.mark.parametrize("which", ["reserve", "ground", "wind"])
@pytest.mark.parametrize("name", FORGERIES)
def test_no_forgery_of_it_is_taken(
    dome: Dome, proofs: dict[str, tuple[Job, Row, dict[str, Any]]], name: str, which: str
) -> None:
    job, row, data = proofs[which]
    wall = wall_of(dome, job, row, job.loads[0] if job.loads else None)
    assert check_block_proof(data, wall).proven is not None
    forged = copy.deepcopy(data)
    FORGERIES[name](forged)
    assert forged != data
    assert "handed" in check_block_proof(forged, wall).why


def test_the_proof_is_of_this_side_and_no_other(proofs: dict[str, tuple[Job, Row, dict[str, Any]]]) -> None:
    """Before the wall that the checker rebuilds: of the design's own bearings, height and earth."""
    own, *others = (
        {one.name: one.wall for one in block_demands(read(design_toml(banked(earth, wind_pressure=0.5))))}
        for earth in (
            BANK, replace(BANK, from_bearing=math.radians(121.0)), replace(BANK, to_bearing=math.radians(180.0)),
            replace(BANK, height=0.41), replace(BANK, compacted=True),
            replace(BANK, from_bearing=None, to_bearing=None),
        )
    )  # fmt: skip
    for job, row, data in proofs.values():
        name = proof_name(job, job.loads[0] if job.loads else None, row)
        assert check_block_proof(data, own[name]).proven is not None
        for other in others:
            wall = other.get(name) or other[name.replace("-earth-1-joint, on the ground", "-earth-1")]
            assert "handed" in check_block_proof(data, wall).why
