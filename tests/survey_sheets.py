"""Sheets of readings made from a plan, for tests: a wall like the plan, lower, further out, pushed aside, rained on."""

from __future__ import annotations

import math
from collections.abc import Sequence

from shellcheck_earth.design.design import Design
from shellcheck_earth.geometry.courses import build_dome
from shellcheck_earth.studies.survey.sheet import sheet_survey
from shellcheck_earth.studies.survey.survey import SurveyAnswer, survey_answer

__all__ = ["asked", "sheet"]

HEADS = (
    "course,top (m),radius 0 deg (m),radius 90 deg (m),radius 180 deg (m),radius 270 deg (m),laid on,soft depth 1 (mm)"
)


def sheet(
    design: Design,
    laid: int,
    *,
    height: float = 1.0,
    out: float = 0.0,
    aside: float = 0.0,
    rains: Sequence[str] = (),
    soft: str = "",
) -> str:
    """A sheet with courses up to `laid`: heights times `height`, the top three `out` [m] further, the top `aside`."""
    lines = ["survey on,2026-05-06", HEADS]
    for course in build_dome(design).courses:
        if course.number > laid:
            break
        top = course.z_top * (height if course.number > 0 else 1.0)
        radius = course.inner_radius + (out if course.number > laid - 3 else 0.0)
        push = aside if course.number == laid else 0.0
        radii = (f"{radius + push * math.cos(math.radians(bearing)):.9f}" for bearing in (0, 90, 180, 270))
        day = 1 + max(course.number - 1, 0) // 4
        lines.append(f"{course.number},{top:.9f},{','.join(radii)},2026-05-{day:02d},{soft}")
    return "\n".join((*lines, "rain on,hours (h),amount (mm),covered after (h)", *rains, ""))


def asked(design: Design, text: str) -> SurveyAnswer:
    """What a sheet says of a design, by its rings alone."""
    return survey_answer(design, sheet_survey(text, build_dome(design)), blocks=False)
