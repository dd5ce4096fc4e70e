"""From what the blocks of a case held to what is relied on, line by line, of the case that governs each check.

What each cut holds, and friction without dilation, are the solver's: they are given, not worked out. What follows from
them is (`safety/blocks/result.outcome`), and a reader comes to the same digits.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator

from shellcheck_earth.mechanics.blocks.nonassociated import OVERSTATED
from shellcheck_earth.safety.blocks.result import GROUND_SLACK, BlockResult, drop_of
from shellcheck_earth.views.text.below import said_below
from shellcheck_earth.views.text.language import _, mark
from shellcheck_earth.views.text.numbers import listed
from shellcheck_earth.views.text.worksheet import Sheet, Working

__all__ = ["BLOCKS_GIVEN", "block_workings", "governing_blocks"]

BLOCKS_GIVEN = mark(
    "How much of the load each cut holds with ordinary friction, or by how much every capacity may be divided, and the"
    " coarsest one without dilation, is what the solver found: certificate.json holds the forces, and the command"
    " problem writes them anew. What is relied on follows from these numbers."
)
RULE = mark("the rule for blocks (derived)")


def governing_blocks(results: Iterable[BlockResult]) -> list[BlockResult]:
    """Of every criterion the case with the least share of what is required, among those whose numbers are told. What
    the ground bears is a yes or no, and no number."""
    least: dict[str, BlockResult] = {}
    for one in results:
        if one.relied is None or one.associated is None or one.non_associated is None or not one.convergence:
            continue
        if any(line.multiplier is None for line in one.convergence):
            continue
        if one.at_least and one.associated <= one.required * GROUND_SLACK * (1 + 1e-6):
            continue
        before = least.get(one.criterion)
        if before is None or one.relied / one.required < (before.relied or 0.0) / before.required:
            least[one.criterion] = one
    return list(least.values())


def _held(sheet: Sheet, known: list[float], cuts: list[int], associated: float) -> None:
    """The least of the cuts; of a dead load no more than the rings hold."""
    sheet.give(**{f"c_{k}": value for k, value in enumerate(known, 1)})
    names = [f"c_{k}" for k in range(1, len(known) + 1)]
    what = _("Held with ordinary friction, {cuts} blocks a ring", cuts=listed([str(count) for count in cuts]))
    if associated < min(known) * (1 - 1e-9):
        sheet.give(c_r=associated)
        names.append("c_r")
        what = _("{what}; and as rings", what=what)
    formula = f"c = min({', '.join(names)})" if len(names) > 1 else f"c = {names[0]}"
    template = f"min({', '.join(f'{{{name}}}' for name in names)})" if len(names) > 1 else f"{{{names[0]}}}"
    sheet.line(what, formula, template, "c", "", RULE)


def _working(result: BlockResult) -> Working:
    sheet = Sheet()
    known = [line.multiplier or 0.0 for line in result.convergence]
    _held(sheet, known, [line.cuts for line in result.convergence], result.associated or 0.0)
    drop, count = drop_of(known), len(known)
    taken = math.isfinite(drop) and count > 1
    if taken:
        what, names = _("What the last refinement takes off"), (f"c_{count - 1}", f"c_{count}")
        template = "max({" + names[0] + "} - {" + names[1] + "}, 0)"
        sheet.line(what, f"d = max({names[0]} - {names[1]}, 0)", template, "d", "", RULE)
    sheet.give(n=result.non_associated or 0.0, k=OVERSTATED)
    without = "n"
    if result.directions:
        what = _("Relied on of friction without dilation, under a load from one side")
        sheet.line(what, "n' = k n", "{k} x {n}", "n'", "", mark("the lowest of ten cases pushed in time"))
        sheet.known["n_s"], without = sheet.known["n'"], "n_s"
    said = "n'" if result.directions else "n"
    least, what = f"min({{c}}, {{{without}}})", _("Relied on")
    if taken:
        sheet.line(what, f"r = max(min(c, {said}) - d, 0)", f"max({least} - {{d}}, 0)", "r", "", RULE)
    else:
        sheet.line(what, f"r = min(c, {said})", least, "r", "", RULE)
    sheet.give(q=result.required)
    sheet.line(_("Over what is required"), "s = r/q", "{r}/{q}", "s", "", mark("the criteria"))
    return Working(said_below(result.title), result.criterion, 0, tuple(sheet.lines))


def block_workings(results: Iterable[BlockResult]) -> Iterator[Working]:
    """The working of the case of blocks that governs each criterion."""
    return map(_working, governing_blocks(results))
