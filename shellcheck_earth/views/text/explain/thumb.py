"""The rule of thumb beside what is computed for this dome."""

from __future__ import annotations

from collections.abc import Iterator

from shellcheck_earth.studies.explain.lesson import Teaching
from shellcheck_earth.studies.explain.map import WIDEST, Trial
from shellcheck_earth.views.text.below import said_below
from shellcheck_earth.views.text.doubts import beyond_range_doubts
from shellcheck_earth.views.text.explain.shown import factor_shown, friction_shown, share_shown, width_shown
from shellcheck_earth.views.text.language import _

__all__ = ["thumb_words"]


def _at_a_tenth(teaching: Teaching, tenth: Trial) -> str:
    """Demand and geometric factor of the dome with a wall of a tenth of its diameter."""
    cell = tenth.cell
    if cell.state == "not buildable":
        return _("At 10 % this shape cannot be built of courses this high: some bed has no width left.")
    friction, factor = friction_shown(cell.friction), factor_shown(cell.factor)
    if teaching.design.beds.wire_tension > 0:
        return _(
            "At 10 % the finished dome's demand for bed friction is {friction} with its wire and {friction_no_wire}"
            " without; its geometric factor is {factor} with wire, {factor_no_wire} without.",
            friction=friction,
            friction_no_wire=friction_shown(cell.friction_no_wire),
            factor=factor,
            factor_no_wire=factor_shown(cell.factor_no_wire),
        )
    return _(
        "At 10 % the finished dome's demand for bed friction is {friction}; its geometric factor is {factor}.",
        friction=friction,
        factor=factor,
    )


def _meets(tenth: Trial, *, doubtful: bool) -> Iterator[str]:
    """Whether a tenth is enough, without rain, openings or sideways loads."""
    if tenth.short:
        yield (
            _(
                "At 10 % the finished dome or a stage of building falls short of what is required in: {short}.",
                short=", ".join(map(said_below, tenth.short)),
            )
        )
    elif tenth.meets and doubtful:
        yield _("At 10 % no margin of the finished dome or of a stage of building falls short, but this is no answer.")
    elif tenth.meets:
        yield (
            _(
                "At 10 % it meets what is required in the finished dome and every stage of building, without"
                " rain, openings or sideways loads."
            )
        )


def _least_width(teaching: Teaching) -> str:
    wanted, most = teaching.least_meeting, 100 * WIDEST
    if wanted is None:
        return _(
            "Of the widths tried, in half per cents up to {most:.0f} %, none keeps every margin of the finished dome"
            " and of each stage.",
            most=most,
        )
    return _(
        "Of the widths tried, in half per cents up to {most:.0f} %, all from {wanted:.1f} % on ({width}) keep every"
        " margin of the finished dome and of each stage.",
        most=most,
        wanted=100 * wanted,
        width=width_shown(teaching.design, wanted * teaching.design.dome.inside_diameter),
    )


def _last_line(teaching: Teaching) -> Iterator[str]:
    """How far the rule lies from the last thrust line."""
    falls = (
        way.edge for way in teaching.ways if way.kind == "wall" and way.outcome == "falls" and way.edge is not None
    )
    edge = next(falls, None)
    if edge is not None:
        design = teaching.design
        yield (
            _(
                "The last thrust line of the finished dome is gone at {edge}: the rule is {times:.3g} times"
                " that. It knows neither the fill nor the wire nor the shape; the next dome has another"
                " number.",
                edge=share_shown(design, edge[0]),
                times=0.10 * design.dome.inside_diameter / edge[0],
            )
        )


def thumb_words(teaching: Teaching) -> tuple[str, ...]:
    """The rule of thumb beside what is computed for this dome."""
    design = teaching.design
    tenth = next(trial for trial in teaching.trials if abs(trial.share - 0.10) < 1e-9)
    doubts = () if teaching.strength_aside else beyond_range_doubts(design)
    return (
        (
            _(
                "The trade's rule: a filled width of at least 10 % of the inside diameter, 8 to 9 % where"
                " practised (common practice, no source). Here 10 % is {width}; this wall is {filled_width}.",
                width=width_shown(design, tenth.width),
                filled_width=share_shown(design, design.wall.filled_width),
            )
        ),
        _at_a_tenth(teaching, tenth),
        *_meets(tenth, doubtful=bool(doubts)),
        _least_width(teaching),
        *doubts,
        *_last_line(teaching),
    )
