"""Where only the block model falls short, a survey and the advice say so, and not of what is met."""

from __future__ import annotations

from types import SimpleNamespace
from typing import Any

import pytest

from shellcheck_earth.views.text.choose import RINGS_ALONE, reverse_sentence
from shellcheck_earth.views.text.language import words
from shellcheck_earth.views.text.survey import answer
from shellcheck_earth.views.text.tests import CREW, change_sentences

PERSON: Any = SimpleNamespace(
    id="three-d-all-laid-worker-joint", title="One worker on the top ring", meets=False, relied=0.8951, required=1.0
)
HELD: Any = SimpleNamespace(id="three-d-wind", title="Wind", meets=True, relied=2.0, required=1.25)


def assessed(verdict: str, blocks: list[Any], monkeypatch: pytest.MonkeyPatch, language: str = "en") -> str:
    met = (SimpleNamespace(), SimpleNamespace())
    monkeypatch.setattr(answer, "shortest_of", lambda *_, **__: None)
    monkeypatch.setattr(answer, "least_of", lambda *_, **__: met)
    monkeypatch.setattr(answer, "margin_words", lambda *_: "a margin that is met")
    result: Any = SimpleNamespace(verdict=verdict, blocks=blocks)
    return answer._assessed(result, words(language))


def test_what_falls_short_is_named_and_not_what_is_met(monkeypatch: pytest.MonkeyPatch) -> None:
    said = assessed("falls short", [HELD, PERSON], monkeypatch)
    assert said == "falls short; block model, One worker on the top ring: 0.895 of 1"
    assert assessed("meets", [HELD], monkeypatch) == "meets; a margin that is met"
    assert assessed("falls short", [PERSON], monkeypatch, "es").startswith("no cumple; modelo de bloques, ")


@pytest.mark.parametrize(("block", "advised"), [(PERSON, True), (HELD, False), (None, False)])
def test_a_stop_for_one_person_names_the_scaffold(block: Any, advised: bool) -> None:
    stopped: Any = SimpleNamespace(decision=SimpleNamespace(reason="no way holds", block=block))
    assert (CREW in answer._stop_order(stopped, words("en"))) is advised


def test_where_one_person_alone_falls_short_no_other_command_is_named() -> None:
    result: Any = SimpleNamespace(
        verdict="falls short", blocks=[PERSON], design=SimpleNamespace(openings=()), governing=dict
    )
    assert change_sentences(result) == [CREW]
    door = SimpleNamespace(id="three-d-finished-dry", meets=False)
    both: Any = SimpleNamespace(**{**vars(result), "blocks": [PERSON, door]})
    assert len(change_sentences(both)) == 3


@pytest.mark.parametrize("blocks", [True, False])
def test_a_diameter_that_rings_alone_were_asked_says_so(blocks: bool) -> None:
    largest = SimpleNamespace(all_up_to=4.0, largest=4.0, tried_to=8.0, capped=False)
    choice: Any = SimpleNamespace(
        largest=largest, sought=(True, True), block_model=blocks, design=SimpleNamespace(unit_system="metric")
    )
    assert reverse_sentence(choice).endswith(f". {RINGS_ALONE}") is blocks
