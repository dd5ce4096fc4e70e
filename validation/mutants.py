"""How well the tests hold the code: seeded single changes, each in a copy, and the tests that run the changed line.

From the repository: python validation/mutants.py [--seed N] [--only PART ...] [--work FOLDER]. The tree is copied to
the work folder (never changed in place). One run of the tests there records which test runs which line, and how long it
takes. Then each change is made in the copy and the tests that run its line are asked, quickest first, then the others
of the same files. A change that no test notices is a survivor: either it means the same, or a test is missing.

`--known` tries the changes of known_changes.py, which once went unnoticed. A whole run takes about an hour.
"""

from __future__ import annotations

import argparse
import compileall
import hashlib
import itertools
import json
import os
import random
import resource
import shutil
import signal
import sys
import time
import traceback
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import asdict, dataclass
from pathlib import Path
from py_compile import PycInvalidationMode
from typing import Any

ROOT = Path(__file__).parents[1]
sys.path.insert(0, str(ROOT))

from validation.known_changes import KNOWN  # noqa: E402
from validation.single_changes import Change, changes  # noqa: E402

__all__ = ["Outcome", "asked_tests", "chosen", "main"]

SAFETY_TESTS = (
    "answers_by_hand", "check", "crossed", "examined_by_hand", "follows_by_hand", "ground_by_hand", "laying", "margins",
    "proofs_by_hand", "untested", "verdict", "weather", "weather_by_hand", "working_by_hand", "worst_by_hand",
)  # fmt: skip
BLOCK_TESTS = (
    "block_cases", "block_bounds_by_hand", "block_data_by_hand", "block_handed_by_hand", "block_loads_by_hand",
    "block_openings", "block_problem", "block_range", "block_wet_by_hand", "blocks_by_hand", "contacts_by_hand",
    "wall_by_hand",
)  # fmt: skip
BLOCK_PROOFS = tuple(
    f"safety/blocks/test_{name}.py" for name in ("block_proofs", "forged_block_proofs", "footing_proofs")
)
PARTS: tuple[tuple[str, float, tuple[str, ...]], ...] = (
    (
        "mechanics/proof/block",
        0.02,
        (*(f"mechanics/proof/test_{name}.py" for name in BLOCK_TESTS), *BLOCK_PROOFS),
    ),
    ("mechanics/proof", 0.04, ("mechanics/proof", "test_conformance.py", *BLOCK_PROOFS)),
    ("mechanics/rings", 0.035, ("mechanics/rings", "safety/test_margins.py", "test_conformance.py")),
    ("safety/blocks", 0.03, ("safety/blocks", "mechanics/proof/test_block_problem.py")),
    ("safety", 0.03, tuple(f"safety/test_{name}.py" for name in SAFETY_TESTS)),
    (
        "loads",
        0.04,
        (
            "loads",
            "mechanics/rings/test_discretise.py",
            "mechanics/proof/test_rebuild.py",
            "safety/blocks/test_jobs_by_hand.py",
        ),
    ),
    (
        "mechanics/blocks",
        0.02,
        ("mechanics/blocks", "mechanics/proof/test_block_problem.py", *BLOCK_PROOFS),
    ),
    ("mechanics/moving", 0.04, ("mechanics/moving",)),
)
"""Part of the package (how the paths of its modules start), share of its possible changes that is tried (at least LEAST
a module), tests that hold it."""

NEVER_DECIDES = (
    "loads/scatter.py", "loads/sampled.py", "loads/side_loads.py", "loads/site_tests", "safety/result.py",
    "mechanics/proof/certify.py", "mechanics/proof/exclude.py", "mechanics/proof/floats.py",
    "mechanics/moving/shaken.py",
)  # fmt: skip
"""Left out: sampling, readings before a design, data alone, and what makes proofs that the checker then confirms."""

RINGS = tuple(
    f"mechanics/rings/test_{name}.py"
    for name in ("minkowski", "reserve", "bond", "chains", "push", "two_courses_by_hand")
)
INTERPRETED: Mapping[str, tuple[str, ...]] = {
    **dict.fromkeys((f"mechanics/rings/{name}.py" for name in ("admissible", "capacity", "chains", "convex")), RINGS),
    "mechanics/moving/law.py": ("mechanics/moving/test_law.py",),
}
"""Compiled functions are run by the interpreter, on the quicker tests: each change would be compiled for a minute."""

LEAST = 4
LONGEST, BUDGET = 5.0, 12.0
"""A test over LONGEST seconds is not asked, and of the others as many as BUDGET seconds hold."""
LEFT_OUT = ("two_processes", "processes_work", "cluster")
"""Tests that start processes of their own."""


@dataclass(frozen=True)
class Outcome:
    """One change and what the tests said: caught, survived, or "no test runs it"."""

    module: str
    line: int
    kind: str
    before: str
    after: str
    said: str
    seconds: float
    by: str


def modules(root: Path, part: str) -> list[str]:
    """The modules of a part of the package, in order, but those of a part that was named before it."""
    package = root / "shellcheck_earth"
    before = [name for name, _, _ in PARTS[: [name for name, _, _ in PARTS].index(part)]]
    found = [str(path.relative_to(package)) for path in sorted(package.rglob("*.py"))]
    apart = (*NEVER_DECIDES, *before)
    return [
        name
        for name in found
        if name.startswith(part) and not name.endswith("__init__.py") and not name.startswith(apart)
    ]


def chosen(source: str, name: str, share: float, seed: int, least: int = LEAST) -> list[Change]:
    """A seeded choice among all single changes of a module; the same seed always gives the same."""
    every = changes(source)
    count = min(len(every), max(least, round(share * len(every))))
    order = random.Random(f"{seed} {name}").sample(range(len(every)), len(every))
    picked = itertools.islice((i for i in order if every[i].runs(source)), count)
    return [every[i] for i in sorted(picked)]


def known(source: str, module: str) -> list[Change]:
    """The changes of a module that once went unnoticed."""
    raw, out = source.encode(), []
    for what, where, before, after in KNOWN:
        if where == module:
            start = raw.index(before.encode())
            line = raw[:start].count(b"\n") + 1
            span = range(line, line + before.count("\n") + 1)
            out.append(Change(start, start + len(before.encode()), line, span, what, before, after))
    return out


def asked_tests(
    lines: Mapping[str, Sequence[str]], span: range, seconds: Mapping[str, float], budget: float = BUDGET
) -> list[str]:
    """Tests that run the lines of a change, quickest first, then the rest of their files, as far as the budget goes."""
    runs = {test for line in span for test in lines.get(str(line), ())}
    if runs <= {""}:  # a line run at import: whoever runs anything of the module
        runs = {test for tests in lines.values() for test in tests}
    runs.discard("")
    files = {test.split("::")[0] for test in runs}
    near = [test for test in seconds if test not in runs and test.split("::")[0] in files]
    left, out = budget, []
    for test in [*sorted(runs, key=lambda one: (seconds[one], one)), *sorted(near, key=lambda one: seconds[one])]:
        if seconds[test] <= LONGEST and seconds[test] <= left and not any(word in test for word in LEFT_OUT):
            out.append(test)
            left -= seconds[test]
    return out


# -- running tests in the copy ---------------------------------------------------------------------------------------


class _Watch:
    """Processor seconds of every test; tells the coverage which test is on; remembers the first that failed."""

    def __init__(self, coverage: Any = None) -> None:
        self.coverage, self.failed = coverage, ""
        self.seconds: dict[str, float] = {}
        self.start = 0.0

    def pytest_runtest_logstart(self, nodeid: str) -> None:
        self.start = time.process_time()
        if self.coverage:
            self.coverage.switch_context(nodeid)

    def pytest_runtest_logfinish(self, nodeid: str) -> None:
        self.seconds[nodeid] = time.process_time() - self.start

    def pytest_runtest_logreport(self, report: Any) -> None:
        if report.failed and not self.failed:
            self.failed = report.nodeid


def _pytest(copy: Path, tests: Iterable[str], watch: _Watch) -> int:
    import pytest

    os.chdir(copy)
    sys.path[:] = [str(copy), *(path for path in sys.path if Path(path or ".").resolve() != ROOT)]
    for name in [name for name in sys.modules if name.split(".")[0] in ("shellcheck_earth", "validation", "tests")]:
        del sys.modules[name]
    options = [
        "-x",
        "-q",
        "-p",
        "no:cacheprovider",
        "-W",
        "ignore::pytest.PytestAssertRewriteWarning",
        "--rootdir",
        str(copy),
        "-c",
        str(copy / "pyproject.toml"),
    ]
    return int(pytest.main([*options, *tests], plugins=[watch]))


def _child(log: Path, jit: bool, action: Any, limit: float) -> int | None:
    """The action in a process of its own, its words in a log; its code, or None when the time was up."""
    pid = os.fork()
    if pid == 0:
        os.setsid()
        with log.open("w") as out:
            os.dup2(out.fileno(), 1)
            os.dup2(out.fileno(), 2)
        os.environ["NUMBA_DISABLE_JIT"] = "0" if jit else "1"
        resource.setrlimit(resource.RLIMIT_DATA, (8 << 30, 8 << 30))
        code = 70
        try:
            code = action()
        except BaseException:
            traceback.print_exc()
        finally:
            sys.stdout.flush()
            sys.stderr.flush()
            os._exit(code)
    end = time.monotonic() + limit
    while time.monotonic() < end:
        done, status = os.waitpid(pid, os.WNOHANG)
        if done:
            return os.waitstatus_to_exitcode(status)
        time.sleep(0.02)
    os.killpg(pid, signal.SIGKILL)
    os.waitpid(pid, 0)
    return None


def _record(copy: Path, tests: Sequence[str], into: Path) -> int:
    """Which test runs which line, and in what time; for the unchanged code all tests have to pass."""
    import coverage

    cov = coverage.Coverage(data_file=None, source=[str(copy / "shellcheck_earth")], config_file=False)
    cov.start()
    watch = _Watch(cov)
    code = _pytest(copy, tests, watch)
    cov.stop()
    data, lines = cov.get_data(), {}
    for name in sorted(data.measured_files()):
        found = data.contexts_by_lineno(name)
        lines[str(Path(name).relative_to(copy / "shellcheck_earth"))] = {str(k): sorted(v) for k, v in found.items()}
    into.write_text(json.dumps({"lines": lines, "seconds": watch.seconds}))
    return code


def copied(work: Path) -> Path:
    """A fresh copy of the tree."""
    copy = work / "copy"
    shutil.rmtree(copy, ignore_errors=True)
    unwanted = shutil.ignore_patterns(".git", "__pycache__", ".hypothesis", ".venv", "*.egg-info", ".mypy_cache")
    shutil.copytree(ROOT, copy, ignore=unwanted)
    # Compiled once; a changed module is known by its hash, however quickly it was changed.
    compileall.compile_dir(copy / "shellcheck_earth", quiet=2, invalidation_mode=PycInvalidationMode.CHECKED_HASH)
    _child(work / "copied.log", True, lambda: _pytest(copy, ("--collect-only", "tests"), _Watch()), 600.0)
    return copy


def recorded(copy: Path, work: Path, part: str, tests: Sequence[str], jit: bool) -> dict[str, Any]:
    """Which of the tests runs which line; made once for these tests and this code."""
    files = sorted(path for top in ("shellcheck_earth", "tests") for path in (copy / top).rglob("*.py"))
    named = " ".join(tests).encode()
    mark = hashlib.sha256(named + b"".join(path.read_bytes() for path in files)).hexdigest()[:12]
    into = work / f"{part.replace('/', '-')}-{'compiled' if jit else 'interpreted'}-{mark}.json"
    if not into.exists():
        told = [f"tests/{name}" for name in tests]
        code = _child(work / "record.log", jit, lambda: _record(copy, told, into), 3600.0)
        if code != 0:
            into.unlink(missing_ok=True)
            sys.exit(f"expected the tests to pass before anything is changed: {work / 'record.log'}")
    return dict(json.loads(into.read_text()))


def tried(copy: Path, work: Path, module: str, change: Change, tests: Sequence[str], limit: float) -> tuple[str, str]:
    """What the tests say of one change, and which of them said it."""
    path, told = copy / "shellcheck_earth" / module, work / "told"
    source = path.read_text(encoding="utf-8")
    told.unlink(missing_ok=True)

    def action() -> int:
        sys.dont_write_bytecode = True
        watch = _Watch()
        code = _pytest(copy, tests, watch)
        told.write_text(watch.failed)
        return code

    try:
        path.write_text(change.applied(source), encoding="utf-8")
        code = _child(work / "change.log", module not in INTERPRETED, action, limit)
    finally:
        path.write_text(source, encoding="utf-8")
    by = told.read_text() if told.exists() else ""
    return ("survived", "") if code == 0 else ("caught", by or ("time" if code is None else f"code {code}"))


def table(outcomes: Sequence[Outcome]) -> str:
    """Caught and survived, by folder and module."""
    rows: dict[str, list[int]] = {}
    for one in outcomes:
        for name in (str(Path(one.module).parent), one.module, "all"):
            row = rows.setdefault(name, [0, 0])
            row[one.said != "caught"] += 1
    return "\n".join(
        f"{name:38} {caught:4} caught {left:4} left  {caught / (caught + left):6.1%}"
        for name, (caught, left) in sorted(rows.items())
    )


def _asked(copy: Path, given: argparse.Namespace) -> Iterator[Outcome]:
    """Each chosen change with what the tests said of it."""
    for part, usual, tests in PARTS:
        for module in modules(copy, part):
            if not module.startswith(tuple(given.only)):
                continue
            jit = module not in INTERPRETED
            source = (copy / "shellcheck_earth" / module).read_text(encoding="utf-8")
            share = usual * given.dense
            picked = known(source, module) if given.known else chosen(source, module, share, given.seed, given.least)
            if not picked:
                continue
            record = recorded(copy, given.work, part, tests if jit else INTERPRETED[module], jit)
            for change in picked:
                start = time.monotonic()
                names = asked_tests(record["lines"].get(module, {}), change.span, record["seconds"], given.budget)
                said, by = "no test runs it", ""
                if names:
                    limit = 120.0 + 8.0 * sum(record["seconds"][test] for test in names)
                    said, by = tried(copy, given.work, module, change, names, limit)
                spent = round(time.monotonic() - start, 1)
                yield Outcome(module, change.line, change.kind, change.before, change.after, said, spent, by)


def main() -> None:
    ask = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    ask.add_argument("--seed", type=int, default=1)
    ask.add_argument("--only", nargs="*", default=[""], help="parts or modules whose paths start with one of these")
    ask.add_argument("--dense", type=float, default=1.0, help="so many times the usual number of changes")
    ask.add_argument("--least", type=int, default=LEAST, help="changes a module, however few it could have")
    ask.add_argument("--budget", type=float, default=BUDGET, help="seconds of tests that each change is asked")
    ask.add_argument("--known", action="store_true", help="the changes that once went unnoticed, and no others")
    ask.add_argument("--work", type=Path, default=Path("/tmp/mutants"))
    given = ask.parse_args()
    given.work.mkdir(parents=True, exist_ok=True)
    os.environ |= {"NUMBA_CACHE_DIR": str(given.work / "numba"), "PYTEST_DISABLE_PLUGIN_AUTOLOAD": "1"}
    os.environ |= dict.fromkeys(("OMP_NUM_THREADS", "OPENBLAS_NUM_THREADS"), "1")
    for name in ("numpy", "scipy.optimize", "scipy.sparse", "hypothesis", "numba", "pytest", "clarabel", "pydantic"):
        __import__(name)
    copy = copied(given.work)
    label = f"{'known' if given.known else given.seed}{'+'.join(given.only).replace('/', '-')}"
    outcomes = []
    with (given.work / f"outcomes-{label}.jsonl").open("w") as sink:
        for one in _asked(copy, given):
            sink.write(json.dumps(asdict(one)) + "\n")
            sink.flush()
            outcomes.append(one)
    for one in outcomes:
        if one.said != "caught":
            print(f"{one.module}:{one.line} {one.said}: {one.kind}: {one.before} -> {one.after}")
    print(table(outcomes))


if __name__ == "__main__":
    main()
