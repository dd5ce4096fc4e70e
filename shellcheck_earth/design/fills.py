"""Values of a design file or their defaults, and the fill of the wall and of groups of its courses."""

from __future__ import annotations

from typing import Any

from shellcheck_earth.basics.errors import Problem
from shellcheck_earth.basics.units import parse_quantity
from shellcheck_earth.basics.values import default
from shellcheck_earth.design.design import (
    CourseGroup,
    Fill,
)
from shellcheck_earth.design.schema import (
    Basis,
    DesignTable,
    FillTable,
    Given,
    GroupTable,
)

__all__ = ["FillBuilder", "default_strength_as_placed"]


def default_strength_as_placed(strength_dry: float, placing_moisture: float) -> float:
    """Strength of unstabilised fill as placed [kPa] where none is stated: it falls with the placing moisture.

    f = f_0 k^((w - w_0)/(w_1 - w_0)), at most `most` and the dry strength; the numbers and their source are in
    `values.toml`, "fill.strength_as_placed".
    """
    row = default("fill.strength_as_placed").extra
    share = (placing_moisture - row["curve_from"]) / (row["curve_to"] - row["curve_from"])
    curve = parse_quantity(row["curve_dry"], "stress") * row["curve_share"] ** share
    return float(min(strength_dry, parse_quantity(row["curve_most"], "stress"), curve))


class FillBuilder:
    """Takes values or their defaults, remembering which were used: so far of what the courses are filled with."""

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

    def choose(self, path: str, given: Any, default_key: str | None = None) -> Any:
        """A word or a yes/no: given or default."""
        self.bases[path] = "stated" if given is not None else "assumed"
        if given is not None:
            return given
        word = default(default_key or path).value
        return {"true": True, "false": False}.get(word, word)

    def fault(self, path: str, expected: str, found: str, hint: str = "") -> None:
        self.problems.append(Problem(path, expected, found, hint))

    def fill(self) -> Fill:
        return self._fill(self.table.fill, "fill")

    def groups(self) -> tuple[CourseGroup, ...]:
        """Courses with a fill of their own."""
        out: list[CourseGroup] = []
        for index, table in enumerate(self.table.wall.courses):
            path = f"wall.courses[{index + 1}]"
            lowest = None if table.first is None else int(table.first.value)
            highest = None if table.to is None else int(table.to.value)
            out.append(CourseGroup(lowest, highest, self._fill(self._inherited(table), path)))
        return tuple(out)

    def _inherited(self, table: GroupTable) -> FillTable:
        """What a group does not say is as in [fill]; strengths only where the stabiliser is the same."""
        given = {name: getattr(table, name) for name in FillTable.model_fields}
        own = {name: value for name, value in given.items() if value is not None}
        whole = {name: getattr(self.table.fill, name) for name in FillTable.model_fields}
        if own.get("stabiliser", whole["stabiliser"]) != whole["stabiliser"]:
            whole |= dict.fromkeys(("strength_dry", "strength_as_placed", "strength_wet", "stabiliser_share"))
        return FillTable.model_construct(**(whole | own))

    def _fill(self, t: FillTable, path: str) -> Fill:
        stabiliser = self.choose(f"{path}.stabiliser", t.stabiliser, "fill.stabiliser")
        rows = {"none": "fill.", "cement": "fill.stabilised.", "lime": "fill.lime."}[stabiliser]
        placing = self.take(f"{path}.placing_moisture", t.placing_moisture, "fill.placing_moisture")
        service = placing
        if t.service_moisture is not None:
            service = self.take(f"{path}.service_moisture", t.service_moisture)
        else:
            self.bases[f"{path}.service_moisture"] = "assumed"
        strengths = {
            key: self.take(f"{path}.{key}", getattr(t, key), rows + key)
            for key in ("strength_dry", "strength_as_placed", "strength_wet")
        }
        if stabiliser == "none" and t.strength_as_placed is None:
            strengths["strength_as_placed"] = default_strength_as_placed(strengths["strength_dry"], placing)
        dry = self.take(f"{path}.dry_density", t.dry_density, "fill.dry_density")
        grains = self.take(f"{path}.particle_density", t.particle_density, "fill.particle_density")
        return Fill(
            dry_density=dry,
            particle_density=grains,
            placing_moisture=placing,
            service_moisture=service,
            stabiliser=stabiliser,
            stabiliser_share=self.take(f"{path}.stabiliser_share", t.stabiliser_share, "fill.stabiliser_share"),
            hydraulic_conductivity=self.take(
                f"{path}.hydraulic_conductivity", t.hydraulic_conductivity, "fill.hydraulic_conductivity"
            ),
            suction_head=self.take(f"{path}.suction_head", t.suction_head, "fill.suction_head"),
            **strengths,
        )
