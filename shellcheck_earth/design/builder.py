"""From the checked tables of a design file to the frozen design: defaults, and how each value is known."""

from __future__ import annotations

import math
from dataclasses import replace

from shellcheck_earth.basics.errors import InputError
from shellcheck_earth.basics.units import both, parse_quantity
from shellcheck_earth.basics.values import ground_class, ground_classes
from shellcheck_earth.design.as_built import measured_faults
from shellcheck_earth.design.backfill import SPANS as EARTH_SPANS
from shellcheck_earth.design.backfill import usual_span
from shellcheck_earth.design.criteria import LEVELS, Level
from shellcheck_earth.design.design import (
    Backfill,
    BearingLoad,
    Beds,
    Building,
    Buttress,
    Criteria,
    Design,
    DomeShape,
    Opening,
    Plaster,
    RingLoad,
    Site,
    UnitSystem,
    Wall,
    strengths_tested,
)
from shellcheck_earth.design.fills import FillBuilder
from shellcheck_earth.design.footing import Footing, usual_weight
from shellcheck_earth.design.given import GivenNone
from shellcheck_earth.design.handed import SPANS, BearingLoadTable, RingLoadTable
from shellcheck_earth.design.required import read_criteria
from shellcheck_earth.design.schema import LOADS, Given

__all__ = ["Builder"]


class Builder(FillBuilder):
    """Fills in defaults, remembering which were used; the gate then asks what it asks of every design."""

    def design(self, system: UnitSystem) -> Design | None:
        """The design, or None where there are problems: of the file, or those that the gate finds."""
        try:
            design = self._design(system)
        except InputError as error:
            said = {problem.path for problem in self.problems}
            self.problems += [problem for problem in error.problems if problem.path not in said]
            return None
        return None if self.problems else design

    def _design(self, system: UnitSystem) -> Design:
        wall = self.wall(system)
        dome = self.dome(wall)
        fill, groups = self.fill(), self.groups()
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
            openings=self.openings(),
            buttresses=tuple(
                Buttress(b.bearing.value, b.length.value, b.width.value, b.height.value) for b in self.table.buttress
            ),
            groups=groups,
            ring_loads=self.ring_loads(),
            bearing_loads=self.bearing_loads(),
            backfill=self.backfill(),
            footing=self.footing(),
            unit_system=system,
            bases=self.bases,
        )

    def ring_loads(self) -> tuple[RingLoad, ...]:
        """What is handed into a course all around; of each value how it is known."""
        return tuple(
            RingLoad(
                given.name,
                self.take(f"ring_load[{index}].height", given.height),
                **self._spans("ring_load", index, given),
            )
            for index, given in enumerate(self.table.ring_load, 1)
        )

    def bearing_loads(self) -> tuple[BearingLoad, ...]:
        """What is handed into the wall at one bearing; of each value how it is known."""
        out = []
        for index, given in enumerate(self.table.bearing_load, 1):
            height, width = (
                self.take(f"bearing_load[{index}].{key}", getattr(given, key)) for key in ("height", "width")
            )
            spans = self._spans("bearing_load", index, given)
            out.append(BearingLoad(given.name, given.bearing.value, height, width, **spans))
        return tuple(out)

    def backfill(self) -> Backfill | None:
        """The earth against the wall; of each value how it is known."""
        t = self.table.backfill
        if t is None:
            return None
        spans = {}
        for key in EARTH_SPANS:
            given = getattr(t, key)
            self.bases[f"backfill.{key}"] = "assumed" if given is None else given.basis
            spans[key] = usual_span(key) if given is None else (given.low, given.high)
        return Backfill(
            height=self.take("backfill.height", t.height),
            compacted=self.choose("backfill.compacted", t.compacted),
            surcharge=self.take("backfill.surcharge", t.surcharge),
            drained=t.drained.reason if t.drained else "",
            from_bearing=t.from_bearing.value if t.from_bearing else None,
            to_bearing=t.to_bearing.value if t.to_bearing else None,
            **spans,
        )

    def footing(self) -> Footing | None:
        """The footing under the wall; of each value how it is known."""
        t = self.table.footing
        if t is None:
            return None
        given = t.unit_weight
        self.bases["footing.unit_weight"] = "assumed" if given is None else given.basis
        width, depth = self.take("footing.width", t.width), self.take("footing.depth", t.depth)
        return Footing(width, depth, usual_weight() if given is None else (given.low, given.high))

    def _spans(self, table: str, index: int, given: RingLoadTable | BearingLoadTable) -> dict[str, tuple[float, float]]:
        spans = {key: getattr(given, key) for key in SPANS}
        self.bases |= {f"{table}[{index}].{key}": span.basis for key, span in spans.items()}
        return {key: (span.low, span.high) for key, span in spans.items()}

    def openings(self) -> tuple[Opening, ...]:
        """Doors, windows and vents; of each what carries it: a ring of bags has a depth, a lintel a bearing."""
        out = []
        for index, o in enumerate(self.table.opening):
            path, carried = f"opening[{index + 1}]", "lintel_bearing" if o.head == "lintel" else "head_depth"
            length = self.take(f"{path}.{carried}", getattr(o, carried), f"opening.{carried}")
            opening = Opening(
                o.kind,
                o.bearing.value,
                o.sill.value,
                o.width.value,
                o.height.value,
                o.head,
                o.tie.value if o.tie else 0.0,
            )
            lintel = o.head == "lintel"
            out.append(replace(opening, lintel_bearing=length) if lintel else replace(opening, head_depth=length))
        return tuple(out)

    def wall(self, system: UnitSystem) -> Wall:
        t = self.table.wall
        height = self.take("wall.course_height", t.course_height)
        flat = None if t.flat_width is None else self.take("wall.flat_width", t.flat_width)
        if t.filled_width is not None:
            width = self.take("wall.filled_width", t.filled_width)
        elif flat is not None:
            # The fabric's perimeter does not change and the ends of the section are half-rounds (derived).
            width = flat - (math.pi / 2 - 1) * height
            self.bases["wall.filled_width"] = "assumed"
            if width <= 0.0:
                high, found = (both(one, "length", system) for one in (height, flat))
                expected = f"a tube wide enough to be filled {high} high"
                self.fault("wall.filled_width", expected, f"a flat width of {found}")
        else:
            width = 1.0
            self.fault("wall.filled_width", "flat_width or filled_width", "neither")
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
        if profile == "measured":
            self.problems += measured_faults(t, wall)
        return DomeShape(
            inside_diameter=self.take("dome.inside_diameter", t.inside_diameter),
            profile=profile,
            pivot_beyond_inner_face=beyond,
            crown_opening=self.take("dome.crown_opening", t.crown_opening),
            springing_above_floor=self.take("dome.springing_above_floor", t.springing_above_floor),
            floor_above_ground=self.take("dome.floor_above_ground", t.floor_above_ground),
            centre_pivot_above_springing=self.take("dome.centre_pivot_above_springing", t.centre_pivot_above_springing),
            inner_radii=radii,
            measured_from=1 if t.measured_from is None else int(self.take("dome.measured_from", t.measured_from)),
            course_tops=t.course_tops.values if t.course_tops else (),
        )

    def beds(self, wall: Wall) -> Beds:
        t = self.table.beds
        for key in ("cohesion", "cohesion_wet", "wire_bond"):
            given = getattr(t, key)
            if given is not None and given.value > 0.0 and given.basis != "measured":
                self.fault(
                    f"beds.{key}",
                    '{ value = ..., source = "measured" }: only a tested value is counted',
                    f"{given.value:g}, not measured",
                )
        strands = int(self.take("beds.wire_strands", t.wire_strands))
        mesh = wall.fabric == "open mesh"
        dry_key = "beds.mesh.friction" if mesh else ("beds.wired.friction" if strands else "beds.friction")
        friction = self.take("beds.friction", t.friction, dry_key)
        wet = self.take("beds.friction_wet", t.friction_wet, "beds.mesh.friction_wet" if mesh else None)
        if t.friction_wet is None:
            wet = min(wet, friction)  # a default may not outdo what the user measured dry
        cohesion, cohesion_wet = self.take("beds.cohesion", t.cohesion), self.take("beds.cohesion_wet", t.cohesion_wet)
        bare = self.take("beds.friction_no_wire", t.friction_no_wire, "beds.mesh.friction" if mesh else "beds.friction")
        if t.friction_no_wire is None or not strands:
            bare = min(bare, friction)
        self.bases["beds.wire_bond"] = "assumed" if t.wire_bond is None else t.wire_bond.basis
        return Beds(
            friction=friction,
            friction_wet=wet,
            cohesion=cohesion,
            cohesion_wet=cohesion_wet,
            wire_bond=None if t.wire_bond is None else t.wire_bond.value,
            friction_no_wire=bare if strands else friction,
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
        cover, drying, scaffold = t.cover_after, t.drying, t.scaffold_above
        self.bases["building.cover_after"] = "assumed" if cover is None else cover.basis
        self.bases["building.scaffold_above"] = "assumed" if scaffold is None else scaffold.basis
        self.bases["building.drying"] = "assumed" if drying is None else drying.basis
        return Building(
            courses_per_day=self.take("building.courses_per_day", t.courses_per_day),
            worker=self.take("building.worker", t.worker),
            rest_days=int(self.take("building.rest_days", t.rest_days)),
            climate=self.choose("building.climate", t.climate),
            drying=drying.pairs if drying else (),
            cover_after=None if cover is None else cover.value,
            scaffold_above=None if scaffold is None else scaffold.value,
            count_fabric=self.choose("building.count_fabric", t.count_fabric),
            fabric_loss=self.take("building.fabric_loss", t.fabric_loss),
            wire_hold=self.take("building.wire_hold", t.wire_hold),
            laid=None if t.laid is None else int(self.take("building.laid", t.laid)),
            unfinished=bool(t.unfinished),
            laid_on=tuple(int(day) for day in t.laid_on.values) if t.laid_on else (),
            wetted=t.wetted.values if t.wetted else (),
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
        loads = {name: self._load(name, getattr(t, name)) for name in LOADS}
        rain = t.rain
        return Site(
            rain_intensity=self.take("site.rain.intensity", rain.intensity if rain else None),
            rain_hours=self.take("site.rain.hours", rain.hours if rain else None),
            **loads,
            ground_bearing=bearing,
            ground_friction=friction,
            left_unprotected=self.choose("site.left_unprotected", t.left_unprotected),
            roof=self.choose("site.roof", t.roof),
            splash_height=self.take("site.splash_height", t.splash_height),
            wind_basis=self.choose("site.wind_basis", t.wind_basis),
            earthquake_basis=self.choose("site.earthquake_basis", t.earthquake_basis),
            bearing_wet=self._wet_ground("bearing", t.ground_bearing_wet, bearing),
            friction_wet=self._wet_ground("friction", t.ground_friction_wet, friction),
            not_stated=frozenset(name for name in LOADS if self._silent(getattr(t, name))),
            none_because=tuple(
                (name, getattr(t, name).reason) for name in LOADS if isinstance(getattr(t, name), GivenNone)
            ),
        )

    def _load(self, name: str, given: Given | GivenNone | None) -> float:
        if isinstance(given, GivenNone):
            self.bases[f"site.{name}"] = "stated"
            return 0.0
        return self.take(f"site.{name}", given)

    def _silent(self, given: Given | GivenNone | None) -> bool:
        """A load left out, or a bare zero without a reason."""
        return given is None or (isinstance(given, Given) and given.value == 0.0)

    def _wet_ground(self, what: str, given: Given | None, dry: float) -> float:
        """Of a named class the table's own value, which does not ask whether it is wet; else the least of the table."""
        path = f"site.ground_{what}_wet"
        if given is not None:
            return self.take(path, given)
        self.bases[path] = "assumed"
        rows = [ground_class(self.table.site.ground)] if self.table.site.ground else ground_classes().values()
        values = [parse_quantity(r.value, "stress") if what == "bearing" else float(r.extra["friction"]) for r in rows]
        return min(dry, *values)

    def _tested(self, check: str) -> bool:
        own = self.table.fill.stabiliser
        kinds = [own, *(own if group.stabiliser is None else group.stabiliser for group in self.table.wall.courses)]
        hardening = [kind not in (None, "none") for kind in kinds]
        return strengths_tested(self.bases, hardening, building=check == "strength while building")

    def _level(self, check: str) -> Level:
        """What the load of a check is stated as; silence takes the greater factor."""
        key = LEVELS.get(check, "").removeprefix("site.")
        said: Level | None = getattr(self.table.site, key) if key else None
        return said or "characteristic"

    def criteria(self) -> Criteria:
        found, problems = read_criteria(self.table.criteria, self.table.factor_set, self._tested, self._level)
        self.problems += problems
        return found
