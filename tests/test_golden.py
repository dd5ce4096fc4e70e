"""The numbers of the four examples, pinned: moving or rewriting code may change none of them.

Regression, no validation: they are the program's own output. A number that moves on purpose is written anew with
``python tests/test_golden.py`` and its before, after and why go into the commit.
"""

from __future__ import annotations

import json
import re
import sys
from pathlib import Path
from typing import Any

import pytest

ROOT = Path(__file__).parents[1]
GOLDEN = ROOT / "tests" / "golden"
EXAMPLES = ("garden-classroom", "seed-bank", "slender-hall", "tool-store")
MARGIN = ("check", "factor", "available", "needed", "required", "meets", "course")
CASE = (
    "stage",
    "wetting",
    "status",
    "least_thrust_kN_per_rad",
    "greatest_thrust_kN_per_rad",
    "needed_bed_friction",
    "needed_bed_friction_no_wire",
    "needed_strength_kPa",
    "needed_wire_tension_kN",
    "geometric_factor",
    "overall_reserve",
)
NUMBER = re.compile(r"-?\d+\.\d+(?:e[+-]\d+)?")


def numbers_of(folder: Path) -> dict[str, Any]:
    """What `formats` promises of an assessment, and the build sheet, without a word of prose."""
    data = json.loads((folder / "assessment.json").read_text(encoding="utf-8"))
    return {
        "verdict": data["verdict"],
        "courses": data["courses"],
        "totals": data["totals"],
        "cases": {
            case["id"]: {key: case[key] for key in CASE}
            | {"margins": [[m[key] for key in MARGIN] for m in case["margins"]]}
            for case in data["cases"]
        },
        "blocks": {
            case["id"]: [case[key] for key in ("status", "relied", "required", "meets")] for case in data["three_d"]
        },
        # without the digest of the design, its last column
        "build_sheet": [
            re.sub(r",(design_sha256|[0-9a-f]{64})$", "", line)
            for line in (folder / "courses.csv").read_text(encoding="utf-8").splitlines()
        ],
    }


def blurred(data: Any) -> str:
    """Six figures: the last bits of a linear programme differ between processors."""
    return NUMBER.sub(lambda found: f"{float(found[0]):.5g}", json.dumps(data, indent=1))


@pytest.mark.regression
@pytest.mark.parametrize("name", EXAMPLES)
def test_no_number_of_the_examples_moved(name: str) -> None:
    """`test_reports` holds the files under reports/ to what the code gives today; this holds them to what it gave
    before.
    """
    kept = json.loads((GOLDEN / f"{name}.json").read_text(encoding="utf-8"))
    assert blurred(numbers_of(ROOT / "reports" / name)) == blurred(kept)


if __name__ == "__main__":
    for example in EXAMPLES:
        text = json.dumps(numbers_of(ROOT / "reports" / example), separators=(",", ":"))
        (GOLDEN / f"{example}.json").write_text(text + "\n", encoding="utf-8")
    sys.exit(0)
