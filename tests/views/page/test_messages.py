"""Whatever a browser sends is a message of the page, or ends the connection."""

from __future__ import annotations

import json
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from shellcheck_earth.design.keys import known_keys
from shellcheck_earth.design.starter import starter_text
from shellcheck_earth.views.page.messages import FIELDS, HostileError, read_message
from shellcheck_earth.views.page.tab import Tab

DOORED = starter_text().replace(
    "[criteria]",
    """[[wall.courses]]
to = 0
stabiliser = "cement"

[[opening]]
kind = "door"
bearing = "0 deg"
sill = "0 m"
width = "0.8 m"
height = "1.9 m"
head = "pointed"

[[buttress]]
bearing = "90 deg"
length = "0.9 m"
width = "0.45 m"
height = "1.2 m"

[criteria]""",
)

GOOD: dict[str, dict[str, Any]] = {
    "move": {"path": "beds.friction", "value": 0.5},
    "set": {"path": "site.snow", "value": {"value": "none", "reason": "no snow here"}, "measured": False},
    "show": {"stage": None, "case": "finished-dry", "hours": 2.5, "crew": True},
    "units": {"system": "imperial"},
    "allow": {"allowed": True},
    "map": {"across": "beds.friction", "up": "wall.filled_width"},
    "pick": {"settings": [["beds.friction", 0.5], ["wall.filled_width", "400 mm"]]},
    "sheet": {
        "changes": [["course", -1, "radius 90", "4 ft 3 1/2 in"], ["column", "radius", 45], ["on", "2026-05-06"]]
    },
    "survey": {"changes": []},
    "readings": {"name": "day-4.csv", "text": "x" * 100_000},
    "open": {"name": "mine.toml", "text": "x" * 100_000},
}


@pytest.mark.parametrize("what", sorted(FIELDS))
def test_every_message_of_the_page_is_read(what: str) -> None:
    message = {"do": what, "n": 3, **GOOD.get(what, {})}
    assert read_message(json.dumps(message)) == message


HOSTILE = [
    "", "null", "[]", "3", "{", '{"do": "move"}', '{"do": "__init__"}', '{"do": ["move"]}', '{"do": {}}', "[" * 100_000,
    '{"do": "hello", "more": 1}', '{"do": "hello", "n": -1}', '{"do": "hello", "n": 1e99}',
    '{"do": "hello", "n": true}',
    '{"do": "move", "path": "beds.friction", "value": NaN}', '{"do": "move", "path": "beds.friction", "value": 1e400}',
    '{"do": "move", "path": ["beds"], "value": 1}', '{"do": "move", "path": "beds.friction", "value": [1]}',
    '{"do": "move", "path": "beds.friction\\u0000", "value": 1}',
    '{"do": "show", "stage": 0, "case": "x", "hours": 0, "crew": true}',
    '{"do": "show", "stage": true, "case": "x", "hours": 0, "crew": true}',
    '{"do": "show", "stage": 5, "case": "x", "hours": -1, "crew": true}',
    '{"do": "units", "system": "../../etc"}',
    json.dumps({"do": "set", "path": "site.snow", "value": {"value": "none"}, "measured": False}),
    json.dumps({"do": "move", "path": "beds.friction", "value": "0.5" + " " * 8000}),
    '{"do": "map", "across": "design.name", "up": "wall.filled_width"}',
    '{"do": "map", "across": ["beds.friction"], "up": "wall.filled_width"}',
    '{"do": "pick", "settings": [["beds.friction", 1]]}',
    '{"do": "pick", "settings": [["beds.friction", 1], [{}, 1]]}',
    json.dumps({"do": "open", "name": "a\nb", "text": ""}),
    json.dumps({"do": "open", "name": "big", "text": "x" * 1_000_001}),
]  # fmt: skip


@pytest.mark.parametrize("raw", HOSTILE, ids=range(len(HOSTILE)))
def test_what_no_page_sends_is_refused(raw: str) -> None:
    with pytest.raises(HostileError):
        read_message(raw)


NAMES = st.sampled_from(["do", "n", "path", "value", "stage", "text"])
ANYTHING = st.recursive(
    st.none() | st.booleans() | st.floats() | st.text(), lambda inner: st.lists(inner) | st.dictionaries(NAMES, inner)
)


@given(ANYTHING)
def test_nothing_else_than_a_refusal_comes_of_any_json(value: Any) -> None:
    with pytest.raises(HostileError):
        read_message(json.dumps(value))


def test_a_value_that_cannot_be_is_said_and_changes_nothing() -> None:
    tab = Tab("one", starter_text(), "starter")
    before = tab.document.text
    for path, value in (("beds.friction", "soft"), ("no.such_key", 1), ("opening[1].width", "1 m")):
        said = tab.take([{"do": "set", "path": path, "value": value, "measured": False, "n": 1}])
        assert any(one.get("message") or one.get("refused") for one in said), path
        tab.take([{"do": "undo", "n": 2}])
        assert tab.document.text == before
    said = tab.take([{"do": "open", "name": "x", "text": "not [toml", "n": 3}])
    assert said[0]["kind"] == "refused" and tab.document.text == before


def test_a_wet_value_comes_down_with_the_dry_one_and_goes_back_up_with_it() -> None:
    tab = Tab("one", starter_text().replace("# friction = 0.50", "friction = 0.50\nfriction_wet = 0.4 #"), "starter")
    down = tab.take([{"do": "move", "path": "beds.friction", "value": 0.3, "n": 1}])[-1]
    assert "friction_wet" in down["followed"] and not down["refused"]
    up = tab.take([{"do": "move", "path": "beds.friction", "value": 0.6, "n": 2}])[-1]
    assert not up["followed"] and tab.design().beds.friction_wet == 0.4
    tab.take([{"do": "set", "path": "beds.friction", "value": 0.2, "measured": False, "n": 3}])
    assert tab.design().beds.friction_wet == 0.2 and "friction_wet = 0.2" in tab.document.text


ODD: tuple[Any, ...] = (-1, "1 ft 2 in", "90 %", {"value": "none", "reason": "nothing of it here"})


@pytest.mark.parametrize("path", sorted(known_keys()))
def test_any_key_may_be_set_to_anything_and_the_page_goes_on(path: str) -> None:
    """Refused or taken over; never a fault, and one step back is the design as it was."""
    tab = Tab("one", DOORED, "doored")
    place = path.replace("[]", "[1]")
    for number, value in enumerate(ODD):
        for what in ("move", "set"):
            message = {"do": what, "path": place, "value": value, "measured": False, "n": number}
            if what == "move":
                del message["measured"]
            assert read_message(json.dumps(message)) == message
            assert {one["kind"] for one in tab.take([message])} <= {"drawn", "refused"}
        tab.take([{"do": "undo", "n": number}])
        while tab.document.may_undo:
            tab.take([{"do": "undo", "n": number}])
        assert tab.document.text == DOORED


def test_a_drag_is_one_step_to_undo() -> None:
    tab = Tab("one", starter_text(), "starter")
    for number in range(30):
        tab.take([{"do": "move", "path": "dome.inside_diameter", "value": f"{3 + number / 20} m", "n": number}])
    assert tab.document.text == starter_text()
    tab.take([{"do": "set", "path": "dome.inside_diameter", "value": "4.5 m", "measured": False, "n": 31}])
    assert tab.design().dome.inside_diameter == 4.5
    tab.take([{"do": "undo", "n": 32}])
    assert tab.document.text == starter_text()
    tab.take([{"do": "redo", "n": 33}])
    assert tab.design().dome.inside_diameter == 4.5
