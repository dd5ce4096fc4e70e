"""Bars with their limits: shares of sampled domes, and what each input explains."""

from __future__ import annotations

import math
from collections.abc import Sequence

from shellcheck_earth.studies.sample.orders import Orders
from shellcheck_earth.studies.sample.statistics import Index
from shellcheck_earth.studies.sample.study import Chance
from shellcheck_earth.views.figures.charts import BLUE, INK, ORANGE, drawing
from shellcheck_earth.views.figures.letters import advance
from shellcheck_earth.views.text.below import said_below
from shellcheck_earth.views.text.language import _
from shellcheck_earth.views.text.sample import input_words

__all__ = ["MOST_INPUTS", "index_chart", "orders_chart", "share_chart"]


ACROSS = 6.85
"""Inches."""

MOST_INPUTS = 12
"""In a chart of indices: all of a dome of one fill. The data have every one."""


def share_chart(chance: Chance, outcomes_said: Sequence[str]) -> str:
    """Shares of domes with 95 % limits: the outcomes above (hatched), the checks below."""
    names = [*outcomes_said, *(_("{check} short", check=said_below(check)) for check in chance.checks)]
    shares = [*chance.shares.values(), *chance.checks.values()]
    outcomes = len(chance.shares)
    with drawing(ACROSS, 3.2) as (figure, write):
        axes = figure.subplots()
        figure.subplots_adjust(left=_left(names), right=0.90, bottom=0.13, top=0.90)
        axes.set_title(_("How many of the sampled domes?"))
        for row, one in enumerate(shares):
            first = row < outcomes
            axes.barh(
                row,
                100 * one.value,
                height=0.62,
                facecolor="#f3d3bd" if first else "#cfe3f1",
                edgecolor=ORANGE if first else BLUE,
                hatch="///" if first else "",
                linewidth=0.8,
            )
            axes.errorbar(
                100 * one.value,
                row,
                xerr=[[100 * (one.value - one.low)], [100 * (one.high - one.value)]],
                color=INK,
                capsize=2.5,
                linewidth=0.9,
            )
            axes.text(101.5, row, f"{100 * one.value:.3g} %", va="center", fontsize=8)
        axes.axhline(outcomes - 0.5, color=INK, linewidth=0.5)
        axes.set_yticks(range(len(names)), names)
        axes.set_ylim(len(names) - 0.4, -0.6)
        axes.set_xlim(0, 100)
        axes.set_xlabel(_("per cent of the sampled domes, with 95 % limits"))
        return write()


def _left(names: Sequence[str]) -> float:
    """Where the axes begin, as a share of the width: a third, or what the longest name takes."""
    return max(0.33, (max([advance(name, 8.0) for name in names], default=0.0) + 12.0) / (72 * ACROSS))


def index_chart(found: Sequence[Index], outcome: str) -> str:
    """Index of first order of every input, the largest twelve, with one standard error each way."""
    known = [one for one in found if math.isfinite(one.value)][:MOST_INPUTS]
    names = [input_words(one.name) for one in known]
    with drawing(ACROSS, 3.3) as (figure, write):
        axes = figure.subplots()
        figure.subplots_adjust(left=_left(names), right=0.90, bottom=0.13, top=0.90)
        axes.set_title(_("What decides {outcome}?", outcome=outcome))
        errors = [one.error if math.isfinite(one.error) else 0.0 for one in known]
        far = max([one.value + error for one, error in zip(known, errors, strict=True)] + [0.05]) * 1.05
        near = min([one.value - error for one, error in zip(known, errors, strict=True)] + [0.0]) * 1.05
        for row, (one, error) in enumerate(zip(known, errors, strict=True)):
            axes.barh(row, one.value, height=0.62, facecolor="#cfe3f1", edgecolor=BLUE, linewidth=0.8)
            axes.errorbar(one.value, row, xerr=error, color=INK, capsize=2.5, linewidth=0.9)
            axes.text(1.015, row, f"{one.value:z.3f}", va="center", fontsize=8, transform=axes.get_yaxis_transform())
        axes.axvline(0.0, color=INK, linewidth=0.6)
        axes.set_yticks(range(len(known)), names)
        axes.set_ylim(len(known) - 0.4, -0.6)
        axes.set_xlim(near, far)
        axes.set_xlabel(_("share of the variance it explains alone"))
        return write()


def orders_chart(found: Sequence[Orders], margin: str) -> str:
    """Two bars an input, alone and with others, each with one standard error each way; the largest eight."""
    shown = found[:8]
    names = [input_words(one.name) for one in shown]
    with drawing(ACROSS, 3.3) as (figure, write):
        axes = figure.subplots()
        figure.subplots_adjust(left=_left(names), right=0.82, bottom=0.13, top=0.90)
        axes.set_title(_("What does {margin} hang on?", margin=margin))
        for row, one in enumerate(shown):
            pairs = ((-0.19, one.first, one.first_error, ""), (0.19, one.total, one.total_error, "///"))
            for off, value, error, hatch in pairs:
                axes.barh(
                    row + off,
                    max(value, 0.0),
                    height=0.36,
                    facecolor="#f3d3bd" if hatch else "#cfe3f1",
                    edgecolor=ORANGE if hatch else BLUE,
                    hatch=hatch,
                    linewidth=0.8,
                    label=None if row else (_("with others (total order)") if hatch else _("alone (first order)")),
                )
                if math.isfinite(error):
                    axes.errorbar(value, row + off, xerr=error, color=INK, capsize=2.0, linewidth=0.8)
            axes.text(
                1.015,
                row,
                f"{one.first:z.2f} / {one.total:z.2f}",
                va="center",
                fontsize=8,
                transform=axes.get_yaxis_transform(),
            )
        axes.axvline(0.0, color=INK, linewidth=0.6)
        axes.set_yticks(range(len(shown)), names)
        axes.set_ylim(len(shown) - 0.4, -0.6)
        axes.set_xlabel(_("share of the margin's variance; at the right: alone / with others"))
        axes.legend(loc="lower right", frameon=False)
        return write()
