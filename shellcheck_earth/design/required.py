"""What a design is held to: the set that it names, over it the set of a file, over both what it says itself."""

from __future__ import annotations

import difflib
from collections.abc import Callable, Iterator, Mapping
from typing import Any

from shellcheck_earth.basics.errors import Problem
from shellcheck_earth.basics.frozen import FrozenMap
from shellcheck_earth.basics.values import criteria_set, criteria_sets
from shellcheck_earth.design.criteria import Level, read_rows, row_problems, usual_factor
from shellcheck_earth.design.factor_set import KEY, TABLE, FactorSet, read_factor_set, set_problems
from shellcheck_earth.design.schema import REQUIRED, show
from shellcheck_earth.design.sections import Criteria

__all__ = ["criteria_problems", "read_criteria"]


def read_criteria(
    table: Mapping[str, Any], factor_set: object, tested: Callable[[str], bool], level: Callable[[str], Level]
) -> tuple[Criteria, list[Problem]]:
    """The criteria of a design's `[criteria]` and `[factor_set]` (None: there is none), and every fault.

    tested, level: of a check, whether the strengths it rests on were measured, and what its load is stated as.
    """
    given = dict(table)
    rows, problems = read_rows(given.pop("combination", []))
    own, faults = (None, []) if factor_set is None else read_factor_set(factor_set)
    problems += faults
    problems += _file_problems(given.pop(KEY, None), factor_set)
    name = given.pop("set", "common practice")
    if name not in criteria_sets():
        problems.append(Problem("criteria.set", " or ".join(f'"{one}"' for one in criteria_sets()), show(name)))
        name = "common practice"
    required = {
        check: usual_factor(row, tested=tested(check), level=level(check)) for check, row in criteria_set(name).items()
    }
    required |= {one.check: one.value for one in (own.required if own else ())}
    overridden = []
    for key, value in given.items():
        fault = _factor_problem(key, value, required)
        problems += fault
        if not fault:
            required[key.replace("_", " ")] = float(value)
            overridden.append(key.replace("_", " "))
    return Criteria(name, required, tuple(overridden), rows, own), problems


def _file_problems(named: object, factor_set: object) -> list[Problem]:
    path = f"criteria.{KEY}"
    if named is not None and (not isinstance(named, str) or not named):
        return [Problem(path, "the name of a file, from the design file's folder", show(named))]
    if named is not None and factor_set is None:
        expected = f"a design read from a folder, or the file's table [{TABLE}] at the end of the design"
        return [Problem(path, expected, "a text alone")]
    return []


def _factor_problem(key: str, value: object, required: Mapping[str, float]) -> list[Problem]:
    path, check = f"criteria.{key}", key.replace("_", " ")
    if check not in required:
        near = difflib.get_close_matches(check, ["set", KEY, "combination", *required], n=1, cutoff=0.5)
        hint = f"nearest: {near[0].replace(' ', '_')}" if near else ""
        return [Problem(path, "a key this file knows", f"unknown {key!r}", hint)]
    number = isinstance(value, int | float) and not isinstance(value, bool)
    if not number or not REQUIRED.holds(value):
        return [Problem(path, f"a factor from {REQUIRED.low:g} to {REQUIRED.high:g}", show(value))]
    return []


def criteria_problems(criteria: Any) -> Iterator[Problem]:
    """Faults of the criteria of a design, however it was made."""
    if type(criteria).__name__ != "Criteria":
        yield Problem("criteria", "a Criteria", show(criteria))
        return
    name = criteria.set_name
    if not isinstance(criteria.required, FrozenMap):
        yield Problem("criteria.required", "a mapping from checks to factors", show(criteria.required))
        return
    if name not in criteria_sets():
        yield Problem("criteria.set", " or ".join(f'"{one}"' for one in criteria_sets()), show(name))
        return
    if not isinstance(criteria.rows, tuple):
        yield Problem("criteria.combination", "a tuple of Combination", show(criteria.rows))
        return
    for index, row in enumerate(criteria.rows, 1):
        yield from row_problems(row, f"criteria.combination[{index}]")
    if len({row.name for row in criteria.rows if hasattr(row, "name")}) < len(criteria.rows):
        yield Problem("criteria.combination", "rows of different names", "two of one name")
    yield from _own_set(criteria.own_set)
    known = criteria_set(name)
    if criteria.required.keys() == known.keys() and all(map(REQUIRED.holds, criteria.required.values())):
        return
    for check in (*known, *(check for check in criteria.required if check not in known)):
        path = f"criteria.{check.replace(' ', '_')}"
        if check not in known:
            yield Problem(path, "the name of a check of the set", show(check))
        elif not REQUIRED.holds(criteria.required.get(check)):
            found = criteria.required.get(check, "none")
            yield Problem(path, f"a factor from {REQUIRED.low:g} to {REQUIRED.high:g}", show(found))


def _own_set(found: Any) -> Iterator[Problem]:
    if found is None:
        return
    if type(found) is not FactorSet or not isinstance(found.rows, tuple) or not isinstance(found.required, tuple):
        yield Problem(TABLE, "a FactorSet, or None", show(found))
        return
    yield from set_problems(found)
    for index, row in enumerate(found.rows, 1):
        yield from row_problems(row, f"{TABLE}.combination[{index}]")
    if len({row.name for row in found.rows if hasattr(row, "name")}) < len(found.rows):
        yield Problem(f"{TABLE}.combination", "rows of different names", "two of one name")
