"""The numbers of a dome that settles as JSON and CSV, and their chart."""

from __future__ import annotations

import csv
import io
import json

from shellcheck_earth.design.digest import design_sha256
from shellcheck_earth.studies.settle.lean import Lean
from shellcheck_earth.studies.settle.soaked import Soaked
from shellcheck_earth.studies.settle.study import Reached, Settling, Short
from shellcheck_earth.views.figures.settle import settle_svg
from shellcheck_earth.views.text.language import Words, speaking
from shellcheck_earth.views.text.settle import LEFT_OUT, NO_VERDICT, settle_words

__all__ = ["UNITS", "settle_csv", "settle_files", "settle_json"]

FORMAT = 1

UNITS = {
    "shortening": "share_of_height",
    "opened rings": "rings",
    "spread": "m",
    "spread, no wire": "m",
    "beds askew": "rad",
    "lasting load": "share_of_strength",
}
"""What an amount of each movement is counted in."""


def _rounded(value: float | None) -> float | None:
    return None if value is None else float(f"{value:.6g}")


def _short(short: Short | None) -> dict[str, object] | None:
    return None if short is None else {"check": short.check, "case": short.case_id, "course": short.course}


def _reached(one: Reached) -> dict[str, object]:
    return {
        "movement": one.kind,
        "unit": UNITS[one.kind],
        "looked_up_to": _rounded(one.most),
        "margins_met_up_to": _rounded(one.meets_to),
        "a_line_left_up_to": _rounded(one.stands_to),
        "then_short_of": _short(one.first),
        "overall_reserve": [[_rounded(amount), _rounded(reserve)] for amount, reserve in one.curve],
    }


def _lean(lean: Lean) -> dict[str, object]:
    return {
        "one_side_lower_m": _rounded(lean.way),
        "angle_rad": _rounded(lean.angle),
        "overall_reserve_is_left": lean.meets,
        "forces_found": lean.stands,
        "margins_met_up_to_rad": _rounded(lean.meets_to),
        "forces_found_up_to_rad": _rounded(lean.stands_to),
        "looked_up_to_rad": _rounded(lean.looked_to),
        "low_side_towards_rad": _rounded(lean.towards),
        "case": lean.case_id,
        "not_established": lean.why if lean.meets is None or lean.stands is None else "",
    }


def _soaked(soaked: Soaked) -> dict[str, object]:
    return {
        "sector_rad": _rounded(soaked.width),
        "overall_reserve": _rounded(soaked.reserve),
        "required": _rounded(soaked.required),
        "required_is_left_up_to_rad": _rounded(soaked.meets_to),
        "middle_rad": _rounded(soaked.towards),
        "case": soaked.case_id,
        "with_the_weight_of_water": soaked.water,
        "not_established": soaked.why,
    }


def settle_json(told: Settling) -> str:
    """What was asked and found, SI units in the names; same design and movements, same bytes."""
    stated = told.stated
    data = {
        "format": FORMAT,
        "kind": "settled",
        "design": told.design.name,
        "design_sha256": design_sha256(told.design),
        "no_verdict": NO_VERDICT,
        "stated": {
            "compliance_per_kpa": _rounded(stated.compliance),
            "spread_m": _rounded(stated.spread),
            "bed_tilt_rad": _rounded(stated.bed_tilt),
            "sustained_share": _rounded(stated.sustained),
            "opened_rings": stated.opened,
            "wire_in_open_rings": stated.wire,
        },
        "together_short_of": _short(told.together),
        "together_a_line_left": told.stands_together,
        "mean_stress_kpa": _rounded(told.mean_stress),
        "base_stress_kpa": _rounded(told.stress),
        "height_m": _rounded(told.height),
        "lean": None if told.lean is None else _lean(told.lean),
        "soaked": None if told.soaked is None else _soaked(told.soaked),
        "movements": [_reached(one) for one in told.reached],
        "in_words": [*settle_words(told)[2:-1], LEFT_OUT],
    }
    return json.dumps(data, indent=1, ensure_ascii=False) + "\n"


def settle_csv(told: Settling) -> str:
    """Least overall reserve over each movement; empty where it was not established. The digest in the last column."""
    out = io.StringIO()
    writer = csv.writer(out, lineterminator="\n")
    writer.writerow(["movement", "unit", "amount", "overall_reserve", "design_sha256"])
    digest = design_sha256(told.design)
    for one in told.reached:
        for amount, reserve in one.curve:
            writer.writerow([one.kind, UNITS[one.kind], _rounded(amount), _rounded(reserve), digest])
            digest = ""
    return out.getvalue()


def settle_files(told: Settling, said: Words) -> dict[str, bytes]:
    """settle.json, settle.csv and the chart settle.svg, which alone is said in those words."""
    files = {"settle.json": settle_json(told).encode(), "settle.csv": settle_csv(told).encode()}
    with speaking(said):
        return files | {"settle.svg": settle_svg(told).encode()}
