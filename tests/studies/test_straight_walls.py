"""Straight walls with buttresses: by hand, and what is refused with the number that fits."""

from __future__ import annotations

import json
import math
import re
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
from joined_bodies import PAIR, ROUGH, WALL_TEXT, garden_wall, live_of, plain_wall, posed, pushed, solved, written

from shellcheck_earth.basics.errors import InputError, UnbuildableError
from shellcheck_earth.mechanics.blocks.conic import solve_cone
from shellcheck_earth.mechanics.blocks.faces import Shares
from shellcheck_earth.mechanics.blocks.rows import assemble
from shellcheck_earth.studies.joined import ask as ask_module
from shellcheck_earth.studies.joined.ask import held_to, holds_dead, largest_multiple, largest_reserve
from shellcheck_earth.studies.joined.given import ButtressRow, WallGiven, WallOpening, read_given
from shellcheck_earth.studies.joined.solids import problem_of, shaken
from shellcheck_earth.studies.joined.standing import stand_wall
from shellcheck_earth.studies.joined.straight import ZONES, buttress_places, check_wall, straight_wall, wind_on_wall
from shellcheck_earth.studies.joined.told import Told
from shellcheck_earth.views.cli.main import run


@pytest.mark.parametrize("courses", [5, 10])
@pytest.mark.parametrize("longest", [0.7, 3.0])
def test_a_wall_overturns_at_its_width_over_its_height(courses: int, longest: float) -> None:
    assert pushed(plain_wall(courses), ROUGH, longest=longest) == pytest.approx(0.4 / (0.2 * courses), rel=1e-4)


def test_it_slides_where_friction_is_less_than_that() -> None:
    assert pushed(plain_wall(2), replace(ROUGH, friction=0.3)) == pytest.approx(0.3, rel=1e-5)


def test_rounded_edges_and_crushing_take_from_its_width() -> None:
    """By hand: the resultant lies 2 e = a h off; a stress block f carries W = f L (w - 2 e) of what is left."""
    tall, weight = 2.0, 18.0 * 0.4 * 2.0
    assert pushed(plain_wall(10, edge_rounding=0.03), ROUGH) == pytest.approx((0.4 - 0.06) / tall, rel=1e-4)
    weak = replace(ROUGH, strength=200.0)
    assert pushed(plain_wall(10), weak) == pytest.approx((0.4 - weight / 200.0) / tall, rel=1e-4)


def test_wind_overturns_it_by_hand() -> None:
    """A short wall stands in the end zones all along: q c h^2/2 against W w/2, a metre of it, on either side."""
    wall = plain_wall(10, wind_pressure=0.5)
    of = straight_wall(wall, 0.5)
    lengths = replace(of, meetings=tuple(face for face in of.meetings if face.kind != "head joint"))
    for side in (1.0, -1.0):
        found = solved(problem_of(lengths, ROUGH, wind_on_wall(wall, of, side))).multiplier
        assert found == pytest.approx(18.0 * 0.4 * 2.0 * 0.2 / (0.5 * 3.4 * 2.0 * 1.0), rel=1e-4)


def test_the_net_coefficients_of_a_long_wall() -> None:
    """EN 1991-1-4, Table 7.9 (recalled): 3.4 to 0.3 heights from an end, 2.1 to 2, 1.7 to 4, 1.2 beyond; no less."""
    wall = plain_wall(5, length=12.0)
    of = straight_wall(wall, 1.0)
    push = wind_on_wall(wall, of, 1.0)[:, 1]
    for k, solid in enumerate(of.solids):
        away = 6.0 - max(abs(x) for x, _, _ in solid.corners)
        area = 0.2 * (solid.corners[1][0] - solid.corners[0][0])
        expected = 3.4 if away < 0.3 + 1e-9 else 2.1 if away < 2.0 + 1e-9 else 1.7 if away < 4.0 + 1e-9 else 1.2
        assert push[k] == pytest.approx(expected * area)
    assert [value for _, value in ZONES] == [3.4, 2.1, 1.7, 1.2]


def test_a_buttress_helps_what_leans_on_it_and_nothing_else() -> None:
    """It covers the wall's whole front. Pushed away from it, the wall stands alone, w/h. Pushed towards it, both tip
    about their own toes, the wall pressing level on the buttress: a h (Ww + Wb)/2 = (Ww w + Wb p)/2, by hand."""
    row = ButtressRow(1.0, 0.5, 0.6, 2.0, "front")
    wall = plain_wall(10, buttress=row)
    assert len(buttress_places(wall)) == 2
    of = straight_wall(wall, 9.0)
    live = shaken(of, ROUGH, 1.0, (0.0, -1.0, 0.0))
    live[[k for k, solid in enumerate(of.solids) if solid.label.startswith("buttress")]] = 0.0
    away = solved(problem_of(of, ROUGH, live)).multiplier
    assert away == pytest.approx(0.4 / 2.0, rel=0.02)
    towards = pushed(wall, ROUGH, 1.0, 9.0)
    assert towards == pytest.approx((0.4 * 0.4 + 0.5 * 0.5) / (2.0 * (0.4 + 0.5)), rel=0.02)
    assert towards > 1.1 * away


def test_an_opening_takes_its_blocks_and_its_lintel_rests_on_both_sides() -> None:
    door = WallOpening(1.2, 0.8, 0.0, 1.2, 0.3)
    wall = plain_wall(8, length=3.2, openings=(door,))
    of, whole = straight_wall(wall, 1.0), straight_wall(replace(wall, openings=()), 1.0)
    lintel = next(k for k, solid in enumerate(of.solids) if solid.label.startswith("lintel"))
    assert whole.weights(ROUGH).sum() - of.weights(ROUGH).sum() == pytest.approx(18.0 * 0.8 * 1.2 * 0.4)
    rests = [face for face in of.meetings if face.upper == lintel and face.kind == "bed"]
    assert sorted(round(face.edge1[1][0] - face.edge1[0][0], 9) for face in rests) == [0.3, 0.3]
    assert holds_dead(lambda _cut, shares: problem_of(of, ROUGH, np.zeros((len(of.solids), 6)), shares=shares), 0,
                      Shares())[0]  # fmt: skip


def test_the_reserve_of_a_wall_thins_its_bed_until_it_is_crushed() -> None:
    """By hand: W/(L w/q) = f/q, so that q^2 = f w L/W; friction has nothing to do, and nothing is dilated."""
    wall, earth = plain_wall(5), replace(ROUGH, strength=100.0)
    of = straight_wall(wall, 1.0)
    held = largest_reserve(lambda _cut, s: problem_of(of, earth, np.zeros((len(of.solids), 6)), shares=s), 1.25)
    by_hand = math.sqrt(100.0 / 18.0)
    assert held.ordinary == pytest.approx(by_hand, rel=0.03) and held.above is not None
    assert (held.ordinary or 0.0) <= by_hand * (1 + 1e-3) <= held.above * 1.03
    assert held.relied is not None and held.relied <= (held.ordinary or 0.0)


@pytest.mark.parametrize(
    ("changes", "path", "says"),
    [
        ({"height": 1.0, "course_height": 0.135}, "wall.height", "whole courses"),
        ({"buttress": ButtressRow(1.0, 0.5, 0.4, 3.0, "front")}, "wall.buttress.height", "at most the wall's"),
        ({"buttress": ButtressRow(1.0, 0.5, 0.9, 1.0, "front")}, "wall.buttress.width", "one stands at each end"),
        ({"openings": (WallOpening(0.1, 0.5, 0.0, 0.6, 0.3),)}, "wall.opening[1].from_end", "at least its bearing"),
        ({"openings": (WallOpening(0.3, 0.5, 0.0, 1.9, 0.3),)}, "wall.opening[1].height", "room for a lintel"),
    ],
)
def test_walls_that_cannot_be_built_are_refused(changes: dict[str, object], path: str, says: str) -> None:
    with pytest.raises(UnbuildableError) as found:
        check_wall(plain_wall(10, **changes), "the file")
    assert any(one.path == path and says in one.expected for one in found.value.problems)


def test_a_wall_whose_loads_nobody_states_is_refused(tmp_path: Path) -> None:
    design = (PAIR / "meeting-dome.toml").read_text(encoding="utf-8")
    path = written(tmp_path, WALL_TEXT.split("[loads]")[0])
    (tmp_path / "meeting-dome.toml").write_text(design.replace('wind_pressure = "0.25 kPa"\n', ""), encoding="utf-8")
    with pytest.raises(InputError, match=re.escape("loads.wind_pressure")):
        read_given(path)


def test_feet_and_inches_are_read_and_said(tmp_path: Path) -> None:
    text = (
        WALL_TEXT.replace('"6.0 m"', '"19 ft 8 in"').replace('"1.215 m"', '"47 1/4 in"').replace("135 mm", "5 1/4 in")
    )
    text = text.replace("385 mm", "15 in").replace('"2.0 m"', '"6 ft"').replace('"0.60 m"', '"2 ft"').replace(
        '"1.08 m"', '"42 in"'
    )  # fmt: skip
    given = read_given(written(tmp_path, text))
    assert isinstance(given, WallGiven) and given.unit_system == "imperial"
    assert given.height == pytest.approx(9 * 5.25 * 0.0254) and given.length == pytest.approx(19 * 0.3048 + 0.2032)
    check_wall(given, "the file")


@pytest.fixture(scope="module")
def stood() -> Told:
    return stand_wall(replace(garden_wall(), length=3.0))


def test_a_study_of_a_wall_relies_on_the_least(stood: Told) -> None:
    assert [one.question for one in stood.of("wall")] == ["dead", "wind", "wind"]
    for one in stood.answers:
        held = one.held
        known = [cut.below for cut in held.cuts if cut.below is not None]
        assert held.ordinary == min(known) and held.relied is not None and held.relied <= min(known)
        assert held.above is None or held.above >= held.ordinary * (1 - 1e-6)
        if one.question == "wind":
            assert held.without is not None and held.relied <= 0.53 * held.without + 1e-9
    assert stood.decides is min(stood.of("wall"), key=lambda one: held_to(one.held))
    front, back = (one.held.relied for one in stood.of("wall") if one.question == "wind")
    assert front == pytest.approx(back, rel=1e-3)  # buttresses on both sides


def test_a_wall_that_nothing_covers_is_asked_soaked_too() -> None:
    bare = stand_wall(replace(garden_wall(), length=3.0, plastered=False, wind_pressure=0.0))
    assert bare.answers[0].state == "saturated"


def _line_of(below: float | None) -> ask_module._Line:
    problem = live_of(posed(), "passage")
    return ask_module._Line(assemble(problem), solve_cone(assemble(problem), gap=1e-3), ask_module.Cut(1, below, None))


def test_of_the_loads_of_a_direction_the_worst_is_asked_further() -> None:
    wall = plain_wall(10, length=1.0)
    of = straight_wall(wall, 2.0)

    def pose(push: float):  # type: ignore[no-untyped-def]
        return lambda _cut, s: problem_of(of, ROUGH, shaken(of, ROUGH, push, (0.0, 1.0, 0.0)), shares=s)

    assert ask_module._first(_line_of(None), 1.0) < ask_module._first(_line_of(1.2), 1.0)
    assert ask_module._first(_line_of(0.9), 1.0) < ask_module._first(_line_of(None), 1.0)
    key, held = largest_multiple({"weak": pose(0.1), "strong": pose(0.15)}, 1.0)
    assert key == "strong" and held.ordinary == pytest.approx(0.2 / 0.15, rel=1e-4)


def test_the_command_says_no_verdict_and_its_problem_holds(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    text = WALL_TEXT.replace('length = "6.0 m"', 'length = "2.4 m"')
    assert run(["joined", str(written(tmp_path, text)), "--out", str(tmp_path / "out")]) == 0
    said = capsys.readouterr().out
    assert "gives no verdict" in said and "engineer" in said and "safe" not in said.split("Written")[0]
    data = json.loads((tmp_path / "out" / "joined.json").read_text(encoding="utf-8"))
    assert data["format"] == 1 and data["kind"] == "straight wall" and data["no_verdict"].startswith("This is a study")
    assert {one["of"] for one in data["answers"]} == {"wall", "lengths"}
    problem = next((tmp_path / "out").glob("problem-*.json"))
    assert run(["problem", str(problem)]) == 0
    assert "Certificate: holds" in capsys.readouterr().out
    assert (tmp_path / "out" / "joined.pdf").read_bytes().startswith(b"%PDF-")
