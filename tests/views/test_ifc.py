"""The building model: read back and validated by the library, held to the dome it is made of."""

from __future__ import annotations

import math
from collections import Counter
from dataclasses import replace
from pathlib import Path
from typing import Any

import numpy as np
import pytest

ifcopenshell = pytest.importorskip("ifcopenshell")
validate = pytest.importorskip("ifcopenshell.validate")
pytest.importorskip("trimesh")

from samples import classroom  # noqa: E402

from shellcheck_earth.design.design import Backfill, Buttress, CourseGroup, Design, Opening  # noqa: E402
from shellcheck_earth.design.digest import design_sha256  # noqa: E402
from shellcheck_earth.geometry.courses import build_dome  # noqa: E402
from shellcheck_earth.views.cli import main  # noqa: E402
from shellcheck_earth.views.export.drawings.ifc import dome_ifc  # noqa: E402
from shellcheck_earth.views.export.drawings.solid import pieces_of  # noqa: E402
from shellcheck_earth.views.text.language import speaking, words  # noqa: E402

ROOT = Path(__file__).parents[2]
WHOLE = classroom()
OPEN = classroom(
    openings=(Opening("door", 0.3, 0.0, 0.8, 1.8, "pointed"), Opening("window", 3.3, 0.9, 0.5, 0.6, "lintel")),
    buttresses=(Buttress(1.8, 0.6, 0.5, 1.0),),
    groups=(CourseGroup(-1, 2, replace(classroom().fill, stabiliser="cement", dry_density=1900.0)),),
    unit_system="imperial",
    backfill=Backfill(height=0.4),
)


def read(design: Design) -> Any:
    return ifcopenshell.file.from_string(dome_ifc(build_dome(design)).decode("ascii"))


def sets_of(element: Any) -> dict[str, Any]:
    """Every property of an element by its name."""
    found = [one.RelatingPropertyDefinition for one in element.IsDefinedBy]
    return {row.Name: row.NominalValue.wrappedValue for one in found for row in one.HasProperties}


def courses_of(model: Any) -> list[Any]:
    return [one for one in model.by_type("IfcBuildingElementProxy") if one.ObjectType == "course of earth-filled tube"]


@pytest.mark.filterwarnings("ignore:unclosed file:ResourceWarning")  # the library leaves its own rules open
@pytest.mark.filterwarnings("ignore::pytest.PytestUnraisableExceptionWarning")
@pytest.mark.parametrize("design", [WHOLE, OPEN], ids=["whole", "open"])
def test_the_library_finds_no_fault_in_it(design: Design, tmp_path: Path) -> None:
    """Schema, inverse attributes and the rules written into the schema."""
    (tmp_path / "dome.ifc").write_bytes(dome_ifc(build_dome(design)))
    logger = validate.json_logger()
    validate.validate(str(tmp_path / "dome.ifc"), logger, express_rules=True)
    assert not logger.statements
    assert read(design).schema == "IFC4"


@pytest.mark.parametrize("design", [WHOLE, OPEN], ids=["whole", "open"])
def test_one_element_a_course_with_what_sets_it_out(design: Design) -> None:
    dome, model = build_dome(design), read(design)
    elements = courses_of(model)
    assert [sets_of(one)["CourseNumber"] for one in elements] == [course.number for course in dome.courses]
    for element, course in zip(elements, dome.courses, strict=True):
        found = sets_of(element)
        assert found["CentreCompass"] == course.compass and found["FixedCompass"] == dome.fixed_compass
        assert found["TopAboveFloor"] == course.z_top - dome.floor and found["Height"] == course.height
        assert found["DryDensity"] == design.fill_of(course.number).dry_density
        (material,) = (one.RelatingMaterial for one in element.HasAssociations)
        (density,) = material.HasProperties[0].Properties
        assert density.NominalValue.wrappedValue == design.fill_of(course.number).dry_density


@pytest.mark.parametrize("design", [WHOLE, OPEN], ids=["whole", "open"])
def test_every_body_is_closed_turned_outward_and_as_large_as_the_piece(design: Design) -> None:
    dome, model = build_dome(design), read(design)
    found, wanted = [], []
    for element in model.by_type("IfcBuildingElementProxy"):
        (shape,) = element.Representation.Representations
        for item in shape.Items:
            corners, triangles = np.array(item.Coordinates.CoordList), np.array(item.CoordIndex) - 1
            edges = Counter((a, b) for t in triangles for a, b in zip(t, np.roll(t, -1), strict=True))
            assert item.Closed and set(edges.values()) == {1} and all((b, a) in edges for a, b in edges)
            a, b, c = (corners[triangles[:, k]] for k in range(3))
            found.append(float(np.einsum("ij,ij->", a, np.cross(b, c))) / 6)
            assert corners[:, 2].min() >= dome.base - dome.floor - 1e-6
    for piece in pieces_of(dome):
        a, b, c = (piece.mesh[0][piece.mesh[1][:, k]] for k in range(3))
        wanted.append(float(np.einsum("ij,ij->", a, np.cross(b, c))) / 6)
    assert sorted(found) == pytest.approx(sorted(wanted), rel=1e-4) and min(found) > 0
    if design is WHOLE:
        ring = sum(math.pi * (c.outer_radius**2 - c.inner_radius**2) * c.height for c in dome.courses)
        assert sum(found) == pytest.approx(ring, rel=0.003)  # facets of 3 degrees


def test_openings_are_cut_and_what_carries_them_is_there() -> None:
    model = read(OPEN)
    kinds = Counter(one.ObjectType for one in model.by_type("IfcBuildingElementProxy"))
    assert kinds["lintel"] == 1 and kinds["bag over an opening"] >= 4 and kinds["buttress"] >= 1
    pieces = [len(one.Representation.Representations[0].Items) for one in courses_of(model)]
    assert set(pieces) == {1, 2}  # two openings leave two pieces
    made = {one.ObjectType for of in model.by_type("IfcRelAssociatesMaterial") for one in of.RelatedObjects}
    assert "lintel" not in made and len(model.by_type("IfcMaterial")) == 2


def test_it_stands_in_a_storey_and_says_what_it_is_not() -> None:
    model = read(OPEN)
    (storey,), (building,) = model.by_type("IfcBuildingStorey"), model.by_type("IfcBuilding")
    (contained,) = storey.ContainsElements
    assert set(contained.RelatedElements) == set(model.by_type("IfcBuildingElementProxy"))
    assert "licensed structural engineer" in building.Description
    found = sets_of(building)
    assert found == {"design_sha256": design_sha256(OPEN), "EarthAgainstWallAboveGround": 0.4}
    units = {one.UnitType: (one.Prefix, one.Name) for one in model.by_type("IfcSIUnit")}
    assert units["LENGTHUNIT"] == (None, "METRE")
    assert "LoadBearing" not in dome_ifc(build_dome(OPEN)).decode()
    assert all(context.TrueNorth is None for context in model.by_type("IfcGeometricRepresentationContext", False))


def test_the_same_design_gives_the_same_bytes_and_another_other_identifiers() -> None:
    data = dome_ifc(build_dome(OPEN))
    assert data == dome_ifc(build_dome(OPEN)) and b"1980-01-01T00:00:00" in data
    one, other = ({root.GlobalId for root in read(design).by_type("IfcRoot")} for design in (OPEN, WHOLE))
    assert len(one) == len(read(OPEN).by_type("IfcRoot")) and not one & other


def test_in_spanish() -> None:
    with speaking(words("es")):
        model = read(OPEN)
    assert "hilada" in courses_of_spanish(model)[0].ObjectType


def courses_of_spanish(model: Any) -> list[Any]:
    return [one for one in model.by_type("IfcBuildingElementProxy") if "tubo" in one.ObjectType]


def test_the_command_and_a_missing_library(tmp_path: Path, monkeypatch: Any, capsys: Any) -> None:
    asked = [
        "draw",
        str(ROOT / "reports/garden-classroom/design.toml"),
        "--what",
        "ifc",
        "--out",
        str(tmp_path / "ifc"),
    ]
    assert main.run(asked) == 0 and [one.name for one in (tmp_path / "ifc").iterdir()] == ["dome.ifc"]
    monkeypatch.delitem(__import__("sys").modules, "shellcheck_earth.views.export.drawings.ifc")
    monkeypatch.setitem(__import__("sys").modules, "ifcopenshell", None)
    assert main.run(asked) == 2 and "shellcheck_earth[ifc]" in "".join(capsys.readouterr())
