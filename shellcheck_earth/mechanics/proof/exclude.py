"""Proofs that no line exists: multipliers of a linear programme, or a bed that carries nothing; and the mechanism that
such multipliers are. The checker decides whether they exclude every line."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np

from shellcheck_earth.mechanics.proof.courses import UNIT
from shellcheck_earth.mechanics.proof.floats import Arrays, arrays_of
from shellcheck_earth.mechanics.proof.rebuild import Question
from shellcheck_earth.mechanics.proof.states import Bed
from shellcheck_earth.mechanics.proof.statics import MULTIPLIERS, Loaded, none_fault
from shellcheck_earth.mechanics.rings.lune import Floats, Lune

__all__ = ["Mechanism", "find_none", "mechanism"]

TANGENTS = np.linspace(0.0, 1.0, 25)
TOO_CLOSE = 1e-9  # relaxation below which the programme's own tolerance decides: nothing is claimed
CONE_MARGIN = 1e-6  # an unlimited ring is searched a little wider: rounded multipliers still exclude it


@dataclass(frozen=True)
class Mechanism:
    """How the dome gives way, per bed or ring, top course first; rates relative to the largest multiplier.

    hinge_intrados  rotation about the inner end of the bed's carrying part (opens outside) [-]
    hinge_extrados  rotation about its outer end (opens inside) [-]
    slip_outward    the part above slides outward [-]
    slip_inward     the part above slides inward [-]
    ring            for each course "crushes" (a part of its section shortens), "opens" (none does, a part lengthens)
        or ""
    wire_yields     for each bed
    """

    hinge_intrados: tuple[float, ...]
    hinge_extrados: tuple[float, ...]
    slip_outward: tuple[float, ...]
    slip_inward: tuple[float, ...]
    ring: tuple[str, ...]
    wire_yields: tuple[bool, ...]


def find_none(beds: Sequence[Bed], question: Question) -> dict[str, Any] | None:
    """Multipliers, or a bed that carries nothing, which the checker has accepted as excluding every line; else None."""
    loaded = Loaded(beds, *question.loads)
    given = arrays_of(loaded, [question], up=True)
    entry: dict[str, Any] | None = None
    if isinstance(given, int):
        entry = {"failed_bed": given}
    else:
        found = _relax(given)
        if found is not None and found[0] > TOO_CLOSE:
            y = found[1] / max(float(found[1].max()), 1e-300)
            entry = {name: [round(float(v) * UNIT) for v in y[k]] for k, name in enumerate(MULTIPLIERS)}
    if entry is None or none_fault(beds, question, entry):
        return None
    return {"shows": [question.name]} | entry


def _ring_rows(given: Arrays, i: int) -> tuple[float, list[tuple[float, float, float]]]:
    """(C_max, rows (c, k, d) meaning c C + k K <= d) of the ring of course i, outside its true set."""
    low, high, f, t = float(given.z[i]), float(given.top[i]), float(given.ring_f[i]), float(given.ring_t[i])
    if f <= 0 or t <= 0 or high <= low:
        return 0.0, []
    if np.isinf(f):
        wide = CONE_MARGIN * (high - low)
        return np.inf, [(low - wide, -1.0, 0.0), (-(high + wide), 1.0, 0.0)]
    C_max, curve = f * t * (high - low), 1 / (2 * f * t)
    rows = []
    for p in TANGENTS * C_max:  # C^2 is replaced by its tangent at p: 2 p C - p^2
        rows.append((low + curve * 2 * p, -1.0, curve * p * p))
        rows.append((curve * 2 * p - high, 1.0, curve * p * p))
    return C_max, rows


def _relax(given: Arrays) -> tuple[float, Floats] | None:
    """(s, multipliers (4, n)) at the least common relaxation s >= -1 of all bed limits."""
    from scipy.optimize import linprog  # costs start-up time, and most proofs are lines
    from scipy.sparse import csr_array

    n, z, V = len(given.z), given.z, given.vertical
    A = np.zeros((4 * n, 3 * n + 1))
    push = np.cumsum(given.push)
    moment = np.cumsum(given.moment) - z * push
    for i in range(n):
        j = i + 1
        # moment about the bed's level = sum of K - z C + (z - z_j) T + moments, those of thrust handed in about it too
        # rows: inner edge, outer edge, slip outward, slip inward
        A[i, :j], A[i, n : n + j], A[i, 2 * n : 2 * n + j] = z[i], -1.0, z[:j] - z[i]
        A[n + i] = -A[i]
        A[2 * n + i, :j], A[2 * n + i, 2 * n : 2 * n + j] = 1.0, -1.0
        A[3 * n + i] = -A[2 * n + i]
    d = np.concatenate([moment - given.low, given.high - moment, given.slide - push, given.slide + push])
    scale = np.concatenate([np.tile(V * given.width / 2, 2), np.tile(given.slide, 2)])
    used = np.isfinite(d)
    A[:, -1] = -np.where(used, scale, 0.0)
    bounds = [(0.0, 0.0)] * n + [(None, None)] * n + [(0.0, float(T)) for T in given.wire] + [(-1.0, None)]
    extra, extra_d = [], []
    for i in range(n):
        C_max, ring = _ring_rows(given, i)
        bounds[i] = (0.0, C_max)
        if not ring:
            bounds[n + i] = (0.0, 0.0)
        for c, k, e in ring:
            line = np.zeros(3 * n + 1)
            line[i], line[n + i] = c, k
            extra.append(line)
            extra_d.append(e)
    cost = np.zeros(3 * n + 1)
    cost[-1] = 1.0
    right = np.concatenate([d[used], extra_d])
    answer = linprog(cost, csr_array(np.vstack([A[used], *extra])), right, bounds=bounds, method="highs")
    if answer.status != 0:
        return None
    y = np.zeros(4 * n)
    y[used] = np.maximum(-answer.ineqlin.marginals[: int(used.sum())], 0.0)
    return float(answer.x[-1]), y.reshape(4, n)


def mechanism(lune: Lune, entry: dict[str, Any]) -> Mechanism | None:
    """The multipliers read as movements; None unless the entry excludes every line by multipliers."""
    if "inner_edge" not in entry:
        return None
    y = np.array([[float(v) for v in entry[name]] for name in MULTIPLIERS]) / UNIT
    P = np.cumsum((lune.z_bottom * (y[0] - y[1]) + y[2] - y[3])[::-1])[::-1]
    Q = np.cumsum((y[1] - y[0])[::-1])[::-1]
    # The rates at which a ring's radius grows at the bottom and the top of its section, and a wire lengthens;
    # tiny is rounding.
    # A ring that only turns about one face opens: nothing of it shortens.
    low, high = P + Q * lune.ring_low, P + Q * lune.ring_high
    least, most = np.minimum(low, high), np.maximum(low, high)
    tiny = 1e-9 * float(y.max())
    ring = tuple(
        ""
        if lune.ring_strength[i] <= 0 or lune.ring_depth[i] <= 0
        else "crushes"
        if least[i] < -tiny
        else "opens"
        if most[i] > tiny
        else ""
        for i in range(lune.size)
    )
    yields = tuple(bool(v) for v in (P + lune.z_bottom * Q > tiny) & (lune.wire > 0))
    hinges = [tuple(float(v) for v in row) for row in y]
    return Mechanism(hinges[0], hinges[1], hinges[2], hinges[3], ring, yields)
