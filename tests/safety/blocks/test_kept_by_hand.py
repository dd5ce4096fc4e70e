"""Kept block cases whose numbers are put there by hand: up to where each row is looked for, and what a table says."""

from __future__ import annotations

import json
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest
from samples import classroom

from shellcheck_earth.design.design import Opening
from shellcheck_earth.geometry.courses import build_dome
from shellcheck_earth.loads.joint import ON_THE_GROUND
from shellcheck_earth.safety.blocks import kept
from shellcheck_earth.safety.blocks.jobs import Job, jobs, joint_job
from shellcheck_earth.safety.blocks.kept import read_result, write_result
from shellcheck_earth.safety.blocks.result import GROUND_SLACK, BlockResult, CutResult

CUTS = (18, 36)
DESIGN = classroom(openings=(Opening("door", 0.0, 0.0, 0.8, 1.5, "pointed"),))
DOME = build_dome(replace(DESIGN, dome=replace(DESIGN.dome, inside_diameter=2.6)))
DEAD: Job = jobs(DOME)[0]
REQUIRED = 1.25


def ground_job() -> Job:
    """What the damp dome is asked of the ground, beside its reserve."""
    found = joint_job(DOME.design, next(job for job in jobs(DOME) if job.id == "three-d-finished-damp"))
    assert found is not None and [row.name for row in found.rows] == [ON_THE_GROUND]
    return found


def result(job: Job, *multipliers: float | None, title: str = "", **more: Any) -> BlockResult:
    lines = zip((18, 36, 72, 144), multipliers, strict=False)
    table = tuple(CutResult(cuts, 300, held, fails=more.get("fails")) for cuts, held in lines)
    least = min(held for held in multipliers if held is not None)
    return BlockResult(
        job.id, title or job.title, job.criterion, least, more.get("without", least), least, 1.0, "solved", "", False,
        None, (), table, (), (), len(job.case.states),
    )  # fmt: skip


def again(folder: Path, job: Job, found: BlockResult, ring: float = 3.0) -> BlockResult | None:
    write_result(folder, DOME, job, CUTS, found)
    return read_result(folder, DOME, job, CUTS, lambda: ring)


@pytest.mark.parametrize(
    ("held", "fits"),
    [((1.2, 1.15), True), ((1.2, 1.15, 1.15), True), ((1.2, 1.15, None), False), ((1.2, None, 1.15), False),
     ((None, 1.2, 1.15), False), ((1.2,), False), ((1.2, 1.16, 1.15, 1.15), True)],
)  # fmt: skip
def test_every_cut_of_the_table_is_known(held: tuple[float | None, ...], fits: bool, tmp_path: Path) -> None:
    assert (again(tmp_path, DEAD, result(DEAD, *held)) is not None) == fits


def test_a_row_of_the_ground_is_looked_for_no_further_than_its_yes(tmp_path: Path) -> None:
    job = ground_job()
    named = job.titled(job.rows[0])
    most = 1.0 * GROUND_SLACK  # of a joint question 1 is required
    for held, fits in ((most, True), (most * (1 + 2e-6), False), (1.2, False)):
        assert (again(tmp_path, job, result(job, held, held, title=named)) is not None) == fits
    # Beside another row it is known by its title which of them a case is about.
    two = replace(job, rows=(replace(job.rows[0], name="all at once"), *job.rows))
    for title, held, fits in (
        (two.titled(two.rows[0]), 1.2, True), (two.titled(two.rows[1]), 1.2, False),
        (two.titled(two.rows[1]), most, True),
    ):  # fmt: skip
        assert (again(tmp_path, two, result(two, held, held, title=title)) is not None) == fits, title


@pytest.mark.parametrize(("fails", "fits"), [(1.15, False), (1.2, True), (1.3, True), (11.0, False)])
def test_no_mechanism_lies_below_what_is_held(fails: float, fits: bool, tmp_path: Path) -> None:
    assert (again(tmp_path, DEAD, result(DEAD, 1.2, 1.2, fails=fails)) is not None) == fits


def test_a_number_is_that_of_the_cuts_or_the_ring_symmetric_one(tmp_path: Path) -> None:
    """1.15 of the cuts; 1.1 where the rings alone hold no more than that."""
    for ring, held, fits in ((3.0, 1.15, True), (1.1, 1.15, False), (1.15, 1.15, True)):
        assert (again(tmp_path, DEAD, result(DEAD, 1.2, held), ring) is not None) == fits
    less = replace(result(DEAD, 1.2, 1.15), associated=1.1, non_associated=1.1)
    assert again(tmp_path, DEAD, less, 1.1) is not None and again(tmp_path, DEAD, less, 3.0) is None


def test_what_is_read_is_judged_by_the_drop_and_both_frictions(tmp_path: Path) -> None:
    found = again(tmp_path, DEAD, result(DEAD, 2.0, 1.95, without=1.8))
    assert found is not None and found.relied == pytest.approx(1.8 - 0.05) and found.meets is True
    wide = again(tmp_path, DEAD, result(DEAD, 2.0, 1.7))
    assert wide is not None and (wide.relied, wide.meets) == (None, None)


def test_a_file_of_another_name_or_content_has_another_digest(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    """Each source counts by its name and its content; the ends of lines are not looked at."""

    def digest(name: str, content: bytes) -> str:
        folder = tmp_path / f"{len(list(tmp_path.iterdir()))}"
        (folder / "blocks").mkdir(parents=True)
        (folder / "blocks" / name).write_bytes(content)
        (folder / "one.toml").write_bytes(b"a = 1\n")
        monkeypatch.setattr(kept, "PACKAGE", folder)
        monkeypatch.setattr(kept, "SOURCES", ("one.toml", "blocks"))
        kept.source_digest.cache_clear()
        return kept.source_digest()

    try:
        first = digest("a.py", b"x = 1\n")
        assert digest("a.py", b"x = 1\r\n") == first
        assert len({first, digest("b.py", b"x = 1\n"), digest("a.py", b"x = 2\n"), digest("a.txt", b"x = 1\n")}) == 4
    finally:
        kept.source_digest.cache_clear()


def test_what_is_kept_is_one_line_of_numbers(tmp_path: Path) -> None:
    write_result(tmp_path, DOME, DEAD, CUTS, result(DEAD, 1.2, 1.15))
    (path,) = tmp_path.iterdir()
    raw = json.loads(path.read_text(encoding="utf-8"))
    assert set(raw) == {"key", "digest", "case"} and path.name == f"{DEAD.id}-{raw['key'][:20]}.json"
    assert read_result(tmp_path, DOME, replace(DEAD, id="another"), CUTS, lambda: 3.0) is None
    assert read_result(tmp_path, DOME, DEAD, (18, 40), lambda: 3.0) is None
    assert read_result(None, DOME, DEAD, CUTS, lambda: 3.0) is None
