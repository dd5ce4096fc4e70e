"""Is a list of forces a thrust line, do multipliers exclude every line? Equilibrium of beds in whole numbers.

Part of the checker: standard library only. Nothing here is approximate: lengths are whole numbers of 2^-40 m, forces
and moments whole numbers of the units of `rebuild`, and roots are bounded on the unfavourable side. STATEMENT.md,
equations (8) to (17).
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from fractions import Fraction
from math import floor, isqrt, lcm
from typing import Any

from shellcheck_earth.mechanics.proof.courses import UNIT
from shellcheck_earth.mechanics.proof.reading import RefusedError
from shellcheck_earth.mechanics.proof.rebuild import Question, Spread
from shellcheck_earth.mechanics.proof.states import Bed

__all__ = [
    "LINE_KEYS",
    "MOST_DIGITS",
    "MULTIPLIERS",
    "Known",
    "Limits",
    "Loaded",
    "by_loads",
    "line_fault",
    "none_fault",
    "under",
]

LINE_KEYS = ("ring", "ring_moment", "wire")
MULTIPLIERS = ("inner_edge", "outer_edge", "slip_outward", "slip_inward")
MOST_DIGITS = 40
SPARE_BITS = 60
"""A capacity is lowered by 2^-60 before it is rounded down: its roots and logarithms are good to far more."""
Limits = tuple[int, int, int | None] | None
"""Least and greatest moment of the normal force, and the sliding limit (None: none); None: crushed, or no bed."""
Loads = tuple[Fraction, Fraction, bool]
"""Factors on what is dead and what is imposed; whether rows count what is handed in."""


ONE = Fraction(1)


def _capacity(value: Fraction, up: bool, share: Fraction = ONE) -> int:
    """A share of a capacity as a whole number of 2^-40, lowered by 2^-60 and rounded down (raised and up when it is to
    be refuted); written out in whole numbers, for it is asked more often than anything else."""
    over, under = value.numerator * share.numerator, value.denominator * share.denominator
    if over <= 0:
        return 0
    if up:
        return -((-(over << SPARE_BITS) - under) // (under << SPARE_BITS - 40))
    return max(((over << SPARE_BITS) - under) // (under << SPARE_BITS - 40), 0)


def _root(square: int, up: bool) -> int:
    whole = isqrt(max(square, 0))
    return whole + (1 if up and whole * whole < square else 0)


class Loaded:
    """The beds of a case under the loads of one question; `k` makes the factored loads whole numbers. `rows`: what is
    handed in counts as rows of factors have it."""

    def __init__(self, beds: Sequence[Bed], dead: Fraction, imposed: Fraction, rows: bool = False) -> None:
        self.beds = beds
        self.k = k = lcm(dead.denominator, imposed.denominator)
        d, i = int(dead * k), int(imposed * k)
        carried = [bed.carried_rows if rows else bed.carried for bed in beds]
        self.moment = [bed.dead[1] * d + bed.imposed[1] * i + c[1] * k for bed, c in zip(beds, carried, strict=True)]
        self.weight = [bed.dead[0] * d + bed.imposed[0] * i + c[0] * k for bed, c in zip(beds, carried, strict=True)]
        self.push = [c[2] * k for c in carried]
        self.vertical, total = [], 0
        for one in self.weight:
            total += one
            self.vertical.append(total)
        self.force = (6 * k) << 120  # 2^-40 kN
        self.known: dict[tuple[Any, ...], list[Any]] = {}

    def once(self, key: tuple[Any, ...], found: Callable[[], list[Any]]) -> list[Any]:
        """What is found under that key for all beds, found once: questions share it, and each is asked twice."""
        if key not in self.known:
            self.known[key] = found()
        return self.known[key]

    def range_of(self, i: int, strength: Fraction, width: Fraction, up: bool) -> tuple[int, int] | None:
        """Equation (11): least and greatest moment at which stress blocks on the bed carry V."""
        bed, V, k = self.beds[i], self.vertical[i], self.k
        a, b = bed.inner, bed.outer
        if width != 1:
            narrow = (b - a) * (1 - width) / 2
            a, b = (floor(a + narrow), -floor(narrow - b)) if up else (-floor(-a - narrow), floor(b - narrow))
        if b <= a or V < 0:  # nothing holds a bed that is lifted
            return None
        w = b if bed.wet_from >= bed.outer else min(max(bed.wet_from, a), b)
        f_in = None if bed.strength_in is None else _capacity(bed.strength_in, up, strength)
        f_out = None if bed.strength_out is None else _capacity(bed.strength_out, up, strength)
        cap_in = V if f_in is None and w > a else (3 * k * (f_in or 0) * (w * w - a * a)) << 40
        cap_out = V if f_out is None and b > w else (3 * k * (f_out or 0) * (b * b - w * w)) << 40
        if cap_in + cap_out < V:
            return None
        from_in, from_out = min(cap_in, V), min(cap_out, V)
        low = _outward(a, from_in, f_in, k, not up) + _outward(w, V - from_in, f_out, k, not up)
        high = _inward(b, from_out, f_out, k, not up) + _inward(w, V - from_out, f_in, k, not up)
        return low, high

    def limits(self, question: Question, up: bool) -> list[Limits]:
        """Equations (10) to (14) of every bed; `up` rounds each of them wider."""
        return self.once(("limits", question, up), lambda: self._limits(question, up))

    def _limits(self, question: Question, up: bool) -> list[Limits]:
        s, w, n = question.strength, question.width, len(self.beds)
        ranges = self.once(("ranges", s, w, up), lambda: [self.range_of(i, s, w, up) for i in range(n)])
        out: list[Limits] = []
        for i, (bed, found) in enumerate(zip(self.beds, ranges, strict=True)):
            contact, last = question.contact, i + 1 == n
            if last and question.base_stress is not None:
                contact = min(contact, self.base_contact(question.base_stress, question.spread))
            if found is None or contact < 0:
                out.append(None)
                continue
            low, high = found
            if contact < 1:
                middle, half = (
                    (bed.inner + bed.outer) * self.vertical[i],
                    contact * (bed.outer - bed.inner) * self.vertical[i],
                )
                ends = (middle - half) / 2, (middle + half) / 2
                low = max(low, floor(ends[0]) if up else -floor(-ends[0]))
                high = min(high, -floor(-ends[1]) if up else floor(ends[1]))
            out.append((low, high, self.slide(i, question, up)))
        return out

    def base_contact(self, stress: Fraction, spread: Spread | None = None) -> Fraction:
        """Equation (14), on a footing (24): share of the base's half-width at which the edge stress is `stress`;
        negative: none."""
        bed, V = self.beds[-1], self.vertical[-1]
        width = bed.outer - bed.inner if spread is None else spread.width
        pressed = Fraction(V) if spread is None else V + self.weighs(spread.heavy)
        ratio = stress * (bed.outer + bed.inner) * width * (3 * self.k << 80) / pressed
        if ratio < 1:
            return Fraction(-1)
        share = (ratio - 1) / 3 if ratio <= 2 else 1 - 4 / (3 * ratio)
        if spread is None:
            return share
        tipped = spread.holds * (V + self.weighs(spread.light)) * spread.depth
        return (share * spread.width * pressed - 2 * tipped) / (V * (bed.outer - bed.inner))

    def weighs(self, weight: Fraction) -> Fraction:
        """A weight a radian [kN] in units of force."""
        return weight * (6 * self.k << 160)

    def friction(self, i: int, question: Question, up: bool) -> int | None:
        """mu V as a whole number of force units."""
        mu = self.beds[i].friction
        return None if mu is None else (_capacity(mu, up, question.friction) * self.vertical[i]) >> 40

    def slide(self, i: int, question: Question, up: bool) -> int | None:
        """Equation (12)."""
        limit = self.friction(i, question, up)
        if limit is not None:
            limit += up + _capacity(self.beds[i].cohesion, up, question.cohesion) * self.force
        if i + 1 == len(self.beds) and question.base_friction is not None:
            V = self.vertical[i] + (0 if question.spread is None else floor(self.weighs(question.spread.light)))
            ground = up + ((_capacity(question.base_friction, up) * V) >> 40)
            limit = ground if limit is None else min(limit, ground)
        return limit

    def wires(self, question: Question, up: bool) -> list[int]:
        """Equation (9) of every bed, force units: the counted tension, no more than its bond in the bed passes on."""
        beds = range(len(self.beds))
        return self.once(
            ("wires", question.wire, question.friction, up), lambda: [self._wire(i, question, up) for i in beds]
        )

    def _wire(self, i: int, question: Question, up: bool) -> int:
        bed = self.beds[i]
        if bed.wire == 0:
            return 0
        tension = _capacity(bed.wire, up, question.wire) * self.force
        if bed.bond is not None:
            return min(tension, _capacity(bed.bond, up, question.wire) * self.force)
        held = self.friction(i, question, up)
        return tension if held is None else min(tension, held + up)

    def rings(self, question: Question, up: bool) -> list[tuple[int | None, int]]:
        """(f, t) of every closed ring: strength (None: without limit) and depth; equation (8)."""
        beds = range(len(self.beds))
        return self.once(("rings", question.strength, up), lambda: [self._ring(i, question, up) for i in beds])

    def _ring(self, i: int, question: Question, up: bool) -> tuple[int | None, int]:
        bed = self.beds[i]
        f = None if bed.ring_strength is None else _capacity(bed.ring_strength, up, question.strength)
        return (0, 0) if f == 0 or bed.ring_depth <= 0 or i + 1 == len(self.beds) else (f, bed.ring_depth)


Known = dict[tuple[int, Fraction, Fraction, bool], Loaded]
"""Beds under loads, by where they stand in memory and those loads (`under`)."""


def _outward(p: int, force: int, f: int | None, k: int, up: bool) -> int:
    """Moment of `force` as a stress block f from radius p outward: f (c^3 - p^3)/3, c^2 = p^2 + 2 force/f."""
    if force == 0 or f is None:
        return force * p
    c = _root(p * p + (-(-force // (3 * k * f << 40)) if up else force // (3 * k * f << 40)), up)
    return (2 * k * f * (c**3 - p**3)) << 40


def _inward(q: int, force: int, f: int | None, k: int, up: bool) -> int:
    """The same from radius q inward, c^2 = q^2 - 2 force/f; `up` rounds c up, the moment down."""
    if force == 0 or f is None:
        return force * q
    c = _root(q * q - (force // (3 * k * f << 40) if up else -(-force // (3 * k * f << 40))), up)
    return (2 * k * f * (q**3 - c**3)) << 40


def _whole_numbers(entry: Mapping[str, Any], key: str, n: int) -> list[int]:
    column = entry.get(key)
    if not isinstance(column, list) or len(column) != n or not all(type(one) is int for one in column):
        raise RefusedError(f"{key}: expected {n} whole numbers")
    if any(abs(one) >= 10**MOST_DIGITS for one in column):
        raise RefusedError(f"{key}: expected numbers of at most {MOST_DIGITS} digits")
    return column


def under(beds: Sequence[Bed], loads: Loads, known: Known) -> Loaded:
    """The beds under those loads: made once for all who hand over the same `known`, which keeps the beds, so that no
    others can come to stand at their address."""
    key = id(beds), *loads
    if key not in known:
        known[key] = Loaded(beds, *loads)
    return known[key]


def line_fault(
    beds: Sequence[Bed], questions: Sequence[Question], entry: Mapping[str, Any], known: Known | None = None
) -> str:
    """ "" when the forces are an admissible state for each of the questions; else what is wrong with them."""
    C, K, T = (_whole_numbers(entry, key, len(beds)) for key in LINE_KEYS)
    known = {} if known is None else known
    for loads, asked in by_loads(questions).items():
        loaded = under(beds, loads, known)
        H = G = 0
        states = []
        for i, bed in enumerate(beds):
            H += (C[i] - T[i]) * loaded.force + loaded.push[i]
            G += (K[i] * UNIT - bed.z_bottom * T[i]) * loaded.force + loaded.moment[i]
            states.append((H, G - bed.z_bottom * H))
        for question in asked:
            wires, rings = loaded.wires(question, up=False), loaded.rings(question, up=False)
            for i, limits in enumerate(loaded.limits(question, up=False)):
                fault = "" if 0 <= T[i] * loaded.force <= wires[i] else "the wire pulls more than it may"
                fault = fault or _ring_fault(beds[i], rings[i], C[i], K[i]) or _bed_fault(states[i], limits)
                if fault:
                    return f"{question.name}: {fault} at the bed under course {beds[i].number}"
    return ""


def by_loads(questions: Sequence[Question]) -> dict[Loads, list[Question]]:
    """The questions by the loads they are asked under."""
    out: dict[Loads, list[Question]] = {}
    for question in questions:
        out.setdefault(question.loads, []).append(question)
    return out


def _ring_fault(bed: Bed, ring: tuple[int | None, int], C: int, K: int) -> str:
    if C == 0:
        return "" if K == 0 else "a ring without force has a moment"
    f, t = ring
    low, high = bed.z_bottom * C, bed.z_top * C
    bend = C * C * UNIT * UNIT
    if C < 0 or t == 0:
        return "a ring presses that may not"
    if f is None:
        inside = low <= K * UNIT <= high
    else:
        inside = 2 * f * t * (K * UNIT - low) >= bend and 2 * f * t * (high - K * UNIT) >= bend
    return "" if inside else "the ring's force leaves its section"


def _bed_fault(state: tuple[int, int], limits: Limits) -> str:
    if limits is None:
        return "it cannot carry its load"
    low, high, slide = limits
    if not low <= state[1] <= high:
        return "the line leaves the part that can carry it"
    return "" if slide is None or abs(state[0]) <= slide else "it slides"


def none_fault(beds: Sequence[Bed], question: Question, entry: Mapping[str, Any]) -> str:
    """ "" when the entry shows that no admissible state exists; else why it does not. Equations (15) to (17)."""
    loaded = Loaded(beds, *question.loads)
    limits, wires, rings = loaded.limits(question, True), loaded.wires(question, True), loaded.rings(question, True)
    if "failed_bed" in entry:
        index = entry["failed_bed"]
        if type(index) is not int or not 0 <= index < len(beds):
            raise RefusedError("failed_bed: expected the index of a bed")
        found = limits[index]
        return "" if found is None or found[0] > found[1] else f"bed {index} can carry its load"
    columns = [_whole_numbers(entry, key, len(beds)) for key in MULTIPLIERS]
    total = P = Q = 0
    for i in reversed(range(len(beds))):
        y_in, y_out, y_plus, y_minus = (column[i] for column in columns)
        bed, found = beds[i], limits[i]
        if min(y_in, y_out, y_plus, y_minus) < 0:
            return "a multiplier is below zero"
        if found is None:
            return ""
        if found[2] is None and y_plus + y_minus:
            return "sliding is counted on a bed that cannot slide"
        total += y_in * found[0] - y_out * found[1] - (y_plus + y_minus) * (found[2] or 0) * UNIT
        P += bed.z_bottom * (y_in - y_out) + (y_plus - y_minus) * UNIT
        Q += y_out - y_in
        least = _least_ring(bed, rings[i], loaded.k, P, Q)
        if least is None:
            return "a ring without limit undoes it"
        total += loaded.moment[i] * Q + loaded.push[i] * P + least + min(0, -(P + bed.z_bottom * Q)) * wires[i]
    return "" if total > 0 else "the multipliers do not exclude every line"


def _least_ring(bed: Bed, ring: tuple[int | None, int], k: int, P: int, Q: int) -> int | None:
    """min of P C + Q K over all that the ring may carry, rounded down; None: no least."""
    f, t = ring
    slope = P + Q * (bed.z_bottom if Q >= 0 else bed.z_top)
    if t == 0 or slope >= 0:
        return 0
    if f is None:
        return None
    # real numbers from here: slope s, C_max = f h t, bend = |Q|/(2 f t)
    s, ft = Fraction(slope, UNIT), Fraction(f * t, UNIT * UNIT)
    most = ft * Fraction(bed.z_top - bed.z_bottom, UNIT)
    C = most if Q == 0 else min(most, -s * ft / abs(Q))
    return floor((s * C + abs(Q) * C * C / (2 * ft)) * (6 * k << 200))
