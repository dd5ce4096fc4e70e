"""The same bytes from every interpreter, with any number of threads and workers, and from the wheel.

Other interpreters are taken where they have what the program needs installed: those named in the environment variable
SHELLCHECK_EARTH_PYTHONS (paths, as in PATH), and python3.11 to python3.13 on the PATH.
"""

from __future__ import annotations

import os
import shutil
import subprocess
import sys
import zipfile
from collections.abc import Mapping
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[1]
DESIGN = ROOT / "reports" / "tool-store" / "design.toml"
NEEDED = (
    "import clarabel, cyclopts, joblib, matplotlib, numba, numpy, pikepdf, pydantic, rich, scipy, typst, xlsxwriter"
)
NEEDED += ", sys"
VERSIONS = "numpy", "scipy", "numba", "matplotlib", "pikepdf", "typst", "xlsxwriter"
VARIED = "--vary", "beds.friction=0.3..0.6:10"
LOW = "1 ft"
"""Up to where its crew stands for that many designs: blocks are asked of every one that meets, of few courses."""
OTHERS = "SHELLCHECK_EARTH_PYTHONS"


def outputs(out: Path, python: str = sys.executable, code: Path = ROOT, **environment: str) -> Mapping[str, bytes]:
    """Every file that a check of the tool store writes, by name."""
    asked = subprocess.run(
        [python, "-m", "shellcheck_earth", "check", str(DESIGN), "--out", str(out)],
        cwd=out.parent,
        env={**os.environ, "PYTHONPATH": str(code), **environment},
        capture_output=True,
        text=True,
        timeout=300,
        check=False,
    )
    assert asked.returncode in (0, 1, 2), asked.stderr
    return {path.name: path.read_bytes() for path in sorted(out.iterdir()) if path.is_file()}


def same(found: Mapping[str, bytes], known: Mapping[str, bytes]) -> None:
    assert sorted(found) == sorted(known)
    assert [name for name in known if found[name] != known[name]] == []


def said_by(python: str, script: str) -> str | None:
    """What a script prints in another interpreter; None where it does not run."""
    asked = subprocess.run([python, "-c", script], capture_output=True, text=True, timeout=120, check=False)
    return asked.stdout.strip() if asked.returncode == 0 else None


WHICH = f"{NEEDED}\nfrom importlib.metadata import version\nprint(*map(version, {VERSIONS}))"


def interpreter(minor: int) -> str:
    """An interpreter of that version with what is needed; skips, with the reason, where there is none."""
    given = [path for path in os.environ.get(OTHERS, "").split(os.pathsep) if path]
    on_path = shutil.which(f"python3.{minor}")
    found = ""
    for python in [*given, *([on_path] if on_path else [])]:
        if said_by(python, "import sys; print(sys.version_info[1])") != str(minor):
            continue
        versions = said_by(python, WHICH)
        if versions == said_by(sys.executable, WHICH):
            return python
        found = f": {python} lacks something, or has it in other versions"
    pytest.skip(f"no Python 3.{minor} with the same libraries, neither on the PATH nor in {OTHERS}{found}")


@pytest.fixture(scope="module")
def known(tmp_path_factory: pytest.TempPathFactory) -> Mapping[str, bytes]:
    """One thread, one order of hashes."""
    out = tmp_path_factory.mktemp("known") / "out"
    return outputs(out, OMP_NUM_THREADS="1", OPENBLAS_NUM_THREADS="1", PYTHONHASHSEED="1")


def test_threads_the_order_of_hashes_and_the_clock_change_nothing(known: Mapping[str, bytes], tmp_path: Path) -> None:
    assert {"report.pdf", "assessment.json", "courses.csv", "courses.xlsx", "section.svg"} <= set(known)
    found = outputs(
        tmp_path / "out",
        OMP_NUM_THREADS="2",
        OPENBLAS_NUM_THREADS="2",
        PYTHONHASHSEED="2",
        TZ="Pacific/Auckland",
    )
    same(found, known)


@pytest.mark.parametrize("minor", [11, 12, 13])
def test_every_interpreter_writes_the_same(minor: int, known: Mapping[str, bytes], tmp_path: Path) -> None:
    if sys.version_info[1] == minor:
        pytest.skip("the interpreter that runs this")
    same(outputs(tmp_path / "out", interpreter(minor)), known)


def test_the_wheel_writes_the_same(known: Mapping[str, bytes], tmp_path: Path) -> None:
    source = tmp_path / "source"
    shutil.copytree(
        ROOT / "shellcheck_earth", source / "shellcheck_earth", ignore=shutil.ignore_patterns("__pycache__")
    )
    for name in ("pyproject.toml", "README.md", "LICENSE"):
        shutil.copy(ROOT / name, source / name)
    built = subprocess.run(
        [sys.executable, "-m", "pip", "wheel", "--quiet", "--no-deps", "--wheel-dir", str(tmp_path), str(source)],
        capture_output=True,
        text=True,
        timeout=300,
        check=False,
    )
    wheels = list(tmp_path.glob("*.whl"))
    if not wheels:
        pytest.skip(f"no wheel can be built here: {built.stderr.strip()[-200:]}")
    with zipfile.ZipFile(wheels[0]) as wheel:
        wheel.extractall(tmp_path / "site")
    same(outputs(tmp_path / "out", code=tmp_path / "site"), known)


def test_workers_write_the_same(tmp_path: Path) -> None:
    found, low = [], tmp_path / "low.toml"
    text = DESIGN.read_text(encoding="utf-8")
    assert text.count('scaffold_above = "4 ft"') == 1
    low.write_text(text.replace('scaffold_above = "4 ft"', f'scaffold_above = "{LOW}"'), encoding="utf-8")
    for workers in ("1", "2"):
        out = tmp_path / workers
        command = [sys.executable, "-m", "shellcheck_earth", "compare", str(low), *VARIED]
        asked = subprocess.run(
            [*command, "--out", str(out), "--workers", workers],
            env={**os.environ, "PYTHONPATH": str(ROOT)},
            capture_output=True,
            text=True,
            timeout=300,
            check=False,
        )
        assert asked.returncode in (0, 1, 2), asked.stderr
        found.append({path.name: path.read_bytes() for path in sorted(out.iterdir()) if path.is_file()})
    same(found[1], found[0])
