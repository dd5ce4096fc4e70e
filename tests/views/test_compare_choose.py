"""`compare` and `choose` as a user meets them: files, table, exit codes, refusals."""

from __future__ import annotations

import csv
import io
import json
import math
from pathlib import Path

import openpyxl
import pytest
from pypdf import PdfReader

from shellcheck_earth.__main__ import main
from shellcheck_earth.studies import compare as comparing
from shellcheck_earth.views.figures.comparison.curves import comparison_figures
from shellcheck_earth.views.text.choose import share_words

REPORTS = Path(__file__).parents[2] / "reports"
CLASSROOM = REPORTS / "garden-classroom" / "design.toml"


@pytest.fixture(scope="module")
def files(tmp_path_factory: pytest.TempPathFactory) -> tuple[Path, Path]:
    """Classroom and tool store whose crew stands on no ring: that person is asked of blocks, design by design, which is
    held by the tests of the studies themselves."""
    folder, out = tmp_path_factory.mktemp("designs"), []
    for name, given in (("garden-classroom", "1.2 m"), ("tool-store", "4 ft")):
        text = (REPORTS / name / "design.toml").read_text(encoding="utf-8")
        assert text.count(f'scaffold_above = "{given}"') == 1
        out.append(folder / f"{name}.toml")
        out[-1].write_text(text.replace(f'scaffold_above = "{given}"', 'scaffold_above = "0 m"'), encoding="utf-8")
    return out[0], out[1]


@pytest.fixture(scope="module")
def window(files: tuple[Path, Path]) -> Path:
    """The store with a window, which has to be asked of blocks."""
    file = files[1].with_name("window.toml")
    file.write_text(files[1].read_text(encoding="utf-8") + WINDOW, encoding="utf-8")
    return file


def run(*tokens: object) -> int:
    with pytest.raises(SystemExit) as done:
        main([str(token) for token in tokens])
    return int(done.value.code or 0)


def words(path: Path) -> str:
    return " ".join(" ".join(page.extract_text() for page in PdfReader(path).pages).split())


def test_compare_writes_a_table_and_maps(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    tokens = (
        "compare",
        CLASSROOM,
        "--vary",
        "fill.dry_density=1500..1900:2 kg/m3",
        "--vary",
        "beds.wire_strands=0,2",
        "--workers",
        1,
    )
    assert run(*tokens, "--out", tmp_path) == 0
    said = capsys.readouterr().out
    assert "The strengths stay as the file gives them" in said
    assert "falls short: 4" in said and "Caution." in said and "1500 kg/m3" in said
    rows = list(csv.DictReader(io.StringIO((tmp_path / "compare.csv").read_text())))
    assert [(row["fill.dry_density (kg/m3)"], row["beds.wire_strands"]) for row in rows] == [
        ("1500", "0"),
        ("1500", "2"),
        ("1900", "0"),
        ("1900", "2"),
    ]
    assert rows[0]["wire_tension_meets"] == "no" and rows[1]["wire_tension_meets"] == "yes"
    numbers = [name for name in rows[0] if name.endswith(("_factor", "_required", "_course", ")"))]
    for row in rows:  # pure numbers or nothing, and never an endless one
        assert all(row[name] == "" or math.isfinite(float(row[name])) for name in numbers)
        for name in (name for name in row if name.endswith("_meets")):
            assert row[name] in ("yes", "no", "none needed", "cannot say", "")
            assert (row[name] == "none needed") <= (row[name.replace("_meets", "_factor")] == "")
    assert any(row["base_sliding_meets"] == "none needed" for row in rows)
    sheet = openpyxl.load_workbook(tmp_path / "compare.xlsx")["comparison"]
    head, *cells = sheet.iter_rows(values_only=True)
    assert list(head) == list(rows[0])[:-1]
    for line, row in zip(cells, rows, strict=True):
        for name, cell in zip(head, line, strict=True):
            assert str(cell or "") == row[name] or float(cell) == float(row[name])
    text = words(tmp_path / "compare.pdf")
    assert "4 designs: 0 meet every margin, 4 fall short" in text and "licensed structural engineer" in text
    before = {path.name: path.read_bytes() for path in tmp_path.iterdir()}
    assert run(*tokens, "--out", tmp_path) == 0  # its own results are written over, with the same bytes
    assert {path.name: path.read_bytes() for path in tmp_path.iterdir()} == before


@pytest.mark.parametrize(
    "more",
    [
        [],
        ["--vary", "plaster.outside=0..60:3 mm"],
        ["--vary", "beds.friction=0.5,0.6", "--vary", "beds.wire_strands=1,2"],
    ],
)
def test_designs_side_by_side(
    more: list[str], files: tuple[Path, Path], tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert run("compare", *files, *more, "--workers", 1, "--out", tmp_path) == 0
    assert "Orchard tool store" in capsys.readouterr().out
    assert "2 designs: compared" in words(tmp_path / "compare.pdf")


@pytest.mark.parametrize(
    ("tokens", "says"),
    [
        (["compare", CLASSROOM], "two design files or more"),
        (["compare", CLASSROOM, "--vary", "beds.fricton=0.1,0.2"], "nearest: beds.friction"),
        (["compare", CLASSROOM, "--vary", "beds.friction=0.5..0.2:3"], "not empty"),
        (["compare", CLASSROOM, "--vary", "beds.friction=0.1,0.2", "--workers", -1], "--workers"),
        (["choose", "nowhere.toml"], "nowhere.toml"),
    ],
)
def test_refusals_write_nothing(
    tokens: list[object], says: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert run(*tokens, "--out", tmp_path / "out") == 2
    caught = capsys.readouterr()
    assert says in caught.err and "Traceback" not in caught.err
    assert not (tmp_path / "out").exists()


def test_choose_says_what_helps(files: tuple[Path, Path], tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert run("choose", files[0], "--out", tmp_path, "--workers", 2) == 0
    said = capsys.readouterr().out
    assert (
        "stabilised fill" in said
        and "These do not help the worst margin alone, however far they are taken: " in " ".join(said.split())
        and "Caution." in said
    )
    data = json.loads((tmp_path / "choose.json").read_text())
    assert data["answer"] == "falls short" and data["pairs"]
    found = {one["outcome"] for one in data["singles"]}
    assert {"not enough", "no help"} < found <= {"enough", "cannot say", "not enough", "no help"}
    assert "Two changes together" in words(tmp_path / "choose.pdf")


def test_choose_for_a_dome_that_meets(files: tuple[Path, Path], capsys: pytest.CaptureFixture[str]) -> None:
    assert run("choose", files[1]) == 0
    assert "nothing has to be changed" in " ".join(capsys.readouterr().out.split())


WINDOW = """
[[opening]]
kind = "window"
bearing = "90 deg"
sill = "0.6 m"
width = "0.4 m"
height = "0.4 m"
head = "round"
"""


def test_nothing_is_called_met_where_check_has_to_be_asked(
    files: tuple[Path, Path], window: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert run("choose", window, "--workers", 1) == 0
    said = " ".join(capsys.readouterr().out.split())
    assert (
        "nothing has to be changed" not in said
        and "the check cannot say whether the design meets what is required: openings" in said
        and "the block model of the command check must confirm" in said
    )
    assert run("compare", window, files[1], "--out", tmp_path / "files", "--workers", 1) == 0
    assert "2 designs: 1 meets every margin, 0 fall short, 1 cannot be decided here" in words(
        tmp_path / "files" / "compare.pdf"
    )
    vary = ("--vary", "fill.dry_density=1700,1800 kg/m3", "--vary", "beds.wire_strands=2,3")
    assert run("compare", window, *vary, "--out", tmp_path / "maps", "--workers", 1) == 0
    assert "met everywhere" not in words(tmp_path / "maps" / "compare.pdf")


def test_undecided_points_of_a_curve_are_marked(files: tuple[Path, Path], window: Path) -> None:
    vary = ["fill.dry_density=1700,1800 kg/m3"]
    assert comparison_figures(comparing.compare([window], vary, workers=1))["curves.svg"].count(">?<") == 2
    assert ">?<" not in comparison_figures(comparing.compare([files[1]], vary, workers=1))["curves.svg"]
    side = comparison_figures(comparing.compare([window, files[1]], workers=1))["designs.svg"]
    assert ": cannot say<" in side and ": meets<" in side


def test_what_is_short_of_one_does_not_read_as_one() -> None:
    assert [share_words(value) for value in (0.9954, 1.0, 0.29, float("inf"))] == ["0.99", "1.00", "0.29", "many"]


def test_ctrl_c_ends_in_3_and_writes_nothing(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    def stop(*_: object, **__: object) -> None:
        raise KeyboardInterrupt

    monkeypatch.setattr(comparing, "compare", stop)
    assert run("compare", CLASSROOM, CLASSROOM, "--out", tmp_path / "out") == 3
    assert "Stopped" in capsys.readouterr().err and not (tmp_path / "out").exists()
