"""Problems of rigid blocks as data, small enough to be solved by hand, with solution and certificate.

`validation/conformance/blocks/*.json` follow `views/export/problem.schema.json`; `shellcheck-earth problem FILE` solves
one again and checks it. Anyone's solver can be held to them. Run as a module with `--write` it makes them again.
"""

from __future__ import annotations

import sys
from pathlib import Path
from typing import Any

from shellcheck_earth.mechanics.blocks.written import solved_text
from shellcheck_earth.mechanics.proof.block_problem import FORMAT, KIND, UNITS

__all__ = ["FOLDER", "by_hand"]

FOLDER = Path(__file__).parent / "conformance" / "blocks"


def _block(label: str, x: str, live: str) -> dict[str, Any]:
    """A block of 1 by 1 by 0.5 m that weighs 24 kN, standing at x; `live` eastward [kN]."""
    loads = [live, "0", "0", "0", "0", "0"]
    return {"label": label, "centre": [x, "0", "0.25"], "length": "1", "weight": "24", "live": loads}


def _stands(block: int, west: str, east: str, strength: str = "5000") -> dict[str, Any]:
    """Its face on the ground, friction 0.5; edges run north, strips east."""
    points = [[x, y, "0"] for y in ("-0.25", "0.25") for x in (west, east)]
    place = {"upper": block, "lower": -1, "label": "ground", "points": points}
    return {**place, "friction": "0.5", "strength": strength}


def _posed(name: str, about: str, blocks: list[Any], faces: list[Any], ties: list[Any]) -> dict[str, Any]:
    head = {"format": FORMAT, "kind": KIND, "name": name, "about": about, "design": "", "design_sha256": ""}
    return {**head, "units": UNITS, "width": "1", "most": "10", "blocks": blocks, "faces": faces, "ties": ties}


def by_hand() -> dict[str, tuple[dict[str, Any], float]]:
    """File name -> problem without solution, and its answer by hand."""
    one, two = _block("block", "0", "24"), _block("block", "3", "0")
    tall = {**one, "centre": ["0", "0", "1.25"]}
    tie = {"upper": 0, "lower": 1, "at": ["0.5", "0", "0"], "pull": ["-1", "0", "0"], "most": "3"}
    west, east = _stands(0, "-0.5", "0.5"), _stands(1, "2.5", "3.5")
    slides = "A block of 24 kN pushed sideways by its weight: it slides at its friction, 0.5."
    tips = (
        "The same 2.5 m high: 24 kN at 1.25 m turn it about the outer edge of a stress block that carries 24 kN at 5000"
        " kPa over 1 m, 4.8 mm: (0.5 - 0.0024)/1.25 = 0.39808."
    )
    tied = (
        "Two blocks 3 m apart, one pushed away from the other and tied to it with 3 kN at the ground: 0.5 x 24 + 3 = 15"
        " of 24 kN, 0.625."
    )
    away = {**one, "live": ["-24", "0", "0", "0", "0", "0"]}
    return {
        "01-sliding-block": (_posed("01-sliding-block", slides, [one], [west], []), 0.5),
        "02-tipping-block": (_posed("02-tipping-block", tips, [tall], [west], []), 0.39808),
        "03-tied-blocks": (_posed("03-tied-blocks", tied, [away, two], [west, east], [tie]), 0.625),
    }


def main() -> None:
    """Print the answers; with `--write`, make the files again."""
    for name, (data, answer) in by_hand().items():
        if "--write" in sys.argv:
            FOLDER.mkdir(parents=True, exist_ok=True)
            (FOLDER / f"{name}.json").write_text(solved_text(data), encoding="utf-8")
        print(f"{name:24} {answer:.5f}")


if __name__ == "__main__":
    main()
