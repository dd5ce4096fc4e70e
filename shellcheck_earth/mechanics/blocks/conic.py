"""The block programme (`rows`) solved by Clarabel. Small and alone: it only asks and answers."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np

from shellcheck_earth.mechanics.blocks.problem import Forces
from shellcheck_earth.mechanics.blocks.rows import Assembled, Programme, ShearLimit, programme, right_side
from shellcheck_earth.mechanics.rings.lune import Floats

__all__ = ["ConeAnswer", "HeldShear", "solve_cone", "solve_programme"]

TOLERANCES = (1e-9, 1e-8, 1e-7)
"""Asked for in turn: a problem that cannot be had to the first may be had to the second, still as the solver's
"Solved".
"""

HELD_TRIES = ((1e-6, 1e-7, 0.99), (1e-6, 1e-8, 0.95), (1e-5, 1e-7, 0.95))
"""(tolerance, regularisation, longest step) in turn when the shear limits are held fixed: next to no dilation leaves
the normal forces all but undetermined, and such a programme stalls at a gap of 1e-7 to 1e-5. The scheme counts as
settled at 5e-3."""

REGULARISED = 1e-8, 0.99
"""Regularisation and longest step: the solver's own defaults."""

MOST_STEPS = 120

WHOLE_FRONTS = 1500
"""Blocks past which the factorisation by whole fronts is the faster one; never where half says all, whose fronts are
short.
"""


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


def solve_cone(assembled: Assembled, *, gap: float = 0.0) -> ConeAnswer:
    """One programme with ordinary friction. Anything but Clarabel's own "Solved" leaves `solved` False ("AlmostSolved"
    too). `gap`: how far the multiplier may stay below the largest, relative and in itself, where that is enough; forces
    balance as ever.
    """
    return solve_programme(assembled, programme(assembled, None), right_side(assembled, None), gap)


def solve_programme(assembled: Assembled, of: Programme, b: Floats, gap: float) -> ConeAnswer:
    """As `solve_cone`, of these rows and this right side."""
    tries = iter(TOLERANCES)
    answer = _Solver(assembled, of, (next(tries), *REGULARISED), gap).solve(b)
    for tolerance in tries:
        if answer.solved or answer.infeasible:
            break
        answer = _Solver(assembled, of, (tolerance, *REGULARISED), gap, again=True).solve(b)
    return answer


class HeldShear:
    """The programme with the shear limit of every point held, for one slope: asked again and again with other limits,
    which stand on the right side alone, so that the solver keeps what it made of the rest.
    """

    def __init__(self, assembled: Assembled, slope: float) -> None:
        self.assembled, self.slope = assembled, slope
        self._of = programme(assembled, slope)
        self._first = _Solver(assembled, self._of, HELD_TRIES[0])

    def solve(self, fixed: Floats) -> ConeAnswer:
        """As `solve_cone`; fixed: (m, 4) [kN], the part of the limits that does not grow with the normal force."""
        b = right_side(self.assembled, ShearLimit(fixed, self.slope))
        answer = self._first.solve(b)
        for one in HELD_TRIES[1:]:
            if answer.solved or answer.infeasible:
                break
            answer = _Solver(self.assembled, self._of, one, again=True).solve(b)
        return answer


class _Solver:
    """Clarabel with the rows of one programme, asked with one right side or one after another. What it finds the most
    of is the last unknown.

    settled: tolerance, regularisation and longest step. again: with the solver's own care, after a try without it.
    """

    def __init__(
        self,
        assembled: Assembled,
        of: Programme,
        settled: tuple[float, float, float],
        gap: float = 0.0,
        *,
        again: bool = False,
    ) -> None:
        self.assembled = assembled
        self.programme = of
        self.settings = _settings(assembled, settled, gap, again=again)
        self.rows, self.columns = (
            np.argsort(place[at], kind="stable")
            for place, at in zip(assembled.places, (of.row_at, of.column_at), strict=True)
        )
        self.made: Any = None

    def solve(self, b: Floats) -> ConeAnswer:
        """With this right side of the programme."""
        b = np.concatenate([b[self.rows], b[len(self.rows) :]])
        if self.made is not None and self.made.is_data_update_allowed():
            self.made.update(b=b)
        else:
            self.made = self._made(b)
        return self._read(self.made.solve())

    def _made(self, b: Floats) -> Any:
        import clarabel
        from scipy.sparse import csc_array, csc_matrix

        of, size = self.programme, len(self.columns)
        row = np.arange(of.A.shape[0])
        row[: len(self.rows)] = self.rows
        A = csc_matrix(of.A[row][:, self.columns])
        q = np.zeros(size)
        q[-1] = -1.0
        cones = [clarabel.ZeroConeT(of.balance), clarabel.NonnegativeConeT(of.bounded)]
        cones += [clarabel.SecondOrderConeT(3)] * ((A.shape[0] - of.balance - of.bounded) // 3)
        return clarabel.DefaultSolver(csc_matrix(csc_array((size, size))), q, A, b, cones, self.settings)

    def _read(self, answer: Any) -> ConeAnswer:
        p, fold, unit = self.assembled.problem, self.assembled.fold, self.assembled.unit
        x, z = np.empty(len(self.columns)), np.empty(len(self.rows))
        x[self.columns] = answer.x
        z[self.rows] = answer.z[: len(self.rows)]
        if fold is not None:
            x, z = fold.spread @ x, fold.moved @ z
        moved = z.reshape(-1, 6)
        # A multiplier of a moment row divided by the size is a rotation times that size.
        motions = np.concatenate([moved[:, :3], moved[:, 3:] / p.size[:, None]], axis=1) / unit
        m = p.patches.size
        per_point = x[: 12 * m].reshape(m, 4, 3) * unit
        shear = per_point[:, :, 1:] * p.patches.friction[:, None, None]
        forces = Forces(per_point[:, :, 0], shear, x[12 * m : -1] * unit)
        solved = str(answer.status) == "Solved"
        multiplier, mechanism = (float(x[-1]), -float(answer.obj_val_dual)) if solved else (float("nan"), 0.0)
        return ConeAnswer(str(answer.status), solved, multiplier, forces, motions, mechanism)


def _settings(assembled: Assembled, settled: tuple[float, float, float], gap: float, *, again: bool) -> Any:
    import clarabel

    tolerance, regularisation, longest_step = settled
    settings = clarabel.DefaultSettings()
    settings.verbose = False
    settings.max_iter = MOST_STEPS
    # A second thread gained nothing in either factorisation; whole cases run beside each other instead.
    whole_fronts = assembled.fold is None and assembled.problem.blocks > WHOLE_FRONTS
    settings.direct_solve_method, settings.max_threads = ("faer" if whole_fronts else "qdldl", 1)
    # Forces balance as well without refining each step (to 1e-13 of a block's weight), in three quarters of the time;
    # and the rows are scaled already: without the solver's own scaling it takes a sixth fewer steps.
    settings.iterative_refinement_enable = settings.equilibrate_enable = again
    settings.static_regularization_constant, settings.max_step_fraction = regularisation, longest_step
    settings.tol_gap_abs = settings.tol_gap_rel = max(tolerance, gap)
    settings.tol_feas = tolerance
    return settings
