"""Changes that make a design meet: each answer is tried in a design file of its own."""

from __future__ import annotations

from pathlib import Path

import pytest
from certificates import SHELTER
from guide_pages import pasted

from shellcheck_earth.basics.parallel import ALONE, Crew
from shellcheck_earth.design.file import read_document
from shellcheck_earth.design.keys import set_key
from shellcheck_earth.geometry.reading import design_from_document, read_design
from shellcheck_earth.safety.check import check
from shellcheck_earth.safety.worst import outcome
from shellcheck_earth.studies.choice import Choice
from shellcheck_earth.studies.choose import choose
from shellcheck_earth.studies.remedies import remedies, strength_placed_drier
from shellcheck_earth.views.pages.choose import choice_lines
from shellcheck_earth.views.text.choose import paste_lines

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
    return choose(wide, crew=Crew(2), changes=(SMALLER, WIRE, CROWN), pairs=False, largest=False)


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
        found = outcome(design_from_document(remedy.apply(document, one.least)), crew=True)
        assert found.verdict == "meets"
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


def test_a_design_that_meets_needs_no_change(tmp_path: Path) -> None:
    """Nobody stands on it; of one whose crew stands on its rings the same is held in `test_scaffold.py`."""
    file = tmp_path / "shelter.toml"
    file.write_text(SHELTER, encoding="utf-8")
    found = choose(file, crew=ALONE, largest=False)
    assert found.meets and not found.singles and not found.pairs


def test_pairs_meet_and_need_both_parts(wide: Path) -> None:
    found = choose(wide, crew=Crew(2), changes=(SMALLER, CROWN), largest=False)
    assert [pair.names for pair in found.pairs] == [(SMALLER, CROWN)]
    document, known = read_document(wide), {r.name: r for r in remedies(found.design)}
    pair = found.pairs[0]
    one, two = pair.amounts
    both = known[CROWN].apply(known[SMALLER].apply(document, one), two)
    assert outcome(design_from_document(both), crew=True).verdict == "meets"
    assert outcome(design_from_document(known[SMALLER].apply(document, one)), crew=True).verdict != "meets"
    assert outcome(design_from_document(known[CROWN].apply(document, two)), crew=True).verdict != "meets"


def test_a_change_past_the_range_of_its_value_is_no_answer() -> None:
    """Friction that nobody measured may carry no pass, however high it is put."""
    document = set_key(read_document(STORE), "beds.friction", {"value": 1.4, "source": "assumed"})
    found = outcome(design_from_document(document))
    assert found.verdict == "cannot say" and found.doubts[0].path == "beds.friction"


def test_what_is_called_enough_the_command_check_confirms(choice: Choice, wide: Path, tmp_path: Path) -> None:
    """The block as it is printed, pasted into the file, and the whole check asked with its proofs."""
    enough = [one for one in choice.singles if one.helps == "enough"]
    assert len(enough) == 2
    said = "\n".join(choice_lines(choice))
    assert "Pairs of changes were not looked for." in said and "The largest diameter was not looked for." in said
    for one in enough:
        assert one.least is not None
        block = paste_lines(choice, (one.name,), (one.least,))
        assert all(f"    {line}" in said for line in block)
        file = tmp_path / f"{one.name}.toml"
        file.write_text(pasted(wide.read_text(encoding="utf-8"), "\n".join(block)), encoding="utf-8")
        assert check(read_design(file)).verdict == "meets"
    assert check(read_design(wide), proofs=False, explore=False).verdict == "falls short"


def test_a_wider_tube_takes_the_flat_width_out() -> None:
    found = choose(CLASSROOM, crew=Crew(2), changes=("wider tube",), pairs=False, largest=False)
    amount = remedies(found.design)[[r.name for r in remedies(found.design)].index("wider tube")].amounts[0]
    block = paste_lines(found, ("wider tube",), (amount,))
    assert block[1:] == ["[wall]", f'filled_width = "{amount:.9g} m"', "# take out: flat_width"]
    said = " ".join("\n".join(choice_lines(found)).split())
    assert "The strength of the fill counted on: 500 kPa" in said and "(assumed)" in said
