"""Files as users and accidents make them: what is none is refused at once, in one clear message."""

from __future__ import annotations

import os
import threading
import time
from collections.abc import Callable
from pathlib import Path

import pytest

from shellcheck_earth.basics.errors import InputError, Problem
from shellcheck_earth.basics.reading import parse_toml, read_text
from shellcheck_earth.basics.texts import clean, faulty_name, screen_width, wrapped
from shellcheck_earth.geometry.reading import parse_design, read_design
from shellcheck_earth.loads.scatter import read_scatter
from shellcheck_earth.views.cli.soil import soil_report

READERS: list[Callable[[Path], object]] = [read_design, read_scatter, soil_report, read_text]
MINE = Path(__file__).parents[2] / "reports" / "tool-store" / "design.toml"


@pytest.mark.parametrize("reader", READERS)
def test_devices_pipes_and_folders_are_refused_without_reading_them(
    reader: Callable[[Path], object], tmp_path: Path
) -> None:
    os.mkfifo(tmp_path / "pipe")
    places = {tmp_path / "pipe": "a pipe", tmp_path: "a folder", tmp_path / "nothing": "no such file"}
    if Path("/dev/zero").exists():
        places[Path("/dev/zero")] = "a device"
    told: list[str] = []

    def ask() -> None:
        for place, found in places.items():
            with pytest.raises(InputError, match=f"found {found}"):
                reader(place)
            told.append(found)

    asking = threading.Thread(target=ask, daemon=True)  # a reader that waits for the pipe would wait for ever
    asking.start()
    asking.join(60)
    assert told == list(places.values())


@pytest.mark.parametrize("reader", READERS)
def test_size_and_bytes(reader: Callable[[Path], object], tmp_path: Path) -> None:
    (tmp_path / "large").write_bytes(b"#" * 1_000_001)
    with pytest.raises(InputError, match="at most 1 MB, found more than that"):
        reader(tmp_path / "large")
    (tmp_path / "bytes").write_bytes(b"# \xff")
    with pytest.raises(InputError, match="UTF-8, found a byte that is none, at 2"):
        reader(tmp_path / "bytes")


def test_the_limit_itself_is_allowed(tmp_path: Path) -> None:
    (tmp_path / "full").write_bytes(b"#" * 1_000_000)
    assert len(read_text(tmp_path / "full")) == 1_000_000


def test_a_byte_order_mark_is_no_fault(tmp_path: Path) -> None:
    text = MINE.read_text(encoding="utf-8")
    (tmp_path / "marked.toml").write_text(text, encoding="utf-8-sig")
    assert read_design(tmp_path / "marked.toml") == read_design(MINE)


@pytest.mark.parametrize(
    "text",
    [
        "[" + ".".join("a" * 300_000) + "]",
        ".".join("a" * 300_000) + " = 1",
        "x = { " + " . ".join("a" * 200_000) + " = 1 }",
        "[" + ".".join(['"a\\""'] * 100_000) + "]",
        "[" + ".".join(["'a'"] * 100_000) + "]",
        "x = " + "[" * 400_000,
        "x = " + "{ a = " * 100_000,
        "a" * 900_000,
        '"' * 900_000,
    ],
    ids=["header", "key", "inline", "quoted", "literal", "lists", "tables", "word", "quotes"],
)
def test_hostile_toml_is_refused_and_takes_no_time(text: str) -> None:
    """The bound is on the processor's time and wide: the parser alone takes over a minute for the first of them."""
    before = time.process_time()
    with pytest.raises(InputError):
        parse_toml(text)
    assert time.process_time() - before < 20.0


def test_paths_as_deep_as_allowed_are_read() -> None:
    assert parse_toml("a.b.c.d.e.f.g.h = 1") == {"a": {"b": {"c": {"d": {"e": {"f": {"g": {"h": 1}}}}}}}}
    assert parse_toml('[site]\nnote = "1.2.3.4 and so on ... . . . . . . . . . ."')
    with pytest.raises(InputError, match="line 2: expected at most 8 keys in one path"):
        parse_toml("\na.b.c.d.e.f.g.h.i = 1")


def test_many_faults_are_counted_not_listed() -> None:
    text = MINE.read_text(encoding="utf-8").split("[dome]")[0].rstrip()
    with pytest.raises(InputError) as told:
        parse_design("\n".join(f"key_{i} = 1" for i in range(50_000)) + "\n" + text)
    lines = str(told.value).splitlines()
    assert len(lines) == 22  # the file's name, 20 faults, the count
    # The two obligatory sections are lacking too.
    assert lines[-1].strip() == f"and {50_002 - 20} more"
    assert len(str(told.value)) < 4000


def test_few_faults_are_all_listed() -> None:
    problems = [Problem(f"key{i}", "a value", "nothing") for i in range(20)]
    assert "more" not in str(InputError(problems)) and "key19" in str(InputError(problems))
    assert str(InputError([*problems, problems[0]])).endswith("and 1 more")


@pytest.mark.parametrize("name", ["", "  ", "a\\u001b[31mred", "a\\u0007", "a\\u202egnp.exe", "two\\nlines", "\\u0085"])
def test_names_that_are_empty_or_steer_a_terminal_are_refused(name: str) -> None:
    text = MINE.read_text(encoding="utf-8")
    line = next(line for line in text.splitlines() if line.startswith("name = "))
    with pytest.raises(InputError, match=r"design.name: expected a text in plain letters, found") as told:
        parse_design(text.replace(line, f'name = "{name}"'))
    assert str(told.value).replace("\n", "").isprintable()


def test_names_of_any_language_are_fine() -> None:
    for name in ("Kürbis", "仓库 🌱", "l'abri d'été", "مخزن", "A & B <c> #1"):
        assert faulty_name(name) == "" and clean(name) == name


def test_what_steers_a_terminal_is_written_out() -> None:
    assert clean("a\x1b[31mb\nc\x07\u202e\ud800") == "a\\x1b[31mb\nc\\x07\\u202e\\ud800"


def test_text_fits_the_screen(monkeypatch: pytest.MonkeyPatch) -> None:
    text = "The wall of the store carries what lies on it. " * 20
    for columns, width in (("40", 60), ("72", 72), ("120", 120), ("500", 200)):
        monkeypatch.setenv("COLUMNS", columns)
        assert screen_width() == width
        lines = wrapped(text, "  ")
        assert width - 12 <= max(len(line) for line in lines) <= width


@pytest.mark.parametrize(
    ("line", "told"),
    [
        ("""inside_diameter = "10' 6"\"""", """write it "10' 6''\""""),
        ("""course_height = "5.5"" # tamped""", """write it "5.5''\""""),
    ],
)
def test_an_inch_mark_that_ends_a_value_is_named(line: str, told: str) -> None:
    with pytest.raises(InputError, match="TOML") as caught:
        parse_toml(f"[dome]\n{line}\n")
    assert told in str(caught.value)


@pytest.mark.parametrize("line", ['name = "a', "name = ", 'name = "" x', "[[["])
def test_other_faults_of_toml_hear_nothing_of_inches(line: str) -> None:
    with pytest.raises(InputError, match="TOML") as caught:
        parse_toml(f"[dome]\n{line}\n")
    assert "inch" not in str(caught.value)
