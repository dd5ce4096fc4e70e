"""Proofs kept beside finished block cases: handed over again as far as they are confirmed today, else sought anew."""

from __future__ import annotations

import gzip
import json
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest
from samples import classroom

from shellcheck_earth.basics.frozen import FrozenMap
from shellcheck_earth.design.design import Fill, Opening
from shellcheck_earth.geometry.courses import Dome, build_dome
from shellcheck_earth.safety.blocks import kept_proofs, proofs, solve
from shellcheck_earth.safety.blocks.jobs import Job, jobs
from shellcheck_earth.safety.blocks.result import BlockResult

CUTS = (8, 12)


def _dome(dry: float = 1000.0) -> Dome:
    design = classroom(openings=(Opening("door", 0.0, 0.0, 0.8, 1.5, "pointed"),))
    fill = Fill(1750.0, 2650.0, 0.10, 0.03, "cement", 0.08, dry, 600.0, 400.0, 0.1 / 100 / 3600, 0.21)
    bases = FrozenMap({**design.bases, "beds.friction": "measured"})
    shape = replace(design.dome, inside_diameter=2.6)
    return build_dome(replace(design, dome=shape, fill=fill, bases=bases, site=replace(design.site, earthquake=0.02)))


@pytest.fixture(scope="module")
def dome() -> Dome:
    return _dome()


@pytest.fixture(scope="module", params=["three-d-finished-dry", "three-d-earthquake"])
def job(request: pytest.FixtureRequest, dome: Dome) -> Job:
    """The first: its dead load. The second: of an earthquake two directions, to be quick."""
    found = next(one for one in jobs(dome) if one.id == request.param)
    return replace(found, loads=found.loads[:4])


@pytest.fixture(scope="module")
def first(dome: Dome, job: Job, tmp_path_factory: pytest.TempPathFactory) -> tuple[Path, BlockResult]:
    folder = tmp_path_factory.mktemp("kept")
    found = solve._one(dome, job, CUTS, folder)
    assert found.meets and found.proofs and len(list(folder.glob("*.proofs.json.gz"))) == 1
    return folder, found


def _copy(folder: Path, to: Path, change: Callable[[list[dict[str, Any]]], object] | None = None) -> Path:
    for path in folder.iterdir():
        (to / path.name).write_bytes(path.read_bytes())
    if change is not None:
        (path,) = to.glob("*.gz")
        data = json.loads(gzip.decompress(path.read_bytes()))
        change(data)
        path.write_bytes(gzip.compress(json.dumps(data).encode()))
    return to


def _sought(monkeypatch: pytest.MonkeyPatch) -> list[str]:
    """The names of the proofs that are sought anew from here on."""
    out: list[str] = []
    real = proofs._state
    monkeypatch.setattr(proofs, "_state", lambda claim, known: out.append(claim.name) or real(claim, known))
    return out


def test_a_second_run_solves_nothing_and_is_the_same(
    dome: Dome, job: Job, first: tuple[Path, BlockResult], monkeypatch: pytest.MonkeyPatch
) -> None:
    sought = _sought(monkeypatch)
    monkeypatch.setattr(proofs, "solve_cone", lambda *_: pytest.fail("solved again"))
    assert solve._one(dome, job, CUTS, first[0]) == first[1] and not sought


@pytest.mark.parametrize(
    "change",
    [
        lambda data: data[0].update(case="three-d-another"),
        lambda data: data[0].pop("blocks", None) or data[0].clear(),
        lambda data: data.clear(),
        lambda data: [one.update({key: [] for key in one if isinstance(one[key], list)}) for one in data],
        lambda data: [one.update({key: 7 for key in one if key != "case"}) for one in data],
    ],
    ids=["another name", "empty", "none", "no forces", "not lists"],
)
def test_what_was_altered_is_sought_anew(
    dome: Dome, job: Job, first: tuple[Path, BlockResult], tmp_path: Path, monkeypatch: pytest.MonkeyPatch, change: Any
) -> None:
    folder, sought = _copy(first[0], tmp_path, change), _sought(monkeypatch)
    again = solve._one(dome, job, CUTS, folder)
    assert sought and again.meets and len(again.proofs) == len(first[1].proofs)
    assert again.relied == pytest.approx(first[1].relied, rel=1e-6)
    before = list(sought)
    assert solve._one(dome, job, CUTS, folder).proofs == again.proofs and sought == before  # kept anew


def test_more_than_what_holds_is_not_believed(
    dome: Dome, job: Job, first: tuple[Path, BlockResult], tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A proof whose claim was raised is no proof: neither taken nor handed on."""

    def raise_claim(data: list[dict[str, Any]]) -> None:
        for one in data:
            key = "factor" if one.get("factor") else "reserve"
            one[key] *= 3

    folder, sought = _copy(first[0], tmp_path, raise_claim), _sought(monkeypatch)
    again = solve._one(dome, job, CUTS, folder)
    assert sought and again.relied == pytest.approx(first[1].relied, rel=1e-6)


def test_files_that_are_no_proofs(dome: Dome, job: Job, first: tuple[Path, BlockResult], tmp_path: Path) -> None:
    (path,) = first[0].glob("*.gz")
    for content in (b"", b"not packed", gzip.compress(b"{}"), gzip.compress(b"[[]]"), path.read_bytes()[:100]):
        (tmp_path / path.name).write_bytes(content)
        assert kept_proofs.read_proofs(tmp_path, dome, job, CUTS) == {}
    assert kept_proofs.read_proofs(None, dome, job, CUTS) == {}
    assert len(kept_proofs.read_proofs(first[0], dome, job, CUTS)) == len(first[1].proofs)
    assert kept_proofs.read_proofs(first[0], _dome(900.0), job, CUTS) == {}  # of another design


@pytest.mark.parametrize("what", [[{"case": "a"}, "b"], ["b"], [None], {"case": "a"}, 3])
def test_a_file_that_is_no_list_of_proofs_is_none(tmp_path: Path, dome: Dome, what: Any) -> None:
    job = next(iter(jobs(dome)))
    kept_proofs.write_proofs(tmp_path, dome, job, CUTS, [json.dumps({"case": "a"})])
    assert set(kept_proofs.read_proofs(tmp_path, dome, job, CUTS)) == {"a"}
    (path,) = tmp_path.iterdir()
    path.write_bytes(gzip.compress(json.dumps(what).encode()))
    assert kept_proofs.read_proofs(tmp_path, dome, job, CUTS) == {}
