"""What a drag shows is what `check` finds for the same case, drawn; it never says that anything meets."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path
from xml.etree import ElementTree

import pytest
from samples import classroom

from shellcheck_earth.basics.renderers import render
from shellcheck_earth.design.design import Design
from shellcheck_earth.geometry.courses import build_dome
from shellcheck_earth.geometry.reading import parse_design
from shellcheck_earth.loads.cases import case_of, dead_cases
from shellcheck_earth.loads.rain.calendar import rain_case, stage_days
from shellcheck_earth.mechanics.rings.discretise import cut_lune
from shellcheck_earth.safety.checks import reserve_of
from shellcheck_earth.safety.laying import laying_table
from shellcheck_earth.safety.result import Result
from shellcheck_earth.safety.worst import worst_margins
from shellcheck_earth.views.page.drawing import preview_svg
from shellcheck_earth.views.page.overview import overview
from shellcheck_earth.views.page.preview import Preview, Shown, preview
from shellcheck_earth.views.text.page.live import lost_sentences, overview_said, quick_said

TEXT = Path("reports/garden-classroom/design.toml").read_text(encoding="utf-8")


def slippery() -> Design:
    """The classroom with beds so smooth that no line is left."""
    return classroom(beds=replace(classroom().beds, friction=0.15, friction_wet=0.1))


@pytest.mark.parametrize("shown", [Shown(), Shown(case="finished-damp"), Shown(case="wire-gone"), Shown(stage=20),
                                   Shown(stage=12, crew=False)])  # fmt: skip
def test_the_margins_are_those_of_check(shown: Shown, whole: Result) -> None:
    found = preview(whole.design, shown)
    assert found.margins == whole.case(found.case.id).margins
    assert found.stands == (whole.case(found.case.id).status == "admissible")


def test_one_case_is_made_as_all_are() -> None:
    dome = build_dome(classroom(site=replace(classroom().site, snow=0.5)))
    cases = dead_cases(dome)
    assert [case_of(dome, case.id) for case in cases] == list(cases)
    for unknown in ("stage-99", "stage-05-", "stage-05-crew", "finished", "", "stage-5"):
        with pytest.raises(KeyError):
            case_of(dome, unknown)


def test_rain_shows_the_worse_of_its_two_weights_and_wets_the_drawing() -> None:
    dry, wet = preview(classroom(), Shown(stage=15, crew=False)), preview(classroom(), Shown(stage=15, hours=12.0))
    assert not dry.wetted and wet.wetted
    assert wet.case.wetting == "rain"
    assert min(m.share for m in wet.margins) < min(m.share for m in dry.margins)
    assert "url(#water)" in preview_svg(wet) and 'fill="url(#water)"' not in preview_svg(dry)


@pytest.mark.parametrize("strong", [False, True])
def test_of_wet_and_of_heavy_the_worse_is_shown(strong: bool) -> None:
    """Water weighs and weakens: which of the two decides differs from dome to dome."""
    fill = classroom().fill
    design = classroom(fill=replace(fill, strength_dry=5000.0, strength_as_placed=5000.0, strength_wet=5000.0)
                       if strong else fill)  # fmt: skip
    dome = build_dome(design)
    for stage in (8, 16, dome.top_number):
        at = next(day for day in stage_days(dome) if day.stage == stage)
        both = [reserve_of(cut_lune(dome, rain_case(dome, at, 12.0, heavy=heavy))) for heavy in (False, True)]
        shown = preview(design, Shown(stage=stage, hours=12.0))
        assert reserve_of(shown.lune) == min(reserve for reserve in both if reserve is not None)
        assert None not in both


def test_what_tips_is_what_the_laying_table_says() -> None:
    slender = parse_design(TEXT.replace('"3.6 m"', '"5 m"').replace('"385 mm"', '"250 mm"'))
    for design in (classroom(), slender):
        dome = build_dome(design)
        rows = laying_table(dome, 18.0, 1.5)
        assert preview(design, Shown()).tips == tuple(row.number for row in rows if row.needs_hand)
    assert preview(slender, Shown()).tips


def test_a_lost_line_has_its_mechanism_and_one_sentence_why() -> None:
    found = preview(slippery(), Shown())
    assert not found.stands and found.collapse is not None
    assert "friction" in found.would
    why, moves = lost_sentences(found)
    assert str(found.failing_course) in why and "more friction" in why
    assert "slide" in moves
    svg = ElementTree.fromstring(preview_svg(found))
    moving = [one for one in svg.iter("{http://www.w3.org/2000/svg}polygon") if one.get("class") == "moves"]
    assert moving and all(one.get("data-rest") != one.get("data-gone") for one in moving)
    assert not lost_sentences(preview(classroom(), Shown()))


def test_stages_past_the_top_and_unknown_cases_fall_back() -> None:
    dome = build_dome(classroom())
    assert preview(classroom(), Shown(stage=300)).laid == dome.top_number
    assert preview(classroom(), Shown(case="no-such-case")).case.id == "finished-dry"


def test_courses_still_to_be_laid_are_dashed() -> None:
    early, late = (preview_svg(preview(classroom(), Shown(stage=stage))) for stage in (5, 20))
    assert early.count('stroke-dasharray="0.8 0.8"') - late.count('stroke-dasharray="0.8 0.8"') == 2 * 15


@pytest.mark.parametrize("design", [classroom(), slippery()], ids=["stands", "lost"])
def test_no_preview_says_meets(design: Design) -> None:
    shown: Preview = preview(design, Shown())
    assert quick_said(shown).preview and quick_said(shown).mark != "meets"
    found = overview(render(design, "text"))
    said = overview_said(found.margins, found.titles, found.doubts, blocks=found.needs_blocks)
    assert said.preview and said.mark != "meets" and "Preview" in said.heading


def test_a_sturdy_dome_is_cannot_say_before_its_proofs() -> None:
    text = Path("reports/tool-store/design.toml").read_text(encoding="utf-8")
    found = overview(text)
    assert all(margin.meets for margin in found.margins)
    said = overview_said(found.margins, found.titles, found.doubts, blocks=found.needs_blocks)
    assert said.mark == "cannot say" and "proofs" in said.sentence


def test_the_overview_is_the_worst_of_all_cases() -> None:
    from shellcheck_earth.loads.model import build_model

    found = overview(TEXT)
    assert found.margins == worst_margins(build_model(parse_design(TEXT)))
    assert {margin.case_id for margin in found.margins} <= set(found.titles)
