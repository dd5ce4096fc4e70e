"""Strength set aside: shape and slenderness show, and no output of it can be taken for a verdict."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest
from samples import classroom

from shellcheck_earth.geometry.courses import build_dome
from shellcheck_earth.geometry.reading import read_design
from shellcheck_earth.loads.cases import case_of
from shellcheck_earth.loads.model import build_model
from shellcheck_earth.mechanics.rings.admissible import AVAILABLE, failing_bed, pack
from shellcheck_earth.mechanics.rings.discretise import cut_lune
from shellcheck_earth.safety.untested import with_number
from shellcheck_earth.safety.worst import worst_margins
from shellcheck_earth.studies.compare import Comparison, compare
from shellcheck_earth.studies.explain.alone import slender
from shellcheck_earth.studies.explain.lesson import teach
from shellcheck_earth.studies.strength_aside import ASIDE, geometric_margins, strength_aside
from shellcheck_earth.views.figures.comparison.curves import comparison_figures
from shellcheck_earth.views.figures.comparison.rule_of_thumb import rule_points
from shellcheck_earth.views.pages.compare import comparison_csv, comparison_document, comparison_lines
from shellcheck_earth.views.pages.explain import teaching_document
from shellcheck_earth.views.text.cautions import STRENGTH_ASIDE

ROOT = Path(__file__).parents[2]
CLASSROOM = ROOT / "reports" / "garden-classroom" / "design.toml"
GRID = ("dome.inside_diameter=2..4.5:6 m", "wall.filled_width=0.25..0.5:6 m")


@pytest.fixture(scope="module")
def grid() -> Comparison:
    return compare([CLASSROOM], GRID, workers=2, strength_aside=True)


def test_thirty_six_domes_are_told_apart_by_their_shape(grid: Comparison) -> None:
    counts = grid.counts()
    assert counts["holds, strength set aside"] > 5 and counts["falls short"] > 5
    assert "meets" not in counts
    weak = compare([CLASSROOM], GRID, workers=2)
    # one assumed strength fails them all, but for the three widest walls of the smallest dome
    assert weak.counts()["falls short"] == 33 and weak.counts()["cannot say"] == 3
    for aside, own in zip(grid.points, weak.points, strict=True):
        assert aside.margin("strength") is None and aside.margin("strength while building") is None
        for margin in aside.margins:
            before = own.margin(margin.check)
            if before is not None and not margin.check.startswith(("base", "ground")):
                assert margin.factor >= before.factor * (1 - 1e-6), (aside.chosen, margin.check)


def test_the_strength_is_far_past_what_any_dome_asks_for() -> None:
    found = {one.check: one for one in worst_margins(build_model(strength_aside(classroom())))}
    assert found["strength"].factor > 100
    assert {one.check for one in geometric_margins(classroom())} == set(found) - {"strength", "strength while building"}


def test_the_last_wall_with_a_line_is_that_of_a_fill_without_limit() -> None:
    design = replace(classroom(), beds=replace(classroom().beds, wire_strands=0))  # with it, every width has a line
    edge = slender(design).edge
    assert edge is not None

    def stands(width: float) -> bool:
        dome = build_dome(with_number(strength_aside(design), "wall.filled_width", width))
        return failing_bed(pack(cut_lune(dome, case_of(dome, "finished-dry"))), AVAILABLE) < 0

    assert stands(edge[0] * 1.02) and not stands(edge[0] * 0.98)


def test_every_output_of_a_comparison_says_it(grid: Comparison) -> None:
    lines = "\n".join(comparison_lines(grid))
    flat = " ".join(lines.split())
    assert flat.count(STRENGTH_ASIDE) == 2 and flat.startswith(STRENGTH_ASIDE)
    assert " meets" not in lines.replace("meets every", "")
    rows = comparison_csv(grid).splitlines()[1:]
    assert all(ASIDE in row.split(",")[0] for row in rows)
    document = comparison_document(grid)
    assert ASIDE in document.title and ASIDE in document.footer
    assert STRENGTH_ASIDE in repr(document.blocks)


def test_the_rule_of_thumb_lies_on_the_map(grid: Comparison) -> None:
    points = rule_points(grid, 0.10)  # columns 2, 2.5 ... 4.5 m; rows 0.25, 0.30 ... 0.50 m: 0.1 D from 2.5 m to 4.5 m
    assert points[0] == pytest.approx((1.0, 0.0)) and points[-1] == pytest.approx((5.0, 4.0))
    assert all(row == pytest.approx(column - 1) for column, row in points)
    assert rule_points(grid, 0.10) == [(x, y) for x, y in points if 0 <= y <= 5]
    assert (
        "10 %" in comparison_figures(grid)["maps-1.svg"] or "stroke-dasharray" in comparison_figures(grid)["maps-1.svg"]
    )
    assert "common practice, no source" in repr(comparison_document(grid).blocks)
    other = compare([CLASSROOM], ["dome.inside_diameter=2,3 m", "beds.friction=0.5,0.6"], workers=2)
    assert rule_points(other, 0.10) == []
    assert "rule of thumb" not in repr(comparison_document(other).blocks)


def test_explain_says_it_too() -> None:
    design = read_design(ROOT / "reports" / "examples" / "seed-store.toml")
    lesson = teach(design, aside=True)
    assert lesson.strength_aside and ASIDE in lesson.design.name
    document = teaching_document(lesson)
    assert ASIDE in document.title and STRENGTH_ASIDE in repr(document.blocks[1])
    assert not any("strength" in name for trial in lesson.trials for name in trial.short)
    plain = teach(design)
    assert lesson.file_sha256 == plain.file_sha256 and not plain.strength_aside
    wall, own = (next(way for way in one.ways if way.kind == "wall") for one in (lesson, plain))
    assert wall.edge is not None and own.edge is not None and wall.edge[0] <= own.edge[0] + 1e-9
