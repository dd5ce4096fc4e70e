"""Certificates forged at random: none is confirmed, and nothing but an answer comes back."""

from __future__ import annotations

import copy
import json
import random
from typing import Any

import pytest
from certificates import SMALL, certified, ends, refused, sealed, weaker


def _spoil(rng: random.Random, data: dict[str, Any]) -> str:
    """One change that makes the certificate false; what it was."""
    case = rng.choice([one for one in data["cases"] if one["lines"]])
    line = rng.choice(case["lines"])
    kind = rng.randrange(9)
    if kind == 0:
        cell = rng.randrange(len(line["ring"]))
        line["ring"][cell] = -abs(line["ring"][cell]) - rng.randrange(1, 1 << rng.randrange(1, 60))
    elif kind == 1:
        line["wire"][rng.randrange(len(line["wire"]))] = rng.choice([-1, 1]) * rng.randrange(1 << 45, 1 << 100)
    elif kind == 2:
        line["ring_moment"][rng.randrange(len(line["ring"]))] += rng.choice([-1, 1]) * rng.randrange(1 << 47, 1 << 60)
    elif kind == 3:
        for key in ("ring", "ring_moment", "wire"):
            line[key].pop()
    elif kind == 4:
        line["shows"].remove(rng.choice(line["shows"]))
    elif kind == 5:
        line["shows"].append(rng.choice([*line["shows"], "strength in general", "\x1b[0m"]))
    elif kind == 6:
        data["cases"].remove(case)
    elif kind == 7:
        case["case"] = rng.choice([one["case"] for one in data["cases"] if one is not case])
    else:
        key = rng.choice(list(data["required"]))
        data["required"][key] = str(rng.randrange(1, 3))
        data["required"]["bed friction"] = "1"
    return f"{kind} in {case['case']}"


@pytest.mark.parametrize("seed", range(20))
def test_random_forgeries_of_a_certificate_that_meets(seed: int) -> None:
    rng = random.Random(seed)
    true = certified(SMALL, "meets")
    for _ in range(15):
        data = copy.deepcopy(true)
        what = _spoil(rng, data)
        assert ends(data)[0] == "cannot say", what


@pytest.mark.parametrize("seed", range(20))
def test_random_forgeries_of_a_design_that_falls_short(seed: int) -> None:
    """Proofs of a stronger dome, and its own, mixed and spoilt at random: never "meets"."""
    rng = random.Random(1000 + seed)
    text = weaker()
    own, strong = certified(text, "falls short"), certified(SMALL, "meets")
    for _ in range(15):
        data = copy.deepcopy(own) | {"verdict": "meets", "trials": copy.deepcopy(strong["trials"])}
        for index, other in enumerate(strong["cases"]):
            if rng.random() < 0.7 or data["cases"][index]["none"]:
                data["cases"][index] = copy.deepcopy(other)
        for _ in range(rng.randrange(3)):
            _spoil(rng, data)
        verdict, said = ends(data, text)
        assert verdict == "cannot say" and said.startswith("Refused"), said


def test_random_bytes_of_a_sealed_file() -> None:
    rng = random.Random(7)
    whole = sealed(certified(SMALL, "meets"))
    for _ in range(300):
        at = rng.randrange(len(whole))
        forged = bytearray(whole)
        forged[at] ^= 1 << rng.randrange(7)
        if json_equal(bytes(forged), whole):
            continue
        refused(bytes(forged))


def json_equal(a: bytes, b: bytes) -> bool:
    try:
        return bool(json.loads(a) == json.loads(b))
    except ValueError:
        return False
