"""Ways to a "meets" that nobody earned, sought: one key of a design that falls short set anywhere in its range.

    python validation/unearned.py [--base NAME] [--pairs N]

Each base is a small shelter that meets but for one thing, or one whose values nobody tested. Every key of the design
file is then left out, set to the ends of its range and to points between, and to each of its words, always without a
mark that it was measured: whoever writes "measured" says so under their own name. What turns the answer into "meets" is
listed; `EARNED` says of which keys that is right, and why. Ends with 1 when another key does it. About an hour.
With `--pairs` so many pairs of keys that are not in `EARNED` are drawn and changed together: two silences may do what
one does not.
"""

from __future__ import annotations

import argparse
import math
import random
import sys
import tomllib
from collections.abc import Collection, Iterator, Mapping
from pathlib import Path
from typing import Any

sys.path[:0] = [str(Path(__file__).parents[1]), str(Path(__file__).parents[1] / "tests")]

from certificates import SHELTER  # noqa: E402

from shellcheck_earth.basics.errors import ShellcheckError  # noqa: E402
from shellcheck_earth.basics.units import format_quantity  # noqa: E402
from shellcheck_earth.design.keys import Key, known_keys, set_key  # noqa: E402
from shellcheck_earth.geometry.reading import design_from_document  # noqa: E402
from shellcheck_earth.safety.check import check  # noqa: E402
from shellcheck_earth.safety.worst import outcome  # noqa: E402

__all__ = ["BASES", "EARNED", "attempts", "main", "verdict_of"]


def _tested(value: str) -> str:
    return f'{{ value = {value}, source = "measured" }}'


STORE = SHELTER.replace('"2.0 m"', '"4.0 m"').replace('"400 mm"', '"500 mm"')
"""4 m across, a wall of 0.5 m, everything measured: it meets."""


def _with(*changes: tuple[str, str]) -> str:
    text = STORE
    for old, new in changes:
        assert text.count(old) == 1, old
        text = text.replace(old, new)
    return text


def _number(key: str, old: str, new: str) -> tuple[str, str]:
    return f"\n{key} = {_tested(old)}", f"\n{key} = {_tested(new)}"


def _without(*keys: str) -> str:
    return "\n".join(line for line in STORE.splitlines() if not line.startswith(keys))


OPEN = ('outside = "30 mm"', 'outside = "0 mm"')

BASES: Mapping[str, str] = {
    "little friction": _with(
        _number("friction", "0.65", "0.35"),
        _number("friction_wet", "0.55", "0.30"),
        _number("friction_no_wire", "0.60", "0.35"),
    ),
    "little friction when wet": _with(_number("friction_wet", "0.55", "0.10"), OPEN),
    "little friction without wire": _with(_number("friction_no_wire", "0.60", "0.30")),
    "weak fill": _with(('"3 MPa"', '"0.12 MPa"'), ('"1 MPa"', '"0.1 MPa"'), ('"0.5 MPa"', '"0.1 MPa"')),
    "weak when fresh": _with(('"0.5 MPa"', '"0.02 MPa"')),
    "weak when wet, open to the rain": _with(('"1 MPa"', '"0.02 MPa"'), OPEN),
    "soft ground": _with(('"250 kPa"', '"60 kPa"'), ('"200 kPa"', '"50 kPa"')),
    "soft ground when wet": _with(('"200 kPa"', '"40 kPa"')),
    "thin wall": _with(('"500 mm"', '"330 mm"')),
    "a crowd on the top ring": _with(('worker = "1.5 kN"', 'worker = "20 kN"')),
    "a person on the crown": _with(('scaffold_above = "0 m"\n', "")),
    "deep snow": _with(('snow = { value = "none", reason = "no snow lies in this valley" }', 'snow = "20 kPa"')),
    "nothing tested": STORE.replace(', source = "measured" }', ', source = "assumed" }'),
    "nothing said of beds": _without("friction", "wire"),
    "nothing said of rain, no cover": _without("rain", "cover_after").replace('"1 MPa"', '"0.05 MPa"'),
    "unstabilised": _without("stabiliser", "strength_wet"),
}
"""Each of them falls short, or cannot be said, for the reason in its name."""

GEOMETRY = "another dome: its builder sees it, and the compass settings follow it"
EARNED: Mapping[str, str] = {
    **dict.fromkeys(
        (
            "dome.inside_diameter",
            "dome.profile",
            "dome.fixed_compass_pivot",
            "dome.crown_opening",
            "dome.springing_above_floor",
            "dome.floor_above_ground",
            "dome.centre_pivot_above_springing",
            "wall.filled_width",
            "wall.flat_width",
            "wall.course_height",
            "wall.buried_courses",
        ),
        GEOMETRY,
    ),
    "wall.fabric": "another tube is bought: the low end of its own range of friction was tried",
    "beds.wire_strands": "more wire is laid, as the site pages say; what its bond in the bed passes on limits it",
    "building.worker": "the load was the fault: nobody on the top ring is a rule of the site, printed on its page",
    "building.scaffold_above": "nobody stands higher, then or ever after: said on page 1, screen and build card",
    "building.courses_per_day": "a slower pace is a rule of the site, printed on its page",
    "building.rest_days": "longer rest is a rule of the site, printed on its page",
    "building.cover_after": "covering in time is a rule of the site, printed on its page",
    "site.snow": "the load was the fault: another site, stated with its reason",
    "site.rain.intensity": "the load was the fault: another site",
    "site.rain.hours": "the load was the fault: another site",
    "site.roof": "a roof over the dome is built",
    "plaster.outside": "plaster is put on",
}
"""Keys that may turn an answer into "meets" without a test, each with the reason why it is earned."""

LOW_END = "nothing said, or nothing tested: the low end of the published range was tried and meets; a test that fell"
STRENGTHS = ("fill.strength_dry", "fill.strength_as_placed", "fill.strength_wet")
LOST: Mapping[str, str] = {
    **dict.fromkeys(STRENGTHS, f"{LOW_END} below that range was struck out"),
    "site.ground_bearing_wet": "nothing said: the least class of the table; a test below that class was struck out",
}
"""Keys of which the same holds where a measured line, worse than what is known of such values, is left out or written
over: no program can know of a test that is not in the file."""

BETWEEN = (0.02, 0.1, 0.25, 0.5, 0.75)
"""Shares of a range tried beside its ends, along its logarithm where it spans over two decades."""


def _points(low: float, high: float) -> list[float]:
    if low > 0 and high / low > 100:
        return [low, *(low * (high / low) ** share for share in BETWEEN), high]
    return [low, *(low + (high - low) * share for share in BETWEEN), high]


def _values(key: Key) -> list[Any]:
    """What is written into the file for a key, as text or word."""
    written: list[Any] = [word == "true" if word in ("true", "false") else word for word in key.words]
    if key.within is None or key.dimension is None:
        return written
    points = _points(key.within.low, key.within.high)
    if key.within.whole:
        return [*written, *sorted({math.floor(point) for point in points} | {1, 2, 3, 4})]
    if key.dimension in ("number", "share"):
        return [*written, *points]
    return [*written, *(format_quantity(point, key.dimension) for point in points)]


def _left_out(document: Mapping[str, Any], path: str) -> dict[str, Any] | None:
    """The document without a key, or None where it is not in it."""
    table, _, key = path.rpartition(".")
    out = set_key(document, path, None)
    at: Any = out
    was: Any = document
    for name in table.split("."):
        at, was = at[name], was.get(name, {}) if isinstance(was, dict) else {}
    if not isinstance(was, dict) or key not in was:
        return None
    del at[key]
    return out


def attempts(text: str) -> Iterator[tuple[str, str, dict[str, Any]]]:
    """(key, what was written, the document) for every single change of a design file."""
    keys = {path for path in known_keys() if "[]" not in path and not path.startswith(("design.", "criteria."))}
    return _changes(tomllib.loads(text), keys)


def _changes(document: dict[str, Any], keys: Collection[str]) -> Iterator[tuple[str, str, dict[str, Any]]]:
    """Every single change of these keys."""
    for path, key in known_keys().items():
        if path not in keys:
            continue
        if (bare := _left_out(document, path)) is not None:
            yield path, "left out", bare
        for value in _values(key):
            plain = _left_out(document, path) or document  # without the mark of a measured value
            yield path, str(value), set_key(plain, path, value)


def verdict_of(document: Mapping[str, Any]) -> str:
    """The verdict of the whole check, proofs set aside; "refused" where the file cannot be read or built."""
    try:
        design = design_from_document(document)
        said = outcome(design, crew=True).verdict
        if said == "meets":
            said = check(design, explore=False).verdict
    except ShellcheckError:
        return "refused"
    return said


def _written(text: str, path: str) -> Any:
    """What the base says there, its mark included."""
    at: Any = tomllib.loads(text)
    for name in path.split("."):
        at = at.get(name, {}) if isinstance(at, dict) else {}
    return at


def pairs(text: str, number: int, seed: int) -> Iterator[tuple[str, str, dict[str, Any]]]:
    """As `attempts`, two keys at once, neither of which is known to earn anything; drawn by a seed."""
    rng = random.Random(seed)
    known = [(path, value) for path, value, _ in attempts(text) if path not in EARNED and path not in LOST]
    document = tomllib.loads(text)
    for _ in range(number):
        (first, one), (second, other) = rng.sample(known, 2)
        if first == second:
            continue
        made = next(doc for path, value, doc in attempts(text) if (path, value) == (first, one))
        both = next((doc for path, value, doc in _changes(made, {second}) if (path, value) == (second, other)), None)
        if both is not None and made != document:
            yield f"{first} = {one}, {second}", other, both


def main(given: list[str] | None = None) -> int:
    """Prints what turns each base into "meets"; 1 where a key does it that is not in `EARNED`."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--base", choices=sorted(BASES), help="only this one")
    parser.add_argument("--pairs", type=int, default=0, help="so many pairs of keys, in place of single ones")
    parser.add_argument("--seed", type=int, default=1, help="of the pairs")
    asked = parser.parse_args(given)
    unearned = 0
    for name, text in BASES.items():
        if asked.base not in (None, name):
            continue
        first = verdict_of(tomllib.loads(text))
        print(f"{name}: {first}", flush=True)
        unearned += first == "meets"
        tried = 0
        for path, value, document in pairs(text, asked.pairs, asked.seed) if asked.pairs else attempts(text):
            tried += 1
            if verdict_of(document) == "meets":
                why = EARNED.get(path) or (LOST.get(path) if "measured" in str(_written(text, path)) else None)
                unearned += why is None
                print(f"  {path} = {value}: meets; {why or 'UNEARNED?'}", flush=True)
        print(f"  {tried} changes tried", flush=True)
    return min(unearned, 1)


if __name__ == "__main__":
    raise SystemExit(main())
