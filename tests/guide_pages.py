"""The pages of the guide as their readers use them: links to follow, files to write, commands and code to run.

A page marks its fences with a comment on the line before: `file: NAME` is written, `paste: NAME` goes into a design
file in place of the lines of the same name, `copy: FROM TO` copies, `exit: N` is the exit code of what follows
(else 0), `shows` must have been said by them, `not run: WHY` is only looked at. A page runs in a folder of its own with
the examples beside it.
"""

from __future__ import annotations

import contextlib
import io
import os
import re
import shlex
import shutil
from dataclasses import dataclass, field
from pathlib import Path

from shellcheck_earth.__main__ import main

__all__ = ["GUIDE", "ROOT", "Fence", "Ran", "fences", "links", "pasted", "run_page", "slugs"]

ROOT = Path(__file__).parents[1]
GUIDE = ROOT / "reports" / "guide"

_FENCE = re.compile(r"((?:^<!-- [^\n]+ -->\n+)*)^```(\w+)\n(.*?)^```$", re.MULTILINE | re.DOTALL)
_MARK = re.compile(r"<!-- ([^\n]+?) -->")
_LINK = re.compile(r"(!?)\[([^\]]*)\]\(([^)\s]+)\)")


@dataclass(frozen=True)
class Fence:
    """One fenced block: its language, its text, and the marks before it."""

    language: str
    text: str
    marks: dict[str, str]


@dataclass
class Ran:
    """What running a page left: its folder, what was said block by block, and which commands were run."""

    folder: Path
    said: list[str] = field(default_factory=list)
    commands: list[list[str]] = field(default_factory=list)

    @property
    def all_said(self) -> str:
        return "\n".join(self.said)


def fences(page: Path) -> list[Fence]:
    """The marked and fenced blocks of a page, in order."""
    out = []
    for found in _FENCE.finditer(page.read_text(encoding="utf-8")):
        marks = dict(mark.partition(": ")[::2] for mark in _MARK.findall(found[1]))
        out.append(Fence(found[2], found[3], marks))
    return out


def links(page: Path) -> list[tuple[str, str]]:
    """(words, target) of every link and picture of a page."""
    return [(words, target) for _, words, target in _LINK.findall(page.read_text(encoding="utf-8"))]


def slugs(page: Path) -> set[str]:
    """The anchors of its headings."""
    heads = re.findall(r"^#+ (.+)$", page.read_text(encoding="utf-8"), re.MULTILINE)
    return {re.sub(r"[^\w\- ]", "", head.lower()).strip().replace(" ", "-") for head in heads}


def pasted(text: str, block: str) -> str:
    """A design file with the lines of a block in place of its own of the same name, as a person would do it."""
    table, new = "", {}
    gone: set[tuple[str, str]] = set()
    for line in block.splitlines():
        if line.startswith("["):
            table = line.strip("[] ")
        elif line.startswith("# take out: "):
            gone.add((table, line.removeprefix("# take out: ")))
        elif line and not line.startswith("#"):
            new[table, line.split("=")[0].strip()] = line
    table, kept = "", []
    for line in text.splitlines():
        table = line.strip("[] ") if line.startswith("[") else table
        key = (table, line.split("=")[0].strip())
        if key not in new and key not in gone:
            kept.append(line)
        if line.startswith("["):
            kept += [each for (own, _), each in new.items() if own == table]
    return "\n".join(kept) + "\n"


def _command(tokens: list[str]) -> tuple[int, str]:
    out = io.StringIO()
    with contextlib.redirect_stdout(out), contextlib.redirect_stderr(out):
        try:
            main(tokens)
        except SystemExit as done:
            return int(done.code or 0), out.getvalue()
    raise AssertionError(f"{tokens} did not end")


def _python(code: str) -> str:
    out = io.StringIO()
    with contextlib.redirect_stdout(out):
        exec(compile(code, "<guide>", "exec"), {"__name__": "guide"})
    return out.getvalue()


def _shell(fence: Fence, ran: Ran) -> str:
    said = ""
    for line in fence.text.splitlines():
        name, *tokens = shlex.split(line, comments=True)
        if name == "python" and tokens[0] == "-c":
            said += _python(tokens[1])
            continue
        assert name == "shellcheck-earth", f"only this program's own commands are run: {line}"
        code, words = _command(tokens)
        assert code == int(fence.marks.get("exit", 0)), f"{line}: exit {code}\n{words}"
        ran.commands.append(tokens)
        said += words
    return said


def _plain(text: str) -> str:
    return " ".join(text.split())


def _prepare(fence: Fence) -> None:
    """Write, copy and paste what the marks ask for."""
    if "file" in fence.marks:
        Path(fence.marks["file"]).write_text(fence.text, encoding="utf-8")
    if "copy" in fence.marks:
        shutil.copy(*fence.marks["copy"].split())
    if "paste" in fence.marks:
        file = Path(fence.marks["paste"])
        file.write_text(pasted(file.read_text(encoding="utf-8"), fence.text), encoding="utf-8")


def run_page(page: Path, folder: Path) -> Ran:
    """Everything a page asks of its reader, in order."""
    (folder / "reports").symlink_to(ROOT / "reports")
    ran, before = Ran(folder), Path.cwd()
    os.chdir(folder)
    try:
        for fence in fences(page):
            _prepare(fence)
            if "not run" in fence.marks:
                continue
            if "shows" in fence.marks:
                for line in fence.text.splitlines():
                    assert _plain(line) in _plain(ran.said[-1]), f"{page.name}: not said: {line}\n{ran.said[-1]}"
            elif fence.language == "sh":
                ran.said.append(_shell(fence, ran))
            elif fence.language == "python":
                ran.said.append(_python(fence.text))
    finally:
        os.chdir(before)
    return ran
