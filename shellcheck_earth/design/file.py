"""Read a design file: every fault at once, each with its path, what was expected and what was found."""

from __future__ import annotations

import difflib
import math
import tomllib
from collections.abc import Mapping
from dataclasses import replace
from pathlib import Path
from types import MappingProxyType
from typing import Any

from pydantic import ValidationError
from pydantic.fields import FieldInfo

from shellcheck_earth.basics.errors import InputError, Problem
from shellcheck_earth.basics.units import parse_quantity
from shellcheck_earth.basics.values import criteria_set, criteria_sets, default, ground_class
from shellcheck_earth.design.design import (
    Basis,
    Beds,
    Building,
    Buttress,
    Criteria,
    Design,
    DomeShape,
    Fill,
    Opening,
    Plaster,
    Site,
    UnitSystem,
    Wall,
)
from shellcheck_earth.design.schema import DesignTable, Given, Table, show

__all__ = ["design_from_document", "parse_design", "read_design", "read_document", "read_text"]

LARGEST_FILE = 1_000_000

Document = dict[str, Any]
"""A design file as TOML gives it, before any check."""


def read_design(path: Path) -> Design:
    """The design in a file, checked; InputError with every fault otherwise."""
    text = read_text(path)
    return replace(design_from_document(_toml(text, str(path)), str(path)), text=text)


def parse_design(text: str, where: str = "design") -> Design:
    """The design in a text; InputError otherwise."""
    return replace(design_from_document(_toml(text, where), where), text=text)


def read_document(path: Path) -> Document:
    """The TOML of a file; InputError when there is no readable text of sensible size."""
    return _toml(read_text(path), str(path))


def read_text(path: Path) -> str:
    """The text of a file to the byte (no line end is changed); InputError as `read_document`."""
    try:
        if path.is_dir():
            raise InputError([Problem(str(path), "a design file", "a folder")])
        if path.stat().st_size > LARGEST_FILE:
            raise InputError([Problem(str(path), "a design file under 1 MB", f"{path.stat().st_size} bytes")])
        return path.read_bytes().decode("utf-8")
    except UnicodeDecodeError:
        raise InputError([Problem(str(path), "a text file (UTF-8)", "other bytes")]) from None
    except (OSError, ValueError) as error:
        reason = getattr(error, "strerror", None) or "nothing that can be read"
        raise InputError([Problem(str(path), "a readable design file", reason.lower())]) from None


def _toml(text: str, where: str) -> Document:
    try:
        return tomllib.loads(text)
    except (ValueError, RecursionError) as error:  # a plain ValueError for a whole number of thousands of digits
        raise InputError([Problem("the file", "TOML", f"a fault: {error}")], where) from None


def _known_keys(location: tuple[str | int, ...]) -> list[str]:
    """Keys the table at this place knows."""
    model: type[Table] = DesignTable
    for name in location:
        if isinstance(name, int):
            continue
        field: FieldInfo | None = model.model_fields.get(name)
        found = _model_in(field.annotation if field else None)
        if found is None:
            return []
        model = found
    return list(model.model_fields)


def _model_in(annotation: Any) -> type[Table] | None:
    if isinstance(annotation, type) and issubclass(annotation, Table):
        return annotation
    for inner in getattr(annotation, "__args__", ()):
        found = _model_in(inner)
        if found is not None:
            return found
    return None


def _path(location: tuple[str | int, ...]) -> str:
    out = ""
    for part in location:
        out += f"[{part + 1}]" if isinstance(part, int) else (f".{part}" if out else part)
    return out or "the file"


def _problem(error: Any) -> Problem:
    location, kind = tuple(error["loc"]), error["type"]
    path, found = _path(location), error.get("input")
    if kind == "extra_forbidden":
        near = difflib.get_close_matches(str(location[-1]), _known_keys(location[:-1]), n=1, cutoff=0.5)
        return Problem(
            path, "a key this file knows", f"unknown {location[-1]!r}", f"nearest: {near[0]}" if near else ""
        )
    if kind == "missing":
        return Problem(path, "a value: it has no default", "nothing")
    if kind == "given":
        return Problem(path, error["ctx"]["expected"], error["ctx"]["found"])
    if kind == "literal_error":
        words = [word.strip("' ") for word in error["ctx"]["expected"].replace(" or ", ", ").split(",")]
        near = difflib.get_close_matches(str(found), words, n=1)
        return Problem(path, error["ctx"]["expected"], show(found), f"nearest: {near[0]}" if near else "")
    if kind in ("model_type", "dict_type"):
        return Problem(path, "a table of keys", show(found))
    if kind == "list_type":
        return Problem(path, f"[[{path}]], a table of its own for each", show(found))
    if kind in ("string_type", "string_too_long"):
        return Problem(path, "a text of at most 400 characters", show(found))
    if kind in ("bool_type", "bool_parsing"):
        return Problem(path, "true or false", show(found))
    return Problem(path, error["msg"][:1].lower() + error["msg"][1:], show(found))


def design_from_document(document: Mapping[str, Any], where: str = "design") -> Design:
    """A checked design; InputError with every fault found. `geometry.reading` also asks whether it can be built."""
    try:
        table = DesignTable.model_validate(document)
    except ValidationError as error:
        problems = {(_problem(one).path, _problem(one).found): _problem(one) for one in error.errors()}
        raise InputError(list(problems.values()), where) from None
    build = _Builder(table)
    design = build.design(_unit_system(document))
    if build.problems:
        raise InputError(build.problems, where)
    return design


def _unit_system(document: Any) -> UnitSystem:
    """Imperial when most lengths of the file are written in feet or inches."""
    texts = list(_texts(document))
    imperial = sum(text.rstrip().endswith((" ft", " in")) for text in texts)
    metric = sum(text.rstrip().endswith((" m", " mm", " cm")) for text in texts)
    return "imperial" if imperial > metric else "metric"


def _texts(node: Any) -> Any:
    # A pile, not recursion: dotted keys nest as deep as the file is long.
    pile = [node]
    while pile:
        top = pile.pop()
        if isinstance(top, str):
            yield top
        elif isinstance(top, dict | list):
            pile.extend(top.values() if isinstance(top, dict) else top)


class _Builder:
    """Fills in defaults, remembering which were used, and checks what only several keys together can show."""

    def __init__(self, table: DesignTable) -> None:
        self.table = table
        self.bases: dict[str, Basis] = {}
        self.problems: list[Problem] = []

    def take(self, path: str, given: Given | None, default_key: str | None = None) -> float:
        if given is not None:
            self.bases[path] = given.basis
            return given.value
        self.bases[path] = "assumed"
        found = default(default_key or path)
        dimension = "number" if found.dimension == "count" else found.dimension
        text: object = (
            float(found.value) if dimension in ("number", "share") and "%" not in found.value else found.value
        )
        return parse_quantity(text, dimension)  # type: ignore[arg-type]

    def choose(self, path: str, given: Any) -> Any:
        """A word or a yes/no: given or default."""
        self.bases[path] = "stated" if given is not None else "assumed"
        if given is not None:
            return given
        word = default(path).value
        return {"true": True, "false": False}.get(word, word)

    def fault(self, path: str, expected: str, found: str, hint: str = "") -> None:
        self.problems.append(Problem(path, expected, found, hint))

    def design(self, system: UnitSystem) -> Design:
        wall = self.wall()
        dome = self.dome(wall)
        fill = self.fill()
        beds = self.beds(wall)
        return Design(
            name=self.table.design.name,
            note=self.table.design.note,
            dome=dome,
            wall=wall,
            fill=fill,
            beds=beds,
            plaster=self.plaster(),
            building=self.building(),
            site=self.site(),
            criteria=self.criteria(),
            openings=tuple(
                Opening(
                    o.kind,
                    o.bearing.value,
                    o.sill.value,
                    o.width.value,
                    o.height.value,
                    o.head,
                    o.tie.value if o.tie else 0.0,
                )
                for o in self.table.opening
            ),
            buttresses=tuple(
                Buttress(b.bearing.value, b.length.value, b.width.value, b.height.value) for b in self.table.buttress
            ),
            unit_system=system,
            bases=MappingProxyType(dict(self.bases)),
        )

    def wall(self) -> Wall:
        t = self.table.wall
        height = self.take("wall.course_height", t.course_height)
        flat = None if t.flat_width is None else self.take("wall.flat_width", t.flat_width)
        if t.filled_width is not None:
            width = self.take("wall.filled_width", t.filled_width)
        elif flat is not None:
            # The fabric's perimeter does not change and the ends of the section are half-rounds (derived).
            width = flat - (math.pi / 2 - 1) * height
            self.bases["wall.filled_width"] = "assumed"
        else:
            width = 1.0
            self.fault("wall.filled_width", "flat_width or filled_width", "neither")
        if t.flat_width is not None and flat is not None and width >= flat:
            self.fault("wall.filled_width", f"less than the flat width {flat * 1000:.0f} mm", f"{width * 1000:.0f} mm")
        return Wall(
            flat_width=flat,
            filled_width=width,
            course_height=height,
            edge_rounding=self.take("wall.edge_rounding", t.edge_rounding),
            buried_courses=int(self.take("wall.buried_courses", t.buried_courses)),
            fabric=self.choose("wall.fabric", t.fabric),
            fabric_strength=self.take("wall.fabric_strength", t.fabric_strength),
            individual_bags=self.choose("wall.individual_bags", t.individual_bags),
            bag_length=None if t.bag_length is None else self.take("wall.bag_length", t.bag_length),
        )

    def dome(self, wall: Wall) -> DomeShape:
        t = self.table.dome
        profile = self.choose("dome.profile", t.profile)
        pivot = t.fixed_compass_pivot
        path = "dome.fixed_compass_pivot"
        if isinstance(pivot, Given):
            beyond = self.take(path, pivot)
        else:
            beyond = 0.0 if self.choose(path, pivot) == "inner face" else wall.filled_width
        radii = t.inner_radii.values if t.inner_radii else ()
        if (profile == "measured") != bool(radii):
            self.fault(
                "dome.inner_radii",
                'a list of radii when, and only when, profile is "measured"',
                "a list" if radii else "none",
            )
        return DomeShape(
            inside_diameter=self.take("dome.inside_diameter", t.inside_diameter),
            profile=profile,
            pivot_beyond_inner_face=beyond,
            crown_opening=self.take("dome.crown_opening", t.crown_opening),
            springing_above_floor=self.take("dome.springing_above_floor", t.springing_above_floor),
            floor_above_ground=self.take("dome.floor_above_ground", t.floor_above_ground),
            centre_pivot_above_springing=self.take("dome.centre_pivot_above_springing", t.centre_pivot_above_springing),
            inner_radii=radii,
        )

    def fill(self) -> Fill:
        t = self.table.fill
        stabiliser = self.choose("fill.stabiliser", t.stabiliser)
        group = "fill." if stabiliser == "none" else "fill.stabilised."
        placing = self.take("fill.placing_moisture", t.placing_moisture)
        service = placing if t.service_moisture is None else self.take("fill.service_moisture", t.service_moisture)
        if t.service_moisture is None:
            self.bases["fill.service_moisture"] = "assumed"
        strengths = {
            key: self.take(f"fill.{key}", getattr(t, key), group + key)
            for key in ("strength_dry", "strength_as_placed", "strength_wet")
        }
        dry, grains = (
            self.take("fill.dry_density", t.dry_density),
            self.take("fill.particle_density", t.particle_density),
        )
        self._check_fill(dry, grains, placing, service, strengths, stabiliser)
        return Fill(
            dry_density=dry,
            particle_density=grains,
            placing_moisture=placing,
            service_moisture=service,
            stabiliser=stabiliser,
            stabiliser_share=self.take("fill.stabiliser_share", t.stabiliser_share),
            hydraulic_conductivity=self.take("fill.hydraulic_conductivity", t.hydraulic_conductivity),
            suction_head=self.take("fill.suction_head", t.suction_head),
            **strengths,
        )

    def _check_fill(
        self, dry: float, grains: float, placing: float, service: float, strengths: Mapping[str, float], stabiliser: str
    ) -> None:
        if dry >= grains:
            self.fault("fill.dry_density", f"less than the grains' {grains:g} kg/m3", f"{dry:g} kg/m3")
            return
        full = 1000.0 / dry - 1000.0 / grains  # w_sat = e/G_s, written out
        for key, value in (("placing_moisture", placing), ("service_moisture", service)):
            if value > full:
                self.fault(f"fill.{key}", f"at most {100 * full:.1f} %, which fills every void", f"{100 * value:.1f} %")
        if strengths["strength_dry"] < strengths["strength_as_placed"]:
            self.fault(
                "fill.strength_as_placed",
                f"at most strength_dry, {strengths['strength_dry']:g} kPa",
                f"{strengths['strength_as_placed']:g} kPa",
            )
        least = strengths["strength_dry"] if stabiliser != "none" else strengths["strength_as_placed"]
        if strengths["strength_wet"] > least:
            self.fault(
                "fill.strength_wet",
                f"at most {least:g} kPa, the strength when drier",
                f"{strengths['strength_wet']:g} kPa",
            )

    def beds(self, wall: Wall) -> Beds:
        t = self.table.beds
        if t.cohesion is not None and t.cohesion.value > 0.0 and t.cohesion.basis != "measured":
            self.fault(
                "beds.cohesion",
                '{ value = ..., source = "measured" }: only a tested cohesion is counted',
                f"{t.cohesion.value:g} kPa, not measured",
            )
        strands = int(self.take("beds.wire_strands", t.wire_strands))
        mesh = wall.fabric == "open mesh"
        dry_key = "beds.mesh.friction" if mesh else ("beds.wired.friction" if strands else "beds.friction")
        friction = self.take("beds.friction", t.friction, dry_key)
        wet = self.take("beds.friction_wet", t.friction_wet, "beds.mesh.friction_wet" if mesh else None)
        if wet > friction:
            if t.friction_wet is None:
                wet = friction  # a default may not outdo what the user measured dry
            else:
                self.fault("beds.friction_wet", f"at most the dry friction {friction:g}", f"{wet:g}")
        return Beds(
            friction=friction,
            friction_wet=wet,
            cohesion=self.take("beds.cohesion", t.cohesion),
            wire_strands=strands,
            wire_breaking_load=self.take("beds.wire_breaking_load", t.wire_breaking_load),
            wire_counted_share=self.take("beds.wire_counted_share", t.wire_counted_share),
        )

    def plaster(self) -> Plaster:
        t = self.table.plaster
        return Plaster(
            self.take("plaster.outside", t.outside),
            self.take("plaster.inside", t.inside),
            self.take("plaster.unit_weight", t.unit_weight),
        )

    def building(self) -> Building:
        t = self.table.building
        cover, drying = t.cover_after, t.drying
        self.bases["building.cover_after"] = "assumed" if cover is None else cover.basis
        self.bases["building.drying"] = "assumed" if drying is None else "stated"
        return Building(
            courses_per_day=self.take("building.courses_per_day", t.courses_per_day),
            worker=self.take("building.worker", t.worker),
            rest_days=int(self.take("building.rest_days", t.rest_days)),
            climate=self.choose("building.climate", t.climate),
            drying=drying.pairs if drying else (),
            cover_after=None if cover is None else cover.value,
            count_fabric=self.choose("building.count_fabric", t.count_fabric),
            fabric_loss=self.take("building.fabric_loss", t.fabric_loss),
            wire_hold=self.take("building.wire_hold", t.wire_hold),
        )

    def site(self) -> Site:
        t = self.table.site
        if t.ground is not None:
            row = ground_class(t.ground)
            bearing = (
                parse_quantity(row.value, "stress")
                if t.ground_bearing is None
                else self.take("site.ground_bearing", t.ground_bearing)
            )
            friction = (
                float(row.extra["friction"])
                if t.ground_friction is None
                else self.take("site.ground_friction", t.ground_friction)
            )
            self.bases.setdefault("site.ground_bearing", "stated")
            self.bases.setdefault("site.ground_friction", "stated")
        else:
            bearing = self.take("site.ground_bearing", t.ground_bearing)
            friction = self.take("site.ground_friction", t.ground_friction)
        rain = t.rain
        return Site(
            rain_intensity=self.take("site.rain.intensity", rain.intensity if rain else None),
            rain_hours=self.take("site.rain.hours", rain.hours if rain else None),
            snow=self.take("site.snow", t.snow),
            wind_pressure=self.take("site.wind_pressure", t.wind_pressure),
            earthquake=self.take("site.earthquake", t.earthquake),
            ground_bearing=bearing,
            ground_friction=friction,
            left_unprotected=self.choose("site.left_unprotected", t.left_unprotected),
        )

    def _tested(self, check: str) -> bool:
        """Whether every strength that a check can rest on was measured: one tested state says nothing of another."""
        states = (
            ["strength_as_placed"] if check == "strength while building" else ["strength_dry", "strength_as_placed"]
        )
        if self.table.fill.stabiliser not in (None, "none"):
            states.append("strength_wet")  # damp hardened fill lies between its dry and its wet strength
        return all(self.bases.get(f"fill.{state}") == "measured" for state in states)

    def criteria(self) -> Criteria:
        given = dict(self.table.criteria)
        name = given.pop("set", "common practice")
        if name not in criteria_sets():
            self.fault("criteria.set", " or ".join(f'"{one}"' for one in criteria_sets()), show(name))
            name = "common practice"
        required = {
            check: float(row.extra.get("tested", row.value) if self._tested(check) else row.value)
            for check, row in criteria_set(name).items()
        }
        overridden = []
        for key, value in given.items():
            check = key.replace("_", " ")
            if check not in required:
                near = difflib.get_close_matches(check, ["set", *required], n=1, cutoff=0.5)
                self.fault(
                    f"criteria.{key}",
                    "a key this file knows",
                    f"unknown {key!r}",
                    f"nearest: {near[0].replace(' ', '_')}" if near else "",
                )
            elif isinstance(value, bool) or not isinstance(value, int | float) or not 1.0 <= value <= 100.0:
                self.fault(f"criteria.{key}", "a factor from 1 to 100", show(value))
            else:
                required[check] = float(value)
                overridden.append(check)
        return Criteria(name, MappingProxyType(required), tuple(overridden))
