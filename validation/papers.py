"""What was read in tables, abstracts and articles, against the values in use; `basics/evidence.toml` has the words.

Only the rows of Lau 2006 ask the mechanics; the others hold that a value in use is what its table prints, or does not
lie on the favourable side of it. A source's own scatter stands in the last column but one, where it states one.
"""

from __future__ import annotations

import math
from typing import Literal

import numpy as np
from scipy import stats

from shellcheck_earth.basics.units import parse_quantity
from shellcheck_earth.basics.values import Sourced, default, fixed, ground_class
from shellcheck_earth.loads.confinement import fabric_tension_left
from shellcheck_earth.loads.site_tests.fractile import fractile_factor, fractile_factors
from validation.joints import Joints, least_thrust
from validation.lunes import radial_dome

from .table import Check

__all__ = ["checks"]

PSF = 4.4482216 / 0.3048**2 / 1000.0
"""kPa in a pound-force a square foot."""

EMBRACES = (30, 40, 50, 60, 70, 80, 90)
"""Half-embraces of the caps [deg] through which the straight line is drawn."""


def _number(row: Sourced, end: Literal["value", "low", "high"] = "value") -> float:
    dimension = "number" if row.dimension == "count" else row.dimension
    text = getattr(row, end)
    raw: object = float(text) if dimension == "number" else text
    return parse_quantity(raw, dimension)  # type: ignore[arg-type]


def _fractiles() -> list[Check]:
    """Table D.1 as transcribed, against the factor in use and the quantile of Student's t."""
    printed = {3: 3.37, 4: 2.63, 5: 2.33, 6: 2.18, 8: 2.00, 10: 1.92, 20: 1.76}
    return [
        Check(
            f"k_n of {n} tests",
            "EN 1990 Annex D, Table D.1, in a transcription",
            "read",
            printed[n],
            fractile_factor(n),
            0.0,
            "the printed digits; a second way is t(95 %, n - 1) sqrt(1 + 1/n)",
            float(stats.t.ppf(0.95, n - 1) * math.sqrt(1 + 1 / n)),
        )
        for n in fractile_factors()
    ]


def _ground() -> list[Check]:
    printed = {"rock": 12000, "sedimentary": 4000, "gravel": 3000, "sand": 2000, "clay": 1500}
    where = "International Building Code Table 1806.2 (2012), as quoted"
    out = [
        Check(
            f"allowable pressure on {name} [lb/ft2]",
            where,
            "read",
            float(pressure),
            _number(ground_class(name)) / PSF,
            0.005 * pressure,
            "the value in use is rounded to whole kPa",
        )
        for name, pressure in printed.items()
    ]
    friction = float(ground_class("clay").extra["friction"])
    out.append(
        Check(
            "cohesion of clay, spent as friction at the full pressure [lb/ft2]",
            where,
            "read",
            130.0,
            friction * _number(ground_class("clay")) / PSF,
            1.5,
            "0.086 is rounded down",
        )
    )
    return out


def _not_favourable() -> list[Check]:
    """Yes or no: the value in use does not lie on the favourable side of what was read."""
    fabric = _number(default("building.fabric_loss"), "high")
    density = default("fill.dry_density")
    asked = (
        ("a face dries no faster, cool and damp, than grass at 1 mm a day", "FAO 56, Table 2, p. 8",
         fixed("drying.cool_and_damp") <= 0.001, "range 1 to 2 mm"),
        ("a face dries no faster, temperate, than grass at 2 mm a day", "FAO 56, Table 2, p. 8",
         fixed("drying.temperate") <= 0.002, "range 2 to 4 mm"),
        ("a face dries no faster, hot and dry, than grass at 6 mm a day", "FAO 56, Table 2, p. 8",
         fixed("drying.hot_and_dry") <= 0.006, "range 6 to 9 mm"),
        ("the range of the loss in the sun covers 25 % in a week", "a maker's article",
         fabric_tension_left(1.0, 7.0, fabric) <= 0.75, "no scatter stated"),
        ("the range of the loss in the sun covers 40 % in two weeks", "a maker's article",
         fabric_tension_left(1.0, 14.0, fabric) <= 0.60, "no scatter stated"),
        ("the range of dry density lies within 1440 to 2210 kg/m3", "Burroughs 2001, abstract",
         _number(density, "low") >= 1440 and _number(density, "high") <= 2210, "230 specimens, mean 1860"),
        ("barbed wire is counted at no more than 4230 N before its share", "ASTM A121, as a maker's table retells it",
         _number(default("beds.wire_breaking_load")) <= 4.23, "a least value, no scatter stated"),
        ("one tilt may be off by more than means of 20 to 50 tilts of granite", "Jang et al. 2018, abstract",
         fixed("tests.single_tilt") >= math.radians(2.0), "2 degrees; sandstone 3"),
    )  # fmt: skip
    return [
        Check(f"{what} (1 yes)", where, "read", 1.0, float(holds), 0.0, f"yes or no; {why}")
        for what, where, holds, why in asked
    ]


def _soil() -> list[Check]:
    where = "Rawls, Brakensiek & Miller 1983, Table 2, p. 67, in a transcription"
    return [
        Check(
            "suction of clay loam [cm]", where, "read", 20.88, 100 * _number(default("fill.suction_head")), 0.2,
            "the value in use is rounded",
        ),
        Check(
            "conductivity of clay loam [cm/h]", where, "read", 0.10,
            360000 * _number(default("fill.hydraulic_conductivity")), 1e-9, "as printed",
        ),
    ]  # fmt: skip


def _cap(eta: float, embrace: float, joints: int = 90) -> Joints:
    """The top of a hemisphere down to `embrace` [deg] from the crown."""
    whole = radial_dome(eta, 0.0, True, joints)
    n = min(1 + round(embrace / 90 * joints), len(whole.vertical))
    return Joints(
        whole.inner[:n], whole.outer[:n], whole.vertical[:n], whole.moment[:n], whole.ring_level[:n], crown_thrust=False
    )


def _line(eta: float) -> tuple[float, float]:
    """Slope [1/rad] and intercept of the straight line through the least thrusts over weight of caps."""
    shares = []
    for embrace in EMBRACES:
        cap = _cap(eta, embrace)
        shares.append(least_thrust(cap) / cap.vertical[-1])
    slope, intercept = np.polyfit(np.radians(EMBRACES), shares, 1)
    return float(slope), float(intercept)


def _lau() -> list[Check]:
    """Least thrust of spherical caps with ring compression and no ring tension. The abstract gives a straight line over
    the embrace and no thickness: ours is at t/R 0.08, and the tolerance is what 0.05 to 0.15 does to it."""
    where = "Lau 2006, thesis, abstract: -0.583 alpha + 1.123"
    (slope, intercept), hemisphere = _line(0.08), _cap(0.08, 90)
    why = "an estimate; thickness not in the abstract, ours at t/R 0.08; {} at 0.05 and {} at 0.15"
    return [
        Check("caps: slope of least thrust over weight [1/rad]", where, "abstract read", -0.583, slope, 0.1,
              why.format("-0.68", "-0.43")),
        Check("caps: the same line at no embrace", where, "abstract read", 1.123, intercept, 0.15,
              why.format("1.23", "0.82")),
        Check("hemisphere: least thrust over weight", where, "abstract read", -0.583 * math.pi / 2 + 1.123,
              least_thrust(hemisphere) / hemisphere.vertical[-1], 0.03, why.format("0.234", "0.176")),
    ]  # fmt: skip


def checks() -> list[Check]:
    return [*_fractiles(), *_ground(), *_soil(), *_not_favourable(), *_lau()]
