"""The sweeps' second method by hand, the mechanism's angles shown able to differ, and the chart's bytes."""

from __future__ import annotations

import math
from xml.etree import ElementTree

import numpy as np
import pytest

from validation import sweeps
from validation.arches import radial_arch
from validation.joints import Joints


def test_bounds_find_a_lintel_by_hand() -> None:
    """Half a flat arch of 1 m and depth t: 1 kN at 0.5 m; the thrust rises by 0.5 kN m = H t, of any size: so any
    depth will do.
    """

    def lintel(t: float) -> Joints:
        ends = np.array([[0.0, 0.0], [1.0, 0.0]])
        return Joints(ends, ends + np.array([0.0, t]), np.array([0.0, 1.0]), np.array([0.0, 0.5]), np.full(2, math.nan))

    # The search looks at H up to 5 times the weight: 0.5 = 5 t gives t = 0.1.
    assert sweeps._by_bounds(lintel, 0.01, 0.3) == pytest.approx(0.1, rel=1e-6)


def test_lunes_weigh_what_the_shell_weighs() -> None:
    joints = sweeps.oculus_lunes(30.0)(0.1)
    high, low = 1.05, 0.95
    # One radian of a zone of a hollow sphere: (r2^3 - r1^3)/3 times the height of the zone, cos 30 deg.
    assert joints.vertical[-1] == pytest.approx((high**3 - low**3) / 3 * math.cos(math.radians(30)), rel=1e-12)
    phi = np.linspace(math.radians(30), math.pi / 2, 20_001)
    assert joints.moment[-1] == pytest.approx(np.trapezoid((high**4 - low**4) / 4 * np.sin(phi) ** 2, phi), rel=1e-8)


def test_another_arch_hinges_elsewhere() -> None:
    """Half-embrace 60 deg: the inner hinge cannot be at 54.5 deg, so the check of the semicircle is able to fail."""

    def shape(eta: float) -> Joints:
        return radial_arch(eta, angles=np.linspace(0.0, math.radians(60), 121))

    inner, outer, slips, _ = sweeps._hinges(shape, 0.0225)
    assert len(inner) == 1 and abs(inner[0] - 54.496) > 5 and outer == pytest.approx([0.0, 60.0]) and not slips
    assert sweeps._hinges(shape, 0.05)[0] == []  # it stands


def test_the_chart_is_the_same_bytes_and_well_formed(monkeypatch: pytest.MonkeyPatch) -> None:
    for name, at in (("_embraces", sweeps.EMBRACES), ("_frictions", sweeps.FRICTIONS), ("_openings", sweeps.OPENINGS)):
        monkeypatch.setattr(sweeps, name, lambda at=at: tuple(0.01 * (1 + k) for k in range(len(at))))
    monkeypatch.setattr(sweeps, "_pointed", lambda _: tuple(0.1 + 0.01 * k for k in range(len(sweeps.POINTED))))
    first = sweeps.sweeps_svg()
    assert first == sweeps.sweeps_svg()
    assert ElementTree.fromstring(first).tag.endswith("svg") and "nan" not in first.replace("DejaVu", "")
