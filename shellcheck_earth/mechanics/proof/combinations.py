"""What the criteria ask: factors by check, and rows of factors that act together, of the named set and of the file.

Part of the checker: standard library only. STATEMENT.md, sections 2 and 6.
"""

from __future__ import annotations

import tomllib
from collections.abc import Callable, Container, Iterable, Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction
from typing import Any

from shellcheck_earth.mechanics.proof.quantities import RefusedError

__all__ = [
    "ALL_CAPACITIES", "COLUMNS", "ON_THE_GROUND", "Asked", "Combination", "below", "named_rows", "once_each",
    "said_rows", "set_file", "together",
]  # fmt: skip

ALL_CAPACITIES, ON_THE_GROUND = "all capacities", "on the ground"
"""Rows that are asked whatever a set says: none of a file has their names."""

SET, OF_SET = "factor_set", "factor_set.combination"

LOADS = ("imposed", "snow", "water", "wind", "wind_strength_level", "earthquake", "earthquake_strength_level")
CAPACITIES = (
    "friction", "cohesion", "strength", "strength_tested", "strength_building", "strength_building_tested", "wire",
)  # fmt: skip
GROUND = ("ground_friction", "ground_bearing")
"""What the ground's is divided by in a row; 0, or left out: it has no factor of its own."""
CREW = "crew_pressure"
"""The least that a crew weighs on its ring [kN/m2]; 0, or left out: as it is stated."""
COLUMNS = ("permanent", *LOADS, *CAPACITIES, *GROUND, CREW)
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
    return tuple(
        Combination(name, {key: Fraction(row.get(key, 0) if key in (*GROUND, CREW) else row[key]) for key in COLUMNS})
        for name, row in table.items()
    )


def said_rows(raw: Any, where: str = "criteria.combination") -> tuple[Combination, ...]:
    """The rows of a list of tables; RefusedError where one is not whole, out of range, or names no clause (in a set of
    its own: and no source)."""
    if not isinstance(raw, list) or len(raw) > 40 or not all(isinstance(row, dict) for row in raw):
        raise RefusedError(f"{where}: expected up to 40 tables")
    rows = []
    for row in raw:
        source = row.get("source", None if where == OF_SET else "-")
        if not all(map(_words, (row.get("name"), row.get("clause")), (100, 100))) or not _words(source, 200):
            raise RefusedError(
                f"{where}: expected a name and a clause of at most 100 characters, and a source of a set"
            )
        if row["name"].strip().casefold() in (ALL_CAPACITIES, ON_THE_GROUND):
            raise RefusedError(f"{where}: expected names that no row of the program's own has")
        factors = {
            key: row.get(key, row.get(ELSE.get(key, key), 0 if key in (*GROUND, CREW) else None)) for key in COLUMNS
        }
        if not set(row) <= {"name", "clause", "source", *COLUMNS}:
            raise RefusedError(f"{where}: expected factors of known columns")
        for key, value in factors.items():
            low, high = (0, 10) if key in (*LOADS, CREW) else (Fraction(1, 10), 10) if key == "permanent" else (1, 100)
            number = isinstance(value, int | Fraction) and not isinstance(value, bool)
            if not number or not (low <= value <= high or (key in GROUND and value == 0)):
                raise RefusedError(f"{where}: expected {key} from {low} to {high}, 0 for no such load")
        rows.append(Combination(row["name"], {key: Fraction(value) for key, value in factors.items()}))
    if len({row.name for row in rows}) < len(rows):
        raise RefusedError(f"{where}: expected rows of different names")
    return tuple(rows)


def _words(text: Any, most: int) -> bool:
    return isinstance(text, str) and len(text.strip()) > 0 and len(text) <= most


def set_file(raw: bytes) -> str:
    """The file of a set of factors that a design file names and does not hold yet; "" for none, or no TOML."""
    try:
        document = tomllib.loads(raw.decode("utf-8").removeprefix("\ufeff"))
    except (ValueError, RecursionError):
        return ""  # refused where it is read
    criteria = document.get("criteria")
    named = criteria.get("set_file") if isinstance(criteria, dict) and SET not in document else None
    return named if isinstance(named, str) else ""


def own_set(raw: Any, checks: Container[str]) -> tuple[dict[str, Fraction], tuple[Combination, ...]]:
    """What a set of factors in a file asks: of checks, and in rows. RefusedError for one that is not whole."""
    if not isinstance(raw, dict) or not set(raw) <= {"name", "title", "edition", "required", "combination"}:
        raise RefusedError(f"{SET}: expected a name, title and edition, what is required, and rows")
    required, out = raw.get("required", {}), dict[str, Fraction]()
    if not all(_words(raw.get(key), 200) for key in ("name", "title", "edition")) or not isinstance(required, dict):
        raise RefusedError(f"{SET}: expected a name, title and edition in words, and a table of what is required")
    for key, one in required.items():
        check = key.replace("_", " ")
        if (
            check not in checks
            or check in out
            or not isinstance(one, dict)
            or set(one) != {"value", "clause", "source"}
        ):
            raise RefusedError(f"{SET}.required: expected each check once, with value, clause and source")
        if not _factor(one["value"]) or not _words(one["clause"], 100) or not _words(one["source"], 200):
            raise RefusedError(f"{SET}.required: expected a factor from 1 to 100, a clause and a source")
        out[check] = Fraction(one["value"])
    rows = said_rows(raw.get("combination", []), OF_SET)
    if not rows and not out:
        raise RefusedError(f"{SET}: expected at least one row or one factor")
    return out, rows


def _factor(value: Any) -> bool:
    return not isinstance(value, bool) and isinstance(value, int | Fraction) and 1 <= value <= 100


def together(*layers: Sequence[Combination]) -> tuple[Combination, ...]:
    """The set's rows, each as a later layer says it where it says one of that name, then the later ones' others."""
    return tuple({row.name: row for layer in layers for row in layer}.values())


def once_each(
    rows: Iterable[Combination], strength: str, imposed: str, crew: Fraction = Fraction(0)
) -> list[tuple[Combination, Fraction]]:
    """The rows a case of rings is asked, with the factor on what is imposed on it (a column; "": nothing is).

    crew: square metres of its ring for each kilonewton of it: one lighter than the row's least is raised to that.

    A row without that load is one of the dome without it; of rows alike but for the factor on it the one with the most:
    with the dome without it that holds all between (states of forces are convex).
    """
    asked: dict[tuple[Fraction, ...], tuple[Combination, Fraction]] = {}
    for row in rows:
        load = row[imposed] * max(Fraction(1), row[CREW] * crew) if imposed else Fraction(1)
        alike = tuple(row[key] for key in ("permanent", "friction", "cohesion", strength, "wire"))
        if load > 0 and (alike not in asked or load > asked[alike][1]):
            asked[alike] = row, load
    return list(asked.values())


def below(named: Iterable[Combination], said: Sequence[Combination]) -> tuple[str, ...]:
    """Which factors of a row a later one of its name says lower: loads and capacities, and weight nearer to 1."""
    out = []
    own = {row.name: row for row in said}
    for row in named:
        if row.name in own:
            mine, p = own[row.name], row["permanent"]
            q = mine["permanent"]
            if (p > 1 and q < p) or (p < 1 and q > p) or (p == 1 and q != 1):
                out.append(f"{row.name}: permanent")
            out += [f"{row.name}: {key}" for key in (*LOADS, *CAPACITIES, *GROUND, CREW) if mine[key] < row[key]]
    return tuple(dict.fromkeys(out))


@dataclass(frozen=True)
class Asked:
    """required: by check; lowered: what the file asks less of than its set; `rows`: the factors that act together,
    `has_rows`: the named set brings some; `level`: what it requires where a load is stated at strength level; `whole`:
    a set of a file is asked too, whose rows have to know every load; `on_ground`: rows of the file's own that divide
    what the ground holds."""

    set_name: str
    required: Mapping[str, Fraction]
    lowered: tuple[str, ...]
    rows: tuple[Combination, ...]
    has_rows: bool
    level: Mapping[str, Fraction]
    whole: bool = False
    on_ground: tuple[str, ...] = ()

    @staticmethod
    def of(given: Any, own: Any, table: Any, tested: Callable[[str], bool], levels: Mapping[str, str]) -> Asked:
        """From [criteria], [factor_set] and the plain data; `levels`: what the load of a criterion is stated as."""
        if not isinstance(given, dict):
            raise RefusedError("criteria: expected a table")
        name = given.get("set", "common practice")
        if not isinstance(name, str) or name not in table["criteria"]:
            raise RefusedError("criteria.set: expected a set of criteria this program knows")
        required = {}
        for check, row in table["criteria"][name].items():
            stated = levels.get(check) == "strength level"
            column = "tested" if "tested" in row and tested(check) else "strength_level" if stated else "value"
            required[check] = Fraction(row[column])
        if own is None and "set_file" in given:
            raise RefusedError("criteria.set_file: expected its table [factor_set] behind the design")
        most, rows = dict(required), tuple[Combination, ...]()
        if own is not None:
            of_file, rows = own_set(own, required)
            required |= of_file
            most = {check: max(most[check], value) for check, value in required.items()}
        for key, value in given.items():
            check = key.replace("_", " ")
            if key in ("set", "set_file", "combination"):
                continue
            if check not in required or not _factor(value):
                raise RefusedError(
                    f"criteria.{ascii(key)[:40]}: expected a check of the set, and a factor from 1 to 100"
                )
            required[check] = Fraction(value)
        lowered = [check for check, value in required.items() if value < most[check]]
        named, said = named_rows(table.get("combination", {}).get(name, {})), said_rows(given.get("combination", []))
        every = together(named, rows, said)
        lowered += below((*named, *rows), every)
        level = {check: Fraction(table["criteria"][name][check]["strength_level"]) for check in levels}
        on_ground = tuple(row.name for row in (*rows, *said) if any(row[key] > 0 for key in GROUND))
        return Asked(name, required, tuple(lowered), every, bool(named), level, bool(rows), on_ground)
