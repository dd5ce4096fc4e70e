"""What a reader is told of a load at one bearing: plan, elevation, words under the section, screen, in Spanish."""

from __future__ import annotations

import io
import math
from dataclasses import replace

import ezdxf
import pytest
from ezdxf.document import Drawing
from samples import classroom

from shellcheck_earth.design.design import BearingLoad, Design
from shellcheck_earth.geometry.courses import build_dome
from shellcheck_earth.safety.blocks.result import BlockResult
from shellcheck_earth.safety.check import check
from shellcheck_earth.views.export.drawings.elevation import elevations_drawing
from shellcheck_earth.views.export.drawings.plan import plan_drawing
from shellcheck_earth.views.figures.handed_in import handed_in_words
from shellcheck_earth.views.render.terminal import shown_blocks, summary_lines
from shellcheck_earth.views.text.cautions import bearing_loads_sentence
from shellcheck_earth.views.text.language import speaking, words

BEAM = BearingLoad("Porch beam", math.radians(75.0), 1.5, 0.4, (-0.2, 1.5), (0.0, 0.3), (0.1, 0.2))


def _with(*loads: BearingLoad) -> Design:
    return classroom(bearing_loads=loads)


def _read(data: bytes) -> Drawing:
    return ezdxf.read(io.StringIO(data.decode("utf-8")))  # type: ignore[attr-defined,no-any-return]


def test_the_plan_shows_where_it_bears() -> None:
    dome = build_dome(_with(BEAM))
    drawing = _read(plan_drawing(dome))
    (arc,) = (one for one in drawing.modelspace() if one.dxf.layer == "LOADS")
    bearings = [math.degrees(math.atan2(x, y)) for x, y in arc.vertices()]  # type: ignore[attr-defined]
    course = next(one for one in dome.courses if one.z_bottom < 1.5 <= one.z_top)
    half = math.degrees(0.2 / course.inner_radius)
    assert (min(bearings), max(bearings)) == pytest.approx((75.0 - half, 75.0 + half))
    radii = [math.hypot(x, y) / 1000 for x, y in arc.vertices()]  # type: ignore[attr-defined]
    assert (min(radii), max(radii)) == pytest.approx((course.inner_radius, course.outer_radius))
    said = [one.dxf.text for one in drawing.modelspace() if one.dxftype() == "TEXT"]
    assert any(text.startswith("Porch beam: 75 deg, bears on 400") for text in said)


def test_an_elevation_is_drawn_from_where_it_comes() -> None:
    drawing = _read(elevations_drawing(build_dome(_with(BEAM))))
    (wedge,) = (one for one in drawing.modelspace() if one.dxf.layer == "LOADS")
    levels = sorted(y / 1000 for _, y in wedge.vertices())  # type: ignore[attr-defined]
    assert levels == pytest.approx([1.5, 1.7, 1.7])  # on end, where it presses down the most
    said = [one.dxf.text for one in drawing.modelspace() if one.dxftype() == "TEXT"]
    assert "Porch beam" in said and "from outside, at bearing 75 deg" in said
    bare = _read(elevations_drawing(build_dome(_with())))
    assert not [one for one in bare.modelspace() if one.dxf.layer == "LOADS"]


def test_the_screen_has_the_worst_state_of_each_question() -> None:
    def result(name: str, relied: float | None) -> BlockResult:
        status = "solved" if relied is not None else "cannot say"
        return BlockResult(
            name, name, "storm", relied, relied, relied, 1.1, status, "", False, None, (), (), (), (), 5
        )  # fmt: skip

    kept = [("w", 3.0), ("w-carrying-1", 1.4), ("w-carrying-2", None), ("w-carrying-2-joint", 1.3)]
    short = result("w-carrying-3", 1.0)
    shown, states = shown_blocks([result(*one) for one in kept])
    assert [one.id for one in shown] == ["w", "w-carrying-2", "w-carrying-2-joint"] and states == 2
    shown, states = shown_blocks([*(result(*one) for one in kept), short])
    assert [one.id for one in shown] == ["w", "w-carrying-3", "w-carrying-2-joint"] and states == 3


def test_words_where_it_cannot_be_drawn() -> None:
    metric, imperial = _with(BEAM), replace(_with(BEAM), unit_system="imperial")
    assert "Porch beam at 75 deg, 1.50 m (4.92 ft) above" in handed_in_words(build_dome(metric))
    assert "4.92 ft (1.50 m) above" in handed_in_words(build_dome(imperial))
    assert handed_in_words(build_dome(_with())) == ""


def test_the_screen_says_what_was_asked_and_what_not() -> None:
    found = check(_with(BEAM), explore=False, proofs=False, blocks=False)
    said = " ".join(" ".join(summary_lines(found, None)).split())
    assert "Loads handed in at one bearing (Porch beam) were asked of the blocks" in said
    assert found.verdict == "cannot say" or found.verdict == "falls short"
    with speaking(words("es")):
        assert "en un solo rumbo (Porch beam)" in bearing_loads_sentence(["Porch beam"])
        assert "no dibujado" in handed_in_words(build_dome(_with(BEAM)))
