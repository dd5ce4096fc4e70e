"""The words every view begins with."""

from __future__ import annotations

from shellcheck_earth.basics.units import both, format_quantity
from shellcheck_earth.safety.result import Result, Verdict

__all__ = ["VERDICT_WORDS", "headline"]

VERDICT_WORDS: dict[Verdict, str] = {
    "meets": "Meets what is asked for",
    "falls short": "Falls short of what is asked for",
    "cannot say": "Cannot say",
}


def _small(value: float, system: str) -> str:
    """A width or height in millimetres and inches, the user's own first."""
    shown = [format_quantity(value, "length", unit=unit) for unit in ("mm", "in")]
    first, second = shown[::-1] if system == "imperial" else shown
    return f"{first} ({second})"


def headline(assessment: Result) -> str:
    """Name, size and soil in one line."""
    design, system = assessment.design, assessment.design.unit_system
    fill = design.fill
    mix = "unstabilised fill" if fill.stabiliser == "none" else f"{fill.stabiliser}-stabilised fill"
    return (
        f"{design.name}: {both(design.dome.inside_diameter, 'length', system)} inside, {design.dome.profile}, wall "
        f"{_small(design.wall.filled_width, system)}, courses of {_small(design.wall.course_height, system)}, "
        f"{mix} at {format_quantity(fill.dry_density, 'density', system)} dry."
    )
