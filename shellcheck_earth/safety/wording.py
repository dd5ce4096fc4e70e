"""Sentences built from numbers: one wording for the terminal, the report and the data file."""

from __future__ import annotations

from collections.abc import Mapping

from shellcheck_earth.basics.units import Dimension, format_quantity
from shellcheck_earth.design.design import Design
from shellcheck_earth.safety.assumptions import BeyondRange
from shellcheck_earth.safety.blocks.solve import ThreeDResult
from shellcheck_earth.safety.result import CaseResult, Margin

__all__ = ["beyond_sentence", "check_sentence", "decisive_sentence", "rule_of_thumb", "three_d_sentence"]

_WHAT = {
    "bed friction": "slides first: it needs friction",
    "strength": "crushes first: it needs strength",
    "strength while building": "crushes first: it needs strength",
    "wire tension": "needs the wire: it needs a tension of",
    "base sliding": "slides on the ground: it needs ground friction",
    "ground bearing": "presses on the ground with",
}


def _figure(value: float | None, unit: str, system: str) -> str:
    if value is None:
        return "no number"
    if system == "imperial" and unit in DIMENSIONS:
        return format_quantity(value, DIMENSIONS[unit], system)
    return f"{value:.3g} {unit}".strip()


DIMENSIONS: Mapping[str, Dimension] = {"kPa": "stress", "kN": "force"}


def _place(number: int | None) -> str:
    if number is None:
        return "The dome"
    return f"Course {number}" if number > 0 else f"Course {number} (below the springing)"


def check_sentence(margin: Margin, system: str = "metric") -> str:
    """One margin in words, in the user's units: what is needed, what there is, what is asked for."""
    at = _place(margin.course)
    if margin.factor is None:
        outcome = "meets what is asked" if margin.meets else "falls short"
        return f"{at}, {margin.check}: {margin.why or 'no number'}; {outcome}."
    if margin.check in ("geometric factor", "overall reserve"):
        if margin.check == "geometric factor":
            return (
                f"{at} decides how thin the wall could be: the thrust line would still fit in beds "
                f"{margin.factor:.3g} times narrower; {margin.required:.3g} is asked for."
            )
        return (
            f"{at} fails first when friction, strength, wire and wall width all shrink together: they may be divided by"
            f" {margin.factor:.3g}; {margin.required:.3g} is asked for."
        )
    asked = None if margin.needed is None else margin.needed * margin.required
    return (
        f"{at} {_WHAT[margin.check]} {_figure(margin.needed, margin.unit, system)} and has "
        f"{_figure(margin.available, margin.unit, system)}; {_figure(asked, margin.unit, system)} is asked for."
    )


def beyond_sentence(found: BeyondRange) -> str:
    """Why no verdict may rest on a stated value."""
    side, verb = ("above", "ends") if found.above else ("below", "begins")
    return (
        f"{found.path} is {found.value}, not measured, and {side} the range of such values, which {verb} at"
        f" {found.end}: no verdict may rest on it until it is measured."
    )


def decisive_sentence(cases: tuple[CaseResult, ...], system: str = "metric") -> str:
    """What decides the verdict: the counted margin that is shortest of what is asked for, in a case that is
    established; where
    all of those meet it, the case that could not be established."""
    worst: tuple[float, CaseResult, Margin] | None = None
    counted = [case for case in cases if case.counts]
    for case in counted:
        if case.status == "cannot say":
            continue
        for margin in case.margins:
            share = (
                margin.factor / margin.required
                if margin.factor is not None
                else (float("inf") if margin.meets else 0.0)
            )
            if worst is None or share < worst[0]:
                worst = (share, case, margin)
    unsettled = next((case for case in counted if case.status == "cannot say"), None)
    if unsettled is not None and (worst is None or worst[0] >= 1.0):
        return (
            f"{unsettled.title}: neither a thrust line nor its impossibility could be established ({unsettled.proof})."
        )
    if worst is None:
        return "No case could be established."
    _, case, margin = worst
    return f"{case.title}: {check_sentence(margin, system)}"


def three_d_sentence(results: tuple[ThreeDResult, ...], cases: tuple[CaseResult, ...]) -> str:
    """What decides the verdict when it is a case of the block model; "" when a ring-symmetric margin comes shorter. A
    case that could
    not be established decides only where nothing established falls short."""
    margins = [margin for case in cases if case.counts and case.status != "cannot say" for margin in case.margins]
    shares = [m.factor / m.required if m.factor is not None else (float("inf") if m.meets else 0.0) for m in margins]
    ring = min(shares, default=float("inf"))
    found = [(result.relied / result.required, result) for result in results if result.relied is not None]
    share, worst = min(found, key=lambda pair: pair[0], default=(float("inf"), None))
    unsettled = next((result for result in results if result.relied is None), None)
    if unsettled is not None and min(share, ring) >= 1.0:
        return f"{unsettled.title}: the block model could not establish an answer ({unsettled.why})."
    if worst is None or share >= ring:
        return ""
    what = "it holds this load times" if worst.directions else "its capacities may be divided by"
    text = f"{worst.title}: {what} {worst.relied:.3g}; {worst.required:.3g} is asked for."
    return f"{text} First to move: {worst.mechanism[0].lower()}{worst.mechanism[1:]}" if worst.mechanism else text


def rule_of_thumb(design: Design) -> str:
    """The trade's rule beside the margins; common practice, no source."""
    share = 100 * design.wall.filled_width / design.dome.inside_diameter
    if share >= 10.0 - 1e-9:
        said = "meets the rule of thumb of a tenth"
    elif share >= 8.0:
        said = "is under the rule of thumb of a tenth; practised builders with good or stabilised fill go to 9 or 8 %"
    else:
        said = "is under 8 %, less than even practised builders use"
    return f"The wall is {share:.1f} % of the inside diameter and {said} (common practice, no source)."
