"""Measured tests of the ledger (`basics/measured.toml`) as comparisons, with the scatter of the readings.

Two kinds of question. An arch and a ring are predicted: the mean of the readings has to lie within twice its own
standard error and a stated tolerance of the prediction. A pull, a wire and cubes are held against the value that is
used where nothing was measured: what the readings allow to be counted on (5 % fractile, EN 1990 Annex D) must not lie
under it.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping
from dataclasses import dataclass

import numpy as np

from shellcheck_earth.basics.measured import ARCH, CUBES, PULL, RING, WIRE, Measured, measured
from shellcheck_earth.basics.units import Dimension, parse_quantity
from shellcheck_earth.basics.values import default, fixed, fixed_pairs
from shellcheck_earth.loads.site_tests.fractile import characteristic
from shellcheck_earth.mechanics.blocks.nonassociated import solve_blocks
from validation.block_shapes import arch
from validation.joints import Joints, stands

from .table import Check

__all__ = ["Comparison", "checks", "compare", "ring_joints"]

ARCH_TOLERANCE = math.radians(1.0)
"""rad; a board's angle read with a phone, blocks cut to half a millimetre (proposed)."""

RING_TOLERANCE = 1.0
"""Courses; the last ring stands or falls as a whole (proposed)."""

MOST_COURSES = 60
"""Rings that are tried at most."""


@dataclass(frozen=True)
class Comparison:
    """`computed`: predicted, or the value in use. `counted`: the mean of an arch or a ring, the fractile of the others.
    `scatter`: standard deviation of one reading. All in `unit`."""

    row: Measured
    computed: float
    counted: float
    scatter: float
    tolerance: float
    unit: str
    at_least: bool

    @property
    def agrees(self) -> bool:
        """Within tolerance and twice the standard error, or, where `at_least`, not under the value in use."""
        if self.at_least:
            return self.counted >= self.computed
        error = 2 * self.scatter / math.sqrt(len(self.row.readings))
        return abs(self.counted - self.computed) <= self.tolerance + error


def ring_joints(row: Measured, courses: int) -> Joints:
    """Closed rings of bags, each a step further in than the one below, as joints from the top down: one radian, unit
    weight 1.
    """
    radius, width, height, step = (row.given[k] for k in ("inside_radius", "bag_width", "bag_height", "step"))
    level = np.arange(courses)[::-1]  # of each course, the top one first
    inner = radius - step * level
    outer = inner + width
    weight = height * (outer**2 - inner**2) / 2
    centroid = (2 / 3) * (outer**3 - inner**3) / (outer**2 - inner**2)
    below = np.maximum(inner, np.append(inner[1:], inner[-1]))  # the bed is where both courses lie
    over = np.minimum(outer, np.append(outer[1:], outer[-1]))
    z = height * level
    return Joints(
        np.column_stack([below, z]),
        np.column_stack([over, z]),
        np.cumsum(weight),
        np.cumsum(weight * centroid),
        np.where(level == 0, math.nan, z + height / 2),
        crown_thrust=False,
    )


def _arch(row: Measured) -> Comparison:
    given = row.given
    problem = arch(
        given["friction"], round(given["blocks"]), given["radius"], given["thickness"], math.degrees(given["embrace"])
    )
    share = solve_blocks(problem).multiplier
    if share is None:
        raise ValueError(f"measured {row.key}: no multiplier was found for the arch")
    return Comparison(row, math.atan(share), row.mean, row.spread, ARCH_TOLERANCE, "rad", at_least=False)


def _ring(row: Measured) -> Comparison:
    room = int((row.given["inside_radius"] - 1e-9) // row.given["step"]) + 1  # the innermost ring still has a hole
    standing = 0
    for courses in range(1, min(room, MOST_COURSES) + 1):
        if not stands(ring_joints(row, courses), row.given["friction"]):
            break
        standing = courses
    return Comparison(row, float(standing), row.mean, row.spread, RING_TOLERANCE, "courses", at_least=False)


def _in_use(path: str) -> float:
    row = default(path)
    plain = row.dimension in ("number", "share") and "%" not in row.value
    raw: object = float(row.value) if plain else row.value
    dimension: Dimension = row.dimension  # type: ignore[assignment]
    return parse_quantity(raw, dimension)


def _pull(row: Measured) -> Comparison:
    weight = row.given["pressure"] * row.given["bed_length"] * row.given["bed_width"]
    shares = [one / weight for one in row.readings]
    bed, wet = row.words["bed"], row.words["state"] == "wet"
    paths = {
        "woven": ("beds.friction", "beds.friction_wet"),
        "wired": ("beds.wired.friction", "beds.friction_wet"),
        "mesh": ("beds.mesh.friction", "beds.mesh.friction_wet"),
    }
    return Comparison(
        row, _in_use(paths[bed][wet]), characteristic(shares), row.spread / weight, 0.0, "of the weight", at_least=True
    )


def _wire(row: Measured) -> Comparison:
    held = min(row.given["length"] / fixed("wire.anchorage"), 1.0)
    counted = _in_use("beds.wire_counted_share") * row.given["breaking_load"] * held
    return Comparison(row, counted, characteristic(row.readings), row.spread, 0.0, "kN", at_least=True)


def _cubes(row: Measured) -> Comparison:
    paths = {"dry": "fill.strength_dry", "as placed": "fill.strength_as_placed", "wet": "fill.strength_wet"}
    ratios, shares = zip(*fixed_pairs("tests.aspect", "ratios", "shares"), strict=True)
    share = float(np.interp(row.given["height_over_width"], ratios, shares))
    counted = share * characteristic(row.readings)
    return Comparison(row, _in_use(paths[row.words["state"]]), counted, share * row.spread, 0.0, "kPa", at_least=True)


_COMPARED: Mapping[str, Callable[[Measured], Comparison]] = {
    ARCH: _arch,
    RING: _ring,
    PULL: _pull,
    WIRE: _wire,
    CUBES: _cubes,
}


def compare(row: Measured) -> Comparison:
    """What one measured test says of the prediction, or of the value in use."""
    return _COMPARED[row.kind](row)


def _check(one: Comparison) -> Check:
    said = f"{len(one.row.readings)} readings, scatter of one {one.scatter:.3g} {one.unit}"
    where = f"measured by {one.row.by}, {one.row.date.isoformat()}"
    name = f"{one.row.kind}: {one.row.key}"
    if one.at_least:
        why = f"{said}; counted on {one.counted:.4g}, in use {one.computed:.4g}"
        return Check(
            f"{name}: counted on is not under the value in use (1 yes)",
            where,
            "measured",
            1.0,
            float(one.agrees),
            0.0,
            why,
        )
    error = 2 * one.scatter / math.sqrt(len(one.row.readings))
    return Check(
        f"{name} [{one.unit}]",
        where,
        "measured",
        one.counted,
        one.computed,
        one.tolerance + error,
        f"{said}; tolerance {one.tolerance:.3g} and twice the standard error {error:.3g}",
    )


def checks() -> list[Check]:
    """One comparison a row of the ledger; none while nothing was measured."""
    return [_check(compare(row)) for row in measured().values()]
