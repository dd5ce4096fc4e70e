"""The block model in the report: every number of it, its pictures well formed, and nothing where there is nothing."""

from __future__ import annotations

import xml.etree.ElementTree as ET
from dataclasses import replace
from types import SimpleNamespace
from typing import Any

import numpy as np
import pytest
from layouts import assert_words_lie_free
from samples import classroom, redesigned

from shellcheck_earth.design.design import Buttress, Design, Opening
from shellcheck_earth.geometry.blocks import cut_blocks
from shellcheck_earth.geometry.courses import build_dome
from shellcheck_earth.safety.blocks.result import BlockResult, CutResult, Mechanism, Press
from shellcheck_earth.safety.check import check
from shellcheck_earth.safety.result import Result
from shellcheck_earth.views.figures.mechanism import BELOW, MOVING, PANEL, TOP, hull, mechanism_svg
from shellcheck_earth.views.render.terminal import summary_lines
from shellcheck_earth.views.report import block_pages
from shellcheck_earth.views.report.block_pages import three_d_blocks, three_d_files
from shellcheck_earth.views.report.document import report_document
from shellcheck_earth.views.text.block_heads import UNPROVEN, UNPROVEN_WHOLE, blocks_heading
from shellcheck_earth.views.text.blocks import block_paragraphs, block_sentence
from shellcheck_earth.views.text.language import speaking, words
from shellcheck_earth.views.text.numbers import factor_words
from shellcheck_earth.views.text.report import proof_sentences
from shellcheck_earth.views.text.verdict import deciding_line

DOOR = Opening("door", 0.0, 0.0, 0.8, 1.9, "pointed")


@pytest.fixture(scope="module")
def plain() -> Result:
    return check(classroom(openings=(DOOR,)), blocks=False, proofs=False, explore=False)


def _result(**changes: object) -> BlockResult:
    layout = cut_blocks(build_dome(classroom(openings=(DOOR,))), 12)
    motions = [(0.0, 0.0, 0.0, 0.0, 0.0, 0.0)] * len(layout.blocks)
    motions[-1] = (0.0, -1.0, -0.5, 0.2, 0.0, 0.0)
    base = BlockResult(
        "three-d-earthquake",
        "Earthquake towards 0 deg",
        "earthquake",
        1.31,
        1.23,
        1.17,
        1.1,
        "solved",
        "",
        False,
        Mechanism((12, 24), None, ("sink",), None, (), ()),
        (Press("jambs", 0, 13.5),),
        (CutResult(12, len(layout.blocks), 1.31), CutResult(24, 606, 1.34)),
        ((0.0, 1.31), (1.5708, 1.4)),
        tuple(motions),
        26,
        (),
        12,
    )
    return replace(base, **changes)  # type: ignore[arg-type]


def test_without_the_block_model_a_door_is_cannot_say_at_best(plain: Result) -> None:
    assert plain.blocks == ()
    assert plain.verdict != "meets"
    assert three_d_blocks(plain) == ([], {})
    assert three_d_files(plain) == {}


def test_every_number_reaches_the_page(plain: Result) -> None:
    blocks, pictures = three_d_blocks(replace(plain, blocks=(_result(),)))
    text = repr(blocks)
    for said in ("1.31", "1.23", "1.17", "1.1", "meets", "13.5 kN", "606 blocks", "90 deg 1.4", "re-checked"):
        assert said in text, said
    assert "three-d-earthquake.svg" in pictures


def test_the_picture_is_of_the_cut_that_decided(plain: Result) -> None:
    """Motions of 24 blocks a ring, though the table begins with 12; and of a row that follows from another, none."""
    layout = cut_blocks(build_dome(classroom(openings=(DOOR,))), 24)
    fine = _result(motions=((0.0, -1.0, 0.0, 0.0, 0.0, 0.0),) * len(layout.blocks), drawn=24)
    assert "three-d-earthquake.svg" in three_d_blocks(replace(plain, blocks=(fine,)))[1]
    assert three_d_files(replace(plain, blocks=(fine,))).keys() == {"mechanism.glb"}
    follows = _result(at_least=True, convergence=(), motions=(), mechanism=None, drawn=0)
    blocks, pictures = three_d_blocks(replace(plain, blocks=(follows,)))
    assert pictures == {} and "follows from the row below" in repr(blocks)


def test_the_first_page_says_what_is_not_proven_of_blocks(plain: Result) -> None:
    said = repr(report_document(replace(plain, blocks=(_result(),))).blocks[:12])
    assert "not proven are friction without dilation" in said and UNPROVEN in said
    assert UNPROVEN not in repr(report_document(plain).blocks)


def _headed(design: Design, *ids: str) -> str:
    results = tuple(_result(id=name, motions=(), forces=()) for name in ids)
    with speaking(words("en")):
        return blocks_heading(design, results)


def test_the_pages_of_blocks_are_headed_by_what_the_design_has() -> None:
    """A door, several windows, a buttress, wind, a person: each only where it is there."""
    window, worker = replace(DOOR, kind="window", sill=0.8, height=0.6), "three-d-stage-09-worker-joint"
    round_one = classroom(openings=(), buttresses=())
    assert _headed(round_one, worker) == "One person on one side"
    windy = replace(round_one, site=replace(round_one.site, wind_pressure=0.4))
    assert _headed(windy, worker) == "Loads from one side"
    assert _headed(windy, worker, "three-d-wind") == "Loads from one side"
    held = replace(round_one, buttresses=(Buttress(0.0, 0.6, 0.5, 1.0),))
    assert _headed(held, worker) == "Buttress and one person on one side"
    with_door = replace(round_one, openings=(DOOR,))
    assert _headed(with_door, worker) == "Door and one person on one side"
    assert _headed(with_door, worker, "three-d-rain") == "Door and loads from one side"
    many = replace(held, openings=(DOOR, window, window))
    assert _headed(many, "three-d-earthquake") == "Door, windows, buttress and loads from one side"
    with speaking(words("es")):
        assert blocks_heading(round_one, (_result(id=worker),)) == "Una persona a un lado"
        assert blocks_heading(many, (_result(),)) == "Puerta, ventanas, contrafuerte y cargas de un lado"


def test_a_dome_without_openings_is_told_of_none(plain: Result) -> None:
    """Page, first page and advice of a round dome in wind name no door and no window."""
    whole = redesigned(plain, openings=(), site=replace(plain.design.site, wind_pressure=0.4))
    short = replace(whole, blocks=(_result(id="three-d-wind", criterion="storm", relied=0.5, motions=(), forces=()),))
    said = repr(report_document(short).blocks)
    assert UNPROVEN_WHOLE in said and "Loads from one side: buttresses, a thicker wall." in said
    headings = [block["text"] for block in three_d_blocks(short)[0] if block["kind"] == "heading"]
    assert headings[0] == "Loads from one side"
    for word in ("Doors, windows", "doors, windows", "smaller or fewer openings"):
        assert word not in said, word


def test_every_capacity_at_once_is_said_as_what_it_is(plain: Result) -> None:
    joint = _result(criterion="combined factors", required=1.0, relied=0.8)
    text = " ".join(block_paragraphs(plain.design, (joint,)))
    assert "divided by what the load's criterion requires at strength" in text
    assert "what is asked is held" in block_sentence(plain.dome, joint)


def test_what_the_report_says_of_wind_rain_forms_ties_and_the_scheme(plain: Result) -> None:
    tied = redesigned(plain, openings=(replace(DOOR, head="lintel", tie=8.0),))
    results = tuple(
        _result(id=f"three-d-{what}", criterion=criterion, motions=())
        for what, criterion in (("wind", "storm"), ("rain", "overall reserve"), ("forms-out", "overall reserve"))
    )
    text = repr(three_d_blocks(replace(tied, blocks=results))[0])
    for said in (
        "inside +0.55 or -0.55, as with the door open",
        "friction and strength of soaked fill",
        "keep it in",
        "door 1 (8.00 kN)",
        "53% of it is relied on",
        "Ferris & Tin-Loi 2001, recalled",
    ):
        assert said in text, said
    shut = redesigned(plain, openings=())
    alone = repr(
        three_d_blocks(replace(shut, blocks=(_result(id="three-d-wind", criterion="storm", motions=(), forces=()),)))[0]
    )
    assert "inside +0.2 or -0.3, as with everything shut" in alone
    assert "soaked fill" not in alone
    assert "tied into the wall" not in alone


def test_the_screen_says_both_bounds_where_they_are_known(plain: Result) -> None:
    """1.4 over 1.25 is 12 % apart; a mechanism of finer cuts may lie under what coarser ones were confirmed to hold."""

    def said(above: float | None, below: float | None) -> str:
        lines = (CutResult(24, 606, 1.3, fails=above),)
        return " ".join(
            " ".join(summary_lines(replace(plain, blocks=(_result(convergence=lines, below=below),)), None)).split()
        )

    both = said(1.4, 1.25)
    assert "1.17 of 1.1, meets; with ordinary friction 1.25 from below, 1.4 from above: 12.0 % apart" in both
    assert "forces that the checker confirms hold so much" in both
    assert "1.25 from below, 1.2 from above: 4.0 % lower, with finer cuts" in said(1.2, 1.25)
    assert "with ordinary friction 1.4 from above" in said(1.4, None) and "from below," not in said(1.4, None)
    assert "ordinary friction" not in said(None, 1.25)


def test_nothing_is_said_to_move_where_the_search_stopped_at_its_end(plain: Result) -> None:
    text = repr(three_d_blocks(replace(plain, blocks=(_result(at_least=True, mechanism=None, motions=()),)))[0])
    assert "Nothing moves up to 1.31 times the load" in text
    assert "First to move" not in text


def test_what_could_not_be_established_is_never_a_pass(plain: Result) -> None:
    result = _result(status="cannot say", relied=None, why="the solver decided neither way")
    text = repr(three_d_blocks(replace(plain, blocks=(result,)))[0])
    assert "cannot say" in text
    assert "the solver decided neither way" in text
    assert "'meets'" not in text
    assert "could not establish" in deciding_line(replace(plain, cases=(), blocks=(result,)))


def test_the_pictures(plain: Result) -> None:
    full = replace(plain, blocks=(_result(),))
    svg = three_d_blocks(full)[1]["three-d-earthquake.svg"]
    root = ET.fromstring(svg)
    red = [node for node in root.iter() if node.get("stroke") == "#a63a1e" and node.tag.endswith("path")]
    assert len(red) == 3  # the one block that moves: before, after and from above
    assert {node.get("fill") for node in red} == {MOVING}
    assert_words_lie_free(svg)
    assert svg == three_d_blocks(full)[1]["three-d-earthquake.svg"]
    assert three_d_files(full)["mechanism.glb"][:4] == b"glTF"


def test_the_outline_of_a_solid_holds_its_corners() -> None:
    square = [(0.0, 0.0), (2.0, 0.0), (2.0, 2.0), (0.0, 2.0)]
    assert sorted(hull([*square, (1.0, 1.0), (1.0, 0.0), (2.0, 2.0)])) == sorted(square)


def test_a_block_that_slides_is_marked_and_one_that_turns_as_well(plain: Result) -> None:
    layout = cut_blocks(plain.dome, 12)
    top = max(block.course for block in layout.blocks)
    pushed, turned = np.zeros((2, len(layout.blocks), 6))
    for index, block in enumerate(layout.blocks):
        if block.course == top:
            pushed[index, 1], turned[index, 3] = 1.0, 1.0
    slid, tipped = (mechanism_svg(plain.dome, layout, motions, 0.0, "x") for motions in (pushed, turned))
    key = 1  # each sign stands once in the key
    assert slid.count('r="0.9"') == key < tipped.count('r="0.9"')
    assert slid.count('stroke-width="0.5"') > 2 * key


def test_moved_blocks_stay_in_their_panel(plain: Result) -> None:
    """Up, down and to either side: nothing over the headings, below the ground or in the next panel."""
    layout = cut_blocks(plain.dome, 12)
    for way in range(3):
        for sign in (1.0, -1.0):
            motions = np.zeros((len(layout.blocks), 6))
            motions[:, way], motions[-1, 3] = sign, 3.0
            root = ET.fromstring(mechanism_svg(plain.dome, layout, motions, 0.0, "x"))
            filled = [node.get("d", "") for node in root.iter() if node.get("fill") == MOVING and node.get("d")]
            paths = [[tuple(map(float, place.strip("MZ ").split())) for place in d.split("L")] for d in filled]
            each = len(layout.blocks)
            before, after = ([place for path in of for place in path] for of in (paths[:each], paths[each : 2 * each]))
            assert len(paths) == 3 * each
            assert min(x for x, _ in after) >= PANEL and max(x for x, _ in after) <= 2 * PANEL
            assert min(y for _, y in after) >= TOP - 0.02
            assert max(y for _, y in after) <= max(y for _, y in before) + BELOW + 0.02


def test_what_moves_alike_is_drawn_once(plain: Result) -> None:
    same = _result(id="three-d-snow", title="Snow")
    other = _result(id="three-d-rain", title="Rain", motions=tuple(reversed(_result().motions)))
    from_behind = _result(id="three-d-wind", title="Wind", directions=((3.0, 1.31),))
    blocks, pictures = three_d_blocks(replace(plain, blocks=(_result(), same, other, from_behind)))
    assert sorted(pictures) == ["three-d-earthquake.svg", "three-d-rain.svg", "three-d-wind.svg"]
    said = repr(blocks)
    assert said.count("What moves first is drawn under: Earthquake towards 0 deg.") == 1
    assert said.count("'three-d-earthquake.svg'") == 1


def test_motions_of_another_layout_are_refused(plain: Result) -> None:
    layout = cut_blocks(plain.dome, 12)
    with pytest.raises(ValueError, match="motions"):
        mechanism_svg(plain.dome, layout, np.zeros((3, 6)), 0.0, "x")


def test_what_falls_short_decides_before_what_could_not_be_established(plain: Result) -> None:
    open_question = _result(title="Earthquake", status="cannot say", relied=None, why="did not settle")
    short = _result(title="Forms out", directions=(), relied=1.1, required=1.25, mechanism=None)
    enough = _result(title="Snow", relied=4.0, required=1.25)
    assert (
        deciding_line(replace(plain, cases=(), blocks=(open_question, short, enough)))
        == "Forms out governs: every capacity can be divided by 1.1 at once; 1.25 is required."
    )
    assert (
        deciding_line(replace(plain, cases=(), blocks=(open_question, enough)))
        == "Earthquake: the block model could not establish an answer (did not settle)."
    )
    assert deciding_line(replace(plain, cases=(), blocks=(_result(relied=1.05),))) == (
        "Earthquake towards 0 deg governs: the dome holds this load 1.05 times over; 1.1 is required. First to move:"
        " courses 12 to 24, all around, sink."
    )


def test_presses_stand_in_one_table_by_place_and_case(plain: Result) -> None:
    second = _result(id="three-d-snow", title="Snow", forces=(Press("jambs", 0, 7.25), Press("buttress", 0, 0.0)))
    blocks, _ = three_d_blocks(replace(plain, blocks=(_result(), second)))
    table = blocks[-1]
    assert [column["title"] for column in table["columns"]] == ["Case", "jambs of door 1, one bed"]
    # nothing presses on the buttress
    assert table["rows"] == [["Earthquake towards 0 deg", "13.5 kN"], ["Snow", "7.25 kN"]]


def test_columns_of_many_places_are_numbered_and_no_table_has_more_than_fit() -> None:
    """Nine doors: eight columns and one more; their words stand over the tables."""
    doors = tuple(replace(DOOR, bearing=0.6 * k) for k in range(9))
    many = tuple(Press("jambs", k, 1.0 + k) for k in range(9))
    results = (_result(forces=many), _result(title="Snow", forces=many[:2]))
    asked: Any = SimpleNamespace(design=classroom(openings=doors), blocks=results)
    _heading, _said, legend, *rest = block_pages._forces(asked)
    first, second = (block for block in rest if block["kind"] == "table")
    assert [column["title"] for column in first["columns"]] == ["Case", *"12345678"]
    assert [column["title"] for column in second["columns"]] == ["Case", "9"]
    assert [row[0] for row in first["rows"]] == ["Earthquake towards 0 deg", "Snow"] and len(second["rows"]) == 1
    assert legend["text"].startswith(
        "Columns of the tables: 1 jambs of door 1, one bed; 2 jambs of door 2, one bed; 3 "
    )


def test_the_five_numbers_show_the_reserve_that_the_blocks_leave_where_it_is_less() -> None:
    firm = replace(classroom().fill, strength_wet=80.0)  # else its soaked base stands on nothing
    covered = replace(classroom().building, cover_after=0.0)
    design = classroom(openings=(DOOR,), fill=firm, building=covered)
    plain = check(design, blocks=False, proofs=False, explore=False)
    ring = plain.governing()["overall reserve"][1]
    assert ring.factor is not None
    less = _result(
        id="three-d-forms-out",
        title="Forms out",
        criterion="overall reserve",
        relied=0.5 * ring.factor,
        required=ring.required,
        directions=(),
    )
    more = replace(less, relied=2 * ring.factor)
    for result, there in ((less, True), (more, False)):
        numbers = next(
            block for block in report_document(replace(plain, blocks=(result,))).blocks if block["kind"] == "figures"
        )["numbers"]
        said = [number for number in numbers if "as blocks" in number["what"]]
        assert bool(said) == there
        assert len(numbers) == 5
        if there:
            assert said[0]["value"] == f"{factor_words(0.5 * ring.factor, ring.required)} of {ring.required:.3g}"
            assert "falls short. Worst: forms out" in said[0]["what"]


def test_what_is_said_of_the_proofs_of_blocks_is_what_the_certificate_holds(plain: Result) -> None:
    case = replace(plain.cases[0], proof="proven in exact arithmetic: a thrust line exists")
    held = replace(plain, cases=(case,), blocks=(_result(proofs=("a", "b")), _result(proofs=("c",))))
    first, rest = proof_sentences(replace(held, verdict="meets"))[1:3]
    assert "exact arithmetic: 3." in first
    assert "certificate.json holds them" in first
    assert "Friction without dilation is proven of no case" in rest
    short = proof_sentences(replace(held, verdict="falls short"))[1]
    assert "exact arithmetic: 3." in short
    assert "certificate.json leaves them out" in short
    none = proof_sentences(replace(held, verdict="meets", blocks=(_result(),)))[1]
    assert "nothing is proven" in none
    assert len(proof_sentences(replace(held, blocks=()))) == 1
