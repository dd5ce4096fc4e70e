"""Mechanisms of arches and lunes with joints that are not level: by hand, by virtual work, and where the source puts
the hinges.
"""

from __future__ import annotations

import math

import numpy as np
import pytest

from validation.arches import radial_arch
from validation.joints import Joints, joint_collapse, least_thickness


def block(x_g: float, slope: float = 0.0) -> Joints:
    """10 kN at x_g on one joint 0.4 m long from (1, 0), rising outward by `slope` [rad]; nothing comes from above."""
    end = [1 + 0.4 * math.cos(slope), 0.4 * math.sin(slope)]
    return Joints(
        np.array([[1.0, 0.0]]),
        np.array([end]),
        np.array([10.0]),
        np.array([10.0 * x_g]),
        np.array([math.nan]),
        crown_thrust=False,
    )


def test_a_block_beside_its_joint_turns_about_the_inner_end() -> None:
    c = joint_collapse(block(0.9))
    assert c is not None and c.hinge_inner[0] == pytest.approx(1 / 0.4) and c.theta[0] == -c.hinge_inner[0]
    assert c.weights == pytest.approx(10 * 0.1 / 0.4)
    assert joint_collapse(block(1.1)) is None


def test_a_block_on_an_incline_slides_down_it_and_rises_from_it() -> None:
    slope, mu = math.atan(0.3), 0.2
    c = joint_collapse(block(1.2, slope), mu)
    assert c is not None and c.slip_inward[0] == 1.0 and c.slip_outward[0] == c.hinge_inner[0] == c.hinge_outer[0] == 0
    # Down the incline by 1 and off it by mu: (-cos, -sin) + mu (-sin, cos).
    assert c.u[0] == pytest.approx(-math.cos(slope) - mu * math.sin(slope), rel=1e-12)
    assert c.w[0] == pytest.approx(-math.sin(slope) + mu * math.cos(slope), rel=1e-12)
    assert c.weights == pytest.approx(10 * (math.sin(slope) - mu * math.cos(slope)), rel=1e-12)
    assert joint_collapse(block(1.2, slope), 0.35) is None


def arch_of(n: int):
    return lambda eta: radial_arch(eta, angles=np.linspace(0.0, math.pi / 2, n + 1))


def at_the_limit(shape, low, high, friction=None):
    """Least thickness by the sign of the relaxation, which follows the thickness straight: two secants leave rounding
    only.
    """
    a = least_thickness(shape, low, high, friction)
    b = a * (1 - 1e-5)
    for _ in range(2):
        ca, cb = joint_collapse(shape(a), friction), joint_collapse(shape(b), friction)
        if ca is None or cb is None or ca.relaxation == cb.relaxation:
            break
        a, b = a - ca.relaxation * (b - a) / (cb.relaxation - ca.relaxation), a
    found = joint_collapse(shape(a), friction)
    assert found is not None
    return a, found


def test_the_semicircular_arch_hinges_where_the_source_puts_them() -> None:
    """Cocchetti & Rizzi 2020 p. 360 Eq. 4 (read): crown outside, 54.496 deg inside, springing outside; n = 180
    joints, half a degree.
    """
    eta, c = at_the_limit(arch_of(180), 0.05, 0.2)
    assert eta == pytest.approx(0.107426, abs=1e-5)
    assert list(np.flatnonzero(c.hinge_outer > 1e-9)) == [0, 180] and list(np.flatnonzero(c.hinge_inner > 1e-9)) == [
        109
    ]
    assert pytest.approx(54.496, abs=0.5) == 109 * 0.5
    assert not c.slip_outward.any() and not c.slip_inward.any()
    # Virtual work, beside the largest of its terms.
    assert abs(c.weights) <= 1e-9 * c.largest_work
    # The crown of half an arch neither moves sideways nor turns, it comes down; the haunch goes out.
    assert c.u[0] == pytest.approx(0, abs=1e-9) and c.w[0] < 0 < c.u[109]
    assert c.theta[0] == pytest.approx(0, abs=1e-9)
    # Rotations at the hinges of a closed chain with a plane of symmetry add to nothing.
    assert c.hinge_outer[0] + c.hinge_outer[180] == pytest.approx(c.hinge_inner[109], rel=1e-9)


def test_less_friction_makes_the_springing_slide() -> None:
    eta, c = at_the_limit(arch_of(180), 0.1, 0.26, 0.36)
    assert eta > 0.1075 and c.slip_outward[180] > 0 and c.hinge_outer[180] == 0
    assert abs(c.weights) <= 1e-9 * c.largest_work
    # By hand, where it slides on a level joint by 1 and rises by mu.
    assert c.u[180] == pytest.approx(c.slip_outward[180]) and c.w[180] == pytest.approx(
        0.36 * c.slip_outward[180], rel=1e-9
    )


def test_relative_motion_is_what_the_multipliers_say() -> None:
    joints = arch_of(60)(0.09)
    c = joint_collapse(joints, 0.38)
    assert c is not None and c.weights > 0
    d = (joints.outer - joints.inner) / np.hypot(*(joints.outer - joints.inner).T)[:, None]
    for k in range(len(c.r)):
        for end in (joints.inner[k], joints.outer[k]):

            def motion(body: int, place=end):
                if body == len(c.r):
                    return np.zeros(2)
                return np.array(
                    [
                        c.u[body] + c.theta[body] * (place[1] - c.z[body]),
                        c.w[body] - c.theta[body] * (place[0] - c.r[body]),
                    ]
                )

            jump = motion(k) - motion(k + 1)
            normal = np.array([-d[k, 1], d[k, 0]])
            slip = c.slip_outward[k] + c.slip_inward[k]
            gap = (
                c.hinge_inner[k] * math.dist(end, joints.inner[k])
                + c.hinge_outer[k] * math.dist(end, joints.outer[k])
                + 0.38 * slip
            )
            assert jump @ d[k] == pytest.approx(c.slip_outward[k] - c.slip_inward[k], abs=1e-9)
            assert jump @ normal == pytest.approx(gap, abs=1e-9)
