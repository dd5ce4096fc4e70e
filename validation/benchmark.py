"""Speed as ratios within one run. From the repository: python validation/benchmark.py [--blocks]"""

from __future__ import annotations

import os
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

ROOT = Path(__file__).parents[1]
sys.path.insert(0, str(ROOT))

from shellcheck_earth.geometry.courses import build_dome  # noqa: E402
from shellcheck_earth.geometry.reading import read_design  # noqa: E402
from shellcheck_earth.loads.cases import dead_cases  # noqa: E402
from shellcheck_earth.mechanics.rings import programme  # noqa: E402
from shellcheck_earth.mechanics.rings.admissible import failing_bed, pack  # noqa: E402
from shellcheck_earth.mechanics.rings.capacity import quantities  # noqa: E402
from shellcheck_earth.mechanics.rings.discretise import cut_lune  # noqa: E402
from shellcheck_earth.safety.check import check  # noqa: E402
from shellcheck_earth.safety.weather import weather  # noqa: E402
from shellcheck_earth.views.export.bundle import output_files  # noqa: E402

__all__ = ["exact_against_programme", "fresh_processes", "share_of_solving"]

CLASSROOM, ORCHARD = ROOT / "reports" / "garden-classroom" / "design.toml", ROOT / "reports" / "orchard-dome"


def _seconds(action: Callable[[], object], repeat: int) -> float:
    """Median of several runs, after one that does not count."""
    action()
    times = []
    for _ in range(repeat):
        start = time.perf_counter()
        action()
        times.append(time.perf_counter() - start)
    return sorted(times)[len(times) // 2]


def _least_seconds(action: Callable[[], object]) -> float:
    """The least of many short runs: what else the machine does takes nothing off it."""
    action()
    times = []
    for _ in range(400):
        start = time.perf_counter()
        for _ in range(20):
            action()
        times.append((time.perf_counter() - start) / 20)
    return min(times)


def exact_against_programme() -> list[str]:
    """One question (is there a line?) to the exact set and to the linear programme, classroom, 26 courses."""
    design = read_design(CLASSROOM)
    stack = build_dome(design)
    lune = cut_lune(stack, dead_cases(stack)[0])
    rows = pack(lune)
    exact = _least_seconds(lambda: failing_bed(rows))
    call = _least_seconds(lambda: failing_bed(rows[-1:]))
    linear = _seconds(lambda: programme.is_admissible(lune), 15)
    return [
        f"one question, {lune.size} courses: exact set {1e6 * exact:.1f} us, {1e6 * call:.1f} us of it for calling with"
        f" a single course; linear programme {1e3 * linear:.2f} ms, ratio {linear / exact:.0f}"
    ]


def share_of_solving() -> list[str]:
    """What share of a whole check is the search for the edges of the admissible sets."""
    design = read_design(CLASSROOM)
    stack = build_dome(design)
    lunes = [cut_lune(stack, case) for case in dead_cases(stack)]
    solving = _seconds(lambda: [quantities(lune) for lune in lunes], 3)
    calendar = _seconds(lambda: weather(stack), 3)
    whole = _seconds(lambda: output_files(check(design)), 3)
    return [
        f"check of the classroom, warm: {whole:.2f} s; force paths of {len(lunes)} cases {100 * solving / whole:.0f} %"
        f" of it, the building calendar with rain on every day {100 * calendar / whole:.0f} %"
    ]


@dataclass(frozen=True)
class Fresh:
    """What one process took: processor time, the children's included [s], the greatest memory of one of them [MiB], and
    the time on the clock [s], which says little on a machine that does other work.
    """

    seconds: float
    memory: float
    clock: float


def _on_one_processor() -> None:
    os.sched_setaffinity(0, sorted(os.sched_getaffinity(0))[:1])


def fresh(*arguments: str, repeat: int = 3, alone: bool = False) -> Fresh:
    """The least of several processes of their own, with compiled code kept from before; `alone`: on one processor."""
    found = []
    environment = {**os.environ, "PYTHONPATH": str(ROOT)}
    for _ in range(repeat + 1):
        start = time.perf_counter()
        process = subprocess.Popen(
            [sys.executable, *arguments],
            env=environment,
            stdout=subprocess.DEVNULL,
            preexec_fn=_on_one_processor if alone else None,
        )
        _, status, used = os.wait4(process.pid, 0)
        process.returncode = os.waitstatus_to_exitcode(status)
        if process.returncode not in (0, 1, 2):
            raise RuntimeError(f"{' '.join(arguments)}: exit code {process.returncode}")
        clock = time.perf_counter() - start
        found.append(Fresh(used.ru_utime + used.ru_stime, used.ru_maxrss / 1024, clock))
    return Fresh(
        min(one.seconds for one in found[1:]),
        max(one.memory for one in found),
        min(one.clock for one in found[1:]),
    )


def first_line(*arguments: str, repeat: int = 3) -> float:
    """Seconds on the clock until a command says its first line: the least of several."""
    found = []
    for _ in range(repeat + 1):
        start = time.perf_counter()
        with subprocess.Popen(
            [sys.executable, *arguments],
            env={**os.environ, "PYTHONPATH": str(ROOT)},
            stdout=subprocess.PIPE,
        ) as process:
            assert process.stdout is not None
            process.stdout.readline()
            found.append(time.perf_counter() - start)
            process.communicate()
    return min(found[1:])


def surveys(checked: Fresh) -> list[str]:
    """The answer to a wall that is being built, beside a whole check: rings that are round, and one that is not, which
    the block model is asked for.
    """
    return [_survey(day, rings, checked) for day, rings in ((4, "round"), (6, "one ring out of round"))]


def _survey(day: int, rings: str, checked: Fresh) -> str:
    command = ("-m", "shellcheck_earth", "survey", str(ORCHARD / "plan.toml"), str(ORCHARD / f"day-{day}.csv"))
    took, waited = fresh(*command), first_line(*command)
    return (
        f"survey of the orchard dome, day {day}, {rings}: first line after {waited:.2f} s on the clock,"
        f" {waited / checked.clock:.2f} of a check with its report; {took.seconds:.2f} s of processor time,"
        f" {took.memory:.0f} MiB"
    )


def fresh_processes() -> list[str]:
    """Whole commands in processes of their own, beside what the interpreter and the libraries take alone."""
    command = ("-m", "shellcheck_earth")
    start = fresh("-c", "pass")
    libraries = fresh("-c", "import numba, matplotlib.figure, scipy.optimize, typst")
    told = fresh(*command, "--help")
    with tempfile.TemporaryDirectory() as out:
        checked = fresh(*command, "check", str(CLASSROOM), "--out", out)
        alone = fresh(*command, "check", str(CLASSROOM), "--out", out, alone=True)
        explained = fresh(*command, "explain", str(CLASSROOM), "--out", out, repeat=1)
        chosen = fresh(*command, "choose", str(CLASSROOM), "--out", out, "--workers", "1", repeat=1)
    return [
        f"--help: {told.seconds:.2f} s of processor time, {told.seconds / start.seconds:.0f} times a bare interpreter",
        f"check of the classroom: {checked.seconds:.2f} s of processor time, {checked.memory:.0f} MiB;"
        f" {checked.seconds / libraries.seconds:.1f} times what loading its libraries takes",
        f"the same on the clock: {checked.clock:.2f} s; on one processor, without a second process, {alone.clock:.2f} s"
        f" ({alone.seconds:.2f} s of processor time, {alone.memory:.0f} MiB)",
        *surveys(checked),
        f"explain for the classroom: {explained.seconds:.1f} s, {explained.seconds / checked.seconds:.1f} checks",
        f"choose for the classroom, one worker: {chosen.seconds:.1f} s, {chosen.seconds / checked.seconds:.1f} checks",
    ]


def block_model() -> list[str]:
    """Time of the cone programme against the number of blocks, and against the linearised one (minutes)."""
    from validation.block_speed import report_lines, speeds

    return report_lines(speeds())


def domes_of_blocks() -> list[str]:
    """Whole checks of domes that need blocks, with nothing kept (minutes)."""
    from validation.block_domes import whole_checks

    return whole_checks()


def many_designs() -> list[str]:
    """Sweeps over many designs, on one process and on two."""
    from validation.many_designs import sweep_lines

    return sweep_lines()


def sampled_many() -> list[str]:
    """Sampled domes of one design, on one worker and on two."""
    from validation.throughput import sampled_domes

    return sampled_domes()


def main() -> None:
    parts = [exact_against_programme, fresh_processes, share_of_solving, many_designs, sampled_many]
    if "--blocks" in sys.argv[1:]:
        parts += [block_model, domes_of_blocks]
    for part in parts:
        for line in part():
            print(line, flush=True)


if __name__ == "__main__":
    main()
