"""A problem of rigid blocks as an open file: read it, and check its solution, with none of the code that found it.

Standard library only. Numbers are decimals in texts, in the units that stand in the file (m, kN, kN m, kPa). Lengths
are rounded to the nearest 2^-34 m, forces and weights to 2^-44 kN, moments to 2^-78 kN m; friction down to 2^-40,
strength down to 2^-20 kPa, a tie's tension down: the problem so rounded is the one that is solved and proven. What is
checked is what `blocks` checks: every point presses within friction, no strip is crushed, no face turns beyond
friction, no tie holds more than it can, and nothing over a millionth of a block's weight is left unbalanced. It proves
that the multiple of the live load is held, not that no greater one is. STATEMENT.md, section 13, says it as a page.
"""

from __future__ import annotations

import hashlib
import json
import re
from collections.abc import Mapping
from dataclasses import dataclass
from fractions import Fraction
from typing import Any

from shellcheck_earth.mechanics.proof.block_places import FORCE, FRICTION, LENGTH, STRENGTH, RefusedError, refuse
from shellcheck_earth.mechanics.proof.blocks import FORMAT as STATE
from shellcheck_earth.mechanics.proof.blocks import Finding, check_forces

__all__ = ["FORMAT", "KIND", "NUMBER", "UNITS", "Problem", "check_problem", "digest_of", "parse_problem"]

FORMAT, KIND = 1, "rigid blocks"
UNITS = {"length": "m", "force": "kN", "moment": "kN m", "strength": "kPa", "friction": "1"}
KEYS = {
    "format",
    "kind",
    "name",
    "about",
    "design",
    "design_sha256",
    "units",
    "width",
    "most",
    "blocks",
    "faces",
    "ties",
}
SOLUTION = {"solution", "certificate", "digest"}
BLOCK, FACE = (
    {"label", "centre", "length", "weight", "live", "handed"},
    {"upper", "lower", "label", "points", "friction", "strength"},
)
TIE = {"upper", "lower", "at", "pull", "most"}
NUMBER = re.compile(r"-?(0|[1-9][0-9]{0,11})([.][0-9]{1,60})?")
MOST = 100_000
BEHIND = Fraction(1, 10**5)
"""Share by which what is proven may stay behind the multiple that the solution names."""


@dataclass(frozen=True)
class Problem:
    """In whole numbers. blocks: 0, 0, centre (3), weight; lengths; live: force (3) and moment (3) as they were written;
    handed: the same of what is handed in beside the weight, empty where no block says any;
    faces: upper, lower, four points (3 each), friction, strength; ties: upper, lower, place (3), pull (3), most;
    width; most: the greatest multiple that is looked for."""

    blocks: list[list[int]]
    lengths: list[int]
    live: list[list[Fraction]]
    faces: list[list[int]]
    ties: list[list[int]]
    width: int
    most: Fraction
    handed: list[list[Fraction]]


def digest_of(data: Mapping[str, Any]) -> str:
    """SHA-256 of all but the digest, as JSON with sorted keys and no spaces."""
    rest = {key: value for key, value in data.items() if key != "digest"}
    return hashlib.sha256(json.dumps(rest, sort_keys=True, separators=(",", ":")).encode()).hexdigest()


def _number(value: Any, where: str) -> Fraction:
    fits = isinstance(value, str) and NUMBER.fullmatch(value) is not None
    refuse(not fits, f'{where}: expected a decimal in a text such as "0.385", found {str(value)[:40]!r}')
    return Fraction(value)


def _numbers(value: Any, count: int, where: str) -> list[Fraction]:
    wrong = not isinstance(value, list) or len(value) != count
    refuse(wrong, f"{where}: expected a list of {count} decimals")
    return [_number(one, f"{where}[{i}]") for i, one in enumerate(value)]


def _lengths(value: Any, count: int, where: str) -> list[int]:
    return [round(one * LENGTH) for one in _numbers(value, count, where)]


def _down(value: Any, unit: int, where: str) -> int:
    found = _number(value, where)
    refuse(found < 0, f"{where}: expected 0 or more")
    return int(found * unit // 1)


def _object(value: Any, keys: set[str], where: str) -> dict[str, Any]:
    refuse(not isinstance(value, dict), f"{where}: expected an object")
    for wrong in sorted(keys ^ set(value)):
        refuse(True, f"{where}: {'expected' if wrong in keys else 'unknown'} key {wrong!r}")
    return dict(value)


def _list(data: Mapping[str, Any], name: str) -> list[Any]:
    found = data[name]
    refuse(not isinstance(found, list) or len(found) > MOST, f"{name}: expected a list of at most {MOST:,}")
    return list(found)


def _index(value: Any, least: int, count: int, where: str) -> int:
    fits = type(value) is int and least <= value < count
    refuse(not fits, f"{where}: expected a block from {least} to {count - 1}")
    return int(value)


def _once(pairs: list[tuple[str, Any]]) -> dict[str, Any]:
    out = dict(pairs)
    refuse(len(out) < len(pairs), "a key stands twice in one object")
    return out


def _loaded(text: str) -> dict[str, Any]:
    try:
        data = json.loads(text, object_pairs_hook=_once)
    except (ValueError, RecursionError):
        raise RefusedError("expected JSON, and it is none") from None
    refuse(not isinstance(data, dict), "expected an object")
    return dict(data)


def _problem(data: Mapping[str, Any]) -> Problem:
    refuse(data["format"] != FORMAT or data["kind"] != KIND, f"expected format {FORMAT} of kind {KIND!r}")
    refuse(data["units"] != UNITS, f"units: expected {json.dumps(UNITS)}")
    for name in ("name", "about", "design", "design_sha256"):
        refuse(not isinstance(data[name], str), f"{name}: expected a text")
    blocks, lengths, live, handed = [], [], [], []
    for k, raw in enumerate(_list(data, "blocks")):
        where = f"blocks[{k}]"
        said = isinstance(raw, dict) and "handed" in raw
        one = _object(raw, BLOCK if said else BLOCK - {"handed"}, where)
        refuse(not isinstance(one["label"], str), f"{where}.label: expected a text")
        weight, length = (_number(one[name], f"{where}.{name}") for name in ("weight", "length"))
        refuse(weight * FORCE < 1 or length * LENGTH < 1, f"{where}: expected a weight and a length above 0")
        blocks.append([0, 0, *_lengths(one["centre"], 3, f"{where}.centre"), round(weight * FORCE)])
        lengths.append(round(length * LENGTH))
        live.append(_numbers(one["live"], 6, f"{where}.live"))
        handed += [_numbers(one["handed"], 6, f"{where}.handed")] if said else []
    refuse(not blocks, "blocks: expected one or more")
    refuse(0 < len(handed) < len(blocks), "blocks: expected what is handed in of every block, or of none")
    faces = []
    for k, raw in enumerate(_list(data, "faces")):
        where = f"faces[{k}]"
        one = _object(raw, FACE, where)
        points = one["points"]
        refuse(not isinstance(points, list) or len(points) != 4, f"{where}.points: expected four points")
        upper = _index(one["upper"], 0, len(blocks), f"{where}.upper")
        lower = _index(one["lower"], -1, len(blocks), f"{where}.lower")
        row = [upper, lower, *(v for i in range(4) for v in _lengths(points[i], 3, f"{where}.points[{i}]"))]
        strip = any(
            row[2:5] == row[8:11] or row[5:8] == row[11:14] or row[i : i + 3] == row[i + 3 : i + 6] for i in (2, 8)
        )
        refuse(strip, f"{where}.points: expected four corners")
        friction = _down(one["friction"], FRICTION, f"{where}.friction")
        faces.append([*row, friction, _down(one["strength"], STRENGTH, f"{where}.strength")])
    ties = []
    for k, raw in enumerate(_list(data, "ties")):
        where = f"ties[{k}]"
        one = _object(raw, TIE, where)
        ends = [_index(one[name], 0, len(blocks), f"{where}.{name}") for name in ("upper", "lower")]
        pull = [round(v * FRICTION) for v in _numbers(one["pull"], 3, f"{where}.pull")]
        ties.append([*ends, *_lengths(one["at"], 3, f"{where}.at"), *pull, _down(one["most"], FORCE, f"{where}.most")])
    width, most = _number(data["width"], "width"), _number(data["most"], "most")
    refuse(width * LENGTH < 1 or not 0 < most <= 1000, "width and most: expected a length, and a multiple up to 1000")
    return Problem(blocks, lengths, live, faces, ties, round(width * LENGTH), most, handed)


def parse_problem(text: str) -> tuple[Problem, dict[str, Any]]:
    """The problem of a file, and all of the file as it stands; a solution may be there or not. RefusedError."""
    data = _loaded(text)
    more = SOLUTION if SOLUTION & set(data) else set()
    return _problem(_object(data, KEYS | more, "file")), data


def _solved(problem: Problem, data: Mapping[str, Any]) -> Finding:
    solution = _object(data["solution"], {"multiple", "solver"}, "solution")
    certificate = _object(data["certificate"], {"multiple", "forces", "tensions"}, "certificate")
    said, multiple = (
        _number(solution["multiple"], "solution.multiple"),
        _number(certificate["multiple"], "certificate.multiple"),
    )
    refuse(said < 0 or not 0 <= multiple <= problem.most, "solution and certificate: expected a multiple up to `most`")
    factor = int(multiple * FRICTION // 1)
    times = Fraction(factor, FRICTION)
    forces, tensions = _list(certificate, "forces"), _list(certificate, "tensions")
    state = {
        "kind": STATE,
        "case": "",
        "reserve": FRICTION,
        "factor": factor,
        "blocks": problem.blocks,
        "live": [
            [round(v * times * (FORCE if i < 3 else FORCE * LENGTH)) for i, v in enumerate(row)] for row in problem.live
        ],
        "patches": problem.faces,
        "ties": problem.ties,
        "forces": [
            [round(v * FORCE) for v in _numbers(row, 12, f"certificate.forces[{k}]")] for k, row in enumerate(forces)
        ],
        "tensions": [round(_number(v, f"certificate.tensions[{k}]") * FORCE) for k, v in enumerate(tensions)],
    }
    if problem.handed:
        state["handed"] = [
            [round(v * (FORCE if i < 3 else FORCE * LENGTH)) for i, v in enumerate(row)] for row in problem.handed
        ]
    found = check_forces(state, problem.width / LENGTH)
    if found.proven is None:
        return found
    if factor == 0:  # the dead load alone, of which any forces within the limits are proof
        found = Finding(Fraction(0))
    assert found.proven is not None
    ahead = said > found.proven * (1 + BEHIND)
    refuse(ahead, f"solution.multiple: {float(said):.9g} where the forces show {float(found.proven):.9g}")
    return found


def check_problem(text: str) -> Finding:
    """The multiple of the live load that the file's forces prove to be held beside the dead load; else why not."""
    try:
        problem, data = parse_problem(text)
        refuse("certificate" not in data, "there is no certificate to check")
        refuse(data["digest"] != digest_of(data), "digest: the file was changed since it was written")
        return _solved(problem, data)
    except RefusedError as refused:
        return Finding(None, str(refused))
