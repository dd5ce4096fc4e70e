"""Files are written whole or not at all, and never over something else."""

from __future__ import annotations

from pathlib import Path

import pytest

from shellcheck_earth.basics.errors import OutputError, RunError
from shellcheck_earth.views.export.output import check_folder, write_outputs

PDF, JSON = b"%PDF-1.7 ...", b'{\n "format": 1\n}\n'


def _names(folder: Path) -> list[str]:
    return sorted(path.name for path in folder.iterdir())


def test_writes_into_a_new_folder_and_over_older_results(tmp_path: Path) -> None:
    folder = tmp_path / "a" / "b"
    write_outputs(folder, {"report.pdf": PDF, "assessment.json": JSON})
    write_outputs(folder, {"report.pdf": PDF + b"2", "assessment.json": JSON})
    assert _names(folder) == ["assessment.json", "report.pdf"]
    assert (folder / "report.pdf").read_bytes() == PDF + b"2"


@pytest.mark.parametrize(
    ("name", "there"),
    [
        ("report.pdf", b"my notes"),
        ("assessment.json", b'{"mine": 1}'),
        ("courses.csv", b"a,b\n"),
        ("section.svg", b"\x89PNG"),
    ],
)
def test_a_file_of_another_kind_stays(tmp_path: Path, name: str, there: bytes) -> None:
    (tmp_path / name).write_bytes(there)
    with pytest.raises(OutputError, match=f"{name}: expected .*found a file of another kind; nothing was written"):
        write_outputs(tmp_path, {"other.pdf": PDF, name: b"new"})
    assert _names(tmp_path) == [name] and (tmp_path / name).read_bytes() == there


def test_a_folder_in_the_place_of_a_file_stays(tmp_path: Path) -> None:
    (tmp_path / "report.pdf").mkdir()
    with pytest.raises(OutputError, match="found a folder"):
        write_outputs(tmp_path, {"assessment.json": JSON, "report.pdf": PDF})
    assert _names(tmp_path) == ["report.pdf"]


def test_a_file_in_the_place_of_the_folder(tmp_path: Path) -> None:
    (tmp_path / "out").write_text("x")
    with pytest.raises(OutputError, match="expected a folder, found a file"):
        check_folder(tmp_path / "out")
    with pytest.raises(OutputError):
        write_outputs(tmp_path / "out" / "deeper", {"report.pdf": PDF})


def test_trouble_half_way_leaves_nothing(tmp_path: Path) -> None:
    """The second file cannot be written (its folder is missing): the first must not appear either."""
    with pytest.raises(RunError, match="nothing was written"):
        write_outputs(tmp_path, {"report.pdf": PDF, "missing/assessment.json": JSON})
    assert _names(tmp_path) == []


@pytest.mark.skipif(not Path("/proc/self").is_dir(), reason="needs a folder that even root cannot write to")
def test_a_folder_that_cannot_be_written_to() -> None:
    with pytest.raises(OutputError, match="folder that can be written to"):
        write_outputs(Path("/proc/orchard"), {"report.pdf": PDF})
