"""The worked examples under reports/examples run, the notebook in a kernel of its own, and say what they are there
to show."""

from __future__ import annotations

import os
import runpy
from pathlib import Path
from typing import Any

import pytest

FOLDER = Path(__file__).parents[1] / "reports" / "examples"
SAYS = {
    "check_a_design.py": ("Orchard seed store: ", "bed friction", "of what is required, in: "),
    "which_tube.py": ("2.4 m inside, tube filled to 45 cm", "3.6 m inside, tube filled to 30 cm: falls short"),
    "what_makes_it_meet.py": ("as it stands: falls short", "wider tube: enough", "m3 of fill instead of"),
    "why_slender_domes_fail.py": ("a thrust line is left at", "hinges most in the bed under course"),
}


def test_there_are_five_examples_and_all_are_run_here() -> None:
    found = sorted(path.name for path in FOLDER.iterdir() if path.suffix in (".py", ".ipynb"))
    assert found == sorted([*SAYS, "change_one_value.ipynb"])


@pytest.mark.parametrize("name", SAYS)
def test_the_scripts_say_what_they_show(name: str, capsys: pytest.CaptureFixture[str]) -> None:
    runpy.run_path(str(FOLDER / name), run_name="__main__")
    said = capsys.readouterr().out
    for words in SAYS[name]:
        assert words in said


def text_of(cell: Any) -> str:
    return "".join(output.get("text", "") for output in cell.outputs)


@pytest.mark.filterwarnings("ignore")
def test_the_notebook_runs_and_shows_verdict_caution_and_section(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    import nbformat
    from nbclient import NotebookClient

    monkeypatch.setenv("PYTHONPATH", os.pathsep.join([str(FOLDER.parents[1]), os.environ.get("PYTHONPATH", "")]))
    for name in ("JUPYTER_RUNTIME_DIR", "JUPYTER_DATA_DIR", "IPYTHONDIR"):
        monkeypatch.setenv(name, str(tmp_path / name))
    book = nbformat.read(FOLDER / "change_one_value.ipynb", as_version=4)
    assert not any(cell.get("outputs") for cell in book.cells), "keep the notebook without outputs"
    NotebookClient(book, timeout=300, resources={"metadata": {"path": str(FOLDER)}}).execute()
    design, result, changed, table = [cell for cell in book.cells if cell.cell_type == "code"]
    assert any("<svg" in output["data"].get("image/svg+xml", "") for output in design.outputs)
    page = next(output["data"]["text/html"] for output in result.outputs)
    assert "licensed structural engineer" in page and "<svg" in page and "<table" in page
    assert "falls short" in changed.outputs[-1]["data"]["text/plain"]
    assert "bed friction" in text_of(table) and " -> " in text_of(table)
