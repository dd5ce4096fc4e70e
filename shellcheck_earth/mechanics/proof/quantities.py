"""A value as a design file writes it, as an exact fraction in SI: the checker's own, standard library only."""

from __future__ import annotations

import re
from collections.abc import Mapping
from fractions import Fraction
from typing import Any

__all__ = ["PI", "RefusedError", "quantity"]

PI = Fraction("3.14159265358979323846264338327950288419716939937510582097494459")
FOOT, POUND, GRAVITY = Fraction("0.3048"), Fraction("0.45359237"), Fraction("9.80665")
LBF = POUND * GRAVITY / 1000
UNITS: Mapping[str, Mapping[str, Fraction]] = {
    "length": {"m": Fraction(1), "mm": Fraction(1, 1000), "cm": Fraction(1, 100), "ft": FOOT, "in": FOOT / 12},
    "density": {"kg/m3": Fraction(1), "t/m3": Fraction(1000), "g/cm3": Fraction(1000), "lb/ft3": POUND / FOOT**3},
    "weight": {"kN/m3": Fraction(1), "lbf/ft3": LBF / FOOT**3, "pcf": LBF / FOOT**3},
    "stress": {
        "kPa": Fraction(1), "Pa": Fraction(1, 1000), "MPa": Fraction(1000), "kN/m2": Fraction(1),
        "psi": 144 * LBF / FOOT**2, "psf": LBF / FOOT**2, "ksf": 1000 * LBF / FOOT**2,
    },
    "force": {"kN": Fraction(1), "N": Fraction(1, 1000), "lbf": LBF, "kip": 1000 * LBF},
    "line": {"kN/m": Fraction(1), "N/mm": Fraction(1), "lbf/in": 12 * LBF / FOOT, "lbf/ft": LBF / FOOT},
    "speed": {"m/s": Fraction(3600), "mm/h": Fraction(1, 1000), "cm/h": Fraction(1, 100), "in/h": FOOT / 12},
    "share": {"%": Fraction(1, 100)},
    "angle": {"rad": Fraction(1), "deg": PI / 180},
    "duration": {
        "h": Fraction(1), "hours": Fraction(1), "min": Fraction(1, 60), "s": Fraction(1, 3600),
        "days": Fraction(24), "day": Fraction(24),
    },
    "number": {},
    "whole": {},
}  # fmt: skip
PLAIN = re.compile(r"([+-]?(?:\d+(?:\.\d+)?|\.\d+)(?:[eE][+-]?\d{1,2})?) ?([A-Za-z%][A-Za-z0-9/]*)", re.ASCII)
FRACTION = re.compile(r"(?:(\d{1,6})[ -])?(\d{1,4})/(\d{1,4}) ?(ft|in)", re.ASCII)
FEET = re.compile(r"(\d{1,6}) ?ft (\d{1,3}(?:\.\d+)?)(?: (\d{1,2})/(\d{1,3}))? ?in", re.ASCII)


class RefusedError(Exception):
    """What was read is refused; the message says where, what was expected and what was found."""


def quantity(raw: Any, kind: str, where: str) -> Fraction:
    """A value as written in a design file, exactly; RefusedError when it is not wholly understood."""
    if kind in ("share", "number", "whole") and isinstance(raw, int | Fraction) and not isinstance(raw, bool):
        return Fraction(raw)
    if isinstance(raw, str) and len(raw) <= 60:
        if kind == "length":
            if found := FRACTION.fullmatch(raw):
                if int(found[3]):
                    return (int(found[1] or 0) + Fraction(int(found[2]), int(found[3]))) * UNITS["length"][found[4]]
            elif found := FEET.fullmatch(raw):
                inches = Fraction(found[2])
                if found[3] and int(found[4]) and "." not in found[2]:
                    inches += Fraction(int(found[3]), int(found[4]))
                if inches < 12 and not (found[3] and (not int(found[4]) or "." in found[2])):
                    return int(found[1]) * FOOT + inches * FOOT / 12
        if (found := PLAIN.fullmatch(raw)) and found[2] in UNITS[kind]:
            return Fraction(found[1]) * UNITS[kind][found[2]]
    raise RefusedError(f"{where}: expected a {kind} with its unit, found {ascii(raw)[:60]}")
