"""Where ordinary friction holds a load to the end of the search, so does the scheme that starts without an end."""

from __future__ import annotations

from typing import Any

import pytest
from small_store import small_store

from shellcheck_earth.geometry.courses import build_dome
from shellcheck_earth.mechanics.blocks.nonassociated import solve_blocks
from shellcheck_earth.safety.blocks.jobs import jobs, joint_job
from shellcheck_earth.safety.blocks.sideways import ROOM, Asked, Question

FAR = 8.0


@pytest.mark.parametrize(("site", "kind"), [({"wind_pressure": 0.4}, "wind"), ({"earthquake": 0.04}, "earthquake")])
def test_the_end_of_the_search_hides_nothing_that_is_told(site: dict[str, Any], kind: str) -> None:
    """290 directions of 13 domes, wind and workers: none came below 0.92 of what ordinary friction holds. Shaken, the
    scheme does not settle everywhere where it has no end; it says nothing less than what is told then, either."""
    dome = build_dome(small_store(**site))
    job = next(one for one in jobs(dome) if one.loads and one.loads[0].kind == kind)
    job = joint_job(dome.design, job) or job
    told = job.most(dome.design)
    question, far = Question(dome, job, (8,), told, ROOM), Question(dome, job, (8,), told, FAR * ROOM)
    ended, settled = 0, 0
    for load, row in job.asked()[:4]:
        asked = Asked(load, row)
        if (question.line(question.layouts[0], asked).multiplier or 0.0) < told:
            continue
        at_the_end = question.without_dilation(asked)
        if (at_the_end.associated or 0.0) < ROOM * told * (1 - 1e-6):
            continue
        ended += 1
        assert at_the_end.multiplier == pytest.approx(ROOM * told, rel=1e-5)
        without_end = solve_blocks(far.problem(far.layouts[0], asked))
        if without_end.multiplier is not None and without_end.associated is not None:
            settled += 1
            assert without_end.multiplier >= max(told, 0.8 * without_end.associated)
    assert settled >= 2 and ended <= 4
