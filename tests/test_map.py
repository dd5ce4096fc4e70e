"""DEVELOPERS.md leads a newcomer: its map is the tree, its files exist."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[1]
PACKAGE = ROOT / "shellcheck_earth"
TEXT = (ROOT / "DEVELOPERS.md").read_text(encoding="utf-8")


def mapped(text: str) -> dict[str, str]:
    """Path of each module on the map, under the package -> what is said of it."""
    block = text.split("<!-- map -->")[1].split("```")[1].removeprefix("text\n")
    folder, out = "", {}
    for line in block.splitlines():
        if line.endswith("/"):
            folder = "" if line == "shellcheck_earth/" else line
        elif line:
            name, _, said = line.strip().partition(" ")
            assert folder + name not in out, f"{folder}{name} is on the map twice"
            out[folder + name] = said.strip()
    return out


def test_the_map_is_the_tree() -> None:
    tree = {str(path.relative_to(PACKAGE)) for path in PACKAGE.rglob("*.py") if path.name != "__init__.py"}
    found = mapped(TEXT)
    assert tree - set(found) == set(), "add these to the map in DEVELOPERS.md"
    assert set(found) - tree == set(), "these are on the map in DEVELOPERS.md and nowhere else"
    assert all(len(said) > 5 for said in found.values())


def test_the_eight_files_are_eight_and_exist() -> None:
    found = re.findall(r"^\d\. `(shellcheck_earth/[^`]+)`", TEXT, flags=re.MULTILINE)
    assert len(found) == 8
    assert all((ROOT / name).is_file() for name in found)


@pytest.mark.parametrize("name", sorted(set(re.findall(r"`((?:[a-z_]+/)+[a-z_]+\.(?:py|toml|md))`", TEXT))))
def test_files_that_are_named_exist(name: str) -> None:
    assert (PACKAGE / name).is_file() or (ROOT / name).is_file()
