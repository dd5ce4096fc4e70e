"""The examples in docstrings run, as a reader in a clone of the repository would run them."""

from __future__ import annotations

import doctest
from importlib import import_module
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[1]
MODULES = (
    "shellcheck_earth",
    "shellcheck_earth.face",
    "shellcheck_earth.face_studies",
    "shellcheck_earth.geometry.reading",
    "shellcheck_earth.safety.check",
    "shellcheck_earth.studies.compare",
)
EXAMPLES = [
    example
    for name in MODULES
    for example in doctest.DocTestFinder(exclude_empty=True).find(import_module(name), name)
    if example.examples
]


def test_each_of_these_modules_has_an_example() -> None:
    assert {name for name in MODULES if any(example.name.startswith(name) for example in EXAMPLES)} == set(MODULES)


@pytest.mark.parametrize("example", EXAMPLES, ids=lambda example: example.name)
def test_examples_in_docstrings_run(
    example: doctest.DocTest, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    (tmp_path / "reports").symlink_to(ROOT / "reports")  # what an example writes stays out of the tree
    monkeypatch.chdir(tmp_path)
    failed = doctest.DocTestRunner().run(example).failed
    assert not failed, capsys.readouterr().out
