"""What moisture does: strength by moisture and age, drying, and how far rain reaches, in numbers good to 40 digits.

Part of the checker: standard library only. STATEMENT.md, equations (4) to (8).
"""

from __future__ import annotations

from decimal import Decimal, localcontext
from fractions import Fraction
from itertools import pairwise
from typing import Any

from shellcheck_earth.mechanics.proof.keys import power
from shellcheck_earth.mechanics.proof.quantities import PI
from shellcheck_earth.mechanics.proof.reading import Design, RefusedError

__all__ = ["DRY", "WET", "Fill", "early", "infiltrated", "moisture_at", "strength_at", "strength_of_age"]

DRY, WET = Fraction(4, 100), Fraction(9, 10)  # moisture that counts as dry; saturation that counts as wet
EARLY = ((0, Fraction(3, 10)), (7, Fraction(1, 2)), (28, Fraction(1)))
CLIMATES = {  # diffusivity [m2/s], evaporation of a face [m/day], moisture it ends at
    "cool and damp": (Fraction("1e-9"), Fraction("0.0005"), Fraction("0.05")),
    "temperate": (Fraction("2e-9"), Fraction("0.0015"), Fraction("0.03")),
    "hot and dry": (Fraction("4e-9"), Fraction("0.004"), Fraction("0.02")),
}
Fill = Any
"""The keys of [fill] as exact numbers, with `full`: the moisture that fills every void."""


def _decimal(value: Fraction) -> Decimal:
    return Decimal(value.numerator) / Decimal(value.denominator)


def _between(x: Fraction, x0: Fraction, x1: Fraction, y0: Fraction, y1: Fraction) -> Fraction:
    """Log-linear between two points, linear when an end is 0."""
    if x1 <= x0:
        return y1
    share = min(max((x - x0) / (x1 - x0), Fraction(0)), Fraction(1))
    if y0 > 0 and y1 > 0:
        return y0 if y0 == y1 else y0 * power(y1 / y0, share)
    return (1 - share) * y0 + share * y1


def strength_at(fill: Fill, moisture: Fraction, hardened: bool) -> Fraction:
    """[kPa]; equations (4)."""
    wet_end = WET * fill["full"]
    placed = min(fill["placing_moisture"], wet_end)
    dry, fresh, wet = fill["strength_dry"], fill["strength_as_placed"], fill["strength_wet"]
    if moisture >= wet_end:
        return Fraction(wet)
    if hardened and fill["stabiliser"] != "none":
        start = min(DRY, placed)
        return Fraction(dry) if moisture <= start else _between(moisture, start, wet_end, dry, wet)
    if moisture > placed:
        return _between(moisture, placed, wet_end, fresh, wet)
    if moisture == placed:
        return Fraction(fresh)
    start = min(DRY, placed / 2)
    return Fraction(dry) if moisture <= start else _between(moisture, start, placed, dry, fresh)


def strength_of_age(d: Design, fill: Fill, moisture: Fraction, age: int, width: Fraction, height: Fraction) -> Fraction:
    """Of an unwetted course so many days old [kPa]: by moisture, its stabiliser's age and the fabric if counted."""
    f = strength_at(fill, moisture, hardened=True)
    if fill["stabiliser"] != "none":
        grown = (early(age) - EARLY[0][1]) / (1 - EARLY[0][1])
        f = min(fill["strength_as_placed"], f) * (1 - grown) + f * grown
    if d["building.count_fabric"]:
        # 2 c sqrt(Kp) with c = T/(B sqrt(Kp)) (Kp B/H - 1), Kp = 3 for 30 degrees: the root cancels
        left = d["wall.fabric_strength"] * max(1 - d["building.fabric_loss"] * age, Fraction(0))
        f += max(2 * left / width * (3 * width / height - 1), Fraction(0))
    return Fraction(f)


def moisture_at(d: Design, fill: Fill, age: int) -> Fraction:
    """Of a course so many days old; equations (6)."""
    placing, rows = fill["placing_moisture"], d["building.drying"]
    if rows:
        if rows[0][0] > 0:
            rows = ((Fraction(0), max(placing, rows[0][1])), *rows)
        for (a0, m0), (a1, m1) in pairwise(rows):
            if a0 <= age < a1:
                return Fraction(min(m0 + (m1 - m0) * (age - a0) / (a1 - a0), placing))
        return Fraction(min(rows[-1][1], placing))
    if d["building.climate"] == "none":
        return Fraction(placing)
    diffusivity, evaporation, balance = CLIMATES[d["building.climate"]]
    width = d["wall.filled_width"]
    if age <= 0 or placing <= balance:
        return Fraction(placing)
    if not Fraction(1, 10) <= width <= Fraction(6, 10):
        raise RefusedError("building.climate: expected a wall of 0.1 to 0.6 m for the drying model")
    excess = placing - balance
    by_diffusion = excess * (1 - _left(diffusivity * 86400 * age / width**2))
    by_air = 2 * evaporation * age * 1000 / (fill["dry_density"] * width)
    return Fraction(placing - min(by_diffusion, by_air, excess))


def early(age: int) -> Fraction:
    for (a0, s0), (a1, s1) in pairwise(EARLY):
        if age <= a1:
            return s0 + (s1 - s0) * Fraction(max(age, a0) - a0, a1 - a0)
    return Fraction(1)


def _left(x: Fraction) -> Fraction:
    """Share of water left in a sheet whose faces are dry (Crank 1975, eqs. 4.18 and 4.20, memory)."""
    with localcontext() as context:
        context.prec = 50
        if x < Fraction(2, 100):
            return Fraction(1 - 4 * (_decimal(x) / _decimal(PI)).sqrt())
        square = _decimal(PI) ** 2
        odd = range(1, 24, 2)
        return Fraction(8 / square * sum((-square * _decimal(x) * m * m).exp() / (m * m) for m in odd))


def infiltrated(k: Fraction, storage: Fraction, rain: Fraction, hours: Fraction) -> Fraction:
    """Water taken up [m] in so many hours (Green & Ampt 1911; Chow, Maidment & Mays 1988, memory), rounded up."""
    start = k * storage / (rain * (rain - k)) if rain > k else hours
    if hours <= start:
        return rain * hours
    with localcontext() as context:
        context.prec = 50
        s, first, target = _decimal(storage), _decimal(rain * start), _decimal(k * (hours - start))
        depth = first + target
        if storage > 0:
            depth += s + (2 * (s + first) * target).sqrt()
            for _ in range(200):
                rest = depth - first - s * ((s + depth) / (s + first)).ln() - target
                step = rest * (s + depth) / depth
                depth = max(depth - step, first)
                if abs(step) <= Decimal("1e-40"):
                    break
            else:
                raise RefusedError("rain: its wetting front could not be found")
        return Fraction(depth) + Fraction(1, 10**30)
