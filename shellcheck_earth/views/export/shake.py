"""The numbers of a moved dome as JSON and CSV, and its film."""

from __future__ import annotations

import csv
import io
import json

import numpy as np

from shellcheck_earth.design.digest import design_sha256
from shellcheck_earth.studies.shake.study import Shaking
from shellcheck_earth.views.figures.shake import shake_svg
from shellcheck_earth.views.text.language import Words, speaking
from shellcheck_earth.views.text.shake import LEFT_OUT, NO_VERDICT, asked_words, found_words

__all__ = ["shake_csv", "shake_files", "shake_json"]

FORMAT = 1


def _rounded(value: float) -> float:
    return float(f"{float(value):.6g}")


def shake_json(told: Shaking) -> str:
    """What was asked and found, SI units in the names; same design and motion, same bytes."""
    found = told.found
    size, when, number = told.largest
    reached = None if found.reached is None else {"what": found.reached[0], "course": told.course(found.reached[1])}
    data = {
        "format": FORMAT,
        "kind": "moved in time",
        "design": told.design.name,
        "design_sha256": design_sha256(told.design),
        "no_verdict": NO_VERDICT,
        "state": told.case.id,
        "motion": told.ground.kind,
        "peak_over_gravity": _rounded(told.ground.peak),
        "seconds": _rounded(told.ground.seconds),
        "towards_rad": _rounded(told.bearing),
        "blocks": len(told.layout.blocks),
        "step_s": _rounded(told.step),
        "stops_at": {
            "moved_m": _rounded(told.limits.moved),
            "tilt_rad": _rounded(told.limits.tilt),
            "slid_of_a_face": _rounded(told.limits.slid),
        },
        "ended": found.how,
        "reached": reached,
        "largest_displacement_m": _rounded(size),
        "at_s": _rounded(when),
        "in_course": number,
        "left_m": _rounded(told.left),
        "speed_at_the_end_m_per_s": _rounded(found.speed),
        "in_words": [asked_words(told), found_words(told), LEFT_OUT],
    }
    return json.dumps(data, indent=1, ensure_ascii=False) + "\n"


def shake_csv(told: Shaking) -> str:
    """Largest displacement of any block of each course [mm] over time; the design's digest in the last column."""
    courses = np.array([block.course for block in told.layout.blocks])
    way = np.sqrt(((told.found.centre - told.found.centre[0]) ** 2).sum(axis=2)) * 1000
    numbers = [course.number for course in told.dome.courses]
    out = io.StringIO()
    writer = csv.writer(out, lineterminator="\n")
    writer.writerow(["time_s", "largest_mm", *(f"course_{number}_mm" for number in numbers), "design_sha256"])
    for k, t in enumerate(told.found.times):
        each = [way[k, courses == i].max(initial=0.0) for i in range(len(numbers))]
        cells = [f"{value:.3f}" for value in (t, way[k].max(), *each)]
        writer.writerow([*cells, design_sha256(told.design) if k == 0 else ""])
    return out.getvalue()


def shake_files(told: Shaking, said: Words) -> dict[str, bytes]:
    """shake.json, shake.csv and the film shake.svg, which alone is said in those words."""
    files = {"shake.json": shake_json(told).encode(), "shake.csv": shake_csv(told).encode()}
    with speaking(said):
        return files | {"shake.svg": shake_svg(told).encode()}
