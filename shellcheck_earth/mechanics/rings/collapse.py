"""How a ring-symmetric dome gives way: the multipliers of the linear programme read as motions of its courses.

The programme asks for the least common relaxation s of all bed limits (contact, crushing, sliding). Where no line is
left its multipliers are the rates at which the beds open, slide and crush, and the sums of them from the ground up are
the rigid motions of the courses (duality of statics and kinematics, derived: Abel summation of the work of the states
(H, V, G) through the motions conjugate to them). Every course of the lune is one rigid sector that moves in its
meridian plane.

The mechanism is the associated one: a bed that slides by 1 also opens by mu, so that friction costs no net work beside
what lifts the weight (only cohesion does). Real beds slide nearly flat: the picture shows which beds slide and which
way, not how far they lift.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np

from shellcheck_earth.basics.errors import UndecidedError
from shellcheck_earth.basics.sums import added
from shellcheck_earth.mechanics.rings.admissible import (
    AVAILABLE,
    CHORDS,
    Scales,
    failing_bed,
    pack,
    ring_limits,
    ring_polygon,
    wire_limit,
)
from shellcheck_earth.mechanics.rings.lune import Floats, Lune
from shellcheck_earth.mechanics.rings.programme import Programme, programme

__all__ = ["Collapse", "Edge", "Work", "collapse", "collapse_at_edge"]

SLACK = 1e-8
"""A line with more slack than this, as a share of the bed limits, stands: there is no collapse to show."""

TINY = 1e-9
"""Rates below this share of the largest are rounding and give no ring or wire a name."""

CLOSE = 1e-10
"""Relative width of the bracket at which the search for the edge ends."""


@dataclass(frozen=True)
class Work:
    """Rates of work per radian [kN m for the collapse's own size of motion]; all but `weights` and `excess` are >= 0.

    weights    of the weights, and of what is handed in, through the motions of their courses; downward is positive
    dilation   the part of it spent on lifting what slides: sum of mu V slip (taken off in `weights` already)
    friction   of the friction at sliding beds: sum of (mu V + cohesion) slip
    crushing   of beds that crush under a hinge, or whole
    rings      of closed rings that are crushed
    wires      of wires that yield
    excess     weights + dilation - friction - crushing - rings - wires: 0 at the limit, above it where no line is left
    """

    weights: float
    dilation: float
    friction: float
    crushing: float
    rings: float
    wires: float

    @property
    def excess(self) -> float:
        return self.weights + self.dilation - self.friction - self.crushing - self.rings - self.wires


@dataclass(frozen=True)
class Collapse:
    """Motion of every course, top course first; arrays (n,), read-only. Rates have no size of their own: here the
    corner that moves most (of every course, over its bed) moves by 1 m, and rotations are in rad to the same measure.

    number        course number [-]
    point_r/_z    the point of the course that `u` and `w` are stated for: the middle of the bed under it [m]
    u, w          its displacement outward and upward [m]; theta: rotation of the course [rad], positive when its top
        turns outward.
                  Any point of it: u(r, z) = u + theta (z - point_z), w(r, z) = w - theta (r - point_r)
    hinge_inner   rotation in the bed under the course about r_inner, the outer side opens [rad, >= 0]
    hinge_outer   about r_outer, the inner side opens [rad, >= 0]
    r_inner/_outer  radius about which the bed hinges [m]: its end, or the edge of the band that is crushed there
    slip_outward, slip_inward   of the course over what is under it [m, >= 0]; it rises by rise = mu slip as it slides
        [m]
    squash        the whole bed is crushed: what is above comes straight down [m]
    ring_low, ring_high   growth of the radius at the bottom and the top of the ring's section [m]; negative = shortens
    ring          "opens" (no part shortens), "crushes" (no part lengthens), "opens below" (the top is crushed
        meanwhile), "opens above"
                  (the bottom is) or "" (stays, or is not counted on)
    wire_rate     growth of the radius of the wire in the bed under the course [m]; wire_yields: it is there and
        lengthens
    relaxation    least common relaxation s of the bed limits that leaves a line [-]: 0 at the limit (a bed crushed
        whole: what it
                  must carry over what it can, less 1)
    work          what the motions cost and release
    """

    number: Floats
    point_r: Floats
    point_z: Floats
    u: Floats
    w: Floats
    theta: Floats
    hinge_inner: Floats
    hinge_outer: Floats
    r_inner: Floats
    r_outer: Floats
    slip_outward: Floats
    slip_inward: Floats
    rise: Floats
    squash: Floats
    ring_low: Floats
    ring_high: Floats
    ring: tuple[str, ...]
    wire_rate: Floats
    wire_yields: tuple[bool, ...]
    relaxation: float
    work: Work

    def at(self, course: int, r: Floats | float, z: Floats | float) -> tuple[Floats, Floats]:
        """Displacement (outward, upward) [m] of the point (r, z) of a course, given by its index from the top."""
        return (
            np.asarray(self.u[course] + self.theta[course] * (z - self.point_z[course])),
            np.asarray(self.w[course] - self.theta[course] * (r - self.point_r[course])),
        )


@dataclass(frozen=True)
class _Beds:
    """What a bed limit becomes when more weight rests on it, shapes (n,): hinge radii [m], friction [-], cohesion
    [kN].
    """

    inner: Floats
    outer: Floats
    friction: Floats
    cohesion: Floats
    capacity: Floats


def _beds(lune: Lune, p: Programme, scales: Scales) -> _Beds:
    """A resultant at its innermost place loads a band from the bed's inner end to c; more weight is carried at c, so
    the hinge turns about c (d(x_low V)/dV = c, derived; likewise outside). Where not crushing but `contact` limits,
    about x_low itself."""
    middle, half = (lune.bed_inner + lune.bed_outer) / 2, (lune.bed_outer - lune.bed_inner) / 2
    a, b = np.maximum(middle - half * scales.half_width, 1e-6 * middle), middle + half * scales.half_width
    w = np.clip(np.where(lune.wet_from >= lune.bed_outer, b, lune.wet_from), a, b)
    one = np.ones(lune.size)
    f_in = scales.strength_value * one if scales.strength_value >= 0 else lune.crush_inner * scales.strength
    f_out = scales.strength_value * one if scales.strength_value >= 0 else lune.crush_outer * scales.strength
    V = p.vertical
    inner, outer = np.empty(lune.size), np.empty(lune.size)
    capacity = np.array(
        [
            added(f * (q**2 - r**2) / 2 for f, r, q in ((f_in[i], a[i], w[i]), (f_out[i], w[i], b[i])) if q > r)
            for i in range(lune.size)
        ]
    )
    for i in range(lune.size):
        cap_in = f_in[i] * (w[i] ** 2 - a[i] ** 2) / 2 if w[i] > a[i] else 0.0
        cap_out = f_out[i] * (b[i] ** 2 - w[i] ** 2) / 2 if b[i] > w[i] else 0.0
        start, f, load = (a[i], f_in[i], V[i]) if cap_in >= V[i] else (w[i], f_out[i], V[i] - cap_in)
        inner[i] = np.sqrt(start**2 + 2 * load / f) if f > 0 else start
        end, f, load = (b[i], f_out[i], V[i]) if cap_out >= V[i] else (w[i], f_in[i], V[i] - cap_out)
        outer[i] = np.sqrt(max(end**2 - 2 * load / f, 0.0)) if f > 0 else end
    contact = half * scales.contact * max(scales.half_width, 1.0)
    narrow_in, narrow_out = middle - contact, middle + contact
    inner = np.where(p.limits[:, 0] <= narrow_in, p.limits[:, 0], inner)
    outer = np.where(p.limits[:, 1] >= narrow_out, p.limits[:, 1], outer)
    friction = scales.friction_value * one if scales.friction_value >= 0 else lune.friction * scales.friction
    return _Beds(inner, outer, friction, lune.cohesion * scales.friction, capacity)


def _multipliers(lune: Lune, p: Programme) -> tuple[float, Floats]:
    """(s, y) with y (4, n): outer edge, inner edge, slide out, slide in; s least relaxation of all of them, >= -1."""
    from scipy.optimize import linprog
    from scipy.sparse import csr_array

    n, V = lune.size, p.vertical
    # Relaxed by shares of the bed's half-width; a bed that a course barely overlaps gets a floor, or s would lose
    # its digits there.
    half = V * np.maximum(lune.bed_outer - lune.bed_inner, 1e-3 * lune.bed_outer) / 2
    limit = p.limits[:, 2]
    scale = np.concatenate([half, half, limit, limit])
    used = np.isfinite(scale)
    extra = np.zeros(len(p.b))
    extra[: used.sum()] = -scale[used]
    A = np.column_stack([p.A, extra])
    size = np.maximum(np.abs(p.b), 1e-3 * np.abs(A).max(axis=1))
    size[size == 0.0] = 1.0
    bounds = np.vstack([p.bounds, [[-1.0, np.inf]]])
    # An unlimited ring may carry anything: a motion that shortens it is no mechanism, however large its force
    # were capped.
    bounds[:n, 1] = np.where(np.isinf(lune.ring_strength) & (bounds[:n, 1] > 0), np.inf, bounds[:n, 1])
    cost = np.zeros(A.shape[1])
    cost[-1] = 1.0
    answer = linprog(
        cost,
        csr_array(A / size[:, None]),
        p.b / size,
        bounds=bounds,
        method="highs-ds",
        options={"primal_feasibility_tolerance": 1e-10, "dual_feasibility_tolerance": 1e-10},
    )
    if answer.status != 0:
        raise UndecidedError(f"the linear programme ended without an answer: {answer.message}")
    y = np.zeros(4 * n)
    y[used] = np.maximum(-answer.ineqlin.marginals[: int(used.sum())], 0.0) / size[: int(used.sum())]
    return float(answer.x[-1]), y.reshape(4, n)


def _ring_work(rows: Floats, scales: Scales, p: Floats, a: Floats) -> float:
    """Greatest of -(p C + a K) over what each ring may carry (its chord polygon; none is lost where it shortens
    nowhere).
    """
    x, y = np.empty(2 * len(CHORDS) + 1), np.empty(2 * len(CHORDS) + 1)
    total = 0.0
    for i in range(len(rows)):
        c_max, curve = ring_limits(rows, i, scales.as_array())
        if c_max > 0.0 and curve > 0.0:  # an unlimited ring does not shorten
            count = ring_polygon(rows[i, 1], rows[i, 2], c_max, curve, CHORDS, x, y)
            total += max(float((-(p[i] * x[:count] + a[i] * y[:count])).max()), 0.0)
    return total


def _ring_name(bottom: float, top: float) -> str:
    least, most = min(bottom, top), max(bottom, top)
    if least >= -TINY:
        return "opens" if most > TINY else ""
    if most <= TINY:
        return "crushes"
    return "opens below" if bottom > top else "opens above"


def _from_below(jumps: Floats) -> Floats:
    """Motion of every course: the sum of the jumps at the beds from it down to the ground, which does not move."""
    return np.cumsum(jumps[::-1])[::-1]


def collapse(lune: Lune, scales: Scales = AVAILABLE) -> Collapse | None:
    """How the dome gives way; None where a thrust line exists with slack to spare. UndecidedError when the solver
    does not say.

    Formulas: jump of the motions conjugate to (H, V, G) at a bed = multipliers times the gradient of its limits
    (derived in the module's first lines); the level z in them is the bed's own.
    """
    p = programme(lune, scales)
    beds = _beds(lune, p, scales)
    n, z = lune.size, lune.z_bottom
    squash = np.zeros(n)
    if p.crushed >= 0:
        s, y = (
            float(p.vertical[p.crushed] / beds.capacity[p.crushed] - 1) if beds.capacity[p.crushed] > 0 else np.inf,
            np.zeros((4, n)),
        )
        squash[p.crushed] = 1.0
    else:
        s, y = _multipliers(lune, p)
        if s < -SLACK or not y.any():
            return None
    out, inn, plus, minus = y
    sliding = np.where(
        np.isfinite(beds.friction), beds.friction, 0.0
    )  # a bed without a limit never slides: its rate is 0
    rise = sliding * (plus + minus)
    outward = _from_below(z * (inn - out) + plus - minus)
    down = _from_below(inn * beds.inner - out * beds.outer - rise + squash)
    turn = _from_below(out - inn)
    size = _largest(lune, outward, down, turn)
    y, squash, rise, outward, down, turn = (array / size for array in (y, squash, rise, outward, down, turn))
    return _assemble(lune, scales, p, beds, _Motion(s, y, squash, rise, outward, down, turn))


@dataclass(frozen=True)
class _Motion:
    """How the courses move: multipliers (4, n) of the limits; crushing, rise by dilation and the motions (n,)."""

    relaxation: float
    multipliers: Floats
    squash: Floats
    rise: Floats
    outward: Floats
    down: Floats
    turn: Floats


def _largest(lune: Lune, outward: Floats, down: Floats, turn: Floats) -> float:
    corners = [(r, level) for r in (lune.bed_inner, lune.bed_outer) for level in (lune.z_bottom, lune.z_top)]
    return max(float(np.hypot(outward + turn * level, down + turn * r).max()) for r, level in corners)


def _assemble(
    lune: Lune,
    scales: Scales,
    p: Programme,
    beds: _Beds,
    motion: _Motion,
) -> Collapse:
    """The motions as arrays a picture can be drawn from, with their works."""
    out, inn, plus, minus = motion.multipliers
    squash, rise, outward, down, turn = motion.squash, motion.rise, motion.outward, motion.down, motion.turn
    rows, factors, V = pack(lune), scales.as_array(), p.vertical
    r = (lune.bed_inner + lune.bed_outer) / 2
    low, high = outward + turn * lune.ring_low, outward + turn * lune.ring_high
    counted = np.array([ring_limits(rows, i, factors)[0] > 0.0 for i in range(lune.size)])
    tension = np.array([wire_limit(rows, i, factors) for i in range(lune.size)])
    wire = outward + turn * lune.z_bottom
    ring = tuple(_ring_name(bottom, top) if here else "" for here, bottom, top in zip(counted, low, high, strict=True))
    slip = plus + minus
    crushed = float((beds.capacity[squash > 0] * squash[squash > 0]).sum())
    work = Work(
        weights=float((down * lune.weight + turn * lune.moment + outward * lune.push).sum()),
        dilation=float((rise * V).sum()),
        friction=float((rise * V).sum() + (beds.cohesion[slip > 0] * slip[slip > 0]).sum()),
        crushing=float((V * (inn * (beds.inner - p.limits[:, 0]) + out * (p.limits[:, 1] - beds.outer))).sum())
        + crushed,
        rings=_ring_work(rows, scales, outward, turn),
        wires=float((tension * np.maximum(wire, 0.0)).sum()),
    )
    for array in (r, turn, inn, out, plus, minus, rise, squash, low, high, wire, beds.inner, beds.outer):
        array.setflags(write=False)
    w = -(down + turn * r)
    w.setflags(write=False)
    return Collapse(
        number=lune.number,
        point_r=r,
        point_z=lune.z_bottom,
        u=wire,
        w=w,
        theta=turn,
        hinge_inner=inn,
        hinge_outer=out,
        r_inner=beds.inner,
        r_outer=beds.outer,
        slip_outward=plus,
        slip_inward=minus,
        rise=rise,
        squash=squash,
        ring_low=low,
        ring_high=high,
        ring=ring,
        wire_rate=wire,
        wire_yields=tuple(bool(grows) for grows in (wire > TINY) & (tension > 0.0)),
        relaxation=motion.relaxation,
        work=work,
    )


@dataclass(frozen=True)
class Edge:
    """The edge of a family of domes: `stands` is the last value with a line, `fails` the first without one found; the
    dome and the mechanism are those at `fails`. Where the family jumps there (a course less), `collapse.relaxation` is
    not near 0."""

    stands: float
    fails: float
    standing: Lune
    failing: Lune
    collapse: Collapse


def collapse_at_edge(
    lune_of: Callable[[float], Lune],
    stands: float,
    fails: float,
    scales: Scales = AVAILABLE,
    *,
    close: float = CLOSE,
) -> Edge:
    """Bisect between a value at which `lune_of(value)` has a line and one at which it has none, to `close` of their
    distance; the family should change once from the one to the other. UndecidedError when an end is not what it was
    taken for."""
    good, bad = lune_of(stands), lune_of(fails)
    if failing_bed(pack(good), scales) >= 0:
        raise UndecidedError(f"already {stands:g} leaves no thrust line")
    if failing_bed(pack(bad), scales) < 0:
        raise UndecidedError(f"even {fails:g} leaves a thrust line")
    width = close * abs(fails - stands)
    while abs(fails - stands) > width:
        middle = (stands + fails) / 2
        if middle in (stands, fails):
            break
        lune = lune_of(middle)
        if failing_bed(pack(lune), scales) < 0:
            stands, good = middle, lune
        else:
            fails, bad = middle, lune
    found = collapse(bad, scales)
    if found is None:
        raise UndecidedError(f"the exact set finds no thrust line at {fails:g}, the linear programme does")
    return Edge(stands, fails, good, bad, found)
