"""One person on one side of the top ring: asked wherever somebody stands on the wall, up to a scaffold."""

from __future__ import annotations

import hashlib
import json
from dataclasses import replace
from itertools import pairwise
from pathlib import Path
from types import SimpleNamespace
from typing import Any

import pytest
from samples import sturdy
from small_store import quiet

from shellcheck_earth.design.design import Design, Opening
from shellcheck_earth.design.write import design_toml
from shellcheck_earth.geometry.courses import Dome, build_dome
from shellcheck_earth.loads.cases import dead_cases
from shellcheck_earth.loads.crew import highest_stood_on, stood_on
from shellcheck_earth.loads.model import needs_blocks, needs_more_than_crew
from shellcheck_earth.loads.side_loads import side_loads
from shellcheck_earth.mechanics.proof.block_cases import block_demands, block_faults
from shellcheck_earth.mechanics.proof.check import certificate_text, recheck_texts
from shellcheck_earth.mechanics.proof.doubts import doubts
from shellcheck_earth.mechanics.proof.reading import read
from shellcheck_earth.safety import worst
from shellcheck_earth.safety.blocks import solve
from shellcheck_earth.safety.blocks.jobs import Job, needed_jobs
from shellcheck_earth.safety.blocks.sideways import sideways_case
from shellcheck_earth.safety.blocks.solve import block_cases
from shellcheck_earth.safety.check import check
from shellcheck_earth.safety.doubts import doubts_of
from shellcheck_earth.safety.worst import outcome

H = 0.135


def stood_on_up_to(height: float | None, worker: float = 1.5, **changes: object) -> Design:
    """The sturdy classroom with a scaffold above a height over the floor [m] (None: nothing is said of one)."""
    design = sturdy()
    building = replace(design.building, worker=worker, scaffold_above=height)
    return replace(design, building=building, **changes)  # type: ignore[arg-type]


def asked(design: Design) -> list[str]:
    return [job.id for job in needed_jobs(build_dome(design))]


@pytest.mark.parametrize(
    ("height", "worker", "laid", "highest"),
    [
        (None, 1.5, None, 24),
        (None, 0.0, None, None),
        (0.0, 1.5, None, None),
        (H - 1e-3, 1.5, None, None),
        (H, 1.5, None, 1),
        (9 * H - 5e-7, 1.5, None, 9),
        (9 * H - 5e-6, 1.5, None, 8),
        (9 * H + 0.5 * H, 1.5, None, 9),
        (9 * H, 1.5, 9, 9),
        (9 * H, 1.5, 10, None),
        (30.0, 1.5, None, 24),
    ],
)
def test_the_highest_ring_that_somebody_stands_on(
    height: float | None, worker: float, laid: int | None, highest: int | None
) -> None:
    design = stood_on_up_to(height, worker)
    dome: Any = build_dome(design)
    if laid is not None:  # as of a wall that was found so high
        building = SimpleNamespace(**{**vars(design.building), "laid": laid})
        dome = SimpleNamespace(design=SimpleNamespace(building=building), courses=dome.courses, floor=dome.floor)
    assert highest_stood_on(dome) == highest
    if laid is None:
        stood = [course.number for course in dome.courses if course.number >= 1 and stood_on(dome, course)]
        assert stood == list(range(1, (highest or 0) + 1))


def test_the_height_is_over_the_floor_not_over_the_springing() -> None:
    """With a stem of two courses the same ring stands 270 mm higher over the floor."""
    design = stood_on_up_to(9 * H)
    stem = replace(design, dome=replace(design.dome, springing_above_floor=2 * H))
    assert highest_stood_on(build_dome(stem)) == 7
    demanded = {one.name.partition(", ")[0] for one in block_demands(read(design_toml(stem)))}
    assert demanded == {"three-d-stage-07-worker", "three-d-stage-07-worker-joint"}


@pytest.mark.parametrize(
    ("height", "names"),
    [
        (None, ["three-d-all-laid-worker", "three-d-worker"]),
        (9 * H, ["three-d-stage-09-worker"]),
        (30.0, ["three-d-all-laid-worker", "three-d-worker"]),
        (0.0, []),
    ],
)
def test_what_is_asked_of_a_dome_of_whole_rings(height: float | None, names: list[str]) -> None:
    design = stood_on_up_to(height)
    assert asked(design) == names and not needs_more_than_crew(design)
    assert needs_blocks(build_dome(design)) == bool(names)
    demanded = {one.name.partition(", ")[0].removesuffix("-joint") for one in block_demands(read(design_toml(design)))}
    assert demanded == set(names)


@pytest.mark.parametrize(
    ("height", "names"),
    [
        (None, ["three-d-forms-out-worker", "three-d-all-laid-worker", "three-d-worker"]),
        (14.5 * H, ["three-d-forms-out-worker", "three-d-stage-14-worker"]),
        (11 * H, ["three-d-forms-out-worker"]),
        (9 * H, ["three-d-stage-09-worker"]),
        (0.0, []),
    ],
)
def test_what_is_asked_of_a_dome_with_a_door(height: float | None, names: list[str]) -> None:
    """Its head is closed by course 11: over it where forms come out, and on every ring above that is stood on."""
    door = Opening("door", 0.3, 0.0, 0.7, 1.2, "round")
    dome = build_dome(stood_on_up_to(height, openings=(door,)))
    found = [job for job in needed_jobs(dome) if job.loads and job.loads[0].kind == "worker"]
    assert [job.id for job in found] == names
    assert all(load.bearing == pytest.approx(0.3) for job in found for load in job.loads)


@pytest.mark.parametrize(
    ("height", "resting"),
    [
        (None, {"strength_dry", "strength_as_placed", "strength_wet", "friction", "friction_wet", "edge_rounding"}),
        (9 * H, {"strength_as_placed", "friction", "edge_rounding"}),
        (0.0, set()),
    ],
)
def test_blocks_of_him_rest_on_what_is_fresh_where_he_stands_on_nothing_else(
    height: float | None, resting: set[str]
) -> None:
    """What nobody measured is doubted where he is asked with it, by both programmes; the wire's force has no range
    below what the design counts on here."""
    design = stood_on_up_to(height, bases={})
    mine = {one.path for one in doubts_of(build_dome(design)) if one.kind == "blocks rest on it"}
    theirs = {one.split()[0] for one in doubts(read(design_toml(design))) if one.endswith("block cases rest on it")}
    assert mine == theirs
    of_wire = {"wire_breaking_load", "friction_no_wire"}
    assert {path.partition(".")[2] for path in mine} - of_wire == resting
    assert ("beds.friction_no_wire" in mine) == (height is None)
    wet = replace(design, fill=replace(design.fill, placing_moisture=0.19))  # beds as slick as they get, from the first
    slick = {one.path for one in doubts_of(build_dome(wet)) if one.kind == "blocks rest on it"}
    assert slick == {one.split()[0] for one in doubts(read(design_toml(wet))) if one.endswith("block cases rest on it")}
    assert ("beds.friction_wet" in slick) == (height != 0.0)


def test_a_crew_all_around_is_asked_of_every_ring_all_the_same() -> None:
    rings = [case.id for case in dead_cases(build_dome(stood_on_up_to(0.0))) if case.crew]
    assert len(rings) == 24 and rings == [case.id for case in dead_cases(build_dome(stood_on_up_to(None))) if case.crew]


def held(dome: Dome, number: int) -> float:
    """How much one worker is held on a fresh stage, every capacity divided by 1.25, ordinary friction, 12 a ring."""
    case = next(case for case in dead_cases(dome) if case.id == f"stage-{number:02d}")
    loads = tuple(load for load in side_loads(dome.design, 0.0, open_top=True) if load.kind == "worker")
    return sideways_case(dome, Job("one", "One", "overall reserve", case, loads), (12,)).associated or 0.0


def test_the_higher_the_ring_the_less_it_holds_of_him() -> None:
    """Why the highest ring stands for all that are stood on; up to the end of the search lower ones are alike."""
    dome = build_dome(stood_on_up_to(None))
    found = [held(dome, number) for number in (6, 12, 16, 19, 22, 24)]
    assert all(higher <= lower * 1.001 for lower, higher in pairwise(found))
    assert found[-1] < 0.6 * found[0]


@pytest.fixture(scope="module")
def answers() -> dict[str, str]:
    """Verdict of the sturdy classroom by what is said of a scaffold."""
    heights = {"nothing said": None, "above 1.2 m": 1.2}
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(solve, "CUTS", (8, 10))
        found = {said: check(stood_on_up_to(height), proofs=False, explore=False) for said, height in heights.items()}
    assert [doubt.kind for doubt in found["above 1.2 m"].doubts] == ["proofs not asked"]
    return {said: one.verdict for said, one in found.items()}


def test_a_dome_that_nobody_may_stand_on_falls_short_unless_it_says_so(answers: dict[str, str]) -> None:
    """It met before one person on one side was asked of it: a crew all around is milder near the crown."""
    assert answers == {"nothing said": "falls short", "above 1.2 m": "cannot say"}


@pytest.fixture(scope="module")
def proven() -> tuple[str, str]:
    """Design file and certificate of the one with a scaffold."""
    design = stood_on_up_to(1.2)
    result = check(design, explore=False)
    assert result.certificate is not None
    return design_toml(design), result.certificate


def test_the_checker_asks_for_him_by_itself(proven: tuple[str, str]) -> None:
    text, certificate = proven
    design, entries = read(text), json.loads(certificate)["blocks"]
    assert block_faults(design, entries, wanted=True) == []
    names = sorted(one["case"] for one in entries)
    assert names and all(name.startswith("three-d-stage-08-worker") for name in names)
    plain, joint = "three-d-stage-08-worker, worker", "three-d-stage-08-worker-joint, worker, all capacities"
    assert joint in names
    # the joint proof shows the plain question too, where it reaches as much
    without = block_faults(design, [one for one in entries if one["case"] != joint], wanted=True)
    assert [f"block case {joint} is not proven"] == [one for one in without if plain + " " not in one]
    assert len(block_faults(design, [], wanted=True)) == 2


@pytest.mark.parametrize("other", ["", 'scaffold_above = "1.35 m"'])
def test_a_proof_of_a_lower_ring_is_none_of_a_higher_one(proven: tuple[str, str], other: str) -> None:
    text, certificate = proven
    line = next(line for line in text.splitlines() if line.startswith("scaffold_above"))
    higher = text.replace(line, other)
    data = json.loads(certificate)
    assert recheck_texts(certificate.encode(), text.encode()).verdict == "meets"
    assert block_faults(read(higher), [], wanted=True)
    data |= {"design": higher, "design_sha256": hashlib.sha256(higher.encode()).hexdigest()}
    forged = certificate_text(data).encode()
    assert recheck_texts(forged, text.encode()).verdict != "meets"  # of another file
    assert recheck_texts(forged, higher.encode()).verdict != "meets"


def test_a_comparison_asks_him_where_nothing_else_is_in_the_way(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(solve, "CUTS", (8, 10))
    assert outcome(stood_on_up_to(None)).verdict == "cannot say"
    found = outcome(stood_on_up_to(None), crew=True)
    assert found.verdict == "falls short" and found.least.case_id == "three-d-all-laid-worker-joint"
    assert outcome(stood_on_up_to(1.2), crew=True).verdict == "meets"
    windy = stood_on_up_to(1.2)
    windy = replace(windy, site=replace(windy.site, wind_pressure=0.3))
    monkeypatch.setattr(worst, "block_cases", lambda *_: pytest.fail("asked though wind needs blocks too"))
    assert outcome(windy, crew=True).verdict == "cannot say"


def test_he_is_kept_apart_for_another_height(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """A kept answer for one height is not taken for another."""
    monkeypatch.setattr(solve, "CUTS", (6, 8))
    low, high = (
        [one.id for one in block_cases(build_dome(stood_on_up_to(height)), quiet, tmp_path)]
        for height in (4 * H, 5 * H)
    )
    assert all("stage-04" in name for name in low) and all("stage-05" in name for name in high)
