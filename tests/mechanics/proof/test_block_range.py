"""The range in which blocks were compared, as the checker holds a design to it: by hand, and against the program."""

from __future__ import annotations

import json
import math
import random
from math import pi
from pathlib import Path
from typing import Any

import pytest
from survey_sheets import sheet

from shellcheck_earth.design.write import design_document, source_text
from shellcheck_earth.geometry.courses import build_dome
from shellcheck_earth.geometry.reading import parse_design
from shellcheck_earth.mechanics.proof import block_cases, block_range
from shellcheck_earth.mechanics.proof.block_cases import block_faults
from shellcheck_earth.mechanics.proof.block_openings import Opening, Ring
from shellcheck_earth.mechanics.proof.block_range import beyond
from shellcheck_earth.mechanics.proof.check import recheck_texts
from shellcheck_earth.mechanics.proof.reading import read
from shellcheck_earth.safety.blocks.jobs import jobs
from shellcheck_earth.safety.blocks.validity import beyond_validation
from shellcheck_earth.studies.survey.plans import as_built, built_design
from shellcheck_earth.studies.survey.sheet import sheet_survey

FOLDER = Path(__file__).parents[3] / "reports" / "seed-bank"
SEED_BANK = (FOLDER / "design.toml").read_text(encoding="utf-8")
WALL = tuple(Ring(0.2 * k, 0.2 * (k + 1), 2.0) for k in range(10))
"""Upright, 4 m inside, 2 m high: by hand."""


def hole(bearing: float, sill: float, width: float, height: float, head: str = "lintel") -> Opening:
    return Opening(bearing, sill, sill + height, width, height, head, 0.0, 0.25, 0.2)


def asked(*holes: Opening, open_top: bool = False, rings: tuple[Ring, ...] = WALL) -> list[str]:
    return beyond(holes, rings, 0.0, 4.0, open_top=open_top)


def test_width_by_hand() -> None:
    assert asked(hole(0.0, 0.0, 1.6, 1.0)) == []
    assert asked(hole(0.0, 0.0, 1.61, 1.0)) == ["an opening's width over the diameter is 0.403, compared up to 0.4"]


@pytest.mark.parametrize(
    ("open_top", "name", "limit"), [(False, "the dome's height", 0.68), (True, "what stands", 0.86)]
)
def test_heads_by_hand(open_top: bool, name: str, limit: float) -> None:
    """Of 2 m, the floor at 0."""
    assert asked(hole(0.0, 0.2, 0.6, 2 * limit - 0.2), open_top=open_top) == []
    (said,) = asked(hole(0.0, 0.2, 0.6, 2 * limit - 0.19), open_top=open_top)
    assert said.startswith(f"the top of an opening over {name} is ") and said.endswith(f"up to {limit:g}")


def test_an_opening_that_is_not_begun_does_not_count() -> None:
    high = hole(0.0, 1.0, 0.6, 0.9)
    assert asked(high) != []
    assert asked(high, open_top=True, rings=WALL[:5]) == []
    assert asked(high, open_top=True, rings=WALL[:6]) != []  # begun, and its top above what stands


def test_a_jamb_by_hand() -> None:
    """Two holes of 0.5 m on a face of radius 2 m: each takes 2 asin(0.125) of angle."""
    between = 0.6 / 2.0 + 2 * math.asin(0.125)
    assert asked(hole(0.0, 0.0, 0.5, 1.0), hole(between + 1e-6, 0.0, 0.5, 1.0)) == []
    (said,) = asked(hole(6.2, 0.0, 0.5, 1.0), hole(6.2 + between - 0.005 - 2 * pi, 0.8, 0.5, 0.5))
    assert said == "the least wall between two openings is 0.59 m, compared down to 0.6 m"
    # one above the other share no course
    assert asked(hole(0.0, 0.0, 0.5, 0.6), hole(0.1, 0.6, 0.5, 0.6)) == []


def test_six_openings_by_hand() -> None:
    six = [hole(2 * pi * k / 6, 0.4, 0.4, 0.5) for k in range(6)]
    assert asked(*six[:5]) == []
    assert asked(*six) == ["there are 6 openings, compared up to 5"]


@pytest.mark.parametrize(
    ("head", "z", "half"),
    [
        ("round", 0.5, 0.4),
        ("round", 0.9, math.sqrt(0.4**2 - 0.3**2)),
        ("pointed", 1.0 - 0.4 * math.sqrt(3), math.sqrt(0.64 - 0.48) - 0.4 + 0.4),
        ("pointed", 1.0, 0.0),
        ("lintel", 1.0, 0.4),
    ],
)
def test_half_widths_by_hand(head: str, z: float, half: float) -> None:
    """0.8 m wide, 1 m high: arcs of radius 0.4 m about the middle, or of 0.8 m about the far side."""
    assert hole(0.0, 0.0, 0.8, 1.0, head).half_width(z) == pytest.approx(half, abs=1e-12)


def test_a_flattened_head_by_hand() -> None:
    """Lower than its arc: at half its height a round head is as wide as a circle at half its radius."""
    flat = Opening(0.0, 0.0, 0.2, 0.8, 0.2, "round", 0.0, 0.25, 0.2)
    assert flat.half_width(0.1) == pytest.approx(math.sqrt(0.4**2 - 0.2**2))


def _texts(count: int) -> list[str]:
    """Seed banks with openings of any size and place that can be built."""
    chance, out = random.Random(7), []
    start, rest = SEED_BANK.split("[[opening]]")[0], "[criteria]" + SEED_BANK.split("[criteria]")[1]
    while len(out) < count:
        rows = ""
        for _ in range(chance.choice((1, 1, 2, 3, 6))):
            sill = chance.choice((0.0, chance.uniform(0.0, 1.2)))
            kind = "door" if sill == 0 else "window"
            rows += (
                f'[[opening]]\nkind = "{kind}"\nbearing = "{chance.uniform(0, 360):.2f} deg"\nsill = "{sill:.3f} m"\n'
                f'width = "{chance.uniform(0.3, 1.5):.3f} m"\nheight = "{chance.uniform(0.4, 2.1):.3f} m"\n'
                f'head = "{chance.choice(("round", "pointed", "lintel"))}"\n\n'
            )
        try:
            parse_design(start + rows + rest)
        except Exception:
            continue
        out.append(start + rows + rest)
    return out


def _program(text: str) -> set[tuple[str, float]]:
    """(quantity, found) of all states that the program asks blocks about."""
    dome = build_dome(parse_design(text))
    tops = {len(job.case.states) for job in jobs(dome)}
    return {(one.quantity, round(one.found, 9)) for top in tops for one in beyond_validation(dome, top)}


def _checker(text: str) -> set[tuple[str, float]]:
    """The same of the checker."""
    exact = {key: key + " {found!r} {limit!r}" for key in block_range.WORDS}
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(block_range, "WORDS", exact)
        said = block_cases._Demands(read(text)).beyond_range()
    return {(line.split()[0], round(float(line.split()[1]), 9)) for line in said}


def test_program_and_checker_agree_on_random_openings() -> None:
    texts = _texts(40)
    found = [_program(text) for text in texts]
    assert found == [_checker(text) for text in texts]
    assert {name for some in found for name, _ in some} == set(block_range.WORDS)
    assert any(not some for some in found)


def test_no_meets_is_proven_beyond_the_range() -> None:
    """Its openings alone, whatever proofs come with it."""
    wide = SEED_BANK.replace('width = "0.8 m"', 'width = "1.29 m"', 1)
    assert wide != SEED_BANK
    assert any("beyond the range of validation" in line for line in block_faults(read(wide), [], wanted=True))
    assert not any("beyond" in line for line in block_faults(read(wide), [], wanted=False))
    assert not any("beyond" in line for line in block_faults(read(SEED_BANK), [], wanted=True))


def test_a_proven_meets_beyond_the_range_is_refused(monkeypatch: pytest.MonkeyPatch) -> None:
    """The published certificate of the seed bank, every proof whole, with the range drawn in under its door."""
    certificate, design = (FOLDER / "certificate.json").read_bytes(), SEED_BANK.encode()
    assert json.loads(certificate)["verdict"] == "meets"
    rows: dict[str, Any] = {**block_range.table(), "blocks.range.head_over_open_top": {"value": "0.82"}}
    monkeypatch.setattr(block_range, "table", lambda: rows)
    report = recheck_texts(certificate, design)
    assert report.code == 2 and any("beyond the range of validation" in line for line in report.lines)


def test_what_stands_is_held_to_what_stands() -> None:
    """An unfinished wall with its door closed, as a survey makes it: both programmes at every height."""
    design = parse_design(SEED_BANK)
    for laid in (14, 15, 16, 18):
        wall = as_built(design_document(design), design, sheet_survey(sheet(design, laid), build_dome(design)))
        text = source_text(built_design(wall))
        assert _program(text) == _checker(text)
