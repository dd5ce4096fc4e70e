"""The design as frozen data, in SI units (m, kN, kPa, kg/m3, m/s, rad).

Reading and checking the design file is the work of `file`; this module and `sections` only say what a design is.
"""

from __future__ import annotations

import hashlib
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field

from shellcheck_earth.basics.frozen import FrozenMap, freeze
from shellcheck_earth.basics.renderers import render
from shellcheck_earth.design.backfill import Backfill
from shellcheck_earth.design.criteria import Level
from shellcheck_earth.design.footing import Footing
from shellcheck_earth.design.gate import gate
from shellcheck_earth.design.handed import BearingLoad, RingLoad
from shellcheck_earth.design.schema import LOADS, Basis
from shellcheck_earth.design.sections import (
    Beds,
    Building,
    Buttress,
    Climate,
    CourseGroup,
    Criteria,
    DomeShape,
    Fabric,
    Fill,
    Opening,
    Plaster,
    Profile,
    Site,
    Stabiliser,
    UnitSystem,
    Wall,
)

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
        freeze(self, "bases")
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
