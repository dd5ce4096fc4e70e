"""The table of cases, combinations and checks in words."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence

from shellcheck_earth.design.design import Design
from shellcheck_earth.safety.asked import RowAsked
from shellcheck_earth.views.text.language import _, mark

__all__ = [
    "ASKED_OF", "CROSSED", "EVERY_ROW", "GROUPS", "NOT_ASKED", "OWN_ROWS", "OWN_SET", "ROWS_OF_FACTORS", "SHORT",
    "asked_words", "stated_as",
]  # fmt: skip

CROSSED = mark(
    "Each number is a factor over what is required of it: 1 just meets, less falls short. One star marks what governs"
    " its check, the least of all that count; two stars mark what decides. Of the stages the worst one stands for each"
    " check; every number of every case is in assessment.json and on a sheet of courses.xlsx."
)
ROWS_OF_FACTORS = mark(
    "All factors of a row act at once: weight, crew, snow, water in one half, wind and earthquake times theirs,"
    " friction, fill and wire over theirs. Of which stages, moisture and directions each was asked stands below; in a"
    " row with both, snow lies all around beside wind and earthquake, and wind blows towards the half that snow has"
    " drifted onto. Weight under 1 holds down against wind that lifts and overturns."
)
OWN_SET = mark(
    "A set of factors from a file of its own stands beside {set}, and takes nothing off it: {name}; taken from {title},"
    " {edition}. Whoever wrote the file answers for it: this program has not read what it was taken from."
)
EVERY_ROW = mark(
    "Of each question every row of factors that it was asked at. Of the loads of its kind the one that is held the"
    " least is named, with its bearing on plan: where wind and earthquake push to, the middle of a half or of a place."
    " Rows that ask no more than another one in everything are asked with that one. Where nothing is held at one row"
    " the others are not asked."
)
ASKED_OF = mark(
    "What the program asked, not what it might: a row is left out of a case where another one there asks the same or"
    " more, where the case has none of its loads, or where the case has one question alone. Directions between those"
    " named are asked about the one that is held the least; a bearing that is the mirror image of another is asked"
    " once."
)
OWN_ROWS = mark(
    "All capacities are divided by what the criterion of the load requires, and the ground by what base sliding and"
    " ground bearing require: where those factors stand is said with what is required."
)
NOT_ASKED = mark("nothing of this design by itself")
STAGES: Mapping[str, str] = {
    "finished": mark("finished"),
    "stage": mark("building"),
    "rain": mark("rained on while building"),
}
MOIST: Mapping[str, str] = {
    "service": mark("dry"),
    "placed": mark("damp as placed"),
    "saturated": mark("soaked"),
    "base saturated": mark("base soaked"),
    "by age": mark("as its age leaves it"),
}
LOADED: Mapping[str, str] = {
    "weight": mark("weight"),
    "crew": mark("crew"),
    "snow": mark("snow"),
    "wind": mark("wind"),
    "earthquake": mark("earthquake"),
    "rain": mark("water in one half"),
    "worker": mark("one worker"),
}


def asked_words(asked: Sequence[RowAsked]) -> str:
    """Of which stages, in which moisture, under which loads and from which bearings a row is asked; "-" for nothing.

    What differs in its stage or moisture alone is said together.
    """
    found: dict[str, dict[str, dict[str, None]]] = {}
    for one in asked:
        load = _(" and ").join(_(LOADED[name]) for name in (one.load, *one.beside))
        bearings = ", ".join(f"{math.degrees(b) % 360:.0f}" for b in one.bearings)
        said = _("{load} at {bearings} deg", load=load, bearings=bearings) if bearings else load
        found.setdefault(said, {}).setdefault(_(STAGES[one.stage]), {})[_(MOIST[one.moisture])] = None
    alike: dict[str, list[str]] = {}
    for said, stages in found.items():
        where = "; ".join(f"{stage}: {', '.join(moist)}" for stage, moist in stages.items())
        alike.setdefault(where, []).append(said)
    return ". ".join(f"{', '.join(loads)} ({where})" for where, loads in alike.items()) or "-"


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
