"""Half of a mirrored problem: where the blocks and their loads are their own mirror image in an upright plane, half
of them say all.

The programme of `conic` is convex and its limits are the same on both sides, so the mean of an answer and its
mirror image is an answer too, and the best multiplier is reached by forces that are mirrored (derived; the usual
argument of symmetry, Gatermann & Parrilo 2004, memory). Forces of one side are then those of the other, the equations
of the one side imply those of the other, and a block or patch that lies across the plane keeps only what a mirror
leaves alone. Nothing is approximated: a fold is handed out only after the whole set of equations was found to be its
own image, and answers are unfolded and re-checked on the whole.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Any

import numpy as np

from shellcheck_earth.mechanics.blocks.interfaces import Ints, Patches
from shellcheck_earth.mechanics.blocks.problem import BlockProblem
from shellcheck_earth.mechanics.rings.lune import Floats

__all__ = ["Fold", "find_fold"]

NEAR = 1e-6
"""Distance [m] and relative difference up to which two things are each other's image."""

ALIKE = 1e-9
"""Largest entry, of about one in the scaled equations, by which the image may differ from the equations themselves."""


@dataclass(frozen=True)
class Fold:
    """Sparse maps between the whole programme and its half.

    spread  (columns, kept columns): the forces of all from those that are kept
    keep    (kept rows, 6 n): the rows of equilibrium that are kept, from all of them
    moved   (6 n, kept rows): the multipliers of all rows from those of the kept ones
    patches, points, ties   which of them are kept; boolean, (m,), (m, 4), (k,)
    column_at, row_at       the column and row of the whole that a kept one stands for
    """

    spread: Any
    keep: Any
    moved: Any
    patches: Any
    points: Any
    ties: Any
    column_at: Ints
    row_at: Ints


def find_fold(problem: BlockProblem, equilibrium: Any, scaled: tuple[Floats, Floats]) -> Fold | None:
    """The half in the first upright plane through the origin that mirrors the problem; None where there is none.

    `equilibrium` (6 n, columns) as in `cone.Assembled`; `scaled`: dead and live load in its units, (n, 6) each.
    """
    for bearing in _planes(problem):
        image = _Image(problem, bearing)
        if image.found(scaled) and (fold := image.fold(equilibrium)) is not None:
            return fold
    return None


def _planes(problem: BlockProblem) -> list[float]:
    """Bearings of planes worth trying: that of the live load, of where it stands, of the dead weight's centre, and
    the entrance's.
    """
    out = []
    for load in (problem.live, problem.dead):
        push = load[:, :2].sum(axis=0)
        stands = -(problem.centre[:, :2] * load[:, 2:3]).sum(axis=0) + np.array([load[:, 4].sum(), -load[:, 3].sum()])
        scale = float(np.abs(load[:, :3]).sum()) or 1.0
        out += [math.atan2(x, y) for x, y in (push, stands) if math.hypot(x, y) > NEAR * scale]
    bearings = [*(round(bearing % math.pi, 12) for bearing in out), 0.0]
    return [b for k, b in enumerate(bearings) if all(abs(b - other) > ALIKE for other in bearings[:k])]


def _nearest(places: Floats, images: Floats) -> Ints | None:
    """For each image the place that it falls on; None unless each falls on one and all pairs are mutual."""
    from scipy.spatial import cKDTree

    distance, index = cKDTree(places).query(images)
    index = np.asarray(index, dtype=np.int64)
    mutual = len(index) and float(distance.max()) < NEAR and np.array_equal(index[index], np.arange(len(index)))
    return index if mutual else None


def _same(first: Floats, second: Floats) -> bool:
    """Whether two arrays are alike; what has no limit is like nothing that has one."""
    both = np.isfinite(first) & np.isfinite(second)
    one, other = np.where(both, first, 0.0), np.where(both, second, 0.0)
    close = np.abs(one - other) <= NEAR * np.maximum(np.abs(one), np.abs(other))
    return bool(((first == second) | (both & close)).all())


class _Image:
    """The mirror image of one problem in the plane at one bearing."""

    def __init__(self, problem: BlockProblem, bearing: float) -> None:
        self.problem = problem
        self.along = np.array([math.sin(bearing), math.cos(bearing), 0.0])  # in the plane, level
        self.square = np.array([math.cos(bearing), -math.sin(bearing), 0.0])
        self.turn = np.eye(3) - 2 * np.outer(self.square, self.square)

    def wrench(self, load: Floats) -> Floats:
        """Image of (n, 6) forces and moments, by block of which they are the image; a moment turns the other way."""
        return np.concatenate([load[:, :3] @ self.turn, -load[:, 3:] @ self.turn], axis=1)

    def found(self, scaled: tuple[Floats, Floats]) -> bool:
        """Whether blocks, loads and patches have images; sets `blocks`, `patches`, `columns`, `signs`, `points`."""
        p = self.problem
        blocks = _nearest(p.centre, p.centre @ self.turn)
        if blocks is None or not _same(p.size, p.size[blocks]) or not p.patches.size:
            return False
        self.blocks = blocks
        if any(
            float(np.abs(self.wrench(load) - load[blocks]).max()) > ALIKE * (1 + float(np.abs(load).max()))
            for load in scaled
        ):
            return False
        return self._patches(p.patches) and self._ties()

    def _patches(self, patches: Patches) -> bool:
        image = _nearest(patches.centre, patches.centre @ self.turn)
        if image is None:
            return False
        upper, lower = (np.where(side >= 0, self.blocks[side], side) for side in (patches.upper, patches.lower))
        straight = (upper == patches.upper[image]) & (lower == patches.lower[image])
        swapped = (upper == patches.lower[image]) & (lower == patches.upper[image])
        if not (straight | swapped).all():
            return False
        gap = np.linalg.norm((patches.points @ self.turn)[:, :, None, :] - patches.points[image][:, None, :, :], axis=3)
        place = gap.argmin(axis=2)
        if float(gap.min(axis=2).max()) > NEAR or not np.array_equal(
            np.sort(place, axis=1), np.tile(np.arange(4), (len(image), 1))
        ):
            return False
        if not np.array_equal(place[:, ::2] // 2, place[:, 1::2] // 2):  # a strip's two points stay together
            return False
        strips = np.take_along_axis(patches.strips[image], place[:, ::2] // 2, axis=1)
        distance = np.take_along_axis(patches.edge_distance[image], place[:, :, None], axis=1)
        pairs = [
            (patches.friction, patches.friction[image]),
            (patches.strength, patches.strength[image]),
            (patches.lever, patches.lever[image]),
            (patches.strips, strips),
            (np.sort(patches.edge_distance, axis=2), np.sort(distance, axis=2)),
        ]
        if not all(_same(first, second) for first, second in pairs):
            return False
        side = np.where(straight, 1.0, -1.0)
        signs = np.stack(
            [
                side * np.einsum("mc,mc->m", direction @ self.turn, direction[image])
                for direction in (patches.normal, patches.along, patches.across)
            ],
            axis=1,
        )
        if float(np.abs(np.abs(signs) - 1).max()) > NEAR or (signs[:, 0] < 0).any():
            return False
        self.patches, self.points = image, 4 * image[:, None] + place
        self.signs = np.broadcast_to(np.sign(signs)[:, None, :], (len(image), 4, 3))
        return True

    def _ties(self) -> bool:
        """Ties by what they do: three fixed random sums of their wrenches tell them apart."""
        p, ties = self.problem, self.problem.ties
        self.ties = np.empty(0, dtype=np.int64)
        if not ties.size:
            return True
        probe = np.random.default_rng(0).normal(size=(3, p.blocks, 6))
        # The image of a wrench against a probe is the wrench against the image of the probe.
        mirrored = np.stack([self.wrench(one)[np.argsort(self.blocks)] for one in probe])
        row, of = ties.row.astype(np.int64), ties.tie.astype(np.int64)
        mark, image = (
            np.stack(
                [np.bincount(of, weights=ties.value * one.ravel()[row], minlength=ties.size) for one in which], axis=1
            ).astype(np.float64)
            for which in (probe, mirrored)
        )
        found = _nearest(mark, image)
        if found is None or not _same(ties.most, ties.most[found]):
            return False
        self.ties = found
        return True

    def fold(self, equilibrium: Any) -> Fold | None:
        """The maps of the half; None where the equations turn out not to be their own image after all."""
        from scipy.sparse import csc_array

        m, k = self.problem.patches.size, len(self.ties)
        count = 12 * m + k + 1
        image = np.concatenate([(3 * self.points[:, :, None] + np.arange(3)).ravel(), 12 * m + self.ties, [count - 1]])
        sign = np.concatenate([self.signs.ravel(), np.ones(k + 1)])
        whole = csc_array((sign, (image, np.arange(count))), shape=(count, count))
        reflect = self._reflection()
        difference = reflect @ equilibrium - equilibrium @ whole
        if difference.nnz and float(np.abs(difference.data).max()) > ALIKE:
            return None
        own = np.arange(count)
        column_at = np.nonzero((own < image) | ((own == image) & (sign > 0)))[0]
        pairs = column_at[image[column_at] != column_at]
        at = np.searchsorted(column_at, pairs)
        spread = csc_array(
            (
                np.concatenate([np.ones(len(column_at)), sign[pairs]]),
                (np.concatenate([column_at, image[pairs]]), np.concatenate([np.arange(len(column_at)), at])),
            ),
            shape=(count, len(column_at)),
        )
        keep, moved, row_at = self._rows(reflect)
        points = 4 * np.arange(m)[:, None] + np.arange(4) <= self.points
        return Fold(
            spread, keep, moved, np.arange(m) <= self.patches, points, np.arange(k) <= self.ties, column_at, row_at
        )

    def _reflection(self) -> Any:
        """(6 n, 6 n): wrenches of all blocks to those of their images."""
        from scipy.sparse import csc_array

        n = self.problem.blocks
        of = np.kron(np.diag([1.0, -1.0]), self.turn)
        row = np.broadcast_to(6 * self.blocks[:, None, None] + np.arange(6)[:, None], (n, 6, 6))
        column = np.broadcast_to(6 * np.arange(n)[:, None, None] + np.arange(6), (n, 6, 6))
        return csc_array((np.tile(of.ravel(), n), (row.ravel(), column.ravel())), shape=(6 * n, 6 * n))

    def _rows(self, reflect: Any) -> tuple[Any, Any, Ints]:
        """keep, moved and row_at: six rows of one block of a pair; of a block across the plane the two forces in it and
        the turn about what is square to it."""
        from scipy.sparse import csc_array

        n = self.problem.blocks
        one, across = np.nonzero(np.arange(n) < self.blocks)[0], np.nonzero(np.arange(n) == self.blocks)[0]
        free = np.zeros((3, 6))
        free[0, :3], free[1, 2], free[2, 3:] = self.along, 1.0, self.square
        count = 6 * len(one) + 3 * len(across)
        paired = (6 * one[:, None] + np.arange(6)).ravel()
        row = np.broadcast_to(6 * len(one) + np.arange(3 * len(across)).reshape(-1, 3, 1), (len(across), 3, 6))
        column = np.broadcast_to(6 * across[:, None, None] + np.arange(6), (len(across), 3, 6))
        keep = csc_array(
            (
                np.concatenate([np.ones(len(paired)), np.tile(free.ravel(), len(across))]),
                (np.concatenate([np.arange(len(paired)), row.ravel()]), np.concatenate([paired, column.ravel()])),
            ),
            shape=(count, 6 * n),
        )
        # One multiplier of a pair's rows is shared by both blocks, half to each.
        own = np.where(np.arange(count) < len(paired), 0.5, 1.0)
        moved = keep.T * own + (reflect @ keep.T) * (1.0 - own)
        return keep, csc_array(moved), np.concatenate([paired, (6 * across[:, None] + np.arange(3)).ravel()])
