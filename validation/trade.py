"""Facts of the trade (common practice, no source): filled sizes, weights, the rule of thumb, where the danger is
(rows 16, 20, 21).
"""

from __future__ import annotations

import math
from fractions import Fraction
from functools import cache
from pathlib import Path

import numpy as np

from shellcheck_earth.design.design import Design
from shellcheck_earth.design.file import read_document
from shellcheck_earth.design.keys import set_key
from shellcheck_earth.geometry.reading import design_from_document, parse_design
from shellcheck_earth.safety.check import check
from shellcheck_earth.safety.result import Result
from validation.joints import Joints, stands

from .table import Check

__all__ = ["checks"]

PRACTICE = "common practice, no source"
REPORTS = Path(__file__).parents[1] / "reports"


def _corbel(blocks: int, overhang: float) -> Joints:
    """Blocks of length 1, each over the one below by its share of `overhang`; level joints, no thrust."""
    shares = np.array([1.0 / (2 * k) for k in range(1, blocks + 1)])
    step = shares * overhang / shares.sum()
    tip = -np.concatenate([[0.0], np.cumsum(step)])  # far end of each block (the last entry is the table's edge)
    inner = np.column_stack([-tip[1:], -np.arange(blocks)])
    outer = np.column_stack([-tip[1:] + 1.0, -np.arange(blocks)])
    centre = -tip[:-1] + 0.5
    n = np.arange(1, blocks + 1)
    return Joints(inner, outer, n.astype(float), np.cumsum(centre), np.full(blocks, math.nan), crown_thrust=False)


def _overhang(blocks: int) -> float:
    low, high = 0.0, 3.0
    for _ in range(50):
        middle = (low + high) / 2
        low, high = (middle, high) if stands(_corbel(blocks, middle)) else (low, middle)
    return low


@cache
def _assessed(name: str) -> Result:
    document = read_document(REPORTS / name / "design.toml")
    document.pop("opening", None)
    document["site"] = {k: v for k, v in document["site"].items() if k not in ("wind_pressure", "earthquake")}
    return check(design_from_document(document), proofs=False, explore=False, blocks=False)


def _rule(share: float) -> Design:
    base = read_document(REPORTS / "garden-classroom" / "design.toml")
    width = share * 3.6
    document = set_key(set_key(base, "wall.filled_width", f"{width:.4f} m"), "wall.flat_width", f"{width + 0.08:.4f} m")
    document.pop("opening", None)
    for key in ("wind_pressure", "earthquake"):
        document["site"].pop(key, None)
    return design_from_document(document)


def checks() -> list[Check]:
    out = []
    for blocks in (1, 4, 10):
        exact = float(sum(Fraction(1, 2 * k) for k in range(1, blocks + 1)))
        out.append(
            Check(
                f"16 corbel of {blocks} blocks: overhang over length",
                "any statics text; exact sum",
                "derived",
                None,
                _overhang(blocks),
                1e-8,
                "tolerance of the linear programme",
                exact,
            )
        )
    for flat, width, height in ((550, 450, 150), (450, 385, 135), (350, 305, 105), (250, 210, 85)):
        text = (
            f'[dome]\ninside_diameter = "4 m"\n[wall]\nflat_width = "{flat} mm"\ncourse_height = "{height}'
            ' mm"\nedge_rounding = "10 mm"\n'
        )
        ours = 1000 * parse_design(text).wall.filled_width
        out.append(
            Check(
                f"20 flat tube {flat} mm filled to {height} mm: width [mm]",
                PRACTICE,
                "common practice",
                width,
                ours,
                0.06 * width,
                "6 %, as the reference states",
            )
        )
    for name, tonnes in (("tool-store", 15.0), ("garden-classroom", 28.0), ("slender-hall", 41.0)):
        ours = _assessed(name).totals.weight / 9.80665
        out.append(
            Check(
                f"21 weight of the {name} [t]",
                "ring volumes by hand; the trade says 10, 20 and 30 t and more",
                "computed",
                None,
                ours,
                4.0,
                "the hand value is rounded, plaster guessed",
                recomputed=tonnes,
            )
        )
    dry = _assessed("garden-classroom").case("finished-dry")
    course, top = dry.governs["needed_bed_friction_no_wire"], dry.stage
    out.append(
        Check(
            "top third: without wire the bed that slides first lies above two thirds (1 yes)",
            PRACTICE,
            "common practice",
            1.0,
            float(course > 2 * top / 3),
            0.0,
            f"yes or no; it is the bed under course {course} of {top}",
        )
    )
    thin, thick = (
        check(_rule(share), proofs=False, explore=False, blocks=False).case("finished-dry") for share in (0.07, 0.10)
    )
    needed = [case.needed_bed_friction_no_wire or math.inf for case in (thin, thick)]
    out.append(
        Check(
            "rule of thumb: a wall of 7 % needs more friction than one of 10 % (1 yes)",
            PRACTICE,
            "common practice",
            1.0,
            float(needed[0] > needed[1]),
            0.0,
            f"without wire {needed[0]:.2f} against {needed[1]:.2f}",
        )
    )
    return out
