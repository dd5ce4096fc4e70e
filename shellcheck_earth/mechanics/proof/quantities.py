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
SAID = {
    "length": {"foot": "ft", "feet": "ft", "'": "ft", "inch": "in", "inches": "in", '"': "in", "''": "in"},
    "density": {name: "lb/ft3" for name in ("pcf", "lbs/ft3", "lb/cu ft", "lbs/cu ft")},
    "weight": {name: "lbf/ft3" for name in ("lb/ft3", "lbs/ft3", "lb/cu ft", "lbs/cu ft")},
    "stress": {name: "psi" for name in ("lb/in2", "lbs/in2", "lbf/in2")}
    | {name: "psf" for name in ("lb/ft2", "lbs/ft2", "lbf/ft2")},
    "force": {"lb": "lbf", "lbs": "lbf", "pound": "lbf", "pounds": "lbf", "kips": "kip"},
    "line": {"lb/in": "lbf/in", "lbs/in": "lbf/in", "lb/ft": "lbf/ft", "lbs/ft": "lbf/ft"},
    "speed": {name: "in/h" for name in ("in/hr", "inch/h", "inches/h", "inches per hour")} | {"mm/hr": "mm/h"},
    "share": {"percent": "%", "per cent": "%"},
    "angle": {"degree": "deg", "degrees": "deg"},
    "duration": {"hour": "h", "hr": "h", "hrs": "h", "minute": "min", "minutes": "min", "seconds": "s"},
}
"""Units as people say them, each with its name above: pounds are a force where a force is asked for."""
PLAIN = re.compile(r"([+-]?(?:\d+(?:\.\d+)?|\.\d+)(?:[eE][+-]?\d{1,2})?) ?([A-Za-z%'\"][A-Za-z0-9/ '\"]*)", re.ASCII)
FRACTION = re.compile(r"(?:(\d{1,6})[ -])?(\d{1,4})/(\d{1,4}) ?([a-z]+|'{1,2}|\")", re.ASCII)
FEET = re.compile(r"(\d{1,6}) ?(?:ft|foot|feet|')[ -]?([0-9./ -]*[0-9]) ?(?:in|inch|inches|\"|'')", re.ASCII)
INCHES = re.compile(r"(\d{1,3}(?:\.\d+)?)|(?:(\d{1,3})[ -])?(\d{1,2})/(\d{1,3})", re.ASCII)
MARKS = {"\u2019": "'", "\u2032": "'", "\u201d": '"', "\u2033": '"'}


class RefusedError(Exception):
    """What was read is refused; the message says where, what was expected and what was found."""


def _unit(name: str, kind: str) -> Fraction | None:
    """What one of a unit is in SI; None for a name of no unit of this kind."""
    return UNITS[kind].get(SAID.get(kind, {}).get(name, name))


def _length(text: str) -> Fraction | None:
    """Fractions, mixed numbers, feet and inches; None for what is none of these."""
    if found := FRACTION.fullmatch(text):
        unit = _unit(found[4], "length")
        if unit is None or unit not in (FOOT, FOOT / 12) or not int(found[3]):
            return None
        return (int(found[1] or 0) + Fraction(int(found[2]), int(found[3]))) * unit
    if (found := FEET.fullmatch(text)) and (part := INCHES.fullmatch(found[2])):
        if part[4] and not int(part[4]):
            return None
        inches = Fraction(part[1]) if part[1] else int(part[2] or 0) + Fraction(int(part[3]), int(part[4]))
        return int(found[1]) * FOOT + inches * FOOT / 12 if inches < 12 else None
    return None


def quantity(raw: Any, kind: str, where: str) -> Fraction:
    """A value as written in a design file, exactly; RefusedError when it is not wholly understood."""
    if kind in ("share", "number", "whole") and isinstance(raw, int | Fraction) and not isinstance(raw, bool):
        return Fraction(raw)
    if isinstance(raw, str) and len(raw) <= 60:
        text = "".join(MARKS.get(letter, letter) for letter in raw)
        if kind == "length" and (value := _length(text)) is not None:
            return value
        if (found := PLAIN.fullmatch(text)) and (unit := _unit(found[2], kind)) is not None:
            return Fraction(found[1]) * unit
    raise RefusedError(f"{where}: expected a {kind} with its unit, found {ascii(raw)[:60]}")
