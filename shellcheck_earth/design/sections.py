"""The sections of a design as frozen data, in SI units (m, kN, kPa, kg/m3, m/s, rad)."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Literal

from shellcheck_earth.basics.frozen import freeze
from shellcheck_earth.basics.units import parse_quantity
from shellcheck_earth.basics.values import default
from shellcheck_earth.design.criteria import Combination, Level, one_each
from shellcheck_earth.design.factor_set import FactorSet

__all__ = [
    "Beds",
    "Building",
    "Buttress",
    "Climate",
    "CourseGroup",
    "Criteria",
    "DomeShape",
    "Fabric",
    "Fill",
    "Opening",
    "Plaster",
    "Profile",
    "Site",
    "Stabiliser",
    "UnitSystem",
    "Wall",
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
    scaffold_above  height over the floor [m] above which the crew works off a scaffold that stands free of the wall:
                    nobody stands on a course whose top lies higher; None: on every ring
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
    scaffold_above: float | None = None
    count_fabric: bool = False
    fabric_loss: float = 0.02
    wire_hold: float = 0.0
    laid: int | None = None
    unfinished: bool = False
    laid_on: tuple[int, ...] = ()
    wetted: tuple[float, ...] = ()


SPLASH_HEIGHT = parse_quantity(default("site.splash_height").value, "length")
"""How far over the ground splash and damp soak the wall where nothing is said of it [m]."""


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
    splash_height: float = SPLASH_HEIGHT  # m over the ground, below which a course that begins there counts as soaked

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


@dataclass(frozen=True)
class Criteria:
    """The named set and the factors it asks for, by the name of the check (after the user's overrides); `rows`: of
    factors that act together, said in the design file; `own_set`: that of a file, beside the named one."""

    set_name: str
    required: Mapping[str, float]
    overridden: tuple[str, ...] = ()
    rows: tuple[Combination, ...] = ()
    own_set: FactorSet | None = None

    @property
    def said_rows(self) -> tuple[Combination, ...]:
        """The rows that the design brings along, those of its file's set first; one of a name for each."""
        return one_each(self.own_set.rows if self.own_set else (), self.rows)

    def __post_init__(self) -> None:
        freeze(self, "required")
