"""The study of uncertain inputs, in sentences."""

from __future__ import annotations

from collections.abc import Mapping

from shellcheck_earth.basics.units import both
from shellcheck_earth.studies.sample.statistics import Share
from shellcheck_earth.studies.sample.study import Chance, LeftOut

__all__ = [
    "INDICES",
    "INPUT",
    "OUTCOME",
    "SHARES",
    "SHARES_ALT",
    "STUDY",
    "UNCERTAIN",
    "crown_sentence",
    "how_sentence",
    "left_out_sentences",
    "limits_sentence",
    "limits_shown",
    "per_cent",
    "same_answer_sentence",
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
