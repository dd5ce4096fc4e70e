"""Block cases that a design demands, as the checker rebuilds them from its text: the same list, walls, directions."""

from __future__ import annotations

import copy
import json
import math
from collections.abc import Callable
from dataclasses import replace
from fractions import Fraction
from functools import cache
from math import pi
from typing import Any

import pytest
from block_designs import DESIGNS, FOLDER, HALL, OWN, PLAIN, SEED_BANK, SILENT
from near import near

from shellcheck_earth.geometry.courses import build_dome
from shellcheck_earth.geometry.reading import parse_design
from shellcheck_earth.loads.joint import fits
from shellcheck_earth.loads.side_loads import each_once
from shellcheck_earth.mechanics.proof import block_cases
from shellcheck_earth.mechanics.proof.block_cases import Demand, block_demands, block_faults
from shellcheck_earth.mechanics.proof.block_loads import Handed, Load
from shellcheck_earth.mechanics.proof.block_places import Wall
from shellcheck_earth.mechanics.proof.blocks import Finding, check_block_proof
from shellcheck_earth.mechanics.proof.courses import UNIT
from shellcheck_earth.mechanics.proof.reading import RefusedError, read
from shellcheck_earth.mechanics.proof.rebuild import WallCases
from shellcheck_earth.safety.blocks.jobs import joint_job, needed_jobs
from shellcheck_earth.safety.blocks.proofs import proof_name, wall_of

MOST_COMPARED = 600


@pytest.mark.parametrize("text", DESIGNS.values(), ids=DESIGNS)
def test_the_same_cases_and_walls_as_the_block_model_asks(text: str) -> None:
    design = parse_design(text)
    dome, theirs = build_dome(design), {}
    for plain in needed_jobs(dome):
        for job in (None if plain.only_joint else plain, joint_job(design, plain)):
            for load in [load for load, _ in each_once(design, job.loads)] if job and job.loads else [None]:
                for row in job.rows if job else ():
                    if load is None or fits(load, row):
                        theirs[proof_name(job, load, row)] = (job, load, row)
    mine = {demand.name: demand for demand in block_demands(read(text))}
    assert set(mine) == set(theirs)
    # of thousands that are handed in alike some hundreds are compared, from all over the list
    for name, (job, load, row) in list(theirs.items())[:: max(len(theirs) // MOST_COMPARED, 1)]:
        wall, demand = wall_of(dome, job, row, load), mine[name]
        for layer, other in zip(demand.wall.layers, wall.layers, strict=True):
            assert near(layer, other, 1e-9, 1e-9), (name, layer, other)
        for clear, other_clear in zip(demand.wall.openings, wall.openings, strict=True):
            plain, other_plain = (replace(one, cuts=(), bags=()) for one in (clear, other_clear))
            assert near(plain, other_plain, 1e-6, 1e-12), (name, plain, other_plain)
            assert near(clear.cuts, other_clear.cuts, 1e-6, 1e-9) and any(clear.cuts)
            assert near(clear.bags, other_clear.bags, 1e-6, 1e-9)
        assert near(demand.wall.reach, wall.reach, 1e-6, 1e-12)
        grounds = [(one.ground or 0.0, one.width, one.bears or 0.0) for one in (demand.wall, wall)]
        assert near(*grounds, 1e-6, 1e-12), (name, grounds)
        assert (wall.ground is None) is not (bool(load) or row.sliding > 0) and (wall.bears is None) is not (
            row.bearing > 0
        )
        _alike(demand.wall.load, wall.load)
        _handed_alike(demand.wall.handed, wall.handed)
        required = row.load if job.joint and load else job.required(design)
        assert float(demand.least) == pytest.approx(required, rel=1e-15)
        assert demand.sideways is bool(job.loads)


def _handed_alike(mine: tuple[Handed, ...], theirs: tuple[Handed, ...]) -> None:
    assert len(mine) == len(theirs)
    by_course, place = (sorted(some, key=lambda one: (one.course, one.half)) for some in (mine, theirs))
    for a, b in zip(by_course, place, strict=True):
        assert near(a, b, 1e-9, 1e-12), (a, b)


def _alike(mine: Load | None, theirs: Load | None) -> None:
    assert (mine is None) is (theirs is None)
    if mine is None or theirs is None:
        return
    assert mine.kind == theirs.kind
    for name in ("bearing", "amount", "lee", "inside", "vertical", "ground", "even_to", "permanent", "share"):
        assert near(getattr(mine, name), getattr(theirs, name), 1e-9, 1e-9), (name, mine, theirs)
    assert near(mine.own, theirs.own, 1e-12, 1e-12)
    _handed_alike(mine.shaken_with, theirs.shaken_with)
    _alike(mine.beside, theirs.beside)
    assert near(mine.weak, theirs.weak, 1e-6, 1e-12)
    assert near(mine.wire, theirs.wire, 1e-9, 1e-12) and len(mine.wire) == len(mine.weak)
    assert near(mine.added, theirs.added, 1e-6, 1e-9)


def _inside(text: str, job: str) -> dict[str, tuple[float, float]]:
    """(inside, even_to [deg]) of each wind towards 0 deg without suction in the lee that a job demands."""
    first, found = f"{job}, wind-000-still-", {}
    for one in block_demands(read(text)):
        if one.name.startswith(first) and one.wall.load:
            load = one.wall.load
            found[one.name.removeprefix(first)] = load.inside, round(math.degrees(load.even_to), 9)
    return found


def test_pressure_and_suction_inside_are_two_values_and_both_cases_are_demanded() -> None:
    """EN goes down to -0.3 where everything is shut; a door open is +-0.55, an open top +-0.6."""
    shut = {"out": (0.2, 0.0), "out-even": (0.2, 25.0), "in": (-0.3, 0.0), "in-even": (-0.3, 25.0)}
    assert _inside(PLAIN, "three-d-wind") == shut
    door = {word: (0.55 if value > 0 else -0.55, case) for word, (value, case) in shut.items()}
    assert _inside(SILENT, "three-d-wind") == door
    top = {word: (0.6 if value > 0 else -0.6, case) for word, (value, case) in shut.items()}
    assert _inside(SILENT, "three-d-forms-out-wind") == top


def test_nothing_is_demanded_of_a_dome_that_needs_no_blocks() -> None:
    bare = PLAIN.replace('wind_pressure = "0.6 kPa"', HALL).replace(
        "[building]\n", '[building]\nscaffold_above = "0 m"\n'
    )
    assert block_demands(read(bare)) == () and block_faults(read(bare), [], wanted=True) == []
    with pytest.raises(RefusedError, match="one proof for each block case"):
        block_faults(read(bare), [{"case": "three-d-finished-dry"}], wanted=True)


@cache
def published() -> dict[str, Any]:
    data: dict[str, Any] = json.loads((FOLDER / "certificate.json").read_text(encoding="utf-8"))
    assert data["verdict"] == "meets"
    return {one["case"]: one for one in data["blocks"]}


def test_the_published_dome_with_openings_is_proven() -> None:
    assert block_faults(read(SEED_BANK), list(published().values()), wanted=True) == []


FORGED: dict[str, Callable[[dict[str, Any]], None]] = {
    "a reserve written in": lambda one: one.update(reserve=2 * one["reserve"]),
    "lighter blocks": lambda one: [block.__setitem__(5, block[5] * 9 // 10) for block in one["blocks"]],
    "a block taken out of its face": lambda one: one["patches"][0].__setitem__(0, one["patches"][0][0] + 1),
    "more friction": lambda one: [patch.__setitem__(14, patch[14] * 2) for patch in one["patches"]],
    "more strength": lambda one: [patch.__setitem__(15, patch[15] * 2) for patch in one["patches"]],
    "a face left out": lambda one: (one["patches"].pop(), one["forces"].pop()),
    "a force changed": lambda one: one["forces"][5].__setitem__(2, one["forces"][5][2] + one["blocks"][0][5] // 1000),
    "another question": lambda one: one.update(factor=one["reserve"]),
    "not a number": lambda one: one.update(reserve="1.5"),
}


@pytest.mark.parametrize("name", FORGED)
def test_no_forged_proof_is_taken(name: str) -> None:
    case = "three-d-finished-dry"
    entry = copy.deepcopy(published()[case])
    FORGED[name](entry)
    (demand,) = (one for one in block_demands(read(SEED_BANK)) if one.name == case)
    finding = check_block_proof(entry, demand.wall)
    honest = check_block_proof(published()[case], demand.wall)
    assert honest.proven is not None and honest.proven >= demand.least
    # a question of a load from one side is told by its factor, which `block_faults` compares
    assert finding.proven is None or name == "another question"
    assert block_faults(read(SEED_BANK), [entry], wanted=True)[0].startswith(f"block case {case}")


def test_no_proof_serves_another_dome() -> None:
    for old, new in (
        ("value = 0.62, source", "value = 0.50, source"),
        ('filled_width = "520 mm"', 'filled_width = "500 mm"'),
        ('width = "0.8 m"', 'width = "1.2 m"'),
        ('value = "1750 kg/m3"', 'value = "1950 kg/m3"'),
    ):
        assert old in SEED_BANK
        said = block_faults(read(SEED_BANK.replace(old, new)), [published()["three-d-finished-dry"]], wanted=True)
        assert "three-d-finished-dry is not proven:" in said[0]


def test_a_pass_needs_every_case_and_no_other() -> None:
    design = read(SILENT)
    missing = block_faults(design, [], wanted=True)
    assert missing == [f"block case {one.name} is not proven" for one in block_demands(design)]
    assert block_faults(design, [], wanted=False) == ["its block cases are not proven"]
    (said, *_), rest = block_faults(design, [{"case": "three-d-finished-dry"}], wanted=True), missing[1:]
    assert "no proof of a block state" in said and len(rest) == len(missing) - 1
    twice = [{"case": "three-d-worker, worker"}] * 2
    for entries in ({}, ["three-d-finished-dry"], [{"case": "three-d-finished-wet"}], twice):
        with pytest.raises(RefusedError):
            block_faults(design, entries, wanted=True)


def _said(monkeypatch: pytest.MonkeyPatch, proven: Callable[[str], Fraction | None]) -> list[str]:
    """What is missing where every case but the plain multiples of loads has a proof, of what `proven` says."""
    design = read(SILENT)
    held = [one for one in block_demands(design) if not one.instead]
    entries = [{"case": one.name, "factor": int(one.sideways)} for one in held]
    monkeypatch.setattr(block_cases, "check_block_proof", lambda entry, *_: Finding(proven(entry["case"]), "no"))
    return block_faults(design, entries, wanted=True)


def test_divided_capacities_prove_a_multiple_only_where_they_reach_it(monkeypatch: pytest.MonkeyPatch) -> None:
    """Of wind 1.5 is required, of a worker 1.25; 1.5/1.1 of the wind, once of a worker, for the joint question."""
    assert _said(monkeypatch, lambda _: Fraction(3, 2)) == []
    short = _said(monkeypatch, lambda name: Fraction(5, 4) if "wind" not in name else Fraction(149, 100))
    plain = [one.name for one in block_demands(read(SILENT)) if one.instead and "wind" in one.name]
    assert short == [f"block case {name} is not proven" for name in plain] and len(plain) == 96
    worker = _said(monkeypatch, lambda name: Fraction(11, 10) if "worker" in name else Fraction(3, 2))
    assert [one for one in worker if "joint" in one] == [] and len(worker) == 5
    below = _said(monkeypatch, lambda name: Fraction(99, 100) if "worker-joint, worker," in name else Fraction(3, 2))
    assert below == [
        "block case three-d-worker, worker is not proven",
        "block case three-d-worker-joint, worker, all capacities is proven to 0.99, 1 is required",
    ]
    nothing = _said(monkeypatch, lambda name: None if "wind" in name else Fraction(5, 4))
    assert len(nothing) == 192


def test_a_direction_between_is_not_demanded_and_held_to_the_same(monkeypatch: pytest.MonkeyPatch) -> None:
    """Turned by a multiple of 22.5 degrees short of the next direction; nothing else is taken."""
    design, seen = read(SILENT), {}
    whole = [{"case": one.name, "factor": int(one.sideways)} for one in block_demands(design)]
    short = ""

    def checked(entry: dict[str, Any], wall: Wall, *_: object) -> Finding:
        seen[entry["case"]] = wall
        return Finding(Fraction(99, 100) if entry["case"] == short else Fraction(2))

    monkeypatch.setattr(block_cases, "check_block_proof", checked)
    base = "three-d-wind-joint, wind-000-suction-out{}, all capacities"
    for steps in (-3, -2, -1, 1, 2, 3):
        name = base.format(f" turned {22.5 * steps:+g} deg")
        assert block_faults(design, [*whole, {"case": name, "factor": 1}], wanted=True) == []
        (mine, theirs) = (seen[one].load for one in (name, base.format("")))
        assert mine is not None and theirs is not None
        assert mine.bearing == pytest.approx((theirs.bearing + pi / 8 * steps) % (2 * pi))
        assert replace(mine, bearing=theirs.bearing) == theirs and seen[name].layers == seen[base.format("")].layers
        short = name
        assert "is proven to 0.99" in block_faults(design, [*whole, {"case": name, "factor": 1}], wanted=True)[0]
        short = ""
    for off in (0.0, 90.0, 20.0, -112.5):
        with pytest.raises(RefusedError):
            block_faults(design, [*whole, {"case": base.format(f" turned {off:+g} deg"), "factor": 1}], wanted=True)
    worker = "three-d-worker-joint, worker turned +22.5 deg, all capacities"
    with pytest.raises(RefusedError):
        block_faults(design, [*whole, {"case": worker, "factor": 1}], wanted=True)


def test_only_a_row_with_weights_as_they_are_serves_the_multiple() -> None:
    text = SILENT.replace('set = "common practice"', 'set = "EN 1990"')
    demands = {one.name: one for one in block_demands(read(text))}
    one = demands["three-d-wind, wind-000-suction-out"]
    names = ("DA1-C1 favourable", "DA1-C2", "on the ground")
    assert one.instead == tuple(f"three-d-wind-joint, wind-000-suction-out, {name}" for name in names)
    least = {name.rpartition(", ")[2]: float(demand.least) for name, demand in demands.items() if "suction-out" in name}
    assert least["DA1-C1 favourable"] == 1.5 and least["DA1-C2"] == 1.3 and least["EQU favourable"] == 1.5
    assert demands["three-d-finished-dry-joint, EQU unfavourable"].least == 1


def _of(text: str, job: str) -> dict[str, Demand]:
    return {
        one.name.removeprefix(f"{job}, "): one for one in block_demands(read(text)) if one.name.startswith(f"{job}, ")
    }


def test_wind_is_demanded_of_the_dry_dome_and_of_the_damp_one() -> None:
    dry, damp = _of(SILENT, "three-d-wind"), _of(SILENT, "three-d-wind-damp")
    assert set(dry) == set(damp) and len(dry) == 24
    for name, one in dry.items():
        light, weak = one.wall.layers[5], damp[name].wall.layers[5]
        assert light.weight < weak.weight and light.strength > weak.strength
    moist = SILENT.replace("service_moisture = ", "# service_moisture = ")
    assert moist != SILENT and _of(moist, "three-d-wind-damp") == {}


def test_what_is_demanded_beside_a_load_by_hand() -> None:
    """ASCE 7 strength: 1.2 D + 1.0 W with 0.5 S all around; 1.6 S on one half with 0.5 W towards it; 0.9 D against wind
    and earthquake, whose mass is the dome's as it is; 1.2 D + 1.0 E + 0.2 S. No row has snow on a half and 1.0 W less
    than 0.5 S: that one is asked as well."""
    text = DESIGNS["strength level, every load"]
    plain = _of(text, "three-d-wind")["wind-000-still-out"].wall
    wind, snow = _of(text, "three-d-wind-joint"), _of(text, "three-d-snow-joint")
    lifted = wind["wind-000-still-out, 0.9 D + 1.0 W"]
    assert lifted.least == 1 and lifted.wall.layers[7].weight == pytest.approx(0.9 * plain.layers[7].weight)
    snowed = wind["wind-000-still-out, 1.2 D + 1.0 W + 0.5 S"]
    (design,) = [WallCases(read(text))]
    weights = [state.dead[0] / (6 * UNIT**4) for state in design.finished_states("dry", snow=True)]
    lies = [state.imposed[0] / (6 * UNIT**4) for state in design.finished_states("dry", snow=True)]
    for layer, weight, on in zip(snowed.wall.layers, weights, lies, strict=True):
        assert layer.weight == pytest.approx(1.2 * weight + 0.5 * on)
    assert {name.partition(", ")[2] for name in wind} == {
        "1.2 D + 1.0 W", "0.9 D + 1.0 W", "1.2 D + 1.0 W + 0.5 S", "1.2 D + 1.6 S + 0.5 W", "on the ground",
    }  # fmt: skip
    drifted = snow["snow-half-000-wind-suction-in-even, 1.2 D + 1.6 S + 0.5 W"]
    load = drifted.wall.load
    assert load is not None and load.beside is not None and drifted.least == Fraction("1.6")
    assert (load.share, load.beside.lee, load.beside.amount) == (0.5 / 1.6, -0.5, 0.6)
    assert "snow-half-000, 1.2 D + 1.6 S" in snow and "snow-half-000, 1.2 D + 1.6 S + 0.5 W" not in snow
    quake = _of(text, "three-d-earthquake-joint")
    shaken = quake["earthquake-000-up, 0.9 D + 1.0 E"].wall.load
    assert shaken is not None and shaken.own == pytest.approx([1 / 0.9] * len(weights)) and shaken.permanent == 0.9
    beside = quake["earthquake-000-up, 1.2 D + 1.0 E + 0.2 S"].wall.load
    damp = [s.dead[0] / (6 * UNIT**4) for s in design.finished_states("damp", snow=True)]
    ratio = [(w + 0.2 * on) / (1.2 * w + 0.2 * on) for w, on in zip(damp, lies, strict=True)]
    assert beside is not None and beside.own == pytest.approx(ratio)


@pytest.mark.parametrize("text", [DESIGNS["IS 1893 and a row of its own"], DESIGNS["strength level, every load"]])
def test_no_proof_of_a_row_may_be_dropped(monkeypatch: pytest.MonkeyPatch, text: str) -> None:
    """A certificate with a proof of every demand but one is refused, whichever it is; so is one from which a row was
    left out of the design file, for its proofs are then of no demand."""
    design = read(text)
    demands = block_demands(design)
    entries = [{"case": one.name, "factor": int(one.sideways)} for one in demands]
    monkeypatch.setattr(block_cases, "check_block_proof", lambda *_: Finding(Fraction(2), ""))
    monkeypatch.setattr(block_cases, "block_demands", lambda _: demands)
    assert block_faults(design, entries, wanted=True) == []
    for k, one in list(enumerate(demands))[:: max(len(demands) // 60, 1)]:
        if not one.instead:  # what follows from a row with every capacity divided needs no proof of its own
            left = block_faults(design, [*entries[:k], *entries[k + 1 :]], wanted=True)
            assert f"block case {one.name} is not proven" in left
    monkeypatch.undo()
    if OWN in text:
        with pytest.raises(RefusedError, match="one proof for each block case"):
            block_faults(read(text.replace(OWN, "")), entries, wanted=True)
