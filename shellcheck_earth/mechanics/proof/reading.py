"""Read a design file's text into exact numbers: the checker's own reader, standard library only.

It shares no code with the program's reader. Numbers become fractions exactly as written, in SI (m, kN, kPa, kg/m3,
m/h, h); what the file leaves out is filled in by `keys`, and what it may not say is refused (STATEMENT.md, section 2).
"""

from __future__ import annotations

import tomllib
from collections.abc import Mapping
from dataclasses import dataclass
from fractions import Fraction
from itertools import pairwise
from typing import Any

from shellcheck_earth.mechanics.proof.backfill import earth_of, footing_of
from shellcheck_earth.mechanics.proof.combinations import Asked, Combination
from shellcheck_earth.mechanics.proof.keys import (
    CARRIED,
    LEVELS,
    LOADS,
    MIXED,
    OTHER,
    TABLES,
    UNDER,
    WORDS,
    decimal_of,
    default,
    given,
    number_of,
    power,
    ranges,
    table,
)
from shellcheck_earth.mechanics.proof.quantities import PI, RefusedError, quantity
from shellcheck_earth.mechanics.proof.ring_loads import handed_loads

__all__ = ["Design", "RefusedError", "read"]

MOST_CHARACTERS = 1_000_000


@dataclass(frozen=True)
class Design:
    """`values` by path (fractions, words, yes/no, None); `bases` by path: measured, stated or assumed.

    `fills` holds the keys of [fill] for the wall, then for each group of courses: (lowest, highest, fill); `fill_bases`
    how each of them is known. `asked`: by the criteria.
    """

    name: str
    values: Mapping[str, Any]
    bases: Mapping[str, str]
    fills: tuple[tuple[int, int, Mapping[str, Any]], ...]
    fill_bases: tuple[Mapping[str, str], ...]
    asked: Asked
    tested: frozenset[str]
    needs_blocks: bool
    needs_more_than_crew: bool

    @property
    def required(self) -> Mapping[str, Fraction]:
        """What is required of each check."""
        return self.asked.required

    @property
    def rows(self) -> tuple[Combination, ...]:
        """The factors that act together."""
        return self.asked.rows

    def __getitem__(self, path: str) -> Any:
        return self.values[path]


def read(text: str) -> Design:
    """The design of a text, complete; RefusedError for what no design file may say."""
    if len(text) > MOST_CHARACTERS:
        raise RefusedError("design: expected a file under 1 MB")
    try:
        document = tomllib.loads(text.removeprefix("\ufeff"), parse_float=decimal_of)  # some editors mark a text so
    except (ValueError, RecursionError) as error:
        raise RefusedError(f"design: expected TOML, found a fault: {ascii(str(error))[:120]}") from None
    return _Reader(document).design()


def _flat(document: Mapping[str, Any]) -> dict[str, Any]:
    """The document's keys by path; tables of their own ([[opening]] and so on) stay lists."""
    out: dict[str, Any] = {}
    for section, rows in document.items():
        if section in (*TABLES, "criteria", *UNDER):
            out[section] = rows
            continue
        if not isinstance(rows, dict):
            raise RefusedError(f"{ascii(section)[:40]}: expected a table of keys")
        for key, value in rows.items():
            if (section, key) == ("site", "rain") and isinstance(value, dict):
                out |= {f"site.rain.{name}": one for name, one in value.items()}
            else:
                out[f"{section}.{key}"] = value
    return out


class _Reader:
    def __init__(self, document: Mapping[str, Any]) -> None:
        self.raw = _flat(document)
        self.values: dict[str, Any] = {}
        self.bases: dict[str, str] = {}
        self.fill_bases: list[Mapping[str, str]] = []
        self.kinds: list[str] = []
        known = set(ranges()) | set(WORDS) | OTHER | {*TABLES, *UNDER, "criteria", "wall.courses"}
        for path in self.raw:
            if path not in known or path.startswith(tuple(f"{table}." for table in (*TABLES, *UNDER))):
                raise RefusedError(f"{ascii(path)[:60]}: expected a key of the design file, found an unknown one")

    def number(self, path: str, fallback: Fraction | str | None = None) -> Fraction:
        """Given, or `fallback` (a value, or the row of another default), or the default of the path."""
        if path in self.raw:
            self.values[path], self.bases[path] = given(self.raw[path], path)
        else:
            value = fallback if isinstance(fallback, Fraction) else default(fallback or path)
            self.values[path], self.bases[path] = value, "assumed"
        return Fraction(self.values[path])

    def word(self, path: str) -> Any:
        value = self.raw.get(path)
        if value is None:
            text = table()[path]["value"] if path in table() else "false"
            value = {"true": True, "false": False}.get(text, text)
            self.bases[path] = "assumed"
        elif value not in WORDS[path] or type(value) is not type(WORDS[path][0]):
            raise RefusedError(f"{path}: expected one of {', '.join(map(str, WORDS[path]))}")
        self.values[path] = value
        return value

    def design(self) -> Design:
        self.shape()
        fills = self.fills()
        self.beds()
        self.building()
        self.site()
        asked = Asked.of(
            self.raw.get("criteria", {}), self.raw.get("factor_set"), table(), self._tested,
            {check: self[path] for check, path in LEVELS.items()},
        )  # fmt: skip
        self.values["opening"], self.values["buttress"] = self.rows("opening"), self.rows("buttress")
        self.values |= handed_loads(self.raw, number_of)
        self.values["earth"] = earth_of(self.raw.get("backfill"), self["dome.floor_above_ground"], number_of, default)
        self.values["footing"] = footing_of(self.raw.get("footing"), self["wall.filled_width"], number_of, default)
        alone = [self["earth"] is not None and self["earth"].aside, *(self[path] > 0 for path in LOADS)]
        blocks = sum(len(self[of]) for of in ("opening", "buttress", "bearing_load")) + sum(alone)
        name = self.raw.get("design.name", "Unnamed dome")
        for text in (name, self.raw.get("design.note", "")):
            if not isinstance(text, str) or len(text) > 400:
                raise RefusedError("design: expected a name and a note of at most 400 characters")
        tested = frozenset(check for check in ("strength", "strength while building") if self._tested(check))
        known = tuple(self.fill_bases)
        crew = self["building.worker"] > 0 and self["building.scaffold_above"] != 0
        return Design(name, self.values, self.bases, fills, known, asked, tested, blocks > 0 or crew, blocks > 0)

    def rows(self, name: str) -> tuple[Mapping[str, Any], ...]:
        """Openings or buttresses; each key there, and in its range."""
        rows = self.raw.get(name, [])
        if not isinstance(rows, list) or len(rows) > 40 or not all(isinstance(row, dict) for row in rows):
            raise RefusedError(f"{name}: expected up to 40 tables")
        out: list[dict[str, Any]] = []
        for row in rows:
            out.append(dict(row))
            for key, value in row.items():
                path = f"{name}.{key}"
                if path in ranges():
                    out[-1][key] = given(value, path)[0]
                elif path not in WORDS or value not in WORDS[path]:
                    raise RefusedError(f"{ascii(path)[:60]}: expected a key of the design file and a value it takes")
            known = {path.split(".")[1] for path in (*ranges(), *WORDS) if path.startswith(f"{name}.")} - {
                "tie",
                *CARRIED,
            }
            if not known <= set(row):
                raise RefusedError(f"{name}: expected {', '.join(sorted(known))}")
            for key in CARRIED if name == "opening" else ():
                out[-1].setdefault(key, default(f"opening.{key}"))
        return tuple(out)

    def shape(self) -> None:
        for path in ("dome.inside_diameter", "wall.course_height"):
            if path not in self.raw:
                raise RefusedError(f"{path}: expected a value, found nothing")
        height = self.number("wall.course_height")
        if "wall.filled_width" not in self.raw and "wall.flat_width" not in self.raw:
            raise RefusedError("wall.filled_width: expected flat_width or filled_width, found neither")
        if "wall.flat_width" in self.raw:
            flat = self.number("wall.flat_width")
            # the fabric's perimeter does not change, the ends of the section are half-rounds (derived)
            if self.number("wall.filled_width", flat - (PI / 2 - 1) * height) >= flat:
                raise RefusedError("wall.filled_width: expected less than the flat width")
            if self["wall.filled_width"] ** 2 + height**2 > flat**2:  # a rhombus is the shortest way round (derived)
                raise RefusedError("wall.filled_width: expected no more than the fabric reaches round")
        else:
            self.number("wall.filled_width")
        for key in ("inside_diameter", "crown_opening", "springing_above_floor", "floor_above_ground"):
            self.number(f"dome.{key}")
        self.number("dome.centre_pivot_above_springing")
        for key in ("edge_rounding", "buried_courses", "fabric_strength"):
            self.number(f"wall.{key}")
        for path in ("dome.profile", "wall.fabric", "wall.individual_bags"):
            self.word(path)
        if "wall.bag_length" in self.raw:
            self.number("wall.bag_length")
        pivot = self.raw.get("dome.fixed_compass_pivot", table()["dome.fixed_compass_pivot"]["value"])
        self.values["pivot"] = self._pivot(pivot)
        self.measured()

    def measured(self) -> None:
        """The radii and levels of a measured profile, and that nothing is said beside them that would be ignored."""
        is_measured = self["dome.profile"] == "measured"
        radii = self.each_course("dome.inner_radii", "length", Fraction(1, 100), 30)
        tops = self.each_course("dome.course_tops", "length", -10, 30)
        if bool(radii) != is_measured or (tops and len(tops) != len(radii)) or any(b < a for a, b in pairwise(tops)):
            raise RefusedError("dome.inner_radii: expected a list of a measured profile, with as many levels or none")
        if is_measured and "dome.fixed_compass_pivot" in self.raw:
            raise RefusedError("dome.fixed_compass_pivot: expected none with a measured profile")
        first, below = "dome.measured_from", self["wall.buried_courses"] + self["dome.springing_above_floor"]
        if is_measured != (first in self.raw) and not (is_measured and below == 0):
            raise RefusedError(f"{first}: expected when, and only when, a measured profile has courses below it")
        if first in self.raw:
            self.number(first)
        else:
            self.values[first] = Fraction(1)

    def each_course(self, path: str, kind: str, low: int | Fraction, high: int) -> tuple[Fraction, ...]:
        """A list with one value a course; () where there is none."""
        raw = self.raw.get(path, [])
        if not isinstance(raw, list) or len(raw) > 400 or (path in self.raw and not raw):
            raise RefusedError(f"{path}: expected a list with one value a course")
        values = tuple(quantity(one, kind, path) for one in raw)
        if not all(low <= value <= high and (kind != "whole" or value.denominator == 1) for value in values):
            raise RefusedError(f"{path}: expected values within their range")
        self.values[path] = values
        return values

    def _pivot(self, raw: Any) -> Fraction:
        if raw in ("inner face", "outer face"):
            return Fraction(0) if raw == "inner face" else Fraction(self["wall.filled_width"])
        if isinstance(raw, dict) and set(raw) == {"value", "source"} and raw["source"] in ("measured", "assumed"):
            raw = raw["value"]
        value = quantity(raw, "length", "dome.fixed_compass_pivot")
        if not -5 <= value <= 30:
            raise RefusedError("dome.fixed_compass_pivot: expected a distance from -5 m to 30 m")
        return value

    def __getitem__(self, path: str) -> Any:
        return self.values[path]

    def fills(self) -> tuple[tuple[int, int, Mapping[str, Any]], ...]:
        own = {path: raw for path, raw in self.raw.items() if path.startswith("fill.")}
        whole = self.fill()
        self.fill_bases, self.kinds = [dict(self.bases)], [whole["stabiliser"]]
        out: list[tuple[int, int, Mapping[str, Any]]] = []
        groups = self.raw.get("wall.courses", [])
        if not isinstance(groups, list) or len(groups) > 20 or not all(isinstance(one, dict) for one in groups):
            raise RefusedError("wall.courses: expected tables of courses")
        for group in groups:
            ends = [
                int(given(group[key], f"wall.courses.{key}")[0]) if key in group else None for key in ("from", "to")
            ]
            reader = _Reader({})
            said = {f"fill.{key}": value for key, value in group.items() if key not in ("from", "to")}
            if not all(path in ranges() or path in WORDS for path in said):
                raise RefusedError("wall.courses: expected keys of [fill], found an unknown one")
            other = said.get("fill.stabiliser", whole["stabiliser"]) != whole["stabiliser"]
            lost = ("fill.strength", "fill.stabiliser_share") if other else ()
            reader.raw = {p: v for p, v in own.items() if not (lost and p.startswith(lost))} | said
            low, high = (-999 if ends[0] is None else ends[0]), (999 if ends[1] is None else ends[1])
            if low > high or any(low <= b and a <= high for a, b, _ in out):
                raise RefusedError("wall.courses: expected groups of courses that do not overlap")
            out.append((low, high, reader.fill()))
            self.fill_bases.append(reader.bases)
            self.kinds.append(out[-1][2]["stabiliser"])
        return ((-999, 999, whole), *out)

    def fill(self) -> Mapping[str, Any]:
        kind = self.word("fill.stabiliser")
        row = MIXED[kind]
        for key in ("dry_density", "particle_density", "placing_moisture", "hydraulic_conductivity"):
            self.number(f"fill.{key}")
        for key in ("suction_head", "stabiliser_share"):
            self.number(f"fill.{key}")
        placing = self["fill.placing_moisture"]
        self.number("fill.service_moisture", placing)
        dry = self.number("fill.strength_dry", row + "strength_dry")
        curve = table()["fill.strength_as_placed"]  # equation (3): log-linear, falling with the moisture
        share = (placing - curve["curve_from"]) / (curve["curve_to"] - curve["curve_from"])
        most, top = (quantity(curve[f"curve_{key}"], "stress", "fill") for key in ("most", "dry"))
        fresh = min(dry, most, top * power(curve["curve_share"], share))
        placed = self.number("fill.strength_as_placed", fresh if kind == "none" else row + "strength_as_placed")
        wet = self.number("fill.strength_wet", row + "strength_wet")
        if self["fill.dry_density"] >= self["fill.particle_density"]:
            raise RefusedError("fill.dry_density: expected less than the density of the grains")
        full = 1000 / self["fill.dry_density"] - 1000 / self["fill.particle_density"]
        if max(placing, self["fill.service_moisture"]) > full:
            raise RefusedError("fill.placing_moisture: expected no more water than the voids hold")
        if placed > dry or wet > (placed if kind == "none" else dry):
            raise RefusedError("fill: expected no strength above that of drier fill")
        return {path[5:]: value for path, value in self.values.items() if path.startswith("fill.")} | {"full": full}

    def beds(self) -> None:
        strands, mesh = self.number("beds.wire_strands"), self["wall.fabric"] == "open mesh"
        mesh_row = "beds.mesh.friction"
        dry = self.number("beds.friction", mesh_row if mesh else ("beds.wired.friction" if strands else None))
        wet = self.number("beds.friction_wet", "beds.mesh.friction_wet" if mesh else None)
        bare = self.number("beds.friction_no_wire", mesh_row if mesh else "beds.friction")
        for path, value in (("beds.friction_wet", wet), ("beds.friction_no_wire", bare)):
            if value > dry and path in self.raw:
                raise RefusedError(f"{path}: expected at most the dry friction")
            self.values[path] = min(value, dry)
        if not strands:
            self.values["beds.friction_no_wire"] = dry
        for key in ("cohesion", "cohesion_wet", "wire_bond"):
            value = self.number(f"beds.{key}", Fraction(0))
            if value > 0 and self.bases[f"beds.{key}"] != "measured":
                raise RefusedError(f"beds.{key}: expected a measured value: no other is counted")
        if self["beds.cohesion_wet"] > self["beds.cohesion"]:
            raise RefusedError("beds.cohesion_wet: expected at most the cohesion of dry beds")
        if "beds.wire_bond" not in self.raw:
            self.values["beds.wire_bond"] = None
        self.number("beds.wire_breaking_load")
        self.number("beds.wire_counted_share")
        for key in ("outside", "inside", "unit_weight"):
            self.number(f"plaster.{key}")

    def building(self) -> None:
        for key in ("courses_per_day", "worker", "rest_days", "fabric_loss", "wire_hold"):
            self.number(f"building.{key}")
        self.word("building.climate")
        self.word("building.count_fabric")
        for unsaid in ("building.cover_after", "building.scaffold_above"):
            if unsaid in self.raw:
                self.number(unsaid)
            else:
                self.values[unsaid], self.bases[unsaid] = None, "assumed"
        rows, drying, known = self.raw.get("building.drying", []), [], "stated"
        if isinstance(rows, dict) and set(rows) == {"value", "source"} and rows["source"] in ("measured", "assumed"):
            rows, known = rows["value"], rows["source"]
        if not isinstance(rows, list) or len(rows) > 100 or ("building.drying" in self.raw and not rows):
            raise RefusedError("building.drying: expected pairs of age and moisture")
        for row in rows:
            if not isinstance(row, list) or len(row) != 2:
                raise RefusedError("building.drying: expected pairs of age and moisture")
            drying.append((quantity(row[0], "duration", "building.drying") / 24, quantity(row[1], "share", "building")))
        pairs = list(pairwise(drying))
        if any(b[0] <= a[0] or b[1] > a[1] for a, b in pairs) or any(not 0 <= m <= 1 or a < 0 for a, m in drying):
            raise RefusedError("building.drying: expected ages rising and moisture not")
        self.values["building.drying"], self.bases["building.drying"] = tuple(drying), known
        self.work()

    def work(self) -> None:
        """How far the work has come: what is past, what is unfinished, on which day each course was laid, how wet."""
        laid, unfinished = "building.laid", "building.unfinished"
        if laid in self.raw:
            self.number(laid)
        else:
            self.values[laid] = None
        self.values[unfinished] = self.word(unfinished) if unfinished in self.raw else False
        days = self.each_course("building.laid_on", "whole", 0, 10_000)
        self.each_course("building.wetted", "length", 0, 3)
        if any(b < a for a, b in pairwise(days)):
            raise RefusedError("building.laid_on: expected days that do not fall")
        if self["dome.profile"] != "measured":
            for key in (laid, unfinished, "building.laid_on", "building.wetted"):
                if self[key]:
                    raise RefusedError(f"{key}: expected only with a measured profile")

    def site(self) -> None:
        for path in (*LOADS, "site.rain.intensity", "site.rain.hours", "site.splash_height"):
            self.number(path)
        for path in ("site.left_unprotected", "site.roof", "site.wind_basis", "site.earthquake_basis"):
            self.word(path)
        ground = self.raw.get("site.ground")
        if ground is not None and ground not in WORDS["site.ground"]:
            raise RefusedError("site.ground: expected a class of the table")
        row = table()["ground"][ground or "clay"]  # clay is the least row
        bearing, friction = quantity(row["value"], "stress", "ground"), Fraction(row["friction"])
        for key, value in (("bearing", bearing), ("friction", friction)):
            dry = self.number(f"site.ground_{key}", value if ground else None)
            wet = self.number(f"site.ground_{key}_wet", min(value, dry))
            if wet > dry:
                raise RefusedError(f"site.ground_{key}_wet: expected at most the dry value")
            if ground is not None:
                for path in (f"site.ground_{key}", f"site.ground_{key}_wet"):
                    self.bases[path] = self.bases[path] if path in self.raw else "stated"

    def _tested(self, check: str) -> bool:
        states = ["as_placed"] if check == "strength while building" else ["dry", "as_placed"]
        return all(
            known[f"fill.strength_{state}"] == "measured"
            for known, kind in zip(self.fill_bases, self.kinds, strict=True)
            for state in (states if kind == "none" else [*states, "wet"])
        )
