"""Files are written whole or not at all, and never over something else."""

from __future__ import annotations

from pathlib import Path

import pytest

from shellcheck_earth.basics.errors import OutputError, RunError
from shellcheck_earth.views.export.output import check_folder, write_outputs
from shellcheck_earth.views.export.stale import digest_in
from shellcheck_earth.views.export.workbook import DataTable, workbook

DIGEST, OTHER = "a" * 64, "b" * 64
PDF, JSON = b"%PDF-1.7 ...", b'{\n "format": 1\n}\n'


def _names(folder: Path) -> list[str]:
    return sorted(path.name for path in folder.iterdir())


def test_writes_into_a_new_folder_and_over_older_results(tmp_path: Path) -> None:
    folder = tmp_path / "a" / "b"
    write_outputs(folder, {"report.pdf": PDF, "assessment.json": JSON}, DIGEST)
    write_outputs(folder, {"report.pdf": PDF + b"2", "assessment.json": JSON}, DIGEST)
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
        write_outputs(tmp_path, {"other.pdf": PDF, name: b"new"}, DIGEST)
    assert _names(tmp_path) == [name] and (tmp_path / name).read_bytes() == there


def test_a_folder_in_the_place_of_a_file_stays(tmp_path: Path) -> None:
    (tmp_path / "report.pdf").mkdir()
    with pytest.raises(OutputError, match="found a folder"):
        write_outputs(tmp_path, {"assessment.json": JSON, "report.pdf": PDF}, DIGEST)
    assert _names(tmp_path) == ["report.pdf"]


def test_a_file_in_the_place_of_the_folder(tmp_path: Path) -> None:
    (tmp_path / "out").write_text("x")
    with pytest.raises(OutputError, match="expected a folder, found a file"):
        check_folder(tmp_path / "out")
    with pytest.raises(OutputError):
        write_outputs(tmp_path / "out" / "deeper", {"report.pdf": PDF}, DIGEST)


def test_trouble_half_way_leaves_nothing(tmp_path: Path) -> None:
    """The second file cannot be written (its folder is missing): the first must not appear either."""
    with pytest.raises(RunError, match="nothing was written"):
        write_outputs(tmp_path, {"report.pdf": PDF, "missing/assessment.json": JSON}, DIGEST)
    assert _names(tmp_path) == []


@pytest.mark.skipif(not Path("/proc/self").is_dir(), reason="needs a folder that even root cannot write to")
def test_a_folder_that_cannot_be_written_to() -> None:
    with pytest.raises(OutputError, match="folder that can be written to"):
        write_outputs(Path("/proc/orchard"), {"report.pdf": PDF}, DIGEST)


def _of(digest: str) -> dict[str, bytes]:
    mark = f"design_sha256:{digest}".encode()
    return {
        "mechanism.glb": b"glTF" + mark,
        "courses.xlsx": workbook([DataTable("courses", ("a",), ((1,),))], "t", digest),
        "courses.csv": f"compass_mm,design_sha256\n1,{digest}\n".encode(),
        "chance.csv": f"chance_of,design_sha256\n1,{digest}\n".encode(),
        "chance.json": f'{{\n "format": 1,\n "design_sha256": "{digest}"\n}}\n'.encode(),
        "explain.pdf": PDF + mark,
        "section.svg": b"<svg><metadata>" + mark + b"</metadata></svg>",
    }


def test_every_kind_of_file_gives_its_digest_back(tmp_path: Path) -> None:
    for name, content in _of(DIGEST).items():
        (tmp_path / name).write_bytes(content)
        assert digest_in(tmp_path / name) == DIGEST, name
    (tmp_path / "report.pdf").write_bytes(PDF)
    (tmp_path / "compare.xlsx").write_bytes(b"PK no zip at all")
    assert digest_in(tmp_path / "report.pdf") == digest_in(tmp_path / "compare.xlsx") == ""
    assert digest_in(tmp_path) == digest_in(tmp_path / "nothing") == ""


def test_what_belongs_to_another_design_is_removed_or_named(tmp_path: Path) -> None:
    for name, content in _of(OTHER).items():
        (tmp_path / name).write_bytes(content)
    (tmp_path / "choose.pdf").write_bytes(PDF)  # by an older version, without a digest
    (tmp_path / "my courses.csv").write_bytes(_of(OTHER)["courses.csv"])
    found = write_outputs(tmp_path, {"report.pdf": PDF, "courses.csv": _of(DIGEST)["courses.csv"]}, DIGEST)
    assert found.removed == ("courses.xlsx", "section.svg", "mechanism.glb")
    assert found.left == ("explain.pdf", "chance.json", "chance.csv")
    assert _names(tmp_path) == sorted(
        ["report.pdf", "courses.csv", "choose.pdf", "my courses.csv", "explain.pdf", "chance.json", "chance.csv"]
    )
    assert len(found.lines()) == 2


def test_what_belongs_to_this_design_stays(tmp_path: Path) -> None:
    for name, content in _of(DIGEST).items():
        (tmp_path / name).write_bytes(content)
    before = _names(tmp_path)
    found = write_outputs(tmp_path, {"report.pdf": PDF}, DIGEST)
    assert found.lines() == [] and _names(tmp_path) == sorted([*before, "report.pdf"])


def test_a_study_removes_nothing(tmp_path: Path) -> None:
    (tmp_path / "mechanism.glb").write_bytes(_of(OTHER)["mechanism.glb"])
    found = write_outputs(tmp_path, {"explain.pdf": PDF}, DIGEST)
    assert found.left == ("mechanism.glb",) and (tmp_path / "mechanism.glb").exists()
