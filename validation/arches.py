"""The semicircular arch under its own weight (rows 1 to 5) and the catenary (row 11)."""

from __future__ import annotations

import math
from typing import Literal

import numpy as np

from validation.joints import Joints, least_thickness, needed_joint_friction, stands, thrust_range

from .table import Check

__all__ = ["checks", "radial_arch", "vertical_arch"]

JOINTS = 720  # an eighth of a degree; the answer moves by less than 1e-6 to 1440

COCCHETTI = "Cocchetti, Colasante & Rizzi 2011, in Cocchetti & Rizzi, Frattura ed Integrita Strutturale 51 (2020)"


def radial_arch(
    eta: float, weights: Literal["centre line", "true"] = "centre line", angles: np.ndarray | None = None
) -> Joints:
    """Half of a semicircular arch of mean radius 1 and unit weight, joints radial, thickness eta."""
    b = np.linspace(0.0, math.pi / 2, JOINTS + 1) if angles is None else angles
    low, high = 1 - eta / 2, 1 + eta / 2
    direction = np.column_stack([np.sin(b), np.cos(b)])
    area = (high**2 - low**2) / 2
    first = (high**3 - low**3) / 3 if weights == "true" else area
    return Joints(low * direction, high * direction, area * b, first * (1 - np.cos(b)), np.full(len(b), math.nan))


def vertical_arch(eta: float) -> Joints:
    """The same arch cut by vertical planes from the outer to the inner face, the springing joint level."""
    low, high = 1 - eta / 2, 1 + eta / 2
    x = np.sin(np.linspace(0.0, math.pi / 2, JOINTS + 1)) * low
    inner = np.column_stack([x, np.sqrt(np.maximum(low**2 - x**2, 0.0))])
    outer = np.column_stack([x, np.sqrt(high**2 - x**2)])

    def under(radius: float, upto: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
        upto = np.minimum(upto, radius)
        root = np.sqrt(np.maximum(radius**2 - upto**2, 0.0))
        return (upto * root + radius**2 * np.arcsin(upto / radius)) / 2, (radius**3 - root**3) / 3

    (a1, m1), (a0, m0) = under(high, x), under(low, x)
    whole_area, whole_moment = math.pi / 4 * (high**2 - low**2), (high**3 - low**3) / 3
    return Joints(
        np.vstack([inner, [[low, 0.0]]]),
        np.vstack([outer, [[high, 0.0]]]),
        np.append(a1 - a0, whole_area),
        np.append(m1 - m0, whole_moment),
        np.full(len(x) + 1, math.nan),
    )


def _catenary(thickness: float) -> Joints:
    """Half of the catenary z = -cosh x, 0 to 1.5, weight along its length, joints normal to it."""
    x = np.linspace(0.0, 1.5, 601)
    slope = np.sinh(x)
    normal = np.column_stack([slope, np.ones_like(x)]) / np.cosh(x)[:, None]
    middle = np.column_stack([x, -np.cosh(x)])
    weight, moment = np.sinh(x), x * np.sinh(x) - np.cosh(x) + 1
    return Joints(
        middle - thickness / 2 * normal, middle + thickness / 2 * normal, weight, moment, np.full(len(x), math.nan)
    )


def _intrados_hinge(eta: float) -> float:
    """Angle [deg] of the joint where the line of least (and only) thrust touches the inner face."""
    joints = radial_arch(eta * (1 + 1e-6))
    found = thrust_range(joints)
    if found is None:
        return math.nan
    H = sum(found) / 2
    G0 = H * (1 + eta / 2)  # the only line passes the crown at the outer face
    gap = joints.moment + G0 - joints.inner[:, 0] * joints.vertical - joints.inner[:, 1] * H
    return math.degrees(math.atan2(*joints.inner[np.argmin(gap)]))


def checks() -> list[Check]:
    out = []
    eta = least_thickness(radial_arch, 0.05, 0.2)
    thrust = thrust_range(radial_arch(eta * (1 + 1e-9)))
    out.append(
        Check(
            "1 thickness over radius, weight on the centre line",
            f"{COCCHETTI} p. 360 Eq. 4",
            "read",
            0.107426,
            eta,
            1e-5,
            f"{JOINTS} joints a half",
        )
    )
    out.append(
        Check(
            "1 hinge at the inner face [deg]",
            f"{COCCHETTI} p. 360 Eq. 4",
            "read",
            54.496,
            _intrados_hinge(eta),
            0.13,
            "one joint spacing of 0.125 deg",
        )
    )
    out.append(
        Check(
            "1 thrust H/(gamma t R)",
            f"{COCCHETTI} p. 360 Eq. 4",
            "read",
            0.621772,
            None if thrust is None else thrust[0] / eta,
            1e-4,
            "slope of the thrust at the least thickness",
        )
    )
    source = "Milankovitch 1907 through Makris & Alexakis 2013"
    out.append(
        Check(
            "2 thickness over radius, true weights",
            source,
            "abstract read",
            0.1075,
            least_thickness(lambda t: radial_arch(t, "true"), 0.05, 0.2),
            1e-4,
            "printed digits",
        )
    )
    out.append(
        Check(
            "3 thickness over radius, vertical cuts",
            "Makris & Alexakis 2013",
            "abstract read",
            0.1095,
            least_thickness(vertical_arch, 0.05, 0.2),
            1e-4,
            "printed digits",
        )
    )
    table = f"{COCCHETTI} Tab. 3, Eq. 11"
    out.append(
        Check(
            "4 friction below which sliding joins in",
            table,
            "read",
            0.395832,
            needed_joint_friction(radial_arch(0.107427)),
            2e-4,
            "the thickness is taken 1e-6 over the least one",
        )
    )
    least = needed_joint_friction(radial_arch(0.26))
    out.append(
        Check(
            "4 friction below which nothing stands",
            table,
            "read",
            0.309215,
            least,
            1e-4,
            "printed digits, joint spacing",
        )
    )
    out.append(
        Check(
            "4 thickness over radius there",
            table,
            "read",
            0.200637,
            least_thickness(radial_arch, 0.1, 0.26, least + 1e-7),
            5e-4,
            "flat near the threshold: friction 1e-7 over it",
        )
    )
    three = np.radians([0.0, 45.0, 90.0])
    out.append(
        Check(
            "5 Couplet: hinge fixed at 45 deg",
            "Couplet 1730 (memory)",
            "memory",
            0.101,
            least_thickness(lambda t: radial_arch(t, angles=three), 0.05, 0.2),
            5e-4,
            "printed digits; joints at 0, 45 and 90 deg only",
        )
    )
    for n, printed in ((3, 0.105099), (4, 0.100861), (10, 0.107460)):
        cut = np.linspace(0.0, math.pi / 2, n + 1)
        ours = least_thickness(lambda t, cut=cut: radial_arch(t, "true", cut), 0.05, 0.2)
        out.append(
            Check(
                f"5 {n} equal voussoirs a half",
                "computed for this project by another programme",
                "computed",
                printed,
                ours,
                1e-5,
                "two programmes",
            )
        )
    thin = stands(_catenary(0.002))
    out.append(
        Check(
            "11 a catenary 0.002 thick stands under its own weight (1 yes)",
            "Nikolic 2019",
            "abstract read",
            1.0,
            float(thin),
            0.0,
            "yes or no",
        )
    )
    return out
