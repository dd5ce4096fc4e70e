"""Why a design may not meet whatever is proven of its rings, and with which changed values it is proven again.

Part of the checker: standard library only. STATEMENT.md, section 7.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace
from fractions import Fraction
from typing import Any

from shellcheck_earth.mechanics.proof.keys import LOADS, MIXED, default, table
from shellcheck_earth.mechanics.proof.moisture import WET
from shellcheck_earth.mechanics.proof.quantities import quantity
from shellcheck_earth.mechanics.proof.reading import Design
from shellcheck_earth.mechanics.proof.rebuild import WallCases

__all__ = ["doubts", "trials", "wetted_the_most"]

MORE_IS_BETTER = (
    "fill.strength_dry", "fill.strength_as_placed", "fill.strength_wet", "beds.friction", "beds.friction_wet",
    "beds.friction_no_wire", "beds.wire_strands", "beds.wire_breaking_load", "beds.wire_counted_share",
    "site.ground_bearing", "site.ground_friction", "site.ground_bearing_wet", "site.ground_friction_wet",
    "building.rest_days",
)  # fmt: skip
LESS_IS_BETTER = (
    "wall.edge_rounding", "fill.dry_density", "fill.placing_moisture", "fill.service_moisture",
    "fill.hydraulic_conductivity", "fill.suction_head", "building.worker", "site.rain.intensity", "site.rain.hours",
    "building.courses_per_day", "building.cover_after", "site.splash_height",
)  # fmt: skip
EITHER_IS_BETTER = ("plaster.unit_weight", "fill.particle_density")
DECIDED = (
    "beds.wire_strands", "beds.wire_counted_share", "building.worker", "site.rain.intensity", "site.rain.hours",
    "building.courses_per_day", "building.rest_days", "building.cover_after", "site.splash_height",
)  # fmt: skip
"""What the builder or the site decides and no test does: past its range it is in doubt, even where it is called
measured, but no end is tried."""
BLOCKS_REST_ON = (
    "fill.strength_dry", "fill.strength_as_placed", "fill.strength_wet", "beds.friction", "beds.friction_wet",
    "beds.friction_no_wire", "beds.wire_breaking_load", "wall.edge_rounding",
)  # fmt: skip
"""What blocks can bear: they are not asked again at the end of a range."""
HARDENED = ("fill.strength_dry", "fill.strength_wet", "beds.friction_no_wire", "beds.friction_wet")
"""What they are asked only of what has hardened, has been wetted since it was placed, or has lost its wire."""
OF_WIRE = ("beds.wire_breaking_load", "beds.friction_no_wire")
"""What blocks are asked only where there is wire, which may go."""
WETS = (
    "fill.particle_density", "fill.dry_density", "fill.placing_moisture", "fill.hydraulic_conductivity",
    "fill.suction_head",
)  # fmt: skip
"""What decides how deep rain goes: less of the first, more of the others."""
STRENGTHS = tuple(f"fill.strength_{state}" for state in ("dry", "as_placed", "wet"))
CLOSE = Fraction(1, 10**9)
ROOT_3 = Fraction("1.7320508075688772935274463415058723669428")


def _row(design: Design, path: str, fill: Any) -> str | None:
    """The row of the table that holds the path's range, in this design's circumstances."""
    if path.startswith("fill.strength"):
        path = path.replace("fill.", MIXED[fill["stabiliser"]])
    if path.startswith("beds.friction") and design["wall.fabric"] == "open mesh":
        path = path.replace("beds.", "beds.mesh.").removesuffix("_no_wire")
    elif path == "beds.friction" and design["beds.wire_strands"]:
        path = "beds.wired.friction"
    return path if table().get(path, {}).get("low") else None


def _ends(design: Design, path: str, index: int, fill: Any) -> tuple[Fraction, Fraction] | None:
    """The range of a value that was not measured, or that no test settles; None where it has none."""
    row = _row(design, path, fill)
    known = design.fill_bases[index] if path.startswith("fill.") else design.bases
    settled = known.get(path) is None or (known.get(path) == "measured" and path not in DECIDED)
    if row is None or settled:
        return None
    ends = [
        fill["placing_moisture"] if table()[row][column] == "as placed" else default(row, column)
        for column in ("low", "high")
    ]
    return ends[0], ends[1]


def _inherits(design: Design, index: int, path: str) -> bool:
    """Whether a group has the wall's own value: the same number, of the same kind of fill, known in the same way."""
    fill, own = design.fills[index][2], design.fills[0][2]
    same = all(fill[key] == own[key] for key in (path[5:], "stabiliser"))
    return same and design.fill_bases[index].get(path) == design.fill_bases[0].get(path)


def _places(design: Design, path: str) -> list[tuple[int, Any, Any]]:
    """(index of the group of courses, its fill, the value there); the wall's own is 0, with the groups that inherit
    it."""
    groups = list(enumerate(design.fills))[: None if path.startswith("fill.") else 1]
    groups = [one for one in groups if one[0] == 0 or not _inherits(design, one[0], path)]
    found = [(i, one[2], one[2][path[5:]] if path.startswith("fill.") else design[path]) for i, one in groups]
    return [one for one in found if one[2] is not None]  # never covered: nothing to be past


def doubts(design: Design) -> tuple[str, ...]:
    """Why no proof of the rings can make this design meet. Empty when nothing stands against it."""
    out = []
    unsaid = [path for path in LOADS if design[path] == 0 and design.bases[path] != "none"]
    out += [f"{path} is not stated: give its value, or none with the reason" for path in unsaid]
    out += _of_earth(design)
    out += [f"criteria: {check} is asked for less than its set says" for check in design.asked.lowered]
    if design.asked.whole:
        out += [f"factor_set: no row has {load}, which the design states" for load in _left_out(design)]
    if not design.needs_more_than_crew:
        out += [f"{name}: what it divides the ground's by is asked of blocks alone" for name in design.asked.on_ground]
    for path in (*MORE_IS_BETTER, *LESS_IS_BETTER, *EITHER_IS_BETTER):
        for index, fill, value in _places(design, path):
            ends = _ends(design, path, index, fill)
            over = ends is not None and path not in LESS_IS_BETTER and value > ends[1] * (1 + CLOSE)
            if over or (ends is not None and path not in MORE_IS_BETTER and value < ends[0] * (1 - CLOSE)):
                said = "is nothing that a test settles" if path in DECIDED else "is not measured"
                out.append(f"{path} {said} and beyond the range of such values")
    out += _hardly_stabilised(design)
    resting = _blocks_rest_on(design) if design.needs_blocks else ()
    out += [f"{path} is not measured, and block cases rest on it" for path in resting if _worse(design, path)]
    return tuple(dict.fromkeys(out))


def _left_out(design: Design) -> list[str]:
    """Loads of the design that no row of factors has."""
    at_level = [key for key in ("wind", "earthquake") if design[f"site.{key}_basis"] == "strength level"]
    column = {key: f"{key}_strength_level" for key in at_level}
    stated = {"snow": "site.snow", "wind": "site.wind_pressure", "earthquake": "site.earthquake"}
    there = [load for load, path in (*stated.items(), ("imposed", "building.worker")) if design[path] > 0]
    return [load for load in there if not any(row[column.get(load, load)] > 0 for row in design.rows)]


def _blocks_rest_on(design: Design) -> tuple[str, ...]:
    """What blocks are asked with: of one worker alone nothing, or nothing that hardens later, where a scaffold keeps
    him off every ring, or off the finished dome."""
    if design.needs_more_than_crew:
        return BLOCKS_REST_ON
    wall = WallCases(design)
    stood = wall.rings_stood_on()
    finished = bool(stood) and stood[-1] == len(wall.courses)
    soaked = any(fill["placing_moisture"] >= WET * fill["full"] for _, _, fill in design.fills)
    spared = [path for path in HARDENED if not finished and not (soaked and path == "beds.friction_wet")]
    return tuple(path for path in BLOCKS_REST_ON if stood and path not in spared)


def _of_earth(design: Design) -> list[str]:
    """What of the earth against the wall is not computed."""
    earth = design["earth"]
    if earth is None or (design["building.unfinished"] and design["dome.floor_above_ground"] >= 0):
        return []
    out = [] if earth.drained else ["backfill.drained: water may press on the wall, which is not computed"]
    if design["site.earthquake"] > 0:
        out.append("site.earthquake: it shakes the earth against the wall, which is not computed")
    for row in design["opening"]:
        full = {"round": Fraction(1, 2), "pointed": ROOT_3 / 2, "lintel": Fraction(0)}[row["head"]] * row["width"]
        head = row["sill"] + row["height"] - min(full, row["height"]) - design["wall.course_height"]
        off = earth.beside(float(row["bearing"]), float(row["width"]), float(design["dome.inside_diameter"]) / 2)
        if earth.height - design["dome.floor_above_ground"] > head and not off:
            out.append("opening.height: earth reaches what carries the opening, which is not computed")
    return out


def _hardly_stabilised(design: Design) -> list[str]:
    """Fill called stabilised with less than its assumed strengths take, where not all of them were measured."""
    least = quantity(table()["fill.stabiliser_share"]["least"], "share", "fill.stabiliser_share")
    out = []
    for index, (_, _, fill) in enumerate(design.fills):
        measured = all(design.fill_bases[index].get(path) == "measured" for path in STRENGTHS)
        if fill["stabiliser"] != "none" and fill["stabiliser_share"] < least and not measured:
            out.append("fill.stabiliser_share is too little for strengths that were not measured")
    return out


def _worse(design: Design, path: str) -> bool:
    """Whether a value that was not measured has a bad end of its range beyond it, in any group of courses."""
    if path in OF_WIRE and not design["beds.wire_strands"]:
        return False
    for index, fill, value in _places(design, path):
        ends = _ends(design, path, index, fill)
        if ends is not None and (ends[1] > value if path in LESS_IS_BETTER else ends[0] < value):
            return True
    return False


def _with(design: Design, path: str, index: int, value: Fraction) -> Design:
    """The design with one value changed, and what may not be better than it brought down with it."""
    if not path.startswith("fill."):
        values = {**design.values, path: value}
        for wet, dry in (
            ("beds.friction_wet", "beds.friction"),
            ("beds.friction_no_wire", "beds.friction"),
            ("site.ground_friction_wet", "site.ground_friction"),
            ("site.ground_bearing_wet", "site.ground_bearing"),
        ):
            values[wet] = min(values[wet], values[dry])
        return replace(design, values=values)
    fills, key = list(design.fills), path[5:]
    for i, (low, high, fill) in enumerate(design.fills):
        if i == index or (not index and _inherits(design, i, path)):
            fills[i] = (low, high, _changed(fill, key, value))
    return replace(design, fills=tuple(fills))


def _changed(fill: Any, key: str, value: Fraction) -> dict[str, Any]:
    """A fill with one value changed and what may not be better brought down with it."""
    new = {**fill, key: value}
    new["full"] = 1000 / new["dry_density"] - 1000 / new["particle_density"]
    new["strength_as_placed"] = min(new["strength_as_placed"], new["strength_dry"])
    ceiling = "strength_as_placed" if new["stabiliser"] == "none" else "strength_dry"
    new["strength_wet"] = min(new["strength_wet"], new[ceiling])
    for key in ("placing_moisture", "service_moisture"):
        new[key] = min(new[key], new["full"])
    return new


def trials(design: Design) -> Iterable[tuple[str, Design]]:
    """(name, design) with each value that was not measured at the bad end of its range, one at a time."""
    for path in (*MORE_IS_BETTER, *LESS_IS_BETTER, *EITHER_IS_BETTER):
        for index, fill, value in _places(design, path):
            low, high = (None if path in DECIDED else _ends(design, path, index, fill)) or (value, value)
            worse = [low] if path not in LESS_IS_BETTER and low < value else []
            worse += [high] if path not in MORE_IS_BETTER and high > value else []
            for end in worse:
                name = f"{path}={float(end):.6g}" + (f", group {index}" if index else "")
                yield name, _with(design, path, index, end)
    for name, without in _untested_helps(design):
        yield f"{name}=0", replace(design, values={**design.values, **without})


def _untested_helps(design: Design) -> Iterable[tuple[str, dict[str, Any]]]:
    """(name, values without it) of what a design counts on without a test: drying, and the tube's fabric."""
    damp = {"building.climate": "none", "building.drying": ()}
    if design["building.drying"]:
        if design.bases["building.drying"] != "measured":
            yield "building.drying", damp
    elif design["building.climate"] != "none":
        yield "building.climate", damp
    tested = all(design.bases.get(path) == "measured" for path in ("wall.fabric_strength", "building.fabric_loss"))
    if design["building.count_fabric"] and not tested:
        yield "building.count_fabric", {"building.count_fabric": False}


def wetted_the_most(design: Design) -> Design:
    """The design with all that decides how wet it gets, and that was not measured, at the bad end at once: no trial
    asks blocks again."""
    found = design
    for path in WETS:
        for index, fill, value in _places(design, path):
            low, high = _ends(design, path, index, fill) or (value, value)
            end = min(low, value) if path == WETS[0] else max(high, value)
            found = found if end == value else _with(found, path, index, end)
    for _, without in _untested_helps(design):
        found = replace(found, values={**found.values, **without})
    return found
