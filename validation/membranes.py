"""Membrane theory of shells of revolution, derived with sympy (rows 8 to 10), and the centroid of a sector."""

from __future__ import annotations

import math

import sympy as sp
from scipy.integrate import quad
from scipy.optimize import brentq

from shellcheck_earth.loads.cases import Part

from .table import Check

__all__ = ["checks"]

TEXTS = "Fluegge; Timoshenko & Woinowsky-Krieger (memory); derived here with sympy"


def _meridian(radius: sp.Expr, angle: sp.Symbol, start: sp.Expr, lantern: sp.Expr | int = 0) -> sp.Expr:
    """N_phi of a sphere of unit weight per area from vertical equilibrium of the cap above: 2 pi r N sin = W."""
    a = sp.Symbol("alpha", positive=True)
    cap = (
        sp.integrate(2 * sp.pi * radius**2 * sp.sin(a), (a, start, angle))
        + 2 * sp.pi * radius * sp.sin(start) * lantern
    )
    return sp.simplify(cap / (2 * sp.pi * radius * sp.sin(angle) ** 2))


def _sphere() -> list[Check]:
    phi, start, lantern = sp.symbols("phi phi_0 P", positive=True)
    plain = _meridian(sp.Integer(1), phi, sp.Integer(0))
    hoop = sp.cos(phi) - plain  # N_theta = p_n R - N_phi, compression positive
    root = sp.nsolve(hoop, phi, 0.9, prec=20)
    change = math.degrees(float(root))
    out = [
        Check(
            "8 sphere: the ring force changes sign [deg]",
            TEXTS,
            "memory",
            51.827,
            change,
            1e-3,
            "printed digits",
            math.degrees(math.acos((math.sqrt(5) - 1) / 2)),
        ),
    ]
    closed = 1 / (1 + sp.cos(phi))
    oculus = (sp.cos(start) - sp.cos(phi)) / sp.sin(phi) ** 2
    for name, derived, text in (
        ("sphere", plain, closed),
        ("oculus", _meridian(sp.Integer(1), phi, start), oculus),
        (
            "lantern on an oculus",
            _meridian(sp.Integer(1), phi, start, lantern),
            oculus + lantern * sp.sin(start) / sp.sin(phi) ** 2,
        ),
    ):
        at = {phi: sp.Float(1.1), start: sp.Float(0.3), lantern: sp.Float(0.7)}
        numeric = quad(math.sin, 0.0 if name == "sphere" else 0.3, 1.1)[0] / math.sin(1.1) ** 2
        if name.startswith("lantern"):
            numeric += 0.7 * math.sin(0.3) / math.sin(1.1) ** 2
        out.append(
            Check(
                f"9 {name}: meridian force at 1.1 rad",
                TEXTS,
                "derived",
                None,
                float(derived.subs(at)),
                1e-9,
                "doubles; the closed form of the texts (memory) is the second method",
                float(text.subs(at)),
            )
        )
        out.append(
            Check(
                f"9 {name}: the same, integrated",
                TEXTS,
                "derived",
                None,
                float(derived.subs(at)),
                1e-9,
                "doubles",
                numeric,
            )
        )
    return out


def _cone() -> list[Check]:
    """A cone of half-angle 0.5 under its own unit weight, at slant length 2: N_s = s/(2 cos a)."""
    s, a = sp.symbols("s a", positive=True)
    weight = sp.integrate(2 * sp.pi * s * sp.sin(a), (s, 0, s))
    along = sp.simplify(weight / (2 * sp.pi * s * sp.sin(a) * sp.cos(a)))
    at = {s: 2, a: sp.Float(0.5)}
    numeric = quad(lambda t: 2 * math.pi * t * math.sin(0.5), 0, 2)[0] / (
        2 * math.pi * 2 * math.sin(0.5) * math.cos(0.5)
    )
    return [Check("9 cone: meridian force", TEXTS, "derived", None, float(along.subs(at)), 1e-9, "doubles", numeric)]


def _ogival(e: float) -> float:
    """Angle [deg] from the vertical at which the ring force of an ogive, centre -e, radius 1, is zero."""
    apex = math.asin(e)

    def hoop(phi: float) -> float:
        weight = quad(lambda u: 2 * math.pi * (math.sin(u) - e), apex, phi)[0]
        r = math.sin(phi) - e
        along = weight / (2 * math.pi * r * math.sin(phi))
        return r / math.sin(phi) * (math.cos(phi) - along)

    return math.degrees(brentq(hoop, apex + 0.2, math.pi / 2))


def _sector() -> list[Check]:
    r, ri, ro = sp.symbols("r r_i r_o", positive=True)
    x = sp.simplify(sp.integrate(r * r, (r, ri, ro)) / sp.integrate(r, (r, ri, ro)))
    part = Part(1.37, 1.79, 0.135, 18.9)
    return [
        Check(
            "centroid of a sector (sympy)",
            "derived here",
            "derived",
            None,
            part.moment / part.weight,
            1e-12,
            "doubles",
            float(x.subs({ri: sp.Float("1.37", 30), ro: sp.Float("1.79", 30)})),
        )
    ]


def checks() -> list[Check]:
    computed = "computed for this project by another programme"
    ogives = [
        Check(
            f"10 ogive e/a {e:g}: the ring force changes sign [deg]",
            computed,
            "computed",
            printed,
            _ogival(e),
            1e-3,
            "printed digits",
        )
        for e, printed in ((0.1, 55.201), (0.3, 61.212), (0.5, 66.883))
    ]
    return [*_sphere(), *_cone(), *ogives, *_sector()]
