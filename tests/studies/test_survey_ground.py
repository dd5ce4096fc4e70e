"""Rain soaks the ground that a wall stands in: a survey never says that a cover helps against that."""

from __future__ import annotations

from dataclasses import replace

import pytest
from certificates import SHELTER
from survey_sheets import asked, sheet

from shellcheck_earth.geometry.reading import parse_design
from shellcheck_earth.studies.survey.answer import Assessed, decide, ground_in_rain
from shellcheck_earth.studies.survey.survey import SurveyAnswer
from shellcheck_earth.views.text.language import words
from shellcheck_earth.views.text.survey.answer import answer_sentence, behind_sentence

DOME = (
    SHELTER.replace('"2.0 m"', '"3.0 m"')
    .replace("[dome]", '[dome]\nfloor_above_ground = "0 m"')
    .replace("[building]", "[building]\ncourses_per_day = 6")
)


def found_of(strength_wet: str, laid: int, text: str = DOME) -> SurveyAnswer:
    design = parse_design(
        text.replace('strength_wet = { value = "1 MPa"', f'strength_wet = {{ value = "{strength_wet}"')
    )
    return asked(design, sheet(design, laid))


def test_what_stands_in_wet_ground_stops_the_work_and_is_not_to_be_covered() -> None:
    found = found_of("0.1 MPa", 14)
    decision = found.decision
    assert (decision.answer, decision.reason) == ("stop", "rain on the ground")
    assert decision.behind is not None and decision.behind[0].wetting == "rain"
    for language, word, never in (("en", "drain", "Cover the wall"), ("es", "drenaje", "Cubra")):
        said = answer_sentence(found, words(language))
        assert word in said and never not in said
        assert behind_sentence(found, words(language))
    # the same whatever is found of the ways on
    nothing = Assessed(found.plan.way, None)
    assert decide(found.now, nothing, nothing) == decision


@pytest.mark.parametrize(("strength_wet", "answer"), [("0.16 MPa", "stop"), ("0.5 MPa", "go on")])
def test_no_way_on_leads_through_wet_ground_that_gives_way(strength_wet: str, answer: str) -> None:
    """What stands is in order on its first courses; with more on it its foot is not, and no cover is said to help."""
    found = found_of(strength_wet, 3)
    assert ground_in_rain(found.now) is None
    if answer == "stop":
        assert (found.decision.answer, found.decision.reason) == ("stop", "no way holds")
        assert found.decision.behind == ground_in_rain(found.corrected.result) is not None
    else:
        assert ground_in_rain(found.plan.result) is None and found.decision.answer != "stop"
    drowned = replace(found.plan, result=None)
    assert ground_in_rain(drowned.result) is None


FOOT = """[[wall.courses]]
to = 4
stabiliser = "cement"
strength_wet = { value = "0.9 MPa", source = "measured" }
[beds]"""


@pytest.mark.parametrize(("cover", "answer"), [("", "cover first"), ('cover_after = "1 h"', "go on")])
def test_a_wall_that_only_lacks_its_cover_is_to_be_covered(cover: str, answer: str) -> None:
    """Its foot bears being soaked, and the rest does not: uncovered no line is left, and base sliding and the ground
    fall short with everything else. That is no fault of the ground."""
    text = DOME.replace("[beds]", FOOT).replace('cover_after = "2 h"', cover)
    found = found_of("0.03 MPa", 14, text)
    assert ground_in_rain(found.now) is None and ground_in_rain(found.plan.result) is None
    assert found.decision.answer == answer
    if answer == "cover first":
        assert found.decision.reason == "rain on what stands" and found.decision.then == "go on"
        assert "Cover the wall" in answer_sentence(found, words("en")) and found.cover.hours
