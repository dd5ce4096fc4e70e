"""Domes cut into lunes (rows 7 and 19), with radial joints and rings (row 12), with level beds (rows 13 to 15)."""

from __future__ import annotations

import math

import numpy as np

from shellcheck_earth.mechanics.rings.admissible import Scales, failing_bed, pack
from shellcheck_earth.mechanics.rings.lune import Lune
from validation.joints import Joints, least_thickness, thrust_range

from .table import Check

__all__ = ["checks", "level_dome", "radial_dome"]

LUNE_JOINTS, RADIAL_JOINTS, COURSES = 720, 400, 150
COMPUTED = "computed for this project by an independent linear programme"


def radial_dome(eta: float, e: float, rings: bool, joints: int) -> Joints:
    """One radian of a pointed dome (round for e = 0) of mean radius 1 about (-e, 0), joints radial, solid at the
    top.
    """
    low, high = 1 - eta / 2, 1 + eta / 2
    top = math.acos(min(e / high, 1.0))
    angle = np.linspace(top, 0.0, 4 * joints + 1)  # elevation at the arc's centre, fine steps for the integrals
    cos, sin = np.cos(angle), np.sin(angle)
    with np.errstate(divide="ignore"):
        start = np.maximum(low, np.where(cos > 0, e / cos, high)) if e > 0 else np.full_like(angle, low)
    start = np.minimum(start, high)

    def powers(k: int) -> np.ndarray:
        return (high**k - start**k) / k

    density = powers(3) * cos - e * powers(2)  # integral of r rho d rho, r = rho cos - e
    second = powers(4) * cos**2 - 2 * e * powers(3) * cos + e * e * powers(2)
    step = np.abs(np.diff(angle))

    def total(values: np.ndarray) -> np.ndarray:
        return np.concatenate([[0.0], np.cumsum((values[1:] + values[:-1]) / 2 * step)])

    pick = slice(0, None, 4)
    ends = [np.column_stack([r[pick] * cos[pick] - e, r[pick] * sin[pick]]) for r in (start, np.full_like(angle, high))]
    keep = ends[1][:, 0] - ends[0][:, 0] >= 0
    keep[0] = e == 0  # the very top of a pointed dome is a point, not a joint
    vertical, moment = total(density)[pick], total(second)[pick]
    level = np.concatenate([[math.nan], sin[2::4]])[: len(vertical)] if rings else np.full(len(vertical), math.nan)
    return Joints(ends[0][keep], ends[1][keep], vertical[keep], moment[keep], level[keep], crown_thrust=not rings)


def level_dome(eta: float, e: float, rings: bool = True) -> Lune:
    """The body between the arcs 1 +- eta/2 about (-e, 0), solid above the inner apex, in 150 equal level courses."""
    low, high = 1 - eta / 2, 1 + eta / 2
    top = math.sqrt(high**2 - e**2)
    z = np.linspace(0.0, top, COURSES + 1)
    fine = np.linspace(0.0, top, 40 * COURSES + 1)

    def radii(level: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
        inside = np.sqrt(np.maximum(low**2 - level**2, 0.0)) - e
        return np.maximum(inside, 0.0), np.maximum(np.sqrt(np.maximum(high**2 - level**2, 0.0)) - e, 0.0)

    r0, r1 = radii(fine)

    def per_course(values: np.ndarray) -> np.ndarray:
        cell = (values[1:] + values[:-1]) / 2 * np.diff(fine)
        return cell.reshape(COURSES, 40).sum(axis=1)

    inner, outer = radii(z[:-1])
    one, middle = np.ones(COURSES), (z[1:] + z[:-1]) / 2
    counted = one if rings else 0 * one
    columns = {
        "number": np.arange(1, COURSES + 1),
        "z_bottom": z[:-1],
        "z_top": z[1:],
        "weight": per_course((r1**2 - r0**2) / 2),
        "moment": per_course((r1**3 - r0**3) / 3),
        "bed_inner": inner,
        "bed_outer": outer,
        "crush_inner": one * math.inf,
        "crush_outer": one * math.inf,
        "wet_from": outer,
        "friction": one * math.inf,
        "cohesion": 0 * one,
        "ring_strength": np.where(counted > 0, math.inf, 0.0),
        "ring_depth": counted,
        "wire": 0 * one,
        "ring_low": middle,
        "ring_high": middle,
    }
    return Lune(**{name: np.asarray(column, dtype=np.float64)[::-1] for name, column in columns.items()})


def _least_level(e: float, friction: float | None, rings: bool = True) -> float:
    low, high = 0.002, 0.6
    for _ in range(24):
        middle = (low + high) / 2
        scales = Scales() if friction is None else Scales(friction_value=friction)
        low, high = (low, middle) if failing_bed(pack(level_dome(middle, e, rings)), scales) < 0 else (middle, high)
    return high


def checks() -> list[Check]:
    out = []
    round_lune = least_thickness(lambda t: radial_dome(t, 0.0, False, LUNE_JOINTS), 0.01, 0.2)
    out.append(
        Check(
            "7 hemisphere cut into lunes, thickness over radius",
            f"{COMPUTED}; Heyman (memory) prints 0.042, 2 % less",
            "computed",
            0.04284,
            round_lune,
            2e-4,
            f"printed digits; {LUNE_JOINTS} joints",
        )
    )
    for eta, printed in ((0.05, (0.23390, 0.24541)), (0.10, (0.19460, 0.27715))):
        joints = radial_dome(eta, 0.0, False, LUNE_JOINTS)
        found = thrust_range(joints) or (math.nan, math.nan)
        for name, value, ours in zip(("least", "greatest"), printed, found, strict=True):
            out.append(
                Check(
                    f"19 {name} thrust H/W at t/R {eta:g}",
                    COMPUTED,
                    "computed",
                    value,
                    ours / joints.vertical[-1],
                    1e-4,
                    "printed digits, joint spacing",
                )
            )
    for e, printed_e in ((0.10, 0.03664), (0.25, 0.02858), (0.50, 0.01739)):
        ours_e = least_thickness(lambda t, e=e: radial_dome(t, e, True, RADIAL_JOINTS), 0.002, 0.2)
        out.append(
            Check(
                f"12 pointed dome, radial beds, e/R {e:g}",
                COMPUTED,
                "computed",
                printed_e,
                ours_e,
                2e-4,
                f"{RADIAL_JOINTS} joints",
            )
        )
    for e, level in ((0.0, 0.0429), (0.25, 0.0286), (0.50, 0.0174)):
        out.append(
            Check(
                f"13 level beds, unlimited friction, e/R {e:g}",
                COMPUTED,
                "computed",
                level,
                _least_level(e, None),
                1e-3,
                f"{COURSES} courses",
            )
        )
    for mu, printed_mu in ((0.4, 0.2335), (0.6, 0.1726), (1.0, 0.0987)):
        out.append(
            Check(
                f"14 level-bed round dome, friction {mu:g}",
                COMPUTED,
                "computed",
                printed_mu,
                _least_level(0.0, mu),
                1e-3,
                f"{COURSES} courses",
            )
        )
    out.append(
        Check(
            "15 level-bed pointed dome, no ring force",
            COMPUTED,
            "computed",
            0.2152,
            _least_level(0.5, None, rings=False),
            1e-3,
            f"{COURSES} courses",
        )
    )
    for mu, printed_mu in ((0.4, 0.0844), (0.6, 0.0489), (1.0, 0.0181)):
        out.append(
            Check(
                f"15 level-bed pointed dome, friction {mu:g}",
                COMPUTED,
                "computed",
                printed_mu,
                _least_level(0.5, mu),
                1e-3,
                f"{COURSES} courses",
            )
        )
    return out
