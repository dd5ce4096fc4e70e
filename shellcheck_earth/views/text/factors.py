"""The table of cases, combinations and checks in words."""

from __future__ import annotations

from collections.abc import Mapping

from shellcheck_earth.design.design import Design

__all__ = ["CROSSED", "GROUPS", "ROWS_OF_FACTORS", "SHORT", "stated_as"]

CROSSED = (
    "Each number is a factor over what is required of it: 1 just meets, less falls short. One star marks what governs"
    " its check, the least of all that count; two stars mark what decides. Of the stages the worst one stands for each"
    " check; every number of every case is in assessment.json and on a sheet of courses.xlsx."
)
ROWS_OF_FACTORS = (
    "All factors of a row act at once: weight, crew, snow, water in one half, wind and earthquake times theirs,"
    " friction, fill and wire over theirs. A row is asked of every stage and state of moisture that has its loads; in a"
    " row with both, snow lies all around beside wind and earthquake, and wind blows towards the half that snow has"
    " drifted onto. Weight under 1 holds down against wind that lifts and overturns."
)
GROUPS: Mapping[str, str] = {"stage": "Building, the worst of {} stages", "rain": "Rained on, the worst of {} evenings"}
SHORT: Mapping[str, str] = {
    "bed friction": "Friction",
    "geometric factor": "Geometry",
    "strength": "Strength",
    "strength while building": "Strength, building",
    "wire tension": "Wire",
    "overall reserve": "Reserve",
    "combined factors": "Combined",
    "standing without wire": "No wire",
    "base sliding": "Sliding",
    "ground bearing": "Bearing",
}


def stated_as(design: Design) -> str:
    """What wind and earthquake are stated as, which decides their factor."""
    said = []
    for name, there, level, path in (
        ("wind", design.site.wind_pressure, design.site.wind_basis, "site.wind_basis"),
        ("earthquake", design.site.earthquake, design.site.earthquake_basis, "site.earthquake_basis"),
    ):
        if there:
            silent = design.bases.get(path) == "assumed"
            level_words = "at strength level" if level == "strength level" else "a characteristic value"
            said.append(f"The {name} is taken as {level_words}" + (", for the file does not say." if silent else "."))
    return " ".join(said) or "The site states neither wind nor earthquake."
