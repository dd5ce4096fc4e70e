"""Changes that make a design meet: each answer is tried in a design file of its own."""

from __future__ import annotations

from pathlib import Path

import pytest

from shellcheck_earth.design.file import read_document
from shellcheck_earth.design.keys import set_key
from shellcheck_earth.geometry.reading import design_from_document
from shellcheck_earth.safety.worst import outcome
from shellcheck_earth.studies.choose import Choice, choose
from shellcheck_earth.studies.remedies import remedies, strength_placed_drier

REPORTS = Path(__file__).parents[2] / "reports"
CLASSROOM, STORE = (REPORTS / name / "design.toml" for name in ("garden-classroom", "tool-store"))


SMALLER, WIRE, CROWN = "smaller diameter", "more wire", "wider crown opening"


@pytest.fixture(scope="module")
def wide(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The tool store with a room too wide for its tube: without its wire it stands no more."""
    file = tmp_path_factory.mktemp("choose") / "wide.toml"
    file.write_text(STORE.read_text(encoding="utf-8").replace('"8 ft"', '"14 ft"'), encoding="utf-8")
    return file


@pytest.fixture(scope="module")
def choice(wide: Path) -> Choice:
    return choose(wide, workers=2, changes=(SMALLER, WIRE, CROWN), pairs=False, largest=False)


def test_the_least_amount_meets_and_the_one_before_it_does_not(choice: Choice, wide: Path) -> None:
    document = read_document(wide)
    known = {remedy.name: remedy for remedy in remedies(design_from_document(document))}
    enough = [one for one in choice.singles if one.helps == "enough"]
    assert {one.name for one in enough} == {SMALLER, CROWN}
    for one in enough:
        remedy = known[one.name]
        assert one.least is not None
        at = remedy.amounts.index(one.least)
        # What it calls enough, the whole check confirms: untested inputs at the ends of their ranges included.
        assert outcome(design_from_document(remedy.apply(document, one.least))).verdict == "meets"
        assert outcome(design_from_document(remedy.apply(document, remedy.amounts[at - 1]))).verdict != "meets"


def test_what_cannot_help_is_told_from_what_helps(choice: Choice) -> None:
    by = {one.name: one for one in choice.singles}
    assert by[WIRE].helps == "no help"  # it is without its wire that this dome falls
    assert by[SMALLER].best_share > choice.now.least.share


def test_drier_fill_by_hand() -> None:
    """0.5 MPa x 0.15^((w - 4 %)/7 %): at 7.5 % 0.5 x sqrt(0.15) = 0.194 MPa, by the one rule that `check` has too."""
    document = read_document(CLASSROOM)
    bare = {**document, "fill": {k: v for k, v in document["fill"].items() if k != "strength_as_placed"}}
    drier = design_from_document(set_key(bare, "fill.placing_moisture", "7.5 %"))
    assert drier.fill.strength_as_placed == pytest.approx(500 * 0.15**0.5, rel=1e-9)
    # the change itself: what the file states for 10 %, 0.1 MPa, is no test of fill at 7.5 %
    remedy = next(remedy for remedy in remedies(design_from_document(document)) if remedy.name == "drier fill")
    changed = design_from_document(remedy.apply(document, 0.075))
    assert changed.fill.strength_as_placed == pytest.approx(500 * 0.15**0.5, rel=1e-9)
    assert changed.basis("fill.strength_as_placed") == "assumed"


def test_fill_weaker_than_the_curve_stays_so_when_drier() -> None:
    """Half the curve's strength at 11 %, 37.5 kPa, is half of it at 7.5 %: 0.5 x 0.194 MPa = 97 kPa."""
    document = set_key(read_document(CLASSROOM), "fill.placing_moisture", "11 %")
    weak = design_from_document(set_key(document, "fill.strength_as_placed", "37.5 kPa")).fill
    assert strength_placed_drier(weak, 0.075) == pytest.approx(250 * 0.15**0.5, rel=1e-9)
    assert strength_placed_drier(weak, 0.11) == pytest.approx(37.5, rel=1e-9)


def test_a_design_that_meets_needs_no_change() -> None:
    found = choose(STORE, workers=1, largest=False)
    assert found.meets and not found.singles and not found.pairs


def test_pairs_meet_and_need_both_parts(wide: Path) -> None:
    found = choose(wide, workers=2, changes=(SMALLER, CROWN), largest=False)
    assert [pair.names for pair in found.pairs] == [(SMALLER, CROWN)]
    document, known = read_document(wide), {r.name: r for r in remedies(found.design)}
    pair = found.pairs[0]
    one, two = pair.amounts
    both = known[CROWN].apply(known[SMALLER].apply(document, one), two)
    assert outcome(design_from_document(both)).verdict == "meets"
    assert outcome(design_from_document(known[SMALLER].apply(document, one))).verdict != "meets"
    assert outcome(design_from_document(known[CROWN].apply(document, two))).verdict != "meets"


def test_a_change_past_the_range_of_its_value_is_no_answer() -> None:
    """Friction that nobody measured may carry no pass, however high it is put."""
    document = set_key(read_document(STORE), "beds.friction", {"value": 1.4, "source": "assumed"})
    found = outcome(design_from_document(document))
    assert found.verdict == "cannot say" and found.doubts[0].path == "beds.friction"
