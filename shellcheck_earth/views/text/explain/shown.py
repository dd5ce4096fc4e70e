"""How the teaching report writes widths, frictions, factors, masses and runs of courses."""

from __future__ import annotations

from collections.abc import Sequence

from shellcheck_earth.basics.units import both, format_quantity
from shellcheck_earth.design.design import Design
from shellcheck_earth.mechanics.rings.capacity import GREATEST_GEOMETRIC_FACTOR
from shellcheck_earth.studies.explain.ways import Kind
from shellcheck_earth.views.text.language import _
from shellcheck_earth.views.text.numbers import masses

__all__ = [
    "factor_shown",
    "friction_shown",
    "mass_shown",
    "runs_shown",
    "share_shown",
    "value_shown",
    "width_shown",
]


def width_shown(design: Design, value: float) -> str:
    """Millimetres and inches, the user's own first."""
    shown = [format_quantity(value, "length", unit=unit) for unit in ("mm", "in")]
    first, second = shown[::-1] if design.unit_system == "imperial" else shown
    return f"{first} ({second})"


def value_shown(design: Design, kind: Kind, value: float, *, short: bool = False) -> str:
    """A width, a friction or a wire tension; `short` in the user's own units alone."""
    if kind == "wall":
        unit = "in" if design.unit_system == "imperial" else "mm"
        return format_quantity(value, "length", unit=unit) if short else width_shown(design, value)
    if kind == "wire":
        system = design.unit_system
        return format_quantity(value, "force", system) if short else both(value, "force", system)
    return f"{value:.3g}"


def mass_shown(design: Design, weight: float) -> str:
    """A weight [kN] as a mass in tonnes and pounds, the user's own first."""
    first, second = masses(weight, design.unit_system)
    return f"{first} ({second})"


def factor_shown(value: float | None, *, short: bool = False) -> str:
    """A geometric factor in a sentence or (`short`) in a table."""
    if value is None:
        return _("no line") if short else _("none (no line)")
    return (
        _("over {most:.0f}", most=GREATEST_GEOMETRIC_FACTOR) if value >= GREATEST_GEOMETRIC_FACTOR else f"{value:.3g}"
    )


def friction_shown(value: float | None, *, short: bool = False) -> str:
    """The demand for friction in a sentence or (`short`) in a table."""
    if value is None:
        return _("none is enough") if short else _("more than there can be")
    return _("0 (none)") if value == 0.0 else f"{value:.3g}"


def share_shown(design: Design, width: float) -> str:
    """A width as a share of the inside diameter."""
    return f"{100 * width / design.dome.inside_diameter:.1f} %"


def runs_shown(numbers: Sequence[int]) -> str:
    """Course numbers as runs: "10 to 21, 24"."""
    runs: list[list[int]] = []
    for number in sorted(numbers):
        if runs and number == runs[-1][1] + 1:
            runs[-1][1] = number
        else:
            runs.append([number, number])
    return ", ".join(
        str(a) if a == b else _("{a} and {b}", a=a, b=b) if b == a + 1 else _("{a} to {b}", a=a, b=b) for a, b in runs
    )
