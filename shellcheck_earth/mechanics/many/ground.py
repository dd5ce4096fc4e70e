"""What the ground under one of very many domes is asked: whether its base slides, whether it presses too hard."""

from __future__ import annotations

import numpy as np

from shellcheck_earth.basics.kept import compiled
from shellcheck_earth.mechanics.many.followed import SLACK, failing
from shellcheck_earth.mechanics.rings.admissible import carry
from shellcheck_earth.mechanics.rings.capacity import CLOSE, CONTACT, GREATEST_GEOMETRIC_FACTOR, STEPS

__all__ = ["largest_contact", "presses", "slides"]


@compiled
def largest_contact(mean, required, allowable):  # type: ignore[no-untyped-def]
    """Share s of the bed's half-width up to which a resultant keeps the edge stress allowable; negative when none does.

    From `verdict.ground.bearing_stress`: edge/mean = 1 + 6 e/b inside the middle third, 2 b/(3 (b/2 - e)) outside, with
    e = s b/2.
    """
    ratio = allowable / (required * mean)
    return (ratio - 1.0) / 3.0 if ratio <= 2.0 else 1.0 - 4.0 / (3.0 * ratio)


@compiled
def _edge_stress(vertical, x, inner, outer):  # type: ignore[no-untyped-def]
    """`verdict.ground.bearing_stress`, compiled; inf where the resultant leaves the bed."""
    middle = (inner + outer) / 2
    width = outer - inner
    e = abs(x - middle)
    mean = vertical / middle / width
    if e <= width / 6:
        return mean * (1 + 6 * e / width)
    if e >= width / 2:
        return np.inf
    return 2 * (vertical / middle) / (3 * (width / 2 - e))


@compiled
def slides(rows, chords, available, H, shape, keep_x, keep_y, keep_n):  # type: ignore[no-untyped-def]
    """Base sliding falls short: the least |H| that reaches the ground asks for more than its friction."""
    n = len(rows)
    V = rows[n - 1, 3]
    if abs(H) / V * shape[9] <= shape[7] * (1.0 - SLACK):
        return False  # one line is enough to know; not so when H is nan
    carry(rows, available, chords, keep_x, keep_y, keep_n)
    m = keep_n[n - 1]
    least = keep_x[n - 1, :m].min()
    greatest = keep_x[n - 1, :m].max()
    nearest = 0.0 if least <= 0.0 and greatest >= 0.0 else min(abs(least), abs(greatest))
    slide = nearest / V * shape[9]
    return slide >= 1e-9 and slide > shape[7]


@compiled
def _least_contact(rows, chords, available, profiles, low, nothing, no_count):  # type: ignore[no-untyped-def]
    """The bisection of `quantities.least_capacity` for the contact share in [low, 1], step by step the same; 0 if
    `low` does.

    Only the beds down to the one that fails are asked (a few of the top, mostly): a no there is a no of the whole, and
    if the whole has a line at the share so found, every yes of the few was a yes of the whole. If not, a lower bed
    decides.
    """
    trial = available.copy()
    trial[CONTACT] = low
    bed, _ = failing(rows, trial, chords, profiles, nothing, no_count)
    if bed < 0:
        return 0.0
    high = 1.0
    while bed >= 0:
        top = rows[: bed + 1]
        below = low
        high = 1.0
        for _ in range(STEPS):
            if high <= below * (1.0 + CLOSE):
                break
            middle = np.sqrt(below * high)
            trial[CONTACT] = middle
            if carry(top, trial, chords, nothing, nothing, no_count) >= 0:
                below = middle
            else:
                high = middle
        if bed + 1 == len(rows):
            break
        trial[CONTACT] = high
        bed, _ = failing(rows, trial, chords, profiles, nothing, no_count)
    return high


@compiled
def presses(  # type: ignore[no-untyped-def]
    rows,
    chords,
    available,
    profiles,
    known,
    shape,
    keep_x,
    keep_y,
    keep_n,
    nothing,
    no_count,
):
    """Ground bearing falls short for the middlemost line; `known`: a contact share at which a line is known to exist.

    That line's share s bounds its eccentricity, |e| <= s b/2, and edge stress rises with |e|: a line at a share that
    keeps the stress allowable settles it. So does a mean stress above it. Between them, the search of `base_state`.
    """
    n = len(rows)
    V = rows[n - 1, 3]
    inner = rows[n - 1, 5]
    outer = rows[n - 1, 6]
    least_share = 1.0 / GREATEST_GEOMETRIC_FACTOR
    mean = V / ((inner + outer) / 2) / (outer - inner)
    if mean * shape[10] > shape[8]:
        return True
    share = largest_contact(mean, shape[10], shape[8]) * (1.0 - 4e-6)
    if share >= least_share * 1.01:
        if known <= share:
            return False
        trial = available.copy()
        trial[CONTACT] = share
        bed, _ = failing(rows, trial, chords, profiles, nothing, no_count)
        if bed < 0:
            return False
    found = _least_contact(rows, chords, available, profiles, least_share, nothing, no_count)
    trial = available.copy()
    trial[CONTACT] = min(max(found, least_share) * (1.0 + 1e-6), 1.0)
    if carry(rows, trial, chords, keep_x, keep_y, keep_n) >= 0:
        carry(rows, available, chords, keep_x, keep_y, keep_n)
    low = np.inf
    high = -np.inf
    for j in range(keep_n[n - 1]):
        x = (keep_y[n - 1, j] - rows[n - 1, 0] * keep_x[n - 1, j]) / V
        low = min(low, x)
        high = max(high, x)
    return _edge_stress(V, (low + high) / 2, inner, outer) * shape[10] > shape[8]
