"""The study of uncertain inputs, in sentences."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from shellcheck_earth.basics.units import both
from shellcheck_earth.studies.sample.margins import Margins
from shellcheck_earth.studies.sample.orders import Orders
from shellcheck_earth.studies.sample.statistics import Share
from shellcheck_earth.studies.sample.study import Chance, LeftOut

__all__ = [
    "INDICES",
    "INPUT",
    "MARGIN",
    "ORDERS",
    "OUTCOME",
    "SHARES",
    "SHARES_ALT",
    "STUDY",
    "UNCERTAIN",
    "crown_sentence",
    "ends_sentence",
    "hangs_on_sentence",
    "how_margins_sentence",
    "how_sentence",
    "left_out_sentences",
    "limits_sentence",
    "limits_shown",
    "per_cent",
    "same_answer_sentence",
    "spread_sentence",
    "total_sentence",
]

STUDY = (
    "This is a sensitivity study of the model with stated, not known, distributions. It is no failure probability of"
    " the real building."
)
SHARES: Mapping[str, str] = {
    "no_line": "no thrust line in some counted case",
    "short": "some margin short",
    "unbuildable": "courses no longer overlap",
}
OUTCOME: Mapping[str, str] = {"no_line": "whether a thrust line exists", "short": "whether every margin is met"}
MARGIN: Mapping[str, str] = {
    "reserve": "the overall reserve",
    "share": "the least share of what is required",
}
MARGIN_SAID: Mapping[str, str] = {
    "reserve": "what friction, strength, wire and bed width may all be divided by together, in the worst case",
    "share": "the least factor over required factor of all checks and cases; a dome without any thrust line has none",
}
INPUT: Mapping[str, str] = {
    "dry_density": "dry density",
    "placing_moisture": "moisture as placed",
    "service_moisture": "moisture in service",
    "strength": "strength, common factor",
    "strength_own:dry": "strength dry, its own",
    "strength_own:placed": "strength as placed, its own",
    "strength_own:wet": "strength wet, its own",
    "friction": "bed friction",
    "friction_wet_own": "wet friction, its own",
    "wire": "counted wire tension",
    "filled_width": "filled width",
    "compass errors": "compass errors of all courses",
}
SHARES_ALT = (
    "Bars of the shares of domes without a line, with a margin short, and short in each check, with 95 % limits"
)
INDICES = (
    "Share of the variance of a yes or no that one input explains alone (index of first order), with its standard error"
    " over the scramblings. The rest is explained by several inputs together. An index within two errors of nothing is"
    " not told from nothing."
)
ORDERS = (
    "Alone: share of the variance of the margin that the input explains by itself (first order, Saltelli and others"
    " 2010). With others: its part in what several inputs explain together is added (total order, Jansen 1999). Both"
    " from domes in which one input at a time is exchanged for that of another dome; formulas recalled, and compared"
    " with a published program and with a function of known indices. Standard errors over the scramblings. Totals may"
    " add up to more than 100 %, for what two inputs do together counts for both."
)
UNCERTAIN = (
    "Lognormal: the design's value is the median, the spread its coefficient of variation. Values the design marks as"
    " measured take the smaller spread. Values that cannot be together are brought together: moisture at most fills the"
    " voids, strength as placed at most the dry one, wet strength and wet friction at most the dry ones."
)


def per_cent(value: float) -> str:
    """A share in per cent, three figures."""
    return f"{100 * value:.3g} %"


def limits_shown(share: Share) -> str:
    """The 95 % limits of a share."""
    return f"{per_cent(share.low)} to {per_cent(share.high)}"


def how_sentence(chance: Chance) -> str:
    """How many domes, and how they were drawn."""
    return (
        f"{chance.samples:,} domes of the design, scrambled Sobol points in {chance.scramblings} scramblings, seed"
        f" {chance.seed}. A dome whose courses no longer overlap counts in both shares."
    )


def how_margins_sentence(margins: Margins) -> str:
    """How many domes the margins are from."""
    return (
        f"Margins as numbers, from a sample of their own: {margins.points:,} base points, {margins.domes:,} domes, each"
        " found to 0.4 %."
    )


def spread_sentence(name: str, chance: Chance) -> str:
    """How a margin spreads, what it is, and what is required of it."""
    margins = chance.margins
    one, required = margins.spread[name], chance.design.criteria.required["overall reserve"] if name == "reserve" else 1

    def told(value: float) -> str:
        least, most = margins.ends
        if least < value < most:
            return f"{value:.2f}"
        return f"{value:g} or {'less' if value == least else 'more'}"

    return (
        f"{_capital(MARGIN[name])} ({MARGIN_SAID[name]}): at most {told(one.low)} in 5 %, at most {told(one.middle)} in"
        f" half, at least {told(one.high)} in 5 % of the domes; required: {required:g}."
    )


def ends_sentence(name: str, margins: Margins) -> str:
    """Which domes stand at an end of what is told; empty where none does."""
    one, (least, most) = margins.spread[name], margins.ends
    said = []
    if one.at_least > 0:
        why = "no thrust line, or courses that no longer overlap" if name == "share" else "courses no longer overlap"
        said.append(f"{per_cent(one.at_least)} of the domes count as {least:g} ({why}, or so little)")
    if one.at_most > 0:
        said.append(f"{per_cent(one.at_most)} count as {most:g} (so much or more)")
    if not said:
        return ""
    weak = "" if margins.speaks(name) else " So many at one end say nothing of what it hangs on."
    return f"{_capital(' and '.join(said))}.{weak}"


def hangs_on_sentence(name: str, found: Sequence[Orders]) -> str:
    """Which inputs a margin hangs on most, in plain words."""
    if not found:
        return (
            f"{_capital(MARGIN[name])} is the same in every sampled dome, so nothing can be said of what it hangs on."
        )
    told = [one for one in found if one.total > 2 * one.total_error][:3]
    if not told:
        return f"What {MARGIN[name]} hangs on cannot be told from so few domes."
    first = told[0]
    said = (
        f"{_capital(MARGIN[name])} hangs most on {INPUT[first.name]}: {_about(first.first)} of its variance alone,"
        f" {_about(first.total)} with others"
    )
    rest = [f"{INPUT[one.name]} ({_about(one.first)} alone, {_about(one.total)} with others)" for one in told[1:]]
    return f"{said}{'; then ' + ', '.join(rest) if rest else ''}."


def total_sentence(outcome: str, found: Sequence[Orders]) -> str:
    """The total order of a yes or no; empty where the smaller sample has one answer only, or tells nothing."""
    told = [one for one in found if one.total > 2 * one.total_error][:4]
    if not told:
        return ""
    parts = ", ".join(f"{INPUT[one.name]} {one.total:.2f} +- {one.total_error:.2f}" for one in told)
    return f"For {OUTCOME[outcome]}, alone and with others (index of total order, from the smaller sample): {parts}."


def _about(value: float) -> str:
    """A share of variance in whole per cent; a little below nothing is scatter."""
    return f"{max(round(100 * value), 0)} %"


def _capital(text: str) -> str:
    return text[:1].upper() + text[1:]


def crown_sentence(chance: Chance) -> str:
    """What an error in the centre compass does near the crown."""
    parts = ", ".join(f"{ratio:.2g} times at course {label}" for label, ratio in chance.crown)
    limit = both(chance.scatter["noticed"].spread, "length", chance.design.unit_system)
    return (
        f"An error in the centre compass moves the ring by more than itself: {parts} (dr = c/r dc). Near the crown the"
        f" centre compass hardly holds the ring. A ring farther off than {limit} is taken to be noticed and set back to"
        " that."
    )


def limits_sentence(chance: Chance) -> str:
    """Where the 95 % limits come from."""
    limits = {one.limits_from for one in (*chance.shares.values(), *chance.checks.values())}
    return (
        "Limits: the wider of those of independent domes (Clopper & Pearson 1934, recalled) and of the spread of the"
        f" scramblings (Student); here: {', '.join(sorted(limits))}."
    )


def same_answer_sentence(outcome: str) -> str:
    """Why nothing is said of what decides an answer that all sampled domes share."""
    return f"For {OUTCOME[outcome]}: every sampled dome has the same answer, so nothing can be said."


def left_out_sentences(left_out: LeftOut) -> list[str]:
    """What this study leaves out of what the design's own check examines."""
    said = [
        "Only ring-symmetric dead-load cases are examined: the finished dome and every stage of building, bare and with"
        " the crew."
    ]
    if left_out.openings:
        said.append("Openings and buttresses of this design are not seen.")
    if left_out.sideways:
        said.append("Wind and earthquake of this design are not seen.")
    cases = "; ".join([*left_out.cases, "every stage after rain"])
    return [*said, f"Cases that count in the check and are not examined here: {cases}."]
