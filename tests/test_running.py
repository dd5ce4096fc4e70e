"""How the program starts and ends, as processes of their own: exit codes, interrupts, outputs that cannot take it."""

from __future__ import annotations

import os
import shutil
import signal
import subprocess
import sys
import tempfile
import time
from pathlib import Path

import pytest

from shellcheck_earth.basics import kept

ROOT = Path(__file__).parents[1]
STORE = ROOT / "reports" / "tool-store" / "design.toml"
SOLVERS = ("numpy", "scipy", "numba", "matplotlib", "clarabel", "joblib", "typst")
COMMAND = [sys.executable, "-m", "shellcheck_earth"]


def run(*tokens: object, **more: object) -> subprocess.CompletedProcess[str]:
    environment = {**os.environ, "COLUMNS": "80", **more.pop("env", {})}  # type: ignore[dict-item]
    settings = {"cwd": ROOT, "capture_output": True, "text": True, "check": False, "timeout": 240, **more}
    return subprocess.run([*COMMAND, *map(str, tokens)], env=environment, **settings)  # type: ignore[call-overload]


@pytest.mark.parametrize(
    "tokens",
    [
        ("--help",),
        ("--version",),
        ("check", "--help"),
        ("new", "mine.toml"),
        ("completion", "bash"),
        ("recheck", "nowhere.json"),
    ],
)
def test_what_needs_no_solver_loads_none(tmp_path: Path, tokens: tuple[str, ...]) -> None:
    script = (
        "import sys\n"
        "from shellcheck_earth.__main__ import main\n"
        "try:\n    main(sys.argv[1:])\n"
        "except SystemExit:\n    pass\n"
        f"print('loaded:', *[name for name in {SOLVERS} if name in sys.modules])"
    )
    asked = subprocess.run(
        [sys.executable, "-c", script, *tokens],
        cwd=tmp_path,
        env={**os.environ, "PYTHONPATH": str(ROOT)},
        capture_output=True,
        text=True,
        check=False,
    )
    assert asked.stdout.splitlines()[-1] == "loaded:", asked.stdout + asked.stderr


def test_the_check_of_loaded_modules_sees_one() -> None:
    """`check` does load the solver, so the test above can fail."""
    script = "import sys, shellcheck_earth.safety.check\nprint(*[n for n in sys.argv[1:] if n in sys.modules])"
    asked = subprocess.run(
        [sys.executable, "-c", script, *SOLVERS], cwd=ROOT, capture_output=True, text=True, check=True
    )
    assert "numpy" in asked.stdout


@pytest.fixture(scope="session")
def verdict() -> int:
    """The exit code of the tool store's check when nothing is in its way."""
    code = run("check", STORE).returncode
    assert code in (0, 1, 2)
    return code


@pytest.mark.parametrize("shell", ["bash", "zsh", "fish"])
def test_completion_is_a_script_the_shell_can_read(shell: str, tmp_path: Path) -> None:
    asked = run("completion", shell)
    assert asked.returncode == 0 and "shellcheck-earth" in asked.stdout
    if shutil.which(shell) is None:
        pytest.skip(f"no {shell} here")
    (tmp_path / "script").write_text(asked.stdout)
    subprocess.run([shell, "-n", tmp_path / "script"], check=True)


@pytest.mark.skipif(shutil.which("bash") is None, reason="needs bash")
def test_completion_offers_the_commands(tmp_path: Path) -> None:
    (tmp_path / "script").write_text(run("completion", "bash").stdout)
    asked = subprocess.run(
        [
            "bash",
            "-c",
            f"source {tmp_path}/script; COMP_WORDS=(shellcheck-earth ch); COMP_CWORD=1; "
            "$(complete -p shellcheck-earth | sed 's/.*-F \\([^ ]*\\).*/\\1/') shellcheck-earth ch shellcheck-earth; "
            "echo ${COMPREPLY[@]}",
        ],
        capture_output=True,
        text=True,
        check=True,
    )
    assert set(asked.stdout.split()) == {"chance", "check", "choose"}, asked.stderr


@pytest.mark.skipif(not Path("/dev/full").exists(), reason="needs a device that is always full")
@pytest.mark.parametrize("tokens", [("--help",), ("--version",), ("check", STORE), ("check", STORE, "--json")])
def test_a_full_output_is_no_verdict(tokens: tuple[object, ...]) -> None:
    with open("/dev/full", "w") as full:
        asked = run(*tokens, capture_output=False, stdout=full, stderr=subprocess.PIPE)
    assert asked.returncode == 3
    assert asked.stderr.endswith("Could not run. The answer could not be written out: no space left on device.\n")


@pytest.mark.skipif(shutil.which("bash") is None, reason="needs bash")
@pytest.mark.parametrize(
    ("tail", "code"),
    [(">&-", 3), ("2>&- >/dev/null", None), ("</dev/null 2>&- >/dev/null", None), (">/dev/full 2>&1", 3)],
)
def test_closed_streams(tail: str, code: int | None, verdict: int) -> None:
    line = f'"{sys.executable}" -m shellcheck_earth check "{STORE}" {tail}'
    asked = subprocess.run(["bash", "-c", line], cwd=ROOT, capture_output=True, text=True, check=False)
    assert asked.returncode == (verdict if code is None else code)
    assert "Traceback" not in asked.stderr


def test_a_reader_that_goes_away_is_no_verdict() -> None:
    reading, writing = os.pipe()
    os.close(reading)
    asked = run("check", STORE, "--json", capture_output=False, stdout=writing, stderr=subprocess.PIPE)
    os.close(writing)
    assert asked.returncode == 3 and "Could not" not in asked.stderr and "Traceback" not in asked.stderr


@pytest.mark.parametrize("after", [0.03, 0.1, 0.2, 0.3, 0.5, 0.8, 1.2])
def test_an_interrupt_at_any_time_is_one_sentence(after: float, tmp_path: Path) -> None:
    """The signal is sent once the interpreter has reached the program (before that the interpreter itself answers)."""
    script = (
        "import os, sys\n"
        "import shellcheck_earth.__main__ as entry\n"
        "really = entry.signal.signal\n"
        "def told(number, handler):\n"
        "    out = really(number, handler)\n"
        "    os.write(2, b'.') if handler is entry._stop_at_once else None\n"
        "    return out\n"
        "entry.signal.signal = told\n"
        "entry.start()\n"
    )
    process = subprocess.Popen(
        [sys.executable, "-c", script, "chance", str(STORE), "--samples", "4000000", "--out", str(tmp_path / "out")],
        cwd=ROOT,
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
    )
    assert process.stderr is not None
    assert process.stderr.read(1) == b"."
    time.sleep(after)
    process.send_signal(signal.SIGINT)
    out, err = process.communicate(timeout=120)
    assert process.returncode == 3
    assert out == b"" and b"Traceback" not in err
    assert err.count(b"Stopped;") == 1


def test_a_solver_nobody_waits_for_any_more_does_not_break_off_with_a_noise(tmp_path: Path) -> None:
    script = (
        "import sys, threading, time, numpy as np, clarabel\n"
        "from scipy.sparse import csc_matrix\n"
        "import shellcheck_earth.__main__ as entry, shellcheck_earth.design.starter as starter\n"
        "from shellcheck_earth.studies.survey.beside import meanwhile\n"
        "begun = threading.Event()\n"
        "def solves():\n"
        "    settings = clarabel.DefaultSettings()\n"
        "    settings.verbose = False\n"
        "    A, none = csc_matrix(-np.eye(300)), csc_matrix((300, 300))\n"
        "    while True:\n"
        "        cones = [clarabel.NonnegativeConeT(300)]\n"
        "        clarabel.DefaultSolver(none, np.ones(300), A, -np.ones(300), cones, settings).solve()\n"
        "        begun.set()\n"
        "def broken(path):\n"
        "    meanwhile(solves)\n"
        "    begun.wait(60)\n"
        "    raise KeyError('course')\n"
        "starter.write_starter = broken\n"
        "sys.argv = ['shellcheck-earth', 'new', 'mine.toml']\n"
        "entry.start()\n"
    )
    environment = {**os.environ, "PYTHONPATH": str(ROOT)}
    for _ in range(3):
        asked = subprocess.run(
            [sys.executable, "-c", script], cwd=tmp_path, env=environment, capture_output=True, text=True, check=False
        )
        assert asked.returncode == 3 and asked.stderr.count("\n") == 1 and "Could not run." in asked.stderr


def test_an_unexpected_fault_is_one_sentence_and_a_trace_only_when_asked(tmp_path: Path) -> None:
    script = (
        "import shellcheck_earth.__main__ as entry, shellcheck_earth.design.starter as starter\n"
        "def broken(path): raise KeyError('\\x1b[31mcourse')\n"
        "starter.write_starter = broken\n"
        "entry.main(['new', 'mine.toml'])\n"
    )
    told = {}
    for trace in ("0", "1"):
        asked = subprocess.run(
            [sys.executable, "-c", script],
            cwd=tmp_path,
            env={**os.environ, "PYTHONPATH": str(ROOT), "SHELLCHECK_EARTH_TRACE": trace},
            capture_output=True,
            text=True,
            check=False,
        )
        assert asked.returncode == 3 and "\x1b" not in asked.stderr
        told[trace] = asked.stderr
    assert told["0"].count("\n") == 1 and "not in your design: KeyError" in told["0"]
    assert "Traceback" in told["1"]


def test_letters_the_output_cannot_take_are_replaced(tmp_path: Path, verdict: int) -> None:
    design = tmp_path / "d.toml"
    design.write_text(STORE.read_text().replace('name = "', 'name = "Kürbis 🌱 ', 1), encoding="utf-8")
    asked = run("check", design, env={"PYTHONIOENCODING": "ascii"})
    assert asked.returncode == verdict, asked.stderr
    assert "K?rbis ?" in asked.stdout
    told = run("check", design, "--json", env={"PYTHONIOENCODING": "ascii"}, text=False)
    assert "Kürbis 🌱" in told.stdout.decode()  # JSON is UTF-8, whatever the terminal


def _nobody(folder: Path) -> list[str]:
    """A user who owns nothing here; the copied package is read-only for them."""
    if os.geteuid() != 0 or shutil.which("setpriv") is None:
        return []
    for path in [folder, *folder.rglob("*")]:
        path.chmod(0o755 if path.is_dir() else 0o644)
    return ["setpriv", "--reuid=65534", "--regid=65534", "--clear-groups"]


def test_a_read_only_install_without_a_home_starts_and_answers(verdict: int) -> None:
    with tempfile.TemporaryDirectory(dir="/tmp") as name:
        folder = Path(name)
        skipped = shutil.ignore_patterns("__pycache__")
        shutil.copytree(ROOT / "shellcheck_earth", folder / "code" / "shellcheck_earth", ignore=skipped)
        shutil.copy(STORE, folder / "design.toml")
        before = _nobody(folder)
        if not before:
            for path in [*(folder / "code").rglob("*"), folder / "code"]:
                path.chmod(0o555 if path.is_dir() else 0o444)
        (folder / "tmp").mkdir()
        (folder / "tmp").chmod(0o777)
        environment = {
            "PATH": os.environ["PATH"],
            "HOME": "/nonexistent",
            "XDG_CACHE_HOME": "/nonexistent/cache",
            "TMPDIR": str(folder / "tmp"),
            "PYTHONPATH": str(folder / "code"),
            "PYTHONDONTWRITEBYTECODE": "1",
        }
        asked = subprocess.run(
            [*before, sys.executable, "-m", "shellcheck_earth", "check", "design.toml"],
            cwd=folder,
            env=environment,
            capture_output=True,
            text=True,
            check=False,
            timeout=240,
        )
        for path in [folder, *folder.rglob("*")]:
            path.chmod(0o755)
        assert asked.returncode == verdict, asked.stderr
        assert "Traceback" not in asked.stderr and "Warning" not in asked.stderr
        assert asked.stderr.startswith("First run: compiling the solver")
        assert list((folder / "tmp").rglob("*.nbi"))


def test_where_nothing_can_be_kept_functions_are_compiled_all_the_same(
    monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    monkeypatch.setenv("XDG_CACHE_HOME", str(tmp_path / "cache"))
    monkeypatch.setattr(kept, "PACKAGE", Path("/proc/shellcheck_earth"))
    kept.compiler_folder.cache_clear()
    try:
        (tmp_path / "cache").mkdir()
        assert kept.compiler_folder() == tmp_path / "cache" / "shellcheck_earth" / f"compiled-{kept._sources_digest()}"
        monkeypatch.setattr(kept, "_usable", lambda _: False)
        kept.compiler_folder.cache_clear()
        assert kept.compiler_folder() is None and kept.charts_folder.__wrapped__() is None
        assert kept.nothing_compiled_yet()
        double = kept.compiled(lambda x: 2.0 * x)
        assert double(1.5) == 3.0
    finally:
        kept.compiler_folder.cache_clear()


def test_what_was_compiled_is_not_read_from_a_folder_of_others(tmp_path: Path) -> None:
    assert kept._usable(tmp_path / "own")
    (tmp_path / "open").mkdir()
    (tmp_path / "open").chmod(0o777)
    assert not kept._usable(tmp_path / "open")
    (tmp_path / "file").write_text("")
    assert not kept._usable(tmp_path / "file" / "below")
