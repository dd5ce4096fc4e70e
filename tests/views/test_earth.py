"""What drawings, figures, the screen and the report say of earth against the wall."""

from __future__ import annotations

import io
import math
import re
from dataclasses import replace
from functools import cache
from types import SimpleNamespace
from typing import Any

import pytest
from samples import sturdy

from shellcheck_earth.design.design import Backfill, Design, Opening
from shellcheck_earth.geometry.courses import build_dome
from shellcheck_earth.loads.ring_loads import block_states
from shellcheck_earth.safety.cautions import cautions
from shellcheck_earth.safety.check import check
from shellcheck_earth.safety.result import Doubt, Result
from shellcheck_earth.views.export.sheets import assessment_data
from shellcheck_earth.views.figures.section import design_svg, section_svg
from shellcheck_earth.views.render.terminal import summary_lines
from shellcheck_earth.views.text.below import said_below
from shellcheck_earth.views.text.blocks import block_paragraphs
from shellcheck_earth.views.text.cautions import caution_sentence
from shellcheck_earth.views.text.doubts import doubt_sentence
from shellcheck_earth.views.text.language import speaking, words

BERM = Backfill(height=0.8, drained="gravel and a pipe that ends in the open")


def banked(**changes: Any) -> Design:
    return replace(sturdy(), backfill=BERM, **changes)


@cache
def found() -> Result:
    return check(banked(), proofs=False, explore=False)


@pytest.mark.parametrize(("system", "shown"), [("metric", "+0.65 m"), ("imperial", "+2 ft 1 9/16 in")])
def test_the_section_has_its_surface_and_level(system: Any, shown: str) -> None:
    there, bare = design_svg(banked(unit_system=system)), design_svg(replace(sturdy(), unit_system=system))
    assert ">earth against the<" in there or ">earth against the wall<" in there
    assert f">{shown}<" in there and "earth against" not in bare and f">{shown}<" not in bare
    for phone in (False, True):
        assert "earth against" in section_svg(replace(found()), phone=phone)
    sunk = replace(sturdy(), dome=replace(sturdy().dome, floor_above_ground=-0.4))
    assert "earth against" not in design_svg(sunk)  # the ground itself is drawn


def test_the_surface_lies_at_its_level() -> None:
    """Level on the scale of the courses, on both sides of the wall, and once more beside its words."""
    svg, dome = design_svg(banked()), build_dome(banked())
    courses = re.findall(r'<rect x="[\d.]+" y="([\d.]+)" width="[\d.]+" height="([\d.]+)" rx="0.3"', svg)
    scale = float(re.findall(r'width="([\d.]+)" height="1.2"', svg)[0]) / 0.5
    low = max(float(top) + float(height) for top, height in courses)
    y = low - (dome.ground + 0.8 - dome.base) * scale
    levels = [float(one) for one in re.findall(r'<line x1="[\d.]+" y1="([\d.]+)" x2="[\d.]+" y2="\1"', svg)]
    assert sum(abs(level - y) < 0.03 for level in levels) == 3


def test_the_screen_shows_the_worst_state_and_the_caution() -> None:
    lines = "\n".join(summary_lines(found(), None))
    (letter,) = re.findall(r"finished-damp \((.)\)", lines)
    assert f"({letter}) earth against the wall: " in lines and "Earth against the wall, up to 0.800 m" in " ".join(
        lines.split()
    )
    assert "or lies against the wall" in " ".join(lines.split())


def test_what_it_is_asked_with_stands_among_the_assumptions() -> None:
    rows = {one.path: one for one in found().assumptions}
    assert rows["backfill.unit_weight"].value.count("kN/m3") == 2
    assert "13.0 kN/m3" in rows["backfill.unit_weight"].value and "22.0 kN/m3" in rows["backfill.unit_weight"].value
    assert rows["backfill.compacted"].value == "yes" and "5.00 kPa" in rows["backfill.surcharge"].value
    tested = replace(banked(), bases={**sturdy().bases, "backfill.unit_weight": "measured"})
    assert "backfill.unit_weight" not in {one.path for one in check(tested, proofs=False, explore=False).assumptions}
    fixed = {one.key for one in found().fixed}
    assert {"backfill.compacted_coefficient", "backfill.levels"} <= fixed


def test_the_data_hold_every_state() -> None:
    ids = {case["id"] for case in assessment_data(found())["cases"]}
    assert {"finished-dry-earth-1", "soaked-through-earth-3"} <= ids


@pytest.mark.parametrize("kind", ["water against the wall", "earth shaken", "earth over an opening"])
def test_doubts_are_said_in_both_languages(kind: Any) -> None:
    english = doubt_sentence(Doubt(kind, "backfill.drained"))
    with speaking(words("es")):
        spanish = doubt_sentence(Doubt(kind, "backfill.drained"))
    assert "earth" in english and "tierra" in spanish and "{" not in english + spanish


def test_titles_and_the_caution_in_spanish() -> None:
    title = found().case("finished-dry-earth-2").title
    caution = next(one for one in found().cautions if one.key == "earth")
    with speaking(words("es")):
        assert "tierra contra el muro" in said_below(title) and "escalones" in said_below(title)
        assert "earth" not in said_below(title) and "Tierra contra el muro" in caution_sentence(caution)


@pytest.mark.parametrize(("system", "unit", "shown"), [("metric", 0.001, "800"), ("imperial", 0.0254, "2 ft 7 1/2 in")])
def test_drawings_have_it_on_a_layer_of_its_own(system: Any, unit: float, shown: str) -> None:
    ezdxf = pytest.importorskip("ezdxf")
    pytest.importorskip("trimesh")
    from shellcheck_earth.views.export.drawings.bundle import drawing_files

    design = banked(unit_system=system)
    dome = build_dome(design)
    data = {
        name: ezdxf.read(io.StringIO(text.decode()))
        for name, text in drawing_files(dome, "dxf", 50.0).items()
        if name.endswith(".dxf")
    }
    surface = dome.ground + 0.8
    lines = list(data["section.dxf"].modelspace().query('LWPOLYLINE[layer=="EARTH"]'))
    assert len(lines) == 2
    for line in lines:
        places = [(x * unit, y * unit) for x, y, *_ in line]
        assert max(y for _, y in places) == pytest.approx(surface) == places[-1][1]
        assert min(y for _, y in places) == pytest.approx(dome.ground)
        assert abs(places[0][0]) == pytest.approx(dome.courses[0].outer_radius + design.plaster.outside)
    words_on = " ".join(one.dxf.text for one in data["section.dxf"].modelspace().query("TEXT"))
    assert "earth against the wall" in words_on
    note = " ".join(one.dxf.text for one in data["plan.dxf"].modelspace().query("TEXT"))
    assert f"Earth against the wall all around, up to {shown}" in note
    bare = drawing_files(build_dome(sturdy()), "dxf", 50.0)["section.dxf"].decode()
    assert not list(ezdxf.read(io.StringIO(bare)).modelspace().query('LWPOLYLINE[layer=="EARTH"]'))


# -- on one side -----------------------------------------------------------------------------------------------------

SIDE = replace(BERM, from_bearing=math.radians(45.0), to_bearing=math.radians(135.0))


def test_the_section_shows_it_on_one_side_alone() -> None:
    """Its surface is drawn once beside the wall and once beside its words, where the ground's has both sides."""
    one, around = design_svg(replace(sturdy(), backfill=SIDE)), design_svg(banked())
    assert "earth against the<" in one or "earth against the wall<" in one
    assert one.count("<line") < around.count("<line")


def test_drawings_say_from_where_to_where() -> None:
    ezdxf = pytest.importorskip("ezdxf")
    pytest.importorskip("trimesh")
    from shellcheck_earth.views.export.drawings.bundle import drawing_files

    door = Opening("door", 0.0, 0.0, 0.7, 1.4, "pointed")
    files = drawing_files(build_dome(replace(sturdy(), backfill=SIDE, openings=(door,))), "dxf", 50.0)
    data = {name: ezdxf.read(io.StringIO(text.decode())) for name, text in files.items() if name.endswith(".dxf")}
    assert len(list(data["section.dxf"].modelspace().query('LWPOLYLINE[layer=="EARTH"]'))) == 1
    note = " ".join(one.dxf.text for one in data["plan.dxf"].modelspace().query("TEXT"))
    assert "from bearing 45 to 135 deg, up to 800" in note and "all around" not in note
    # seen from outside onto the entrance, at bearing 0, what lies at 90 deg is on the left
    (view,) = [one for name, one in data.items() if "elevation" in name]
    (line,) = view.modelspace().query('LWPOLYLINE[layer=="EARTH"]')
    middle = [one for one in view.modelspace().query('LWPOLYLINE[layer=="AXES"]')]
    assert all(x < min(a for axis in middle for a, *_ in axis) for x, *_ in line)


def test_cautions_and_titles_of_one_side_in_both_languages() -> None:
    dome = build_dome(replace(sturdy(), backfill=SIDE))
    caution = next(one for one in cautions(dome) if one.key == "earth")
    title = next(iter(block_states(dome))).words
    english = caution_sentence(caution)
    assert "from bearing 45 deg to 135 deg, up to 0.800 m" in english and "by blocks alone" in english
    with speaking(words("es")):
        spanish = caution_sentence(caution)
        assert "del rumbo 45 deg al 135 deg" in spanish and "un lado del muro" in spanish
        assert "tierra contra un lado del muro" in said_below(title) and "earth" not in said_below(title)


def test_the_report_says_how_much_of_it_is_relied_on() -> None:
    design = replace(sturdy(), backfill=SIDE)
    result = SimpleNamespace(id="three-d-finished-dry-earth-1", criterion="overall reserve", status="solved")
    said = next(text for text in block_paragraphs(design, [result]) if "against one side" in text)  # type: ignore[list-item]
    assert "from bearing 45 to 135 deg" in said and "53%" in said and "1.89 times" in said
    around = [text for text in block_paragraphs(banked(), [result]) if "against one side" in text]  # type: ignore[list-item]
    assert not around
