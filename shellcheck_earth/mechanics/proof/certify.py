"""Make a certificate: a thrust line in rational numbers, or multipliers that exclude every line.

One linear programme serves both: the least common relaxation s of all bed limits. s < 0 leaves a line with
slack to spend on rounding; s > 0 gives multipliers. Near zero nothing is claimed. The result is handed to the
checker, which shares no code with this module, and is only returned if that establishes it.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from itertools import pairwise
from typing import Any

import numpy as np

from shellcheck_earth.mechanics.proof.check import (
    FORMAT,
    LINE,
    LUNE_KEYS,
    NO_LINE,
    NOT_ESTABLISHED,
    check_certificate,
    digest,
)
from shellcheck_earth.mechanics.rings.admissible import AVAILABLE, bed_limits, pack
from shellcheck_earth.mechanics.rings.lune import Floats, Lune

__all__ = ["Band", "Mechanism", "make_certificate", "mechanism"]

Band = tuple[float, float, float, float]
"""Inner radius [m], outer radius [m], height [m], unit weight [kN/m3]."""

BITS = 40  # forces and multipliers are rounded to multiples of 2^-40
TOO_CLOSE = 1e-9  # relaxation below which the programme's own tolerance decides: nothing is claimed
TANGENTS = np.linspace(0.0, 1.0, 25)
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


def make_certificate(
    lune: Lune,
    *,
    case_id: str,
    design_name: str,
    reserve: float | None = None,
    bands: Sequence[Sequence[Band]] | None = None,
) -> dict[str, Any] | None:
    """The certificate as data for JSON, or None when neither answer could be established.

    `reserve` is the overall reserve found elsewhere: a contradicting proof is withheld, since then
    something is wrong. `bands` (one list a course, top first) let the checker recompute every weight and moment.
    """
    data: dict[str, Any] = {
        "format": FORMAT,
        "design": design_name,
        "case": case_id,
        "lune": {key: [_plain(float(v)) for v in getattr(lune, key)] for key in LUNE_KEYS},
    }
    if bands is not None:
        keys = ("inner_radius_m", "outer_radius_m", "height_m", "unit_weight_kN_m3")
        data["bands"] = [[dict(zip(keys, map(float, band), strict=True)) for band in course] for course in bands]
    proof = _prove(lune)
    if proof is None:
        return None
    data |= proof
    data["digest"] = digest(data)
    if check_certificate(data).kind == NOT_ESTABLISHED:
        return None
    if reserve is not None and (reserve >= 1.0) != (data["kind"] == LINE):
        return None
    return data


def _plain(value: float) -> float | str:
    return "inf" if value == np.inf else value


def _text(value: Fraction) -> str:
    return f"{value.numerator}/{value.denominator}"


def _grid(value: float) -> Fraction:
    return Fraction(round(value * 2**BITS), 2**BITS)


def _prove(lune: Lune) -> dict[str, Any] | None:
    rows = pack(lune)
    limits = np.array([bed_limits(rows, i, AVAILABLE.as_array()) for i in range(lune.size)])
    failed = np.flatnonzero(limits[:, 0] > limits[:, 1])
    if len(failed):
        return {"kind": NO_LINE, "failed_bed": int(failed[0])}
    # Chords lie inside the rings' true sets and tangents outside: each answer is sought on its strict side.
    line = _relax(lune, limits, tangents=False)
    if line is not None and line[0] < -TOO_CLOSE:
        return {"kind": LINE, "forces": _round_forces(lune, line[1])}
    none = _relax(lune, limits, tangents=True)
    if none is not None and none[0] > TOO_CLOSE:
        y = none[2] / max(float(none[2].max()), 1e-300)
        names = ("inner_edge", "outer_edge", "slip_outward", "slip_inward")
        columns = {name: [_text(_grid(v)) for v in y[k]] for k, name in enumerate(names)}
        return {"kind": NO_LINE, "multipliers": columns}
    return None


def _ring_rows(lune: Lune, i: int, tangents: bool) -> tuple[float, list[tuple[float, float, float]]]:
    """(C_max, rows (c, k, d) meaning c C + k K <= d) of the ring of course i."""
    assert lune.ring_low is not None and lune.ring_high is not None
    low, high = float(lune.ring_low[i]), float(lune.ring_high[i])
    f, t = float(lune.ring_strength[i]), float(lune.ring_depth[i])
    if f <= 0 or t <= 0 or high <= low:
        return 0.0, []
    if np.isinf(f):
        wide = CONE_MARGIN * (high - low) if tangents else 0.0
        return np.inf, [(low - wide, -1.0, 0.0), (-(high + wide), 1.0, 0.0)]
    C_max, curve = f * t * (high - low), 1 / (2 * f * t)
    at = TANGENTS * C_max
    pairs = zip(at, at, strict=True) if tangents else pairwise(at)
    rows = []
    # C^2 is replaced by its tangent at p (p = q) or its chord between p and q: (p + q) C - p q
    for p, q in pairs:
        rows.append((low + curve * (p + q), -1.0, curve * p * q))
        rows.append((curve * (p + q) - high, 1.0, curve * p * q))
    return C_max, rows


def _relax(lune: Lune, limits: Floats, *, tangents: bool) -> tuple[float, Floats, Floats] | None:
    """(s, forces (3, n), multipliers (4, n)) at the least common relaxation s >= -1 of all bed limits."""
    from scipy.optimize import linprog  # costs start-up time, and not every command proves
    from scipy.sparse import csr_array

    n, z, V = lune.size, lune.z_bottom, lune.vertical
    A = np.zeros((4 * n, 3 * n + 1))
    d = np.empty(4 * n)
    moment = np.cumsum(lune.moment)
    for i in range(n):
        j = i + 1
        # x V = G - z H = sum of K - z C + (z - z_j) T + moments
        # rows: inner edge, outer edge, slip outward, slip inward
        A[i, :j], A[i, n : n + j], A[i, 2 * n : 2 * n + j] = z[i], -1.0, z[:j] - z[i]
        A[n + i] = -A[i]
        A[2 * n + i, :j], A[2 * n + i, 2 * n : 2 * n + j] = 1.0, -1.0
        A[3 * n + i] = -A[2 * n + i]
    d[:n], d[n : 2 * n] = moment - limits[:, 0] * V, limits[:, 1] * V - moment
    d[2 * n : 3 * n] = d[3 * n :] = limits[:, 2]
    scale = np.concatenate([np.tile(V * (lune.bed_outer - lune.bed_inner) / 2, 2), np.tile(limits[:, 2], 2)])
    used = np.isfinite(d)
    A[:, -1] = -np.where(used, scale, 0.0)
    bounds = [(0.0, 0.0)] * n + [(None, None)] * n + [(0.0, float(T)) for T in lune.wire] + [(-1.0, None)]
    extra, extra_d = [], []
    for i in range(n):
        C_max, ring = _ring_rows(lune, i, tangents)
        bounds[i] = (0.0, C_max)
        if not ring:
            bounds[n + i] = (0.0, 0.0)
        for c, k, e in ring:
            line = np.zeros(3 * n + 1)
            line[i], line[n + i] = c, k
            extra.append(line)
            extra_d.append(e)
    matrix = np.vstack([A[used], *extra])
    cost = np.zeros(3 * n + 1)
    cost[-1] = 1.0
    right = np.concatenate([d[used], extra_d])
    answer = linprog(cost, csr_array(matrix), right, bounds=bounds, method="highs")
    if answer.status != 0:
        return None
    y = np.zeros(4 * n)
    y[used] = np.maximum(-answer.ineqlin.marginals[: int(used.sum())], 0.0)
    return float(answer.x[-1]), answer.x[: 3 * n].reshape(3, n), y.reshape(4, n)


def _round_forces(lune: Lune, forces: Floats) -> dict[str, list[str]]:
    """Round to rationals inside the rings' and wires' exact limits; the beds' slack pays for the rounding."""
    assert lune.ring_low is not None and lune.ring_high is not None
    columns: dict[str, list[str]] = {"ring": [], "ring_moment": [], "wire": []}
    for i in range(lune.size):
        C, K, T = (_grid(float(v)) for v in forces[:, i])
        low, high = Fraction(float(lune.ring_low[i])), Fraction(float(lune.ring_high[i]))
        f, t = float(lune.ring_strength[i]), Fraction(float(lune.ring_depth[i]))
        curve = Fraction(0)
        C = max(C, Fraction(0))
        if f <= 0 or t <= 0 or high <= low:
            C = Fraction(0)
        elif not np.isinf(f):
            curve = 1 / (2 * Fraction(f) * t)
            C = min(C, (high - low) * Fraction(f) * t)
        K = min(max(K, low * C + curve * C * C), high * C - curve * C * C)
        T = min(max(T, Fraction(0)), Fraction(float(lune.wire[i])))
        for key, value in zip(columns, (C, K, T), strict=True):
            columns[key].append(_text(value))
    return columns


def mechanism(lune: Lune, certificate: dict[str, Any]) -> Mechanism | None:
    """The multipliers read as movements; None unless the certificate excludes every line by multipliers."""
    table = certificate.get("multipliers")
    if table is None or lune.ring_low is None or lune.ring_high is None:
        return None
    names = ("inner_edge", "outer_edge", "slip_outward", "slip_inward")
    y = np.array([[float(Fraction(v)) for v in table[name]] for name in names])
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
