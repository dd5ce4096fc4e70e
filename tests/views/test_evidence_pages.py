"""The report shows what was read only where it prints the number, and says how much was measured."""

from __future__ import annotations

from shellcheck_earth.basics.evidence import backing, evidence
from shellcheck_earth.basics.values import sourced_values
from shellcheck_earth.safety.result import Result
from shellcheck_earth.views.report.evidence_pages import evidence_blocks, printed_keys
from shellcheck_earth.views.report.working_pages import appendix_blocks
from shellcheck_earth.views.text.evidence import known_words, measured_sentence, passage, source_name, value_name


def test_only_values_that_are_printed_bring_their_passages(hostile: Result) -> None:
    keys = printed_keys(hostile)
    assert set(keys) <= set(sourced_values())
    (shown,) = (one for one in evidence_blocks(hostile) if one["kind"] == "table")
    assert len(shown["rows"]) == len(backing(keys)) > 5
    words = {row[1] for row in shown["rows"]}
    assert passage(evidence()["ibc-1807-2-3"]) in words
    assert passage(evidence()["lau-abstract"]) not in words
    assert all(row[2] for row in shown["rows"])


def test_the_report_says_how_much_was_measured(hostile: Result) -> None:
    said = [block["text"] for block in appendix_blocks(hostile) if block["kind"] == "paragraph"]
    assert measured_sentence() in said
    assert "Validated by measurement: 0." in measured_sentence()


def test_what_was_not_read_is_to_be_confirmed() -> None:
    assert known_words("memory") == "recalled, to be confirmed by the engineer"
    assert known_words("abstract") == "read, abstract only"
    assert known_words("proposed") == "proposed"
    assert not any("memory" in source.text for source in (row.source for row in sourced_values().values()))


def test_names_are_not_said_twice() -> None:
    assert source_name(evidence()["look-7-8"]) == "Look 2007, Handbook of Geotechnical Investigation and Design Tables"
    assert source_name(evidence()["en-1991-1-4-inside"]) == "EN 1991-1-4"
    assert value_name("criteria.common practice.base sliding") == "base sliding"
    assert value_name("wind.inside") == "wind.inside"
    assert passage(evidence()["nm-moisture"]) == "Noted: placing moisture at most 10 %."
