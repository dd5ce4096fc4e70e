"""Overall reserve over each movement of a dome that settles: small charts, one a movement, all to one scale."""

from __future__ import annotations

import math
from collections.abc import Sequence

from shellcheck_earth.basics.units import format_quantity
from shellcheck_earth.design.digest import design_sha256
from shellcheck_earth.studies.settle.study import Reached, Settling
from shellcheck_earth.views.figures.strokes import FAINT, INK, RED, Sheet
from shellcheck_earth.views.text.language import _, review_sentences
from shellcheck_earth.views.text.settle import TITLES, amount_words

__all__ = ["settle_svg"]

SMALL = 2.85
"""Letters, 8 points and a little [mm]."""

ACROSS, WIDE, TALL, LEFT, HEAD, GAP = 2, 76.0, 34.0, 11.0, 15.0, 21.0


def _end(told: Settling, one: Reached) -> str:
    """The far end of the scale, short."""
    if one.kind == "shortening" or one.kind == "lasting load":
        return f"{100 * one.most:.0f} %"
    if one.kind == "opened rings":
        return _("{count:.0f} rings", count=one.most)
    if one.kind == "beds askew":
        return _("{angle:.3g} deg", angle=round(math.degrees(one.most)))
    return format_quantity(one.most, "length", told.design.unit_system, 2)


def _runs(one: Reached) -> list[list[tuple[float, float]]]:
    """Pieces of the curve between amounts at which nothing was established."""
    out: list[list[tuple[float, float]]] = [[]]
    for amount, reserve in one.curve:
        if reserve is None:
            out.append([])
        else:
            out[-1].append((amount, reserve))
    return [run for run in out if run]


def _panel(sheet: Sheet, told: Settling, one: Reached, corner: tuple[float, float], top: float, need: float) -> None:
    left, up = corner
    foot = up + TALL

    def x(amount: float) -> float:
        return left + WIDE * amount / one.most if one.most else left

    def y(reserve: float) -> float:
        return foot - TALL * min(reserve, top) / top

    sheet.line(left, foot, left + WIDE, foot, width=0.25)
    sheet.line(left, up, left, foot, width=0.25)
    for level, dash in ((1.0, ""), (need, "1.6 1.2")):
        sheet.line(left, y(level), left + WIDE, y(level), width=0.2, colour=FAINT, dash=dash)
        sheet.text(left - 1.2, y(level) + 0.9, f"{level:g}", size=SMALL, anchor="end", colour=FAINT)
    for run in _runs(one):
        if len(run) > 1:
            sheet.path([(x(amount), y(reserve)) for amount, reserve in run], width=0.5)
        for amount, reserve in run:
            sheet.circle(x(amount), y(reserve), 0.5, fill=INK, stroke=INK, width=0.1)
    if one.meets_to is not None and one.first is not None:
        sheet.line(x(one.meets_to), up, x(one.meets_to), foot, width=0.45, colour=RED, dash="0.9 0.9")
    sheet.text(left, up - 6.2, _(TITLES[one.kind]), size=3.2, bold=True)
    sheet.text(left, up - 2.2, _said(told, one), size=SMALL, colour=INK if one.first is None else RED)
    sheet.text(left, foot + 3.8, "0", size=SMALL, anchor="middle", colour=FAINT)
    sheet.text(left + WIDE, foot + 3.8, _end(told, one), size=SMALL, anchor="end", colour=FAINT)


def _said(told: Settling, one: Reached) -> str:
    if one.first is None:
        return _("no margin short as far as was looked")
    if one.meets_to is None:
        return _("short unmoved")
    return _("short past {amount}", amount=amount_words(one.kind, one.meets_to, told))


def _top(reached: Sequence[Reached], need: float) -> float:
    largest = max((reserve or 0.0 for one in reached for _, reserve in one.curve), default=0.0)
    return min(max(1.1 * largest, 1.3 * need), 4.0)


def settle_svg(told: Settling) -> str:
    """The chart as SVG."""
    need = told.design.criteria.required["overall reserve"]
    rows = math.ceil(len(told.reached) / ACROSS)
    width = LEFT + ACROSS * (WIDE + LEFT) + 2.0
    height = HEAD + rows * (TALL + GAP) + 4.0 + 4.0 * len(review_sentences())
    sheet = Sheet(width, height, 1.0, 0.0, 0.0)
    sheet.text(LEFT, 5.0, _("{name}: overall reserve as it moves", name=told.design.name), size=3.8, bold=True)
    key = _("Line at 1: some line is left. Dashed: required, {need:g}. Dotted: a margin falls short.", need=need)
    sheet.text(LEFT, 9.4, key, size=SMALL)
    top = _top(told.reached, need)
    for place, one in enumerate(told.reached):
        row, column = divmod(place, ACROSS)
        _panel(sheet, told, one, (LEFT + column * (WIDE + LEFT), HEAD + 8.0 + row * (TALL + GAP)), top, need)
    last = _("A study of the rings of the finished dome, never a verdict.")
    for above, text in enumerate(reversed([last, *review_sentences()])):
        sheet.text(LEFT, height - 1.5 - 4.0 * above, text, size=SMALL, colour=RED)
    said = "; ".join(f"{_(TITLES[one.kind])}: {_said(told, one)}" for one in told.reached)
    return sheet.svg(_("{name}: how much it may move", name=told.design.name), said, design_sha256(told.design))
