"""`survey` as a user meets it: the answer first, files, exit codes, refusals."""

from __future__ import annotations

import csv
import io
import json
from pathlib import Path

import pytest
from pypdf import PdfReader
from survey_sheets import sheet

from shellcheck_earth.__main__ import main
from shellcheck_earth.geometry.reading import read_design
from shellcheck_earth.mechanics.proof.check import recheck

REPORTS = Path(__file__).parents[2] / "reports"
STORE, CLASSROOM = (REPORTS / name / "design.toml" for name in ("tool-store", "garden-classroom"))


def run(*tokens: object) -> int:
    with pytest.raises(SystemExit) as done:
        main([str(token) for token in tokens])
    return int(done.value.code or 0)


def written(path: Path, text: str) -> Path:
    path.write_text(text, encoding="utf-8")
    return path


def test_low_courses_are_corrected(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    readings = written(tmp_path / "day-4.csv", sheet(read_design(STORE), 12, height=0.97, out=0.02, aside=0.015))
    assert run("survey", STORE, readings, "--out", tmp_path / "day-4") == 1
    said = capsys.readouterr().out
    assert said.splitlines()[0] == "/_\\ CORRECT"
    assert "set compass" in said and "what stands now: meets" in said and "Caution." in said
    folder = tmp_path / "day-4"
    data = json.loads((folder / "survey.json").read_text())
    assert data["answer"] == "correct" and data["corrected"]["verdict"] == "meets"
    assert len(data["settings"]) == 5 and data["courses"][-1]["shift_m"] == pytest.approx(0.015, abs=1e-6)
    rows = list(csv.DictReader(io.StringIO((folder / "settings.csv").read_text())))
    assert float(rows[0]["compass_mm"]) == pytest.approx(1000 * data["settings"][0]["compass_m"], abs=0.1)
    for name in ("now", "plan", "corrected"):
        assert recheck(folder / f"certificate-{name}.json", folder / f"as-built-{name}.toml").verdict == "meets"
    pages = PdfReader(folder / "survey.pdf").pages
    text = " ".join(pages[0].extract_text().split())
    assert text.index("Correct") < text.index("what stands now") < text.index("set compass")
    before = {path.name: path.read_bytes() for path in folder.iterdir()}
    assert run("survey", STORE, readings, "--out", folder) == 1
    assert {path.name: path.read_bytes() for path in folder.iterdir()} == before


def test_a_soaked_wall_stops(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    readings = written(tmp_path / "day-8.csv", sheet(read_design(CLASSROOM), 20, rains=("2026-05-05,12,240,",)))
    assert run("survey", CLASSROOM, readings) == 1
    said = capsys.readouterr().out
    assert said.startswith("[X] STOP: NOBODY INSIDE\n    Everybody out")
    assert "set compass" not in said and "no deeper than" in said


def test_what_is_refused(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert run("survey", STORE) == 2
    assert "READINGS: expected a sheet of readings" in capsys.readouterr().err
    readings = written(tmp_path / "r.csv", sheet(read_design(STORE), 12).replace("\n7,", "\n6,"))
    assert run("survey", STORE, readings) == 2
    told = capsys.readouterr().err
    assert "r.csv" in told and "course 6 again, after line" in told and "Traceback" not in told
    assert run("survey", STORE, readings, "--language", "fr") == 2
    assert "en or es" in capsys.readouterr().err


@pytest.mark.parametrize("design", [STORE, CLASSROOM], ids=["imperial", "metric"])
def test_the_starter_reads_back_when_it_is_filled_in(
    tmp_path: Path, design: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    blank = tmp_path / "blank.csv"
    assert run("survey", design, "--starter", blank) == 0
    capsys.readouterr()
    assert run("survey", design, blank) == 2
    assert "readings of at least one course" in capsys.readouterr().err
    lines = []
    for line in blank.read_text().splitlines():
        cells = line.split(",")
        if cells[0].lstrip("-").isdigit() and int(cells[0]) <= 9:
            cells[4], cells[5] = cells[1], cells[2]  # the planned top and radius
        lines.append(",".join(cells))
    filled = written(tmp_path / "filled.csv", "\n".join(lines) + "\n")
    # the classroom falls short as it is drawn, whatever follows; the store needs the block model
    assert run("survey", design, filled, "--no-blocks", "--json") == (1 if design == CLASSROOM else 2)
    data = json.loads(capsys.readouterr().out)
    assert len([one for one in data["courses"] if one["number"] > 0]) == 9
    assert abs(data["courses"][-1]["off_curve_m"]) < 0.001
    assert run("survey", design, "--starter", blank) == 2


def font_sizes(path: Path) -> list[float]:
    """Of every piece of text, in points, scaled as it is drawn."""
    sizes: list[float] = []

    def seen(text: str, _cm: list[float], tm: list[float], _font: object, size: float) -> None:
        if text.strip():
            scale = abs(_cm[3] or 1.0) * abs(tm[3] or 1.0)
            sizes.append(size * scale)

    for page in PdfReader(path).pages:
        page.extract_text(visitor_text=seen)
    return sizes


@pytest.mark.parametrize("paper", [("a4", 595.276, 841.89), ("letter", 612.0, 792.0)], ids=["a4", "letter"])
@pytest.mark.parametrize("design", [STORE, CLASSROOM], ids=["imperial", "metric"])
def test_the_card_is_one_page_of_ten_points(tmp_path: Path, design: Path, paper: tuple[str, float, float]) -> None:
    out = tmp_path / "card.pdf"
    assert run("card", design, "--out", out, "--paper", paper[0], "--language", "es") == 0
    pages = PdfReader(out).pages
    assert len(pages) == 1
    box = pages[0].mediabox
    assert (float(box.width), float(box.height)) == pytest.approx(paper[1:], abs=0.1)
    text = " ".join(pages[0].extract_text().split())
    for said in ("Ficha de obra", "cadena fija", "cadena central", "altura del muro", "lector nativo", "Atención."):
        assert said in text
    planned = read_design(design)
    from shellcheck_earth.geometry.courses import build_dome

    arc = [course for course in build_dome(planned).courses if course.number > 0]
    for course in arc if design == CLASSROOM else []:
        assert f"{1000 * course.compass:.0f} mm" in text
    assert min(font_sizes(out)) >= 9.99


def test_the_card_goes_on_from_a_survey(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    readings = written(tmp_path / "r.csv", sheet(read_design(STORE), 12, height=0.97, out=0.02))
    assert run("survey", STORE, readings, "--out", tmp_path, "--language", "es") == 1
    said = capsys.readouterr().out
    assert said.startswith("/_\\ CORRIJA\n") and "lector nativo" in said
    text = " ".join(PdfReader(tmp_path / "build-card.pdf").pages[0].extract_text().split())
    data = json.loads((tmp_path / "survey.json").read_text())
    assert [one["course"] for one in data["settings"]] == [13, 14, 15, 16, 17]
    assert "5 ft 9 1/2 in" in text and "4 ft 0 5/8 in" not in text
    assert "Lo que se mid" in " ".join(PdfReader(tmp_path / "survey.pdf").pages[1].extract_text().split())
    stop = written(tmp_path / "stop.csv", sheet(read_design(CLASSROOM), 20, rains=("2026-05-05,12,240,",)))
    assert run("card", CLASSROOM, stop, "--out", tmp_path / "no.pdf") == 2
    assert "an answer to stop" in capsys.readouterr().err and not (tmp_path / "no.pdf").exists()


def test_a_spanish_sheet_reads_back(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    blank = tmp_path / "hoja.csv"
    assert run("survey", STORE, "--starter", blank, "--language", "es") == 0
    capsys.readouterr()
    assert run("survey", STORE, blank) == 2  # every head was understood: only the readings are missing
    assert capsys.readouterr().err.count("expected") == 1
