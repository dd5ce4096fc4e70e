"""What a contact patch answers to a motion of its two blocks, compiled: pressing, friction without dilation, crushing.

A patch has four points in two strips (`mechanics.blocks.interfaces`). Each point is a stiff spring that only presses
and a slider, so that forces at rest are definite; in a fixed geometry the stiffness scales displacements only.

- Pressing: y = -kn gap. The pressing forces of a strip are the nearest ones to its y's with n >= 0 and
  (n1 + n2)^2 <= c n1, c n2, c = 2 f l d: the stress block of `interfaces` (closest point, so crushing is associated
  and, for simplicity, comes back when unloaded).
- Sliding: s = last shear - kt slip. The shears are the nearest ones to s with |s_i| <= mu n_i and |turning| <= mu
  lever N, with n as just found. That is Coulomb's law without dilation: the slip is square to the limit on the
  shears, not to the cone of normal and shear together, so nothing rises as it slides (Moreau 1988, memory: pressing
  and sliding as two closest-point laws; Alart & Curnier 1991, memory).

Derivatives are those of the closest points, for Newton's method. Signs: motion of the upper block less that of the
lower one along (normal, along, across); forces as they act on the upper block.
"""

from __future__ import annotations

import numpy as np

from shellcheck_earth.basics.kept import compiled

__all__ = ["respond", "strip_forces"]

ROUNDS = 60
"""Of the searches for one number: bisection, so they always end."""

TINY = 1e-14


@compiled
def _block_edge(N0, d0, c):  # type: ignore[no-untyped-def]
    """N of the closest point to (N0, d0) on the edge d = N - 2 N^2/c of a stress block; d0 outside of it, d0 > 0."""
    low, high = 0.0, 0.5 * c
    N = min(max(0.5 * (N0 + d0), low), high)
    for _ in range(ROUNDS):
        slope = 1.0 - 4.0 * N / c
        over = N - 2.0 * N * N / c - d0
        g = N - N0 + slope * over
        if g > 0.0:
            high = N
        else:
            low = N
        step = N - g / max(1.0 + slope * slope - 4.0 / c * over, 0.25)
        following = step if low < step < high else 0.5 * (low + high)
        if abs(following - N) <= 1e-15 * (abs(N) + TINY):
            break
        N = following
    return N


@compiled
def strip_forces(y1, y2, c, out):  # type: ignore[no-untyped-def]
    """(n1, n2, of n1 by y1, by y2, of n2 by y1, by y2) into out (6,): the closest point of the strip's stress block.

    c [kN] = 2 f l d; inf: no crushing.
    """
    N0, d0 = y1 + y2, y2 - y1
    side = 1.0 if d0 >= 0.0 else -1.0
    d0 = abs(d0)
    out[:] = 0.0
    if N0 + d0 <= 0.0:
        return
    if np.isinf(c):
        out[0], out[1] = max(y1, 0.0), max(y2, 0.0)
        out[2], out[5] = (1.0 if y1 > 0.0 else 0.0), (1.0 if y2 > 0.0 else 0.0)
        return
    if 0.5 * c >= N0 and d0 <= N0 - 2.0 * N0 * N0 / c:
        out[0], out[1], out[2], out[5] = y1, y2, 1.0, 1.0
        return
    if d0 <= N0 - 0.5 * c:
        out[0] = out[1] = 0.25 * c
        return
    N = _block_edge(N0, d0, c)
    slope = 1.0 - 4.0 * N / c
    d = N - 2.0 * N * N / c
    flat = 1.0 / max(1.0 + slope * slope - 4.0 / c * (d - d0), 0.25)
    # of N and of d by N0 and by d0, then from (N, d) to the two forces
    n_n, n_d = flat, flat * slope * side
    d_n, d_d = slope * flat * side, slope * slope * flat
    out[0], out[1] = 0.5 * (N - side * d), 0.5 * (N + side * d)
    out[2] = 0.5 * (n_n - d_n - n_d + d_d)
    out[3] = 0.5 * (n_n - d_n + n_d - d_d)
    out[4] = 0.5 * (n_n + d_n - n_d - d_d)
    out[5] = 0.5 * (n_n + d_n + n_d + d_d)


@compiled
def _turning(trial, lean, arm, radius):  # type: ignore[no-untyped-def]
    """Moment of the shears drawn into their discs from trial - lean x arm; arm (4, 2): moment of a unit shear."""
    total = 0.0
    for i in range(4):
        a, b = trial[i, 0] - lean * arm[i, 0], trial[i, 1] - lean * arm[i, 1]
        size = np.sqrt(a * a + b * b)
        share = 1.0 if size <= radius[i] else radius[i] / size
        total += share * (a * arm[i, 0] + b * arm[i, 1])
    return total


@compiled
def _lean(trial, arm, radius, cap):  # type: ignore[no-untyped-def]
    """How far along the arms the trial shears are drawn back so that they turn with the cap at most; signed."""
    turning = _turning(trial, 0.0, arm, radius)
    if abs(turning) <= cap:
        return 0.0
    side = 1.0 if turning > 0.0 else -1.0
    scale = 0.0
    for i in range(4):
        scale += arm[i, 0] ** 2 + arm[i, 1] ** 2
    high = (abs(turning) + cap) / max(scale, TINY)
    for _ in range(ROUNDS):
        if side * _turning(trial, side * high, arm, radius) <= cap:
            break
        high *= 2.0
    low = 0.0
    for _ in range(ROUNDS):
        middle = 0.5 * (low + high)
        if side * _turning(trial, side * middle, arm, radius) > cap:
            low = middle
        else:
            high = middle
    return side * high


@compiled
def _one_point(a, b, radius, disc, pull):  # type: ignore[no-untyped-def]
    """The closest shear in a disc to (a, b): its derivative into disc (2, 2) and its derivative by the radius into
    pull (2,); gives the share of (a, b) that is left."""
    size = np.sqrt(a * a + b * b)
    if size <= radius:
        disc[0, 0], disc[0, 1], disc[1, 0], disc[1, 1] = 1.0, 0.0, 0.0, 1.0
        pull[:] = 0.0
        return 1.0
    share = radius / size
    x, y = a / size, b / size
    disc[0, 0], disc[0, 1] = share * (1.0 - x * x), -share * x * y
    disc[1, 0], disc[1, 1] = -share * x * y, share * (1.0 - y * y)
    pull[0], pull[1] = x, y
    return share


@compiled
def _shears(trial, press, normal_rate, mu, lever, arm, kt, force, rate):  # type: ignore[no-untyped-def]
    """Shears (into force[:, 1:]) and their rates by the 12 motions (into rate) of one patch.

    normal_rate (4, 12): rates of the pressing forces.
    """
    radius = mu * press
    cap = mu * lever * (press[0] + press[1] + press[2] + press[3])
    lean = _lean(trial, arm, radius, cap)
    disc, pull = np.zeros((4, 2, 2)), np.zeros((4, 2))
    stiff = 0.0
    for i in range(4):
        a, b = trial[i, 0] - lean * arm[i, 0], trial[i, 1] - lean * arm[i, 1]
        share = _one_point(a, b, radius[i], disc[i], pull[i])
        force[i, 1], force[i, 2] = share * a, share * b
        for p in range(2):
            for q in range(2):
                rate[3 * i + 1 + p, 3 * i + 1 + q] -= kt * disc[i, p, q]
                stiff += arm[i, p] * disc[i, p, q] * arm[i, q]
            rate[3 * i + 1 + p, :] += mu * pull[i, p] * normal_rate[i]
    if lean == 0.0:
        return
    # The cap holds the turning at side mu lever N: what the lean has to change by follows from that.
    scale = 0.0
    for i in range(4):
        scale += arm[i, 0] ** 2 + arm[i, 1] ** 2
    if stiff <= 1e-9 * scale:
        return
    side = 1.0 if lean > 0.0 else -1.0
    gone = np.zeros(12)
    for i in range(4):
        for p in range(2):
            gone += arm[i, p] * rate[3 * i + 1 + p]
        gone -= side * mu * lever * normal_rate[i]
    for i in range(4):
        for p in range(2):
            along = disc[i, p, 0] * arm[i, 0] + disc[i, p, 1] * arm[i, 1]
            rate[3 * i + 1 + p] -= along * gone / stiff


@compiled
def respond(moved, pressed, shear, stiffness, limits, arms, force, rate):  # type: ignore[no-untyped-def]
    """Forces (m, 4, 3) into `force` and their rates by the motions (m, 12, 12) into `rate`.

    moved (m, 4, 3) motion of a step [m]; pressed (m, 4) y before it [kN]; shear (m, 4, 2) before it [kN];
    stiffness (m, 2) normal and tangential [kN/m]; limits (m, 4): friction, lever, c of both strips; arms (m, 4, 2).
    """
    strip = np.zeros(6)
    trial, y, press = np.zeros((4, 2)), np.zeros(4), np.zeros(4)
    normal_rate = np.zeros((4, 12))
    for k in range(moved.shape[0]):
        kn, kt = stiffness[k, 0], stiffness[k, 1]
        rate[k] = 0.0
        normal_rate[:] = 0.0
        for i in range(4):
            y[i] = pressed[k, i] - kn * moved[k, i, 0]
            for p in range(2):
                trial[i, p] = shear[k, i, p] - kt * moved[k, i, 1 + p]
        for j in range(2):
            strip_forces(y[2 * j], y[2 * j + 1], limits[k, 2 + j], strip)
            press[2 * j], press[2 * j + 1] = strip[0], strip[1]
            for p in range(2):
                for q in range(2):
                    normal_rate[2 * j + p, 3 * (2 * j + q)] = -kn * strip[2 + 2 * p + q]
        for i in range(4):
            force[k, i, 0] = press[i]
            rate[k, 3 * i] = normal_rate[i]
        _shears(trial, press, normal_rate, limits[k, 0], limits[k, 1], arms[k], kt, force[k], rate[k])
