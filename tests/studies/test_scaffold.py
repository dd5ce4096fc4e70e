"""Up to which ring one person on one side is held: what `choose` says of a height, `check` says of a file with it."""

from __future__ import annotations

import json
import math
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path
from types import SimpleNamespace
from typing import Any

import pytest
from certificates import SMALL

from shellcheck_earth.basics.errors import InputError
from shellcheck_earth.basics.parallel import ALONE
from shellcheck_earth.design.file import read_document
from shellcheck_earth.design.keys import set_key
from shellcheck_earth.geometry.courses import Dome, build_dome
from shellcheck_earth.geometry.reading import design_from_document, parse_design
from shellcheck_earth.loads.crew import highest_stood_on
from shellcheck_earth.safety.blocks.solve import crew_cases
from shellcheck_earth.safety.check import check
from shellcheck_earth.safety.result import Doubt
from shellcheck_earth.studies import scaffold
from shellcheck_earth.studies.choice import Choice
from shellcheck_earth.studies.choose import choose
from shellcheck_earth.studies.scaffold import Scaffold, find_scaffold
from shellcheck_earth.views.pages.choose import choice_document, choice_json, choice_lines
from shellcheck_earth.views.text.language import speaking, words
from shellcheck_earth.views.text.scaffold import OTHERS, scaffold_sentences

REPORTS = Path(__file__).parents[2] / "reports"
KEY = "building.scaffold_above"


def without_scaffold() -> dict[str, Any]:
    """The tool store whose crew stands on every ring, of which there are 17."""
    document = {key: value for key, value in read_document(REPORTS / "tool-store" / "design.toml").items()}
    building = {key: value for key, value in document["building"].items() if key != "scaffold_above"}
    return {**document, "building": building}


@pytest.fixture(scope="module")
def open_store(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The same in thicker courses: 13 rings, of which fewer have to be asked of blocks, and more quickly."""
    text = (REPORTS / "tool-store" / "design.toml").read_text(encoding="utf-8")
    file = tmp_path_factory.mktemp("scaffold") / "store.toml"
    kept = [line for line in text.splitlines() if not line.startswith("scaffold_above")]
    file.write_text("\n".join(kept).replace('"5 1/4 in"', '"6.9 in"'), encoding="utf-8")
    return file


@pytest.fixture(scope="module")
def choice(open_store: Path) -> Choice:
    return choose(open_store, crew=ALONE, largest=False)


def the_height_found_meets_and_the_ring_above_it_does_not(choice: Choice) -> None:
    """Both as `check` has them, with its proofs, of a file with the height as it is written."""
    found, document = choice.scaffold, choice.document
    assert found is not None and found.needed and found.course is not None and found.above is not None
    held = design_from_document(set_key(document, KEY, found.written))
    dome = build_dome(held)
    assert highest_stood_on(dome) == found.course
    assert check(held, explore=False).verdict == "meets"
    assert choice.with_scaffold is not None and choice.with_scaffold.verdict == "meets"
    above = dome.course(found.course + 1).z_top - dome.floor
    short = design_from_document(set_key(document, KEY, f"{above:.9g} m"))
    assert highest_stood_on(build_dome(short)) == found.course + 1
    said = check(short, explore=False, proofs=False)
    assert said.verdict == "falls short" and any(one.meets is False for one in said.blocks)
    by = {one.course: one for one in found.asked}
    worst = min(one.relied / one.required for one in said.blocks if one.relied is not None)
    assert by[found.course + 1].share == pytest.approx(worst, rel=1e-9) and worst < 1 <= (by[found.course].share or 0)


def only_rings_that_are_stood_on_are_asked(choice: Choice) -> None:
    """From the top down, each once, and both neighbours of the answer among them."""
    found = choice.scaffold
    assert found is not None and found.course is not None
    numbers = [one.course for one in found.asked]
    assert numbers[0] == build_dome(choice.design).top_number and len(set(numbers)) == len(numbers)
    assert {found.course, found.course + 1} <= {*numbers}
    assert all(one.held == (one.course <= found.course) for one in found.asked)


def an_answer_that_only_that_person_stands_in_the_way_of_names_no_other_change(choice: Choice) -> None:
    """The rings meet as they are: the least amount of anything would be called enough."""
    assert choice.crew_alone and choice.singles == () and choice.pairs == ()
    said = " ".join("\n".join(choice_lines(choice)).split())
    assert " ".join(OTHERS.split()) in said and "No single change is enough" not in said and "Tried:" not in said
    assert "is held up to course 8, 4.60 ft (1.40 m) above the floor" in said and "from 4.67 ft (1.42 m)" in said
    assert "With it every margin examined here is met." in said and 'scaffold_above = "56 in"' in said
    assert "is held up to course 8" in repr(choice_document(choice).blocks)
    data = json.loads(choice_json(choice))["scaffold"]
    assert (data["highest_course"], data["above_floor_m"], data["answer_with_it"]) == (8, 1.4224, "meets")
    assert data["to_paste"][1:] == ["[building]", 'scaffold_above = "56 in"']
    with speaking(words("es")):
        assert scaffold_sentences(choice)[0].startswith("Una persona a un lado se sostiene hasta la hilada 8")


def test_a_change_that_is_named_is_asked_with_that_person(open_store: Path) -> None:
    """More wire leaves the ring the person stands on as it is; by the rings alone one strand was called enough."""
    found = choose(open_store, changes=("more wire",), crew=ALONE, largest=False)
    assert found.scaffold is None and [one.name for one in found.singles] == ["more wire"]
    assert found.singles[0].helps != "enough" and found.pairs == ()
    assert found.singles[0].best_share < 1
    assert "Pairs of changes were not looked for." in choice_lines(found)


def _stub(monkeypatch: pytest.MonkeyPatch, held: dict[int, float | None]) -> list[int]:
    """Blocks that hold a share of what is required by the highest ring that is stood on; the rings that were asked."""
    asked: list[int] = []

    def said(dome: Dome) -> Iterator[tuple[Any, ...]]:
        top = highest_stood_on(dome)
        assert top is not None
        asked.append(top)
        share = held[top]
        one = SimpleNamespace(relied=share, required=1.0, at_least=False, meets=None if share is None else share >= 1)
        yield (one,)

    monkeypatch.setattr(scaffold, "crew_cases", said)
    return asked


def _found(document: dict[str, Any]) -> Scaffold | None:
    return find_scaffold(design_from_document(document), document)


@pytest.mark.parametrize("last", range(18))
def test_every_ring_may_be_the_last_that_holds(last: int, monkeypatch: pytest.MonkeyPatch) -> None:
    """17 rings: top, bottom and at most four more; written in inches, a top raised to the next whole one."""
    asked = _stub(monkeypatch, {number: 1.2 if number <= last else 0.8 for number in range(1, 18)})
    found = _found(without_scaffold())
    assert found is not None and len(asked) <= 6 and [one.course for one in found.asked] == asked
    if last == 17:
        assert not found.needed and asked == [17]
    elif last == 0:
        assert (found.course, found.above, found.written) == (None, 0.0, "0 in") and asked == [17, 1]
    else:
        inches = math.ceil(5.25 * last - 1e-9)
        assert (found.course, found.written) == (last, f"{inches} in")
        assert found.above == pytest.approx(inches * 0.0254, abs=1e-12)


def test_a_given_height_is_where_the_search_begins(monkeypatch: pytest.MonkeyPatch) -> None:
    asked = _stub(monkeypatch, {number: 1.2 if number <= 3 else 0.8 for number in range(1, 10)})
    document = set_key(without_scaffold(), KEY, "4 ft")
    found = _found(document)
    assert found is not None and found.course == 3 and asked[0] == 9 and max(asked) == 9
    assert _found(set_key(document, KEY, "0 ft")) is None
    assert _found(set_key(document, "building.worker", "0 lbf")) is None


def test_a_ring_that_blocks_cannot_answer_for_holds_nobody(monkeypatch: pytest.MonkeyPatch) -> None:
    """Not established is never favourable; and what is asked nothing is not held either."""
    _stub(monkeypatch, {number: 1.2 if number < 5 else None for number in range(1, 18)})
    found = _found(without_scaffold())
    assert found is not None and found.course == 4
    assert {one.share for one in found.asked if one.course >= 5} == {None}
    monkeypatch.setattr(scaffold, "crew_cases", lambda _: iter(()))
    nothing = _found(without_scaffold())
    assert nothing is not None and nothing.course is None and nothing.above == 0.0


def test_a_worse_answer_of_one_ring_counts(monkeypatch: pytest.MonkeyPatch) -> None:
    """Of several questions of a ring the least share, known only where all are."""
    fine = SimpleNamespace(relied=3.0, required=1.5, at_least=True, meets=True)
    less = SimpleNamespace(relied=1.1, required=1.0, at_least=False, meets=True)
    unknown = SimpleNamespace(relied=None, required=1.0, at_least=False, meets=None)
    document = without_scaffold()
    monkeypatch.setattr(scaffold, "crew_cases", lambda _: iter([(fine,), (fine, less)]))
    found = _found(document)
    assert found is not None and not found.needed
    assert (found.asked[0].share, found.asked[0].at_least) == (pytest.approx(1.1), False)
    monkeypatch.setattr(scaffold, "crew_cases", lambda _: iter([(fine,), (less, unknown)]))
    unsure = _found(document)
    assert unsure is not None and unsure.needed and unsure.asked[0].share is None


def test_no_height_is_enough_for_a_hall_of_untested_fill(tmp_path: Path) -> None:
    """Metric; its rings fall short as well, which a scaffold does not cure. At 3.5 m it has fewer rings to ask; on the
    lowest of them one of 1.5 kN would be held."""
    file, text = tmp_path / "hall.toml", (REPORTS / "slender-hall" / "design.toml").read_text(encoding="utf-8")
    file.write_text(text.replace('"5.0 m"', '"3.5 m"').replace('"1.5 kN"', '"2.5 kN"'), encoding="utf-8")
    found = choose(file, changes=("scaffold",), crew=ALONE, largest=False)
    assert found.scaffold is not None and found.scaffold.course is None and found.scaffold.above == 0.0
    said = " ".join("\n".join(choice_lines(found)).split())
    assert "No height is enough for one person on one side: not even course 1, 0.105 m (0.344 ft)" in said
    assert "With it the design still falls short in bed friction" in said
    assert "scaffold_above =" not in said and not found.crew_alone


def test_metric_heights_are_whole_centimetres(monkeypatch: pytest.MonkeyPatch) -> None:
    """Courses of 105 mm: three of them end at 0.315 m, which is written as 0.32."""
    document = dict(read_document(REPORTS / "slender-hall" / "design.toml"))
    _stub(monkeypatch, {number: 1.2 if number <= 3 else 0.8 for number in range(1, 43)})
    found = _found(document)
    assert found is not None and (found.course, found.written) == (3, "0.32 m")
    thin = set_key(document, "wall.course_height", "0.105 m")
    assert scaffold._height(design_from_document(thin), 0.101, 0.1105) == 0.101  # no whole one lies well between
    assert scaffold._height(design_from_document(thin), 0.11, 0.2) == pytest.approx(0.11, abs=1e-12)


def test_a_design_whose_top_ring_holds_needs_none() -> None:
    """The tool store as it is published: asked on its ninth course, where it was checked. It needs no change at all."""
    found = choose(REPORTS / "tool-store" / "design.toml", crew=ALONE, largest=False)
    assert found.meets and not found.singles and not found.pairs
    assert found.scaffold is not None and not found.scaffold.needed and found.with_scaffold is None
    assert found.scaffold.asked[0].course == 9
    said = " ".join("\n".join(choice_lines(found)).split())
    assert "is held on course 9, the highest that the crew stands on" in said and "scaffold_above =" not in said
    assert json.loads(choice_json(found))["scaffold"]["above_floor_m"] is None


def test_the_highest_ring_is_asked_first_and_the_name_is_known() -> None:
    dome = build_dome(parse_design(SMALL.replace('scaffold_above = "0 m"\n', "")))
    first = next(crew_cases(dome))
    assert all("worker" in one.id for one in first) and first[0].course_top == len(dome.courses)
    with pytest.raises(InputError, match=r"--change: expected any of .*scaffold"):
        choose(REPORTS / "tool-store" / "design.toml", changes=("scaffolding",))


def what_is_left_beside_the_scaffold_is_said(choice: Choice) -> None:
    assert choice.with_scaffold is not None and choice.scaffold is not None
    doubted = replace(choice.now, verdict="cannot say", margins=(), doubts=(Doubt("blocks not asked"),))
    said = scaffold_sentences(replace(choice, with_scaffold=doubted))[0]
    assert "With it the check cannot say whether the design meets what is required" in said
    short = scaffold_sentences(replace(choice, with_scaffold=choice.now))[0]
    assert "With it the design still falls short in" in short
    assert scaffold_sentences(replace(choice, scaffold=None)) == []


def test_what_is_found_of_the_tool_store_without_its_scaffold(choice: Choice) -> None:
    """One search, which takes its time, for all of it."""
    the_height_found_meets_and_the_ring_above_it_does_not(choice)
    only_rings_that_are_stood_on_are_asked(choice)
    an_answer_that_only_that_person_stands_in_the_way_of_names_no_other_change(choice)
    what_is_left_beside_the_scaffold_is_said(choice)
