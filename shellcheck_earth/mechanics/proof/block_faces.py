"""The faces between blocks in whole numbers: where a face lies, and whether the forces at its four points are within
what it can carry.

Part of the checker: standard library only. Exact: every point presses, |F|^2 |N|^2 <= (1 + mu^2) (F.N)^2 with N the
face's own normal; every strip's stress block, S^2 <= 2 f l d n; the turning of every face, |M| <= mu lever sum(F.N).
What of these does not hang on the forces is worked out once for all the proofs of the same blocks.
"""

from __future__ import annotations

from collections.abc import Sequence
from math import asinh, floor, hypot, sqrt
from typing import NamedTuple

from shellcheck_earth.mechanics.proof.block_data import FORCE, FRICTION, LENGTH, STRENGTH

__all__ = ["Face", "Vector", "contact_fault", "face_of", "together"]

LEVER, SHORT = 1 << 20, 1e-12
STRIP = LENGTH**4 * STRENGTH**2 // FORCE**2
"""What brings both sides of a stress block to the same units; a power of two, as all of them are: nothing is lost."""
Vector = tuple[int, int, int]


class Face(NamedTuple):
    """One face: its blocks, its points, and both sides of its limits as far as they are known without the forces.

    upper, lower   the blocks that it lies between; lower -1: the ground
    points         four points, three numbers each
    normal         towards the upper block, N
    cone, slack    |F|^2 cone <= slack (F.N)^2
    strip, rooms   S^4 strip <= room n^2 for each of the two strips: n the lesser (F.N) of its edges, S their sum
    arm, turning   |4 M.N - F.arm| FRICTION LEVER <= turning sum(F.N), M the moment about the origin
    """

    upper: int
    lower: int
    points: list[int]
    normal: Vector
    cone: int
    slack: int
    strip: int
    rooms: tuple[int, int]
    arm: Vector
    turning: int


def _cross(a: Sequence[int], b: Sequence[int]) -> Vector:
    return a[1] * b[2] - a[2] * b[1], a[2] * b[0] - a[0] * b[2], a[0] * b[1] - a[1] * b[0]


def _square(a: int, b: int, c: int) -> int:
    return a * a + b * b + c * c


def _lever(length2: int, width2: float) -> int:
    """Mean distance of the points of a rectangle from its centre, in 2^-54 m and rather less than more; sides squared.

    (2 d + a^2/b arsinh(b/a) + b^2/a arsinh(a/b))/12 (derived by integration): sums of positive terms in doubles, each
    good to some 1e-15, so that a part in 1e12 off leaves less than the true value.
    """
    a, b = sqrt(length2), sqrt(width2)
    mean = (2 * hypot(a, b) + a * a / b * asinh(b / a) + b * b / a * asinh(a / b)) / 12
    return floor(mean * (1 - SHORT) * LEVER)


def face_of(patch: Sequence[int], centre: Sequence[int]) -> Face | None:
    """A face by its row (upper, lower, four points, friction, strength) and the centre of the block it bears; None for
    one that the block lies in. Points 1 and 2 are the edges of one strip, points 3 and 4 those of the other."""
    x0, y0, z0, x1, y1, z1, x2, y2, z2, x3, y3, z3 = points = list(patch[2:14])
    mu, f = patch[14], patch[15]
    first, second = (x1 - x0, y1 - y0, z1 - z0), (x3 - x2, y3 - y2, z3 - z2)
    inner, outer = (x2 - x0, y2 - y0, z2 - z0), (x3 - x1, y3 - y1, z3 - z1)
    along = inner[0] + outer[0], inner[1] + outer[1], inner[2] + outer[2]
    over = first[0] + second[0], first[1] + second[1], first[2] + second[2]
    p, q, r = _cross(along, over)
    middle = x0 + x1 + x2 + x3, y0 + y1 + y2 + y3, z0 + z1 + z2 + z3  # four times as far
    side = (4 * centre[0] - middle[0]) * p + (4 * centre[1] - middle[1]) * q + (4 * centre[2] - middle[2]) * r
    if side == 0:
        return None
    if side < 0:
        p, q, r = -p, -q, -r
    if p == q == 0:  # a bed: any normal will do, and this one is short
        r = 1 if r > 0 else -1
    NN, aa = _square(p, q, r), _square(*along)
    length2 = min(_square(*inner), _square(*outer))
    reach = _square(*_cross(along, first)), _square(*_cross(along, second))
    room = 4 * f * f * length2 * NN
    return Face(
        upper=patch[0],
        lower=patch[1],
        points=points,
        normal=(p, q, r),
        cone=NN * FRICTION**2,
        slack=FRICTION**2 + mu * mu,
        strip=aa * STRIP,
        rooms=(room * reach[0], room * reach[1]),
        arm=_cross((p, q, r), middle),
        turning=4 * mu * _lever(4 * length2, max(reach) / aa),
    )


def together(points: Sequence[int], forces: Sequence[int]) -> tuple[Vector, Vector]:
    """The sum of four forces and of their moments about the origin; points and forces as twelve numbers each."""
    x0, y0, z0, x1, y1, z1, x2, y2, z2, x3, y3, z3 = points
    a0, b0, c0, a1, b1, c1, a2, b2, c2, a3, b3, c3 = forces
    return (a0 + a1 + a2 + a3, b0 + b1 + b2 + b3, c0 + c1 + c2 + c3), (
        y0 * c0 - z0 * b0 + y1 * c1 - z1 * b1 + y2 * c2 - z2 * b2 + y3 * c3 - z3 * b3,
        z0 * a0 - x0 * c0 + z1 * a1 - x1 * c1 + z2 * a2 - x2 * c2 + z3 * a3 - x3 * c3,
        x0 * b0 - y0 * a0 + x1 * b1 - y1 * a1 + x2 * b2 - y2 * a2 + x3 * b3 - y3 * a3,
    )


def contact_fault(face: Face, forces: Sequence[int], whole: Vector, moment: Vector) -> str:
    """ "" when the face carries the forces at its points, of which `whole` is the sum and `moment` that about the
    origin; else what is wrong with them."""
    _, _, _, (p, q, r), cone, slack, strip, (room, other), arm, turning = face
    a0, b0, c0, a1, b1, c1, a2, b2, c2, a3, b3, c3 = forces
    n0, n1 = a0 * p + b0 * q + c0 * r, a1 * p + b1 * q + c1 * r
    n2, n3 = a2 * p + b2 * q + c2 * r, a3 * p + b3 * q + c3 * r
    pulls = n0 < 0 or n1 < 0 or n2 < 0 or n3 < 0
    if (
        pulls
        or (a0 * a0 + b0 * b0 + c0 * c0) * cone > n0 * n0 * slack
        or (a1 * a1 + b1 * b1 + c1 * c1) * cone > n1 * n1 * slack
        or (a2 * a2 + b2 * b2 + c2 * c2) * cone > n2 * n2 * slack
        or (a3 * a3 + b3 * b3 + c3 * c3) * cone > n3 * n3 * slack
    ):
        return "a force pulls, or is beyond friction"
    S, T = n0 + n1, n2 + n3
    near, far = min(n0, n1), min(n2, n3)  # the nearer edge has the less room
    SS, TT = S * S, T * T
    if SS * SS * strip > near * near * room or TT * TT * strip > far * far * other:
        return "a strip is crushed"
    turn = 4 * (moment[0] * p + moment[1] * q + moment[2] * r)
    turn -= whole[0] * arm[0] + whole[1] * arm[1] + whole[2] * arm[2]
    return "turns beyond friction" if abs(turn) * (FRICTION * LEVER) > turning * (S + T) else ""
