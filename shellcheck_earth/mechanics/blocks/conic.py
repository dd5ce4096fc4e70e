"""The block problem as a second-order cone programme, solved by Clarabel. Small and alone: it only asks and answers.

Unknowns: for every point its normal force n and scaled shears (s = mu sigma), the tensions of ties, lambda.
    maximise lambda
    equilibrium of every block:      E x + lambda live = -dead          (6 n rows)
    friction of every point:         |sigma| <= n                       (or <= c + tau n with a fixed c:
        nonassociated)
    stress block of every strip:     N^2 <= 2 f l (sum of n_i d_i)      (where the strength is finite)
    turning of every patch:          |M| <= mu N lever
    ties and lambda within their bounds
Moment rows are divided by the block's size and all forces by the mean dead load, so that one tolerance suits all rows.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property
from typing import Any

import numpy as np

from shellcheck_earth.mechanics.blocks.interfaces import Ints
from shellcheck_earth.mechanics.blocks.problem import BlockProblem, Forces
from shellcheck_earth.mechanics.blocks.symmetry import Fold, find_fold
from shellcheck_earth.mechanics.rings.lune import Floats

__all__ = ["Assembled", "ConeAnswer", "ShearLimit", "assemble", "solve_cone"]

TOLERANCES = (1e-9, 1e-8, 1e-7)
"""Asked for in turn: a problem that cannot be had to the first may be had to the second, still as the solver's
"Solved".
"""

HELD_TRIES = ((1e-6, 1e-7, 0.99), (1e-6, 1e-8, 0.95), (1e-5, 1e-7, 0.95))
"""(tolerance, regularisation, longest step) in turn when the shear limits are held fixed: next to no dilation leaves
the normal forces all but undetermined, and such a programme stalls at a gap of 1e-7 to 1e-5. The scheme counts as
settled at 5e-3."""

REGULARISATION, LONGEST_STEP = 1e-8, 0.99
"""The solver's own defaults."""

MOST_STEPS = 120

WHOLE_FRONTS = 1500
"""Blocks past which the factorisation by whole fronts is the faster one; never where half says all, whose fronts are
short.
"""


@dataclass(frozen=True)
class ShearLimit:
    """|s| <= mu (fixed + slope n) at every point, (m, 4) [kN] and [-]; ordinary friction is fixed 0, slope 1."""

    fixed: Floats
    slope: float


@dataclass(frozen=True)
class ConeAnswer:
    """status as the solver gave it; multiplier NaN unless solved; motions (n, 6) per unit of live work, and the
    multiplier of that mechanism (the dual programme's, not below `multiplier` but for the tolerance; 0: infeasible)."""

    status: str
    solved: bool
    multiplier: float
    forces: Forces
    motions: Floats
    mechanism: float = 0.0

    @property
    def infeasible(self) -> bool:
        """Proven by the solver's certificate: no admissible forces for any multiplier."""
        return self.status == "PrimalInfeasible"


@dataclass(frozen=True)
class Assembled:
    """Sparse rows of a problem in solver units. Columns: 12 a patch (4 points of n, sigma1, sigma2), ties, lambda.

    `whole`: solve all of it even where it is its own mirror image.
    """

    problem: BlockProblem
    unit: float  # kN
    columns: int
    whole: bool = False

    @cached_property
    def fold(self) -> Fold | None:
        """The half that says all (`symmetry`), if there is one."""
        p = self.problem
        return None if self.whole else find_fold(p, self.equilibrium, (self.scaled(p.dead), self.scaled(p.live)))

    @cached_property
    def equilibrium(self) -> Any:
        """(6 n, columns) sparse; moments divided by the block's size."""
        from scipy.sparse import coo_array

        p, patches = self.problem, self.problem.patches
        m = patches.size
        mu = patches.friction[:, None, None]
        directions = np.stack(
            [
                np.broadcast_to(patches.normal[:, None, :], (m, 4, 3)),
                np.broadcast_to(patches.along[:, None, :] * mu, (m, 4, 3)),
                np.broadcast_to(patches.across[:, None, :] * mu, (m, 4, 3)),
            ],
            axis=2,
        )
        column = np.arange(12 * m).reshape(m, 4, 3)
        rows, columns, values = [], [], []
        for side, sign in ((patches.upper, 1.0), (patches.lower, -1.0)):
            has = side >= 0
            block = side[has]
            force = sign * directions[has]
            arm = patches.points[has] - p.centre[block][:, None, :]
            turning = np.cross(arm[:, :, None, :], force) / p.size[block][:, None, None, None]
            wrench = np.concatenate([force, turning], axis=3)
            rows.append(np.broadcast_to((6 * block)[:, None, None, None] + np.arange(6), wrench.shape).ravel())
            columns.append(np.broadcast_to(column[has][..., None], wrench.shape).ravel())
            values.append(wrench.ravel())
        ties = p.ties
        if ties.size:
            row = ties.row.astype(np.int64)
            rows.append(row)
            columns.append(12 * m + ties.tie.astype(np.int64))
            values.append(ties.value / np.where(row % 6 < 3, 1.0, p.size[row // 6]))
        live = self.scaled(p.live).ravel()
        rows.append(np.arange(6 * p.blocks))
        columns.append(np.full(6 * p.blocks, self.columns - 1))
        values.append(live)
        row, col, val = np.concatenate(rows), np.concatenate(columns), np.concatenate(values)
        keep = val != 0.0
        return coo_array((val[keep], (row[keep], col[keep])), shape=(6 * p.blocks, self.columns)).tocsc()

    def scaled(self, wrench: Floats) -> Floats:
        """A (n, 6) load in solver units."""
        out = wrench / self.unit
        out[:, 3:] /= self.problem.size[:, None]
        return out

    @cached_property
    def _capped(self) -> Ints:
        """Patches whose turning is capped."""
        patches = self.problem.patches
        capped: Ints = np.nonzero((patches.lever > 0) & (patches.friction > 0) & self.problem.torsion)[0]
        return capped

    @cached_property
    def bounds(self) -> tuple[Any, Floats]:
        """Rows A x <= b: turning caps of the patches, bounds of ties and of lambda."""
        from scipy.sparse import coo_array

        p, patches = self.problem, self.problem.patches
        m, k = patches.size, p.ties.size
        rows, columns, values, right = [], [], [], []
        count = 0
        capped = self._capped
        if len(capped):
            arm = (patches.points - patches.centre[:, None, :])[capped]
            per_1 = np.einsum("mjc,mc->mj", np.cross(arm, patches.along[capped][:, None, :]), patches.normal[capped])
            per_2 = np.einsum("mjc,mc->mj", np.cross(arm, patches.across[capped][:, None, :]), patches.normal[capped])
            lever = patches.lever[capped]
            # |sum of per * sigma| <= lever * sum of n, both sides divided by mu and by the lever.
            base = 12 * capped[:, None] + 3 * np.arange(4)
            for sign in (1.0, -1.0):
                row = np.broadcast_to(count + np.arange(len(capped))[:, None], base.shape)
                for shift, value in (
                    (0, np.full(base.shape, -1.0)),
                    (1, sign * per_1 / lever[:, None]),
                    (2, sign * per_2 / lever[:, None]),
                ):
                    rows.append(row.ravel())
                    columns.append((base + shift).ravel())
                    values.append(value.ravel())
                right.append(np.zeros(len(capped)))
                count += len(capped)
        first = 12 * m
        for sign, limit in ((1.0, np.append(p.ties.most / self.unit, p.most)), (-1.0, np.zeros(k + 1))):
            rows.append(count + np.arange(k + 1))
            columns.append(first + np.arange(k + 1))
            values.append(np.full(k + 1, sign))
            right.append(limit)
            count += k + 1
        shape = (count, self.columns)
        return coo_array(
            (np.concatenate(values), (np.concatenate(rows), np.concatenate(columns))),
            shape=shape,
        ).tocsc(), np.concatenate(right)

    def _crushed(self, strip: int, edge: int) -> Ints:
        """Patches whose strip can be crushed against that edge."""
        patches = self.problem.patches
        reach = patches.edge_distance[:, 2 * strip : 2 * strip + 2, edge].max(axis=1)
        index: Ints = np.nonzero(np.isfinite(patches.strength) & (reach > 0))[0]
        return index

    @cached_property
    def crushing(self) -> Any:
        """(3 c, columns): rows giving v, 2 N/sqrt(g), -v of the cones |(2 N/sqrt(g), 1 - v)| <= 1 + v, that is N^2 <= g
        v, with v = sum of n_i d_i / reach and g = 2 f l reach (one a strip and edge)."""
        from scipy.sparse import coo_array

        patches = self.problem.patches
        rows, columns, values = [np.empty(0, np.int64)], [np.empty(0, np.int64)], [np.empty(0)]
        count = 0
        for strip in range(2):
            for edge in range(2):
                distance = patches.edge_distance[:, 2 * strip : 2 * strip + 2, edge]
                reach = distance.max(axis=1)
                index = self._crushed(strip, edge)
                g = 2 * patches.strength[index] * patches.strips[index, strip] * reach[index] / self.unit
                base = 12 * index[:, None] + 3 * (2 * strip + np.arange(2))
                v = distance[index] / reach[index][:, None]
                cone = np.broadcast_to(3 * (count + np.arange(len(index)))[:, None], base.shape)
                rows += [cone.ravel(), cone.ravel() + 1, cone.ravel() + 2]
                columns += [base.ravel()] * 3
                values += [v.ravel(), np.broadcast_to(2 / np.sqrt(g)[:, None], base.shape).ravel(), -v.ravel()]
                count += len(index)
        return coo_array(
            (np.concatenate(values), (np.concatenate(rows), np.concatenate(columns))),
            shape=(3 * count, self.columns),
        ).tocsc()


def assemble(problem: BlockProblem, *, whole: bool = False) -> Assembled:
    """The rows of a problem; `whole`: all of it even where half says all. ValueError when a patch has no strength at
    all (leave such patches out).
    """
    if not (problem.patches.strength > 0).all():
        raise ValueError("a patch without strength cannot press: leave it out")
    weight = float(np.linalg.norm(problem.dead[:, :3], axis=1).mean())
    if not weight > 0:
        weight = float(np.linalg.norm(problem.live[:, :3], axis=1).mean()) or 1.0
    return Assembled(problem, weight, 12 * problem.patches.size + problem.ties.size + 1, whole)


def _friction_rows(assembled: Assembled, limit: ShearLimit | None) -> tuple[Any, Floats, Any, Floats]:
    """(cone rows A, b, further rows A, b): s = b - A x = (c + tau n, sigma1, sigma2) in the cone, and n >= 0 where
    needed.
    """
    from scipy.sparse import csc_array

    points = 4 * assembled.problem.patches.size
    index = np.arange(3 * points)
    value = np.full(3 * points, -1.0)
    right = np.zeros(3 * points)
    if limit is not None:
        value[::3] = -limit.slope
        right[::3] = limit.fixed.ravel() / assembled.unit
    shape = (3 * points, assembled.columns)
    cone = csc_array((value, (index, index)), shape=shape)
    if limit is None:
        return cone, right, csc_array((0, assembled.columns)), np.empty(0)
    rows = np.arange(points)
    pressing = csc_array((np.full(points, -1.0), (rows, 3 * rows)), shape=(points, assembled.columns))
    return cone, right, pressing, np.zeros(points)


@dataclass(frozen=True)
class _Programme:
    """What the solver is given: A x + s = b, s zero in the first `balance` rows, not negative in the next `bounded`,
    then in cones of three. `column_at`, `row_at`: what a column and a row of equilibrium stand for in the whole."""

    A: Any
    b: Floats
    balance: int
    bounded: int
    column_at: Ints
    row_at: Ints


def _programme(assembled: Assembled, limit: ShearLimit | None) -> _Programme:
    """All rows, or those of the half that says all."""
    from scipy.sparse import csc_array, vstack

    p, fold = assembled.problem, assembled.fold
    balance, load = assembled.equilibrium, -assembled.scaled(p.dead).ravel()
    bound_A, bound_b = assembled.bounds
    cone_A, cone_b, press_A, press_b = _friction_rows(assembled, limit)
    crush = -assembled.crushing
    if fold is None:
        column_at, row_at = np.arange(assembled.columns), np.arange(6 * p.blocks)
    else:
        column_at, row_at = fold.column_at, fold.row_at
        bound = np.concatenate([np.tile(fold.patches[assembled._capped], 2), np.tile(np.append(fold.ties, True), 2)])
        points = fold.points.ravel()
        crushed = np.concatenate(
            [fold.patches[assembled._crushed(strip, edge)] for strip in range(2) for edge in range(2)]
        )
        cone, crushed_rows = np.repeat(points, 3), np.repeat(crushed, 3)
        balance, load = fold.keep @ balance, fold.keep @ load
        bound_A, bound_b, cone_A, cone_b, crush = (
            bound_A[bound],
            bound_b[bound],
            cone_A[cone],
            cone_b[cone],
            crush[crushed_rows],
        )
        if limit is not None:
            press_A, press_b = press_A[points], press_b[points]
        balance, bound_A, press_A, cone_A, crush = (
            rows @ fold.spread for rows in (balance, bound_A, press_A, cone_A, crush)
        )
    A = csc_array(vstack([balance, bound_A, press_A, cone_A, crush], format="csc"))
    b = np.concatenate([load, bound_b, press_b, cone_b, np.tile([1.0, 0.0, 1.0], crush.shape[0] // 3)])
    return _Programme(A, b, balance.shape[0], bound_A.shape[0] + press_A.shape[0], column_at, row_at)


def solve_cone(assembled: Assembled, limit: ShearLimit | None = None, *, gap: float = 0.0) -> ConeAnswer:
    """One programme. Anything but Clarabel's own "Solved" leaves `solved` False ("AlmostSolved" too). `gap`: how far
    the multiplier may stay below the largest, relative and in itself, where that is enough; forces balance as ever.
    """
    tries = (
        HELD_TRIES
        if limit is not None
        else tuple((tolerance, REGULARISATION, LONGEST_STEP) for tolerance in TOLERANCES)
    )
    answer = _solve(assembled, limit, tries[0], gap)
    for one in tries[1:]:
        if answer.solved or answer.infeasible:
            break
        answer = _solve(assembled, limit, one, gap, again=True)
    return answer


def _places(assembled: Assembled) -> tuple[Ints, Ints]:
    """Place in the order of each equilibrium row and each column: by block and by patch, from meridian to meridian
    and up each.

    The solver breaks ties of its own fill-reducing order by the order it is given: ring by ring, which is how blocks
    are made, left up to a tenth more fill (925 492 against 844 564 entries at 980 blocks), and more time than that.
    """
    p = assembled.problem
    around = np.arctan2(p.centre[:, 0], p.centre[:, 1]).round(3)
    blocks = np.lexsort((p.centre[:, 2], around))
    place = np.empty(p.blocks, dtype=np.int64)
    place[blocks] = np.arange(p.blocks)
    patch = np.empty(p.patches.size, dtype=np.int64)
    patch[np.argsort(place[p.patches.upper], kind="stable")] = np.arange(p.patches.size)
    rows: Ints = (6 * place[:, None] + np.arange(6)).ravel()
    columns = np.concatenate(
        [(12 * patch[:, None] + np.arange(12)).ravel(), np.arange(12 * len(patch), assembled.columns)]
    )
    return rows, columns


def _solve(
    assembled: Assembled,
    limit: ShearLimit | None,
    settled: tuple[float, float, float],
    gap: float,
    *,
    again: bool = False,
) -> ConeAnswer:
    import clarabel
    from scipy.sparse import csc_array, csc_matrix

    p, fold = assembled.problem, assembled.fold
    tolerance, regularisation, longest_step = settled
    programme = _programme(assembled, limit)
    rows, columns = (
        np.argsort(place[at], kind="stable")
        for place, at in zip(_places(assembled), (programme.row_at, programme.column_at), strict=True)
    )
    A, b = programme.A, programme.b
    row = np.arange(A.shape[0])
    row[: len(rows)] = rows
    A, b = csc_matrix(A[row][:, columns]), b[row]
    size = len(columns)
    q = np.zeros(size)
    q[-1] = -1.0
    settings = clarabel.DefaultSettings()
    settings.verbose = False
    settings.max_iter = MOST_STEPS
    # A second thread gained nothing in either factorisation; whole cases run beside each other instead.
    settings.direct_solve_method, settings.max_threads = (
        "faer" if fold is None and p.blocks > WHOLE_FRONTS else "qdldl",
        1,
    )
    # Forces balance as well without refining each step (to 1e-13 of a block's weight), in three quarters of the time;
    # and the rows are scaled already: without the solver's own scaling it takes a sixth fewer steps.
    settings.iterative_refinement_enable = settings.equilibrate_enable = again
    settings.static_regularization_constant, settings.max_step_fraction = regularisation, longest_step
    settings.tol_gap_abs = settings.tol_gap_rel = max(tolerance, gap)
    settings.tol_feas = tolerance
    cones = [clarabel.ZeroConeT(programme.balance), clarabel.NonnegativeConeT(programme.bounded)]
    cones += [clarabel.SecondOrderConeT(3)] * ((A.shape[0] - programme.balance - programme.bounded) // 3)
    answer = clarabel.DefaultSolver(csc_matrix(csc_array((size, size))), q, A, b, cones, settings).solve()
    x, z = np.empty(size), np.empty(len(rows))
    x[columns] = answer.x
    z[rows] = answer.z[: len(rows)]
    if fold is not None:
        x, z = fold.spread @ x, fold.moved @ z
    moved = z.reshape(-1, 6)
    # A multiplier of a moment row divided by the size is a rotation times that size.
    motions = np.concatenate([moved[:, :3], moved[:, 3:] / p.size[:, None]], axis=1) / assembled.unit
    m = p.patches.size
    per_point = x[: 12 * m].reshape(m, 4, 3) * assembled.unit
    forces = Forces(
        per_point[:, :, 0], per_point[:, :, 1:] * p.patches.friction[:, None, None], x[12 * m : -1] * assembled.unit
    )
    solved = str(answer.status) == "Solved"
    multiplier, mechanism = (float(x[-1]), -float(answer.obj_val_dual)) if solved else (float("nan"), 0.0)
    return ConeAnswer(str(answer.status), solved, multiplier, forces, motions, mechanism)
