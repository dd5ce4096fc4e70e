"""The design as frozen data, in SI units (m, kN, kPa, kg/m3, m/s, rad).

Reading and checking the design file is the work of `dome.design_file`; this module only says what a design is.
"""

from __future__ import annotations

import hashlib
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from typing import Literal

from shellcheck_earth.basics.frozen import FrozenMap
from shellcheck_earth.basics.renderers import render
from shellcheck_earth.basics.units import parse_quantity
from shellcheck_earth.basics.values import default
from shellcheck_earth.design.backfill import Backfill
from shellcheck_earth.design.criteria import Combination, Level
from shellcheck_earth.design.footing import Footing
from shellcheck_earth.design.gate import gate
from shellcheck_earth.design.handed import BearingLoad, RingLoad
from shellcheck_earth.design.schema import LOADS, Basis

__all__ = [
    "Backfill",
    "Basis",
    "BearingLoad",
    "Beds",
    "Building",
    "Buttress",
    "Climate",
    "CourseGroup",
    "Criteria",
    "Design",
    "DomeShape",
    "Fabric",
    "Fill",
    "Footing",
    "Opening",
    "Plaster",
    "Profile",
    "RingLoad",
    "Site",
    "Stabiliser",
    "UnitSystem",
    "Wall",
    "group_path",
    "strengths_tested",
]

Profile = Literal["pointed", "round", "measured"]
Fabric = Literal["woven", "open mesh"]
Stabiliser = Literal["none", "cement", "lime"]
UnitSystem = Literal["metric", "imperial"]
Climate = Literal["none", "cool and damp", "temperate", "hot and dry"]


@dataclass(frozen=True)
class DomeShape:
    """`pivot_beyond_inner_face` is `e` of the two-compass shape [m]; a measured profile has no compass of its own.

    inner_radii    of a measured profile only: one a course [m], from course number `measured_from` up
    measured_from  1 is the first course above the springing; courses under it have the radius D/2
    course_tops    their levels above the springing [m], as many; () where every course is as high as the design says
    """

    inside_diameter: float
    profile: Profile
    pivot_beyond_inner_face: float
    crown_opening: float
    springing_above_floor: float
    floor_above_ground: float
    centre_pivot_above_springing: float
    inner_radii: tuple[float, ...] = ()
    measured_from: int = 1
    course_tops: tuple[float, ...] = ()


@dataclass(frozen=True)
class Wall:
    """The tube, empty (`flat_width`) and filled and tamped (`filled_width`, `course_height`) [m]."""

    flat_width: float | None
    filled_width: float
    course_height: float
    edge_rounding: float
    buried_courses: int
    fabric: Fabric
    fabric_strength: float  # kN/m
    individual_bags: bool
    bag_length: float | None


@dataclass(frozen=True)
class Fill:
    """Densities [kg/m3], moistures as mass of water over mass of dry soil [-], strengths [kPa]."""

    dry_density: float
    particle_density: float
    placing_moisture: float
    service_moisture: float
    stabiliser: Stabiliser
    stabiliser_share: float
    strength_dry: float
    strength_as_placed: float
    strength_wet: float
    hydraulic_conductivity: float  # m/s
    suction_head: float  # m


@dataclass(frozen=True)
class Beds:
    """Friction coefficients [-], tested cohesion [kPa], and the wire between two courses.

    cohesion_wet      what a soaked test left of the cohesion [kPa]; 0 without one
    wire_bond         tested hold of one strand in its bed [kN a metre]; None: no pull test
    friction_no_wire  friction once wire and interlock are gone [-]; None: as `friction`
    """

    friction: float
    friction_wet: float
    cohesion: float
    wire_strands: int
    wire_breaking_load: float  # kN, one strand
    wire_counted_share: float
    cohesion_wet: float = 0.0
    wire_bond: float | None = None
    friction_no_wire: float | None = None

    @property
    def friction_without_wire(self) -> float:
        """Never more than with it."""
        return self.friction if self.friction_no_wire is None else min(self.friction_no_wire, self.friction)

    @property
    def wire_tension(self) -> float:
        """Hoop tension counted in every bed that has wire [kN]."""
        return self.wire_strands * self.wire_breaking_load * self.wire_counted_share


@dataclass(frozen=True)
class CourseGroup:
    """Courses number `lowest` to `highest` (None: to the end) with a fill of their own."""

    lowest: int | None
    highest: int | None
    fill: Fill

    def holds(self, number: int) -> bool:
        """Whether a course belongs to the group."""
        return (self.lowest is None or number >= self.lowest) and (self.highest is None or number <= self.highest)


@dataclass(frozen=True)
class Plaster:
    """Thickness outside and inside [m], unit weight [kN/m3]."""

    outside: float  # m, 0 for none
    inside: float
    unit_weight: float  # kN/m3


@dataclass(frozen=True)
class Building:
    """Pace and loads of the work. `rest_days` counts days without laying after each six days of work.

    climate         what drying between courses is counted on; "none" counts a course as damp as it was placed
    drying          the user's own (age [days], moisture [-]) pairs, which replace the climate; () for none
    cover_after     hours of rain after which a tarpaulin keeps it out; None: stays uncovered
    count_fabric    the tube's fabric confines the fill while building
    fabric_loss     share of the fabric's strength that a day of sunlight takes
    wire_hold       tested hold-down of the barbs, a metre of course [kN/m]
    laid            number of the top course now; stages before it are past and not asked (None: none is past)
    unfinished      nothing stands above the courses that are given: no case of a finished dome is asked
    laid_on         day on which each course was laid, lowest course first; () for the stated pace from the first on
    wetted          depth [m], square to its exposed faces, to which rain has wetted each course, lowest course first
    """

    courses_per_day: float
    worker: float  # kN
    rest_days: int = 0
    climate: Climate = "none"
    drying: tuple[tuple[float, float], ...] = ()
    cover_after: float | None = None
    count_fabric: bool = False
    fabric_loss: float = 0.02
    wire_hold: float = 0.0
    laid: int | None = None
    unfinished: bool = False
    laid_on: tuple[int, ...] = ()
    wetted: tuple[float, ...] = ()


@dataclass(frozen=True)
class Site:
    """Loads [kPa, share of weight, m/s, h] and ground [kPa, -] of the place; `..._basis`: what a load is stated as."""

    rain_intensity: float  # m/s
    rain_hours: float
    snow: float  # kPa
    wind_pressure: float  # kPa, peak velocity pressure at the crown
    earthquake: float  # sideways share of weight
    ground_bearing: float  # kPa, allowable
    ground_friction: float
    left_unprotected: bool  # no plaster or roof keeps the rain out in service
    roof: bool = False  # keeps rain off in service
    friction_wet: float | None = None  # of wet ground; None: as dry
    bearing_wet: float | None = None  # kPa, allowable of wet ground; None: as dry
    not_stated: frozenset[str] = frozenset()  # loads with neither a value nor "none" and its reason
    none_because: tuple[tuple[str, str], ...] = ()  # (load, the reason why this site has none)
    wind_basis: Level = "characteristic"
    earthquake_basis: Level = "characteristic"

    @property
    def ground_friction_wet(self) -> float:
        """Never more than dry."""
        return self.ground_friction if self.friction_wet is None else min(self.friction_wet, self.ground_friction)

    @property
    def ground_bearing_wet(self) -> float:
        """Never more than dry [kPa]."""
        return self.ground_bearing if self.bearing_wet is None else min(self.bearing_wet, self.ground_bearing)


HEAD_DEPTH, LINTEL_BEARING = (
    parse_quantity(default(f"opening.{key}").value, "length") for key in ("head_depth", "lintel_bearing")
)
"""What carries an opening where nothing is said of it [m]: the least that is built."""


@dataclass(frozen=True)
class Opening:
    """`bearing` is on plan, clockwise from the entrance [rad]; `sill` is above the finished floor [m].

    tie     greatest tension of a lintel and its anchors along the wall [kN]; 0 for none, and for every head but a
        lintel
    head_depth  of the ring of bags over a pointed or round head, square to its arch [m]
    lintel_bearing  length of wall on which each end of a lintel rests [m]
    """

    kind: Literal["door", "window", "vent"]
    bearing: float
    sill: float
    width: float
    height: float
    head: Literal["pointed", "round", "lintel"]
    tie: float = 0.0
    head_depth: float = HEAD_DEPTH
    lintel_bearing: float = LINTEL_BEARING


@dataclass(frozen=True)
class Buttress:
    """`length` outward from the wall's outer face, `width` along it, `height` above ground [m]."""

    bearing: float
    length: float
    width: float
    height: float


def _freeze(of: object, name: str) -> None:
    """Make a mapping one that can be hashed and sent to another process; what is no mapping is left to the gate."""
    value = getattr(of, name)
    if isinstance(value, Mapping) and not isinstance(value, FrozenMap):
        object.__setattr__(of, name, FrozenMap(value))


@dataclass(frozen=True)
class Criteria:
    """The named set and the factors it asks for, by the name of the check (after the user's overrides); `rows`: of
    factors that act together, said in the design file."""

    set_name: str
    required: Mapping[str, float]
    overridden: tuple[str, ...] = ()
    rows: tuple[Combination, ...] = ()

    def __post_init__(self) -> None:
        _freeze(self, "required")


def group_path(group: int, path: str) -> str:
    """The path of a value of the fill in a group of courses, counted from 1; 0 is the wall's own fill."""
    return f"wall.courses[{group}].{path.removeprefix('fill.')}" if group else path


def strengths_tested(bases: Mapping[str, Basis], hardening: Sequence[bool], *, building: bool, group: int = 0) -> bool:
    """Whether every strength that a check may rest on was measured: one tested state says nothing of another.

    hardening: whether the fill is stabilised, of the wall's own and of each group of courses, or from `group` on; damp
    hardened fill lies between its dry and its wet strength. building: fresh fill has its strength as placed.
    """
    asked = []
    for number, hardens in enumerate(hardening, group):
        states = ["as_placed", *(() if building else ("dry",)), *(("wet",) if hardens else ())]
        asked += [group_path(number, f"fill.strength_{state}") for state in states]
    return all(bases.get(path) == "measured" for path in asked)


@dataclass(frozen=True, repr=False)
class Design:
    """One dome, complete and checked. `bases` says for each path (``wall.course_height``) how its value is known.

    InputError with every fault when it is built, in whichever way: a file, code or `dataclasses.replace`.
    """

    name: str
    note: str
    dome: DomeShape
    wall: Wall
    fill: Fill
    beds: Beds
    plaster: Plaster
    building: Building
    site: Site
    criteria: Criteria
    openings: tuple[Opening, ...] = ()
    buttresses: tuple[Buttress, ...] = ()
    groups: tuple[CourseGroup, ...] = ()
    ring_loads: tuple[RingLoad, ...] = ()
    bearing_loads: tuple[BearingLoad, ...] = ()
    backfill: Backfill | None = None
    footing: Footing | None = None
    unit_system: UnitSystem = "metric"
    bases: Mapping[str, Basis] = field(default_factory=FrozenMap)
    text: str = field(
        default="", compare=False, repr=False
    )  # the file's own, for the certificate; "" where there is none

    def __post_init__(self) -> None:
        _freeze(self, "bases")
        gate(self)

    def __repr__(self) -> str:
        dome, wall = self.dome, self.wall
        size = f"{dome.inside_diameter:.4g} m inside, {dome.profile}, {wall.fabric} tube {wall.filled_width:.4g} m wide"
        return f"<Design {self.name!r}: {size}, {wall.course_height:.4g} m high>"

    @property
    def source_text(self) -> str:
        """The text of a design file that reads as this design: its own, or one written for it (TOML).

        InputError where no file can say it.
        """
        text: str = render(self, "text")
        return text

    @property
    def loads_not_stated(self) -> tuple[str, ...]:
        """Loads that the site has neither as a value nor as "none" with its reason."""
        return tuple(name for name in LOADS if name in self.site.not_stated)

    @property
    def earth(self) -> Backfill | None:
        """The earth against the finished wall: what is laid there, or the ground where the floor is below it; None
        where there is none."""
        if self.backfill is None and self.dome.floor_above_ground < 0.0:
            return Backfill()
        return self.backfill

    @property
    def protected(self) -> bool:
        """Whether plaster or a roof keeps the rain out of the finished dome."""
        return (self.plaster.outside > 0.0 or self.site.roof) and not self.site.left_unprotected

    def fill_of(self, number: int) -> Fill:
        """The fill of a course: its group's, else that of the dome."""
        return next((group.fill for group in self.groups if group.holds(number)), self.fill)

    def strengths_tested(self, *, building: bool) -> bool:
        """Whether every strength that a check may rest on was measured; `building`: of stages, where all is fresh."""
        fills = (self.fill, *(group.fill for group in self.groups))
        return strengths_tested(self.bases, [fill.stabiliser != "none" for fill in fills], building=building)

    def level_of(self, criterion: str) -> Level:
        """What the load of a criterion is stated as; "characteristic" for every other criterion."""
        return {"storm": self.site.wind_basis, "earthquake": self.site.earthquake_basis}.get(
            criterion, "characteristic"
        )

    def basis(self, *paths: str) -> Basis:
        """The weakest basis among the paths: one assumed input makes a result assumed. A path of the fill is that of
        every group of courses too."""
        asked = [*paths]
        for path in paths:
            if path.startswith("fill."):
                asked += [group_path(k, path) for k in range(1, len(self.groups) + 1)]
        found = {self.bases.get(path, "stated") for path in asked}
        if "assumed" in found:
            return "assumed"
        return "stated" if "stated" in found else "measured"

    def with_value(self, path: str, value: object) -> Design:
        """The design with one key of its file set, everything that follows from it by default worked out again.

        Parameters
        ----------
        path
            The key as in the design file, such as ``"fill.dry_density"`` or ``"opening[1].width"``.
        value
            What the file would say: ``"1600 kg/m3"``, ``0.45``, ``True``, or
            ``{"value": "0.6 MPa", "source": "measured"}``. A value that was marked measured keeps its mark unless the
            new one brings its own.

        Returns
        -------
        Design
            Another one; this one stays as it is.

        Raises
        ------
        InputError, UnbuildableError
            The key is unknown (the nearest one is named), the value cannot be used, or no such dome can be built.

        Examples
        --------
        >>> import shellcheck_earth as se
        >>> store = se.read("reports/tool-store/design.toml")
        >>> store.with_value("fill.dry_density", "1600 kg/m3").fill.dry_density
        1600.0
        """
        changed: Design = render(self, "with value", path, value)
        return changed

    @property
    def sha256(self) -> str:
        """Digest of `source_text`: of the file that the design was read from, or of the one written for it."""
        return hashlib.sha256(self.source_text.encode()).hexdigest()

    def _repr_svg_(self) -> str | None:
        """For a notebook: the section to scale, without any force; None where no such dome can be built."""
        drawn: str | None = render(self, "svg")
        return drawn
