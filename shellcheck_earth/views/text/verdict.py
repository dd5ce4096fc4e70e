"""The words every view begins with: the verdict, the line that decides it, the dome in one line, the rule of thumb."""

from __future__ import annotations

import math

from shellcheck_earth.basics.units import both, format_quantity
from shellcheck_earth.design.design import Design
from shellcheck_earth.geometry.courses import Dome
from shellcheck_earth.safety.blocks.result import BlockResult
from shellcheck_earth.safety.result import CaseResult, Margin, Result, Verdict
from shellcheck_earth.views.text.below import said_below
from shellcheck_earth.views.text.blocks import block_sentence
from shellcheck_earth.views.text.doubts import doubt_sentence
from shellcheck_earth.views.text.language import _, mark
from shellcheck_earth.views.text.margins import margin_sentence
from shellcheck_earth.views.text.numbers import lower

__all__ = ["VERDICT_WORDS", "case_sentence", "deciding_line", "headline", "rule_of_thumb"]

VERDICT_WORDS: dict[Verdict, str] = {
    "meets": mark("Meets what is required"),
    "falls short": mark("Falls short of what is required"),
    "cannot say": mark("Cannot say"),
}
"""In English; said with `_`."""

MIXES = {
    "none": mark("unstabilised fill"),
    "cement": mark("cement-stabilised fill"),
    "lime": mark("lime-stabilised fill"),
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
    return _(
        "{name}: {diameter} inside, {profile}, wall {width}, courses of {height}, {mix} at {density} dry.",
        name=design.name,
        diameter=both(design.dome.inside_diameter, "length", system),
        profile=said_below(design.dome.profile),
        width=_small(design.wall.filled_width, system),
        height=_small(design.wall.course_height, system),
        mix=_(MIXES[fill.stabiliser]),
        density=format_quantity(fill.dry_density, "density", system),
    )


def _established(cases: tuple[CaseResult, ...]) -> list[tuple[float, CaseResult, Margin]]:
    return [
        (margin.share, case, margin)
        for case in cases
        if case.counts and case.status != "cannot say"
        for margin in case.margins
    ]


def case_sentence(dome: Dome, cases: tuple[CaseResult, ...]) -> str:
    """The counted margin that comes shortest of what is required, in a case that is established; where all of those
    meet it, the case that could not be established.
    """
    share, worst, margin = min(_established(cases), key=lambda found: found[0], default=(math.inf, None, None))
    unsettled = next((case for case in cases if case.counts and case.status == "cannot say"), None)
    if unsettled is not None and share >= 1.0:
        return _(
            "{case}: neither a thrust line nor its impossibility could be established ({why}).",
            case=said_below(unsettled.title),
            why=said_below(unsettled.proof),
        )
    if worst is None or margin is None:
        return _("No case could be established.")
    return _("{margin} Worst case: {case}.", margin=margin_sentence(margin, dome), case=lower(said_below(worst.title)))


def _blocks_decide(results: tuple[BlockResult, ...], cases: tuple[CaseResult, ...]) -> BlockResult | None:
    """The block case that decides; None when a ring-symmetric margin comes shorter. A case that could not be
    established decides only where nothing established falls short.
    """
    ring = min((share for share, _, _ in _established(cases)), default=math.inf)
    found = [(result.relied / result.required, result) for result in results if result.relied is not None]
    share, worst = min(found, key=lambda pair: pair[0], default=(math.inf, None))
    unsettled = next((result for result in results if result.relied is None), None)
    if unsettled is not None and min(share, ring) >= 1.0:
        return unsettled
    return None if worst is None or share >= ring else worst


def deciding_line(assessment: Result) -> str:
    """What decides: a value that no verdict may rest on, else the case or the load that comes shortest."""
    doubts = [one for one in assessment.doubts if one.kind not in ("not established", "blocks not established")]
    if assessment.verdict == "cannot say" and doubts:
        return doubt_sentence(doubts[0])
    blocks = _blocks_decide(assessment.blocks, assessment.cases)
    if blocks is not None:
        return block_sentence(assessment.dome, blocks)
    return case_sentence(assessment.dome, assessment.cases)


def rule_of_thumb(design: Design) -> str:
    """The trade's rule beside the margins; common practice, no source."""
    share = 100 * design.wall.filled_width / design.dome.inside_diameter
    if share >= 10.0 - 1e-9:
        said = _("meets the rule of thumb of a tenth")
    elif share >= 8.0:
        said = _(
            "is under the rule of thumb of a tenth; practised builders with good or stabilised fill go to 9 or 8 %"
        )
    else:
        said = _("is under 8 %, less than even practised builders use")
    return _(
        "The wall is {share:.1f} % of the inside diameter and {said} (common practice, no source).",
        share=share,
        said=said,
    )
