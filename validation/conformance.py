"""Problems of equilibrium as data, each with the interval its answer must lie in and the exact proof of both ends.

Anyone's solver can be held to them: `problems()` reads the data, `hold` asks a solver. A problem is one radian of a
dome (arrays from the top course down, as in DEVELOPERS.md, "Equilibrium of a lune") and one question: the least share x
of a capacity that leaves a thrust line. `enough` is a line at the upper end, `not_enough` excludes every line at the
lower end; both are checked in whole numbers by the checker, so that the interval rests on no solver. Run as a module it
prints the table; with `--write` it makes the data again.
"""

from __future__ import annotations

import json
import math
import sys
from collections.abc import Callable
from dataclasses import dataclass, fields
from fractions import Fraction
from pathlib import Path
from typing import Any

import numpy as np

from shellcheck_earth.mechanics.proof.certify import beds_of, find_line
from shellcheck_earth.mechanics.proof.exclude import find_none
from shellcheck_earth.mechanics.proof.rebuild import Question
from shellcheck_earth.mechanics.proof.statics import line_fault, none_fault
from shellcheck_earth.mechanics.rings.admissible import pack
from shellcheck_earth.mechanics.rings.capacity import CONTACT, FRICTION, HALF_WIDTH, STRENGTH, WIRE, least_capacity
from shellcheck_earth.mechanics.rings.lune import Lune

__all__ = ["FOLDER", "Problem", "hold", "polygon_method", "problems", "proof_faults"]

FOLDER = Path(__file__).parent / "conformance"
SLOTS = {
    "friction": (FRICTION,),
    "strength": (STRENGTH,),
    "wire": (WIRE,),
    "contact": (CONTACT,),
    "everything": (FRICTION, STRENGTH, WIRE, HALF_WIDTH),
}
"""What the share multiplies: friction and cohesion of beds; strength of beds and rings; tension; the part of each bed's
half-width that the line may use; or all of them with the beds themselves narrowed."""


@dataclass(frozen=True)
class Problem:
    """`low`, `high`: the least share of `capacity` that leaves a line lies between them."""

    name: str
    about: str
    lune: Lune
    capacity: str
    low: float
    high: float
    enough: dict[str, Any]
    not_enough: dict[str, Any]


def asked(capacity: str, share: float) -> Question:
    """The question at one share, exactly as the number is written."""
    x = Fraction(share)
    if capacity == "everything":
        return Question(capacity, friction=x, cohesion=x, strength=x, wire=x, width=x)
    if capacity == "friction":
        return Question(capacity, friction=x, cohesion=x)
    return Question(capacity, **{capacity: x})


def problems() -> tuple[Problem, ...]:
    """Every problem of the folder, by name."""
    return tuple(_read(json.loads(path.read_text(encoding="utf-8"))) for path in sorted(FOLDER.glob("*.json")))


def _read(data: dict[str, Any]) -> Problem:
    columns = {key: np.array([math.inf if v == "inf" else v for v in column]) for key, column in data["lune"].items()}
    low, high = data["least_share_between"]
    return Problem(
        data["name"], data["about"], Lune(**columns), data["capacity"], low, high, data["enough"], data["not_enough"]
    )


def proof_faults(problem: Problem) -> tuple[str, str]:
    """What is wrong with the proof of the upper and of the lower end; ("", "") when both hold."""
    beds = beds_of(problem.lune)
    return (
        line_fault(beds, [asked(problem.capacity, problem.high)], problem.enough),
        none_fault(beds, asked(problem.capacity, problem.low), problem.not_enough),
    )


def polygon_method(lune: Lune, capacity: str) -> float:
    """This program's own answer: the exact set, bisected."""
    edge = least_capacity(pack(lune), SLOTS[capacity], 1e-3, 1.0 if capacity == "contact" else 1e3)
    return math.nan if edge.value is None else edge.value


def hold(solver: Callable[[Lune, str], float]) -> tuple[tuple[Problem, float, bool], ...]:
    """(problem, the solver's answer, whether it lies in the interval) for every problem."""
    out = []
    for problem in problems():
        answer = solver(problem.lune, problem.capacity)
        out.append((problem, answer, problem.low <= answer <= problem.high))
    return tuple(out)


# -- making the data -----------------------------------------------------------------------------------------------


def _two(step: float, **more: float) -> Lune:
    """Two courses of 10 kN at mid-width, 0.4 m wide and 0.2 m high, the upper one `step` further in, each on a bed
    under all of its own width."""
    low, one = np.array([2.0, 2.0 + step]), np.ones(2)
    return Lune(
        number=np.array([2.0, 1.0]),
        z_bottom=np.array([0.2, 0.0]),
        z_top=np.array([0.4, 0.2]),
        weight=10 * one,
        moment=10.0 * (low + 0.2),
        bed_inner=low,
        bed_outer=low + 0.4,
        crush_inner=more.get("crush", math.inf) * one,
        crush_outer=more.get("crush", math.inf) * one,
        wet_from=low + 0.4,
        friction=more.get("friction", 1.0) * one,
        cohesion=0 * one,
        ring_strength=np.array([more.get("ring", 0.0), 0.0]),
        ring_depth=np.array([0.4, 0.0]),
        wire=np.array([more.get("wire", 0.0), 0.0]),
    )


def _dome(inside: float, width: float, height: float, **more: float) -> Lune:
    """A pointed dome of level courses, pivot on the outer face; 18 kN/m3, an opening of 0.3 m (m, kN, kPa)."""
    length, a = inside + width, inside / 2 + width
    n = int(math.sqrt(length**2 - (a + 0.15) ** 2) / height + 0.5)
    r = np.array([math.sqrt(length**2 - ((i + 0.5) * height) ** 2) - a for i in range(n)])
    under, one, z = np.concatenate([r[:1], r[:-1]]), np.ones(n), np.arange(n) * height
    rho, wet = more.get("rounding", 0.0), more.get("wet", 0.0)
    outer = np.minimum(r, under) + width - rho
    columns = {
        "number": np.arange(1, n + 1),
        "z_bottom": z,
        "z_top": z + height,
        "weight": 18.0 * height * ((r + width) ** 2 - r**2) / 2,
        "moment": 18.0 * height * ((r + width) ** 3 - r**3) / 3,
        "bed_inner": np.maximum(r, under) + rho,
        "bed_outer": outer,
        "crush_inner": more["strength"] * one,
        "crush_outer": more.get("strength_wet", more["strength"]) * one,
        "wet_from": outer - wet,
        "friction": more.get("friction", 0.5) * one,
        "cohesion": 0 * one,
        "ring_strength": np.where(z > 0, more["strength"], 0.0),
        "ring_depth": np.where(z > 0, width - wet, 0.0),
        "wire": np.where(z > 0, more.get("wire", 0.0), 0.0),
    }
    return Lune(**{name: np.asarray(column, dtype=np.float64)[::-1] for name, column in columns.items()})


def _drafts() -> tuple[tuple[str, str, Lune, str], ...]:
    strong, soft = {"strength": 5000.0, "friction": 1.0}, {"rounding": 0.03, "wire": 2.0}
    square, slender = _dome(4.0, 0.45, 0.15, **strong), _dome(4.0, 0.305, 0.105, **strong)
    wired = _dome(4.0, 0.45, 0.15, wire=2.0, **strong)
    fresh = _dome(3.6, 0.385, 0.135, strength=100.0, **soft)
    wet = _dome(3.6, 0.385, 0.135, strength=300.0, strength_wet=20.0, wet=0.06, **soft)
    dry = _dome(3.6, 0.385, 0.135, strength=500.0, **soft)
    held = "By hand: mean weight at 2.45 m, the lower bed from 2.5 m: 20 x 0.05 = 0.4 C, C = 2.5 kN on 10 kN."
    pier = "By hand: a block from 2 m to c with its centroid at 2.2 m, c = 2.3885 m, 20 kN: 23.46 of 100 kPa."
    leaning = "By hand: mean weight 0.05 m beyond the lower bed: 20 x 0.05 = 0.2 T, T = 5 of 8 kN."
    return (
        ("01-overhang-held-by-its-ring", held, _two(0.5, ring=math.inf), "friction"),
        ("02-leaning-out-held-by-its-wire", leaning, _two(-0.5, wire=8.0), "wire"),
        (
            "03-pier",
            pier,
            _two(0.0, crush=100.0),
            "strength",
        ),
        ("04-dome-4-m-friction", "450 x 150 mm courses, strong fill, no wire.", square, "friction"),
        ("05-slender-dome-4-m-friction", "The same of 305 x 105 mm courses.", slender, "friction"),
        ("06-dome-4-m-friction-with-wire", "The same with 2 kN of wire in every bed.", wired, "friction"),
        ("07-dome-4-m-contact", "The part of every half-width that the line needs.", square, "contact"),
        ("08-fresh-dome-strength", "3.6 m, 385 x 135 mm courses with rounded edges, 100 kPa, wire.", fresh, "strength"),
        ("09-wet-dome-strength", "The same of 300 kPa, its outer 60 mm wet and of 20 kPa.", wet, "strength"),
        ("10-dome-reserve", "The same, dry, of 500 kPa: every capacity and every bed together.", dry, "everything"),
    )


def _write() -> None:
    FOLDER.mkdir(exist_ok=True)
    for name, about, lune, capacity in _drafts():
        value, beds = polygon_method(lune, capacity), beds_of(lune)
        # The polygon's chords lie inside what a ring can do: the true answer may be a few per cent less.
        spreads = (1e-4, 1e-3, 5e-3, 2e-2, 5e-2)
        lows = (round(value * (1 - spread), 7) for spread in spreads)
        low, none = next((x, found) for x in lows if (found := find_none(beds, asked(capacity, x))))
        highs = (round(value * (1 + spread), 7) for spread in spreads)
        high, enough = next((x, found) for x in highs if (found := find_line(beds, [asked(capacity, x)])))
        columns = {
            one.name: ["inf" if math.isinf(v) else float(v) for v in getattr(lune, one.name)] for one in fields(Lune)
        }
        data = {"format": 1, "name": name, "about": about, "capacity": capacity, "least_share_between": [low, high]}
        data |= {"lune": columns, "enough": enough, "not_enough": none}
        (FOLDER / f"{name}.json").write_text(json.dumps(data, indent=1) + "\n", encoding="utf-8")


def main() -> None:
    """Print what the polygon method says of each problem, and whether the proofs hold."""
    if "--write" in sys.argv:
        _write()
    for problem, answer, inside in hold(polygon_method):
        proofs = "proven" if proof_faults(problem) == ("", "") else "NOT PROVEN"
        where = "in" if inside else "OUT"
        print(f"{problem.name:36} {problem.low:.6f} to {problem.high:.6f}  {answer:.6f}  {where:3}  {proofs}")


if __name__ == "__main__":
    main()
