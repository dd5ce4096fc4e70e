"""Sentences from data: the number, the place and what is required are in each, in the words of the trade."""

from __future__ import annotations

import math
import re
from dataclasses import replace
from pathlib import Path
from typing import get_args

import pytest
from samples import classroom

from shellcheck_earth.design.design import Buttress, Design, Opening
from shellcheck_earth.geometry.courses import Dome, build_dome
from shellcheck_earth.geometry.openings import Advice
from shellcheck_earth.safety.blocks.result import Mechanism, Press
from shellcheck_earth.safety.findings import Caution
from shellcheck_earth.safety.result import CaseResult, Doubt, DoubtKind, Margin, Result
from shellcheck_earth.safety.weather_result import HourMark
from shellcheck_earth.views.text.blocks import mechanism_sentence, press_named
from shellcheck_earth.views.text.cautions import caution_sentence
from shellcheck_earth.views.text.choose import change_words
from shellcheck_earth.views.text.doubts import doubt_sentence
from shellcheck_earth.views.text.margins import margin_sentence
from shellcheck_earth.views.text.numbers import factor_words, listed, required_words
from shellcheck_earth.views.text.openings import advice_sentence
from shellcheck_earth.views.text.verdict import case_sentence, deciding_line
from shellcheck_earth.views.text.weather import cover_sentence, instructions

DOME = build_dome(classroom())
PACKAGE = Path(__file__).parents[3] / "shellcheck_earth"


def _margin(check: str, available: float | None, needed: float | None, unit: str, required: float) -> Margin:
    factor = 1.7 if available is None or needed is None else available / needed
    return Margin(check, available, needed, unit, factor, required, factor >= required, -1, "assumed")


@pytest.mark.parametrize(
    ("margin", "said"),
    [
        (
            _margin("strength while building", 100.0, 70.7, "kPa", 3.0),
            "Strength governs at the bed under buried course -1: the stress is 70.7 kPa, the fill carries 100 kPa, a"
            " factor of 1.41; 3.0 is required.",
        ),
        (
            replace(_margin("bed friction", 0.5, 0.4587, "", 1.5), course=22),
            "Friction governs at the bed under course 22: the demand is 0.46, the bed has 0.50, a safety factor of"
            " 1.09; 1.5 is required.",
        ),
        (
            replace(_margin("wire tension", 2.52, 1.2, "kN", 1.0), course=20),
            "Wire governs at the bed under course 20: the demand is 1.20 kN, 2.52 kN is counted on, a safety factor of"
            " 2.1; 1.0 is required.",
        ),
        (
            _margin("geometric factor", None, None, "", 2.0),
            "Wall width governs at the bed under buried course -1: a thrust line would still fit into beds 1.7 times"
            " narrower, a geometric factor of 1.7; 2.0 is required.",
        ),
        (
            replace(_margin("overall reserve", None, None, "", 1.25), course=None),
            "The whole reserve governs: friction, strength, wire and wall width can all be divided by 1.7 at once; 1.25"
            " is required.",
        ),
        (
            Margin("bed friction", 0.5, None, "", None, 1.5, False, -1, "assumed", "none enough"),
            "No thrust line exists through the bed under buried course -1: no friction is enough.",
        ),
    ],
)
def test_a_margin_in_one_sentence(margin: Margin, said: str) -> None:
    assert margin_sentence(margin, DOME) == said


def test_sentences_are_in_the_users_own_units() -> None:
    feet = build_dome(replace(classroom(), unit_system="imperial"))
    said = margin_sentence(_margin("strength", 500.0, 70.0, "kPa", 3.0), feet)
    assert "72.5 psi" in said and "kPa" not in said  # 1 psi is 6.894757 kPa


def test_a_factor_that_falls_short_never_reads_as_enough() -> None:
    assert factor_words(1.4996, 1.5) == "1.4996"
    assert factor_words(1.4996) == "1.5"
    assert factor_words(1.5, 1.5) == "1.5"
    assert [required_words(value) for value in (3.0, 1.25, 1.5, 1.1)] == ["3.0", "1.25", "1.5", "1.1"]
    assert listed(["wind", "earthquake", "snow"]) == "wind, earthquake and snow" and listed(["wind"]) == "wind"


def test_a_case_that_is_not_established_is_named(whole: Result) -> None:
    unsure = replace(whole.case("finished-damp"), status="cannot say", proof="too close")
    assert "neither a thrust line nor its impossibility" in case_sentence(DOME, (unsure,))
    short = next(case for case in whole.cases if case.counts and any(m.meets is False for m in case.margins))
    assert "could be established" not in case_sentence(DOME, (unsure, replace(short, status="admissible")))


def test_the_deciding_line_names_the_case(whole: Result) -> None:
    case: CaseResult = min(
        (case for case in whole.cases if case.counts),
        key=lambda case: min((m.factor or 0.0) / m.required if not m.meets else math.inf for m in case.margins),
    )
    assert deciding_line(whole).endswith(f"Worst case: {case.title[0].lower()}{case.title[1:]}.")


def test_every_doubt_is_said_with_what_would_settle_it() -> None:
    high = Doubt("past its range", "beds.friction", "1.20", "0.700")
    assert doubt_sentence(high) == (
        "beds.friction is 1.20, not measured, and past the end of the range of such values, 0.700: no verdict may rest"
        " on it until it is measured."
    )
    for kind in get_args(DoubtKind):
        assert doubt_sentence(Doubt(kind, "site.snow", "1", "2")).endswith(".")
    assert 'snow = { value = "none", reason' in doubt_sentence(Doubt("load not stated", "site.snow"))


def test_every_caution_has_its_words(whole: Result) -> None:
    left_out = Caution("loads left out", ("wind", "snow"))
    assert "gives none: wind and snow." in caution_sentence(left_out)
    excused = Caution("loads stated none", (("snow", "no snow has lain here in fifty years"),))
    assert "why: snow (no snow has lain here in fifty years)." in caution_sentence(excused)
    lowered = Caution("lowered criteria", (("bed friction", 1.1, 1.5),))
    assert "requires less" in caution_sentence(lowered) and "bed friction 1.1 instead of 1.5" in caution_sentence(
        lowered
    )
    for caution in whole.cautions:
        assert caution_sentence(caution).endswith(".")


def _with_openings() -> tuple[Design, Dome]:
    door, window = Opening("door", 0.0, 0.0, 0.8, 1.9, "pointed"), Opening("window", 2.0, 0.9, 0.6, 0.9, "round")
    design = classroom(openings=(door, window), buttresses=(Buttress(math.pi / 2, 0.6, 0.5, 0.8),))
    return design, build_dome(design)


def test_what_moves_first() -> None:
    _, dome = _with_openings()
    ring = Mechanism((12, 24), None, ("outward", "sink", "tip"), None, (0, 1), ())
    assert mechanism_sentence(dome, ring) == (
        "Courses 12 to 24, all around, slide outward, sink and tip. The heads of door 1 and window 2 go with them."
    )
    side = Mechanism((-1, -1), (0.0, math.pi / 2), ("sideways",), math.pi / 4, (), (0,))
    assert mechanism_sentence(dome, side) == (
        "Blocks of course buried -1, between bearings 0 deg and 90 deg, move sideways towards 45 deg. Buttress 1 (at 90"
        " deg) goes with them."
    )
    assert mechanism_sentence(dome, Mechanism((1, 1), None, (), None, (), ())) == (
        "Blocks of course 1, all around, shift against each other."
    )
    assert mechanism_sentence(dome, Mechanism(None, None, ("tip",), None, (), (0,))) == (
        "What fails first is no part of the dome: buttress 1 (at 90 deg) moves while the wall still stands, tipping on"
        " its own beds."
    )


def test_where_it_presses_and_what_builders_advise() -> None:
    design, _ = _with_openings()
    places = [Press("jambs", 0, 1.0), Press("head", 1, 1.0), Press("ring above", 0, 1.0), Press("buttress", 0, 1.0)]
    assert [press_named(design, one) for one in places] == [
        "jambs of door 1, one bed",
        "over the head of window 2, one face",
        "ring above door 1",
        "thrust on buttress 1",
    ]
    wide = advice_sentence(design, Advice("wide", (1,), 0.9, 0.8))
    assert wide == (
        "The window 2 is 0.900 m (2.95 ft) wide; builders keep to 0.800 m (2.62 ft) (common practice, no source)."
    )
    assert "door 1 and window 2 lie opposite" in advice_sentence(design, Advice("opposite", (0, 1)))


def test_one_is_singular() -> None:
    design = classroom()
    assert change_words(design, "more wire", 1.0) == "1 strand of wire in each bed"
    assert change_words(design, "more wire", 3.0) == "3 strands of wire in each bed"
    assert change_words(design, "slower pace", 1.0) == "1 course a day"
    assert change_words(design, "slower pace", 2.0) == "2 courses a day"


def test_instructions_name_their_margin(whole: Result) -> None:
    assert whole.weather is not None and whole.weather.pace is None
    said = instructions(whole.dome, whole.weather)
    assert "No pace" in said[0] and "strength while building governs at the bed under" in said[0]
    assert said[1].startswith("Cover the whole dome before 20 minutes")  # 0.41 h, rounded down
    assert all("tipping" in sentence for sentence in said[2:])
    assert not any(re.search(r"\b(un)?safe\b", sentence.lower()) for sentence in said)


@pytest.mark.parametrize(
    ("hour", "begins"), [(4 / 60, "Never let rain reach the dome bare"), (1.0, "Cover the whole dome before 1 h")]
)
def test_nobody_is_told_to_cover_before_0_minutes(whole: Result, hour: float, begins: str) -> None:
    assert whole.weather is not None
    stage = replace(whole.weather.stages[-1], marks=(HourMark("bed friction", hour, 3),))
    said = cover_sentence(whole.dome, replace(whole.weather, stages=(stage,)))
    assert said.startswith(begins) and " 0 minutes" not in said


@pytest.mark.parametrize(("cover", "said"), [(None, "asked all of this rain"), (1.0, "asked this rain until hour 1,")])
def test_the_hour_to_cover_by_is_one_of_rings_where_there_are_openings(
    whole: Result, cover: float | None, said: str
) -> None:
    assert whole.weather is not None
    design = whole.dome.design
    building = replace(design.building, cover_after=cover)
    opened = replace(
        whole.dome, design=replace(design, openings=(Opening("door", 0.0, 0.0, 0.8, 1.8, "lintel"),), building=building)
    )
    plain = replace(whole.dome, design=replace(design, openings=(), building=building))
    assert "rings alone" not in cover_sentence(plain, whole.weather)
    assert said in cover_sentence(opened, whole.weather)


def test_nothing_below_the_views_holds_their_words() -> None:
    """Floors below the views import none of the text modules (tests/test_floors.py), and the texts import no view,
    but for its types."""
    for path in (PACKAGE / "views" / "text").rglob("*.py"):
        found = re.findall(r"(?m)^from shellcheck_earth\.views\.(\w+)", path.read_text(encoding="utf-8"))
        assert set(found) <= {"text"}, path
