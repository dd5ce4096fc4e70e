"""What a design is held to: the factors that a set requires, and rows of factors that act together.

Rows stand in `basics/values.toml` (tables `combination`), in a set of factors that a design names
(`[[factor_set.combination]]`), or in the design file itself (`[[criteria.combination]]`).
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, fields, replace
from typing import Any, Literal

from shellcheck_earth.basics.errors import Problem
from shellcheck_earth.basics.texts import faulty_name
from shellcheck_earth.basics.values import Sourced
from shellcheck_earth.design.schema import show

__all__ = [
    "ALL_CAPACITIES",
    "CAPACITIES",
    "FACTORS",
    "FOLLOWS",
    "GROUND",
    "LEVELS",
    "LOADS",
    "MOST_ROWS",
    "ON_THE_GROUND",
    "UNASKED",
    "Combination",
    "Level",
    "one_each",
    "read_rows",
    "row_problems",
    "usual_factor",
]

Level = Literal["characteristic", "strength level"]
"""What a stated wind or earthquake is: a characteristic value, or one that has its factor in it already."""

LEVELS = {"storm": "site.wind_basis", "earthquake": "site.earthquake_basis"}
"""Criteria whose factor follows what the load is stated as, and the key that says it."""

LOADS = ("imposed", "snow", "water", "wind", "wind_strength_level", "earthquake", "earthquake_strength_level")
CAPACITIES = (
    "friction", "cohesion", "strength", "strength_tested", "strength_building", "strength_building_tested", "wire",
)  # fmt: skip
FOLLOWS = {
    "wind_strength_level": "wind",
    "earthquake_strength_level": "earthquake",
    "strength_tested": "strength",
    "strength_building_tested": "strength_building",
}
GROUND = ("ground_friction", "ground_bearing")
UNASKED = (*GROUND, "crew_pressure")
"""Columns that a row may leave out too: without them it has no factor of the ground, or no least crew, of its own
(0)."""

"""Columns that a row of a design file may leave out, and the one whose factor then counts."""

WORDS = {"name": 100, "clause": 100, "source": 200}
"""What a row says of itself, and the most letters of each."""

WHY = {
    "name": "what the row is called",
    "clause": "where its factors stand",
    "source": "how that is known, such as read, with the date, or recalled",
}

ALL_CAPACITIES = "all capacities"
"""Name of the row of a set of global factors."""

ON_THE_GROUND = "on the ground"
"""Name of the row that asks for nothing but what the ground bears and holds."""

RESERVED = (ALL_CAPACITIES, ON_THE_GROUND)
"""Names of rows that the program asks by itself: one of that name would stand in its place."""

MOST_ROWS, LEAST_WEIGHT, MOST_LOAD, MOST_CAPACITY = 40, 0.1, 10.0, 100.0


@dataclass(frozen=True)
class Combination:
    """Factors on loads (0: the row is without that load), and what capacities are divided by [-], all at once.

    permanent       on weight; imposed: a worker or a crew; snow; water in one half of the dome
    wind, earthquake  on a characteristic value; `..._strength_level`: on one stated at strength level
    strength_tested where every strength a check rests on was measured; `strength_building`, `..._tested`: of stages
    ground_friction, ground_bearing  on what the ground holds and bears under blocks; 0: the row has none of its own
    crew_pressure   the least that a crew weighs on the ring it stands on [kN/m2], before its factor
    clause, source  where the factors on loads stand, and how that is known; capacities: how those on capacities are
    """

    name: str
    permanent: float
    imposed: float
    snow: float
    water: float
    wind: float
    wind_strength_level: float
    earthquake: float
    earthquake_strength_level: float
    friction: float
    cohesion: float
    strength: float
    strength_tested: float
    strength_building: float
    strength_building_tested: float
    wire: float
    ground_friction: float = 0.0
    ground_bearing: float = 0.0
    crew_pressure: float = 0.0
    clause: str = ""
    source: str = "the design file"
    capacities: str = "the design file"

    def strength_factor(self, *, building: bool, tested: bool) -> float:
        """What the strength of the fill is divided by."""
        if building:
            return self.strength_building_tested if tested else self.strength_building
        return self.strength_tested if tested else self.strength

    def below(self, other: Combination) -> tuple[str, ...]:
        """The factors by which this row asks for less than the other one: every load and capacity that is lower, and a
        weight nearer to what it is, or another one where it counts as it is."""
        less = [name for name in (*LOADS, *CAPACITIES, *UNASKED) if getattr(self, name) < getattr(other, name)]
        mine, theirs = self.permanent, other.permanent
        eased = mine < theirs if theirs > 1 else mine > theirs if theirs < 1 else mine != theirs
        return (*(["permanent"] if eased else []), *less)


FACTORS = tuple(field.name for field in fields(Combination) if field.type == "float")


def usual_factor(row: Sourced, *, tested: bool, level: Level) -> float:
    """What a set requires of a check: of tested fill, or of a load stated at strength level, it may be less."""
    if tested and "tested" in row.extra:
        return float(row.extra["tested"])
    if level == "strength level" and "strength_level" in row.extra:
        return float(row.extra["strength_level"])
    return float(row.value)


def one_each(*layers: Iterable[Combination]) -> tuple[Combination, ...]:
    """The rows of all layers: each stands in place of that of its name in the layers before it, the others behind."""
    return tuple({row.name: row for layer in layers for row in layer}.values())


def _bounds(name: str) -> tuple[float, float]:
    if name == "permanent":
        return LEAST_WEIGHT, MOST_LOAD
    return (0.0, MOST_LOAD) if name in (*LOADS, "crew_pressure") else (1.0, MOST_CAPACITY)


def _number(value: object, low: float, high: float) -> bool:
    return isinstance(value, int | float) and not isinstance(value, bool) and low <= value <= high


def row_problems(row: Any, path: str) -> Iterator[Problem]:
    """Faults of one row of a design."""
    if type(row) is not Combination:
        yield Problem(path, "a Combination", show(row))
        return
    for name in FACTORS:
        low, high = _bounds(name)
        value, or_none = getattr(row, name), " (0 where the row has none)" if name in GROUND else ""
        if not (_number(value, low, high) or (or_none and _number(value, 0.0, 0.0))):
            yield Problem(f"{path}.{name}", f"a factor from {low:g} to {high:g}{or_none}", show(value))
    if isinstance(row.name, str) and row.name.strip().casefold() in RESERVED:
        yield Problem(f"{path}.name", "a name that no row of the program's own has", show(row.name))
    for name, most in WORDS.items():
        text = getattr(row, name)
        found = faulty_name(text) if isinstance(text, str) and len(text) <= most else "another one"
        if found:
            yield Problem(f"{path}.{name}", f"a text in plain letters, at most {most} of them", found)


def read_rows(
    raw: object, path: str = "criteria.combination", *, sourced: bool = False
) -> tuple[tuple[Combination, ...], list[Problem]]:
    """The rows of a list of tables at a path, and their faults. A load that a row is without is said as 0: only what
    `FOLLOWS` names may be left out, and, unless it is `sourced`, how its factors are known."""
    if not isinstance(raw, list) or len(raw) > MOST_ROWS or not all(isinstance(one, dict) for one in raw):
        return (), [Problem(path, f"up to {MOST_ROWS} tables [[{path}]]", show(raw))]
    rows, problems = [], []
    known, words = {*WORDS, *FACTORS}, [word for word in WORDS if sourced or word != "source"]
    for index, table in enumerate(raw, 1):
        at = f"{path}[{index}]"
        unknown = [
            Problem(f"{at}.{key}", f"one of {', '.join(sorted(known))}", key) for key in table if key not in known
        ]
        left = [key for key in FACTORS if key not in (*table, *UNASKED) and FOLLOWS.get(key, key) not in table]
        found = [
            *unknown,
            *(Problem(f"{at}.{key}", f"a text: {WHY[key]}", "nothing") for key in words if key not in table),
            *(Problem(f"{at}.{key}", "a factor (0 for a load it is without)", "nothing") for key in left),
        ]
        if not found:
            source = table.get("source", Combination.source)
            row = Combination(
                name=table["name"],
                clause=table["clause"],
                source=source,
                capacities=source,
                **{name: table.get(name, table.get(FOLLOWS.get(name, name), 0.0)) for name in FACTORS},
            )
            found = list(row_problems(row, at))
            if not found:
                numbers: dict[str, Any] = {name: float(getattr(row, name)) for name in FACTORS}
                rows.append(replace(row, **numbers))
        problems += found
    if len({row.name for row in rows}) < len(rows):
        problems.append(Problem(path, "rows of different names", "two of one name"))
    return tuple(rows), problems
