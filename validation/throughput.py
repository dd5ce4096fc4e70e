"""Sampled domes a second of the tool store, on one worker and on two."""

from __future__ import annotations

import time
from pathlib import Path

from shellcheck_earth.basics.parallel import Crew
from shellcheck_earth.basics.progress import quiet
from shellcheck_earth.geometry.reading import read_design
from shellcheck_earth.loads.scatter import stated_scatter
from shellcheck_earth.studies.sample.study import make_study, run_study

__all__ = ["sampled_domes"]

STORE = Path(__file__).parents[1] / "reports" / "tool-store" / "design.toml"
"""A dome of one fill: fourteen domes at each base point of the margins."""


def sampled_domes(samples: int = 100_000, repeat: int = 2) -> list[str]:
    """Best of a few alternating runs each, after a small one that does not count; margins are found on the way."""
    design = read_design(STORE)
    study = make_study(design, stated_scatter(), samples, 1)
    run_study(make_study(design, stated_scatter(), 64, 1), quiet)
    best = {1: float("inf"), 2: float("inf")}
    core = float("inf")
    for _ in range(repeat):
        for workers in best:
            start, spent = time.perf_counter(), time.process_time()
            run_study(study, quiet, Crew(workers))
            best[workers] = min(best[workers], time.perf_counter() - start)
            core = min(core, time.process_time() - spent)
    margins = study.scramblings * study.margin_points
    return [
        f"{study.samples:,} sampled domes of the tool store, margins at {margins:,} base points: {best[1]:.1f} s"
        f" on one worker, {best[2]:.1f} s on two, ratio {best[1] / best[2]:.2f}; {core:.1f} s of core time"
    ]
