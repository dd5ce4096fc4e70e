"""A comparison that is broken off and repeated: fewer points are computed, and the same bytes come out."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

import pytest

from shellcheck_earth.basics.errors import InputError, RunError
from shellcheck_earth.safety.worst import outcome
from shellcheck_earth.studies import compare as comparing
from shellcheck_earth.studies.compare import Comparison, compare
from shellcheck_earth.studies.parts import Parts
from shellcheck_earth.views.cli.main import run
from shellcheck_earth.views.pages.compare import comparison_csv, comparison_xlsx

STORE = Path(__file__).parents[2] / "reports" / "examples" / "narrow-store.toml"  # short in its rings: no blocks
VARY = ["dome.crown_opening=0.3,9 m", "beds.wire_strands=0..2:3", "fill.dry_density=1600,2000 kg/m3"]
COUNT, FEWER, PART = 12, 7, 5
"""Points of VARY, and where it is broken off: in the second of three parts."""


@pytest.fixture(autouse=True)
def short_parts(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(comparing, "PART", PART)


class InterruptError(Exception):
    pass


def stop(_what: str, done: int, _of: int) -> None:
    if done == FEWER:
        raise InterruptError


@pytest.fixture
def asked(monkeypatch: pytest.MonkeyPatch) -> list[str]:
    """The designs that are computed."""
    names: list[str] = []
    work = comparing._work

    def counted(piece: comparing._Piece) -> comparing.Point:
        names.append(f"{piece.chosen}")
        return work(piece)

    monkeypatch.setattr(comparing, "_work", counted)
    return names


@pytest.fixture(scope="module")
def whole() -> Comparison:
    return compare([STORE], VARY, workers=1)


def broken_off(folder: Path, vary: list[str] = VARY) -> list[Path]:
    with pytest.raises(InterruptError):
        compare([STORE], vary, workers=1, progress=stop, keep_in=folder)
    return sorted(folder.iterdir())


def test_a_broken_comparison_goes_on_where_it_was(whole: Comparison, asked: list[str], tmp_path: Path) -> None:
    assert len(whole.points) == COUNT and {point.answer for point in whole.points} >= {"not buildable", "falls short"}
    kept = broken_off(tmp_path)
    assert len(kept) == FEWER // PART == 1 and len(asked) >= FEWER
    asked.clear()
    again = compare([STORE], VARY, workers=1, keep_in=tmp_path)
    assert len(asked) == COUNT - PART
    assert again == whole and repr(again.points) == repr(whole.points)
    assert comparison_csv(again) == comparison_csv(whole) and comparison_xlsx(again) == comparison_xlsx(whole)
    assert again.parts is not None
    again.parts.clear()
    assert not tmp_path.exists()


@pytest.mark.parametrize(
    "harm",
    [
        lambda text: text[:40],
        lambda text: text.replace("not buildable", "meets").replace("falls short", "meets").replace("1", "2"),
        lambda text: text.partition("\n")[2],
        lambda _text: "",
    ],
    ids=["cut off", "altered", "without its checksum", "empty"],
)
def test_a_part_that_was_altered_is_computed_again(
    harm: Callable[[str], str], whole: Comparison, asked: list[str], tmp_path: Path
) -> None:
    (kept,) = broken_off(tmp_path)
    kept.write_text(harm(kept.read_text()))
    asked.clear()
    assert compare([STORE], VARY, workers=1, keep_in=tmp_path) == whole
    assert len(asked) == COUNT


def test_parts_of_another_question_are_not_taken(
    asked: list[str], tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    other = [VARY[0], VARY[1], "fill.dry_density=1600,2001 kg/m3"]
    broken_off(tmp_path)
    kept = broken_off(tmp_path, other)
    assert len(kept) == 2  # each has its own name
    for fault in ("sources_digest", "parts_digest"):
        with monkeypatch.context() as changed:
            where = (
                "shellcheck_earth.studies.parts" if fault == "sources_digest" else "shellcheck_earth.studies.compare"
            )
            changed.setattr(f"{where}.{fault}", lambda *_: "another")
            asked.clear()
            compare([STORE], VARY, workers=1, keep_in=tmp_path)
            assert len(asked) == COUNT, fault


def test_a_part_under_another_number_is_not_taken(tmp_path: Path) -> None:
    parts = Parts(tmp_path / "parts", "0" * 20)
    parts.write(1, [1, 2])
    assert parts.read(1) == [1, 2] and parts.read(2) is None
    (written,) = parts.folder.iterdir()
    written.rename(written.with_name(written.name.replace("00001", "00002")))
    assert parts.read(1) is None and parts.read(2) is None
    assert replace(parts, digest="1" * 20).read(2) is None


def test_nothing_of_another_kind_is_taken_away(tmp_path: Path) -> None:
    parts = Parts(tmp_path, "0" * 20)
    parts.write(0, [])
    (tmp_path / "mine.json").write_text("{}")
    parts.clear()
    assert [path.name for path in tmp_path.iterdir()] == ["mine.json"]


def test_a_place_that_cannot_be_written_is_one_sentence(tmp_path: Path) -> None:
    (tmp_path / "file").write_text("")
    with pytest.raises(RunError, match="could not be kept"):
        Parts(tmp_path / "file" / "parts", "0" * 20).write(0, [])


def test_where_nothing_can_be_built_nothing_stays(tmp_path: Path) -> None:
    with pytest.raises(InputError, match="can be built"):
        compare([STORE], ["dome.crown_opening=8,9 m"], workers=1, keep_in=tmp_path / "parts")
    assert not (tmp_path / "parts").exists()


def test_the_command_goes_on_and_tidies_up(asked: list[str], tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    command = ["compare", str(STORE), *(f"--vary={one}" for one in VARY), "--workers=1", "--out"]
    plain, broken = tmp_path / "plain", tmp_path / "broken"
    assert run([*command, str(plain)]) == 0 and len(asked) == COUNT
    assert sorted(path.name for path in plain.iterdir()) == ["compare.csv", "compare.pdf", "compare.xlsx"]
    asked.clear()

    def lost(design: object, *, crew: bool) -> object:
        assert crew
        if len(asked) > PART:
            raise RunError("a worker is gone")
        return outcome(design, crew=True)  # type: ignore[arg-type]

    with monkeypatch.context() as breaking:
        breaking.setattr(comparing, "outcome", lost)
        assert run([*command, str(broken)]) == 3
    assert [path.name for path in broken.iterdir()] == ["compare-parts"]
    asked.clear()
    assert run([*command, str(broken)]) == 0
    assert len(asked) == COUNT - PART
    assert {path.name: path.read_bytes() for path in broken.iterdir()} == {
        path.name: path.read_bytes() for path in plain.iterdir()
    }
