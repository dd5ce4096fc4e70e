"""Kept block cases: what was edited, is stale or does not fit is solved again, and no folder fails a check."""

from __future__ import annotations

import hashlib
import json
import math
import os
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest
from samples import classroom

from shellcheck_earth.design.design import Design, Fill, Opening
from shellcheck_earth.geometry.courses import Dome, build_dome
from shellcheck_earth.safety.blocks import kept, solve
from shellcheck_earth.safety.blocks.jobs import Job, jobs
from shellcheck_earth.safety.blocks.kept import key_of, read_result, write_result
from shellcheck_earth.safety.blocks.result import BlockResult, CutResult, Mechanism, Press
from shellcheck_earth.safety.blocks.solve import block_cases

CUTS = (18, 36)
STILL: dict[str, Any] = {"span": None, "ways": [], "towards": None, "openings": [], "buttresses": []}
RING = 3.0


def _design(**site: object) -> Design:
    design = classroom(openings=(Opening("door", 0.0, 0.0, 0.8, 1.5, "pointed"),))
    fill = Fill(1750.0, 2650.0, 0.10, 0.03, "cement", 0.08, 1000.0, 600.0, 400.0, 0.1 / 100 / 3600, 0.21)
    return replace(design, dome=replace(design.dome, inside_diameter=2.6), fill=fill, site=replace(design.site, **site))  # type: ignore[arg-type]


@pytest.fixture(scope="module")
def dome() -> Dome:
    return build_dome(_design(earthquake=0.1))


@pytest.fixture(scope="module")
def dead(dome: Dome) -> Job:
    return jobs(dome)[0]


@pytest.fixture(scope="module")
def quake(dome: Dome) -> Job:
    return next(job for job in jobs(dome) if job.criterion == "earthquake")


def _short(dome: Dome, job: Job) -> BlockResult:
    """Falls short: 1.1 of the 1.25 asked for, less the drop between the cuts."""
    table = (CutResult(18, 300, 1.2), CutResult(36, 700, 1.15))
    required = dome.design.criteria.required[job.criterion]
    return BlockResult(
        job.id, job.title, job.criterion, 1.15, 1.12, 1.12 - 0.05, required, "solved", "", False,
        Mechanism((1, 9), (0.5, 2.0), ("outward", "tip"), None, (0,), ()), (Press("jambs", 0, 13.5),),
        table, (), ((0.0, -1.0, 0.5, 0.0, 0.0, 0.1),), len(job.case.states), (), 36,
    )  # fmt: skip


def _read(folder: Path, dome: Dome, job: Job, ring: float = RING) -> BlockResult | None:
    return read_result(folder, dome, job, CUTS, lambda: ring)


def _rewrite(folder: Path, change: Callable[[dict[str, Any]], object], *, sign: bool = True) -> None:
    """Change the numbers of the one kept file; `sign`: with a digest that fits again, as one who knows how would."""
    (path,) = folder.iterdir()
    raw = json.loads(path.read_text(encoding="utf-8"))
    change(raw["case"])
    if sign:
        text = json.dumps(raw["case"], sort_keys=True)
        raw["digest"] = hashlib.sha256(f"{raw['key']}\n{text}".encode()).hexdigest()
    path.write_text(json.dumps(raw), encoding="utf-8")


def test_what_was_kept_is_read_as_it_was(tmp_path: Path, dome: Dome, dead: Job) -> None:
    short = _short(dome, dead)
    write_result(tmp_path, dome, dead, CUTS, short)
    found = _read(tmp_path, dome, dead)
    assert found is not None
    assert found.relied == pytest.approx(1.07)
    assert found == replace(short, relied=found.relied)
    assert found.meets is False


def test_an_edit_alone_is_refused(tmp_path: Path, dome: Dome, dead: Job) -> None:
    write_result(tmp_path, dome, dead, CUTS, _short(dome, dead))
    _rewrite(tmp_path, lambda case: case.update(associated=1.149999), sign=False)
    assert _read(tmp_path, dome, dead) is None


@pytest.mark.parametrize(
    "words", [{"meets": True}, {"relied": 9.9}, {"status": "solved"}, {"required": 0.1}, {"at_least": True}]
)
def test_words_of_a_file_decide_nothing(tmp_path: Path, dome: Dome, dead: Job, words: dict[str, Any]) -> None:
    write_result(tmp_path, dome, dead, CUTS, _short(dome, dead))
    _rewrite(tmp_path, lambda case: case.update(words))
    found = _read(tmp_path, dome, dead)
    assert found is not None
    assert found.relied == pytest.approx(1.07)
    assert (found.meets, found.required, found.at_least) == (False, 1.25, False)


def _table(*multipliers: float | None) -> list[dict[str, Any]]:
    return [
        {"cuts": cuts, "blocks": 300, "multiplier": m, "at_least": False, "fails": None}
        for cuts, m in zip((18, 36, 54), multipliers, strict=False)
    ]


@pytest.mark.parametrize(
    "change",
    [
        {"associated": 1.4},  # the cuts give 1.15
        {"associated": True},
        {"associated": "1.15"},
        {"associated": -1.0},
        {"associated": 1e400},
        {"associated": float("nan")},
        {"associated": 40.0, "convergence": _table(40.0, 40.0)},  # more than is ever looked for
        {"associated": 3.5, "convergence": _table(3.5, 3.5)},  # more than the rings hold
        {"associated": 1.2, "convergence": _table(1.2)},  # the finer cut left out
        {"associated": 1.2, "convergence": _table(1.2, None)},  # ... or not known
        {"associated": 1.2, "convergence": []},
        {"convergence": [_table(1.15)[0] | {"cuts": 9}, *_table(1.2, 1.2)[1:]]},
        {"non_associated": 11.0},
        {"associated": 0.0},  # nothing is held, beside cuts that hold
        {"id": "three-d-wind"},
        {"course_top": 1},
        {"motions": [[1e9] * 6]},
        {"forces": [{"place": "jambs", "index": 0, "force": -1.0}]},
        {"forces": [{"place": "jambs", "index": 1, "force": 1.0}]},  # there is one door
        {"forces": [{"place": "buttress", "index": 0, "force": 1.0}]},
        {"forces": [{"place": "roof", "index": 0, "force": 1.0}]},
        {"mechanism": {"courses": [1, 99]} | STILL},
        {"mechanism": {"courses": [1, 2]} | STILL | {"ways": ["fly"]}},
        {"mechanism": {"courses": [1, 2]} | STILL | {"openings": [3]}},
        {"mechanism": {"courses": [1, 2]} | STILL | {"towards": 1e3}},
        {"title": "two\nlines"},
        {"title": "\x1b[31mred"},
        {"why": None},
        {"directions": [[0.3, 1.15]]},  # a case of the dead load has none
    ],
)
def test_what_does_not_fit_is_refused(tmp_path: Path, dome: Dome, dead: Job, change: dict[str, Any]) -> None:
    write_result(tmp_path, dome, dead, CUTS, _short(dome, dead))
    _rewrite(tmp_path, lambda case: case.update(change))
    assert _read(tmp_path, dome, dead) is None


@pytest.mark.parametrize(
    ("line", "fits"),
    [
        ({}, True),
        ({"fails": 1.15}, True),
        ({"fails": 1.3}, True),
        ({"fails": 1.1499}, False),  # a mechanism below what is held
        ({"fails": -1.0}, False),
        ({"more": 1}, False),
        ({"at_least": 1}, False),
    ],
)
def test_a_line_of_the_table_fits_or_the_case_is_refused(
    tmp_path: Path, dome: Dome, dead: Job, line: dict[str, Any], fits: bool
) -> None:
    write_result(tmp_path, dome, dead, CUTS, _short(dome, dead))
    _rewrite(tmp_path, lambda case: case["convergence"][1].update(line))
    assert (_read(tmp_path, dome, dead) is not None) == fits


@pytest.mark.parametrize("key", ["at_least", "fails", "blocks"])
def test_a_line_without_one_of_its_values_is_refused(tmp_path: Path, dome: Dome, dead: Job, key: str) -> None:
    write_result(tmp_path, dome, dead, CUTS, _short(dome, dead))
    _rewrite(tmp_path, lambda case: case["convergence"][0].pop(key))
    assert _read(tmp_path, dome, dead) is None


def test_a_file_is_no_better_than_the_rings_today(tmp_path: Path, dome: Dome, dead: Job) -> None:
    write_result(tmp_path, dome, dead, CUTS, _short(dome, dead))
    assert _read(tmp_path, dome, dead, ring=1.1) is None


def _held(dome: Dome, job: Job) -> BlockResult:
    directions = tuple((load.bearing, 2.2) for load in job.loads)
    table = (CutResult(18, 300, 2.2), CutResult(36, 700, 2.2))
    return replace(
        _short(dome, job), associated=2.2, non_associated=2.2, relied=0.53 * 2.2, convergence=table,
        directions=directions,
    )  # fmt: skip


def test_a_load_from_one_side_counts_the_share_of_the_scheme(tmp_path: Path, dome: Dome, quake: Job) -> None:
    write_result(tmp_path, dome, quake, CUTS, _held(dome, quake))
    found = _read(tmp_path, dome, quake)
    assert found is not None
    assert found.relied == pytest.approx(0.53 * 2.2)
    assert found.meets is True
    assert _read(tmp_path, dome, quake, ring=0.99) is None  # the dead load is not held today


ALL = [[bearing * math.pi / 2, 1.6] for bearing in (0, 1, 2, 3)] * 2


def test_a_direction_between_those_of_the_design_is_taken(tmp_path: Path, dome: Dome, quake: Job) -> None:
    write_result(tmp_path, dome, quake, CUTS, _held(dome, quake))
    directions, name = [[math.pi / 8, 1.6], *ALL], quake.loads[0].id
    _rewrite(tmp_path, lambda case: case.update(directions=directions, between=[[name, "", 1]]))
    found = _read(tmp_path, dome, quake)
    assert found is not None and found.between == ((name, "", 1),)
    first = [name, "", 1]
    for other in (
        [], [[name, "", 2]], [["wind", "", 1]], [[name, "EQU", 1]], [[name, "", True]], [[name, "", 4]],
        [first, [name, "", 4]], [first, [name, "", 0]], [first, [name, "", -4]],
    ):  # fmt: skip
        _rewrite(tmp_path, lambda case, other=other: case.update(directions=directions, between=other))
        assert _read(tmp_path, dome, quake) is None  # each has to be proven, so none goes without its load


@pytest.mark.parametrize("drawn", [0, 72, 17, True, "36", None])
def test_cuts_that_were_not_asked_are_not_drawn(tmp_path: Path, dome: Dome, dead: Job, drawn: object) -> None:
    write_result(tmp_path, dome, dead, CUTS, _short(dome, dead))
    _rewrite(tmp_path, lambda case: case.update(drawn=drawn))
    assert _read(tmp_path, dome, dead) is None


@pytest.mark.parametrize(
    "directions",
    [
        [], ALL[:1], [[0.1, 1.6]] * 8, [*ALL[:7], [math.pi, 1.1]], ALL[:7], [[0.1, 1.6], *ALL],
        [[math.pi / 8, 1.6], [math.pi / 4, 1.6], *ALL],
    ],
)  # fmt: skip
def test_a_direction_left_out_or_worse_is_refused(
    tmp_path: Path, dome: Dome, quake: Job, directions: list[list[float]]
) -> None:
    write_result(tmp_path, dome, quake, CUTS, _held(dome, quake))
    _rewrite(tmp_path, lambda case: case.update(directions=directions))
    assert _read(tmp_path, dome, quake) is None


@pytest.mark.parametrize("text", ["", "{", "[]", "null", '{"key": 1}', "[" * 100_000, "\udcff"])
def test_what_is_no_case_is_refused(tmp_path: Path, dome: Dome, dead: Job, text: str) -> None:
    write_result(tmp_path, dome, dead, CUTS, _short(dome, dead))
    (path,) = tmp_path.iterdir()
    path.write_bytes(text.encode("utf-8", "surrogateescape"))
    assert _read(tmp_path, dome, dead) is None


def test_every_value_of_the_design_counts(dome: Dome, dead: Job) -> None:
    before = key_of(dome, dead, CUTS)
    stronger = replace(dome.design, fill=replace(dome.design.fill, suction_head=0.2100000001))
    assert key_of(replace(dome, design=stronger), dead, CUTS) != before
    eased = {**dome.design.criteria.required, "overall reserve": 1.2}
    asked = replace(dome.design, criteria=replace(dome.design.criteria, required=eased))
    assert key_of(replace(dome, design=asked), dead, CUTS) != before
    assert key_of(dome, dead, (18, 24)) != before
    # ... and what the code below makes of them, though the design is the same.
    state = replace(dead.case.states[0], strength=dead.case.states[0].strength * (1 + 1e-12))
    other = replace(dead, case=replace(dead.case, states=(state, *dead.case.states[1:])))
    assert key_of(dome, other, CUTS) != before
    # How a value is known changes no number.
    assert (
        key_of(replace(dome, design=replace(dome.design, bases={"fill.dry_density": "measured"})), dead, CUTS) == before
    )


def test_other_code_or_another_solver_solves_again(
    tmp_path: Path, dome: Dome, dead: Job, monkeypatch: pytest.MonkeyPatch
) -> None:
    write_result(tmp_path, dome, dead, CUTS, _short(dome, dead))
    with monkeypatch.context() as patch:
        patch.setattr(kept, "_solvers", lambda: ("clarabel 0.0.1",))
        assert _read(tmp_path, dome, dead) is None
    with monkeypatch.context() as patch:
        patch.setattr(kept, "source_digest", lambda: "other")
        assert _read(tmp_path, dome, dead) is None
    # The same key in the name of a file that was made for another case.
    (path,) = tmp_path.iterdir()
    case = jobs(dome)[1]
    path.rename(tmp_path / f"{case.id}-{key_of(dome, case, CUTS)[:20]}.json")
    assert _read(tmp_path, dome, case) is None


def test_a_changed_source_changes_the_digest(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    for place in kept.SOURCES:
        target = tmp_path / place
        target.parent.mkdir(parents=True, exist_ok=True)
        if target.suffix:
            target.write_text("a = 1\n")
        else:
            target.mkdir()
            (target / "one.py").write_text("b = 1\n")
    monkeypatch.setattr(kept, "PACKAGE", tmp_path)
    digest = kept.source_digest.__wrapped__
    seen = {digest()}
    for place in kept.SOURCES:
        target = tmp_path / place
        changed = target if target.suffix else target / "one.py"
        changed.write_text("c = 1\n")
        seen.add(digest())
    assert len(seen) == 1 + len(kept.SOURCES)
    assert all((Path(solve.__file__).parents[2] / place).exists() for place in kept.SOURCES)


def _quiet(what: str, done: int, of: int) -> None:
    del what, done, of


@pytest.fixture
def one_case(monkeypatch: pytest.MonkeyPatch, dome: Dome, dead: Job) -> list[str]:
    """The block model answers at once, and says that it was asked."""
    asked: list[str] = []

    def answer(_dome: Dome, job: Job, _cuts: tuple[int, ...], _states: object) -> BlockResult:
        asked.append(job.id)
        return _short(dome, job)

    monkeypatch.setattr(solve, "needed_jobs", lambda _dome: [dead])
    monkeypatch.setattr(solve, "reserve_case", answer)
    monkeypatch.setattr(solve, "ring_symmetric", lambda _dome, _case: RING)
    return asked


def test_a_kept_case_is_not_solved_twice(tmp_path: Path, dome: Dome, one_case: list[str]) -> None:
    first = block_cases(dome, _quiet, tmp_path / "deep" / "folder")
    again = block_cases(dome, _quiet, tmp_path / "deep" / "folder")
    assert len(one_case) == 1
    assert again[0].relied == pytest.approx(first[0].relied)


@pytest.mark.parametrize("what", ["a file in its place", "read only", "full disk", "file not readable", "a folder"])
def test_no_folder_fails_a_check(
    tmp_path: Path, dome: Dome, dead: Job, one_case: list[str], what: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    folder = tmp_path / "kept"
    if what == "a file in its place":
        folder.write_text("not a folder")
    elif what == "a folder":
        (folder / f"{dead.id}-{key_of(dome, dead, CUTS)[:20]}.json").mkdir(parents=True)
    else:
        folder.mkdir()

    def refuse(*_: object, **__: object) -> None:
        raise PermissionError("no") if what != "full disk" else OSError(28, "No space left on device")

    if what == "read only":
        monkeypatch.setattr(Path, "mkdir", refuse)
        monkeypatch.setattr(Path, "write_text", refuse)
    elif what == "full disk":
        monkeypatch.setattr(Path, "write_text", refuse)
    elif what == "file not readable":
        monkeypatch.setattr(Path, "stat", refuse)
        monkeypatch.setattr(Path, "read_text", refuse)
    found = block_cases(dome, _quiet, folder)
    assert [result.meets for result in found] == [False]
    assert len(one_case) == 1
    monkeypatch.undo()
    assert not [path for path in tmp_path.rglob(f"*.{os.getpid()}.part")]


def test_a_stop_keeps_what_is_finished(tmp_path: Path, monkeypatch: pytest.MonkeyPatch, dome: Dome) -> None:
    two = jobs(dome)[:2]
    monkeypatch.setattr(solve, "needed_jobs", lambda _dome: two)
    monkeypatch.setattr(solve, "reserve_case", lambda _dome, job, _cuts, _states: _short(dome, job))
    monkeypatch.setattr(solve, "ring_symmetric", lambda _dome, _case: RING)

    def stop_after_one(what: str, done: int, of: int) -> None:
        del what, of
        if done == 1:
            raise KeyboardInterrupt

    with pytest.raises(KeyboardInterrupt):
        block_cases(dome, stop_after_one, tmp_path)
    assert [path.name[: len(two[0].id)] for path in tmp_path.iterdir()] == [two[0].id]


def test_another_solver_asks_anew(dome: Dome, dead: Job, monkeypatch: pytest.MonkeyPatch) -> None:
    """The key of a kept case names every solver with its version."""
    before = key_of(dome, dead, CUTS)
    try:
        for name in kept.SOLVERS:
            other = {name: "0.0.0"}
            monkeypatch.setattr(kept, "version", lambda one, other=other: other.get(one, "1.0.0"))
            kept._solvers.cache_clear()
            assert f"{name} 0.0.0" in kept._solvers()
            assert key_of(dome, dead, CUTS) != before
    finally:
        kept._solvers.cache_clear()
