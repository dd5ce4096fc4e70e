"""Convex polygons in buffers of two rows: clipped by half-planes, and added to each other; for walking back up a dome.

Two rows of one array spare the counting of references that swapping arrays costs: what leaves one row comes into the
other. Corners run counter-clockwise. Compiled or not, as in `admissible`, with the same bits.
"""

from __future__ import annotations

from shellcheck_earth.basics.kept import compiled

__all__ = ["clip", "corners", "minkowski_sum", "turning"]


@compiled
def _lowest(px, py, a, m):  # type: ignore[no-untyped-def]
    """Index of the vertex of row `a` lowest in G (then in H): where the edges of a counter-clockwise polygon start
    from angle 0.
    """
    best = 0
    for i in range(1, m):
        if py[a, i] < py[a, best] or (py[a, i] == py[a, best] and px[a, i] < px[a, best]):
            best = i
    return best


@compiled
def turning(ux, uy, vx, vy):  # type: ignore[no-untyped-def]
    """Positive when edge v comes after edge u by its angle in [0, 2 pi), negative when before it, 0 for one direction.

    The upper half-plane (uy > 0, or due east) comes first; within a half-plane the cross product decides.
    """
    hu = 0 if uy > 0.0 or (uy == 0.0 and ux >= 0.0) else 1
    hv = 0 if vy > 0.0 or (vy == 0.0 and vx >= 0.0) else 1
    if hu != hv:
        return float(hv - hu)
    return ux * vy - uy * vx


@compiled
def corners(px, py, a, m):  # type: ignore[no-untyped-def]
    """The corners of the polygon in row `a`, the lowest first, into the other row; returns their number.

    Clipping leaves doubled corners, and corners a rounding error off their place. The edges between such corners point
    anywhere; merged by angle they would hold up the other polygon's edges, and the sum would lose what those span.
    Here the edges are kept in strictly rising angle: a corner between two that are not is rounding and left out (the
    scan of Graham 1972, memory, on corners that are in order already).
    """
    o = 1 - a
    start = _lowest(px, py, a, m)
    count = 0
    for step in range(m + 1):  # the last step only looks back from the first corner
        i = start + step
        while i >= m:
            i -= m
        x = px[a, i]
        y = py[a, i]
        if count == 1 and step < m and x == px[o, 0] and y == py[o, 0]:
            continue
        while count > 1:
            bx = px[o, count - 1]
            by = py[o, count - 1]
            if turning(bx - px[o, count - 2], by - py[o, count - 2], x - bx, y - by) > 0.0:
                break
            count -= 1
        if step < m:
            px[o, count] = x
            py[o, count] = y
            count += 1
    return count


@compiled
def rising(x, y, first, m):  # type: ignore[no-untyped-def]
    """Edges of a counter-clockwise polygon, from corner `first` on that point up or due east: angles in [0, pi)."""
    count = 0
    i = first
    while count < m:
        k = i + 1 if i + 1 < m else 0
        uy = y[k] - y[i]
        if uy < 0.0 or (uy == 0.0 and x[k] < x[i]):
            break
        count += 1
        i = k
    return count


@compiled(takes="22ii11i", gives="i")
def minkowski_sum(px, py, a, m, qx, qy, k):  # type: ignore[no-untyped-def]
    """Minkowski sum of two counter-clockwise convex polygons, by merging their edges in order of angle.

    The first is row `a` of the buffers (2, capacity) and may hold what rounding leaves (see `corners`); the second,
    (k,), may have doubled corners. The sum takes the place of the first; returns the number of its corners.
    """
    m = corners(px, py, a, m)
    ox = px[1 - a]
    oy = py[1 - a]
    sx = px[a]
    sy = py[a]
    j0 = 0
    for i in range(1, k):
        if qy[i] < qy[j0] or (qy[i] == qy[j0] and qx[i] < qx[j0]):
            j0 = i
    edges = m if m > 1 else 0
    up_p = rising(ox, oy, 0, m) if m > 1 else 0
    up_q = rising(qx, qy, j0, k)
    x = ox[0]
    y = oy[0]
    wx = qx[j0]
    wy = qy[j0]
    sx[0] = x + wx
    sy[0] = y + wy
    count = 1
    i = j = 0
    for half in range(2):  # within a half-plane the cross product alone puts two edges in order
        i_end = up_p if half == 0 else edges
        j_end = up_q if half == 0 else k
        while i < i_end or j < j_end:
            nx, ny, vx, vy = x, y, wx, wy
            if i < i_end:
                ib = i + 1 if i + 1 < m else 0
                nx = ox[ib]
                ny = oy[ib]
            if j < j_end:
                jb = j0 + j + 1
                if jb >= k:
                    jb -= k
                vx = qx[jb]
                vy = qy[jb]
                if vx == wx and vy == wy:  # a doubled corner
                    j += 1
                    continue
            if i == i_end:
                turn = -1.0
            elif j == j_end:
                turn = 1.0
            else:
                turn = (nx - x) * (vy - wy) - (ny - y) * (vx - wx)
            if turn >= 0.0:
                x = nx
                y = ny
                i += 1
            if turn <= 0.0:
                wx = vx
                wy = vy
                j += 1
            sx[count] = x + wx
            sy[count] = y + wy
            count += 1
    return max(count - 1, 1)  # the last is the first again


@compiled(takes="22iiddd", gives="i")
def clip(px, py, a, m, nx, ny, d):  # type: ignore[no-untyped-def]
    """The part of a convex polygon with nx H + ny G <= d; returns the number of its vertices (0: empty).

    From row `a` of the buffers (2, capacity) to the other one: two rows of one array spare the counting of references
    that swapping arrays costs.
    """
    count = 0
    if m == 0:
        return 0
    o = 1 - a
    ax = px[a, m - 1]
    ay = py[a, m - 1]
    sa = nx * ax + ny * ay - d
    for i in range(m):
        bx = px[a, i]
        by = py[a, i]
        sb = nx * bx + ny * by - d
        if (sa < 0.0 and sb > 0.0) or (sa > 0.0 and sb < 0.0):
            t = sa / (sa - sb)
            px[o, count] = ax + t * (bx - ax)
            py[o, count] = ay + t * (by - ay)
            count += 1
        if sb <= 0.0:
            px[o, count] = bx
            py[o, count] = by
            count += 1
        ax = bx
        ay = by
        sa = sb
    return count
