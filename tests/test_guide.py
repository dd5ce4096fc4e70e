"""The guide: every command and every line of code of it runs, every link leads somewhere, its generated pages are
current, it builds without a warning, and five readers get from the README to what they came for.
"""

from __future__ import annotations

import importlib.util
import re
import subprocess
import sys
import tomllib
import xml.etree.ElementTree as ET
from collections.abc import Callable
from pathlib import Path
from types import ModuleType

import pytest
from guide_pages import GUIDE, ROOT, Ran, fences, links, run_page, slugs

import shellcheck_earth as se
from shellcheck_earth.geometry.reading import read_design

README = ROOT / "README.md"
PAGES = sorted(GUIDE.glob("*.md"))
RUN = [p for p in PAGES if any(f.language in ("sh", "python") and "not run" not in f.marks for f in fences(p))]
NOT_RUN = 2
"""Fences that are only looked at: the live page, which waits, and what writes the repository's own results."""


@pytest.fixture(scope="module")
def ran(tmp_path_factory: pytest.TempPathFactory) -> Callable[[str], Ran]:
    """A page, run once however many tests ask for it."""
    kept: dict[str, Ran] = {}

    def page(name: str) -> Ran:
        if name not in kept:
            kept[name] = run_page(GUIDE / f"{name}.md", tmp_path_factory.mktemp(name))
        return kept[name]

    return page


@pytest.mark.parametrize("page", RUN, ids=lambda page: page.stem)
def test_every_command_and_all_code_of_a_page_runs(page: Path, ran: Callable[[str], Ran]) -> None:
    assert ran(page.stem).said


def test_nearly_nothing_is_left_out_and_names_what_exists() -> None:
    left = [fence for page in PAGES for fence in fences(page) if "not run" in fence.marks]
    assert len(left) == NOT_RUN
    known = load("commands").names()
    for page in (README, *PAGES):
        for name in re.findall(r"shellcheck-earth ([a-z]+)", page.read_text(encoding="utf-8")):
            assert name in known, f"{page.name}: {name}"


@pytest.mark.parametrize("page", [README, *PAGES], ids=lambda page: page.stem)
def test_every_link_leads_somewhere(page: Path) -> None:
    for words, target in links(page):
        place, _, anchor = target.partition("#")
        assert not target.startswith("http"), f"{words}: nothing is loaded from outside"
        file = (page.parent / place) if place else page
        assert file.exists(), f"{page.name}: [{words}]({target})"
        if anchor:
            assert anchor in slugs(file), f"{page.name}: [{words}]({target})"


def load(name: str) -> ModuleType:
    spec = importlib.util.spec_from_file_location(f"guide_{name}", GUIDE / f"{name}.py")
    assert spec is not None and spec.loader is not None
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    return module


def test_the_generated_pages_are_current() -> None:
    commands = load("commands")
    assert (GUIDE / "commands.md").read_text(encoding="utf-8") == commands.commands_page(), "run commands.py there"
    pictures = load("pictures")
    assert {path.stem for path in (GUIDE / "pictures").iterdir()} == set(pictures.PICTURES)
    for name in pictures.PICTURES:
        written = (GUIDE / "pictures" / f"{name}.svg").read_text(encoding="utf-8")
        assert written == pictures.svg(name), "run pictures.py there"
        assert ET.fromstring(written).attrib["aria-label"]
        assert f"(pictures/{name}.svg)" in (GUIDE / "glossary.md").read_text(encoding="utf-8")


def test_every_function_of_the_face_is_in_the_reference() -> None:
    text = (GUIDE / "api.md").read_text(encoding="utf-8")
    shown = set(re.findall(r"auto(?:function|class|exception):: (\w+)", text))
    assert set(se.__all__) - shown == {"Verdict"}  # three words, said with `check`
    assert shown <= set(se.__all__)


def test_the_guide_builds_without_a_warning(tmp_path: Path) -> None:
    pytest.importorskip("sphinx")
    pytest.importorskip("myst_parser")
    command = [
        sys.executable,
        "-m",
        "sphinx",
        "-W",
        "-q",
        "-b",
        "html",
        "-d",
        tmp_path / "kept",
        GUIDE,
        tmp_path / "html",
    ]
    done = subprocess.run(command, capture_output=True, text=True, timeout=300)
    assert done.returncode == 0, done.stderr
    method = (tmp_path / "html" / "method.html").read_text(encoding="utf-8")
    assert method.count("<math") > 20 and not re.search(r"<script[^>]*mathjax", method, re.IGNORECASE)
    for page in (tmp_path / "html").glob("*.html"):
        text = page.read_text(encoding="utf-8")
        assert not re.findall(r'(?:src|href)="https?://', text), page.name  # nothing is loaded from outside
        for target in re.findall(r'(?:src|href)="([^"#?]+)', text):
            assert (page.parent / target).exists(), f"{page.name}: {target}"


def test_every_number_of_the_tutorial_has_its_source() -> None:
    for fence in fences(GUIDE / "tutorial.md"):
        if (
            fence.language == "toml"
            and "readings" not in fence.marks.get("file", "")
            and "bare" not in str(fence.marks)
        ):
            for line in fence.text.splitlines():
                if "=" in line and re.search(r"\d", line) and "reason" not in line and not line.startswith("note"):
                    assert "#" in line, line


def test_the_readme_is_short_and_says_the_job_first() -> None:
    text = README.read_text(encoding="utf-8")
    assert len(text.splitlines()) < 80
    assert text.count("<!-- check command -->") == text.count("<!-- test command -->") == 1
    assert len(re.findall(r"^!\[", text, re.MULTILINE)) == 1
    first = text.split("\n\n")[1]
    assert "finds every force path" in first and "whoever is about to build" in first


def follow(page: Path, words: str) -> Path:
    """The page behind the one link of these words."""
    found = {target for said, target in links(page) if said.lower() == words.lower()}
    assert len(found) == 1, f"{page.name}: {words!r} leads to {sorted(found)}"
    return (page.parent / found.pop().split("#")[0]).resolve()


def test_walk_of_the_first_time_builder(ran: Callable[[str], Ran]) -> None:
    """From nothing to a design that meets, with its report, and what to do when one does not."""
    tutorial = follow(README, "the tutorial")
    done = ran(tutorial.stem)
    assert read_design(done.folder / "cistern.toml").name == "Cistern cover"
    assert (done.folder / "report" / "report.pdf").stat().st_size > 50_000
    assert (done.folder / "build-card.pdf").exists() and (done.folder / "day-1.csv").exists()
    assert "MEETS WHAT IS REQUIRED" in done.all_said and "proven" in done.said[-2]
    written = tomllib.loads((done.folder / "block.toml").read_text(encoding="utf-8"))
    used = tomllib.loads((done.folder / "cistern.toml").read_text(encoding="utf-8"))
    for table, rows in written.items():
        for key, value in rows.items():
            assert used[table][key] == value, f"{table}.{key} is not what the readings gave"
    builder = follow(tutorial, "For the builder")
    assert "To paste" in ran(builder.stem).all_said and "MEETS WHAT IS REQUIRED" in ran(builder.stem).all_said


def test_walk_of_the_teacher(ran: Callable[[str], Ran]) -> None:
    """Slenderness for its own sake: a grid where shape shows, the rule of thumb on it, and the collapse."""
    page = follow(README, "for the teacher")
    done = ran(page.stem)
    assert "(o) holds, strength set aside" in done.said[0] and "falls short" in done.said[0]
    assert {path.name for path in (done.folder / "grid").iterdir()} >= {"compare.pdf", "compare.csv"}
    assert {path.name for path in (done.folder / "lesson").iterdir()} >= {"explain.pdf", "collapse.svg"}
    assert follow(page, "glossary").stem == "glossary"


def test_walk_of_the_engineer(ran: Callable[[str], Ran]) -> None:
    """The verdict repeated, the equations, the sources, the limits."""
    page = follow(README, "for the engineer")
    assert "every counted case and margin is proven" in ran(page.stem).all_said
    assert (ran(page.stem).folder / "drawings" / "section.dxf").exists()
    method = follow(page, "The method and its equations").read_text(encoding="utf-8")
    for word in ("Heyman 1966", "Drucker 1954", "derived", "memory", "abstract read"):
        assert word in method
    assert follow(page, "one page").name == "STATEMENT.md"
    assert follow(page, "Comparisons with published values").name == "RESULTS.md"
    assert "limits" in slugs(page) and follow(README, "limits") == page


def test_walk_of_the_foreman(ran: Callable[[str], Ran]) -> None:
    """One word this morning, and the card on the wall."""
    page = follow(README, "for the foreman")
    done = ran(page.stem)
    assert (done.folder / "build-card.pdf").exists() and (done.folder / "day-1.csv").exists()
    assert done.commands[-1][0] == "survey" and done.said[-1].lstrip().startswith("/_\\ CORRECT")


def test_walk_of_the_designer_of_several_domes(ran: Callable[[str], Ran]) -> None:
    """Designs side by side, ranges, and the least change."""
    page = follow(README, "for the designer of several domes")
    done = ran(page.stem)
    for folder in ("beside", "ranges"):
        assert (done.folder / folder / "compare.xlsx").exists()
    assert (done.folder / "chosen" / "choose.json").exists()
    assert done.said[-1].count(" m3 of fill") == 3
