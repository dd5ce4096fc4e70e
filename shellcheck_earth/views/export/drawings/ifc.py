"""The dome as a building model (IFC4): each course an element with its body, its material and what sets it out.

Geometry and quantities alone: no element says that it bears anything, and the building says so in words. Levels are
above the finished floor, y is the direction of the entrance; where north is the design does not know. The same design
gives the same bytes: identifiers follow from its digest, and the head of the file names no time.
"""

from __future__ import annotations

import uuid
from collections.abc import Iterator, Sequence
from typing import Any

import ifcopenshell
import ifcopenshell.guid
import numpy as np
from numpy.typing import NDArray

from shellcheck_earth.design.design import Fill
from shellcheck_earth.design.digest import design_sha256
from shellcheck_earth.geometry.courses import Course, Dome
from shellcheck_earth.views.export.drawings.solid import Mesh, Piece, pieces_of
from shellcheck_earth.views.text.below import said_below
from shellcheck_earth.views.text.drawings import DRAWING_CAUTION
from shellcheck_earth.views.text.language import _, mark

__all__ = ["dome_ifc"]

NO_TIME = "1980-01-01T00:00:00"
DIGITS = 6
"""Of a coordinate [m]: corners that are one are one in the file too."""

UNITS = (
    ("LENGTHUNIT", None, "METRE"),
    ("AREAUNIT", None, "SQUARE_METRE"),
    ("VOLUMEUNIT", None, "CUBIC_METRE"),
    ("PLANEANGLEUNIT", None, "RADIAN"),
    ("MASSUNIT", "KILO", "GRAM"),
)

KINDS = {"head": mark("bag over an opening"), "buttress": mark("buttress"), "lintel": mark("lintel")}

Property = tuple[str, str, Any]
"""Name, IFC measure, value."""


def _joined(mesh: Mesh, down: float) -> tuple[NDArray[np.float64], NDArray[np.int64]]:
    """Corners that lie in one place made one, levels moved down to the floor, triangles without width left out."""
    corners = np.round(mesh[0] - np.array([0.0, 0.0, down]), DIGITS) + 0.0  # no -0.0
    places, which = np.unique(corners, axis=0, return_inverse=True)
    triangles = which.reshape(-1)[mesh[1]]
    a, b, c = triangles.T
    return places, triangles[(a != b) & (b != c) & (c != a)]


class _Model:
    """An IFC file that grows; every root has an identifier that follows from the design and its role."""

    def __init__(self, dome: Dome) -> None:
        self.dome, self.digest = dome, design_sha256(dome.design)
        self.file: Any = ifcopenshell.file(schema="IFC4")
        self.file.header.file_description.description = ("ViewDefinition [NotAssigned]",)
        name = self.file.header.file_name
        name.name, name.time_stamp, name.author, name.organization = "dome.ifc", NO_TIME, ("",), ("",)
        name.preprocessor_version, name.originating_system = "IfcOpenShell", "shellcheck_earth"
        self.origin = self.make("IfcAxis2Placement3D", Location=self.point((0.0, 0.0, 0.0)))
        self.body = self.context()
        self.materials: dict[Fill, Any] = {}

    def make(self, kind: str, **values: Any) -> Any:
        """One entity."""
        return self.file.create_entity(kind, **values)

    def root(self, kind: str, role: str, **values: Any) -> Any:
        """One entity with an identifier of its own."""
        number = uuid.uuid5(uuid.NAMESPACE_OID, f"{self.digest} {role}")
        return self.make(kind, GlobalId=ifcopenshell.guid.compress(number.hex), **values)

    def point(self, place: Sequence[float]) -> Any:
        return self.make("IfcCartesianPoint", Coordinates=tuple(map(float, place)))

    def context(self) -> Any:
        """The context that bodies are drawn in."""
        self.whole = self.make(
            "IfcGeometricRepresentationContext",
            ContextType="Model",
            CoordinateSpaceDimension=3,
            Precision=10.0**-DIGITS,
            WorldCoordinateSystem=self.origin,
        )
        return self.make(
            "IfcGeometricRepresentationSubContext",
            ContextIdentifier="Body",
            ContextType="Model",
            ParentContext=self.whole,
            TargetView="MODEL_VIEW",
        )

    def units(self) -> Any:
        """Metres, kilograms, and their density."""
        simple = [self.make("IfcSIUnit", UnitType=kind, Prefix=prefix, Name=name) for kind, prefix, name in UNITS]
        per = [(simple[4], 1), (simple[0], -3)]
        elements = [self.make("IfcDerivedUnitElement", Unit=unit, Exponent=power) for unit, power in per]
        density = self.make("IfcDerivedUnit", Elements=elements, UnitType="MASSDENSITYUNIT")
        return self.make("IfcUnitAssignment", Units=[*simple, density])

    def placed(self, within: Any = None) -> Any:
        """At the origin of what it belongs to."""
        return self.make("IfcLocalPlacement", PlacementRelTo=within, RelativePlacement=self.origin)

    def properties(self, of: Sequence[Any], name: str, role: str, rows: Sequence[Property]) -> None:
        """A property set on elements."""
        values = [
            self.make("IfcPropertySingleValue", Name=key, NominalValue=self.file.create_entity(kind, value))
            for key, kind, value in rows
        ]
        held = self.root("IfcPropertySet", f"{role} {name}", Name=name, HasProperties=values)
        self.root(
            "IfcRelDefinesByProperties",
            f"{role} {name} of",
            RelatedObjects=list(of),
            RelatingPropertyDefinition=held,
        )

    def shape(self, meshes: Sequence[Mesh]) -> Any:
        """Closed bodies as one shape."""
        items = []
        for mesh in meshes:
            corners, triangles = _joined(mesh, self.dome.floor)
            points = self.make("IfcCartesianPointList3D", CoordList=[tuple(map(float, one)) for one in corners])
            index = [tuple(int(k) + 1 for k in one) for one in triangles]
            items.append(self.make("IfcTriangulatedFaceSet", Coordinates=points, Closed=True, CoordIndex=index))
        drawn = self.make(
            "IfcShapeRepresentation",
            ContextOfItems=self.body,
            RepresentationIdentifier="Body",
            RepresentationType="Tessellation",
            Items=items,
        )
        return self.make("IfcProductDefinitionShape", Representations=[drawn])

    def material(self, fill: Fill) -> Any:
        """The material of a fill with its dry density [kg/m3]."""
        if fill not in self.materials:
            mixed = _("fill without stabiliser") if fill.stabiliser == "none" else said_below(fill.stabiliser)
            made = self.make("IfcMaterial", Name=_("tamped earth, {mixed}", mixed=mixed))
            density = self.make(
                "IfcPropertySingleValue",
                Name="MassDensity",
                NominalValue=self.file.create_entity("IfcMassDensityMeasure", float(fill.dry_density)),
            )
            self.make("IfcMaterialProperties", Name="Pset_MaterialCommon", Properties=[density], Material=made)
            self.materials[fill] = made
        return self.materials[fill]


def _building(model: _Model) -> tuple[Any, Any]:
    """(building, storey): project, site, building and the one storey, each within the one before."""
    design = model.dome.design
    project = model.root(
        "IfcProject",
        "project",
        Name=design.name,
        RepresentationContexts=[model.whole],
        UnitsInContext=model.units(),
    )
    at = model.placed()
    site = model.root("IfcSite", "site", Name=_("Site"), ObjectPlacement=at, CompositionType="ELEMENT")
    at = model.placed(at)
    said = " ".join(_(line) for line in DRAWING_CAUTION)
    building = model.root(
        "IfcBuilding",
        "building",
        Name=design.name,
        Description=said,
        ObjectPlacement=at,
        CompositionType="ELEMENT",
    )
    storey = model.root(
        "IfcBuildingStorey",
        "storey",
        Name=_("finished floor"),
        ObjectPlacement=model.placed(at),
        CompositionType="ELEMENT",
        Elevation=0.0,
    )
    for whole, part, role in ((project, site, "site"), (site, building, "building"), (building, storey, "storey")):
        model.root("IfcRelAggregates", f"{role} within", RelatingObject=whole, RelatedObjects=[part])
    return building, storey


def _set_out(dome: Dome, course: Course) -> Iterator[Property]:
    """What a builder lays a course by."""
    length, shape = "IfcLengthMeasure", dome.design.dome
    yield "CourseNumber", "IfcInteger", course.number
    yield "Height", "IfcPositiveLengthMeasure", float(course.height)
    yield "Width", "IfcPositiveLengthMeasure", float(course.width)
    yield "BottomAboveFloor", length, float(course.z_bottom - dome.floor)
    yield "TopAboveFloor", length, float(course.z_top - dome.floor)
    yield "InnerRadius", "IfcPositiveLengthMeasure", float(course.inner_radius)
    yield "CentreCompass", "IfcPositiveLengthMeasure", float(course.compass)
    if shape.profile != "measured":
        yield "FixedCompass", "IfcPositiveLengthMeasure", float(dome.fixed_compass)
        yield "FixedPivotFromAxis", length, float(dome.pivot_radius)
    yield "TubeLength", "IfcPositiveLengthMeasure", float(course.tube_length)
    yield "WireStrands", "IfcInteger", dome.design.beds.wire_strands if course.has_wire else 0
    yield "DryDensity", "IfcMassDensityMeasure", float(dome.design.fill_of(course.number).dry_density)


def _element(model: _Model, storey: Any, pieces: Sequence[Piece]) -> Any:
    """One element of the pieces of a course, or of one other piece."""
    first = pieces[0]
    course = model.dome.courses[first.course]
    is_course = first.kind == "course"
    name = _("course {course}", course=said_below(course.label)) if is_course else first.name
    return model.root(
        "IfcBuildingElementProxy",
        f"course {course.number}" if is_course else first.name,
        Name=name,
        ObjectType=_("course of earth-filled tube") if is_course else _(KINDS[first.kind]),
        ObjectPlacement=model.placed(storey.ObjectPlacement),
        Representation=model.shape([piece.mesh for piece in pieces]),
        PredefinedType="USERDEFINED",
    )


def _elements(model: _Model, storey: Any) -> list[Any]:
    """Every element with its properties, courses from the lowest up."""
    dome, out, by_fill = model.dome, [], dict[Fill, list[Any]]()
    groups: dict[str, list[Piece]] = {}
    for piece in pieces_of(dome):
        groups.setdefault(f"course {piece.course}" if piece.kind == "course" else piece.name, []).append(piece)
    for role, pieces in groups.items():
        element = _element(model, storey, pieces)
        course = dome.courses[pieces[0].course]
        if pieces[0].kind == "course":
            model.properties([element], "Dome_Course", role, list(_set_out(dome, course)))
        if pieces[0].kind != "lintel":  # of which the design does not say what it is made of
            by_fill.setdefault(dome.design.fill_of(course.number), []).append(element)
        out.append(element)
    for number, (fill, made) in enumerate(by_fill.items(), 1):
        model.root(
            "IfcRelAssociatesMaterial",
            f"material {number}",
            RelatedObjects=made,
            RelatingMaterial=model.material(fill),
        )
    return out


def dome_ifc(dome: Dome) -> bytes:
    """The building model as an IFC4 file (ISO 10303-21), lengths in metres."""
    model = _Model(dome)
    building, storey = _building(model)
    elements = _elements(model, storey)
    model.root("IfcRelContainedInSpatialStructure", "contained", RelatingStructure=storey, RelatedElements=elements)
    rows: list[Property] = [("design_sha256", "IfcLabel", model.digest)]
    earth = dome.design.earth
    if earth is not None:
        rows.append(("EarthAgainstWallAboveGround", "IfcLengthMeasure", float(earth.height)))
        if earth.from_bearing is not None and earth.to_bearing is not None:
            ends = (("EarthFromBearing", earth.from_bearing), ("EarthToBearing", earth.to_bearing))
            rows += [(name, "IfcPlaneAngleMeasure", float(bearing)) for name, bearing in ends]
    model.properties([building], "Dome_Design", "building", rows)
    text: str = model.file.to_string()
    return text.encode("ascii")
