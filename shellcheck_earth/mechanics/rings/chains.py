"""Polygons of states as two chains of edges, the lower and the upper, each in order of slope.

A convex polygon of states (H, G) is what lies between a convex chain and a concave one. The upper chain is kept
mirrored (G and slopes with the other sign), so that both are convex, their slopes rise from left to right, and one
piece of code serves both. A sum of polygons merges edges by slope; a limit of H moves an end; a limit of G - z H puts
one edge of slope z in the place of what lies beyond it. All derived from convexity.

Slopes are carried along, never taken from the corners again: a corner a rounding error off its place, or doubled,
changes no order. Comparisons are written so that a value that is not a number leaves nothing. Compiled or not, as in
`admissible`, with the same bits.

All chains are rows of one table t, for the counting of references to more arrays costs more than the work: chain r has
H of its corners in row r, G in row r + 1, and in row r + 2 the slope of the edge from each corner to the right.
"""

from __future__ import annotations

import numpy as np

from shellcheck_earth.basics.kept import compiled

__all__ = ["added", "ends", "raised", "ringed", "step_of", "trimmed"]


@compiled(inline=True)
def _edge(t, q, count, slope, run):  # type: ignore[no-untyped-def]
    """Adds an edge at the right end; one that goes on in the same direction makes the last one longer."""
    if count > 1 and slope <= t[q + 2, count - 2]:
        count -= 1
        slope = t[q + 2, count - 1]
        t[q, count] += run
        t[q + 1, count] += slope * run
    else:
        t[q, count] = t[q, count - 1] + run
        t[q + 1, count] = t[q + 1, count - 1] + slope * run
        t[q + 2, count - 1] = slope
    return count + 1


@compiled(inline=True)
def step_of(t, q, low, ring, chords, wire, shift):  # type: ignore[no-untyped-def]
    """What one course adds on one side, as chain q from 0; returns the number of its corners.

    The bound `low` C + curve C^2 of its ring along chords, ring = (c_max, curve, number of chords, 1: no ring); the
    segment of its wire from nothing to (-T, -z T), wire = (z, T); and `shift`: the thrust handed into it and the moment
    of its loads.
    """
    c_max, curve, k = ring
    z, T = wire
    push, moment = shift
    t[q, 0] = push - T
    t[q + 1, 0] = moment - z * T
    count = 1
    waits = T > 0.0
    for j in range(1, k):
        slope = low + curve * (c_max * (chords[j - 1] + chords[j]))
        if waits and z <= slope:
            waits = False
            count = _edge(t, q, count, z, T)
        count = _edge(t, q, count, slope, c_max * (chords[j] - chords[j - 1]))
    if waits:
        count = _edge(t, q, count, z, T)
    t[q + 2, count - 1] = np.inf
    return count


@compiled(inline=True)
def added(t, r, begin, m, q, k, to):  # type: ignore[no-untyped-def]
    """The sum of the m corners from `begin` of chain r and the k corners of q, as chain `to` from 0; returns their
    number.
    """
    t[r + 2, begin + m - 1] = np.inf
    i = begin
    j = 0
    x = t[r, i]
    y = t[r + 1, i]
    u = t[r + 2, i]
    qx = t[q, 0]
    qy = t[q + 1, 0]
    v = t[q + 2, 0]
    for n in range(m + k - 2):
        t[to, n] = x + qx
        t[to + 1, n] = y + qy
        if u <= v:
            t[to + 2, n] = u
            i += 1
            x = t[r, i]
            y = t[r + 1, i]
            u = t[r + 2, i]
        else:
            t[to + 2, n] = v
            j += 1
            qx = t[q, j]
            qy = t[q + 1, j]
            v = t[q + 2, j]
    t[to, m + k - 2] = x + qx
    t[to + 1, m + k - 2] = y + qy
    return m + k - 1


@compiled
def ends(t, r, m, z, most, least_H, most_H):  # type: ignore[no-untyped-def]
    """(least, greatest) H, within those given, where the chain from 0 lies no higher than z H + `most`; (1, 0) where it
    does nowhere.
    """
    i = 0
    before = 0.0
    d = t[r + 1, 0] - z * t[r, 0] - most
    while not d <= 0.0:
        before = d
        i += 1
        if i == m:
            return 1.0, 0.0
        d = t[r + 1, i] - z * t[r, i] - most
    at = t[r, 0]
    if i > 0:
        at = t[r, i - 1] + (t[r, i] - t[r, i - 1]) * (before / (before - d))
    if not at <= least_H:
        least_H = at
    i = m - 1
    d = t[r + 1, i] - z * t[r, i] - most
    while not d <= 0.0:
        before = d
        i -= 1
        d = t[r + 1, i] - z * t[r, i] - most
    at = t[r, i]
    if i < m - 1:
        at += (t[r, i + 1] - t[r, i]) * (d / (d - before))
    if not at >= most_H:
        most_H = at
    return least_H, most_H


@compiled
def trimmed(t, r, m, least_H, most_H):  # type: ignore[no-untyped-def]
    """(begin, number) of the corners, from 0, between two values of H; where they cut an edge they become its end."""
    begin = 0
    end = m - 1
    while begin < end and t[r, begin + 1] <= least_H:
        begin += 1
    if t[r, begin] < least_H:
        if begin < end:
            t[r + 1, begin] += (least_H - t[r, begin]) * t[r + 2, begin]
        t[r, begin] = least_H
    while end > begin and t[r, end - 1] >= most_H:
        end -= 1
    if t[r, end] > most_H:
        if end > begin:
            t[r + 1, end] = t[r + 1, end - 1] + (most_H - t[r, end - 1]) * t[r + 2, end - 1]
        t[r, end] = most_H
    return begin, end - begin + 1


@compiled
def _lowest(t, r, begin, end, z):  # type: ignore[no-untyped-def]
    """The corner of the chain that is lowest along slope z."""
    if begin == end or t[r + 2, begin] >= z:
        return begin
    if t[r + 2, end - 1] < z:
        return end
    i = begin + 1
    while t[r + 2, i] < z:
        i += 1
    return i


@compiled
def raised(t, r, begin, m, z, least):  # type: ignore[no-untyped-def]
    """The chain with an edge along z H + `least` in the place of what lies below it; returns the number of corners."""
    end = begin + m - 1
    first = _lowest(t, r, begin, end, z)
    d = t[r + 1, first] - z * t[r, first] - least
    if d >= 0.0:
        return m
    last = first
    above = d
    left = t[r, begin]
    while first > begin:
        below = above
        above = t[r + 1, first - 1] - z * t[r, first - 1] - least
        if above >= 0.0:
            left = t[r, first - 1] + (t[r, first] - t[r, first - 1]) * (above / (above - below))
            break
        first -= 1
    above = d
    right = t[r, end]
    while last < end:
        below = above
        above = t[r + 1, last + 1] - z * t[r, last + 1] - least
        if above >= 0.0:
            right = t[r, last] + (t[r, last + 1] - t[r, last]) * (below / (below - above))
            break
        last += 1
    onward = t[r + 2, last]
    more = 1 - (last - first)
    if more > 0:
        for i in range(end, last, -1):
            for c in range(r, r + 3):
                t[c, i + 1] = t[c, i]
    elif more < 0:
        for i in range(last + 1, end + 1):
            for c in range(r, r + 3):
                t[c, i + more] = t[c, i]
    t[r, first] = left
    t[r + 1, first] = z * left + least
    t[r + 2, first] = z
    t[r, first + 1] = right
    t[r + 1, first + 1] = z * right + least
    t[r + 2, first + 1] = onward
    return m + more


@compiled
def ringed(t, under, over, keep_x, keep_y):  # type: ignore[no-untyped-def]
    """Corners, counter-clockwise and each once, between two chains given as (row, begin, number), the upper mirrored;
    returns their number.
    """
    r, begin, m = under
    for j in range(m):
        keep_x[j] = t[r, begin + j]
        keep_y[j] = t[r + 1, begin + j]
    count = m
    r, begin, m = over
    for j in range(begin + m - 1, begin - 1, -1):
        h = t[r, j]
        g = -t[r + 1, j]
        if (h != keep_x[count - 1] or g != keep_y[count - 1]) and (h != keep_x[0] or g != keep_y[0]):
            keep_x[count] = h
            keep_y[count] = g
            count += 1
    return count
