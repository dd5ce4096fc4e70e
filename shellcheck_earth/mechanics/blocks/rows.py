"""The block problem as the rows of a second-order cone programme (`conic` solves it).

Unknowns: for every point its normal force n and scaled shears (s = mu sigma), the tensions of ties, lambda.
    maximise lambda
    equilibrium of every block:      E x + lambda live = -dead          (6 n rows)
    friction of every point:         |sigma| <= n                       (or <= c + tau n with a fixed c:
        nonassociated)
    stress block of every strip:     N^2 <= 2 f l (sum of n_i d_i)      (where the strength is finite)
    turning of every patch:          |M| <= mu N lever
    ties and lambda within their bounds
Moment rows are divided by the block's size and all forces by the mean dead load, so that one tolerance suits all rows.
Where half says all (`symmetry`), only the rows and columns of that half are kept.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property
from typing import Any

import numpy as np

from shellcheck_earth.mechanics.blocks.interfaces import Ints
from shellcheck_earth.mechanics.blocks.problem import BlockProblem
from shellcheck_earth.mechanics.blocks.symmetry import Fold, find_fold
from shellcheck_earth.mechanics.rings.lune import Floats

__all__ = ["Assembled", "Programme", "ShearLimit", "assemble", "places", "programme", "right_side"]


@dataclass(frozen=True)
class ShearLimit:
    """|s| <= mu (fixed + slope n) at every point, (m, 4) [kN] and [-]; ordinary friction is fixed 0, slope 1."""

    fixed: Floats
    slope: float


@dataclass(frozen=True)
class _Kept:
    """Which rows of the bounds, points and crushing cones the half keeps; boolean."""

    bounds: Any
    points: Any
    crushed: Any


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
    def kept(self) -> _Kept:
        """What the half keeps. ValueError where there is none."""
        fold = self.fold
        if fold is None:
            raise ValueError("the whole programme is solved: nothing is left out")
        bounds = np.concatenate([np.tile(fold.patches[self.capped], 2), np.tile(np.append(fold.ties, True), 2)])
        crushed = [fold.patches[self.crushed(strip, edge)] for strip in range(2) for edge in range(2)]
        return _Kept(bounds, fold.points.ravel(), np.concatenate(crushed))

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
    def capped(self) -> Ints:
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
        capped = self.capped
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

    def crushed(self, strip: int, edge: int) -> Ints:
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
                index = self.crushed(strip, edge)
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

    @cached_property
    def alike(self) -> tuple[Any, Any, Any]:
        """Rows of A that no limit of the shear changes, of all or of the half: equilibrium, bounds, crushing."""
        balance, bound, crush = self.equilibrium, self.bounds[0], -self.crushing
        fold = self.fold
        if fold is None:
            return balance, bound, crush
        balance, bound = fold.keep @ balance, bound[self.kept.bounds]
        crush = crush[np.repeat(self.kept.crushed, 3)]
        return balance @ fold.spread, bound @ fold.spread, crush @ fold.spread

    @cached_property
    def places(self) -> tuple[Ints, Ints]:
        """As `places` gives them, found once."""
        return places(self)


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


def _friction_rows(assembled: Assembled, slope: float | None) -> tuple[Any, Any]:
    """(cone rows, further rows) of A: s = b - A x = (c + tau n, sigma1, sigma2) in the cone, and n >= 0 where needed.
    slope: tau; None for ordinary friction.
    """
    from scipy.sparse import csc_array

    points = 4 * assembled.problem.patches.size
    index = np.arange(3 * points)
    value = np.full(3 * points, -1.0)
    if slope is not None:
        value[::3] = -slope
    shape = (3 * points, assembled.columns)
    cone = csc_array((value, (index, index)), shape=shape)
    if slope is None:
        return cone, csc_array((0, assembled.columns))
    rows = np.arange(points)
    pressing = csc_array((np.full(points, -1.0), (rows, 3 * rows)), shape=(points, assembled.columns))
    return cone, pressing


@dataclass(frozen=True)
class Programme:
    """What the solver is given: A x + s = b, s zero in the first `balance` rows, not negative in the next `bounded`,
    then in cones of three; b is `right_side`. `column_at`, `row_at`: what a column and a row of equilibrium stand for
    in the whole."""

    A: Any
    balance: int
    bounded: int
    column_at: Ints
    row_at: Ints


def programme(assembled: Assembled, slope: float | None) -> Programme:
    """All rows, or those of the half that says all."""
    from scipy.sparse import csc_array, vstack

    fold = assembled.fold
    balance, bound, crush = assembled.alike
    cone, press = _friction_rows(assembled, slope)
    if fold is None:
        column_at, row_at = np.arange(assembled.columns), np.arange(6 * assembled.problem.blocks)
    else:
        column_at, row_at = fold.column_at, fold.row_at
        kept = assembled.kept
        cone = cone[np.repeat(kept.points, 3)]
        if slope is not None:
            press = press[kept.points]
        press, cone = press @ fold.spread, cone @ fold.spread
    A = csc_array(vstack([balance, bound, press, cone, crush], format="csc"))
    return Programme(A, balance.shape[0], bound.shape[0] + press.shape[0], column_at, row_at)


def right_side(assembled: Assembled, limit: ShearLimit | None) -> Floats:
    """b of `programme`."""
    fold, points = assembled.fold, 4 * assembled.problem.patches.size
    load, bounds = -assembled.scaled(assembled.problem.dead).ravel(), assembled.bounds[1]
    cone, press = np.zeros(3 * points), np.zeros(0 if limit is None else points)
    if limit is not None:
        cone[::3] = limit.fixed.ravel() / assembled.unit
    crushed = assembled.crushing.shape[0] // 3
    if fold is not None:
        kept = assembled.kept
        load, bounds, cone = fold.keep @ load, bounds[kept.bounds], cone[np.repeat(kept.points, 3)]
        press = press if limit is None else press[kept.points]
        crushed = int(kept.crushed.sum())
    return np.concatenate([load, bounds, press, cone, np.tile([1.0, 0.0, 1.0], crushed)])


def places(assembled: Assembled) -> tuple[Ints, Ints]:
    """(of the equilibrium rows, of the columns): place of each in the order that the solver is given: by block and by
    patch, from meridian to meridian and up each.

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
