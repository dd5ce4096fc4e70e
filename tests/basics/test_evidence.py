"""What was read behind the values: every entry complete, every value that is said to be read backed by one."""

from __future__ import annotations

from datetime import date
from typing import Any

import pytest

from shellcheck_earth.basics.evidence import backing, evidence, make_evidence, without_evidence
from shellcheck_earth.basics.values import sourced_values, sources

WHOLE: dict[str, Any] = {
    "source": "ibc-1806",
    "place": "Table 1806.2",
    "quote": "1,500",
    "how": "page",
    "read": date(2026, 11, 26),
    "address": "a stored copy",
    "bears": "prints",
    "values": ["ground.clay"],
    "says": "1500 lb/ft2",
}


def test_every_value_that_is_said_to_be_read_has_a_passage_that_prints_it() -> None:
    assert without_evidence() == ()


def test_a_value_said_to_be_read_without_a_passage_is_found(monkeypatch: pytest.MonkeyPatch) -> None:
    from shellcheck_earth.basics import evidence as module

    kept = {key: one for key, one in evidence().items() if key != "fao-56-table-1"}
    monkeypatch.setattr(module, "evidence", lambda: kept)
    assert module.without_evidence() == ("physics.water_density",)


def test_a_complete_entry_loads() -> None:
    one = make_evidence("x", WHOLE)
    assert one.source is sources()["ibc-1806"]
    assert one.values == ("ground.clay",)
    assert not one.noted


@pytest.mark.parametrize(
    ("change", "said"),
    [
        ({"source": "nobody"}, "no source 'nobody'"),
        ({"values": ["ground.cheese"]}, "no value ground.cheese"),
        ({"quote": ""}, "a quotation, or what was noted"),
        ({"noted": "too"}, "a quotation, or what was noted"),
        ({"quote": "x" * 301}, "301 characters is too long"),
        ({"how": "heard"}, "'heard' is no way of reading"),
        ({"bears": "perhaps"}, "'perhaps' is no bearing"),
        ({"read": "2026-11-26"}, "no date of reading"),
        ({"place": ""}, "no place"),
        ({"address": ""}, "no address"),
        ({"says": ""}, "no says"),
    ],
)
def test_an_incomplete_entry_is_refused(change: dict[str, Any], said: str) -> None:
    with pytest.raises(ValueError, match=f"evidence x: .*{said}"):
        make_evidence("x", WHOLE | change)


def test_a_source_known_by_its_abstract_is_not_said_to_be_read() -> None:
    for one in evidence().values():
        if one.how == "abstract":
            assert one.source.known == "abstract", one.key
        assert one.source.known != "memory" or one.bears == "contradicts", one.key


def test_backing_gives_only_what_bears_on_the_values_asked_for() -> None:
    found = backing(["wind.inside"])
    assert [one.key for one in found] == ["asce-7-gcpi-shut"]
    assert [one.bears for one in found] == ["brackets"]
    assert [one.key for one in backing(["wind.inside_suction"])] == ["en-1991-1-4-inside"]
    assert backing(["survey.spots"]) == ()


def test_keys_of_the_values_are_one_name_each() -> None:
    assert {"ground.clay", "wind.crown", "beds.friction", "criteria.common practice.tipping"} <= set(sourced_values())
