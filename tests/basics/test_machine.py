"""Machine code that is kept: the compiler's own bits, only as written; the compiler where it does not fit."""

from __future__ import annotations

import os
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path
from typing import Any

import numpy as np
import pytest

from shellcheck_earth.basics import kept, machine
from shellcheck_earth.basics.machine import Called, Compiled, Place

ROOT = Path(__file__).parents[2]


def weigh(table, row, i, f, counts, marks):  # type: ignore[no-untyped-def]
    """Takes one of every kind."""
    out = f * row[i] + marks[1, 0]
    for j in range(table.shape[0]):
        out += table[j, table.shape[1] - 1] / counts[0]
    row[0] = out
    return counts[1], np.sqrt(out), i


def fresh(row):  # type: ignore[no-untyped-def]
    """Makes an array, which no kept code may."""
    return np.cumsum(row)[-1]


WAY = {"error_model": "numpy", "nogil": False, "inline": "never"}


def arguments() -> tuple[Any, ...]:
    return (
        np.arange(6.0).reshape(2, 3) / 7.0,
        np.array([0.1, 0.2, 0.3]),
        2,
        1.1,
        np.array([3, 4]),
        np.array([[1, 2], [3, 4]]),
    )


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    return tmp_path


def made(function: Callable[..., Any], takes: str, gives: str, folder: Path | None) -> Compiled:
    return Compiled(function, WAY, Called(takes, gives), Place(lambda: folder, kept._keeping))


def asked(folder: Path | None) -> tuple[Compiled, Any, tuple[Any, ...]]:
    """A function that was called once, what it gave and what it was given."""
    given, function = arguments(), made(weigh, "21idnc", "idi", folder)
    return function, function(*given), given


def test_the_bits_are_the_compilers_and_the_interpreters(folder: Path) -> None:
    function, found, given = asked(folder)
    assert function._code is not None
    plain, by_compiler = arguments(), arguments()
    assert found == weigh(*plain) == function.dispatcher(*by_compiler)
    assert given[1][0] == plain[1][0] == by_compiler[1][0]  # what it writes, it writes into the array it was given
    assert [path.suffix for path in folder.iterdir() if path.is_file()] == [".code"]


HARMS: dict[str, Callable[[bytes], bytes]] = {
    "cut off": lambda found: found[:-1],
    "altered": lambda found: found[:-1] + bytes([found[-1] ^ 1]),
    "empty": lambda _: b"",
    "not sealed": lambda found: found[machine.MARK :],
}


def test_only_what_was_written_is_loaded(folder: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    asked(folder)
    (file,) = folder.glob("*.code")
    whole = file.read_bytes()
    compiled: list[str] = []
    compile_anew = machine._compile

    def counted(wanted: Compiled) -> bytes:
        compiled.append(wanted.__name__)
        return compile_anew(wanted)

    monkeypatch.setattr(machine, "_compile", counted)
    asked(folder)
    assert compiled == []
    for number, harm in enumerate(HARMS.values(), 1):
        file.write_bytes(harm(whole))
        assert asked(folder)[1] == weigh(*arguments())
        assert len(compiled) == number and machine._read(file) is not None
    other = file.rename(file.with_name(file.name.replace("weigh", "other")))
    assert machine._read(other) is None  # sealed under its own name
    monkeypatch.setattr(machine, "_surroundings", lambda: "another processor")
    assert asked(folder)[1] == weigh(*arguments()) and len(compiled) == len(HARMS) + 1


def test_what_does_not_fit_goes_to_the_compiler(folder: Path) -> None:
    function, expected, given = asked(folder)
    assert function._code is not None
    table, row, i, f, counts, marks = arguments()
    for wrong in (
        (np.asfortranarray(table), row.copy(), i, f, counts, marks),
        (table, np.repeat(row, 2)[::2], i, f, counts, marks),
        (table.astype(np.float32), row.copy(), i, f, counts, marks),
        (table, row.copy(), i, f, counts.astype(np.int32), marks),
    ):
        with pytest.raises(machine.UnfitError):
            function._code(*wrong)
        assert function(*wrong) == pytest.approx(expected, rel=1e-6)
    again = (table, row.copy(), i, f, counts, marks)
    assert function(*again) == expected
    again[1][:] = arguments()[1] * 2.0  # the same array with other values is not answered from memory
    assert function(*again) != expected
    del given


def test_a_function_that_asks_for_more_is_left_to_the_compiler(folder: Path) -> None:
    for _ in range(2):
        function = made(fresh, "1", "d", folder)
        assert function(np.array([1.0, 2.0, 4.0])) == 7.0
        assert function._code is None
    (file,) = folder.glob("*.code")
    assert machine._read(file) == b""


def test_a_result_of_another_kind_is_left_to_the_compiler(folder: Path) -> None:
    function = made(weigh, "21idnc", "iii", folder)
    assert function(*arguments()) == weigh(*arguments()) and function._code is None


def test_where_nothing_can_be_kept_the_compiler_does_it() -> None:
    function, found, _ = asked(None)
    assert function._code is None and found == weigh(*arguments())


def test_a_later_run_needs_no_compiler() -> None:
    script = (
        "import sys; from pathlib import Path; from shellcheck_earth.geometry.reading import read_design;"
        "from shellcheck_earth.safety.shortfalls import meets_all;"
        f"print(meets_all(read_design(Path({str(ROOT / 'reports' / 'tool-store' / 'design.toml')!r}))),"
        " *sorted({'numba', 'scipy', 'llvmlite'} & set(sys.modules)))"
    )
    environment = {**os.environ, "PYTHONPATH": str(ROOT)}
    said = [
        subprocess.run([sys.executable, "-c", script], env=environment, capture_output=True, text=True, check=True)
        for _ in range(2)
    ]
    assert said[1].stdout.split() == ["True", "llvmlite"]
    assert said[0].stdout.split()[0] == "True"
