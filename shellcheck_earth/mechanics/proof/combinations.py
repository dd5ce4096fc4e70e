"""What the criteria ask: factors by check, and rows of factors that act together, of the named set and of the file.

Part of the checker: standard library only. STATEMENT.md, sections 2 and 6.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction
from typing import Any

from shellcheck_earth.mechanics.proof.quantities import RefusedError

__all__ = ["COLUMNS", "Asked", "Combination", "below", "named_rows", "once_each", "said_rows", "together"]

LOADS = ("imposed", "snow", "water", "wind", "wind_strength_level", "earthquake", "earthquake_strength_level")
CAPACITIES = (
    "friction", "cohesion", "strength", "strength_tested", "strength_building", "strength_building_tested", "wire",
)  # fmt: skip
COLUMNS = ("permanent", *LOADS, *CAPACITIES)
ELSE = {
    "wind_strength_level": "wind", "earthquake_strength_level": "earthquake",
    "strength_tested": "strength", "strength_building_tested": "strength_building",
}  # fmt: skip
"""What a design file's row may leave out, and the column that then counts."""


@dataclass(frozen=True)
class Combination:
    """A name and the factors of every column."""

    name: str
    factors: Mapping[str, Fraction]

    def __getitem__(self, column: str) -> Fraction:
        return self.factors[column]


def named_rows(table: Mapping[str, Mapping[str, Any]]) -> tuple[Combination, ...]:
    """The rows of a set, as the plain data have them."""
    return tuple(Combination(name, {key: Fraction(row[key]) for key in COLUMNS}) for name, row in table.items())


def said_rows(raw: Any) -> tuple[Combination, ...]:
    """The rows of a design file; RefusedError where one is not whole or out of range."""
    if not isinstance(raw, list) or len(raw) > 40 or not all(isinstance(row, dict) for row in raw):
        raise RefusedError("criteria.combination: expected up to 40 tables")
    rows = []
    for row in raw:
        name, clause = row.get("name"), row.get("clause", "")
        if not all(isinstance(text, str) and len(text) <= 100 for text in (name, clause)) or not name:
            raise RefusedError("criteria.combination: expected a name and a clause of at most 100 characters")
        factors = {key: row.get(key, row.get(ELSE.get(key, key))) for key in COLUMNS}
        if not set(row) <= {"name", "clause", *COLUMNS}:
            raise RefusedError("criteria.combination: expected factors of known columns")
        for key, value in factors.items():
            low, high = (0, 10) if key in LOADS else (Fraction(1, 10), 10) if key == "permanent" else (1, 100)
            if isinstance(value, bool) or not isinstance(value, int | Fraction) or not low <= value <= high:
                raise RefusedError(f"criteria.combination: expected {key} from {low} to {high}, 0 for no such load")
        rows.append(Combination(name, {key: Fraction(value) for key, value in factors.items()}))
    if len({row.name for row in rows}) < len(rows):
        raise RefusedError("criteria.combination: expected rows of different names")
    return tuple(rows)


def together(named: Sequence[Combination], said: Sequence[Combination]) -> tuple[Combination, ...]:
    """The set's rows, each as the design file says it where it says one of that name, then the design file's others."""
    own = {row.name: row for row in said}
    known = {row.name for row in named}
    return (*(own.get(row.name, row) for row in named), *(row for row in said if row.name not in known))


def once_each(rows: Iterable[Combination], strength: str, imposed: str) -> list[tuple[Combination, Fraction]]:
    """The rows a case of rings is asked, with the factor on what is imposed on it (a column; "": nothing is).

    A row without that load is one of the dome without it; of rows alike but for the factor on it the one with the most:
    with the dome without it that holds all between (states of forces are convex).
    """
    asked: dict[tuple[Fraction, ...], tuple[Combination, Fraction]] = {}
    for row in rows:
        load = row[imposed] if imposed else Fraction(1)
        alike = tuple(row[key] for key in ("permanent", "friction", "cohesion", strength, "wire"))
        if load > 0 and (alike not in asked or load > asked[alike][1]):
            asked[alike] = row, load
    return list(asked.values())


def below(named: Iterable[Combination], said: Sequence[Combination]) -> tuple[str, ...]:
    """Which factors of a row of the set the design file says lower: loads and capacities, and weight nearer to 1."""
    out = []
    own = {row.name: row for row in said}
    for row in named:
        if row.name in own:
            mine, p = own[row.name], row["permanent"]
            q = mine["permanent"]
            if (p > 1 and q < p) or (p < 1 and q > p) or (p == 1 and q != 1):
                out.append(f"{row.name}: permanent")
            out += [f"{row.name}: {key}" for key in (*LOADS, *CAPACITIES) if mine[key] < row[key]]
    return tuple(out)


@dataclass(frozen=True)
class Asked:
    """required: by check; lowered: what the file asks less of than its set; `rows`: the factors that act together,
    `has_rows`: the set brings some; `level`: what the set requires where a load is stated at strength level."""

    set_name: str
    required: Mapping[str, Fraction]
    lowered: tuple[str, ...]
    rows: tuple[Combination, ...]
    has_rows: bool
    level: Mapping[str, Fraction]

    @staticmethod
    def of(given: Any, table: Any, tested: Callable[[str], bool], levels: Mapping[str, str]) -> Asked:
        """From [criteria] and the plain data; `levels`: what the load of a criterion is stated as."""
        if not isinstance(given, dict):
            raise RefusedError("criteria: expected a table")
        name = given.get("set", "common practice")
        if not isinstance(name, str) or name not in table["criteria"]:
            raise RefusedError("criteria.set: expected a set of criteria this program knows")
        required, lowered = {}, []
        for check, row in table["criteria"][name].items():
            stated = levels.get(check) == "strength level"
            column = "tested" if "tested" in row and tested(check) else "strength_level" if stated else "value"
            required[check] = Fraction(row[column])
        for key, value in given.items():
            check = key.replace("_", " ")
            if key in ("set", "combination"):
                continue
            if check not in required or isinstance(value, bool) or not isinstance(value, int | Fraction):
                raise RefusedError(f"criteria.{ascii(key)[:40]}: expected a check of the set and its factor")
            if not 1 <= value <= 100:
                raise RefusedError(f"criteria.{key}: expected a factor from 1 to 100")
            if value < required[check]:
                lowered.append(check)
            required[check] = Fraction(value)
        named, said = named_rows(table.get("combination", {}).get(name, {})), said_rows(given.get("combination", []))
        level = {check: Fraction(table["criteria"][name][check]["strength_level"]) for check in levels}
        return Asked(name, required, (*lowered, *below(named, said)), together(named, said), bool(named), level)
