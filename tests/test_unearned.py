"""The search for a "meets" that nobody earned asks what it says it asks; its quickest findings, held."""

from __future__ import annotations

import tomllib

import pytest

from shellcheck_earth.design.keys import known_keys
from validation.unearned import BASES, EARNED, LOST, STORE, attempts, verdict_of


def test_the_store_meets() -> None:
    assert verdict_of(tomllib.loads(STORE)) == "meets"


@pytest.mark.parametrize("name", BASES)
def test_no_base_meets(name: str) -> None:
    assert verdict_of(tomllib.loads(BASES[name])) in ("falls short", "cannot say")


def test_every_key_is_tried_and_no_mark_of_a_measurement_stays() -> None:
    text = BASES["little friction"]
    tried: dict[str, set[str]] = {}
    for path, value, document in attempts(text):
        tried.setdefault(path, set()).add(value)
        table, _, key = path.rpartition(".")
        at = document
        for name in table.split("."):
            at = at.get(name, {})
        assert not isinstance(at.get(key), dict) or "source" not in at[key], path
    one_value = {
        path
        for path, key in known_keys().items()
        if "[]" not in path and not path.startswith(("design.", "criteria.")) and (key.within or key.words)
    }
    assert set(tried) >= one_value
    assert "left out" in tried["fill.strength_dry"] and "left out" not in tried["wall.flat_width"]
    assert {*EARNED, *LOST} <= set(known_keys())


@pytest.mark.parametrize("share", [0.31, 0.5, 1.0])
def test_more_of_the_wire_counted_does_not_make_up_for_little_friction(share: float) -> None:
    document = tomllib.loads(BASES["little friction"])
    document["beds"]["wire_counted_share"] = share
    assert verdict_of(document) != "meets"
