"""Which inputs decide an answer, which of them were tested, and which site test of the program settles one."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Literal

from shellcheck_earth.safety.checks import check_of
from shellcheck_earth.safety.result import Result

__all__ = ["TESTS", "Deciding", "SiteTest", "deciding_values", "first_tests"]

SiteTest = Literal["tilt", "crush", "weigh", "dry", "soak", "tube", "wire"]

TESTS: Mapping[str, SiteTest] = {
    "beds.friction": "tilt",
    "beds.friction_wet": "tilt",
    "beds.friction_no_wire": "tilt",
    "fill.strength_dry": "crush",
    "fill.strength_as_placed": "crush",
    "fill.strength_wet": "crush",
    "beds.wire_breaking_load": "wire",
    "wall.filled_width": "tube",
    "fill.hydraulic_conductivity": "soak",
    "fill.dry_density": "weigh",
    "fill.placing_moisture": "dry",
}
"""Inputs that `shellcheck-earth soil` makes of readings of a site test, and the test."""

ALWAYS = ("fill.dry_density", "fill.placing_moisture")
"""Inputs that every case rests on: they make the weight."""

PAST_TESTS = ("beds.wire_strands", "beds.wire_counted_share", "wall.edge_rounding")
"""Counted, or not to be measured: nothing that a test settles."""


@dataclass(frozen=True)
class Deciding:
    """One input that the worst margins rest on. `test`: what settles it on the site; None: an engineer's matter."""

    path: str
    tested: bool
    test: SiteTest | None


def _doubted(result: Result) -> Iterator[str]:
    """Inputs that overturn the answer somewhere in their range come first."""
    for doubt in result.doubts:
        if doubt.kind in ("past its range", "its range overturns", "blocks rest on it"):
            yield doubt.path
    yield from (one.path for one in result.sensitivity if one.decides)


def _rested_on(result: Result) -> Iterator[str]:
    """Inputs of the worst margin of each check, the shortest margin first."""
    model = result.model
    worst = sorted(result.governing().values(), key=lambda found: found[1].share)
    for case, margin in worst:
        yield from check_of(margin.check).inputs(model.dome, model.case(case.id))


def deciding_values(result: Result) -> tuple[Deciding, ...]:
    """Every input that decides, once, most urgent first; what is counted and not measured is left out."""
    design = result.design
    left_out = {*PAST_TESTS, *(() if design.beds.wire_strands else ("beds.wire_breaking_load",))}
    paths = dict.fromkeys([*_doubted(result), *_rested_on(result), *ALWAYS])
    return tuple(
        Deciding(path, design.basis(path) == "measured", TESTS.get(path))
        for path in paths
        if path not in left_out and (path in TESTS or path.startswith("site.ground"))
    )


def first_tests(values: tuple[Deciding, ...], most: int = 2) -> tuple[Deciding, ...]:
    """The first that were not tested and that a site test settles, at most one for each kind of test."""
    found: dict[SiteTest, Deciding] = {}
    for one in values:
        if not one.tested and one.test is not None:
            found.setdefault(one.test, one)
    return tuple(found.values())[:most]
