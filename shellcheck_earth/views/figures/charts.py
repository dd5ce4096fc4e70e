"""Charts as SVG, one question each. Same data, same bytes; every series has a mark and a dash of its own, not only a
colour.
"""

from __future__ import annotations

import io
import math
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from contextlib import contextmanager
from typing import TYPE_CHECKING, Any

from shellcheck_earth.basics.kept import keep_charts_folder
from shellcheck_earth.safety.result import CaseResult, Result
from shellcheck_earth.views.figures.clear import Box, clear_corner, clear_height, words_box
from shellcheck_earth.views.figures.letters import advance
from shellcheck_earth.views.text.below import said_below
from shellcheck_earth.views.text.language import _

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.figure import Figure

    from shellcheck_earth.safety.weather_result import DayPoint, Weather

__all__ = [
    "drawing",
    "falls_short_below_one",
    "margins_by_stage",
    "rain_chart",
    "spread",
    "worst_day_chart",
]

INK, GREY, BLUE, ORANGE, GREEN, PURPLE = "#22201d", "#8a8378", "#0072B2", "#D55E00", "#009E73", "#8B4C83"
"""Blue, vermilion and green of the palette of Okabe & Ito 2008 (memory), with a darker purple."""

LOOKS: Mapping[str, tuple[str, str, str]] = {
    "bed friction": (BLUE, "-", "o"),
    "strength while building": (ORANGE, "--", "s"),
    "geometric factor": (GREEN, "-.", "^"),
    "overall reserve": (INK, ":", "D"),
}
"""Colour, dash and mark of each check, the same in every chart; wire is left to the tables (four series at most)."""

WIDTH = 6.85
"""Of the charts of the report [inches]."""

CEILING = 4.0
"""Shares of the required factor above this are drawn at it: whoever has four times enough needs no more detail."""


@contextmanager
def drawing(width: float, height: float) -> Iterator[tuple[Figure, Callable[[], str]]]:
    """A figure in inches and the function that writes it as SVG."""
    keep_charts_folder()
    import matplotlib
    from matplotlib.backends.backend_svg import FigureCanvasSVG
    from matplotlib.figure import Figure

    style: Any = {
        "svg.hashsalt": "shellcheck_earth",
        "svg.fonttype": "none",
        "font.family": ["DejaVu Sans"],
        "font.size": 8.0,
        "axes.edgecolor": INK,
        "axes.labelcolor": INK,
        "text.color": INK,
        "xtick.color": INK,
        "ytick.color": INK,
        "axes.spines.top": False,
        "axes.spines.right": False,
        "axes.titlelocation": "left",
        "axes.titlesize": 9.5,
        "axes.titleweight": "bold",
        "axes.linewidth": 0.6,
        "hatch.linewidth": 0.5,
        "path.simplify": False,
        "text.parse_math": False,
    }
    with matplotlib.rc_context(style):
        figure = Figure(figsize=(width, height))
        FigureCanvasSVG(figure)

        def write() -> str:
            out = io.StringIO()
            figure.savefig(out, format="svg", metadata={"Date": None, "Creator": None})
            return out.getvalue()

        yield figure, write


def spread(wanted: Sequence[float], gap: float, low: float, high: float) -> list[float]:
    """Places for labels as near as can be to the wanted ones, in their order, at least `gap` apart, within [low,
    high].
    """
    order = sorted(range(len(wanted)), key=lambda i: (wanted[i], i))
    placed = [0.0] * len(wanted)
    last = -math.inf
    for i in order:
        placed[i] = last = max(wanted[i], last + gap, low)
    ceiling = high
    for i in reversed(order):
        placed[i] = min(placed[i], ceiling)
        ceiling = placed[i] - gap
    return placed


def left_of_labels(labels: Iterable[str], usual: float, width: float = WIDTH) -> float:
    """Right end of the axes [share of the figure's width, in inches]: the usual one, or less where the words beside
    them need more room.
    """
    widest = max((advance(one, 8.0) for text in labels for one in text.split("\n")), default=0.0) / 72.0
    return min(usual, 1.0 - (widest + 0.28) / width)


def falls_short_below_one(axes: Axes, width: float = 1.0) -> None:
    """The line of what is required, and strokes over all that falls short of it."""
    axes.axhline(1.0, color=INK, linewidth=width, zorder=2)
    axes.axhspan(0.0, 1.0, facecolor="none", edgecolor="#d8d2c6", hatch="///", linewidth=0.0, zorder=0)


def _series(
    axes: Axes, x: Sequence[float], shares: Mapping[str, Sequence[float]], *, label: bool, mark_every: int
) -> None:
    """Lines of factor over what is required, cut at CEILING, each named at its right end."""
    ends = []
    for check, values in shares.items():
        colour, dash, mark = LOOKS[check]
        shown = [min(value, CEILING) for value in values]
        axes.plot(
            x,
            shown,
            dash,
            color=colour,
            marker=mark,
            markevery=mark_every,
            markersize=3.2,
            linewidth=1.3,
            markerfacecolor="white",
            clip_on=False,
            zorder=3,
        )
        ends.append((check, shown[-1] if shown else 0.0, colour))
    falls_short_below_one(axes)
    axes.set_ylim(0, CEILING)
    axes.set_yticks([0, 1, 2, 3, 4], ["0", "1", "2", "3", "4+"])
    if label:
        named = [(said_below(check), end, colour) for check, end, colour in ends] + [(_("required"), 1.0, INK)]
        _named_at_ends(axes, named, 0.33, CEILING - 0.05)


def _named_at_ends(axes: Axes, named: Sequence[tuple[str, float, str]], gap: float, ceiling: float) -> None:
    """Words right of the axes, each with a line to the end it names: (words, height of the end, colour)."""
    places = spread([end for _words, end, _colour in named], gap, 0.36 * gap, ceiling)
    for (words, end, colour), place in zip(named, places, strict=True):
        axes.annotate(
            words,
            xy=(1.0, end),
            xycoords=("axes fraction", "data"),
            xytext=(1.035, place),
            textcoords=("axes fraction", "data"),
            color=colour,
            va="center",
            fontsize=8,
            annotation_clip=False,
            arrowprops={
                "arrowstyle": "-",
                "color": colour,
                "linewidth": 0.4,
                "shrinkA": 0,
                "shrinkB": 0,
                "relpos": (0.0, 0.5),  # to where the words begin: to their middle it would cross those above
            },
        )


def _short_of_it(axes: Axes, taken: Sequence[Box] = ()) -> None:
    """The name of what lies under the line of what is required, where no curve and none of the words `taken` cross it;
    the line itself is named at its right end, where nothing can.
    """
    said = _("falls short")
    x, y = clear_corner(axes, advance(said, 8.0), 1.0, taken)
    axes.text(
        x,
        y,
        said,
        fontsize=8,
        va="bottom",
        ha="left",
        color=INK,
        bbox={"facecolor": "white", "edgecolor": "none", "pad": 0.6},
        zorder=1,
    )


def _shares(cases: Sequence[CaseResult]) -> dict[str, list[float]]:
    return {
        check: [next((m.share for m in case.margins if m.check == check), 0.0) for case in cases] for check in LOOKS
    }


def margins_by_stage(assessment: Result) -> str:
    """What is left of each margin at every stage of building, bare and with a crew on the top ring."""
    stages = [case for case in assessment.cases if case.kind == "stage"]
    crew = [case for case in stages if case.crew]
    panels = [(_("fresh fill, bare"), [case for case in stages if case not in crew])]
    if crew:
        panels.append((_("fresh fill, crew on the top ring"), crew))
    with drawing(WIDTH, 2.95) as (figure, write):
        title = _("Does it stand at every stage of building?")
        figure.suptitle(title, x=0.01, ha="left", fontsize=9.5, fontweight="bold")
        grid = figure.subplots(1, len(panels), sharey=True, squeeze=False)[0]
        right = left_of_labels([*map(said_below, LOOKS), _("required")], 0.80)
        figure.subplots_adjust(left=0.085, right=right, bottom=0.16, top=0.82, wspace=0.10)
        for index, (axes, (name, cases)) in enumerate(zip(grid, panels, strict=True)):
            # A stage that could not be decided has no place on a curve, only a mark of its own.
            decided = [case for case in cases if case.status != "cannot say"]
            x = [float(case.stage) for case in decided]
            _series(axes, x, _shares(decided), label=index == len(panels) - 1, mark_every=max(len(x) // 6, 1))
            for case in cases:
                if case.status == "cannot say":
                    axes.text(
                        float(case.stage),
                        0.45,
                        "?",
                        fontsize=8,
                        ha="center",
                        fontweight="bold",
                        zorder=4,
                        bbox={"facecolor": "white", "edgecolor": INK, "linewidth": 0.5, "linestyle": "--", "pad": 1.0},
                    )
            axes.set_title(
                name + (_(" (?: cannot say)") if any(case.status == "cannot say" for case in cases) else ""),
                fontsize=8,
                fontweight="normal",
            )
            axes.set_xlabel(_("courses laid above the springing"))
            stages_of = [float(case.stage) for case in cases]
            if stages_of:
                first, last = min(stages_of), max(max(stages_of), min(stages_of) + 1)
                axes.set_xlim(first, last)
                _short_of_it(axes)
        grid[0].set_ylabel(_("factor over the required one"))
        return write()


def _worst_day(axes: Axes, worst: DayPoint, middle: float) -> Box:
    """A ring around the worst day, and its words on the side with room: where they lie."""
    at = min(worst.after_rain, CEILING)
    axes.plot(
        [worst.day + 1],
        [at],
        "o",
        markersize=10,
        markerfacecolor="none",
        markeredgecolor=INK,
        zorder=4,
        clip_on=False,
    )
    late = worst.day + 1 > middle
    said = _(
        "worst: day {day}, courses up to {stage}, {check}",
        day=worst.day + 1,
        stage=worst.stage,
        check=said_below(worst.check),
    )
    side, wide = -1.0 if late else 1.0, advance(said, 8.0)
    up = clear_height(axes, worst.day + 1, at, side * (10.0 + wide))
    axes.annotate(
        said,
        xy=(worst.day + 1, at),
        xytext=(10.0 * side, up),
        textcoords="offset points",
        fontsize=8,
        ha="right" if late else "left",
        va="center",
        zorder=5,
    )
    return words_box(axes, worst.day + 1, at, (10.0 * side, up), side * wide)


def worst_day_chart(weather: Weather) -> str:
    """The least margin on each day of the work, dry and after the whole stated rain."""
    days = [float(point.day + 1) for point in weather.days]
    dry = [min(point.dry, CEILING) for point in weather.days]
    rained = [min(point.after_rain, CEILING) for point in weather.days]
    worst = weather.worst_day
    top = max(1.6, min(CEILING, 1.15 * max([*dry, *rained], default=1.0)))
    with drawing(WIDTH, 2.9) as (figure, write):
        axes = figure.subplots()
        right = left_of_labels((_("dry"), _("after the rain"), _("required")), 0.82)
        figure.subplots_adjust(left=0.09, right=right, bottom=0.17, top=0.88)
        axes.set_title(_("On which day would the rain hurt most?"))
        falls_short_below_one(axes)
        axes.plot(
            days, dry, "-", marker="o", color=ORANGE, markersize=3.5, markerfacecolor="white", linewidth=1.3, zorder=3
        )
        axes.plot(
            days, rained, "--", marker="s", color=BLUE, markersize=3.5, markerfacecolor="white", linewidth=1.3, zorder=3
        )
        axes.set_ylim(0, top)
        first, last = (days[0], days[-1]) if days else (1.0, 2.0)
        axes.set_xlim(first, max(last, first + 1))
        axes.locator_params(axis="x", integer=True)
        named = [(_("required"), 1.0, INK)]
        if days:
            named += [(_("dry"), dry[-1], ORANGE), (_("after the rain"), rained[-1], BLUE)]
        _named_at_ends(axes, named, 0.09 * top, top)
        _short_of_it(axes, [_worst_day(axes, worst, (first + last) / 2)])
        axes.set_xlabel(_("day of the work (the rain comes in its evening)"))
        axes.set_ylabel(_("factor over the required one"))
        return write()


def rain_chart(weather: Weather) -> str:
    """Margins against hours of the stated rain on the worst day."""
    hours = [point.hour for point in weather.hours]
    shares = {check: [point.shares.get(check, 0.0) for point in weather.hours] for check in LOOKS}
    with drawing(WIDTH, 2.9) as (figure, write):
        axes = figure.subplots()
        right = left_of_labels([*map(said_below, LOOKS), _("required")], 0.78)
        figure.subplots_adjust(left=0.085, right=right, bottom=0.17, top=0.88)
        axes.set_title(_("How many hours of rain before a margin falls short?"))
        _series(axes, hours, shares, label=True, mark_every=4)
        axes.set_xlim(0, max([*hours, 1.0]))
        _short_of_it(axes)
        axes.set_xlabel(_("hours of rain on the evening of day {day}", day=weather.worst_day.day + 1))
        axes.set_ylabel(_("factor over the required one"))
        return write()
