"""Speed of sweeps over many designs: `compare` and `choose` on one process and on two, in one run."""

from __future__ import annotations

import time
from collections.abc import Callable
from pathlib import Path

from shellcheck_earth.basics.parallel import Crew
from shellcheck_earth.studies.choose import choose
from shellcheck_earth.studies.compare import compare

__all__ = ["sweep_lines"]

CLASSROOM = Path(__file__).parents[1] / "reports" / "garden-classroom" / "design.toml"

FOUR_HUNDRED = ("fill.dry_density=1500..2000:20 kg/m3", "beds.friction=0.45..0.85:20")


def _seconds(action: Callable[[], object]) -> float:
    start = time.perf_counter()
    action()
    return time.perf_counter() - start


def sweep_lines() -> list[str]:
    """400 designs of the classroom, 50 counted cases each (asked: 20 s), and everything that would make it meet."""
    compare([CLASSROOM], ["beds.friction=0.4..0.6:16"], workers=2)  # starts the workers and loads the compiled kernels
    one = _seconds(lambda: compare([CLASSROOM], FOUR_HUNDRED, workers=1))
    two = _seconds(lambda: compare([CLASSROOM], FOUR_HUNDRED, workers=2))
    chosen = _seconds(lambda: choose(CLASSROOM, crew=Crew(2)))
    return [
        f"compare of 400 designs: {one:.1f} s on one process, {two:.1f} s on two, throughput ratio {one / two:.2f}",
        f"choose for the classroom, on two processes: {chosen:.1f} s",
    ]
