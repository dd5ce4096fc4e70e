"""The margins of sampled domes as numbers, and which input they hang on; a smaller sample than that of the yes and no.

At each base point two independent domes are asked, and for each input the first with that input of the second
(`orders`): fourteen where all courses have one fill, more by the values of courses with a fill of their own. Sobol
points of their own, of twice the width, in the same scramblings.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from shellcheck_earth.loads.drawn import Inputs
from shellcheck_earth.loads.sampled import dimensions, draw
from shellcheck_earth.mechanics.many.margins import LADDER, find_margins
from shellcheck_earth.safety.checks import LINE, RESERVE
from shellcheck_earth.studies.sample.asked import MarginJob, Study
from shellcheck_earth.studies.sample.orders import Exchanged, Orders, exchange, exchanged_of, orders

__all__ = ["MARGINS", "NUMBERS", "MarginTally", "Margins", "Spread", "margin_tally", "margins_of"]

Floats = NDArray[np.float64]

MARGINS = ("reserve", "share")
NUMBERS = (*MARGINS, "no_line", "short")
"""What the indices are about: two margins, and the yes or no that each of them stands for, 1 or 0."""

ONE = int(np.searchsorted(LADDER, 1.0))
"""The step at 1."""

SHARES = (0.05, 0.5, 0.95)
MOST_AT_AN_END = 0.5


@dataclass(frozen=True)
class MarginTally:
    """Sums over base points: `whole`, `each` as `orders.Exchanged` of the four NUMBERS; steps (2, 1025): how many of
    the two independent domes of every point stand on each step of the ladder; counts (1,): of them not buildable."""

    whole: Floats
    each: Floats
    steps: Floats
    counts: Floats


@dataclass(frozen=True)
class Spread:
    """How one margin spreads over `of` domes: values that 5, 50 and 95 % of them stay below or reach, and the shares of
    domes at the ends of the ladder, where a margin is not told from the end."""

    of: int
    low: float
    middle: float
    high: float
    at_least: float
    at_most: float


@dataclass(frozen=True)
class Margins:
    """`points` base points, `domes` asked in all; `spread` by margin; `orders` by number, largest total first;
    `unbuildable`: share of domes whose courses no longer overlap; `ends`: least and greatest value that is told."""

    points: int
    domes: int
    unbuildable: float
    ends: tuple[float, float]
    spread: Mapping[str, Spread]
    orders: Mapping[str, tuple[Orders, ...]]

    def speaks(self, margin: str) -> bool:
        """Whether what a margin hangs on is worth a word: not where most domes stand at one end of the ladder."""
        one = self.spread[margin]
        return max(one.at_least, one.at_most) <= MOST_AT_AN_END


def _groups(inputs: Inputs, courses: int) -> list[range]:
    """The coordinates of each input: one each, and all of the compass together."""
    single = len(inputs.names)
    return [*(range(i, i + 1) for i in range(single)), range(single, dimensions(inputs, courses))]


def _points(study: Study, job: MarginJob) -> Floats:
    from scipy.stats import qmc

    courses = len(study.dome.courses)
    wide = dimensions(study.inputs, courses)
    engine = qmc.Sobol(2 * wide, scramble=True, rng=np.random.default_rng([study.seed, job.scrambling, 1]))
    if job.first:
        engine.fast_forward(job.first)
    points = np.asarray(engine.random(job.size))
    return exchange(points[:, :wide], points[:, wide:], _groups(study.inputs, courses))


def margin_tally(study: Study, job: MarginJob) -> MarginTally:
    """The sums over one block of base points."""
    points = _points(study, job)
    kinds, count, wide = points.shape
    # The domes of a point one after the other: they are alike, so their steps are found about each other's.
    drawn = draw(study.dome, study.inputs, points.swapaxes(0, 1).reshape(count * kinds, wide))
    required = study.design.criteria.required[RESERVE.key]
    found = find_margins(study.margin_plan, [check.slots for check in LINE], required, drawn.radii, drawn.states)
    steps = np.stack([found.reserve, found.share]).reshape(2, count, kinds).swapaxes(1, 2).copy()
    sums = exchanged_of(np.concatenate([LADDER[steps], (steps < ONE).astype(np.float64)]))
    on = np.stack([np.bincount(one[:2].ravel(), minlength=len(LADDER)) for one in steps]).astype(np.float64)
    lost = float((~found.buildable.reshape(count, kinds)[:, :2]).sum())
    return MarginTally(sums.whole, sums.each, on, np.array([lost]))


def _spread(steps: Floats) -> Spread:
    """Of the domes on each step (1025,)."""
    count = float(steps.sum())
    below = np.cumsum(steps)
    low, middle, high = (float(LADDER[int(np.searchsorted(below, share * count))]) for share in SHARES)
    return Spread(int(count), low, middle, high, float(steps[0] / count), float(steps[-1] / count))


def margins_of(study: Study, blocks: Sequence[MarginTally], group: str) -> Margins:
    """The finished search; `blocks` in the order of `study.margin_jobs`, `group`: name of all compass errors."""
    per = len(blocks) // study.scramblings
    runs = [_added(blocks[r * per : (r + 1) * per]) for r in range(study.scramblings)]
    whole = _added(runs)
    exchanged = [Exchanged(run.whole, run.each) for run in runs]
    names = (*study.inputs.names, group)
    points = study.scramblings * study.margin_points
    return Margins(
        points=points,
        domes=points * (2 + len(names)),
        unbuildable=float(whole.counts[0]) / (2 * points),
        ends=(float(LADDER[0]), float(LADDER[-1])),
        spread={name: _spread(whole.steps[i]) for i, name in enumerate(MARGINS)},
        orders={name: orders(exchanged, names, i) for i, name in enumerate(NUMBERS)},
    )


def _added(parts: Sequence[MarginTally]) -> MarginTally:
    return MarginTally(*(np.sum([getattr(one, name) for one in parts], axis=0) for name in MarginTally.__annotations__))
