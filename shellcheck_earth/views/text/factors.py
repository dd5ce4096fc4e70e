"""The table of cases, combinations and checks in words."""

from __future__ import annotations

from collections.abc import Mapping

from shellcheck_earth.design.design import Design
from shellcheck_earth.views.text.language import _, mark

__all__ = ["CROSSED", "GROUPS", "OWN_SET", "ROWS_OF_FACTORS", "SHORT", "stated_as"]

CROSSED = mark(
    "Each number is a factor over what is required of it: 1 just meets, less falls short. One star marks what governs"
    " its check, the least of all that count; two stars mark what decides. Of the stages the worst one stands for each"
    " check; every number of every case is in assessment.json and on a sheet of courses.xlsx."
)
ROWS_OF_FACTORS = mark(
    "All factors of a row act at once: weight, crew, snow, water in one half, wind and earthquake times theirs,"
    " friction, fill and wire over theirs. A row is asked of every stage and state of moisture that has its loads; in a"
    " row with both, snow lies all around beside wind and earthquake, and wind blows towards the half that snow has"
    " drifted onto. Weight under 1 holds down against wind that lifts and overturns."
)
OWN_SET = mark(
    "A set of factors from a file of its own stands beside {set}, and takes nothing off it: {name}; taken from {title},"
    " {edition}. Whoever wrote the file answers for it: this program has not read what it was taken from."
)
GROUPS: Mapping[str, str] = {
    "stage": mark("Building, the worst of {count} stages"),
    "rain": mark("Rained on, the worst of {count} evenings"),
}
SHORT: Mapping[str, str] = {
    "bed friction": mark("Friction"),
    "geometric factor": mark("Geometry"),
    "strength": mark("Strength"),
    "strength while building": mark("Strength, building"),
    "wire tension": mark("Wire"),
    "overall reserve": mark("Reserve"),
    "combined factors": mark("Combined"),
    "standing without wire": mark("No wire"),
    "base sliding": mark("Sliding"),
    "ground bearing": mark("Bearing"),
}


def stated_as(design: Design) -> str:
    """What wind and earthquake are stated as, which decides their factor."""
    said = []
    site, strength = design.site, "strength level"
    if site.wind_pressure:
        said.append(_(WIND_AT_STRENGTH if site.wind_basis == strength else WIND_CHARACTERISTIC))
    if site.earthquake:
        said.append(_(QUAKE_AT_STRENGTH if site.earthquake_basis == strength else QUAKE_CHARACTERISTIC))
    return " ".join(said) or _("The site states neither wind nor earthquake.")


WIND_AT_STRENGTH = mark("The wind is stated at strength level.")
WIND_CHARACTERISTIC = mark("The wind is taken as a characteristic value: stated so, or not said.")
QUAKE_AT_STRENGTH = mark("The earthquake is stated at strength level.")
QUAKE_CHARACTERISTIC = mark("The earthquake is taken as a characteristic value: stated so, or not said.")
