"""`choose` and `explain`, broken off and repeated: what was finished is kept, nothing else is believed."""

from __future__ import annotations

import json
import os
import signal
import subprocess
import sys
import time
from collections.abc import Callable, Iterator
from dataclasses import asdict, dataclass
from pathlib import Path
from typing import Any, Literal

import pytest

from shellcheck_earth.basics.parallel import ALONE
from shellcheck_earth.geometry.reading import read_design
from shellcheck_earth.safety.result import Doubt
from shellcheck_earth.studies import choose as choosing
from shellcheck_earth.studies.choice import Choice, Pair, Single
from shellcheck_earth.studies.choose import choose
from shellcheck_earth.studies.explain import lesson, map, ways
from shellcheck_earth.studies.explain.lesson import Teaching, lesson_parts, teach
from shellcheck_earth.studies.parts import Parts, as_kind, spread_kept
from shellcheck_earth.views.cli.main import run

ROOT = Path(__file__).parents[2]
CLASSROOM, STORE = (ROOT / "reports" / name / "design.toml" for name in ("garden-classroom", "tool-store"))
STEPS, DIAMETERS = choosing.STEPS, choosing.DIAMETERS
CHANGES = ("smaller diameter", "wider crown opening")


class InterruptError(Exception):
    pass


@pytest.fixture(scope="module", autouse=True)
def coarse() -> Iterator[None]:
    """Few amounts and diameters, few columns: what is kept does not depend on how many there are."""
    with pytest.MonkeyPatch.context() as changed:
        changed.setattr(choosing, "STEPS", 4)
        changed.setattr(choosing, "PAIR_STEPS", 2)
        changed.setattr(choosing, "DIAMETERS", (1.0, 0.8))
        changed.setattr(map, "COLUMNS", 3)
        yield


@pytest.fixture(scope="module")
def wide(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A room too wide for its tube, so that single changes and pairs are looked for."""
    file = tmp_path_factory.mktemp("resume") / "wide.toml"
    file.write_text(STORE.read_text(encoding="utf-8").replace('"8 ft"', '"14 ft"'), encoding="utf-8")
    return file


def chosen(file: Path, keep_in: Path | None = None, *, pairs: bool = False, **more: Any) -> Choice:
    return choose(file, changes=CHANGES, crew=ALONE, keep_in=keep_in, pairs=pairs, largest=pairs, **more)


@pytest.fixture(scope="module")
def whole(wide: Path) -> Choice:
    return chosen(wide, pairs=True)


@pytest.fixture
def asked(monkeypatch: pytest.MonkeyPatch) -> list[str]:
    """What is computed and not taken from a part."""
    names: list[str] = []

    def counted(module: Any, name: str) -> None:
        work = getattr(module, name)

        def named(*arguments: Any, **more: Any) -> Any:
            names.append(name)
            return work(*arguments, **more)

        monkeypatch.setattr(module, name, named)

    for name in ("_single", "_pair", "_diameter_meets"):
        counted(choosing, name)
    counted(map, "_row")
    counted(ways, "_edge")
    return names


def stop_in(part: str, after: int) -> Callable[[str, int, int], None]:
    def stop(what: str, done: int, _of: int) -> None:
        if what == part and done == after:
            raise InterruptError

    return stop


@pytest.mark.parametrize(
    ("part", "after", "kept"),
    [("largest diameter", 3, {"_single": 2, "_pair": 1, "_diameter_meets": 3})],
)
def test_a_broken_search_goes_on_where_it_was(
    part: str, after: int, kept: dict[str, int], wide: Path, whole: Choice, asked: list[str], tmp_path: Path
) -> None:
    assert len(whole.singles) == 2 and whole.pairs and whole.largest is not None
    with pytest.raises(InterruptError):
        chosen(wide, tmp_path, pairs=True, progress=stop_in(part, after))
    begun = {name: asked.count(name) for name in kept}
    assert begun == kept and len(list(tmp_path.iterdir())) == sum(kept.values())
    asked.clear()
    again = chosen(wide, tmp_path, pairs=True)
    assert again == whole and repr((again.singles, again.pairs, again.largest)) == repr(
        (whole.singles, whole.pairs, whole.largest)
    )
    in_all = {"_single": 2, "_pair": 1, "_diameter_meets": len(list(tmp_path.iterdir())) - 3}
    assert {name: asked.count(name) for name in in_all} == {
        name: count - kept.get(name, 0) for name, count in in_all.items()
    }
    assert again.parts is not None
    again.parts.clear()
    assert not tmp_path.exists()


HARMS: dict[str, Callable[[str], str]] = {
    "cut off": lambda text: text[:90],
    "altered": lambda text: text.replace("0.", "1."),
    "empty": lambda _text: "",
}


@pytest.mark.parametrize("harm", HARMS)
def test_a_part_that_was_altered_is_computed_again(
    harm: str, wide: Path, whole: Choice, asked: list[str], tmp_path: Path
) -> None:
    with pytest.raises(InterruptError):
        chosen(wide, tmp_path, progress=stop_in("single changes", 1))
    for path in tmp_path.iterdir():
        path.write_text(HARMS[harm](path.read_text()))
    asked.clear()
    assert chosen(wide, tmp_path).singles == whole.singles
    assert asked.count("_single") == 2


def test_parts_of_another_design_another_question_or_another_program_are_not_taken(
    wide: Path, asked: list[str], tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def computed(file: Path, **more: Any) -> int:
        asked.clear()
        with pytest.raises(InterruptError):
            chosen(file, tmp_path / "parts", progress=stop_in("single changes", 2), **more)
        return asked.count("_single")

    assert computed(wide) == 2 and len(list((tmp_path / "parts").iterdir())) == 2
    other = tmp_path / "other.toml"
    other.write_text(wide.read_text(encoding="utf-8").replace('"14 ft"', '"14.1 ft"'), encoding="utf-8")
    assert computed(other) == 2
    with monkeypatch.context() as changed:
        changed.setattr("shellcheck_earth.studies.parts.sources_digest", lambda: "another")
        assert computed(wide) == 2
    asked.clear()
    chosen(wide, tmp_path / "parts")
    assert not asked  # the same singles, whatever else is asked


def test_an_answer_that_does_not_fit_is_none(wide: Path, whole: Choice, asked: list[str], tmp_path: Path) -> None:
    with pytest.raises(InterruptError):
        chosen(wide, tmp_path, progress=stop_in("single changes", 1))
    (path,) = tmp_path.iterdir()
    parts = Parts(tmp_path, path.name.partition("-")[0])
    (single,) = parts.read(0)
    for harm in ({"least": "much"}, {"curve": [[0.1]]}):
        parts.write(0, [single | harm])
        asked.clear()
        assert chosen(wide, tmp_path).singles == whole.singles
        assert asked == ["_single"] * (2 if harm == {"least": "much"} else 1), harm


@dataclass(frozen=True)
class Kinds:
    """All that a part may hold."""

    words: Literal["one", "two"]
    place: tuple[float, int | None]
    many: tuple[Doubt, ...]


def test_what_is_kept_is_read_back_as_it_was() -> None:
    data = {
        "words": "one",
        "place": [1.5, None],
        "many": [{"kind": "is missing", "path": "a", "value": "", "bound": ""}],
    }
    with pytest.raises(TypeError):
        as_kind(Kinds, data | {"many": [{"path": "a"}]})
    for harm in ({"words": "three"}, {"place": [1.5]}, {"place": ["1.5", None]}, {"many": 3}, {"place": [True, None]}):
        with pytest.raises(TypeError):
            as_kind(Kinds, data | harm)
    assert as_kind(Pair | None, None) is None and as_kind(bool, True) is True
    assert as_kind(tuple[float, ...], [1.0, 2]) == (1.0, 2)
    for wrong in (1, "true", None):
        with pytest.raises(TypeError):
            as_kind(bool, wrong)


def test_the_order_is_that_of_the_pieces(tmp_path: Path) -> None:
    parts, told = Parts(tmp_path, "0" * 20), list[int]()
    parts.write(11, [100.0])
    found = spread_kept(lambda piece: piece * 2.0, [1.0, 2.0, 3.0], ALONE, told.append, (parts, 10, float))
    assert found == [2.0, 100.0, 6.0] and told == [2, 3]
    assert parts.read(10) == [2.0] and parts.read(12) == [6.0]


@pytest.fixture(scope="module")
def lesson_of_classroom() -> Teaching:
    return teach(read_design(CLASSROOM))


def test_a_broken_lesson_goes_on_where_it_was(
    lesson_of_classroom: Teaching, asked: list[str], tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    design = read_design(CLASSROOM)
    parts = lesson_parts(tmp_path / "parts", design)
    with pytest.raises(InterruptError):
        teach(design, stop_in("map of width and pivot", 4), parts=parts)
    edges = asked.count("_edge")
    assert edges >= 4 and asked.count("_row") == 4
    assert len(list(parts.folder.iterdir())) == edges + 4
    asked.clear()
    again = teach(design, parts=parts)
    assert asked == ["_row"] * (map.ROWS - 4)
    assert repr(again) == repr(lesson_of_classroom)
    assert again.map == lesson_of_classroom.map
    assert [way.edge for way in again.ways] == [way.edge for way in lesson_of_classroom.ways]
    for other in (lesson_parts(parts.folder, design, aside=True), lesson_parts(parts.folder, read_design(STORE))):
        assert other.digest != parts.digest
    with monkeypatch.context() as changed:
        changed.setattr("shellcheck_earth.studies.parts.sources_digest", lambda: "another")
        assert lesson.lesson_parts(parts.folder, design).digest != parts.digest


def killed(command: list[str], folder: Path, enough: int) -> int:
    """Start a command and end it, as a power cut would, once so many parts are there; returns how many were."""
    environment = {**os.environ, "PYTHONPATH": str(ROOT)}
    process = subprocess.Popen(
        [sys.executable, "-m", "shellcheck_earth", *command],
        env=environment,
        stdout=subprocess.DEVNULL,
        stderr=subprocess.DEVNULL,
        start_new_session=True,
    )
    deadline = time.monotonic() + 600
    while process.poll() is None and len(list(folder.glob("[!.]*.json"))) < enough:
        assert time.monotonic() < deadline
        time.sleep(0.002)
    assert process.poll() is None, "it had ended before it could be killed"
    os.killpg(process.pid, signal.SIGKILL)
    process.wait()
    return len(list(folder.glob("[!.]*.json")))


@pytest.mark.parametrize("command", ["choose", "explain"])
def test_a_killed_command_goes_on(
    command: str, asked: list[str], tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    for module, name, value in ((choosing, "STEPS", STEPS), (choosing, "DIAMETERS", DIAMETERS), (map, "COLUMNS", 27)):
        monkeypatch.setattr(module, name, value)  # as the process that is killed has them
    words = [command, str(CLASSROOM), "--workers=1"]
    plain, broken = tmp_path / "plain", tmp_path / "broken"
    if command == "choose":
        words += [
            "--change=more wire",
            "--change=wider crown opening",
            "--change=wider tube",
            "--no-pairs",
            "--no-largest",
        ]
    assert run([*words, f"--out={plain}"]) == 0
    counted = list(asked)
    kept = killed([*words, f"--out={broken}"], broken / f"{command}-parts", 1)
    assert kept >= 1 and sorted(path.name for path in broken.iterdir()) == [f"{command}-parts"]
    asked.clear()
    assert run([*words, f"--out={broken}"]) == 0
    assert len(asked) == len(counted) - kept
    assert {path.name: path.read_bytes() for path in broken.iterdir()} == {
        path.name: path.read_bytes() for path in plain.iterdir()
    }
    data = json.loads((broken / f"{command}.json").read_text(encoding="utf-8"))
    assert data


def test_what_is_kept_of_one_change_reads_as_that_change(whole: Choice) -> None:
    for single in whole.singles:
        assert as_kind(Single, json.loads(json.dumps(asdict(single)))) == single
