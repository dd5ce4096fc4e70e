"""Rows of the admissible set for one of very many domes, filled in by compiled code.

What `cut.cut_lune` does for one design at a time through frozen classes, this does for arrays of a sampled dome: its
radii, width and wire, and the unit weight, strength, friction and cohesion of each of its fills. Every course is of one
moisture throughout, that of its set or, of a soaked base, its own, so it has one of each, and a bed the lesser of the
two beside it. A test holds the rows equal to those of `cut_lune`.
"""

from __future__ import annotations

from shellcheck_earth.basics.kept import compiled

__all__ = [
    "BASE",
    "FRESH",
    "OF_A_FILL",
    "PLACED",
    "SATURATED",
    "SERVICE",
    "SHAPE",
    "WIDTH",
    "case_rows",
    "fill_rows",
    "fill_sets",
    "overlaps",
]

SERVICE, PLACED, SATURATED, FRESH, BASE = range(5)
"""Materials: hardened fill of three moistures, fill as damp as placed that is not hardened yet, and hardened fill that
is saturated in the courses wet ground soaks and at service moisture above."""

SHAPE = (
    "rounding",
    "bond",
    "plaster_outside",
    "plaster_inside",
    "plaster_weight",
    "snow",
    "worker",
    "ground_friction",
    "ground_bearing",
    "slide_required",
    "bearing_required",
    "ground_friction_wet",
    "ground_bearing_wet",
)
"""What all sampled domes have in common, in this order in `shape`: m, kN per m or -1 for none, m, m, kN/m3, kPa, kN per
radian, -, kPa, -, -, -, kPa.
"""

OF_A_FILL = 13
"""Columns of a fill: unit weights of three moistures, strengths of them and of fresh fill, frictions, cohesions."""

WIRE, WIDTH, BARE = OF_A_FILL, OF_A_FILL + 1, OF_A_FILL + 2
"""Columns behind those of the wall's own fill; then come those of the groups of courses."""


@compiled
def overlaps(radii, width, rounding):  # type: ignore[no-untyped-def]
    """-1 when every course overlaps the one below by more than its rounded edges; else the index that does not."""
    usable = width - 2 * rounding
    if usable <= 0.0:
        return 0
    for i in range(1, len(radii)):
        if abs(radii[i - 1] - radii[i]) >= usable:
            return i
    return -1


@compiled
def fill_rows(  # type: ignore[no-untyped-def]
    rows,
    courses,
    radii,
    state,
    shape,
    material,
    plastered,
    snow,
    bare,
):
    """Rows (n, 19), top course first, of the whole stack; column 3 holds each course's own weight, not yet summed,
    column 18 its inner radius [m]; nothing is handed in (column 17).

    courses (n, 9): bottom and top [m], wire, heights that plaster covers outside and inside [m], buried, clear of the
    floor, where in `state` (columns of `batch.STATE`) its fill begins, and soaked by wet ground; material 0..4;
    `plastered`, `snow`, `bare` 1 or 0, the last where the wire is gone, and its interlock and all cohesion with it.
    Parts and their order are those of `loads.cases`: body, outer face, outer ledge, inner face, underside of the
    step-in, snow.
    """
    width = state[WIDTH]
    wire = 0.0 if bare > 0 else state[WIRE]
    n = len(radii)
    under_kind = 0
    rounding = shape[0]
    outside = shape[2]
    inside = shape[3]
    for i in range(n):
        inner = radii[i]
        outer = inner + width
        under = radii[i - 1] if i > 0 else inner
        height = courses[i, 1] - courses[i, 0]
        own = int(courses[i, 7])
        kind = material
        if material == BASE:
            kind = SATURATED if courses[i, 8] > 0.0 else SERVICE
        moisture = PLACED if kind == FRESH else kind
        gamma = state[own + moisture]
        strength = state[own + 3 + kind]
        bed_strength = strength
        friction = state[own + 7 + moisture]
        cohesion = state[own + 10 + moisture]
        if i > 0 and (courses[i - 1, 7] != courses[i, 7] or under_kind != kind):
            below = int(courses[i - 1, 7])
            damp = PLACED if under_kind == FRESH else under_kind
            bed_strength = min(strength, state[below + 3 + under_kind])
            friction = min(friction, state[below + 7 + damp])
            cohesion = min(cohesion, state[below + 10 + damp])
        under_kind = kind
        if bare > 0:
            friction = min(friction, state[BARE])
            cohesion = 0.0
        weight = gamma * height * (outer * outer - inner * inner) / 2
        moment = gamma * height * (outer * outer * outer - inner * inner * inner) / 3
        ledge = inner if i + 1 == n else radii[i + 1] + width
        if plastered > 0 and outside > 0.0 and courses[i, 3] > 0.0:
            a, b = _band(outer, outer + outside, courses[i, 3], shape[4])
            weight += a
            moment += b
            if ledge < outer:
                a, b = _band(ledge, outer, outside, shape[4])
                weight += a
                moment += b
        if plastered > 0 and inside > 0.0 and courses[i, 4] > 0.0:
            a, b = _band(max(inner - inside, 0.0), inner, courses[i, 4], shape[4])
            weight += a
            moment += b
            if i > 0 and under > inner and courses[i, 6] > 0.0:
                a, b = _band(inner, under, inside, shape[4])
                weight += a
                moment += b
        if snow > 0 and courses[i, 5] == 0.0:
            from_radius = 0.0 if i + 1 == n else ledge
            if from_radius < outer:
                a, b = _band(from_radius, outer, 1.0, shape[5])
                weight += a
                moment += b
        k = n - 1 - i
        bed_inner = max(inner, under) + rounding
        bed_outer = min(inner, under) + width - rounding
        rows[k, 0] = courses[i, 0]
        rows[k, 1] = courses[i, 0]
        rows[k, 2] = courses[i, 1]
        rows[k, 3] = weight
        rows[k, 4] = moment
        rows[k, 5] = bed_inner
        rows[k, 6] = bed_outer
        rows[k, 7] = bed_outer
        rows[k, 8] = bed_strength
        rows[k, 9] = bed_strength
        rows[k, 10] = friction
        rows[k, 11] = cohesion * (bed_outer * bed_outer - bed_inner * bed_inner) / 2
        # The lowest ring takes no compression and no wire lies under it.
        rows[k, 12] = strength if i > 0 else 0.0
        rows[k, 13] = outer - inner if i > 0 else 0.0
        rows[k, 14] = wire * courses[i, 2] if i > 0 else 0.0
        rows[k, 15] = 1.0 if i > 0 else 0.0
        rows[k, 16] = shape[1] * (bed_inner + bed_outer) / 2 if shape[1] >= 0.0 else -1.0
        rows[k, 17] = 0.0
        rows[k, 18] = inner


@compiled
def fill_sets(wholes, courses, radii, state, shape, sets):  # type: ignore[no-untyped-def]
    """Into `wholes` (k, n, 19): the rows of every set that the cases of a dome stand on.

    state: columns of `batch.STATE`; sets (k, 4): material 0..4, plastered, snow, bare.
    """
    for k in range(len(sets)):
        fill_rows(wholes[k], courses, radii, state, shape, sets[k, 0], sets[k, 1], sets[k, 2], sets[k, 3])


@compiled
def _band(inner, outer, height, unit_weight):  # type: ignore[no-untyped-def]
    """Weight [kN] and moment [kN m] per radian of an annular band."""
    weight = unit_weight * height * (outer * outer - inner * inner) / 2
    return weight, unit_weight * height * (outer * outer * outer - inner * inner * inner) / 3


@compiled
def case_rows(whole, top, load, width, rows):  # type: ignore[no-untyped-def]
    """Rows of a case whose top course is number `top` (0 the lowest), the load [kN per radian] at the middle of that
    ring.

    `whole` as `fill_rows` left it; the first top + 1 rows of `rows` receive the case, column 3 now the sum from the
    top.
    """
    n = len(whole)
    skip = n - 1 - top
    total = 0.0
    for k in range(top + 1):
        for c in range(18):
            rows[k, c] = whole[skip + k, c]
        if k == 0 and load > 0.0:
            inner = whole[skip, 18]
            rows[k, 3] += load
            rows[k, 4] += load * ((inner + (inner + width)) / 2)
        total += rows[k, 3]
        rows[k, 3] = total
