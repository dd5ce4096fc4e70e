"""Drawings and bodies: read back by the library, held to the dome they are drawn from."""

from __future__ import annotations

import io
import math
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest

ezdxf = pytest.importorskip("ezdxf")
trimesh = pytest.importorskip("trimesh")
pytest.importorskip("lxml")

from samples import classroom  # noqa: E402

from shellcheck_earth.design.design import Buttress, Design, Opening  # noqa: E402
from shellcheck_earth.geometry.courses import Dome, build_dome  # noqa: E402
from shellcheck_earth.views.cli import main  # noqa: E402
from shellcheck_earth.views.export.drawings.bundle import drawing_files  # noqa: E402
from shellcheck_earth.views.export.drawings.elevation import opening_outline  # noqa: E402
from shellcheck_earth.views.export.drawings.plan import between_openings  # noqa: E402
from shellcheck_earth.views.export.drawings.solid import OVERLAP, bodies, dome_stl  # noqa: E402

ROOT = Path(__file__).parents[2]
DOOR = Opening("door", 0.3, 0.0, 0.8, 1.8, "pointed")
WINDOW = Opening("window", 5.9, 0.9, 0.5, 0.6, "round")


def dome(*openings: Opening, **changes: Any) -> Dome:
    return build_dome(replace(classroom(openings=openings), **changes))


def layer(data: bytes, name: str) -> list[Any]:
    drawing = ezdxf.read(io.StringIO(data.decode()))
    assert not drawing.audit().has_errors
    return list(drawing.modelspace().query(f'LWPOLYLINE[layer=="{name}"]'))


@pytest.mark.parametrize(("system", "unit"), [("metric", 0.001), ("imperial", 0.0254)])
def test_every_course_of_the_section_is_where_it_is(system: Any, unit: float) -> None:
    stack = dome(unit_system=system)
    boxes = layer(drawing_files(stack, "dxf", 50.0)["section.dxf"], "COURSES")
    found = sorted(tuple(round(v * unit, 6) for v in (*box[0][:2], *box[2][:2])) for box in boxes)
    expected = []
    for course in stack.courses:
        for side in (-1, 1):
            near, far = sorted((side * course.inner_radius, side * course.outer_radius))
            expected.append(tuple(round(v, 6) for v in (near, course.z_bottom, far, course.z_top)))
    assert found == sorted(expected)


@pytest.mark.parametrize(("system", "shown"), [("metric", "3600"), ("imperial", "11 ft 9 3/4 in")])
def test_dimensions_are_in_the_units_of_the_design(system: Any, shown: str) -> None:
    data = drawing_files(dome(unit_system=system), "dxf", 50.0)["section.dxf"]
    drawing = ezdxf.read(io.StringIO(data.decode()))
    assert drawing.units == (4 if system == "metric" else 1)
    assert shown in {one.dxf.text for one in drawing.modelspace().query("DIMENSION")}
    words = " ".join(one.dxf.text for one in drawing.modelspace().query("TEXT"))
    assert "licensed structural engineer" in words and "design_sha256" in words


def test_the_pieces_between_openings() -> None:
    stack = dome(DOOR, WINDOW)
    cut = next(course for course in stack.courses if course.z_bottom < 1.2 < course.z_top)
    pieces = between_openings(stack, cut)
    gone = sum(2 * math.asin(one.width / 2 / cut.inner_radius) for one in (DOOR, WINDOW))
    assert len(pieces) == 2 and sum(b - a for a, b in pieces) == pytest.approx(2 * math.pi - gone, rel=1e-9)
    beside = replace(WINDOW, bearing=6.2)  # its edge lies within the door's: one gap
    assert len(between_openings(dome(DOOR, beside), cut)) == 1
    assert between_openings(stack, stack.courses[-1]) == [(0.0, 2 * math.pi)]


@pytest.mark.parametrize("head", ["pointed", "round", "lintel"])
def test_the_outline_of_an_opening_is_as_high_and_as_wide_as_it(head: Any) -> None:
    stack = dome(replace(DOOR, head=head))
    across, up = zip(*opening_outline(stack, stack.design.openings[0]), strict=True)
    assert (min(across), max(across)) == (-0.4, 0.4)
    assert (min(up), max(up)) == pytest.approx((stack.floor, stack.floor + 1.8))


@pytest.mark.parametrize(
    "design",
    [classroom(), classroom(openings=(DOOR, WINDOW), buttresses=(Buttress(3.0, 0.8, 0.6, 1.0),))],
    ids=["whole", "openings"],
)
def test_every_body_is_closed_and_as_large_as_the_fill(design: Design) -> None:
    stack = build_dome(design)
    volume = 0.0
    for name, (corners, triangles) in bodies(stack):
        mesh = trimesh.Trimesh(corners, triangles)
        assert mesh.is_watertight and mesh.is_winding_consistent and mesh.volume > 0, name
        volume += mesh.volume if name.startswith("course") else 0.0
    rings = 0.0
    for course in stack.courses:
        share = sum(end - start for start, end in between_openings(stack, course)) / (2 * math.pi)
        rings += share * math.pi * (course.outer_radius**2 - course.inner_radius**2) * course.height
    assert volume == pytest.approx(rings, rel=2e-3) and volume < rings  # chords cut a little off every arc


def test_the_same_bytes_and_the_scale() -> None:
    first, second = (drawing_files(dome(DOOR), "all", 20.0) for _ in range(2))
    assert first == second
    mesh = trimesh.load(io.BytesIO(first["dome.stl"]), file_type="stl")
    stack = dome(DOOR)
    height = (stack.top - stack.base) * 1000 / 20
    assert mesh.extents[2] == pytest.approx(height + 2 * OVERLAP * 1000 / 20, rel=1e-6)
    scene = trimesh.load(io.BytesIO(first["dome.3mf"]), file_type="3mf")
    assert scene.extents[2] == pytest.approx(height, rel=1e-6)


STEMMED = classroom(dome=replace(classroom().dome, springing_above_floor=0.6))
BUTTRESSED = classroom(openings=(DOOR, WINDOW), buttresses=(Buttress(3.0, 0.8, 0.6, 1.0),))
LINTELLED = classroom(openings=(replace(DOOR, head="lintel"), replace(WINDOW, head="round")))


@pytest.mark.parametrize("scale", [1.0, 25.0, 1000.0])
@pytest.mark.parametrize(
    "design", [classroom(), STEMMED, BUTTRESSED, LINTELLED], ids=["whole", "stem", "heads", "lintel"]
)
def test_an_stl_read_back_is_the_same_closed_bodies(design: Design, scale: float) -> None:
    """As any reader does it: corners found again by their places, in 24 bits. Rings of one radius, bags beside each
    other and pieces under a lintel must not grow together into edges of four triangles."""
    stack = build_dome(design)
    mesh = trimesh.load(io.BytesIO(dome_stl(stack, scale)), file_type="stl")
    assert mesh.is_watertight and mesh.is_volume
    found, meant = mesh.split(only_watertight=False), bodies(stack)
    assert len(found) == len(meant) and all(one.is_volume for one in found)
    volumes = [trimesh.Trimesh(*one).volume * (1000 / scale) ** 3 for _, one in meant]
    assert sorted(one.volume for one in found) == pytest.approx(sorted(volumes), rel=2e-3)


@pytest.mark.parametrize(
    ("arguments", "says"), [(("--scale", "0"), "a number from 1 to 1000"), (("--what", "pdf"), "--what")]
)
def test_what_cannot_be_drawn(arguments: tuple[str, ...], says: str, tmp_path: Path, capsys: Any) -> None:
    code = main.run(["draw", str(ROOT / "reports/seed-bank/design.toml"), "--out", str(tmp_path), *arguments])
    assert code == 2 and says in "".join(capsys.readouterr())
    assert not list(tmp_path.iterdir())


def test_the_command_and_a_missing_library(tmp_path: Path, monkeypatch: Any, capsys: Any) -> None:
    asked = ["draw", str(ROOT / "reports/seed-bank/design.toml"), "--out", str(tmp_path)]
    assert main.run(asked) == 0
    names = {"section.dxf", "plan.dxf", "elevations.dxf", "dome.stl", "dome.3mf"}
    assert {path.name for path in tmp_path.iterdir()} == names
    assert main.run(asked) == 0  # over its own, again
    (tmp_path / "plan.dxf").write_text("a plan of mine")
    assert main.run(asked) == 2 and (tmp_path / "plan.dxf").read_text() == "a plan of mine"
    capsys.readouterr()
    forget: Callable[[str], None] = lambda name: monkeypatch.setitem(__import__("sys").modules, name, None)  # noqa: E731
    forget("shellcheck_earth.views.export.drawings.bundle")
    forget("ezdxf")
    assert main.run(asked) == 2 and "shellcheck_earth[drawings]" in "".join(capsys.readouterr())
