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
"""The classroom has courses of two fills, which sampled domes do not know."""


def sampled_domes(samples: int = 16_384, repeat: int = 3) -> list[str]:
    """Best of a few alternating runs each, after one that does not count; 100,000 domes are extrapolated from it."""
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
    one, two = (study.samples / best[workers] for workers in (1, 2))
    return [
        f"sampled domes of the tool store, margins of {study.scramblings * study.margin_points} base points included: {one:.0f} a second on one worker, {two:.0f} on two, ratio {two / one:.2f}; "
        f"{1e6 * core / study.samples:.0f} us of core time each, 100,000 in {1e5 / two:.0f} s on two"
    ]
