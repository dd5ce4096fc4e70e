"""Which input a number hangs on: indices of first and of total order, from domes with one input at a time exchanged.

Two independent domes A and B are drawn at every base point, and for each input i a dome A_B(i): A with input i as B has
it. Then, over the base points,

    S_i  = mean( f(B) (f(A_B(i)) - f(A)) ) / V        first order: what i explains alone
    T_i  = mean( (f(A) - f(A_B(i)))^2 ) / (2 V)       total order: alone and together with all others

S_i by Saltelli et al. 2010 ("Variance based sensitivity analysis of model output", Table 2, row b), T_i by Jansen 1999
(row f there): memory, and read as the library SALib 1.6 writes both out; the tests compare with it, with Ishigami's
function and with a sum. V is the variance over A and B; f is taken about its mean over all domes, which changes no
expectation and takes off much of the scatter. Sums only, so blocks add up in a fixed order.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

__all__ = ["Exchanged", "Orders", "add_exchanged", "exchange", "exchanged_of", "orders"]

Floats = NDArray[np.float64]


@dataclass(frozen=True)
class Exchanged:
    """Sums over base points of o numbers and k inputs.

    whole (o, 5): base points, f(A), f(B), f(A)^2 + f(B)^2, f(A) f(B). each (o, k, 3): f(A_B), f(B) f(A_B),
    (f(A) - f(A_B))^2.
    """

    whole: Floats
    each: Floats


@dataclass(frozen=True)
class Orders:
    """Shares of a number's variance [-] that one input explains alone (`first`) and with all others (`total`), each
    with its standard error over the scramblings (nan: one scrambling only)."""

    name: str
    first: float
    first_error: float
    total: float
    total_error: float


def exchange(a: Floats, b: Floats, groups: Sequence[Sequence[int]]) -> Floats:
    """All domes to be asked, (2 + k, N, d): A, B, and A with each group of columns as B has them."""
    out = np.repeat(a[None], 2 + len(groups), axis=0)
    out[1] = b
    for row, columns in zip(out[2:], groups, strict=True):
        row[:, list(columns)] = b[:, list(columns)]
    return out


def exchanged_of(f: Floats) -> Exchanged:
    """The sums of o numbers of the domes of `exchange`: f (o, 2 + k, N)."""
    a, b, swapped = f[:, 0], f[:, 1], f[:, 2:]
    count = np.full(len(f), float(f.shape[2]))
    whole = np.stack([count, a.sum(1), b.sum(1), (a * a).sum(1) + (b * b).sum(1), (a * b).sum(1)], axis=1)
    with_b, apart = b[:, None] * swapped, (a[:, None] - swapped) ** 2
    return Exchanged(whole, np.stack([swapped.sum(2), with_b.sum(2), apart.sum(2)], axis=2))


def add_exchanged(parts: Sequence[Exchanged]) -> Exchanged:
    """The sum, in the order given."""
    return Exchanged(
        np.sum([one.whole for one in parts], axis=0),
        np.sum([one.each for one in parts], axis=0),
    )


def _both(sums: Exchanged, o: int) -> Floats:
    """(2, k): first and total order of number o; nan where it never varies."""
    n, in_a, in_b, squares, product = sums.whole[o]
    swapped, with_b, apart = sums.each[o].T
    mean = (in_a + in_b + swapped.sum()) / (n * (2 + len(swapped)))
    variance = squares / (2 * n) - ((in_a + in_b) / (2 * n)) ** 2
    if not variance > 1e-12 * squares / (2 * n):
        return np.full((2, len(swapped)), math.nan)
    first = (with_b - product - mean * (swapped - in_a)) / n
    return np.asarray(np.stack([first, apart / (2 * n)]) / variance)


def _errors(runs: Sequence[Exchanged], of: Callable[[Exchanged], Floats]) -> Floats:
    """Standard errors by leaving out one scrambling at a time (jackknife: sqrt((R - 1)/R sum (S_r - mean)^2))."""
    without = np.array([of(add_exchanged([*runs[:r], *runs[r + 1 :]])) for r in range(len(runs))])
    return np.asarray(np.sqrt((len(runs) - 1) * without.var(axis=0)))


def orders(runs: Sequence[Exchanged], names: Sequence[str], number: int) -> tuple[Orders, ...]:
    """Both indices of every input for one of the numbers, largest total first; empty where the number never varies.

    runs: the sums of each scrambling; names: of the k inputs, in the order in which they were exchanged.
    """

    def of(sums: Exchanged) -> Floats:
        return _both(sums, number)

    values = of(add_exchanged(runs))
    if not np.isfinite(values).all():
        return ()
    errors = _errors(runs, of) if len(runs) > 1 else np.full_like(values, math.nan)
    found = [
        Orders(name, float(values[0, i]), float(errors[0, i]), float(values[1, i]), float(errors[1, i]))
        for i, name in enumerate(names)
    ]
    return tuple(sorted(found, key=lambda one: (-one.total, one.name)))
