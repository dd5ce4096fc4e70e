"""What many sampled domes say: shares with limits, and which input matters most. Sums only, so blocks add up in any
order.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

__all__ = ["BINS", "OUTCOMES", "Index", "Share", "Tally", "add_tallies", "indices", "share_of"]

Floats = NDArray[np.float64]

BINS = 16
"""Bins of equal probability in which the mean of an outcome is taken, for the index of first order."""

OUTCOMES = ("no_line", "short")
"""Both count a dome that cannot be built as one that does not stand."""


@dataclass(frozen=True)
class Tally:
    """Sums over the domes of one block or one scrambling.

    counts (4,): domes, not buildable, with no line, with a margin short. checks (7,): domes in which each check is
    short.
    check_case (7, m), check_course (7, n): where it falls short first; line_course (n,) likewise for no line.
    bins (inputs, BINS): domes; bin_sums (2, inputs, BINS): outcomes among them; u_sums (2, inputs): sum of u times
    outcome.
    pairs (3, 2): domes asked twice, their outcomes, and the squared differences between the two times.
    """

    counts: Floats
    checks: Floats
    check_case: Floats
    check_course: Floats
    line_course: Floats
    bins: Floats
    bin_sums: Floats
    u_sums: Floats
    pairs: Floats


def add_tallies(tallies: Sequence[Tally]) -> Tally:
    """The sum; whole numbers and sums in a fixed order, so the same bits however they were computed."""
    return Tally(*(np.sum([getattr(one, name) for one in tallies], axis=0) for name in Tally.__dataclass_fields__))


@dataclass(frozen=True)
class Share:
    """A share of domes with its 95 % limits; `limits_from` names the wider of the two kinds."""

    count: int
    of: int
    value: float
    low: float
    high: float
    limits_from: str


def share_of(counts: Sequence[float], sizes: Sequence[float]) -> Share:
    """The share of domes, from its count in each scrambling and their sizes.

    Limits of Clopper & Pearson 1934 (memory: quantiles of beta distributions), as if all domes were drawn
    independently, and Student's limits of the mean of the scramblings; whichever is wider. Neither goes past 0 or 1.
    """
    from scipy.special import betaincinv, stdtrit

    k, n = int(sum(counts)), int(sum(sizes))
    low = 0.0 if k == 0 else float(betaincinv(k, n - k + 1, 0.025))
    high = 1.0 if k == n else float(betaincinv(k + 1, n - k, 0.975))
    value, source = k / n, "independent domes"
    means = np.asarray(counts, dtype=np.float64) / np.asarray(sizes, dtype=np.float64)
    if len(means) > 1 and 0 < k < n:
        half = float(stdtrit(len(means) - 1, 0.975)) * float(means.std(ddof=1)) / math.sqrt(len(means))
        if 2 * half > high - low:
            low, high, source = max(value - half, 0.0), min(value + half, 1.0), "spread of the scramblings"
    return Share(k, n, value, low, high, source)


@dataclass(frozen=True)
class Index:
    """Share of the outcome's variance that one input explains alone, with its standard error; rank correlation (nan:
    none).
    """

    name: str
    value: float
    error: float
    rank: float


def _first_order(tally: Tally, outcome: int) -> Floats:
    """Variance of the conditional mean over the bins, less what chance alone would give it, over the variance;
    (inputs,).
    """
    n, hits = tally.bins, tally.bin_sums[outcome]
    total, mean = n.sum(axis=1), hits.sum(axis=1) / n.sum(axis=1)
    variance = mean * (1 - mean)
    with np.errstate(divide="ignore", invalid="ignore"):
        within = np.where(n > 0, hits / n, 0.0)
        between = (n * (within - mean[:, None]) ** 2).sum(axis=1) / total
        chance = np.where(n > 1, n * within * (1 - within) / (n - 1), 0.0).sum(axis=1) / total
        return np.asarray((between - chance) / variance)


def _rank(tally: Tally, outcome: int) -> Floats:
    """Spearman's rank correlation of each input with a yes/no outcome: ranks of the input are its u, uniform on (0,
    1).
    """
    count = tally.counts[0]
    mean = tally.bin_sums[outcome].sum(axis=1) / count
    with np.errstate(divide="ignore", invalid="ignore"):
        return np.asarray((tally.u_sums[outcome] / count - 0.5 * mean) / np.sqrt(mean * (1 - mean) / 12))


def _group(tally: Tally, outcome: int) -> float:
    """Index of first order of a group of inputs, from domes asked again with everything else drawn anew (Jansen 1999,
    memory):
    S = 1 - E(y - y')^2 / (2 V)."""
    asked, hits, squares = tally.pairs[:, outcome]
    mean = hits / asked if asked else math.nan
    variance = mean * (1 - mean)
    return 1.0 - squares / asked / (2 * variance) if variance > 0 else math.nan


def indices(tallies: Sequence[Tally], names: Sequence[str], group: str, outcome: int) -> tuple[Index, ...]:
    """Indices of all inputs and of one group, largest first; empty when every dome has the same outcome.

    Standard errors by leaving out one scrambling at a time (jackknife: sqrt((R - 1)/R sum (S_r - mean)^2)).
    """
    whole = add_tallies(tallies)
    hits = float(whole.bin_sums[outcome][0].sum())
    if not 0 < hits < whole.counts[0]:
        return ()
    values = np.append(_first_order(whole, outcome), _group(whole, outcome))
    ranks = np.append(_rank(whole, outcome), math.nan)
    errors = np.full(len(values), math.nan)
    if len(tallies) > 1:
        without = []
        for r in range(len(tallies)):
            rest = add_tallies([*tallies[:r], *tallies[r + 1 :]])
            without.append(np.append(_first_order(rest, outcome), _group(rest, outcome)))
        spread = np.array(without)
        errors = np.sqrt((len(tallies) - 1) * spread.var(axis=0))
    found = [
        Index(name, float(v), float(e), float(k))
        for name, v, e, k in zip((*names, group), values, errors, ranks, strict=True)
    ]
    return tuple(sorted(found, key=lambda one: (-one.value if math.isfinite(one.value) else math.inf, one.name)))
