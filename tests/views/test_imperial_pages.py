"""Who builds in feet and inches reads feet and inches: build sheet, laying table, instructions, rain, friction chart,
working.
"""

from __future__ import annotations

import csv
import io
import re
from dataclasses import replace
from pathlib import Path

import pytest
from samples import classroom

from shellcheck_earth.basics.units import FOOT, INCH, feet_inches, parse_quantity
from shellcheck_earth.geometry.reading import read_design
from shellcheck_earth.safety.check import check
from shellcheck_earth.safety.result import Result
from shellcheck_earth.views.export.sheets import courses_csv
from shellcheck_earth.views.figures.friction import what_holds_it_up
from shellcheck_earth.views.report.build_sheet import build_sheet_blocks
from shellcheck_earth.views.report.first_page import five_numbers
from shellcheck_earth.views.report.weather_pages import rain_blocks, site_blocks
from shellcheck_earth.views.report.working_pages import working_blocks
from shellcheck_earth.views.text.survey.lengths import at_least, measured_off, on_tape
from shellcheck_earth.views.text.weather import instructions


@pytest.fixture(scope="module")
def metric() -> Result:
    return check(classroom(), proofs=False, explore=False)


@pytest.fixture(scope="module")
def imperial() -> Result:
    return check(replace(classroom(), unit_system="imperial"), proofs=False)


def sheet_rows(assessment: Result, which: int) -> tuple[list[str], list[dict[str, str]]]:
    found = [block for block in build_sheet_blocks(assessment) if block["kind"] == "table"][which]
    assert found["size"] >= 10  # read on site
    titles = [" ".join(column["title"].split()) for column in found["columns"]]  # set in two lines
    return titles, [dict(zip(titles, row, strict=True)) for row in found["rows"]]


def test_the_build_sheet_is_in_the_user_s_units(metric: Result, imperial: Result) -> None:
    course, before = imperial.dome.courses[9], imperial.dome.courses[8]
    titles, rows = sheet_rows(imperial, 0)
    assert titles[-3:] == ["Laid", "Top as built", "Radius as built"]
    assert rows[9]["Set chain"] == feet_inches(course.compass)
    assert rows[9]["Wall height"] == rows[8]["Top then"] == feet_inches(before.z_top).removeprefix("0 ")
    assert rows[9]["Laid"] == "[]" and rows[9]["Top as built"] == ""
    _, rows = sheet_rows(metric, 0)
    assert rows[9]["Set chain"] == f"{1000 * course.compass:.0f} mm"
    assert rows[9]["Top then"] == f"{1000 * course.z_top:.0f} mm"
    titles, rows = sheet_rows(imperial, 1)
    assert [title for title in titles if re.search(r", (m3|kN|m)$", title)] == ["Tube, m"]  # beside its feet and inches
    assert parse_quantity(rows[9]["Step-in"], "length") == pytest.approx(course.step_in, abs=INCH / 8)
    for length in ("Wire", "Tube so far", "Step-in", "Tube, ft in"):  # as a tape reads, to the quarter of an inch
        assert all(re.fullmatch(r"(\d+ ft )?\d+( [13]/[24])? in|[13]/[24] in", row[length]) for row in rows), length
    assert float(rows[9]["Fill, ft3"]) == pytest.approx(course.fill_volume / FOOT**3, abs=0.006)
    assert rows[9]["Compass, mm"] == f"{1000 * course.compass:.0f}"
    assert "ft3" not in repr(build_sheet_blocks(metric))


def test_the_build_sheet_gives_each_course_its_tolerance() -> None:
    """As on the card: the crown's courses may stand off least; a design that falls short has none."""
    design = read_design(Path(__file__).parents[2] / "reports" / "tool-store" / "design.toml")
    _, rows = sheet_rows(check(design, blocks=False, proofs=False, explore=False), 0)
    assert rows[-1]["In by"] == "15/16 in" and rows[4]["In by"] == "2 5/16 in"
    narrow = read_design(Path(__file__).parents[2] / "reports" / "examples" / "narrow-store.toml")
    short = check(narrow, proofs=False, explore=False)
    assert short.verdict == "falls short"
    assert {row["In by"] for row in sheet_rows(short, 0)[1]} == {"-"}
    assert "it has no tolerances" in repr(build_sheet_blocks(short))


def test_the_laying_pages_and_their_instructions_too(imperial: Result) -> None:
    assert imperial.weather is not None
    blocks, _ = rain_blocks(imperial, imperial.weather)
    table = blocks[-1]
    titles = [column["title"] for column in table["columns"]]
    assert "Step-in, in" in titles
    assert "Under a blow, ft" in titles
    row = dict(zip(titles, table["rows"][-1], strict=True))
    assert float(row["Under a blow, ft"]) == pytest.approx(imperial.weather.laying[-1].length_blow / FOOT, abs=0.006)
    pieces = [
        parse_quantity(found, "length") / FOOT
        for text in instructions(imperial.dome, imperial.weather)
        for found in re.findall(r"at least ([^.]+ in) in one piece", text)
    ]
    assert pieces
    assert all(2 * piece == pytest.approx(round(2 * piece)) for piece in pieces)  # rounded up to half a foot
    said = " ".join(instructions(imperial.dome, imperial.weather))
    assert not re.search(r"\d m\b|mm/h", said)
    assert "in/h (20.0 mm/h)" in repr(blocks)


def test_a_length_that_is_rounded_is_never_shorter(imperial: Result) -> None:
    assert imperial.weather is not None
    for text in instructions(imperial.dome, imperial.weather):
        if found := re.search(r"at least ([^.]+ in) in one piece.*needs (.+ in) for that and (.+ in) under", text):
            piece, needs, blow = (parse_quantity(part, "length") for part in found.groups())
            assert piece >= max(needs, blow) - 1e-9


def test_the_site_reads_lengths_of_pieces_off_a_tape(imperial: Result) -> None:
    """Feet and inches to the quarter, rounded up; nothing needed is said so, not as 0.00."""
    assert imperial.weather is not None
    blocks = site_blocks(imperial, (), ())
    table, said = blocks[-1], repr(blocks)
    assert not re.search(r"\d\.\d+ ft|: 0\.00", said)
    row = dict(zip([column["title"] for column in table["columns"]], table["rows"][-1], strict=True))
    last = imperial.weather.laying[-1]
    shown = parse_quantity(row["Needed under a blow"], "length")
    assert last.length_blow - 1e-9 <= shown < last.length_blow + INCH / 4
    assert at_least(0.1, "imperial") == "4 in" and at_least(0.0254, "imperial") == "1 in"
    assert at_least(0.1001, "metric") == "0.11 m" and at_least(0.1, "metric") == "0.10 m"
    assert measured_off(3.2, "imperial") == "10 ft 6 in" and on_tape(0.06, "metric") == "60 mm (2 1/4 in)"


def test_the_friction_chart_and_the_working_say_their_units(metric: Result, imperial: Result) -> None:
    assert "in each bed [lbf]" in what_holds_it_up(imperial)
    assert "in each bed [kN]" in what_holds_it_up(metric)
    assert "1 kN is 224.81 lbf" in repr(working_blocks(imperial))
    assert "224.81" not in repr(working_blocks(metric))


def test_the_sheet_as_data_has_feet_in_its_heads(metric: Result, imperial: Result) -> None:
    rows = list(csv.DictReader(io.StringIO(courses_csv(imperial))))
    heads = list(rows[0])
    assert heads[:2] == ["compass_ft_in", "compass_mm"]
    assert not {"tube_so_far_m", "fill_so_far_m3", "wire_so_far_m", "bottom_above_springing_mm"} & set(heads)
    last, totals = rows[-1], imperial.totals
    assert last["compass_ft_in"] == feet_inches(imperial.dome.courses[-1].compass)
    assert last["bottom_above_springing_ft_in"] == feet_inches(imperial.dome.courses[-1].z_bottom)
    assert float(last["tube_so_far_ft"]) == pytest.approx(totals.tube_length / FOOT, abs=0.006)
    assert float(last["fill_so_far_ft3"]) == pytest.approx(totals.fill_volume / FOOT**3, abs=0.0006)
    assert courses_csv(metric).startswith("compass_mm,compass_ft_in,course,kind,bottom_above_springing_mm,")


def test_the_weight_is_pounds_before_tonnes(metric: Result, imperial: Result) -> None:
    tonnes = metric.totals.weight / 9.80665
    pounds = 1000 * tonnes / 0.45359237
    plain, feet = (five_numbers(one)["numbers"][0] for one in (metric, imperial))
    assert plain == {"value": f"{tonnes:.3g} t", "what": f"weight of the finished dome ({metric.totals.weight:.3g} kN)"}
    assert feet["what"] == f"weight of the finished dome ({tonnes:.3g} t)"
    assert feet["value"].endswith(" lb") and float(feet["value"][:-3]) == pytest.approx(pounds, rel=5e-3)
