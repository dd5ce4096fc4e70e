"""A sector soaked behind its plaster: what it weighs and holds by hand, its two ends, what is said of it."""

from __future__ import annotations

import itertools
import json
import math
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
from samples import classroom, sturdy
from small_store import small_store

from shellcheck_earth.design.design import Opening
from shellcheck_earth.geometry.courses import build_dome
from shellcheck_earth.loads.cases import case_of
from shellcheck_earth.mechanics.blocks.weights import block_weights
from shellcheck_earth.safety.blocks.reserve import dead_problem
from shellcheck_earth.studies.settle.soaked import Question, Soaked, about, soaked_sector
from shellcheck_earth.studies.settle.study import Settling, settle_design
from shellcheck_earth.views.cli.main import run
from shellcheck_earth.views.export.settle import settle_json
from shellcheck_earth.views.text.settle import settle_words

DOME = build_dome(small_store())
DRY, DAMP, WET = (case_of(DOME, name) for name in ("finished-dry", "finished-damp", "soaked-through"))


def question(width: float, *, bearing: float = 0.0, water: bool = True) -> Question:
    return Question(DOME, DAMP, DAMP, WET, bearing, width, water)


def test_the_whole_wall_soaked_is_the_soaked_dome() -> None:
    """Weights, places, friction, strength and wire of every block: those of the case in which all is soaked."""
    one = question(2 * math.pi)
    layout = one.layout(12)
    whole, wet = one.problem(layout, 1.5), dead_problem(DOME, WET, layout, 1.5)
    assert whole.patches.friction == pytest.approx(wet.patches.friction)
    assert whole.patches.strength == pytest.approx(wet.patches.strength)
    assert whole.dead[:, :3] == pytest.approx(wet.dead[:, :3])
    # each about its own centre: together, about the axis, they are the same
    turned = [p.dead[:, 3:] + np.cross(p.centre, p.dead[:, :3]) for p in (whole, wet)]
    assert turned[0] == pytest.approx(turned[1], abs=1e-9)
    # the wire is held by no more than what weighed on it before
    assert (whole.ties.most <= wet.ties.most * (1 + 1e-9)).all() and whole.ties.size == wet.ties.size


def test_a_sector_is_soaked_where_it_touches_and_nowhere_else() -> None:
    """Sixty degrees about east: every block that reaches into 60 to 120 degrees, and none a whole block off."""
    one = question(math.radians(60), bearing=math.pi / 2)
    layout = one.layout(12)
    found, dry = one.problem(layout, 1.0), dead_problem(DOME, DAMP, layout, 1.0)
    _, weight = block_weights(DOME, WET, layout)
    wet = []
    for k, block in enumerate(layout.blocks):
        middle = (block.start + block.end) / 2
        off, own = abs(math.remainder(middle - math.pi / 2, 2 * math.pi)), (block.end - block.start) / 2
        wet.append(-found.dead[k, 2] > -dry.dead[k, 2] * (1 + 1e-9))
        assert -found.dead[k, 2] == pytest.approx(weight[k] if wet[-1] else -dry.dead[k, 2])
        if off < math.radians(30) + own:
            assert wet[-1], k
        if off > math.radians(30) + 1.6 * math.pi / 12:
            assert not wet[-1], k
    assert 0 < sum(wet) < len(wet)
    slick = [k for k in range(found.patches.size) if found.patches.friction[k] < dry.patches.friction[k] - 1e-9]
    assert slick and all(wet[found.patches.upper[k]] for k in slick)
    lighter = replace(one, water=False).problem(layout, 1.0)
    assert lighter.dead == pytest.approx(dry.dead) and lighter.patches.friction == pytest.approx(found.patches.friction)


def test_a_wider_sector_holds_no_more() -> None:
    """Without the water's weight it takes capacities away and nothing else."""
    held = [question(math.radians(width), water=False).edge(12, None) or math.nan for width in (10, 90, 180, 360)]
    assert all(a * 1.025 >= b for a, b in itertools.pairwise(held))
    assert held[0] > held[-1] * 1.1


def test_sectors_lie_about_openings_and_between_them() -> None:
    assert about(classroom()) == (0.0,)
    door, window = Opening("door", 0.0, 0.0, 0.8, 1.5, "round"), Opening("window", 2.0, 0.9, 0.4, 0.5, "round")
    bearings = about(classroom(openings=(door, window)))
    assert {0.0, 2.0, 1.0} <= set(bearings) and any(abs(b - (1.0 + math.pi)) < 1e-9 for b in bearings)
    alone = about(classroom(openings=(door,)))
    assert len(alone) == 3 and math.pi in alone  # its two sides are each other's image


def test_the_worst_decides_and_what_is_not_known_is_said(monkeypatch: pytest.MonkeyPatch) -> None:
    held: dict[tuple[str, bool], float | None] = {
        (case.id, water): 2.0 for case in (DRY, DAMP) for water in (True, False)
    }
    held["finished-damp", False] = 1.1

    def by_cut(self: Question) -> list[float] | None:
        most = held[self.case.id, self.water]
        return None if most is None else [most, most] if most else [most]

    monkeypatch.setattr(Question, "reserves", by_cut)
    monkeypatch.setattr(Question, "edge", lambda _, cuts, before: before if cuts == 72 else None)
    monkeypatch.setattr(Question, "without_dilation", lambda _, least: 0.97 * least)
    monkeypatch.setattr(Question, "holds", lambda self, _: self.width <= math.radians(91) or self.case.id != DAMP.id)
    found = soaked_sector(DOME, (DRY, DAMP), 1.0)
    assert (found.case_id, found.water, found.meets, found.stands) == ("finished-damp", False, False, True)
    assert found.reserve == pytest.approx(0.97 * 1.1) and found.meets_to == pytest.approx(math.radians(90))
    monkeypatch.setattr(Question, "edge", lambda _, cuts, before: 0.95 * before if cuts == 72 else None)
    finer = soaked_sector(DOME, (DRY, DAMP), 1.0)  # the finest takes a twentieth, and that is taken off once more
    assert finer.reserve == pytest.approx((0.97 * 0.95 - 0.05) * 1.1)
    monkeypatch.setattr(Question, "edge", lambda *_: None)
    assert "neither way" in soaked_sector(DOME, (DRY, DAMP), 1.0).why
    monkeypatch.setattr(Question, "edge", lambda *given: given[-1])
    monkeypatch.setattr(Question, "without_dilation", lambda *_: None)
    lost = soaked_sector(DOME, (DRY, DAMP), 1.0)
    assert lost.reserve is None and lost.meets is None and "did not settle" in lost.why
    held["finished-dry", True] = None
    undecided = soaked_sector(DOME, (DRY, DAMP), 1.0)
    assert undecided.meets is None and "neither way" in undecided.why
    held["finished-dry", True] = 0.0
    monkeypatch.setattr(Question, "without_dilation", lambda *_: 1.0)  # not asked where nothing is held
    nothing = soaked_sector(DOME, (DRY, DAMP), 1.0)
    assert nothing.reserve == 0.0 and nothing.stands is False


def test_beyond_the_range_it_cannot_say() -> None:
    wide = build_dome(classroom(openings=(Opening("door", 0.0, 0.0, 1.5, 1.5, "round"),)))
    found = soaked_sector(wide, (case_of(wide, "finished-dry"),), 1.0)
    assert found.reserve is None and "beyond the range" in found.why


@pytest.fixture(scope="module")
def told() -> Settling:
    return settle_design(sturdy())


FOUND = Soaked(math.radians(60), 1.31, 1.25, math.radians(90), math.pi, "finished-damp", water=True)


@pytest.mark.parametrize(
    ("changes", "words"),
    [
        ({}, ("is left", "1.31 of 1.25", "about 180 deg", "with the water's weight", "sectors of up to 90 deg")),
        ({"reserve": 1.1, "meets_to": 0.0}, ("falls short", "no sector that was looked at")),
        ({"reserve": 0.4, "water": False}, ("no forces hold it", "drained again")),
        ({"meets_to": 2 * math.pi}, ("the whole wall soaked leaves",)),
        ({"reserve": None, "why": "the solver decided neither way"}, ("cannot say", "neither way")),
    ],
)
def test_what_is_said_of_it(told: Settling, changes: dict[str, object], words: tuple[str, ...]) -> None:
    one = replace(told, soaked=replace(FOUND, **changes))  # type: ignore[arg-type]
    said = " ".join(settle_words(one))
    assert "A sector of 60 deg" in said and all(word in said for word in words) and "openings, as" not in said
    door = replace(one, design=sturdy(openings=(Opening("door", 0.0, 0.0, 0.8, 1.5, "round"),)))
    assert ("with its openings, as blocks" in " ".join(settle_words(door))) is (one.soaked.reserve is not None)  # type: ignore[union-attr]
    data = json.loads(settle_json(one))["soaked"]
    assert data["sector_rad"] == pytest.approx(math.radians(60), rel=1e-5) and data["case"] == "finished-damp"
    assert json.loads(settle_json(told))["soaked"] is None


@pytest.mark.parametrize("said", ["5 deg", "400 deg", "60 mm", "wide"])
def test_a_sector_that_is_none_is_refused(said: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    design = Path(__file__).parents[2] / "reports" / "tool-store" / "design.toml"
    assert run(["settle", str(design), f"--soaked={said}", "--out", str(tmp_path / "out")]) == 2
    assert "--soaked" in capsys.readouterr().err and not (tmp_path / "out").exists()
